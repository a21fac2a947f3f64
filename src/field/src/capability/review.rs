//! What a reviewer asks of a file: the checks, its figures, and a report beside it. Nothing of it is kept.

use std::sync::Arc;

use analysis::figures::{Figure, figures};
use handover::report::check::{ReportCheck, ReportError, check};
use handover::{Report, survey_file};
use survey::{Log, State};

use super::task;

/// What a file came to.
#[derive(Debug, Clone)]
pub struct Reviewed {
    /// The checks.
    pub report: Report,
    /// SHA-256 of the file, 64 hexadecimal digits.
    pub sha256: String,
    /// Its log, if it can be read: what a report is checked against.
    pub log: Option<Arc<Log>>,
    /// The headline's figures by id, computed again; empty if the log cannot be read.
    pub figures: Vec<(String, Figure)>,
}

/// Checks a survey file as a stranger would.
pub async fn file(bytes: Vec<u8>) -> Reviewed {
    task::after_paint().await;
    let report = handover::verify(&bytes);
    let sha256 = survey::photo::sha256(&bytes);
    task::after_paint().await;
    let log = survey_file::read(&bytes).ok().map(|opened| Arc::new(opened.log));
    let figures = log.as_ref().map(|log| figures(&State::fold(log)).headline);
    Reviewed {
        report,
        sha256,
        log,
        figures: figures.into_iter().flatten().collect(),
    }
}

/// Checks every number of a report against a log.
///
/// # Errors
/// [`ReportError`].
pub async fn report(bytes: Vec<u8>, log: Arc<Log>) -> Result<ReportCheck, ReportError> {
    task::after_paint().await;
    check(&String::from_utf8_lossy(&bytes), &log)
}
