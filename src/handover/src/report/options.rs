//! What a writer decides about a report: what is left out, what is added, who is named.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use survey::{State, Subject};
use tape::Answer;

/// The question, about the survey as a whole, whose answer holds the options as JSON text.
pub const QUESTION: &str = "report_options";

/// Sections that a writer may leave out, by key, with the words they stand under.
///
/// What a figure rests on is not among them: findings, method, assumptions and limits are in every report.
pub const OPTIONAL: [(&str, &str); 8] = [
    ("board", "On one page"),
    ("today", "Found, and to be kept apart"),
    ("recommendations", "Recommendations"),
    ("takes", "What it takes"),
    ("cautions", "Cautions"),
    ("definitions", "Definitions"),
    ("glossary", "Words used"),
    ("statistics", "For statisticians"),
];

/// The most characters of the writer's own text: what an entry of the log holds.
pub const MAX_OWN_TEXT: usize = 20_000;

/// The most characters of a text of the writer's own in one section: with one in every section, an entry holds them all.
pub const MAX_SECTION_TEXT: usize = 4_000;

/// A writer's decisions. What is not decided is empty: every section, nothing added, places and names as they are.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Options {
    /// Keys of [`OPTIONAL`] sections that are left out. The report says so.
    pub leave_out: BTreeSet<String>,
    /// A text of the writer's own, paragraphs with an empty line between them. The report marks it as such.
    pub own_text: String,
    /// Texts of the writer's own at the end of sections, by key of [`super::SECTIONS`], each as `own_text`.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub own: BTreeMap<String, String>,
    /// Who answers for the report.
    pub author: String,
    /// What qualifies them.
    pub qualifications: String,
    /// Which version of the report it is, as the writer counts.
    pub version: String,
    /// For outsiders: no place, no name, no text that somebody typed but the writer's own.
    pub without_places: bool,
}

impl Options {
    /// The options in a survey's log; the defaults where there are none, or none that this program reads.
    #[must_use]
    pub fn of(state: &State) -> Self {
        match state.answer(Subject::Survey, QUESTION) {
            Some(Answer::Text(json)) => serde_json::from_str(json).unwrap_or_default(),
            _ => Self::default(),
        }
        .cut()
    }

    /// The answer to [`QUESTION`] that keeps the options in the log.
    #[must_use]
    pub fn answer(&self) -> Answer {
        // Cannot fail: strings, a set of strings and a yes or no.
        Answer::Text(serde_json::to_string(&self.clone().cut()).unwrap_or_default())
    }

    /// Whether a section is in.
    #[must_use]
    pub fn has(&self, section: &str) -> bool {
        !self.leave_out.contains(section)
    }

    pub(super) fn cut(mut self) -> Self {
        self.own_text = self.own_text.chars().take(MAX_OWN_TEXT).collect();
        self.own.retain(|key, text| {
            super::SECTIONS.iter().any(|(known, _)| known == key) && !text.trim().is_empty()
        });
        for text in self.own.values_mut() {
            *text = text.chars().take(MAX_SECTION_TEXT).collect();
        }
        self
    }
}
