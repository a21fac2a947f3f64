//! The report for people: one page that needs nothing else, runs nothing and says what it rests on.
//!
//! Made from the log wherever it is shown. The page inside a survey file is for those who have no other means; a reader
//! that has this program never opens it.
//!
//! Reading order: [`Options`], `facts` (what is gathered), `line` (how a number comes to bear its figure's id), then the
//! sections in the order of the page: `about`, `board`, `findings` (with `shares` and `shut`), `change`, `today`, `advice`, `takes`, `assumptions`, `method`, `limits`;
//! [`check`] recomputes every number of a report.
//! Beside them: `classes` and `dangers` (what is to be done and what may harm, in plain words), `prices` (their dates), `costs` and
//! `ladder` (the budget, and what a part of it does).

mod about;
mod advice;
mod assumptions;
mod board;
mod change;
mod charts;
pub mod check;
mod classes;
mod costs;
mod dangers;
mod drawn;
mod facts;
mod findings;
mod ladder;
mod learned;
mod limits;
mod line;
mod met;
mod method;
mod numbers;
mod options;
pub(crate) mod page;
mod paragraph;
mod prices;
mod reading;
mod scenarios;
mod shape;
mod shares;
mod shut;
mod style;
mod sums;
mod takes;
mod today;
mod twice;
mod uncosted;

use analysis::figures::figures;
use analysis::plan::Plan;
use serde::{Deserialize, Serialize};
use survey::{Log, State};

use crate::survey_file::Parts;
use crate::tables::{self, Table};
use facts::Facts;
use line::{Line, w};
use page::Page;

pub(crate) use facts::Ground;
pub use options::{MAX_OWN_TEXT, MAX_SECTION_TEXT, OPTIONAL, Options, QUESTION};
pub use paragraph::paragraph;
#[cfg(feature = "workbook")]
pub(crate) use paragraph::paragraph_of;

/// What a report says of how it was made, so that it can be made again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct MadeBy {
    survey: String,
    date: String,
    app: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    organization: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    contact: Option<String>,
    options: Options,
    /// The earlier visit that it compares with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    earlier: Option<ComparedWith>,
}

/// The earlier visit that a report compares with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct ComparedWith {
    survey: String,
    /// SHA-256 of its log.
    log: String,
}

/// The page of a survey, made anew from its log, with the options that are handed in ([`Options::of`] gives the log's own).
///
/// The same log, parts and options give the same bytes, on any device.
#[must_use]
pub fn html(log: &Log, parts: &Parts, options: &Options) -> String {
    html_since(log, parts, options, None)
}

/// The same with a section on what changed since an earlier visit, whose log is handed in.
#[must_use]
pub fn html_since(log: &Log, parts: &Parts, options: &Options, earlier: Option<&Log>) -> String {
    let state = State::fold(log);
    let figures = figures(&state);
    let ground = Ground {
        log,
        state: &state,
        figures: &figures,
        plan: &Plan::whole(&state, None, &mut |_, _| {}),
    };
    page_of(ground, parts, options, earlier)
}

/// The same, from what was worked out already.
pub(crate) fn page_of(ground: Ground<'_>, parts: &Parts, options: &Options, earlier: Option<&Log>) -> String {
    let tables = tables::all(ground.log, ground.state, ground.figures);
    page_with(ground, &tables, parts, options, earlier)
}

