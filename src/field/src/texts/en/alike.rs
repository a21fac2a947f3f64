//! Shortcuts for tapes that are like one another.

use survey::ItemId;

pub const SAME: &str = "Same as the last tape?";
pub const SAME_LEAD: &str = "Look at this tape first. Only what you see on it yourself may be taken over.";
pub const SAME_REST: &str =
    "Anything growing, damage, shape, wind, what has come off and smell are asked of each tape by itself.";
pub const NOT_SAME: &str = "Not the same: ask me";
pub const REST: &str = "The tapes that were not drawn";
pub const REST_HINT: &str = "A remark for those who come after you. No figure rests on it: figures use drawn tapes that were looked at.";
pub const REST_DRAWN: &str = "\u{201c}The rest is alike\u{201d} cannot stand in for a drawn tape: it may be the one that differs. Each drawn tape is looked at; \u{201c}Same as the last tape\u{201d} makes that short.";
pub const ALIKE: &str = "I looked: they are like the drawn ones";
pub const DIFFER: &str = "I looked: some are different";
pub const NOT_LOOKED: &str = "Not looked at";

pub fn same_as(item: ItemId) -> String {
    format!("Tape {} of box {} had:", item.position, item.serial)
}

pub fn same_confirm(n: usize) -> String {
    match n {
        1 => "I looked at this tape: it is the same".to_owned(),
        n => format!("I looked at this tape: all {n} are the same"),
    }
}

/// What the remark is called where answers are listed.
pub const REST_SHORT: &str = "Tapes not drawn";

/// The remark in words.
pub fn rest(key: &str) -> Option<&'static str> {
    match key {
        "alike" => Some(ALIKE),
        "differ" => Some(DIFFER),
        "not_looked" => Some(NOT_LOOKED),
        _ => None,
    }
}
