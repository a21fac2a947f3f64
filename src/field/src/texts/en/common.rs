//! The shell: where in the day, what is saved, what went wrong.

use survey::Refusal;
use survey::store::StoreError;

use crate::route::Journey;

pub const APP: &str = "Quarterlight";
pub const SKIP_TO_SCREEN: &str = "Skip to the screen";
pub const THE_DAY: &str = "The day";
pub const THIS_DEVICE: &str = "This device";
pub const GO_ON: &str = "Go on";
pub const GO_BACK: &str = "Back";
pub const TRY_AGAIN: &str = "Try again";
pub const UNDO: &str = "Undo";
pub const TO_ALL_SURVEYS: &str = "To all surveys";
pub const LATER: &str = "Later";

pub const SAVED: &str = "Saved";
pub const SAVING: &str = "Saving\u{2026}";
pub const NOT_SAVED: &str = "Not saved";
pub const SAVE_FILE_NOW: &str = "Carry away a file";
pub const BROWSER_SAYS: &str = "What the browser says";

pub const OPENING: &str = "Opening the survey\u{2026}";
pub const NOT_HERE: &str = "This survey is not on this device";
pub const NOT_HERE_WHY: &str =
    "Its address is right, but nothing of it is stored here. Open its file, or the device it was made on.";
pub const CANT_READ: &str = "The survey could not be read";
pub const CANT_START: &str = "Quarterlight cannot start in this browser";

pub const NEW_VERSION: &str = "A new version is ready";
pub const NEW_VERSION_TEXT: &str =
    "Take it between two boxes: the screen is loaded again, at this same place.";
pub const TAKE_NEW_VERSION: &str = "Take it now";

pub const FOLLOWS: &str = "Another window writes in this survey";
pub const FOLLOWS_TEXT: &str = "This one shows what is written there, as it is written. To go on here, let this window write: the other one follows then.";
pub const WRITE_HERE: &str = "Write in this window";

pub const HAND_OVER_NUDGE: &str = "Carry away a file before you leave";
pub const ONLY_HERE_SHORT: &str = "on this device only";

pub const DELETE: &str = "Delete this survey from this device";
pub const DELETE_FIRST: &str = "Delete it from this device?";
pub const DELETE_SECOND: &str = "Delete it, really?";
pub const DELETE_SECOND_TEXT: &str =
    "You can bring it back until this app is next started. After that it is gone from this device for good.";
pub const DELETE_YES: &str = "Yes, delete it";
pub const DELETE_REALLY: &str = "Delete it";
pub const KEEP_IT: &str = "Keep it";
pub const DELETED: &str = "Deleted from this device";
pub const NOT_DELETED: &str = "It was not deleted";
pub const BRING_BACK: &str = "Bring it back";

/// What is lost with a survey, before the first yes.
pub fn delete_first_text(only_here: u64) -> String {
    match only_here {
        0 => "All of it was carried away in a file, as far as this device knows. Make sure that somebody still has that file.".to_owned(),
        1 => "One entry of it is on this device only. Carry away a file first, unless nobody will ever need it.".to_owned(),
        n => format!("{n} entries of it are on this device only. Carry away a file first, unless nobody will ever need it."),
    }
}

pub fn deleted_text(title: &str) -> String {
    format!("\u{201c}{title}\u{201d} is off the list. It goes for good when this app is next started.")
}

pub fn hand_over_nudge(only_here: u64) -> String {
    let what = match only_here {
        1 => "One entry is".to_owned(),
        n => format!("{n} entries are"),
    };
    format!("{what} on this device only. If it is lost or breaks, they are lost with it.")
}

pub const REFUSED: &str = "That was not done";
pub const PRACTICE_MARK: &str = "Practice: an invented collection";

pub fn title(screen: &str) -> String {
    format!("{screen} \u{2013} {APP}")
}

/// The part of the day, as the day line names it.
pub fn journey(journey: Journey) -> &'static str {
    match journey {
        Journey::Setup => "Set up",
        Journey::Sample => "Sample",
        Journey::Check => "Check",
        Journey::Results => "Results",
        Journey::HandOver => "Hand over",
    }
}

