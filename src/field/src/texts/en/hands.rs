//! Two at one box: one looks, one taps.

pub const TITLE: &str = "One looks, one taps";
pub const LEAD: &str = "Gloves and a phone do not go together. One looks and calls out a number, the other taps it; both are written beside the answer.";
pub const TAPS: &str = "Who taps";
pub const LOOKS: &str = "Who looks";
pub const LOOKS_HINT: &str = "Left empty, the one who taps looks too, and the screen is as usual.";
pub const ON: &str =
    "Large and numbered: a question can be read at arm\u{2019}s length, an answer called out.";
pub const OFF: &str = "As usual: one person does both.";
pub const STOP: &str = "One person does both again";

pub fn line(looker: &str) -> String {
    if looker.is_empty() {
        TITLE.to_owned()
    } else {
        format!("{TITLE}: {looker} looks")
    }
}
