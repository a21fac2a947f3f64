//! Reading photographs in the evening, and a part of them again.

use survey::Subject;

pub const TITLE: &str = "To read";
pub const LEAD: &str = "Photographs of labels, and questions put off in the day. One a screen.";
pub const EMPTY: &str = "Nothing waits to be read.";
pub const NO_PHOTO: &str =
    "No photograph of it is in this survey: look it up where it was taken, or say can\u{2019}t tell.";
pub const WRITTEN: &str = "What is written";
pub const WRITTEN_HINT: &str = "As it stands there; leave empty what is not there.";
pub const BEFORE: &str = "Written before";
pub const PUT_OFF: &str = "Questions put off";
pub const READ_NEXT: &str = "Read: to the next";
pub const READ_LAST: &str = "Read: that was the last";
pub const STILL_OPEN: &str = "Answer the questions first; can\u{2019}t tell is an answer.";
pub const TO_LIST: &str = "To the list";
pub const BEGIN: &str = "Begin reading";
pub const AGAIN: &str = "Read again, by somebody else";
pub const AGAIN_LEAD: &str = "A random part of what was read is read once more by another person, who does not see the first answers. How often the two agree says how firm such answers are. It does not say that they are right: two readers can be wrong together.";
pub const AGAIN_HOW_MANY: &str = "How many, of those that were read?";
pub const AGAIN_SEED: &str = "Numbers thrown with dice, or from a witness";
pub const AGAIN_SEED_HINT: &str =
    "Left empty, this device draws at random. Either way it is written into the survey.";
pub const AGAIN_FIX: &str = "Choose them";
pub const AGAIN_EMPTY: &str = "Nothing waits to be read again.";
pub const AGAIN_NONE_READ: &str = "Nothing was read from a photograph yet.";
pub const WHO: &str = "Who reads now";
pub const WHO_HINT: &str = "Must be another person than the first reader.";
pub const SAME_READER: &str = "You read this one first";
pub const SAME_READER_WHY: &str = "A second look counts only if it is somebody else\u{2019}s. Hand the phone over, or send the survey file to a colleague.";
pub const NO_NAME: &str = "Write down who reads, then the questions appear.";
pub const BLIND: &str = "The first answers are not shown, on purpose.";

pub fn waiting(n: usize) -> String {
    format!("{TITLE}: {n}")
}

pub fn waiting_again(n: usize) -> String {
    format!("{AGAIN}: {n}")
}

pub fn percent(percent: u32) -> String {
    format!("{percent} of a hundred")
}

pub fn of(subject: Subject) -> String {
    match subject {
        Subject::Item(item) => format!("Tape {} of box {}", item.position, item.serial),
        Subject::Box(serial) => format!("Box {serial}"),
        other => other.to_string(),
    }
}

/// What is copied from a label.
pub fn written(key: &str) -> &str {
    match key {
        "written_title" => "Title or contents",
        "written_date" => "Date, as written",
        "written_speed" => "Speed, as written",
        "written_recordist" => "Recordist or machine",
        other => other,
    }
}
