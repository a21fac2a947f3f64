//! How an answer came to be, where it was not simply looked at and tapped by the person who holds the device.
//!
//! Shown and kept, never used to decide what counts. The text of [`Origin::from`] is open: what a later version writes
//! is shown as it stands.

use crate::id::{EntryId, ItemId, Subject};
use crate::log::Log;
use crate::state::State;
use serde::{Deserialize, Serialize};

/// Where an answer came from.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Origin {
    /// Who looked, if another than the writer's person; else empty.
    pub looked: String,
    /// By what way, if not tapped question by question; else empty. See [`Way`].
    pub from: String,
}

/// The ways that this version writes and knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Way {
    /// One tap for several questions, after a look at all of the item.
    QuickLook,
    /// Said to be the same as on another item, with this one looked at.
    SameAs(ItemId),
    /// Read from a photograph, by its SHA-256 (64 hexadecimal digits).
    Photo(String),
    /// Typed from a paper sheet that was filled in on this day (`YYYY-MM-DD`, or empty).
    Paper(String),
    /// Chosen among answers that differed: the entry of the one that was found right.
    Chosen(EntryId),
}

const QUICK: &str = "quick look";
const SAME: &str = "same as ";
const PHOTO: &str = "photo ";
const PAPER: &str = "paper";
const CHOSEN: &str = "chosen ";

impl std::fmt::Display for Way {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::QuickLook => f.write_str(QUICK),
            Self::SameAs(item) => write!(f, "{SAME}{}", Subject::Item(*item)),
            Self::Photo(sha256) => write!(f, "{PHOTO}{sha256}"),
            Self::Paper(day) if day.is_empty() => f.write_str(PAPER),
            Self::Paper(day) => write!(f, "{PAPER} {day}"),
            Self::Chosen(entry) => write!(f, "{CHOSEN}{entry}"),
        }
    }
}

impl Way {
    /// Reads what was written; `None` of a way that this version does not know.
    #[must_use]
    pub fn read(from: &str) -> Option<Self> {
        if from == QUICK {
            return Some(Self::QuickLook);
        }
        if let Some(other) = from.strip_prefix(SAME) {
            return match other.parse() {
                Ok(Subject::Item(item)) => Some(Self::SameAs(item)),
                _ => None,
            };
        }
        if let Some(sha256) = from.strip_prefix(PHOTO) {
            return Some(Self::Photo(sha256.to_owned()));
        }
        if let Some(entry) = from.strip_prefix(CHOSEN) {
            return entry.parse().ok().map(Self::Chosen);
        }
        let day = from.strip_prefix(PAPER)?;
        let day = day.strip_prefix(' ').unwrap_or(day);
        Some(Self::Paper(day.to_owned()))
    }
}

impl Origin {
    /// Whether there is nothing to say: the person who holds the device looked and tapped.
    #[must_use]
    pub fn is_plain(&self) -> bool {
        self.looked.is_empty() && self.from.is_empty()
    }
}

/// The item looked at before this one: by this writer if it has looked at any, else the nearest before it in its box.
/// It is for showing: nothing rests on it.
#[must_use]
pub fn item_before(log: &Log, state: &State, writer: crate::id::WriterId, item: ItemId) -> Option<ItemId> {
    let of_writer = (0..log.next_n(writer)).rev().find_map(|n| {
        let entry = log.entry(crate::id::EntryId { writer, n })?;
        match entry.content() {
            crate::entry::Content::Answer {
                subject: Subject::Item(other),
                question,
                ..
            } if *other != item && question == "carrier" && !state.is_undone(entry.id) => Some(*other),
            _ => None,
        }
    });
    of_writer.or_else(|| {
        let positions = state.positions(item.serial).into_iter();
        positions
            .filter(|position| *position < item.position)
            .map(|position| ItemId { position, ..item })
            .rfind(|other| state.item_path(*other).done)
    })
}
