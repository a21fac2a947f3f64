//! One page for those who decide: how much, in what state, what first, what it takes.
//!
//! Short words and short sentences: a test holds the page's reading age.

use costing::Capacity;

use super::classes::named;
use super::dangers::Dangers;
use super::facts::{AMOUNT, COUNT, Facts, given, ranged};
use super::line::{Line, w};
use super::numbers::{Unit, as_given};
use super::page::Page;
use super::{costs, ladder, prices};

/// Classes that cannot wait, most pressing first.
pub(super) const PRESSING: [&str; 4] = ["keep_away", "call_now", "leave_still", "first"];

/// Weeks of a year.
const WEEKS: f64 = 365.25 / 7.0;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let dangers = Dangers::of(facts);
    page.element("h3", "How much there is");
    for line in how_much(facts, &dangers) {
        page.p(&line);
    }
    let met = dangers.lines(facts);
    if !met.is_empty() {
        page.element("h3", "What may hurt people");
        for line in met {
            page.p(&line);
        }
    }
    page.element("h3", "What state it is in");
    page.lines(&state(facts));
    page.element("h3", "What must happen first");
    page.lines(&first(facts, &dangers));
    page.element("h3", "What it takes");
    takes(page, facts);
    page.element("h3", "How sure this is");
    page.p(&sure(facts));
}

/// The sentences that open the page.
fn how_much(facts: &Facts<'_>, dangers: &Dangers) -> Vec<Line> {
    let sample = &facts.figures.sample;
    let Some(items) = facts.estimate("items.total", COUNT) else {
        return vec![
            w("There is no estimate yet. Of ")
                .of("sample.n_boxes", sample.n_boxes, "box", "boxes")
                .w(" on the list, none is part of a complete round."),
        ];
    };
    let mut lines = vec![
        w("There are about ")
            .add(items)
            .w(" tapes and other sound carriers on a list of ")
            .of("sample.n_boxes", sample.n_boxes, "box", "boxes")
            .w(" (")
            .add(Facts::level())
            .w(" range)."),
    ];
    if let Some(hours) = facts.simulated("content_hours", AMOUNT) {
        lines.push(
            w("They hold about ")
                .add(hours)
                .w(" hours of sound")
                .add(given())
                .w("."),
        );
    }
    let stopped = if sample.n_stopped > 0 {
        w(", ")
            .n("sample.n_stopped", sample.n_stopped)
            .add(dangers.reasons())
    } else {
        Line::default()
    };
    lines.push(
        w("This comes from a sample: ")
            .of("sample.n_sampled", sample.n_sampled, "box was", "boxes were")
            .w(" drawn by lot, ")
            .n("sample.n_checked", sample.n_checked)
            .w(" of them opened and counted")
            .add(stopped)
            .add(facts.not_in_reach())
            .w(". In these we looked at ")
            .of("sample.n_items_checked", sample.n_items_checked, "tape", "tapes")
            .w(" one by one. Nothing was played."),
    );
    lines
}

/// One line a class that is there or cannot be ruled out though it could not wait.
fn state(facts: &Facts<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    for class in tape::actions() {
        let id = format!("action.{}", class.key);
        let Some(figure) = facts.figure(&format!("{id}.count")) else {
            continue;
        };
        if figure.estimate > 0.0 {
            let count = facts.estimate(&format!("{id}.count"), COUNT).unwrap_or_default();
            lines.push(
                named(class)
                    .w(": about ")
                    .add(count)
                    .w(" tapes. Seen on ")
                    .add(facts.seen(&format!("{id}.share")))
                    .w("."),
            );
        } else if PRESSING.contains(&class.key) {
            lines.extend(not_ruled_out(facts, class.key).map(|high| {
                named(class)
                    .w(": not met, but up to ")
                    .add(high)
                    .w(" tapes cannot be ruled out.")
            }));
        }
    }
    if lines.is_empty() {
        lines.push(w("Nothing can be said of the state yet."));
        return lines;
    }
    let stopped = if facts.figures.sample.n_stopped > 0 {
        " ranges. A stopped box counts for all that it holds."
    } else {
        " ranges."
    };
    lines.push(w("These are ").add(Facts::level()).w(stopped));
    lines
}

/// How many items of a class that was not met there may be all the same.
pub(super) fn not_ruled_out(facts: &Facts<'_>, class: &str) -> Option<Line> {
    let id = format!("action.{class}.count");
    let figure = facts.figure(&id).filter(|figure| figure.estimate <= 0.0)?;
    let high = figure.high.filter(|high| *high >= 0.5)?;
    let unit = Unit::of(figure.estimate, figure.low, figure.high, Unit::ONE);
    Some(Line::default().fig(format!("{id}.high"), unit.shown(high)))
}

