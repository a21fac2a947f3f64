//! How it was done, written from what was done.

use std::collections::{BTreeMap, BTreeSet};

use survey::entry::{SeedSource, Walk};
use survey::progress::Outcome;
use survey::{Content, Subject, Way};

use super::facts::Facts;
use super::line::{Line, fig, said, w};
use super::met::reasons;
use super::page::Page;
use super::sums;
use super::twice;
use crate::day;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    page.element("h3", "The list and the draw");
    frame(page, facts);
    rolls(page, facts);
    rounds(page, facts);
    page.element("h3", "The look");
    look(page, facts);
    missing(page, facts);
    twice::again(page, facts);
    page.element("h3", "The sums");
    sums::write(page, facts);
}

fn frame(page: &mut Page, facts: &Facts<'_>) {
    let Some(frame) = &facts.state.frame else {
        page.p(&w("The list of boxes is still open; nothing was drawn."));
        return;
    };
    let mut line = w("Every box was listed first, with a number of its own. The list was closed with ")
        .of("frame.boxes", frame.boxes.len(), "box", "boxes")
        .w(" in ")
        .of(
            "frame.strata",
            frame.boxes.values().collect::<BTreeSet<_>>().len(),
            "stratum",
            "strata",
        );
    if let Some(person) = facts.person(frame.entry) {
        line = line.w(" by ").said(person);
    }
    if let Some(day) = facts.day(frame.entry) {
        line = line.w(" on ").said(day.to_string());
    }
    page.p(&line.w(
        ", before anything was drawn. Boxes outside the list are outside every figure. The list's digest:",
    ));
    page.element("code", &frame.digest);
    let late = facts.state.late_boxes().count();
    if late > 0 {
        page.p(&Line::default()
            .of("frame.late", late, "box was", "boxes were")
            .w(" found after the draw. They are a stratum of their own, drawn from in the same way."));
    }
}

fn rolls(page: &mut Page, facts: &Facts<'_>) {
    if facts.state.rolls.is_empty() {
        return;
    }
    page.p(&w(
        "The order in which boxes are drawn follows from a seed and each box's number by a published rule (a hash), so that \
         anybody can draw again. Every roll that was ever made is listed: that somebody rolled again cannot be prevented, \
         only seen.",
    ));
    let rows: Vec<Vec<Line>> = facts
        .state
        .rolls
        .iter()
        .enumerate()
        .map(|(at, roll)| {
            let seed = if facts.is_open() || roll.source == SeedSource::Dice {
                said(roll.seed.clone())
            } else {
                w("in the survey file")
            };
            vec![
                fig(format!("roll.{}", at + 1), (at + 1).to_string()),
                seed,
                w(crate::draw_record::source(roll.source)),
                said(day::instant(roll.at_ms).unwrap_or_default()),
                w(if roll.in_force {
                    "in force"
                } else {
                    "replaced or undone"
                }),
            ]
        })
        .collect();
    page.grid(
        "Rolls",
        &["Roll", "Seed", "From", "At (device's clock)", "Standing"].map(Line::from),
        &[],
        &rows,
    );
}

