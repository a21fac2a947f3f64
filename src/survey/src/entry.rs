//! One entry of the log: who wrote it, when, what it says, and its bytes exactly as they were written or received.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};
use tape::Answer;

use crate::format;
use crate::id::{DeviceId, EntryId, PlaceKey, StratumKey, Subject, SurveyId, WriterId};
use crate::origin::Origin;
use crate::photo::Photo;
use crate::serial::Serial;

/// An immutable record. Its `bytes` are the record; the rest was read from them.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The survey it belongs to.
    pub survey: SurveyId,
    /// Its writer and number.
    pub id: EntryId,
    /// The writer's clock, milliseconds since 1970 UTC. Shown, never used to decide what counts.
    pub at_ms: u64,
    /// One line of UTF-8 JSON without its line end.
    pub bytes: Vec<u8>,
    /// Read from the bytes when it is first asked for: most entries of a long survey never are.
    content: OnceLock<Box<Content>>,
}

/// All else follows from the bytes.
impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.bytes == other.bytes
    }
}

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub enum Content {
    /// A writer introduces itself: always its entry 0.
    Session {
        /// The device it runs on.
        device: DeviceId,
        /// The device's name, as its owner gave it.
        device_name: String,
        /// Who holds it.
        person: String,
        /// The program and its version.
        app: String,
    },
    /// The survey begins.
    Begin {
        /// What it is called.
        title: String,
        /// An invented collection to practise on.
        practice: bool,
    },
    /// A stratum is named.
    Stratum {
        /// Its key.
        key: StratumKey,
        /// Its name.
        name: String,
    },
    /// A place is named.
    Place {
        /// Its key.
        key: PlaceKey,
        /// The stratum its boxes belong to.
        stratum: StratumKey,
        /// Its name.
        name: String,
    },
    /// Boxes are listed, at most [`format::MAX_BOXES_PER_ENTRY`] an entry.
    Boxes {
        /// Where they stand.
        place: PlaceKey,
        /// The boxes, in shelf order.
        boxes: Vec<NewBox>,
    },
    /// A box is taken off the list: counted twice, say.
    Withdraw {
        /// The box.
        serial: Serial,
    },
    /// The list of boxes is closed: nothing listed later belongs to the frame.
    Close {
        /// For each writer, how many of its entries the frame rests on (entries 0 to n - 1).
        upto: BTreeMap<WriterId, u64>,
        /// Number of boxes in the frame.
        n_boxes: u32,
        /// [`crate::frame::digest`] of the frame, 64 hexadecimal digits.
        digest: String,
    },
    /// A draw from a closed frame. Every roll stays in the log.
    Roll {
        /// The [`Content::Close`] it draws from.
        frame: EntryId,
        /// The seed, as it was given.
        seed: String,
        /// Where the seed came from.
        source: SeedSource,
        /// Boxes a round.
        round_size: u32,
        /// How many items of a box are checked: all, or a random few.
        items_per_box: Option<u32>,
        /// Earlier rolls that this one takes the place of.
        instead: Vec<EntryId>,
    },
    /// A round is begun, or its way of walking is changed.
    Round {
        /// The roll it belongs to.
        roll: EntryId,
        /// Its number, from 1.
        number: u32,
        /// In what order its boxes are visited.
        walk: Walk,
        /// Earlier entries on the same round that this one takes the place of.
        instead: Vec<EntryId>,
    },
    /// Somebody answers a question.
    Answer {
        /// About what.
        subject: Subject,
        /// The question's key.
        question: String,
        /// The answer.
        value: Answer,
        /// Earlier answers that this one takes the place of.
        instead: Vec<EntryId>,
        /// How it came to be, if not by a look and a tap of the writer's person.
        origin: Origin,
    },
    /// A photograph is taken.
    Photo {
        /// Of what.
        subject: Subject,
        /// Which, and what it shows.
        photo: Photo,
    },
    /// An entry is undone. Undoing an undo brings the entry back.
    Undo {
        /// The entry.
        of: EntryId,
    },
    /// A kind, or a shape of a known kind, that this version does not understand: carried verbatim.
    NotUnderstood {
        /// Its `kind`, if it has one.
        kind: String,
    },
}

/// A box as it is listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewBox {
    /// Its serial.
    pub serial: Serial,
    /// What is written on it, if anything.
    pub label: String,
    /// How full it looks, in quarters (1 to 4).
    pub quarters: Option<u8>,
    /// How many items an earlier list says are in it.
    pub listed_items: Option<u32>,
}

/// Where a seed came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SeedSource {
    /// Thrown dice, typed in.
    Dice,
    /// Words or numbers from a witness.
    Witness,
    /// The device's random generator.
    Device,
}

/// In what order a round's boxes are visited.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Walk {
    /// Along the shelves: quicker, but a half-done round stays out of the headline.
    Shelf,
    /// In the order drawn: stopping anywhere is fair.
    Draw,
}

/// Why bytes are no entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EntryError {
    /// No JSON object on one line of UTF-8.
    #[error("not one line of JSON with survey, writer and n: {0}")]
    Unreadable(String),
    /// Longer than any entry this program writes.
    #[error("an entry of {0} bytes is too long")]
    TooLong(usize),
    /// An entry of another survey.
    #[error("belongs to survey {found}, not {expected}")]
    OtherSurvey {
        /// The survey of the log.
        expected: SurveyId,
        /// The survey of the entry.
        found: SurveyId,
    },
}

impl Entry {
    /// Writes a new entry in the current format.
    #[must_use]
    pub fn write(survey: SurveyId, id: EntryId, at_ms: u64, content: Content) -> Self {
        let bytes = format::v1::encode(survey, id, at_ms, &content);
        Self {
            survey,
            id,
            at_ms,
            bytes,
            content: OnceLock::from(Box::new(content)),
        }
    }

    /// An entry whose bytes say this of themselves.
    pub(crate) fn known(survey: SurveyId, id: EntryId, at_ms: u64, bytes: Vec<u8>) -> Self {
        Self {
            survey,
            id,
            at_ms,
            bytes,
            content: OnceLock::new(),
        }
    }

    /// What it says.
    #[must_use]
    pub fn content(&self) -> &Content {
        self.content
            .get_or_init(|| Box::new(format::content(&self.bytes)))
    }

    /// The boxes that it lists, taken out of what it says, if that was read before; its bytes stay.
    pub(crate) fn take_boxes(&mut self) -> Vec<NewBox> {
        match self.content.get_mut().map(Box::as_mut) {
            Some(Content::Boxes { boxes, .. }) => std::mem::take(boxes),
            _ => Vec::new(),
        }
    }

    /// Reads an entry of any released format. A kind that is not understood is kept, not refused.
    ///
    /// # Errors
    /// [`EntryError::Unreadable`] if the bytes are no entry at all, [`EntryError::TooLong`] past 1 MiB.
    pub fn read(bytes: &[u8]) -> Result<Self, EntryError> {
        format::decode(bytes)
    }
}