/// The same, with the tables that are there already.
pub(crate) fn page_with(
    ground: Ground<'_>,
    tables: &[Table],
    parts: &Parts,
    options: &Options,
    earlier: Option<&Log>,
) -> String {
    let state = ground.state;
    let mut facts = Facts::new(ground, parts, options.clone().cut(), earlier);
    let sections = sections(&facts);
    // Words of a section that is not there are nowhere in the page.
    let is_in = |key: &str| sections.iter().any(|(known, _)| *known == key);
    facts.options.own.retain(|key, _| is_in(key));
    let named = |name: &Option<String>| name.clone().filter(|_| facts.is_open());
    let made_by = MadeBy {
        survey: state.survey.to_string(),
        date: parts.date.to_string(),
        app: parts.app.clone(),
        organization: named(&parts.organization),
        contact: named(&parts.contact),
        options: facts.options.clone(),
        earlier: facts.earlier.as_ref().map(|earlier| ComparedWith {
            survey: earlier.survey.clone(),
            log: earlier.digest.clone(),
        }),
    };
    // Cannot fail: strings and a set of strings.
    let made_by = serde_json::to_string(&made_by).unwrap_or_default();
    let mut page = Page::headed(facts.title(), style::STYLE, Some(&made_by));
    page.raw("<header>\n");
    page.element("h1", facts.title());
    if state.practice {
        page.note("Practice: this collection is invented.");
    }
    about::write(&mut page, &facts);
    page.raw("</header>\n");
    contents(&mut page, &facts, &sections);
    page.raw("<main>\n");
    let met = met::met(state);
    for (key, heading) in sections {
        page.raw("<section id=\"");
        page.text(key);
        page.raw("\">\n");
        page.element("h2", heading);
        match key {
            "board" => board::write(&mut page, &facts),
            "findings" => {
                findings::write(&mut page, &facts);
                learned::write(&mut page, &facts);
            }
            "change" => change::write(&mut page, &facts),
            "today" => today::write(&mut page, &facts, &met),
            "recommendations" => advice::write(&mut page, &facts),
            "takes" => takes::write(&mut page, &facts),
            "assumptions" => assumptions::write(&mut page, &facts),
            "method" => method::write(&mut page, &facts),
            "limits" => limits::limits(&mut page, &facts),
            "cautions" => limits::cautions(&mut page, &facts),
            "definitions" => limits::definitions(&mut page),
            "glossary" => limits::glossary(&mut page),
            "statistics" => limits::statistics(&mut page, &facts),
            _ => limits::annex(&mut page, &facts, tables),
        }
        if let Some(text) = facts.options.own.get(key) {
            about::own_words(&mut page, ("h3", None), text);
        }
        page.raw("</section>\n");
    }
    page.raw("</main>\n");
    page.ended()
}

/// Every section in order: key and heading. Those that cannot be left out are what figures rest on.
pub const SECTIONS: [(&str, &str); 14] = [
    ("board", "On one page"),
    ("findings", "Findings"),
    ("change", "Change since an earlier visit"),
    ("today", "Found, and to be kept apart"),
    ("recommendations", "Recommendations"),
    ("takes", "What it takes"),
    ("assumptions", "Assumptions"),
    ("method", "Method"),
    ("limits", "Limits"),
    ("cautions", "Cautions"),
    ("definitions", "Definitions"),
    ("glossary", "Words used"),
    ("statistics", "For statisticians"),
    ("annex", "Data"),
];

fn sections(facts: &Facts<'_>) -> Vec<(&'static str, &'static str)> {
    let is_in = |key: &str| !OPTIONAL.iter().any(|(optional, _)| *optional == key) || facts.options.has(key);
    SECTIONS
        .into_iter()
        .filter(|(key, _)| is_in(key) && (*key != "change" || facts.earlier.is_some()))
        .collect()
}

fn contents(page: &mut Page, facts: &Facts<'_>, sections: &[(&str, &str)]) {
    page.raw("<nav aria-labelledby=\"contents\">\n<h2 id=\"contents\">Contents</h2>\n<ol>\n");
    for (key, heading) in sections {
        page.raw("<li><a href=\"#");
        page.text(key);
        page.raw("\">");
        page.text(heading);
        page.raw("</a></li>\n");
    }
    page.raw("</ol>\n");
    let gone: Vec<&str> = OPTIONAL
        .iter()
        .filter(|(key, _)| !facts.options.has(key))
        .map(|(_, heading)| *heading)
        .collect();
    if !gone.is_empty() {
        page.p(&w("Left out by the writer: ").w(&gone.join(", ")).w("."));
    }
    if !facts.is_open() {
        page.p(&Line::from("Places and names are left out of this version."));
    }
    page.raw("</nav>\n");
}