/// "Set up, 2 of 7".
pub fn here(part: Journey, step: usize, steps: usize) -> String {
    format!("{}, {step} of {steps}", journey(part))
}

pub fn next(what: &str) -> String {
    format!("Next: {what}")
}

pub fn cant_start(why: &str) -> String {
    format!("The browser gives no random numbers ({why}), so no survey could be told from another.")
}

pub fn storage_held(why: &str) -> String {
    format!(
        "This device\u{2019}s storage does not answer yet ({why}). Close the other windows of this app, then try again. Nothing is lost."
    )
}

pub fn storage_newer(why: &str) -> String {
    format!(
        "What is stored on this device was written by a newer version of this app ({why}). Reload with a network, so that the newer version comes. Nothing is lost."
    )
}

/// Why entries are not on the disk.
pub fn trouble_title(error: &StoreError) -> &'static str {
    match error {
        StoreError::Full(_) => "Not saved on this device: it is full",
        StoreError::Denied(_) => "Not saved on this device: storage is refused",
        StoreError::Interrupted(_) => "Not saved yet: storage was interrupted",
        StoreError::Newer(_) => "Not saved yet: another window runs a newer version",
        StoreError::Failed(_) => "Not saved on this device: storage failed",
    }
}

/// What to do about it.
pub fn trouble_text(error: &StoreError, waiting: usize) -> String {
    let what = match waiting {
        1 => "One entry is".to_owned(),
        n => format!("{n} entries are"),
    };
    let advice = match error {
        StoreError::Full(_) => "Free some room and try again, or carry away a file now.",
        StoreError::Denied(_) => "A private window keeps nothing: carry away a file before you close it.",
        StoreError::Interrupted(_) => "Close other tabs of this app and try again.",
        StoreError::Newer(_) => "Carry away a file now, then reload this window.",
        StoreError::Failed(_) => "Try again; if that does not help, carry away a file now.",
    };
    format!("{what} in this window only. {advice}")
}

/// Why a command was refused.
pub fn refusal(refusal: &Refusal) -> String {
    match refusal {
        Refusal::BegunAlready => "This survey was begun already.".to_owned(),
        Refusal::NotBegun => "This survey was never begun.".to_owned(),
        Refusal::Empty(_) => "Something is missing: please write a name.".to_owned(),
        Refusal::ControlCharacter(_) => {
            "There is a tab or a line end in the name. Please take it out.".to_owned()
        }
        Refusal::NoStratum(key) => format!("The group {key} is not on the list any more."),
        Refusal::NoPlace(key) => format!("The place {key} is not on the list any more."),
        Refusal::NoBox(serial) => format!("The box {serial} is not on the list any more."),
        Refusal::FrameClosed => "The list of boxes is closed. Open it again first.".to_owned(),
        Refusal::FrameOpen => "Close the list of boxes first.".to_owned(),
        Refusal::NoBoxes => "No boxes are listed yet.".to_owned(),
        Refusal::Drawn => {
            "A sample was drawn from this list, so it stays closed. Boxes found now are listed as \
                           found after the draw."
                .to_owned()
        }
        Refusal::NotDrawn => "No sample was drawn yet.".to_owned(),
        Refusal::NoRound(number) => format!("There is no round {number}."),
        Refusal::OutOfRange(_) => "That number is out of range.".to_owned(),
        Refusal::NoSerials => "No box numbers are left.".to_owned(),
        Refusal::NotANumber => "That is not a number.".to_owned(),
        Refusal::TooLong => "That is too long to be kept. Nothing was written.".to_owned(),
        Refusal::NothingToUndo => "There is nothing to undo.".to_owned(),
        Refusal::NotUndoable => "This cannot be undone.".to_owned(),
        Refusal::WrittenElsewhere => {
            "Another window of this device writes in this survey. Choose \u{201c}Write in this window\u{201d} first.".to_owned()
        }
    }
}
