//! The start of the day.

pub const TITLE: &str = "Surveys on this device";
pub const TITLE_FIRST: &str = "What is in all these boxes?";
pub const FIRST_1: &str =
    "Quarterlight finds out what a tape collection holds by looking closely at a few boxes, drawn by lot.";
pub const FIRST_2: &str = "You list the boxes, the lot decides which ones to open, and each takes a few minutes of looking and tapping.";
pub const FIRST_3: &str = "At the end of the day you carry away honest figures for the whole collection, each with how far it may be out.";
pub const LEAD: &str = "Go on with one, or start another.";
pub const GO_ON: &str = "Go on where you were";
pub const START: &str = "Start a new survey";
pub const OPEN_FILE: &str = "Open a survey file";
pub const PRACTICE: &str = "Try it on an invented collection";
pub const PRACTICE_LEAD: &str = "Nothing you tap there matters.";
pub const STRATUM_ALL: &str = "Everything";
pub const UNTITLED: &str = "A survey without a title";
pub const YOURS: &str = "Surveys";
pub const OTHER_WAYS: &str = "Other ways to begin";
pub const READING: &str = "Reading the file\u{2026}";
pub const FILE_NOT_TAKEN: &str = "The file was not taken in";
pub const LIST_FAILED: &str = "The surveys on this device cannot be listed";
pub const LIST_FAILED_TEXT: &str =
    "You can still start one: it will be kept in this window until you carry away its file.";
pub const INSTALL: &str = "Put it on the home screen";
pub const INSTALL_TEXT: &str = "Open the browser's menu and choose \"Add to home screen\" or \"Install\". It then opens \
                                like any other app, and the browser keeps its data more firmly.";

pub fn first_title(day: &str) -> String {
    format!("Survey of {day}")
}

pub fn go_on_with(title: &str) -> String {
    format!("{GO_ON}: {title}")
}
