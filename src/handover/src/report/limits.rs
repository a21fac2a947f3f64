//! What the report does not say, what to mind, what words mean, and where the data are.

use std::collections::{BTreeMap, BTreeSet};

use analysis::figures::Problem;
use analysis::records::Basis;
use survey::Subject;
use tape::Caution;

use super::drawn;
use super::facts::Facts;
use super::line::{Line, fig, said, w};
use super::numbers::three;
use super::page::Page;
use crate::tables::Table;

pub(super) fn limits(page: &mut Page, facts: &Facts<'_>) {
    let mut lines = vec![
        w(
            "This was a visual survey. Nothing was played, so nothing is said of what is recorded, or whether it can be heard.",
        ),
        w(
            "Signs are evidence, not diagnoses. Print-through, loss of signal and most faults of the sound cannot be seen.",
        ),
        w(
            "Playing times follow from length, speed and tracks as far as these were known. They are not measurements.",
        ),
        w(
            "Not looked at: boxes that are not on the list, items that were not drawn, the rooms' climate over the year, the \
           machines, the rights, and the worth of the recordings. A survey of condition cannot say what matters most to keep.",
        ),
        w(
            "A range covers what a sample leaves open. It does not cover a box that nobody listed, or a sign that \
           everybody misread.",
        ),
        w(
            "Errors of reading are in no range: every answer is taken as right. Two looks that agree show how firm an answer is, not \
           how true; how far a figure is wrong for them only a reference reading of some items can show. What differs between \
           readers at random is in the ranges, as part of how items differ.",
        ),
        w(
            "That the figures follow from the records can be checked; that the records are true, no check can show.",
        ),
    ];
    if facts.state.practice {
        lines.insert(0, w("This collection is invented, for practice."));
    }
    page.lines(&lines);
    let named = |problem: &Problem| match problem {
        Problem::StratumLeftOut { stratum, n_boxes } => Line::default()
            .of(format!("{stratum}.left_out"), *n_boxes, "box", "boxes")
            .w(" of ")
            .said(facts.stratum_name(stratum))
            .w(" are outside every figure: none of them was counted yet."),
        Problem::NotMade { why } => w("A figure could not be made: ").said(why.clone()),
    };
    for problem in &facts.figures.problems {
        page.within("p class=\"note\"", &named(problem));
    }
    for fault in &facts.state.faults {
        page.within(
            "p class=\"note\"",
            &w("Does not fit together: ").said(crate::verify::fault(fault)),
        );
    }
}

