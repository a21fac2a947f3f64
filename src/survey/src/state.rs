//! A survey's state: a fold over its log, the same for the same entries in any order.
//!
//! What counts follows references: an undone entry does not count, and an answer does not count when one that
//! counts names it in `instead`. Two answers that do not name each other both stay: two looks at the same thing.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use tape::{Answer, Answers};

use crate::entry::{SeedSource, Walk};
use crate::fold;
use crate::frame::{Draw, Frame};
use crate::grow::Standing;
use crate::id::{DeviceId, EntryId, ItemId, PlaceKey, StratumKey, Subject, SurveyId, WriterId};
use crate::index::Index;
use crate::kept::{Kept, Of};
use crate::listing::Highest;
use crate::log::Log;
use crate::origin::Origin;
use crate::pace::Pace;
use crate::photo::Taken;
use crate::serial::Serial;
use crate::snapshot;

/// The question whose answer about a place or stratum is what it is called instead of the name it was listed by.
pub const NAME: &str = "name";

/// What a survey's entries add up to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct State {
    /// The survey.
    pub survey: SurveyId,
    /// Its title; empty before it was begun.
    pub title: String,
    /// Whether it is an invented collection to practise on.
    pub practice: bool,
    /// Who wrote.
    pub writers: BTreeMap<WriterId, Writer>,
    /// The strata, by key.
    pub strata: BTreeMap<StratumKey, String>,
    /// The places, by key.
    pub places: BTreeMap<PlaceKey, Place>,
    /// The boxes that are on the list now, those found after the draw included.
    pub boxes: BTreeMap<Serial, ListedBox>,
    /// The closed frame the draw in force rests on, or the one closed last if nothing is drawn.
    pub frame: Option<Frame>,
    /// Every roll, undone ones too, by entry.
    pub rolls: Vec<Roll>,
    /// The draw in force.
    pub draw: Option<Draw>,
    /// The rounds begun, and how each is walked.
    pub rounds: BTreeMap<u32, Walk>,
    /// The photographs that are not undone, in the order of their entries.
    pub photos: Vec<Taken>,
    /// What does not fit together. Nothing is dropped for it.
    pub faults: Vec<Fault>,
    pub(crate) answers: Kept,
    /// Answers that are not undone and that another takes the place of.
    pub(crate) replaced: BTreeMap<(Subject, String), Vec<EntryId>>,
    pub(crate) index: Index,
    pub(crate) pace: Pace,
    pub(crate) undone: BTreeSet<EntryId>,
    pub(crate) counts: BTreeMap<WriterId, u64>,
    pub(crate) closings: Vec<EntryId>,
    pub(crate) round_heads: BTreeMap<u32, Vec<EntryId>>,
    pub(crate) founder: Option<DeviceId>,
    pub(crate) highest: Highest,
    /// Entries that others name and that have not come.
    pub(crate) awaited: BTreeSet<EntryId>,
    #[serde(skip)]
    pub(crate) standing: Standing,
}

/// A writer as it introduced itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Writer {
    /// Its device.
    pub device: DeviceId,
    /// The device's name.
    pub device_name: String,
    /// Who held it.
    pub person: String,
    /// The program and its version.
    pub app: String,
}

/// A place where boxes stand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// Its name.
    pub name: String,
    /// The stratum of its boxes.
    pub stratum: StratumKey,
}

/// A box on the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListedBox {
    /// Where it stands.
    pub place: PlaceKey,
    /// What is written on it.
    pub label: String,
    /// How full it looks, in quarters, as listed; an answer to `fullness` counts more.
    pub quarters: Option<u8>,
    /// Items in it by an earlier list.
    pub listed_items: Option<u32>,
    /// The entry that listed it.
    pub entry: EntryId,
}

/// An answer that counts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Head {
    /// Its entry.
    pub entry: EntryId,
    /// What was answered.
    #[serde(with = "snapshot::AnswerShape")]
    pub value: Answer,
    /// How it came to be.
    pub origin: Origin,
}

/// A roll, as the report lists it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Roll {
    /// Its entry.
    pub entry: EntryId,
    /// The writer's clock.
    pub at_ms: u64,
    /// The seed.
    pub seed: String,
    /// Where the seed came from.
    pub source: SeedSource,
    /// Whether this is the roll in force.
    pub in_force: bool,
}

/// Something that does not fit together.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Fault {
    /// Two entries have this id. The one with the smaller bytes stands.
    Twin(EntryId),
    /// A writer's entry is missing: the file or the transfer was incomplete.
    Gap {
        /// The writer.
        writer: WriterId,
        /// The first number that is missing.
        missing: u64,
    },
    /// An entry of a kind or shape that this version does not understand.
    NotUnderstood(EntryId),
    /// An entry names one that is not there, or that is of the wrong kind.
    BadReference(EntryId),
    /// Two boxes were listed with this serial; the first by entry id stands.
    SameSerial(Serial),
    /// The frame's digest is not that of the boxes it names.
    FrameDigest(EntryId),
    /// Several closed frames or rolls count that give other boxes; the one with the smallest entry id is in force.
    SeveralDraws,
    /// Undo entries or answers that name each other in a circle.
    Circle(EntryId),
}

impl State {
    /// The state of a survey that nobody has written to.
    #[must_use]
    pub fn empty(survey: SurveyId) -> Self {
        // The fold itself is a large function, and the app asks for this before anything is shown.
        fold::nothing(survey)
    }

    /// Folds a log.
    #[must_use]
    pub fn fold(log: &Log) -> Self {
        fold::fold(log, None)
    }

