//! Photographs.

use survey::photo::{PhotoError, Shows};
use survey::store::StoreError;

use crate::store::NotKept;

pub const TITLE: &str = "Photographs";
pub const TAKE: &str = "Take a photograph";
pub const TAKE_ANOTHER: &str = "Take another";
pub const OF_WHAT: &str = "The next one shows";
pub const KEEPING: &str = "Making it small and keeping it\u{2026}";
pub const NOT_HERE: &str = "Not on this device";
pub const NOT_KEPT: &str = "The photograph was not kept";
pub const ANSWERS_STAND: &str = "What you answered is kept.";
pub const PRIVATE: &str = "Made small, turned upright, and freed of place, time and camera before it is kept. It goes into the survey file.";
pub const TAKEN: &str = "Photograph taken";

pub fn shows(shows: Shows) -> &'static str {
    match shows {
        Shows::Label => "Label, writing",
        Shows::Damage => "Damage",
        Shows::Other => "Other",
    }
}

pub fn one(number: usize, what: Shows) -> String {
    format!("Photograph {number}: {}", shows(what))
}

pub fn take_back(number: usize) -> String {
    format!("Remove photograph {number}")
}

pub fn not_a_picture(browser: &str) -> String {
    format!("The browser cannot read it as a picture ({browser}). Take it again, or choose another.")
}

pub fn not_kept(why: &NotKept) -> String {
    match why {
        NotKept::Store(StoreError::Full(_)) => {
            "There is no room on this device. Save the survey file, make room, then take it again.".to_owned()
        }
        NotKept::Store(error) => format!("The device did not take it ({error}). Take it again."),
        NotKept::Picture(PhotoError::TooManyBytes(_)) => {
            "It is too large even when made small. Take it again from farther away.".to_owned()
        }
        NotKept::Picture(error) => format!("It is {error}. Take it again."),
        NotKept::Refused(refusal) => format!("The survey does not take it: {refusal}."),
        NotKept::Elsewhere => "Another survey was opened meanwhile.".to_owned(),
    }
}