fn rounds(page: &mut Page, facts: &Facts<'_>) {
    let Some(draw) = &facts.state.draw else { return };
    let items = match draw.items_per_box {
        Some(n) => w("at most ")
            .n("draw.items_per_box", n as usize)
            .w(" items of a box, drawn by the same seed,"),
        None => w("every item of a box"),
    };
    page.p(
        &w("Boxes are checked in rounds of ")
            .n("draw.round_size", draw.round_size as usize)
            .w(" or more; the first takes two of every stratum, then each box goes to the \
                stratum that has fewest for the number of its boxes on the list, so that strata are drawn from in proportion. \
                Complete rounds are a random sample, whenever the work \
                stops. In each opened box every carrier was counted, and ")
            .add(items)
            .w(" looked at one by one. No box was exchanged for another."),
    );
    let rows: Vec<Vec<Line>> = facts
        .state
        .rounds
        .iter()
        .map(|(number, walk)| {
            let progress = facts.state.round_progress(*number);
            let id = format!("round.{number}");
            vec![
                fig(id.clone(), number.to_string()),
                Line::default().n(format!("{id}.boxes"), progress.n_boxes),
                Line::default().n(format!("{id}.finished"), progress.n_finished),
                w(match walk {
                    Walk::Shelf => "along the shelves",
                    Walk::Draw => "in the order drawn",
                }),
                w(if progress.is_complete() {
                    "complete"
                } else {
                    "not complete"
                }),
            ]
        })
        .collect();
    page.grid(
        "Rounds (nought: boxes found after the draw)",
        &["Round", "Boxes", "Finished", "Walked", "Standing"].map(Line::from),
        &[1, 2],
        &rows,
    );
    let sample = &facts.figures.sample;
    if sample.n_finished > sample.n_sampled {
        page.p(
            &Line::default()
                .of("sample.left_out", sample.n_finished - sample.n_sampled, "finished box", "finished boxes")
                .w(" of a half-done round stay out of these figures, for the order they were visited in was not random. \
                    The table of figures has both."),
        );
    }
}

/// Instruments, and how answers came to be.
fn look(page: &mut Page, facts: &Facts<'_>) {
    page.p(&w(
        "Tools: the eye, a lamp, a plastic ruler held in the air, and the nose at arm's length. Nothing was played, unwound, \
         touched on its coating, cleaned or treated. “Can't tell” was always an answer. Answers that do not fit together were \
         pointed out at once, and every correction is kept beside what it replaces.",
    ));
    let mut ways: BTreeMap<&str, usize> = BTreeMap::new();
    for entry in facts.log.entries() {
        let Content::Answer {
            subject: Subject::Box(_) | Subject::Item(_),
            origin,
            ..
        } = entry.content()
        else {
            continue;
        };
        let way = match Way::read(&origin.from) {
            _ if origin.from.is_empty() => "one question at a time",
            Some(Way::QuickLook) => "one tap after a look at the whole item",
            Some(Way::SameAs(_)) => "the same as another item, with this one looked at",
            Some(Way::Photo(_)) => "read from a photograph",
            Some(Way::Paper(_)) => "typed from paper",
            Some(Way::Chosen(_)) => "chosen where two looks differed",
            None => "in another way",
        };
        *ways.entry(way).or_insert(0) += 1;
    }
    let lines: Vec<Line> = ways
        .iter()
        .map(|(way, n)| {
            let id = way.replace([' ', ','], "_");
            w(way)
                .w(": ")
                .of(format!("answers.{id}"), *n, "answer", "answers")
        })
        .collect();
    page.lines(&lines);
    twice::photographs(page, facts);
}

fn missing(page: &mut Page, facts: &Facts<'_>) {
    let words = |outcome: Outcome| match outcome {
        Outcome::Stopped => "stopped for a hazard: what was seen counts, the rest is not assumed",
        Outcome::Uncounted => "opened, but nobody could count: nothing is assumed of the rest",
        Outcome::NotReached => "not reached: taken as the other boxes of its stratum",
        Outcome::OutOfScope => "holds nothing that is surveyed: an answer, with no items",
        Outcome::Checked => "checked",
    };
    let reasons = reasons(facts.state);
    if reasons.is_empty() {
        page.p(&w("Every box that was visited was opened and counted."));
        return;
    }
    let rows: Vec<Vec<Line>> = reasons
        .iter()
        .enumerate()
        .map(|(at, ((outcome, reason), n))| {
            vec![
                said(*reason),
                Line::default().n(format!("missing.{}", at + 1), *n),
                w(words(*outcome)),
            ]
        })
        .collect();
    page.grid(
        "Boxes visited and not fully checked",
        &["Reason", "Boxes", "How the figures treat them"].map(Line::from),
        &[1],
        &rows,
    );
}
