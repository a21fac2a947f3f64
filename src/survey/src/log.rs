//! The log: a set of entries. Adding is union, so any order and any number of times give the same log.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Bound;

use crate::entry::{Entry, EntryError};
use crate::id::{EntryId, SurveyId, WriterId};

/// A survey's entries.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    survey: SurveyId,
    entries: BTreeMap<EntryId, Entry>,
    twins: BTreeSet<(EntryId, Vec<u8>)>,
}

/// What became of an entry handed to [`Log::insert`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inserted {
    /// It was not known.
    New,
    /// It was known, with the same bytes.
    Known,
    /// Its id was known with other bytes: a phone restored from a backup, say. Both are kept, and it is reported.
    Twin,
}

impl Log {
    /// An empty log.
    #[must_use]
    pub fn new(survey: SurveyId) -> Self {
        Self {
            survey,
            entries: BTreeMap::new(),
            twins: BTreeSet::new(),
        }
    }

    /// A log of entries of this survey that have each an id of its own.
    pub(crate) fn of_known(survey: SurveyId, entries: Vec<Entry>) -> Self {
        Self {
            survey,
            entries: entries.into_iter().map(|entry| (entry.id, entry)).collect(),
            twins: BTreeSet::new(),
        }
    }

    /// The survey it belongs to.
    #[must_use]
    pub fn survey(&self) -> SurveyId {
        self.survey
    }

    /// The entries, by writer and number.
    pub fn entries(&self) -> impl ExactSizeIterator<Item = &Entry> {
        self.entries.values()
    }

    /// One entry.
    #[must_use]
    pub fn entry(&self, id: EntryId) -> Option<&Entry> {
        self.entries.get(&id)
    }

    /// Those who wrote, in order. Takes time by the number of writers.
    pub fn writers(&self) -> impl Iterator<Item = WriterId> {
        let after = |writer: Option<WriterId>| match writer {
            None => self.entries.keys().next(),
            Some(writer) => {
                let last = EntryId { writer, n: u64::MAX };
                let beyond = (Bound::Excluded(last), Bound::Unbounded);
                self.entries.range(beyond).next().map(|(id, _)| id)
            }
        };
        std::iter::successors(after(None), move |id| after(Some(id.writer))).map(|id| id.writer)
    }

    /// A writer's entries from a number on.
    pub fn entries_from(&self, writer: WriterId, n: u64) -> impl Iterator<Item = &Entry> {
        let range = EntryId { writer, n }..=EntryId { writer, n: u64::MAX };
        self.entries.range(range).map(|(_, entry)| entry)
    }

    /// The entry that its writer wrote before this id.
    pub(crate) fn before(&self, id: EntryId) -> Option<&Entry> {
        let earlier = EntryId { n: 0, ..id }..id;
        self.entries.range(earlier).next_back().map(|(_, entry)| entry)
    }

    /// Entries with an id that another entry has too.
    pub fn twins(&self) -> impl ExactSizeIterator<Item = &(EntryId, Vec<u8>)> {
        self.twins.iter()
    }

    /// The number of the writer's next entry.
    #[must_use]
    pub fn next_n(&self, writer: WriterId) -> u64 {
        let all = EntryId { writer, n: 0 }..=EntryId { writer, n: u64::MAX };
        self.entries
            .range(all)
            .next_back()
            .map_or(0, |(id, _)| id.n.saturating_add(1))
    }

    /// Adds one entry.
    ///
    /// # Errors
    /// [`EntryError::OtherSurvey`] if it belongs to another survey.
    pub fn insert(&mut self, entry: Entry) -> Result<Inserted, EntryError> {
        if entry.survey != self.survey {
            return Err(EntryError::OtherSurvey {
                expected: self.survey,
                found: entry.survey,
            });
        }
        let Some(known) = self.entries.get_mut(&entry.id) else {
            self.entries.insert(entry.id, entry);
            return Ok(Inserted::New);
        };
        if known.bytes == entry.bytes {
            return Ok(Inserted::Known);
        }
        // The smaller bytes stand, so that no order of merging shows.
        let (id, other) = if entry.bytes < known.bytes {
            (entry.id, std::mem::replace(known, entry).bytes)
        } else {
            (entry.id, entry.bytes)
        };
        Ok(if self.twins.insert((id, other)) {
            Inserted::Twin
        } else {
            Inserted::Known
        })
    }

    /// Adds every entry of another log of the same survey.
    ///
    /// # Errors
    /// [`EntryError::OtherSurvey`] if it is a log of another survey; nothing is added then.
    pub fn merge(&mut self, other: &Self) -> Result<(), EntryError> {
        if other.survey != self.survey {
            return Err(EntryError::OtherSurvey {
                expected: self.survey,
                found: other.survey,
            });
        }
        for entry in other.entries.values() {
            self.insert(entry.clone())?;
        }
        for (_, bytes) in &other.twins {
            self.insert(Entry::read(bytes)?)?;
        }
        Ok(())
    }

    /// The log as text: one entry a line, by writer and number, twins after the entry they share an id with.
    #[must_use]
    pub fn to_lines(&self) -> Vec<u8> {
        let mut lines = Vec::new();
        for (id, entry) in &self.entries {
            lines.extend_from_slice(&entry.bytes);
            lines.push(b'\n');
            for (_, bytes) in self
                .twins
                .range((*id, Vec::new())..)
                .take_while(|(twin, _)| twin == id)
            {
                lines.extend_from_slice(bytes);
                lines.push(b'\n');
            }
        }
        lines
    }

    /// Reads what [`Log::to_lines`] wrote, or any concatenation of such texts.
    ///
    /// # Errors
    /// The number of the first bad line (from 1) and what is wrong with it.
    pub fn from_lines(text: &[u8]) -> Result<Self, (usize, EntryError)> {
        let mut log: Option<Self> = None;
        for (index, line) in text
            .split(|byte| *byte == b'\n')
            .enumerate()
            .filter(|(_, line)| !line.is_empty())
        {
            let at = |error| (index + 1, error);
            let entry = Entry::read(line).map_err(at)?;
            log.get_or_insert_with(|| Self::new(entry.survey))
                .insert(entry)
                .map_err(at)?;
        }
        log.ok_or_else(|| (1, EntryError::Unreadable("no entry".to_owned())))
    }
}
