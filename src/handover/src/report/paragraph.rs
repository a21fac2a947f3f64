//! A paragraph to paste into an application: the report's own sentences as plain text.

use analysis::figures::figures;
use survey::{Log, State};

use super::board;
use super::facts::{Facts, PERCENT};
use super::line::{Line, w};
use super::options::Options;
use crate::survey_file::Parts;

/// The paragraph, ended by a line feed.
#[must_use]
pub fn paragraph(log: &Log, parts: &Parts, options: &Options) -> String {
    let state = State::fold(log);
    let figures = figures(&state);
    let facts = Facts::new(log, &state, &figures, parts, options.clone(), None);
    let mut lines: Vec<Line> = Vec::new();
    if state.practice {
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
