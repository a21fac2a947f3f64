//! The log: a set of entries. Adding is union, so any order and any number of times give the same log.

use std::collections::{BTreeMap, BTreeSet};
use std::iter::FusedIterator;
use std::ops::Bound;
use std::sync::OnceLock;

use crate::entry::{Entry, EntryError};
use crate::id::{EntryId, SurveyId, WriterId};
use crate::row::Row;

/// A survey's entries.
#[derive(Debug, Clone)]
pub struct Log {
    survey: SurveyId,
    /// Rows in order, each chunk one writer's, under an id that is not above its first.
    chunks: BTreeMap<EntryId, Chunk>,
    n_entries: usize,
    twins: BTreeSet<(EntryId, Vec<u8>)>,
}

/// The most rows of a chunk: one that comes between others moves no more than these.
const MOST: usize = 256;

/// Some entries of one writer, by number.
#[derive(Debug, Clone, Default)]
struct Chunk {
    rows: Vec<Row>,
    /// The same as entries, each once somebody asked for it.
    entries: OnceLock<Vec<OnceLock<Box<Entry>>>>,
}

impl Chunk {
    fn find(&self, n: u64) -> Result<usize, usize> {
        // Numbers are dense, so it mostly stands as far from the last as its number does.
        if let Some(last) = self.rows.last()
            && let Some(back) = last.n.checked_sub(n).and_then(|back| usize::try_from(back).ok())
            && let Some(at) = (self.rows.len() - 1).checked_sub(back)
            && self.rows[at].n == n
        {
            return Ok(at);
        }
        self.rows.binary_search_by_key(&n, |row| row.n)
    }

    fn entry(&self, at: usize, survey: SurveyId, writer: WriterId) -> &Entry {
        let entries = self.entries.get_or_init(|| {
            std::iter::repeat_with(OnceLock::new)
                .take(self.rows.len())
                .collect()
        });
        entries[at].get_or_init(|| Box::new(self.rows[at].entry(survey, writer)))
    }

    fn insert(&mut self, at: usize, row: Row) {
        if self.rows.len() == self.rows.capacity() {
            // No more room than a chunk can have.
            let more = self.rows.len().clamp(4, MOST);
            self.rows
                .reserve_exact(more.min(MOST.saturating_sub(self.rows.len()).max(1)));
        }
        self.rows.insert(at, row);
        if let Some(entries) = self.entries.get_mut() {
            entries.insert(at, OnceLock::new());
        }
    }
}

/// The same entries, whatever chunks they are in.
impl PartialEq for Log {
    fn eq(&self, other: &Self) -> bool {
        self.survey == other.survey
            && self.n_entries == other.n_entries
            && self.twins == other.twins
            && self.rows().eq(other.rows())
    }
}

/// The entries of a log, by writer and number.
struct Entries<I> {
    each: I,
    left: usize,
}

impl<'a, I: Iterator<Item = &'a Entry>> Iterator for Entries<I> {
    type Item = &'a Entry;

    fn next(&mut self) -> Option<&'a Entry> {
        let next = self.each.next()?;
        self.left = self.left.saturating_sub(1);
        Some(next)
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        (self.left, Some(self.left))
    }
}

