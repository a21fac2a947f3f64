//! Files: carrying a survey away, and taking one in.

use handover::sealed::SealError;
use handover::{FileError, Verdict};

use crate::capability::pick_file::PickError;
use crate::capability::share::Shared;

pub const TITLE: &str = "Hand it over";
pub const LEAD: &str = "One file holds everything: every answer, the draw, the tables, the figures, a report. Whoever gets it can check it without this app.";
pub const SAVE: &str = "Carry the survey file away";
pub const SAVED_TITLE: &str = "The file was handed to the browser";
pub const ONLY_HERE: &str = "Only on this device";
pub const ONLY_HERE_TEXT: &str = "The survey lives in this browser\u{2019}s storage and nowhere else until you carry a file away. Do it at the end of each day.";
pub const ON_THIS_DEVICE: &str = "This survey on this device";
pub const SEND: &str = "Send it with another app";
pub const SEAL_IT: &str = "Seal it with a passphrase";
pub const SEAL_WARNING: &str = "Lost with the passphrase, lost for good";
pub const SEAL_WARNING_TEXT: &str = "Whoever finds a sealed file can read nothing of it. Nor can you, without these words: nobody can make them anew. Write them down now, and send them another way than the file.";
pub const PASSPHRASE: &str = "Passphrase";
pub const PASSPHRASE_HINT: &str = "As whoever sealed it gave it to you.";
pub const PASSPHRASE_MADE: &str = "Made by chance on this device, kept nowhere. A passphrase of your own is only as good as it is hard to guess.";
pub const ANOTHER: &str = "Another one";
pub const SAVE_SEALED: &str = "Carry it away sealed";
pub const SEALED: &str = "This file is sealed";
pub const UNSEAL: &str = "Open it";
pub const UNSEALING: &str = "Opening it takes a second or two\u{2026}";
pub const WORKING: &str = "Making the file\u{2026}";
pub const CONTENTS: &str = "What is in it";
pub const CONTENTS_LINES: [&str; 6] = [
    "every entry of the log, as it was written",
    "the draw: the seed, every rank, every roll",
    "tables for any spreadsheet or statistics program",
    "every figure with its interval and method",
    "a report to read and print",
    "a script that recomputes the main figures in R",
];
pub const CHECK_IT: &str = "Check a survey file";
pub const CHECK_TEXT: &str = "Choose a file that somebody gave you, or the one you just saved: its checksums, draw and figures are made anew here.";
pub const CHECK_BUTTON: &str = "Choose a file to check";
pub const HOLDS: &str = "Everything in the file follows from its log";
pub const FAILS: &str = "The file does not hold";
pub const TAKE_IN: &str = "Take in a colleague\u{2019}s file";
pub const TAKE_IN_TEXT: &str =
    "Its entries are added to what is here; nothing is overwritten, and the order does not matter.";
pub const OPEN: &str = "Open a survey file";
pub const OPENING: &str = "Reading the file\u{2026}";
pub const PRACTISE: &str = "Practise on an invented cellar";
pub const COULD_NOT: &str = "The file could not be taken in";
pub const COULD_NOT_SAVE: &str = "The file could not be made";
pub const NOTHING_LOST: &str = "Nothing on this device was changed.";
pub const FAULTS: &str = "What does not fit together";
pub const DISAGREE: &str = "Answered differently by two people";
pub const NO_ROOM: &str = "The survey could not be kept on this device";

pub fn saved(name: &str, kilobytes: usize) -> String {
    format!("{name}, {kilobytes} kB. Look for it among your downloads, and send it to somebody today.")
}

pub fn entries(entries: usize, writers: usize) -> String {
    let by = if writers == 1 {
        "one session".to_owned()
    } else {
        format!("{writers} sessions")
    };
    format!("{entries} entries from {by}.")
}

pub fn without_photos(n: usize) -> String {
    format!("Photographs that are not on this device, or that it does not give, and so not in the file: {n}.")
}

