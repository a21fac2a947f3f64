//! The door to whatever keeps a survey's bytes: IndexedDB in the browser, memory in tests.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::id::{EntryId, SurveyId};

/// Why bytes were not kept or not given back. Each is ordinary: the person is told and goes on in memory.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StoreError {
    /// The browser refuses storage: private mode, or denied.
    #[error("storage is denied: {0}")]
    Denied(String),
    /// The disk, or the browser's share of it, is full.
    #[error("storage is full: {0}")]
    Full(String),
    /// Another tab is upgrading the database, or the connection was closed.
    #[error("storage was interrupted: {0}")]
    Interrupted(String),
    /// A newer version of this program has upgraded the database.
    #[error("storage belongs to a newer version: {0}")]
    Newer(String),
    /// The survey is locked on this device, and nobody opened it.
    #[error("the survey is locked on this device")]
    Locked,
    /// Anything else, in the browser's words.
    #[error("storage failed: {0}")]
    Failed(String),
}

/// An entry as it is kept: its key and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredEntry {
    /// Writer and number.
    pub id: EntryId,
    /// The bytes, exactly.
    pub bytes: Vec<u8>,
}

/// Keeps logs. One call is one transaction; when it returns `Ok`, the bytes are as durable as the device allows.
///
/// Futures need not be `Send`: the browser has one thread.
#[allow(async_fn_in_trait, reason = "one thread, no Send bound wanted")]
pub trait LogStore {
    /// The surveys kept here.
    async fn surveys(&self) -> Result<Vec<SurveyId>, StoreError>;

    /// Every entry of a survey, in key order (writer, then n), and any twins (same id, other bytes) after them.
    async fn load(&self, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError>;

    /// Adds entries in one transaction: all or none. An entry that is there already with the same bytes is left
    /// alone; with other bytes it is kept beside the first.
    async fn append(&self, survey: SurveyId, entries: &[StoredEntry]) -> Result<(), StoreError>;

    /// Forgets a survey.
    async fn remove(&self, survey: SurveyId) -> Result<(), StoreError>;
}

/// A survey's entries: the bytes that came under each id, in order of arrival.
type Kept = BTreeMap<EntryId, Vec<Vec<u8>>>;

/// A store in memory. [`MemoryStore::fail_with`] makes the next calls fail, as a full disk would.
#[derive(Debug, Default)]
pub struct MemoryStore {
    kept: RefCell<BTreeMap<SurveyId, Kept>>,
    failing: RefCell<Option<StoreError>>,
}

impl MemoryStore {
    /// From now on every call fails with this error; `None` mends it.
    pub fn fail_with(&self, error: Option<StoreError>) {
        *self.failing.borrow_mut() = error;
    }

    fn check(&self) -> Result<(), StoreError> {
        self.failing.borrow().clone().map_or(Ok(()), Err)
    }
}

impl LogStore for MemoryStore {
    async fn surveys(&self) -> Result<Vec<SurveyId>, StoreError> {
        self.check()?;
        Ok(self.kept.borrow().keys().copied().collect())
    }

    async fn load(&self, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError> {
        self.check()?;
        let kept = self.kept.borrow();
        let Some(entries) = kept.get(&survey) else {
            return Ok(Vec::new());
        };
        let nth = |n: usize| {
            entries.iter().filter_map(move |(id, all)| {
                all.get(n).map(|bytes| StoredEntry {
                    id: *id,
                    bytes: bytes.clone(),
                })
            })
        };
        let deepest = entries.values().map(Vec::len).max().unwrap_or(0);
        Ok((0..deepest).flat_map(nth).collect())
    }

    async fn append(&self, survey: SurveyId, entries: &[StoredEntry]) -> Result<(), StoreError> {
        self.check()?;
        let mut kept = self.kept.borrow_mut();
        let log = kept.entry(survey).or_default();
        for entry in entries {
            let all = log.entry(entry.id).or_default();
            if !all.contains(&entry.bytes) {
                all.push(entry.bytes.clone());
            }
        }
        Ok(())
    }

    async fn remove(&self, survey: SurveyId) -> Result<(), StoreError> {
        self.check()?;
        self.kept.borrow_mut().remove(&survey);
        Ok(())
    }
}
