//! A paragraph to paste into an application: the report's own sentences as plain text.

use analysis::figures::figures;
use analysis::plan::Plan;
use survey::{Log, State};

use super::board;
use super::facts::{Facts, Ground, PERCENT};
use super::line::{Line, w};
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
    lines.extend(board::how_much(&facts));
    for class in tape::actions()
        .iter()
        .filter(|class| board::PRESSING.contains(&class.key))
    {
        let id = format!("action.{}.share", class.key);
        let is_there = facts.figure(&id).is_some_and(|figure| figure.estimate > 0.0);
        if let (true, Some(share)) = (is_there, facts.estimate(&id, PERCENT)) {
            lines.push(
                w("An estimated ")
                    .add(share)
                    .w(" of the items are in the class “")
                    .w(class.label)
                    .w("” (seen on ")
                    .add(facts.seen(&id))
                    .w(")."),
            );
        }
    }
    lines.extend(board::takes(&facts));
    let mut last = w("Ranges in brackets are ")
        .add(Facts::level())
        .w(" confidence intervals");
    if facts.outlook.is_ok() {
        last = last
            .w("; for hours of sound, work, storage and cost they are ")
            .add(Facts::simulated_level())
            .w(" ranges that also rest on stated assumptions");
    }
    lines.push(last.w(". The survey file holds the random draw, every record and every assumption, so that each figure can be computed again."));
    let text: Vec<String> = lines.iter().map(Line::plain).collect();
    format!("{}\n", text.join(" "))
}