/// Why a sealed file was not opened, or none was made, and what to do.
pub fn seal_error(error: SealError) -> String {
    match error {
        SealError::WrongPassphrase => {
            "The passphrase does not fit. Look at every letter, and at the marks between the words."
                .to_owned()
        }
        SealError::NotSealed | SealError::BadHeader => {
            "It is not sealed with a passphrase, or its beginning was changed. Have it sent again.".to_owned()
        }
        SealError::TooMuchWork { .. } => {
            "It was sealed so firmly that a phone cannot open it. Open it at a desk: quarterlight unseal."
                .to_owned()
        }
        SealError::Damaged => "It is cut short or was changed. Have it sent again.".to_owned(),
        SealError::TooLarge => "It is larger than any survey file.".to_owned(),
        SealError::NoPassphrase => "Write a passphrase first.".to_owned(),
    }
}

pub fn shared(shared: &Shared) -> String {
    match shared {
        Shared::Sent => "Handed to the other app. Make sure that it arrives.".to_owned(),
        Shared::Stopped => "Not sent. The file is among your downloads.".to_owned(),
        Shared::Failed(why) => format!("It could not be sent ({why}). The file is among your downloads."),
    }
}

/// Why a file was not taken in, and what to do.
pub fn file_error(error: &FileError) -> String {
    match error {
        FileError::TooLarge { .. } => {
            "It is larger than any survey file. Choose the file that this app saved.".to_owned()
        }
        FileError::NotAZip => {
            "It is no survey file: survey files are zip files made by this app. Choose another.".to_owned()
        }
        FileError::Truncated => "It is cut short: the transfer broke off. Have it sent again.".to_owned(),
        FileError::NotCanonical { what } => format!(
            "It was packed again by another program, or changed ({what}). Ask for the file as it was first handed over."
        ),
        FileError::NewerFormat { .. } => {
            "It was made by a newer version of this app. Update the app, then open it; the file is fine."
                .to_owned()
        }
        FileError::Missing { name } => format!("{name} is missing from it. Have it sent again."),
        FileError::Changed { name } => {
            format!(
                "{name} in it was changed after it was handed over. Ask for the file as it was first handed over."
            )
        }
        FileError::Unlisted { name } => {
            format!("{name} was added to it afterwards. Ask for the original file.")
        }
        FileError::BadTagFile { name, why } => {
            format!("{name} in it cannot be read ({why}). Ask for the original file.")
        }
        FileError::BadPhoto { name, why } => {
            format!(
                "{name} in it is refused: {why}. Nothing of the file was taken in. Ask for the original file."
            )
        }
        FileError::BadLog { line, why } => {
            format!("Line {line} of its log cannot be read ({why}). Ask for the original file.")
        }
        FileError::WrongFigure { id, .. } => {
            format!("The figure {id} in it does not follow from its log. Ask whoever made it.")
        }
        FileError::OtherSurvey { .. } => {
            "It belongs to another survey. Open it from the start screen; it is kept beside this one."
                .to_owned()
        }
    }
}

/// Why nothing was read; `None` if nothing was chosen.
pub fn pick_error(error: &PickError) -> Option<String> {
    match error {
        PickError::Nothing => None,
        PickError::TooLarge { bytes, most } => Some(format!(
            "It has {} MB; a survey file has at most {} MB.",
            bytes / 1_000_000,
            most / 1_000_000
        )),
        PickError::Unreadable(why) => Some(format!("The device could not read it: {why}")),
    }
}

pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "does not hold",
        Verdict::NotMade => "not made",
    }
}

/// A check by its key.
pub fn check(name: &str) -> &str {
    match name {
        "packing" => "Packing",
        "checksums" => "Checksums",
        "log" => "Log",
        "frame" => "List of boxes",
        "draw" => "Draw",
        "tables" => "Tables",
        "figures" => "Figures",
        "photos" => "Photographs",
        "rest" => "Report and script",
        other => other,
    }
}
