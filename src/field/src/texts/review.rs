//! The reviewer's view: a survey file, and a report, checked step by step.

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
