//! Shortcuts for tapes that are like one another.

use survey::ItemId;

use super::generated::alike as words;
pub(crate) use super::generated::alike::*;

pub(crate) fn same_as(item: ItemId) -> String {
    words::same_as(item.position, item.serial)
}

/// The remark in words.
pub(crate) fn rest(key: &str) -> Option<&'static str> {
    match key {
        "alike" => Some(alike()),
        "differ" => Some(differ()),
        "not_looked" => Some(not_looked()),
        _ => None,
    }
}
