//! Checking boxes and tapes.

use crate::journeys::check::About;
use survey::ItemId;
use survey::progress::Outcome;

use super::generated::check as words;
pub(crate) use super::generated::check::*;

pub(crate) fn item_here(item: ItemId, nth: usize, of: usize) -> String {
    words::item_here(item.serial, nth, of, item.position)
}

pub(crate) fn item_title(item: ItemId) -> String {
    words::item_title(item.position, item.serial)
}

pub(crate) fn outcome(outcome: Outcome, items: u32) -> String {
    match outcome {
        Outcome::Checked => outcome_checked(items),
        Outcome::NotReached => outcome_not_reached().to_owned(),
        Outcome::Stopped => outcome_stopped().to_owned(),
        Outcome::Uncounted => outcome_uncounted().to_owned(),
        Outcome::OutOfScope => outcome_out_of_scope().to_owned(),
    }
}

pub(crate) fn hours(low: f64, likely: f64, high: f64) -> String {
    if (high - low).abs() < 0.005 {
        words::hours(duration(likely))
    } else {
        hours_between(duration(likely), duration(low), duration(high))
    }
}

/// Hours as hours and minutes.
pub(crate) fn duration(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    if minutes < 120.0 {
        duration_minutes(minutes)
    } else {
        words::duration((minutes / 60.0).floor(), minutes % 60.0)
    }
}

/// The title and the lead of a screen that takes several questions together.
pub(crate) fn together(about: About) -> (&'static str, &'static str) {
    match about {
        About::Danger => (together_danger(), together_danger_lead()),
        About::Signs => (together_signs(), together_signs_lead()),
        About::Label => (together_label(), together_label_lead()),
        About::All => (together_all(), together_all_lead()),
    }
}

pub(crate) fn together_done(about: About, n: usize) -> String {
    match (about, n) {
        (About::Label, 0) => together_done_label().to_owned(),
        (About::All, 0) => together_done_all().to_owned(),
        _ => words::together_done(n),
    }
}

pub(crate) fn explain(is_on: bool) -> &'static str {
    if is_on { explain_hide() } else { explain_show() }
}

pub(crate) fn card_title(item: ItemId) -> String {
    words::card_title(item.position, item.serial)
}

pub(crate) fn found_at(place: &str, more: &str) -> String {
    match (place, more) {
        (place, "") => place.to_owned(),
        ("", more) => more.to_owned(),
        (place, more) => format!("{place} \u{b7} {more}"),
    }
}

pub(crate) fn batch_is(name: Option<&str>) -> String {
    name.map_or_else(|| batch_is_none().to_owned(), words::batch_is)
}

/// What a batch is asked, in a word.
pub(crate) fn batch_question<'a>(key: &str, short: &'a str) -> &'a str {
    match key {
        "speed" => batch_question_speed(),
        "tracks" => batch_question_tracks(),
        "machine" => batch_question_machine(),
        _ => short,
    }
}

/// What is recorded of a tape beside the questions.
pub(crate) fn own_question(key: &str) -> &str {
    match key {
        "aside" => aside(),
        "note" => note(),
        "ask" => card_question(),
        "name" => own_question_name(),
        "batch" => own_question_batch(),
        "photos_read" => own_question_photos_read(),
        written if written.starts_with("written_") => super::reading::written(written),
        "photo" => super::photos::taken(),
        "rest_alike" => super::alike::rest_short(),
        other => other,
    }
}
