//! A survey as it was folded, in one piece: its entries' bytes and its state, so that a long survey opens without reading and
//! folding every entry anew.
//!
//! It is a cache and nothing more. What does not fit (other code made it, a byte is damaged, entries are there that it does not
//! know of) is put aside without a word, and the log is folded. Its shape may change with every version, so it never
//! leaves the device, and no file of it is kept for later versions to open.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use tape::{Answer, Coded, Form};

use crate::entry::{Entry, EntryError};
use crate::id::{Subject, SurveyId, WriterId};
use crate::log::{Inserted, Log};
use crate::progress::BoxStatus;
use crate::row::{Body, Row};
use crate::serial::Serial;
use crate::state::State;

/// Names the code that folded: its sources, and those of the knowledge it asks.
const FOLDED_BY: &str = concat!("1 ", env!("CARGO_PKG_VERSION"), " ", env!("SURVEY_FOLD"));
/// Entries that came since, below which another snapshot is not worth its while.
const FEW: usize = 250;
/// And the part of all entries they must be: writing it takes time by all of them.
const PART: usize = 50;

/// A log and the state that is its fold.
#[derive(Debug, Clone, PartialEq)]
pub struct Folded {
    /// The log.
    pub log: Log,
    /// Its state.
    pub state: State,
}

/// What stands before the rest, so that a snapshot that does not fit is put aside at once.
#[derive(Serialize, Deserialize)]
struct Stamp<'a> {
    folded_by: &'a str,
    survey: SurveyId,
    n_entries: usize,
}

/// One entry.
#[derive(Serialize, Deserialize)]
struct Packed<'a> {
    /// Numbers left out since the one before.
    skipped: u64,
    at_ms: u64,
    #[serde(borrow)]
    body: PackedBody<'a>,
}

