//! Every number of a report, computed again: which of them do not follow from the survey's log?

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use survey::Log;

use super::MadeBy;
use super::facts::digest;
use super::page::{FIGURE, MADE_BY};
use crate::APP;
use crate::survey_file::Parts;

/// A number that does not follow from the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrongNumber {
    /// The figure's id.
    pub id: String,
    /// What the report says.
    pub said: String,
    /// What follows from the log.
    pub recomputed: String,
}

/// What a check of a report came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReportCheck {
    /// Numbers that were computed again.
    pub n_figures: usize,
    /// Those that do not follow.
    pub wrong: Vec<WrongNumber>,
    /// The first line that differs though every number is right; nothing where the words could not be compared.
    pub line: Option<usize>,
    /// Why the words were not compared: the version that wrote them, if it is another.
    pub other_version: Option<String>,
}

impl ReportCheck {
    /// Whether nothing differs that could be compared.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.wrong.is_empty() && self.line.is_none()
    }
}

/// Why a report cannot be checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum ReportError {
    /// No report of this program.
    #[error("this is no report that this program wrote, or its head was changed")]
    NoReport,
    /// A report of another survey.
    #[error("this report is of survey {0}, not of this file's")]
    OtherSurvey(String),
    /// It compares with an earlier visit, whose file was not given.
    #[error(
        "this report compares with an earlier visit, survey {0}: give that visit's file too (quarterlight verify FILE --report REPORT --earlier FILE)"
    )]
    NeedsEarlier(String),
    /// Another file than the earlier visit's that it compares with.
    #[error(
        "this report compares with another earlier visit than that of the file given, or with another state of it"
    )]
    OtherEarlier,
}

/// Makes the report anew, as it says it was made, and compares every number by its id, then every line.
///
/// # Errors
/// [`ReportError`] where it is no report, or one of another survey.
pub fn check(html: &str, log: &Log) -> Result<ReportCheck, ReportError> {
    check_since(html, log, None)
}

/// The same for a report that compares with an earlier visit, whose log is handed in. A report that does not needs none.
///
/// # Errors
/// [`ReportError`], also where it is another visit than the one it compares with.
pub fn check_since(html: &str, log: &Log, earlier: Option<&Log>) -> Result<ReportCheck, ReportError> {
    let made_by = made_by(html).ok_or(ReportError::NoReport)?;
    if made_by.survey != log.survey().to_string() {
        return Err(ReportError::OtherSurvey(
            made_by.survey.chars().take(40).collect(),
        ));
    }
    let parts = Parts {
        date: made_by.date.parse().map_err(|_| ReportError::NoReport)?,
        app: made_by.app.clone(),
        organization: made_by.organization,
        contact: made_by.contact,
    };
    let earlier = match (&made_by.earlier, earlier) {
        (None, _) => None,
        (Some(named), None) => {
            return Err(ReportError::NeedsEarlier(named.survey.chars().take(40).collect()));
        }
        (Some(named), Some(given)) if named.log == digest(given) => Some(given),
        (Some(_), Some(_)) => return Err(ReportError::OtherEarlier),
    };
    let anew = super::html_since(log, &parts, &made_by.options, earlier);
    Ok(compare(html, &anew, parts.app))
}

/// Compares a report that version `app` wrote with the same made anew: numbers by their ids, and if this version wrote it,
/// every line.
#[must_use]
pub fn compare(html: &str, anew: &str, app: String) -> ReportCheck {
    let (said, recomputed) = (numbers(html), numbers(anew));
    let ids: BTreeSet<&String> = said.keys().chain(recomputed.keys()).collect();
    let shown = |numbers: Option<&Vec<String>>, other: Option<&Vec<String>>| -> String {
        let other = other.map_or(&[][..], Vec::as_slice);
        let all = numbers.map_or(&[][..], Vec::as_slice);
        // Of a figure that stands several times, the one that differs.
        let differs = all
            .iter()
            .enumerate()
            .find(|(at, text)| other.get(*at) != Some(text));
        differs.map_or_else(|| "nothing".to_owned(), |(_, text)| text.clone())
    };
    let wrong: Vec<WrongNumber> = ids
        .into_iter()
        .filter(|id| said.get(*id) != recomputed.get(*id))
        .map(|id| WrongNumber {
            id: id.clone(),
            said: shown(said.get(id), recomputed.get(id)),
            recomputed: shown(recomputed.get(id), said.get(id)),
        })
        .collect();
    let same_version = app == APP;
    let line = (same_version && wrong.is_empty() && html != anew).then(|| {
        let mut pairs = html.lines().zip(anew.lines());
        pairs.position(|(said, made)| said != made).map_or(0, |at| at + 1)
    });
    ReportCheck {
        n_figures: recomputed.values().map(Vec::len).sum(),
        wrong,
        line,
        other_version: (!same_version).then_some(app),
    }
}

fn made_by(html: &str) -> Option<MadeBy> {
    let json = html.split_once(MADE_BY)?.1.split_once("\">")?.0;
    serde_json::from_str(&unescaped(json)).ok()
}

/// What each figure is shown as, in the order of the page.
fn numbers(html: &str) -> BTreeMap<String, Vec<String>> {
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for part in html.split(FIGURE).skip(1) {
        if let Some((id, rest)) = part.split_once("\">") {
            let shown = rest.split('<').next().unwrap_or_default();
            found.entry(unescaped(id)).or_default().push(unescaped(shown));
        }
    }
    found
}

fn unescaped(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}
