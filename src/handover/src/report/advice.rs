//! What to do, in the order of time.
//!
//! Short: can start with present staff and money, or is urgent. Medium: needs extra planning or funds. Long: after those.
//! (The three terms of a preservation assessment, as NEDCC's Preservation 101, session 8, sets them out.)

use tape::ActionClass;

use super::board::currency;
use super::facts::{AMOUNT, COUNT, Facts};
use super::line::{Line, said, w};
use super::numbers::Unit;
use super::page::Page;

/// A term, why it is that term, and the classes that belong to it.
const TERMS: [(&str, &str, &[&str]); 3] = [
    (
        "Short term",
        "Urgent, or can start with the people and money there are.",
        &["keep_away", "call_now", "leave_still", "look_again"],
    ),
    ("Medium term", "Needs extra planning or funds.", &["first"]),
    ("Long term", "After those.", &["with_care", "ordinary"]),
];

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    for (term, why, keys) in TERMS {
        page.element("h3", term);
        page.within("p class=\"small\"", &w(why));
        if term == "Short term" {
            page.lines(&now(facts));
        }
        let mut absent = Vec::new();
        for class in tape::actions().iter().filter(|class| keys.contains(&class.key)) {
            match of_class(facts, class) {
                Some(lines) => {
                    page.within("p class=\"caption\"", &said(class.label));
                    page.lines(&lines);
                }
                None => absent.extend(not_seen(facts, class)),
            }
        }
        page.lines(&absent);
        if term == "Long term" {
            page.p(&w(
                "After a transfer: keep the originals, cool and dry; keep the files in more than one place, and compare their \
                 checksums every year (common practice, no source).",
            ));
        }
    }
}

/// What the survey itself leaves to do.
fn now(facts: &Facts<'_>) -> Vec<Line> {
    let sample = &facts.figures.sample;
    let mut lines = Vec::new();
    if sample.n_not_reached > 0 {
        lines.push(
            w("Reach the ")
                .of(
                    "sample.n_not_reached",
                    sample.n_not_reached,
                    "drawn box that was",
                    "drawn boxes that were",
                )
                .w(" not found or not opened: nothing is known of them."),
        );
    }
    if facts.plan.assumptions.has_prices() {
        lines.push(w("Check the dates of the prices below before they go into a budget; ask again for those that are old."));
    } else {
        lines.push(w("Ask for prices: without them there is no cost here."));
    }
    let shared = facts.outlook.as_ref().ok().is_some_and(|outlook| {
        let of_tapes =
            |cause: &costing::Cause| matches!(cause, costing::Cause::Speed(_) | costing::Cause::Tracks(_));
        outlook
            .drivers
            .iter()
            .take(3)
            .any(|driving| of_tapes(&driving.cause))
    });
    if shared {
        lines.push(w(
            "Ask whoever made the recordings, or knew the machines, at what speed and on how many tracks: nothing costs \
             less and narrows the hours more.",
        ));
    }
    lines
}

/// How many, what to do, who must mind what, and what it costs; nothing for a class that was not met.
fn of_class(facts: &Facts<'_>, class: &ActionClass) -> Option<Vec<Line>> {
    let id = format!("action.{}", class.key);
    let figure = facts.figure(&format!("{id}.count"))?;
    if figure.estimate <= 0.0 {
        return None;
    }
    let count = facts.estimate(&format!("{id}.count"), COUNT)?;
    let mut lines = vec![
        w("About ")
            .add(count)
            .w(" items; seen on ")
            .add(facts.seen(&format!("{id}.share")))
            .w("."),
        w("Do: ").said(class.plan),
        w("Until then: ").said(class.handling),
        w("People: ").said(class.people),
        w("Money: ").said(class.money),
    ];
    if let Some(hours) = facts.simulated(&format!("class.{}.content_hours", class.key), AMOUNT) {
        lines.push(
            w("Sound: about ")
                .add(hours)
                .w(" hours, given these assumptions."),
        );
    }
    if let Some(cost) = facts.simulated(&format!("class.{}.cost", class.key), COUNT) {
        lines.push(
            w("Cost of this class: about ")
                .said(currency(facts))
                .w(" ")
                .add(cost)
                .w(", given these assumptions; each price has its date in the table of assumptions."),
        );
    }
    Some(lines)
}

/// A class that was not met can still be there.
fn not_seen(facts: &Facts<'_>, class: &ActionClass) -> Option<Line> {
    let id = format!("action.{}.count", class.key);
    let figure = facts.figure(&id)?;
    let high = figure.high?;
    let unit = Unit::of(figure.estimate, figure.low, figure.high, Unit::ONE);
    Some(
        w("“")
            .w(class.label)
            .w("”: not met. Up to ")
            .fig(format!("{id}.high"), unit.shown(high))
            .w(" items cannot be ruled out (upper end of the ")
            .add(Facts::level())
            .w(" interval)."),
    )
}