impl<'a, I: Iterator<Item = &'a Entry>> ExactSizeIterator for Entries<I> {}
impl<'a, I: FusedIterator<Item = &'a Entry>> FusedIterator for Entries<I> {}

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
            chunks: BTreeMap::new(),
            n_entries: 0,
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
        let chunks = self.chunks.iter();
        let each = chunks.flat_map(move |(id, chunk)| {
            (0..chunk.rows.len()).map(move |at| chunk.entry(at, self.survey, id.writer))
        });
        let left = self.n_entries;
        Entries { each, left }
    }

    /// The entries that are not spelled as answers: few.
    pub(crate) fn others(&self) -> impl Iterator<Item = &Entry> {
        let chunks = self.chunks.iter();
        chunks.flat_map(move |(id, chunk)| {
            let others = (0..chunk.rows.len()).filter(|at| !chunk.rows[*at].is_answer());
            others.map(move |at| chunk.entry(at, self.survey, id.writer))
        })
    }

    /// The entries as they are kept, by writer and number.
    pub(crate) fn rows(&self) -> impl Iterator<Item = (WriterId, &Row)> {
        let chunks = self.chunks.iter();
        chunks.flat_map(|(id, chunk)| chunk.rows.iter().map(|row| (id.writer, row)))
    }

    /// A writer's, as they are kept.
    pub(crate) fn rows_of(&self, writer: WriterId) -> impl Iterator<Item = &Row> {
        self.chunks_from(EntryId { writer, n: 0 })
            .flat_map(|chunk| &chunk.rows)
    }

    /// One entry.
    #[must_use]
    pub fn entry(&self, id: EntryId) -> Option<&Entry> {
        let (chunk, at) = self.find(id)?;
        Some(chunk.entry(at, self.survey, id.writer))
    }

    /// Whether it has an entry.
    pub(crate) fn has(&self, id: EntryId) -> bool {
        self.find(id).is_some()
    }

    /// The clock of an entry.
    pub(crate) fn at_ms(&self, id: EntryId) -> Option<u64> {
        self.find(id).map(|(chunk, at)| chunk.rows[at].at_ms)
    }

    fn find(&self, id: EntryId) -> Option<(&Chunk, usize)> {
        let chunk = self.chunk_of(id)?;
        Some((chunk, chunk.find(id.n).ok()?))
    }

    /// The last of the writer's chunks that begins at an entry or before it.
    fn chunk_of(&self, id: EntryId) -> Option<&Chunk> {
        let before = self.chunks.range(EntryId { n: 0, ..id }..=id);
        before.map(|(_, chunk)| chunk).next_back()
    }

    /// The writer's chunks from the one that has, or would have, an entry.
    fn chunks_from(&self, id: EntryId) -> impl Iterator<Item = &Chunk> {
        let first = self.chunks.range(EntryId { n: 0, ..id }..=id).next_back();
        let first = first.map_or(EntryId { n: 0, ..id }, |(first, _)| *first);
        let chunks = self.chunks.range(first..=EntryId { n: u64::MAX, ..id });
        chunks.map(|(_, chunk)| chunk)
    }

    /// Those who wrote, in order. Takes time by the number of writers.
    pub fn writers(&self) -> impl Iterator<Item = WriterId> {
        let after = |writer: Option<WriterId>| match writer {
            None => self.chunks.keys().next(),
            Some(writer) => {
                let last = EntryId { writer, n: u64::MAX };
                let beyond = (Bound::Excluded(last), Bound::Unbounded);
                self.chunks.range(beyond).next().map(|(id, _)| id)
            }
        };
        std::iter::successors(after(None), move |id| after(Some(id.writer))).map(|id| id.writer)
    }

    /// A writer's entries from a number on.
    pub fn entries_from(&self, writer: WriterId, n: u64) -> impl Iterator<Item = &Entry> {
        self.chunks_from(EntryId { writer, n }).flat_map(move |chunk| {
            let from = chunk.find(n).unwrap_or_else(|at| at);
            (from..chunk.rows.len()).map(move |at| chunk.entry(at, self.survey, writer))
        })
    }

    /// The number and the clock of the entry that its writer wrote before this id.
    pub(crate) fn before(&self, id: EntryId) -> Option<(EntryId, u64)> {
        let n = id.n.checked_sub(1)?;
        let chunk = self.chunk_of(EntryId { n, ..id })?;
        let upto = chunk.rows.partition_point(|row| row.n <= n);
        let row = &chunk.rows[upto.checked_sub(1)?];
        Some((EntryId { n: row.n, ..id }, row.at_ms))
    }

    /// Entries with an id that another entry has too.
    pub fn twins(&self) -> impl ExactSizeIterator<Item = &(EntryId, Vec<u8>)> {
        self.twins.iter()
    }

    /// The number of the writer's next entry.
    #[must_use]
    pub fn next_n(&self, writer: WriterId) -> u64 {
        let last = self.chunk_of(EntryId { writer, n: u64::MAX });
        let last = last.and_then(|chunk| chunk.rows.last());
        last.map_or(0, |row| row.n.saturating_add(1))
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
        let writer = entry.id.writer;
        let Err(row) = self.add(writer, Row::of(&entry)) else {
            return Ok(Inserted::New);
        };
        let Some((chunk, at)) = self.find_mut(entry.id) else {
            return Ok(Inserted::Known);
        };
        let known = &chunk.rows[at];
        if *known == row {
            return Ok(Inserted::Known);
        }
        // The smaller bytes stand, so that no order of merging shows.
        let mut bytes = Vec::new();
        known.write(entry.survey, writer, &mut bytes);
        let (id, other) = if entry.bytes < bytes {
            chunk.rows[at] = row;
            chunk.entries = OnceLock::new();
            (entry.id, bytes)
        } else {
            (entry.id, entry.bytes)
        };
        Ok(if self.twins.insert((id, other)) {
            Inserted::Twin
        } else {
            Inserted::Known
        })
    }

    fn find_mut(&mut self, id: EntryId) -> Option<(&mut Chunk, usize)> {
        let mut before = self.chunks.range_mut(EntryId { n: 0, ..id }..=id);
        let (_, chunk) = before.next_back()?;
        let at = chunk.find(id.n).ok()?;
        Some((chunk, at))
    }

    /// Adds a row of this survey; gives it back if another has its number.
    pub(crate) fn add(&mut self, writer: WriterId, row: Row) -> Result<(), Row> {
        let id = EntryId { writer, n: row.n };
        // Mostly they come in order.
        if let Some(mut last) = self.chunks.last_entry()
            && last.key().writer == writer
            && last.get().rows.len() < MOST
            && last.get().rows.last().is_some_and(|last| last.n < row.n)
        {
            let chunk = last.get_mut();
            chunk.insert(chunk.rows.len(), row);
            self.n_entries += 1;
            return Ok(());
        }
        let mut before = self.chunks.range_mut(EntryId { writer, n: 0 }..=id);
        let Some((_, chunk)) = before.next_back() else {
            // Before all that its writer wrote.
            let after = self.chunks.range(id..=EntryId { writer, n: u64::MAX }).next();
            let first = after
                .filter(|(_, chunk)| chunk.rows.len() < MOST)
                .map(|(first, _)| *first);
            let mut chunk = first
                .and_then(|first| self.chunks.remove(&first))
                .unwrap_or_default();
            chunk.insert(0, row);
            self.chunks.insert(id, chunk);
            self.n_entries += 1;
            return Ok(());
        };
        let Err(at) = chunk.find(row.n) else {
            return Err(row);
        };
        self.n_entries += 1;
        if chunk.rows.len() < MOST {
            chunk.insert(at, row);
            return Ok(());
        }
        if at == chunk.rows.len() {
            let mut next = Chunk::default();
            next.insert(0, row);
            self.chunks.insert(id, next);
            return Ok(());
        }
        // Too many: the second half goes into a chunk of its own.
        let mut second = Chunk {
            rows: chunk.rows.split_off(MOST / 2),
            entries: OnceLock::new(),
        };
        chunk.entries = OnceLock::new();
        match at.checked_sub(MOST / 2) {
            Some(at) if at > 0 => second.insert(at, row),
            _ => chunk.insert(at, row),
        }
        let first = second.rows.first().map_or(id.n, |row| row.n);
        self.chunks.insert(EntryId { writer, n: first }, second);
        Ok(())
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
        for (writer, row) in other.rows() {
            if let Err(row) = self.add(writer, row.clone()) {
                self.insert(row.entry(self.survey, writer))?;
            }
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
        for (writer, row) in self.rows() {
            let id = &EntryId { writer, n: row.n };
            row.write(self.survey, writer, &mut lines);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::Content;

    const SURVEY: SurveyId = SurveyId([7; 16]);

    fn entry(writer: u8, n: u64) -> Entry {
        let id = EntryId {
            writer: WriterId([writer; 16]),
            n,
        };
        Entry::write(SURVEY, id, n / 2, Content::Undo { of: id })
    }

    /// Chunks fill, split and begin anew; what is asked of them is what a plain sorted list says.
    #[test]
    fn in_whatever_order_entries_come_the_log_is_the_same() {
        let gaps = |n: u64| n + 3 * u64::from(n > 500) + u64::from(n > 40);
        let mut all: Vec<Entry> = (0..3)
            .flat_map(|writer| (0..700).map(move |n| entry(writer, gaps(n))))
            .collect();
        all.extend((0..3).map(|n| entry(9, u64::MAX - n)));
        all.sort_by_key(|entry| entry.id);
        let n = all.len();
        let strides = [1, 2, 97, 1_009, n - 1];
        let mut logs = Vec::new();
        for stride in strides {
            let mut log = Log::new(SURVEY);
            // Every so often somebody looks, so that entries were given out before others come between.
            for at in 0..n {
                let next = all[(at * stride + stride / 2) % n].clone();
                assert_eq!(
                    log.insert(next.clone()).ok(),
                    Some(Inserted::New),
                    "{stride} {at}"
                );
                if at % 5 == 0 {
                    assert_eq!(log.entry(next.id), Some(&next));
                }
            }
            logs.push(log);
        }
        let mut merged = Log::new(SURVEY);
        for log in [&logs[3], &logs[0]] {
            assert!(merged.merge(log).is_ok());
        }
        logs.push(merged);
        for log in &logs {
            assert_eq!(*log, logs[0]);
            assert_eq!(log.to_lines(), logs[0].to_lines());
            assert!(log.chunks.values().all(|chunk| chunk.rows.len() <= MOST));
            assert_eq!(log.entries().len(), n);
            assert!(log.entries().eq(&all));
            assert_eq!(log.writers().count(), 4);
            for (at, entry) in all.iter().enumerate() {
                let EntryId { writer, n } = entry.id;
                assert_eq!(
                    (log.entry(entry.id), log.at_ms(entry.id)),
                    (Some(entry), Some(entry.at_ms))
                );
                let before = at.checked_sub(1).map(|at| &all[at]);
                let before = before.filter(|before| before.id.writer == writer);
                assert_eq!(
                    log.before(entry.id),
                    before.map(|before| (before.id, before.at_ms))
                );
                let own = all[at..].iter().take_while(|own| own.id.writer == writer);
                assert_eq!(log.entries_from(writer, n).count(), own.count());
                assert_eq!(log.entries_from(writer, n).next(), Some(entry));
            }
            for writer in [0, 1, 2, 9, 5] {
                let writer = WriterId([writer; 16]);
                let own = || all.iter().filter(|entry| entry.id.writer == writer);
                let next = own().next_back().map_or(0, |last| last.id.n.saturating_add(1));
                assert_eq!(log.next_n(writer), next);
                assert!(
                    log.rows_of(writer)
                        .map(|row| row.n)
                        .eq(own().map(|entry| entry.id.n))
                );
                // Numbers that nobody wrote.
                for n in [41, 503, 5_000] {
                    assert!(!log.has(EntryId { writer, n }));
                    let from = own().find(|entry| entry.id.n >= n);
                    assert_eq!(log.entries_from(writer, n).next(), from);
                }
            }
        }
    }
}