/// What is done at once, for each pressing class that was met.
fn first(facts: &Facts<'_>, dangers: &Dangers) -> Vec<Line> {
    let mut lines = Vec::new();
    for class in tape::actions()
        .iter()
        .filter(|class| PRESSING.contains(&class.key))
    {
        let boxes = dangers.boxes_of(class);
        let there = facts
            .figure(&format!("action.{}.count", class.key))
            .is_some_and(|figure| figure.estimate > 0.0);
        if boxes == 0 && !there {
            continue;
        }
        let mut line = w("“").w(class.label).w("”: ").w(class.handling);
        if boxes > 0 {
            line = line
                .w(" Met in ")
                .of(format!("board.{}.boxes", class.key), boxes, "box", "boxes")
                .w(".");
        }
        lines.push(line);
    }
    if lines.is_empty() {
        lines.push(w(
            "Nothing that we saw calls for a step today. Keep the tapes cool, dry and in the dark.",
        ));
    }
    lines
}

/// Time, people, storage and money.
fn takes(page: &mut Page, facts: &Facts<'_>) {
    if let Err(why) = &facts.outlook {
        page.p(&w("This cannot be planned yet: ").said(why.clone()).w("."));
        return;
    }
    page.p(&w("All of this holds given these assumptions (")
        .add(Facts::simulated_level())
        .w(" ranges)."));
    let mut lines = Vec::new();
    if let (Some(staff), Some(years)) = (facts.simulated("staff_hours", AMOUNT), years(facts)) {
        lines.push(
            w("Copying it all takes about ")
                .add(staff)
                .w(" hours of work: about ")
                .add(years)
                .w(" years for ")
                .add(staffing(facts))
                .w("."),
        );
    }
    if let Some(gigabytes) = facts.simulated("gigabytes", AMOUNT) {
        lines.push(
            w("The files need about ")
                .add(gigabytes)
                .w(" gigabytes (GB), all copies counted."),
        );
    }
    match facts.simulated("cost.total", COUNT) {
        Some(cost) => {
            let mut line = w("The cost is about ")
                .said(currency(facts))
                .w(" ")
                .add(cost)
                .w(".");
            if let Some(lacks) = costs::lacks(facts) {
                line = line.w(" This is not yet a budget: ").add(lacks).w(".");
            }
            if let Some(flag) = prices::flag(facts) {
                line = line.w(" ").add(flag);
            }
            lines.push(line);
            lines.extend(ladder::in_short(facts));
        }
        None if facts.span("cost.total").is_some() => lines.push(w(
            "The prices that were given are for nothing that was met, so this report states no cost.",
        )),
        None => lines.push(w("No prices were given, so this report states no cost.")),
    }
    page.lines(&lines);
}

/// The weeks as years.
pub(super) fn years(facts: &Facts<'_>) -> Option<Line> {
    let weeks = facts.span("weeks")?;
    let [mean, low, high] = [weeks.mean, weeks.low, weeks.high].map(|weeks| weeks / WEEKS);
    Some(ranged("outlook.years", mean, Some(low), Some(high), AMOUNT))
}

/// `1 person at 30 hours a week with 1 machine`, and whose numbers these are where nobody set them.
pub(super) fn staffing(facts: &Facts<'_>) -> Line {
    let capacity = facts.plan.assumptions.capacity;
    let many = |number: f64, one: &'static str, many: &'static str| if number > 1.0 { many } else { one };
    let line = Line::default()
        .fig("assumption.people", as_given(capacity.people))
        .w(many(capacity.people, "\u{a0}person at ", "\u{a0}people at "))
        .fig(
            "assumption.people_hours_week",
            as_given(capacity.people_hours_week),
        )
        .w(" hours a week with ")
        .fig("assumption.machines", as_given(capacity.machines))
        .w(many(capacity.machines, "\u{a0}machine", "\u{a0}machines"));
    if capacity == Capacity::default() {
        line.w(" (the program's default, not a plan)")
    } else {
        line
    }
}

/// The planner's currency, which the log holds as they typed it.
pub(super) fn currency(facts: &Facts<'_>) -> String {
    facts.plan.assumptions.currency.clone()
}

fn sure(facts: &Facts<'_>) -> Line {
    let line = w(
        "The numbers in brackets are ranges. For what we counted or saw they are made to hold the true number in about ",
    )
    .add(Facts::level())
    .w(" of such surveys.");
    if facts.outlook.is_err() {
        return line;
    }
    line.w(" Hours, work, storage and cost also rest on assumptions. Their ranges are meant to hold in ")
        .add(Facts::simulated_level())
        .w(" of cases, if the assumptions are right.")
}
