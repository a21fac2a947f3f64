//! Reading photographs in the evening, and a part of them again.

use survey::Subject;

pub(crate) use super::generated::reading::*;

pub(crate) fn of(subject: Subject) -> String {
    match subject {
        Subject::Item(item) => super::check::item_title(item),
        Subject::Box(serial) => super::check::box_title(serial),
        other => other.to_string(),
    }
}

/// What is copied from a label.
pub(crate) fn written(key: &str) -> &str {
    match key {
        "written_title" => written_written_title(),
        "written_date" => written_written_date(),
        "written_speed" => written_written_speed(),
        "written_recordist" => written_written_recordist(),
        other => other,
    }
}