    /// Folds a log that has grown since this state was folded: the same result as [`State::fold`], sooner.
    #[must_use]
    pub fn refold(&self, log: &Log) -> Self {
        fold::fold(log, Some(self))
    }

    /// Whether the survey was begun.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.founder.is_some()
    }

    /// The device that began the survey; its serials bear no tag.
    #[must_use]
    pub fn founder(&self) -> Option<DeviceId> {
        self.founder
    }

    /// The answers that count for a subject and question: none, one, or one from each independent look.
    #[must_use]
    pub fn heads(&self, subject: Subject, question: &str) -> &[Head] {
        self.answers.of(subject).map_or(&[], |of| of.heads(question))
    }

    /// The answer that figures rest on: the first by entry id where several count.
    #[must_use]
    pub fn answer(&self, subject: Subject, question: &str) -> Option<&Answer> {
        self.heads(subject, question).first().map(|head| &head.value)
    }

    /// What a place or stratum is called; none for other subjects.
    #[must_use]
    pub fn name_of(&self, subject: Subject) -> Option<&str> {
        match subject {
            Subject::Stratum(key) => self.strata.get(&key).map(String::as_str),
            Subject::Place(key) => self.places.get(&key).map(|place| place.name.as_str()),
            _ => None,
        }
    }

    /// Calls a place or stratum as it was answered, if it was.
    pub(crate) fn call_as_answered(&mut self, subject: Subject) {
        let Some(Answer::Text(name)) = self.answer(subject, NAME).cloned() else {
            return;
        };
        let known = match subject {
            Subject::Stratum(key) => self.strata.get_mut(&key),
            Subject::Place(key) => self.places.get_mut(&key).map(|place| &mut place.name),
            _ => None,
        };
        if let Some(known) = known {
            *known = name;
        }
    }

    /// Every answered question of a subject, as [`State::answer`] gives it.
    #[must_use]
    pub fn answers(&self, subject: Subject) -> Answers {
        self.answers.of(subject).map_or_else(Answers::new, Of::answers)
    }

    /// The answers that count of a subject, by question.
    pub(crate) fn questions_of(&self, subject: Subject) -> impl Iterator<Item = (&str, &[Head])> {
        let of = self.answers.of(subject).into_iter();
        of.flat_map(|of| of.whole().iter())
    }

    /// The subjects that have answers, in order.
    pub fn subjects(&self) -> impl Iterator<Item = Subject> {
        self.answers.subjects()
    }

    /// Questions that independent looks answered differently.
    pub fn disagreements(&self) -> impl Iterator<Item = (Subject, &str, &[Head])> {
        let differing = self.index.differing.iter();
        differing.map(|(subject, question)| (*subject, question.as_str(), self.heads(*subject, question)))
    }

    /// The photographs of a subject, in the order of their entries.
    pub fn photos_of(&self, subject: Subject) -> impl Iterator<Item = &Taken> {
        self.photos.iter().filter(move |taken| taken.subject == subject)
    }

    /// Whether an entry is undone.
    #[must_use]
    pub fn is_undone(&self, entry: EntryId) -> bool {
        self.undone.contains(&entry)
    }

    /// The entries that are undone.
    pub fn undone(&self) -> impl Iterator<Item = EntryId> {
        self.undone.iter().copied()
    }

    /// How many entries of each writer are known: the number of its next one.
    #[must_use]
    pub fn counts(&self) -> &BTreeMap<WriterId, u64> {
        &self.counts
    }

    /// The stratum a listed box belongs to, by its place.
    #[must_use]
    pub fn stratum_of(&self, serial: Serial) -> Option<StratumKey> {
        Some(self.places.get(&self.boxes.get(&serial)?.place)?.stratum)
    }

    /// How full a box looks, in quarters: as answered, else as listed.
    #[must_use]
    pub fn quarters(&self, serial: Serial) -> Option<u8> {
        let answered = match self.answer(Subject::Box(serial), "fullness") {
            Some(Answer::One(key)) => ["quarter", "half", "three_quarters", "full"]
                .iter()
                .position(|step| step == key)
                .and_then(|step| u8::try_from(step + 1).ok()),
            _ => None,
        };
        answered.or_else(|| self.boxes.get(&serial)?.quarters)
    }

    /// Boxes that were listed after the frame was closed, in serial order; none while it is open.
    pub fn late_boxes(&self) -> impl Iterator<Item = Serial> {
        let frame = self.frame.as_ref();
        let mut closed = frame.into_iter().flat_map(|frame| frame.boxes.keys()).peekable();
        // Both are in serial order, so one walk beside the other finds what the frame lacks.
        self.boxes.keys().copied().filter(move |serial| {
            while closed.next_if(|known| *known < serial).is_some() {}
            frame.is_some() && closed.peek() != Some(&serial)
        })
    }

    /// Closings that count, smallest entry id first.
    pub(crate) fn closings(&self) -> &[EntryId] {
        &self.closings
    }

    /// Entries on a round that count.
    pub(crate) fn round_heads(&self, number: u32) -> &[EntryId] {
        self.round_heads.get(&number).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn next_stratum_number(&self, tag: u8) -> u32 {
        next(&self.highest.stratum, tag)
    }

    pub(crate) fn next_place_number(&self, tag: u8) -> u32 {
        next(&self.highest.place, tag)
    }

    pub(crate) fn next_serial_number(&self, tag: u8) -> u32 {
        next(&self.highest.serial, tag)
    }
}

fn next(highest: &BTreeMap<u8, u32>, tag: u8) -> u32 {
    highest.get(&tag).map_or(1, |number| number.saturating_add(1))
}

/// An item's subject.
#[must_use]
pub fn item(serial: Serial, position: u32) -> Subject {
    Subject::Item(ItemId { serial, position })
}
