//! A paragraph to paste into an application: about 150 words of plain text that stand without the report.

use analysis::figures::figures;
use analysis::plan::Plan;
use costing::Capacity;
use survey::{Log, State};
use tape::ActionClass;

use super::board::{self, currency, not_ruled_out, years};
use super::classes::{are, reason};
use super::costs;
use super::dangers::Dangers;
use super::facts::{AMOUNT, COUNT, Facts, Ground, PERCENT};
use super::line::{Line, w};
use super::numbers::as_given;
use super::options::Options;
use crate::survey_file::Parts;

/// The paragraph, ended by a line feed.
#[must_use]
pub fn paragraph(log: &Log, parts: &Parts, options: &Options) -> String {
    let state = State::fold(log);
    let figures = figures(&state);
    let ground = Ground {
        log,
        state: &state,
        figures: &figures,
        plan: &Plan::of(&state, None, &mut |_, _| {}),
    };
    paragraph_of(ground, parts, options)
}

/// The same, from what was worked out already.
pub(crate) fn paragraph_of(ground: Ground<'_>, parts: &Parts, options: &Options) -> String {
    let facts = Facts::new(ground, parts, options.clone().cut(), None);
    let mut lines: Vec<Line> = Vec::new();
    if facts.state.practice {
        lines.push(w("(Practice: this collection is invented.)"));
    }
    lines.push(how_much(&facts));
    lines.extend(state(&facts));
    lines.extend(takes(&facts));
    lines.push(sure(&facts));
    let text: Vec<String> = lines.iter().map(Line::plain).collect();
    format!("{}\n", text.join(" "))
}

fn how_much(facts: &Facts<'_>) -> Line {
    let sample = &facts.figures.sample;
    let Some(items) = facts.estimate("items.total", COUNT) else {
        return w("There is no estimate yet: none of ")
            .of("sample.n_boxes", sample.n_boxes, "box", "boxes")
            .w(" on the list is part of a complete round.");
    };
    let mut line = w("The collection holds about ")
        .add(items)
        .w(" tapes and other sound carriers on a list of ")
        .of("sample.n_boxes", sample.n_boxes, "box", "boxes");
    if let Some(hours) = facts.simulated("content_hours", AMOUNT) {
        line = line.w(", about ").add(hours).w(" hours of sound");
    }
    line.w(". This is estimated from ")
        .of("sample.n_sampled", sample.n_sampled, "box", "boxes")
        .w(" drawn by lot and a look at ")
        .of("sample.n_items_checked", sample.n_items_checked, "tape", "tapes")
        .w("; none was played.")
}

/// What cannot wait, the dangers in words.
fn state(facts: &Facts<'_>) -> Option<Line> {
    let mut line = Line::default();
    let mut absent = Line::default();
    let pressing = |class: &&ActionClass| board::PRESSING.contains(&class.key);
    for class in tape::actions().iter().filter(pressing) {
        let id = format!("action.{}.share", class.key);
        let is_there = facts.figure(&id).is_some_and(|figure| figure.estimate > 0.0);
        if let (true, Some(share)) = (is_there, facts.estimate(&id, PERCENT)) {
            let before = if line.is_empty() { "Of the items " } else { ", " };
            line = line.w(before).add(share).w(" ").w(are(class));
        } else if let Some(high) = not_ruled_out(facts, class.key) {
            let what = reason(class);
            absent = absent
                .w("; up to ")
                .add(high)
                .w(" more (")
                .w(what)
                .w(") cannot be ruled out");
        }
    }
    if line.is_empty() {
        return None;
    }
    let met = Dangers::of(facts).in_short(facts);
    for (at, danger) in met.into_iter().enumerate() {
        line = line.w(if at == 0 { "; we met " } else { ", " }).add(danger);
    }
    Some(line.add(absent).w("."))
}

fn takes(facts: &Facts<'_>) -> Option<Line> {
    let staff = facts.simulated("staff_hours", AMOUNT)?;
    let mut line = w("Copying takes about ")
        .add(staff)
        .w(" hours, ")
        .add(years(facts)?)
        .w(" years for ")
        .add(staff_of(facts));
    if let Some(cost) = facts.simulated("cost.total", COUNT) {
        line = line
            .w(", and costs about ")
            .said(currency(facts))
            .w(" ")
            .add(cost);
        if let Some(lacks) = costs::lacks(facts) {
            line = line.w(" with ").add(lacks);
        }
    }
    Some(line.w("."))
}

/// `1 person`, and whose number that is where nobody set it.
fn staff_of(facts: &Facts<'_>) -> Line {
    let capacity = facts.plan.assumptions.capacity;
    let people = if capacity.people > 1.0 {
        " people"
    } else {
        " person"
    };
    let line = Line::default()
        .fig("assumption.people", as_given(capacity.people))
        .w(people);
    if capacity == Capacity::default() {
        line.w(" (the program's default)")
    } else {
        line
    }
}

fn sure(facts: &Facts<'_>) -> Line {
    let line = w("Ranges in brackets are ").add(Facts::level()).w(" intervals");
    if facts.outlook.is_err() {
        return line.w(".");
    }
    line.w("; of hours, years and cost, ")
        .add(Facts::simulated_level())
        .w(" ranges given the assumptions listed in the report's annex.")
}
