//! Files: carrying a survey away, and taking one in.

use crate::capability::pick_file::PickError;
use crate::capability::share::Shared;
use handover::sealed::SealError;
use handover::{FileError, Verdict};

pub(crate) use super::generated::handover::*;

pub(crate) fn contents_lines() -> [&'static str; 6] {
    [
        contents_log(),
        contents_draw(),
        contents_tables(),
        contents_figures(),
        contents_report(),
        contents_script(),
    ]
}

/// Why a sealed file was not opened, or none was made, and what to do.
pub(crate) fn seal_error(error: SealError) -> String {
    match error {
        SealError::WrongPassphrase => seal_error_wrong_passphrase().to_owned(),
        SealError::NotSealed | SealError::BadHeader => seal_error_bad_header().to_owned(),
        SealError::TooMuchWork { .. } => seal_error_too_much_work().to_owned(),
        SealError::Damaged => seal_error_damaged().to_owned(),
        SealError::TooLarge => seal_error_too_large().to_owned(),
        SealError::NoPassphrase => seal_error_no_passphrase().to_owned(),
    }
}

pub(crate) fn shared(shared: &Shared) -> String {
    match shared {
        Shared::Sent => shared_sent().to_owned(),
        Shared::Stopped => shared_stopped().to_owned(),
        Shared::Failed(why) => shared_failed(why),
    }
}

/// Why a file was not taken in, and what to do.
pub(crate) fn file_error(error: &FileError) -> String {
    match error {
        FileError::TooLarge { .. } => file_error_too_large().to_owned(),
        FileError::NotAZip => file_error_not_a_zip().to_owned(),
        FileError::Truncated => file_error_truncated().to_owned(),
        FileError::NotCanonical { what } => file_error_not_canonical(what),
        FileError::NewerFormat { .. } => file_error_newer_format().to_owned(),
        FileError::Missing { name } => file_error_missing(name),
        FileError::Changed { name } => file_error_changed(name),
        FileError::Unlisted { name } => file_error_unlisted(name),
        FileError::BadTagFile { name, why } => file_error_bad_tag_file(name, why),
        FileError::BadPhoto { name, why } => file_error_bad_photo(name, why),
        FileError::BadLog { line, why } => file_error_bad_log(line, why),
        FileError::WrongFigure { id, .. } => file_error_wrong_figure(id),
        FileError::OtherSurvey { .. } => file_error_other_survey().to_owned(),
    }
}

/// Why nothing was read; `None` if nothing was chosen.
pub(crate) fn pick_error(error: &PickError) -> Option<String> {
    match error {
        PickError::Nothing => None,
        PickError::TooLarge { bytes, most } => Some(pick_error_too_large(mega(*bytes), mega(*most))),
        PickError::Unreadable(why) => Some(pick_error_unreadable(why)),
    }
}

/// Whole megabytes.
fn mega(bytes: u64) -> u64 {
    bytes / 1_000_000
}

pub(crate) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => verdict_holds(),
        Verdict::Fails => verdict_fails(),
        Verdict::NotMade => verdict_not_made(),
    }
}

/// A check by its key.
pub(crate) fn check(name: &str) -> &str {
    match name {
        "packing" => check_packing(),
        "checksums" => check_checksums(),
        "log" => check_log(),
        "frame" => check_frame(),
        "draw" => check_draw(),
        "tables" => check_tables(),
        "figures" => check_figures(),
        "photos" => check_photos(),
        "rest" => check_rest(),
        other => other,
    }
}
