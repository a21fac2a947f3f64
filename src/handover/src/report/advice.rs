//! What to do, in the order of time.
//!
//! Short: can start with present staff and money, or is urgent. Medium: needs extra planning or funds. Long: after those.
//! (The three terms of a preservation assessment, as NEDCC's Preservation 101, session 8, sets them out.)

use tape::ActionClass;

use super::board::{currency, not_ruled_out};
use super::classes::{before_next, named, reason};
use super::facts::{AMOUNT, COUNT, Facts};
use super::ladder::spanned;
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

/// Key of the price for rooms and protection.
const SPACE: &str = "money.space";

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    page.p(&w(
        "What the recordings mean, who uses them and who has rights in them was not surveyed: see the application.",
    ));
    if facts.outlook.is_ok() {
        let line = w("What stands here of hours and money is given these assumptions (")
            .add(Facts::simulated_level())
            .w(" ranges)");
        page.p(&if facts.span("cost.total").is_some() {
            line.w("; each price has its date in the table of assumptions. A class's cost is without what comes once.")
        } else {
            line.w(".")
        });
    }
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
                    page.within(
                        "p class=\"caption\"",
                        &said(class.label).w(" (").w(reason(class)).w(")"),
                    );
                    page.lines(&lines);
                }
                None => absent.extend(not_seen(facts, class)),
            }
        }
        page.lines(&absent);
        if term == "Medium term" {
            let copies = copying(facts);
            if !copies.is_empty() {
                page.within("p class=\"caption\"", &w("Copies of what is made safe first"));
                page.lines(&copies);
            }
        }
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
                .w(if sample.n_not_reached == 1 {
                    " not found or not opened: nothing is known of it."
                } else {
                    " not found or not opened: nothing is known of them."
                }),
        );
    }
    if facts.plan.assumptions.has_prices() {
        let dates = super::prices::lines(facts);
        lines.extend(dates.into_iter().map(|line| w("Prices: ").add(line)));
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
    let again = super::reading::advice(facts);
    lines.extend((!again.is_empty()).then_some(again));
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
            .w(" items (")
            .add(Facts::level())
            .w(" range); seen on ")
            .add(facts.seen(&format!("{id}.share")))
            .w("."),
        w("Do: ").said(class.plan),
        w("Why here: ").w(before_next(class)),
        w("Until then: ").said(class.handling),
        w("People: ").said(class.people),
        w("Money: ").said(class.money),
    ];
    lines.extend(sound(facts, class));
    lines.extend(cost(facts, class));
    Some(lines)
}

/// Hours of sound of a class: where the sample hardly holds any of it, the upper end alone.
fn sound(facts: &Facts<'_>, class: &ActionClass) -> Option<Line> {
    let id = format!("class.{}.content_hours", class.key);
    let span = facts.span(&id)?;
    let line = if span.low < 0.5 && span.high >= 0.5 {
        let (id, unit) = (
            format!("outlook.{id}.high"),
            Unit::of(span.mean, Some(span.low), Some(span.high), Unit::TENTH),
        );
        w("Sound: up to ").fig(id, unit.shown(span.high))
    } else {
        w("Sound: about ").add(facts.simulated(&id, AMOUNT)?)
    };
    Some(line.w(" hours."))
}

/// What a class costs: what cannot wait is told apart from the copying that comes after it.
fn cost(facts: &Facts<'_>, class: &ActionClass) -> Option<Line> {
    let money = |id: &str| Some(said(currency(facts)).w(" ").add(facts.simulated(id, COUNT)?));
    let id = format!("class.{}.cost", class.key);
    if !is_short(class) {
        facts.span(&id)?;
        return Some(match money(&id) {
            Some(money) => w("Cost, with the copies: about ").add(money).w("."),
            None => w("Cost: not costed, for no price was given for what is done with it."),
        });
    }
    let before = format!("{id}_before");
    let mut line = match facts.span(&before)? {
        span if span.high > 0.0 => w("Cost to make it safe (cleaning, assessment, treatment): about ")
            .add(money(&before)?)
            .w("."),
        _ if class.work.clean || class.work.specialist => {
            w("Cost to make it safe: no price was given for it.")
        }
        _ => w("Cost: working time alone."),
    };
    if class.work.clean && facts.plan.assumptions.range(SPACE).is_none() {
        line = line.w(" Rooms and protection have no price yet.");
    }
    Some(line)
}

fn is_short(class: &ActionClass) -> bool {
    TERMS[0].2.contains(&class.key)
}

/// What the copies of the classes cost that are made safe first.
fn copying(facts: &Facts<'_>) -> Vec<Line> {
    let Ok(outlook) = &facts.plan.outlook else {
        return Vec::new();
    };
    if facts.span("cost.total").is_none() {
        return Vec::new();
    }
    let told = tape::actions()
        .iter()
        .filter(|class| is_short(class))
        .filter_map(|class| {
            let id = format!("class.{}.cost", class.key);
            let span = outlook.range_of(std::slice::from_ref(&id), &[format!("{id}_before")])?;
            (span.high > 0.0).then(|| {
                w("To copy “")
                    .w(class.label)
                    .w("” once it is safe: about ")
                    .said(currency(facts))
                    .w(" ")
                    .add(spanned(&format!("outlook.{id}_after"), span, COUNT))
                    .w(".")
            })
        });
    told.collect()
}

/// A class that was not met can still be there.
fn not_seen(facts: &Facts<'_>, class: &ActionClass) -> Option<Line> {
    let high = not_ruled_out(facts, class.key)?;
    Some(
        named(class)
            .w(": not met, so not costed. Up to ")
            .add(high)
            .w(" items cannot be ruled out (upper end of the ")
            .add(Facts::level())
            .w(" interval)."),
    )
}
