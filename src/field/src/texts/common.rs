//! The shell: where in the day, what is saved, what went wrong.

use crate::route::Journey;
use crate::store::Lost;
use survey::Refusal;
use survey::store::StoreError;

use super::generated::common as words;
pub(crate) use super::generated::common::*;

/// The part of the day, as the day line names it.
pub(crate) fn journey(journey: Journey) -> &'static str {
    match journey {
        Journey::Setup => journey_setup(),
        Journey::Sample => journey_sample(),
        Journey::Check => journey_check(),
        Journey::Results => journey_results(),
        Journey::HandOver => journey_hand_over(),
    }
}

/// "Set up, 2 of 7".
pub(crate) fn here(part: Journey, step: usize, steps: usize) -> String {
    words::here(journey(part), step, steps)
}

/// Why entries are not on the disk.
pub(crate) fn trouble_title(error: &StoreError) -> &'static str {
    match error {
        StoreError::Full(_) => trouble_title_full(),
        StoreError::Denied(_) => trouble_title_denied(),
        StoreError::Interrupted(_) => trouble_title_interrupted(),
        StoreError::Newer(_) => trouble_title_newer(),
        StoreError::Locked => super::locking::closed(),
        StoreError::Failed(_) => trouble_title_failed(),
    }
}

/// What to do about it.
pub(crate) fn trouble_text(error: &StoreError, waiting: usize) -> String {
    let advice = match error {
        StoreError::Full(_) => trouble_advice_full(),
        StoreError::Denied(_) => trouble_advice_denied(),
        StoreError::Interrupted(_) => trouble_advice_interrupted(),
        StoreError::Newer(_) => trouble_advice_newer(),
        StoreError::Locked => super::locking::closed_advice(),
        StoreError::Failed(_) => trouble_advice_failed(),
    };
    words::trouble_text(waiting, advice)
}

/// What the browser lost, in a line.
pub(crate) fn lost(lost: &Lost) -> &'static str {
    match lost.n_entries {
        _ if lost.is_coming => lost_coming(),
        0 => lost_gone(),
        _ => lost_back(),
    }
}

/// What came back, and what to do.
pub(crate) fn lost_text(lost: &Lost) -> String {
    match lost.n_entries {
        _ if lost.is_coming => lost_coming_text().to_owned(),
        0 => lost_gone_text().to_owned(),
        n => lost_back_text(n),
    }
}

/// Why a command was refused.
pub(crate) fn refusal(refusal: &Refusal) -> String {
    match refusal {
        Refusal::BegunAlready => refusal_begun_already().to_owned(),
        Refusal::NotBegun => refusal_not_begun().to_owned(),
        Refusal::Empty(_) => refusal_empty().to_owned(),
        Refusal::ControlCharacter(_) => refusal_control_character().to_owned(),
        Refusal::NoStratum(key) => refusal_no_stratum(key),
        Refusal::NoPlace(key) => refusal_no_place(key),
        Refusal::NoBox(serial) => refusal_no_box(serial),
        Refusal::FrameClosed => refusal_frame_closed().to_owned(),
        Refusal::FrameOpen => refusal_frame_open().to_owned(),
        Refusal::NoBoxes => refusal_no_boxes().to_owned(),
        Refusal::Drawn => refusal_drawn().to_owned(),
        Refusal::NotDrawn => refusal_not_drawn().to_owned(),
        Refusal::NoRound(number) => refusal_no_round(number),
        Refusal::OutOfRange(_) => refusal_out_of_range().to_owned(),
        Refusal::NoSerials => refusal_no_serials().to_owned(),
        Refusal::NotANumber => refusal_not_a_number().to_owned(),
        Refusal::TooLong => refusal_too_long().to_owned(),
        Refusal::NothingToUndo => refusal_nothing_to_undo().to_owned(),
        Refusal::NotUndoable => refusal_not_undoable().to_owned(),
        Refusal::NoSuchAnswer => refusal_no_such_answer().to_owned(),
        Refusal::WrittenElsewhere => refusal_written_elsewhere().to_owned(),
    }
}