/// What the observations call for, each caution once with how many boxes and items called for it.
pub(super) fn cautions(page: &mut Page, facts: &Facts<'_>) {
    let mut called: BTreeMap<(bool, &str), (&'static Caution, usize)> = BTreeMap::new();
    for subject in facts.state.subjects() {
        let cautions = match subject {
            Subject::Box(_) => tape::cautions_for_box(&facts.state.answers(subject)),
            Subject::Item(item) => tape::cautions_for_item(&facts.state.item_answers(item)),
            Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => continue,
        };
        for caution in cautions {
            called
                .entry((!caution.for_people, caution.key))
                .or_insert((caution, 0))
                .1 += 1;
        }
    }
    if let Some(general) = tape::caution("general") {
        page.within("p class=\"note\"", &said(general.text));
    }
    if called.is_empty() {
        page.p(&w("Nothing observed so far calls for a caution of its own."));
    }
    for (caution, n) in called.values().filter(|(caution, _)| caution.key != "general") {
        page.element("h3", caution.title);
        page.p(&said(caution.text)
            .w(" (")
            .of(
                format!("caution.{}", caution.key),
                *n,
                "box or item",
                "boxes and items",
            )
            .w(")"));
    }
}

/// When each column is yes and when it is no, in a surveyor's words.
pub(super) fn definitions(page: &mut Page) {
    let rows: Vec<Vec<Line>> = tape::conditions()
        .iter()
        .map(|condition| {
            vec![
                said(condition.label),
                said(condition.yes_in_words()),
                said(condition.no_in_words()),
                said(condition.source),
            ]
        })
        .collect();
    page.grid(
        "Conditions: both or neither is “not known”",
        &["Condition", "Yes", "No", "Source"].map(Line::from),
        &[],
        &rows,
    );
    let rows: Vec<Vec<Line>> = tape::actions()
        .iter()
        .map(|class| {
            vec![
                said(class.label),
                said(class.fits),
                said(class.plan),
                said(class.handling),
                said(class.source),
            ]
        })
        .collect();
    page.grid(
        "What is to be done: an item is in the first class that fits",
        &["Class", "An item is here if", "Plan", "Handling", "Source"].map(Line::from),
        &[],
        &rows,
    );
}

pub(super) fn glossary(page: &mut Page) {
    const WORDS: [(&str, &str); 12] = [
        (
            "Acetate",
            "An early film that tape was coated on. It can decay and smell of vinegar.",
        ),
        ("Back coat", "A dark layer on the back of some tapes."),
        (
            "Binder",
            "What holds the magnetic coating on the film. It can become sticky.",
        ),
        ("Carrier", "One reel, cassette or cartridge."),
        (
            "Channel-hour",
            "An hour of sound of one channel: it decides how large files become.",
        ),
        (
            "Interval",
            "A range made so that it holds the true number in the stated part of such surveys.",
        ),
        (
            "Given these assumptions",
            "True only as far as the table of assumptions is.",
        ),
        (
            "Pass",
            "One run of the tape past the machine. Some tapes need two or four to be heard whole.",
        ),
        (
            "Round",
            "A few boxes, checked together. Complete rounds are a random sample.",
        ),
        (
            "Seed",
            "What was thrown or named before the draw, and decides it.",
        ),
        (
            "Stratum",
            "A part of the collection that was drawn from by itself.",
        ),
        ("Transfer", "Playing a tape once, with care, into a file."),
    ];
    let rows: Vec<Vec<Line>> = WORDS.iter().map(|(word, what)| vec![w(word), w(what)]).collect();
    page.grid(
        "Words",
        &["Word", "What it means here"].map(Line::from),
        &[],
        &rows,
    );
}

/// Every figure of the whole collection with what a statistician asks for.
pub(super) fn statistics(page: &mut Page, facts: &Facts<'_>) {
    let strata = facts.strata();
    let is_stratum = |id: &str| strata.iter().any(|(key, _)| id.starts_with(&format!("{key}.")));
    let number = |id: String, value: Option<f64>| match value {
        Some(value) => fig(id, three(value)),
        None => w("none"),
    };
    let told = || {
        let all = facts.figures.headline.iter();
        all.filter(|(id, _)| !is_stratum(id))
    };
    let methods: BTreeSet<&str> = told().map(|(_, figure)| figure.method.as_str()).collect();
    let place = |method: &str| {
        let at = methods.iter().position(|known| *known == method);
        at.map_or(0, |at| at + 1).to_string()
    };
    let rows: Vec<Vec<Line>> = told()
        .map(|(id, figure)| {
            vec![
                said(id.clone()),
                number(format!("{id}.estimate"), Some(figure.estimate)),
                number(format!("{id}.se"), figure.se),
                number(format!("{id}.df"), figure.df),
                number(format!("{id}.deff"), figure.deff),
                fig(format!("{id}.method"), place(&figure.method)),
            ]
        })
        .collect();
    page.grid(
        "Figures of the whole collection: estimate and standard error to three figures, degrees of freedom, design effect",
        &["Figure", "Estimate", "Standard error", "Degrees of freedom", "Design effect", "Interval by"].map(Line::from),
        &[1, 2, 3, 4, 5],
        &rows,
    );
    made_by(page, &methods);
}

/// The methods by number, each taken apart: what was done, how its limits were made, and what is said of the missing.
fn made_by(page: &mut Page, methods: &BTreeSet<&str>) {
    let apart: Vec<(&str, Vec<String>)> = methods.iter().map(|method| parts(method)).collect();
    let mut kinds: Vec<&str> = Vec::new();
    for part in apart.iter().flat_map(|(_, parts)| parts) {
        if !kinds.contains(&part.as_str()) {
            kinds.push(part);
        }
    }
    let (everywhere, some): (Vec<&str>, Vec<&str>) = kinds.into_iter().partition(|kind| {
        apart
            .iter()
            .all(|(_, parts)| parts.iter().any(|part| part == kind))
    });
    let rows: Vec<Vec<Line>> = apart
        .iter()
        .enumerate()
        .map(|(at, (how, parts))| {
            let number = (at + 1).to_string();
            let has = |kind: &&str| {
                w(if parts.iter().any(|part| part == kind) {
                    "yes"
                } else {
                    "no"
                })
            };
            let first = [fig(format!("method.{number}"), number), said(*how)];
            first.into_iter().chain(some.iter().map(has)).collect()
        })
        .collect();
    let header: Vec<Line> = [w("Number"), w("Estimate and limits")]
        .into_iter()
        .chain(some.iter().map(|kind| said(capital(kind))))
        .collect();
    page.grid(
        "Methods, by the number of the last column above",
        &header,
        &[],
        &rows,
    );
    for kind in everywhere {
        page.p(&w("In all of them: ").said(kind).w("."));
    }
}

/// A method's name taken apart: what was done, and what is said of the missing.
fn parts(method: &str) -> (&str, Vec<String>) {
    let (how, rest) = method.split_once("; ").unwrap_or((method, ""));
    let parts = rest.split("; ").filter(|part| !part.is_empty());
    (how, parts.map(str::to_owned).collect())
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{}", letters.as_str())
}

/// What lies beside this report.
pub(super) fn annex(page: &mut Page, facts: &Facts<'_>, tables: &[Table]) {
    page.p(&w(
        "The survey file holds everything that this report rests on: the log of every answer, the record of the draw, these \
         tables, every figure to its last digit, and a script for R that computes the main ones again. Its checksums, and \
         every number in this report, can be checked with the command quarterlight verify.",
    ));
    let rows: Vec<Vec<Line>> = tables
        .iter()
        .map(|table| {
            vec![
                said(table.path()),
                said(table.about),
                fig(
                    format!("table.{}.rows", table.name),
                    super::numbers::whole(table.n_rows()),
                ),
                fig(
                    format!("table.{}.columns", table.name),
                    table.fields.len().to_string(),
                ),
            ]
        })
        .collect();
    page.grid(
        "Tables",
        &["File", "What it holds", "Rows", "Columns"].map(Line::from),
        &[2, 3],
        &rows,
    );
    let whole: BTreeSet<_> = analysis::records::items(facts.state, Basis::Headline)
        .items
        .into_iter()
        .filter(|row| row.item_id == analysis::tables::WHOLE_BOX)
        .map(|row| row.box_id)
        .collect();
    if !whole.is_empty() {
        page.p(&w("Of the rows of items ")
            .of("sample.whole_boxes", whole.len(), "is", "are")
            .w(" no item: a row with an asterisk holds what a stopped box answered for all it holds."));
    }
    page.p(&w("Beside them: ")
        .said("log.ndjson, draw.json, figures.json, datapackage.json, recompute.R")
        .w("."));
    drawn::write(page, facts);
}
