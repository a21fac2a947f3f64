//! Photographs, and what was looked at or read twice: how firm the answers are.

use std::collections::BTreeMap;

use analysis::agreement::ReadTwice;
use survey::photo::Shows;
use survey::reading::first_key;
use survey::{Content, Subject, Way};

use super::facts::{Facts, percent};
use super::line::{Line, fig, said, w};
use super::numbers::three;
use super::page::Page;

/// How many were taken, of what, and what was answered by them.
pub(super) fn photographs(page: &mut Page, facts: &Facts<'_>) {
    let (mut left, mut read) = (0, 0);
    for entry in facts.log.entries() {
        let Content::Answer {
            subject: Subject::Box(_) | Subject::Item(_),
            question,
            value,
            origin,
            ..
        } = entry.content()
        else {
            continue;
        };
        left += usize::from(value.has(tape::PHOTOGRAPHED));
        let is_first = first_key(question) == question.as_str();
        read += usize::from(is_first && matches!(Way::read(&origin.from), Some(Way::Photo(_))));
    }
    let taken = &facts.state.photos;
    let left = w("Photographs: ")
        .of("answers.photographed", left, "answer was", "answers were")
        .w(" left for a photograph, ")
        .of("answers.read_from_photo", read, "answer was", "answers were")
        .w(" read from one.");
    if taken.is_empty() {
        page.p(&left.w(" None is kept in the survey file."));
        return;
    }
    let of = |shows: Shows| taken.iter().filter(|taken| taken.photo.shows == shows).count();
    page.p(&left
        .w(" The survey file keeps ")
        .of("photos", taken.len(), "photograph", "photographs")
        .w(", each named in the log by its ")
        .said("SHA-256")
        .w(": ")
        .n("photos.label", of(Shows::Label))
        .w(" of writing, ")
        .n("photos.damage", of(Shows::Damage))
        .w(" of damage, ")
        .n("photos.other", of(Shows::Other))
        .w(" of something else. None is in this report, and whether one shows a scale is not recorded."));
}

/// Two looks at the same thing, by question; and photographs that were read twice.
pub(super) fn again(page: &mut Page, facts: &Facts<'_>) {
    let looks = looks(page, facts);
    let readings = readings(page, facts);
    if !looks && !readings {
        page.p(&w(
            "No box or item was looked at a second time and no photograph read a second time, so how well two looks agree is \
             not known.",
        ));
    } else if !looks {
        page.p(&w(
            "No box or item was looked at a second time: the agreement is that of reading photographs alone.",
        ));
    }
}

fn looks(page: &mut Page, facts: &Facts<'_>) -> bool {
    let mut all: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    for question in tape::questions() {
        for subject in facts.state.subjects() {
            let heads = facts.state.heads(subject, question.key);
            if let [first, second, ..] = heads {
                let counts = all.entry(question.key).or_default();
                counts[0] += 1;
                counts[1] += usize::from(first.value == second.value);
            }
        }
    }
    let rows: Vec<Vec<Line>> = all
        .iter()
        .map(|(key, [n, same])| {
            vec![
                question(key),
                Line::default().n(format!("repeat.{key}.compared"), *n),
                Line::default().n(format!("repeat.{key}.same"), *same),
            ]
        })
        .collect();
    page.grid(
        "Two looks at the same thing (plain agreement; whether the second was blind is not recorded)",
        &["Question", "Looked at twice", "Same answer"].map(Line::from),
        &[1, 2],
        &rows,
    );
    !rows.is_empty()
}

fn readings(page: &mut Page, facts: &Facts<'_>) -> bool {
    let pairs = &facts.figures.read_twice;
    let begun = facts.state.second_plan();
    if pairs.is_empty() && begun.is_none() {
        return false;
    }
    if let Some(plan) = begun {
        let chosen = facts.state.chosen_again().len();
        let done = facts
            .state
            .chosen_again()
            .iter()
            .filter(|subject| facts.state.is_read_again(**subject))
            .count();
        let mut line = w("A second reading of photographs was planned: ")
            .fig("read_twice.percent", plan.percent.to_string())
            .w(" of a hundred, chosen by a seed of their own");
        if facts.is_open() {
            line = line.w(" (").said(plan.seed).w(")");
        }
        page.p(&line
            .w(", by somebody who had not read them first and did not see the first reading. Chosen: ")
            .n("read_twice.chosen", chosen)
            .w("; read again: ")
            .n("read_twice.done", done)
            .w("."));
    }
    let rows: Vec<Vec<Line>> = pairs.iter().map(|(key, made)| reading(key, made)).collect();
    if rows.is_empty() {
        return begun.is_some();
    }
    page.grid(
        "Two readings of the same photographs, of items the figures rest on",
        &[
            w("Question"),
            w("Read twice"),
            w("Same answer"),
            w("Standard error"),
            w("Kappa"),
            said("AC1"),
        ],
        &[1, 2, 3, 4, 5],
        &rows,
    );
    page.p(
        &w("Agreement is weighted as the sample is, its error by boxes. Kappa (Cohen) and ")
            .said("AC1")
            .w(
                " (Gwet) take off what two readers would agree in by chance; kappa collapses where nearly all answers are the \
             same. Agreement says how firm an answer is, not how true: two readers can be wrong together.",
            ),
    );
    true
}

fn reading(key: &str, made: &ReadTwice) -> Vec<Line> {
    let id = |part: &str| format!("read_twice.{key}.{part}");
    let number = |part: &str, value: Option<f64>| match value {
        Some(value) => fig(id(part), three(value)),
        None => w("none"),
    };
    vec![
        question(key),
        fig(id("n"), made.n.to_string()),
        percent(id("observed"), made.observed),
        made.observed_se
            .map_or_else(|| w("none"), |se| percent(id("observed_se"), se)),
        number("kappa", made.kappa),
        number("ac1", Some(made.ac1)),
    ]
}

/// A question's short name, with the choice where several can be marked (`label.date`).
fn question(key: &str) -> Line {
    let (name, choice) = key.split_once('.').unwrap_or((key, ""));
    let Some(question) = tape::question(name) else {
        return said(key);
    };
    let label = question
        .choices
        .iter()
        .find(|known| known.key == choice)
        .map_or(choice, |known| known.label);
    if choice.is_empty() {
        said(question.short)
    } else {
        said(format!("{}: {label}", question.short))
    }
}
