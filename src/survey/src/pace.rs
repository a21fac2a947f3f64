//! How long a box takes, from the log's own clock: to say when a round may be over, never to hurry anybody.
//!
//! Clocks decide nothing that counts: a wrong clock gives a wrong forecast and no other harm.

use std::collections::{BTreeMap, BTreeSet};

use crate::entry::{Content, Entry};
use crate::id::{EntryId, Subject};
use crate::origin::{Origin, Way};
use crate::progress::BoxStatus;
use crate::serial::Serial;
use crate::state::State;
use serde::{Deserialize, Serialize};

/// A gap longer than this is a pause and no work: 10 minutes (from memory of a working day, no source).
pub const PAUSE_MS: u64 = 10 * 60 * 1_000;
/// The median is that of so many boxes finished last: the pace of now, not of the first hour.
pub const RECENT: usize = 8;
/// With fewer finished boxes nothing is forecast.
pub const LEAST: usize = 3;

/// The time that went into each box.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) struct Pace {
    of: BTreeMap<Serial, Spent>,
    /// The same, by when it ended.
    by_end: BTreeSet<(Spent, Serial)>,
}

/// An entry and its clock.
pub(crate) type Moment = (EntryId, u64);

/// Milliseconds, ordered by the moment of the last entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
pub(crate) struct Spent {
    end: u64,
    sum: u64,
}

impl Pace {
    /// Takes up an entry; `before` is the one before it in the log, which is of the same writer or says nothing.
    pub(crate) fn take(&mut self, entry: &Entry, before: Option<Moment>) {
        if let Some(serial) = worked_at(entry.content()) {
            self.spend(serial, (entry.id, entry.at_ms), before);
        }
    }

    fn spend(&mut self, serial: Serial, entry: Moment, before: Option<Moment>) {
        let spent = self.of.entry(serial).or_default();
        self.by_end.remove(&(*spent, serial));
        *spent = spent.and(Spent::on(entry, before));
        self.by_end.insert((*spent, serial));
    }

    /// The time of all boxes, of what was spent on each by and by.
    pub(crate) fn of_all(spent: impl Iterator<Item = (Serial, Spent)>) -> Self {
        let mut pace = Self::default();
        for (serial, more) in spent {
            let spent = pace.of.entry(serial).or_default();
            *spent = spent.and(more);
        }
        pace.by_end = pace.of.iter().map(|(serial, spent)| (*spent, *serial)).collect();
        pace
    }
}

impl Spent {
    /// The time that an entry took.
    pub(crate) fn on((id, at_ms): Moment, before: Option<Moment>) -> Self {
        let before = before.filter(|(before, _)| before.writer == id.writer);
        let gap = before.and_then(|(_, before)| at_ms.checked_sub(before));
        Self {
            end: at_ms,
            sum: gap.filter(|gap| *gap <= PAUSE_MS).unwrap_or(0),
        }
    }

    pub(crate) fn and(self, more: Self) -> Self {
        Self {
            end: self.end.max(more.end),
            sum: self.sum + more.sum,
        }
    }
}

/// Minutes that each finished box took, in the order they were finished.
///
/// The time from an entry to the next of the same writer belongs to the box of the next: the walk to a box is part of
/// it. Pauses, what was read from photographs later and what was typed from paper are left out.
pub fn minutes_a_box(state: &State) -> impl DoubleEndedIterator<Item = f64> {
    let finished =
        |(_, serial): &&(Spent, Serial)| matches!(state.box_status(*serial), BoxStatus::Finished(_));
    #[allow(clippy::cast_precision_loss, reason = "minutes to show")]
    let minutes = |(spent, _): &(Spent, Serial)| spent.sum as f64 / 60_000.0;
    state.pace.by_end.iter().filter(finished).map(minutes)
}

/// The median of the last [`RECENT`] of these; `None` for fewer than [`LEAST`].
#[must_use]
pub fn recent_median(minutes: impl DoubleEndedIterator<Item = f64>) -> Option<f64> {
    let mut recent: Vec<f64> = minutes.rev().take(RECENT).collect();
    if recent.len() < LEAST {
        return None;
    }
    recent.sort_by(f64::total_cmp);
    let middle = recent.len() / 2;
    Some(if recent.len() % 2 == 1 {
        recent[middle]
    } else {
        f64::midpoint(recent[middle - 1], recent[middle])
    })
}

/// The box that an entry was work at.
pub(crate) fn worked_at(content: &Content) -> Option<Serial> {
    match content {
        Content::Answer {
            subject,
            question,
            origin,
            ..
        } => answered_box(*subject, question, origin),
        Content::Photo { subject, .. } => box_of(*subject),
        _ => None,
    }
}

/// The box that an answer was work at.
pub(crate) fn answered_box(subject: Subject, question: &str, origin: &Origin) -> Option<Serial> {
    let later = matches!(
        Way::read(&origin.from),
        Some(Way::Photo(_) | Way::Paper(_) | Way::Chosen(_))
    );
    if later || question == "fullness" {
        return None;
    }
    box_of(subject)
}

fn box_of(subject: Subject) -> Option<Serial> {
    match subject {
        Subject::Box(serial) => Some(serial),
        Subject::Item(item) => Some(item.serial),
        Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => None,
    }
}
