//! The reviewer's view: a survey file, and a report, checked step by step.

use handover::report::check::ReportError;

use super::generated::review as words;
pub(crate) use super::generated::review::*;

/// What a check asks, by its key.
pub(crate) fn explain(check: &str) -> &'static str {
    match check {
        "packing" => words::explain_packing(),
        "checksums" => words::explain_checksums(),
        "log" => words::explain_log(),
        "frame" => words::explain_frame(),
        "draw" => words::explain_draw(),
        "tables" => words::explain_tables(),
        "figures" => words::explain_figures(),
        "photos" => words::explain_photos(),
        _ => words::explain_rest(),
    }
}

/// Why a report cannot be checked, and what to do.
pub(crate) fn report_error(error: &ReportError) -> String {
    match error {
        ReportError::NoReport => words::report_none().to_owned(),
        ReportError::OtherSurvey(survey) => words::report_other_survey(survey),
        ReportError::NeedsEarlier(_) => words::report_needs_earlier().to_owned(),
        ReportError::OtherEarlier => words::report_other_earlier().to_owned(),
    }
}