/// See [`Body`].
#[derive(Serialize, Deserialize)]
enum PackedBody<'a> {
    /// With the question's number, the form's and the answer's bits.
    Plain(Subject, u8, u8, u64),
    Tail(&'a [u8]),
    Whole(&'a [u8]),
}

/// An answer: the crate that has it knows of no stored shape.
#[derive(Serialize, Deserialize)]
#[serde(remote = "Answer")]
pub(crate) enum AnswerShape {
    One(String),
    Many(BTreeSet<String>),
    Number(f64),
    Text(String),
    Counts(BTreeMap<String, u32>),
}

impl Folded {
    /// Folds a log.
    #[must_use]
    pub fn of(log: Log) -> Self {
        let state = State::fold(&log);
        Self { log, state }
    }

    /// Adds entries: the same as folding the log with them, sooner.
    ///
    /// # Errors
    /// One is of another survey; the state is that of the log all the same.
    pub fn add(&mut self, entries: impl IntoIterator<Item = Entry>) -> Result<(), EntryError> {
        let mut new = Vec::new();
        let (mut twins, mut failed) = (false, Ok(()));
        for entry in entries {
            let id = entry.id;
            match self.log.insert(entry) {
                Ok(Inserted::New) => new.push(id),
                Ok(Inserted::Known) => {}
                Ok(Inserted::Twin) => twins = true,
                Err(error) => failed = Err(error),
            }
        }
        // What is most of the log is sooner folded with it.
        if twins || new.len() > self.log.entries().len() / 2 {
            self.state = self.state.refold(&self.log);
        } else {
            self.state.take_up(&self.log, &new);
        }
        failed
    }

    /// Adds every entry of another log of the same survey.
    ///
    /// # Errors
    /// It is a log of another survey; nothing is added then.
    pub fn merge(&mut self, other: &Log) -> Result<(), EntryError> {
        if other.survey() != self.log.survey() {
            return Err(EntryError::OtherSurvey {
                expected: self.log.survey(),
                found: other.survey(),
            });
        }
        let twins = other.twins().map(|(_, bytes)| Entry::read(bytes));
        let twins = twins.collect::<Result<Vec<_>, _>>()?;
        self.add(other.entries().cloned().chain(twins))
    }

    /// Reads a snapshot; `None` if it is not one that this very code made of this survey, to the last byte.
    #[must_use]
    pub fn from_snapshot(survey: SurveyId, bytes: &[u8]) -> Option<Self> {
        let (sum, rest) = bytes.split_first_chunk()?;
        if u32::from_le_bytes(*sum) != crc32fast::hash(rest) {
            return None;
        }
        let (stamp, rest): (Stamp<'_>, _) = postcard::take_from_bytes(rest).ok()?;
        if stamp.folded_by != FOLDED_BY || stamp.survey != survey {
            return None;
        }
        let (state, rest): (State, _) = postcard::take_from_bytes(rest).ok()?;
        let (standing, rest): (BTreeMap<Serial, BoxStatus>, _) = postcard::take_from_bytes(rest).ok()?;
        let log = unpack(survey, rest)?;
        if state.survey != survey || log.entries().len() != stamp.n_entries {
            return None;
        }
        Some(Self {
            log,
            state: state.standing_as(standing),
        })
    }
}

/// How many entries of each writer a log has, as a snapshot of it covers them, and of all.
#[must_use]
pub fn covers(log: &Log) -> (BTreeMap<WriterId, u64>, usize) {
    let next = log.writers().map(|writer| (writer, log.next_n(writer)));
    (next.collect(), log.entries().len())
}

/// Whether a snapshot is worth writing, of so many entries, with so many in the last one.
#[must_use]
pub fn is_due(n_entries: usize, n_covered: usize) -> bool {
    n_entries.saturating_sub(n_covered) >= FEW.max(n_entries / PART)
}

/// The snapshot of a log and its state; `None` of a log with twins, which is folded anew each time.
#[must_use]
pub fn take(log: &Log, state: &State) -> Option<Vec<u8>> {
    if log.twins().len() > 0 {
        return None;
    }
    let stamp = Stamp {
        folded_by: FOLDED_BY,
        survey: log.survey(),
        n_entries: log.entries().len(),
    };
    let bytes = postcard::to_extend(&stamp, vec![0; 4]).ok()?;
    let bytes = postcard::to_extend(state, bytes).ok()?;
    let bytes = postcard::to_extend(&state.all_standing(), bytes).ok()?;
    let mut bytes = pack(log, bytes)?;
    let (sum, rest) = bytes.split_first_chunk_mut()?;
    *sum = crc32fast::hash(rest).to_le_bytes();
    Some(bytes)
}

/// The entries: for each writer its id, how many, and each.
fn pack(log: &Log, mut bytes: Vec<u8>) -> Option<Vec<u8>> {
    for writer in log.writers() {
        let n_entries = log.rows_of(writer).count();
        bytes = postcard::to_extend(&(writer, n_entries), bytes).ok()?;
        let mut next = 0;
        for row in log.rows_of(writer) {
            let packed = Packed {
                skipped: row.n.checked_sub(next)?,
                at_ms: row.at_ms,
                body: match &row.body {
                    Body::Plain(subject, coded) => {
                        let (question, form, bits) = coded.parts();
                        PackedBody::Plain(*subject, question, form.number(), bits)
                    }
                    Body::Tail(tail) => PackedBody::Tail(tail),
                    Body::Whole(bytes) => PackedBody::Whole(bytes),
                },
            };
            bytes = postcard::to_extend(&packed, bytes).ok()?;
            next = row.n.saturating_add(1);
        }
    }
    Some(bytes)
}

fn unpack(survey: SurveyId, mut bytes: &[u8]) -> Option<Log> {
    let mut log = Log::new(survey);
    while !bytes.is_empty() {
        let ((writer, n_entries), rest): ((WriterId, usize), _) = postcard::take_from_bytes(bytes).ok()?;
        bytes = rest;
        let mut next = 0u64;
        for _ in 0..n_entries {
            let (packed, rest): (Packed<'_>, _) = postcard::take_from_bytes(bytes).ok()?;
            bytes = rest;
            let n = next.checked_add(packed.skipped)?;
            next = n.saturating_add(1);
            let body = match packed.body {
                PackedBody::Plain(subject, question, form, bits) => {
                    Body::Plain(subject, Coded::of_parts(question, Form::of_number(form)?, bits)?)
                }
                PackedBody::Tail(tail) => Body::Tail(tail.into()),
                PackedBody::Whole(bytes) => Body::Whole(bytes.into()),
            };
            let row = Row {
                n,
                at_ms: packed.at_ms,
                body,
            };
            log.add(writer, row).ok()?;
        }
    }
    Some(log)
}
