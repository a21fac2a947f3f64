//! Setting a survey up.

use crate::capability::pick_file::PickError;
use sampling::plan::Collection;

use super::generated::setup as words;
pub(crate) use super::generated::setup::*;

pub(crate) fn buys_boxes(boxes: u32) -> String {
    if boxes < 2 {
        buys_too_little().to_owned()
    } else {
        words::buys_boxes(boxes)
    }
}

/// "3 hours: 18 boxes, the share to within 10 percentage points, the number to within 24%".
pub(crate) fn buys(hours: u32, boxes: u64, points: f64, percent: f64) -> String {
    words::buys(hours, boxes, points.ceil(), percent.ceil())
}

pub(crate) fn buys_guesses(guess: &Collection) -> String {
    words::buys_guesses(
        guess.boxes,
        guess.mean_items.round(),
        guess.checked_per_box.round(),
    )
}

/// What may be in scope: key, name, explanation.
pub(crate) fn scope() -> [(&'static str, &'static str, &'static str); 5] {
    [
        ("originals", scope_originals(), scope_originals_hint()),
        ("copies", scope_copies(), scope_copies_hint()),
        ("blanks", scope_blanks(), scope_blanks_hint()),
        ("commercial", scope_commercial(), scope_commercial_hint()),
        ("transferred", scope_transferred(), scope_transferred_hint()),
    ]
}

/// What is done before one goes: key, name, explanation.
pub(crate) fn before() -> [(&'static str, &'static str, &'static str); 8] {
    [
        ("access", before_access(), before_access_hint()),
        ("permission", before_permission(), before_permission_hint()),
        ("company", before_company(), before_company_hint()),
        ("water", before_water(), before_water_hint()),
        ("recordist", before_recordist(), before_recordist_hint()),
        ("deadline", before_deadline(), before_deadline_hint()),
        ("kit", before_kit(), before_kit_hint()),
        ("offline", before_offline(), before_offline_hint()),
    ]
}

pub(crate) fn list_problems(named: usize, count: usize) -> String {
    if named < count {
        list_problems_some(named, count)
    } else {
        words::list_problems(count)
    }
}

pub(crate) fn list_done(boxes: usize, places: usize) -> String {
    words::list_done(place_boxes(boxes), n_places(places))
}

pub(crate) fn file_trouble(error: &PickError) -> String {
    let mega = |bytes: u64| bytes / 1_000_000;
    match error {
        PickError::Nothing => file_trouble_nothing().to_owned(),
        PickError::TooLarge { bytes, most } => file_trouble_too_large(mega(*bytes), mega(*most)),
        PickError::Unreadable(why) => file_trouble_unreadable(why),
    }
}

pub(crate) fn group_counts(group: &str, boxes: usize, places: usize) -> String {
    words::group_counts(group, place_boxes(boxes), n_places(places))
}

pub(crate) fn watch_problems(named: usize, count: usize) -> String {
    if named < count {
        watch_problems_some(named, count)
    } else {
        words::watch_problems(count)
    }
}

pub(crate) fn watch_source(source: &str) -> String {
    if source.is_empty() {
        watch_no_source().to_owned()
    } else {
        words::watch_source(source)
    }
}
