//! Reading a survey from its snapshot and the entries that came since, and writing the snapshot when nobody waits.

use leptos::prelude::*;
use survey::snapshot::{self, Folded};
use survey::store::{LogStore, StoreError, StoredEntry};
use survey::{Entry, EntryError, Log, SurveyId};

use super::Store;
use crate::capability::{document, lock, snapshot_store, task};

/// With more entries than this, writing one takes longer than a blink on a slow phone: then it is not done between answers.
const AT_WORK_UP_TO: usize = 15_000;

impl Store {
    /// Writes a snapshot each time the page is hidden, if it is due. To be called once.
    pub fn write_snapshots_when_hidden(&self) {
        let store = *self;
        document::when_hidden(move || store.snapshot_if_due());
    }

    /// Reads a survey; `None` if nothing of it is here. Entries that still wait for the disk belong to it.
    pub(super) async fn read(&self, survey: SurveyId) -> Result<Option<Folded>, StoreError> {
        let opened = self.opened_by_snapshot(survey).await;
        let is_anew = opened.is_none();
        let (mut folded, mut kept) = match opened {
            Some((folded, since)) => (folded, since),
            None => (Folded::of(Log::new(survey)), self.disk().load(survey).await?),
        };
        kept.extend(self.inner.with_value(|inner| inner.queue.waiting_of(survey)));
        if is_anew && kept.is_empty() {
            return Ok(None);
        }
        let entries = kept.iter().map(|kept| {
            let entry = Entry::read(&kept.bytes);
            entry.map_err(|error| damaged(kept, &error))
        });
        let entries = entries.collect::<Result<Vec<_>, _>>()?;
        let other = |error: EntryError| StoreError::Failed(error.to_string());
        folded.add(entries).map_err(other)?;
        Ok(Some(folded))
    }

    /// What the snapshot gives, and the entries that are kept besides. Whatever does not fit is no fault: then all is read.
    async fn opened_by_snapshot(&self, survey: SurveyId) -> Option<(Folded, Vec<StoredEntry>)> {
        let bytes = snapshot_store::get(survey).await.ok()??;
        let folded = Folded::from_snapshot(survey, &bytes)?;
        drop(bytes);
        let (known, n_known) = snapshot::covers(&folded.log);
        let since = self.disk().since(survey, &known, n_known).await.ok()??;
        self.inner.update_value(|inner| inner.covered = (survey, n_known));
        Some((folded, since))
    }

    /// Writes a snapshot of the open survey between two answers, if that takes no time: a longer survey's is written when it is
    /// opened and when the page is hidden.
    pub(super) fn snapshot_at_work(&self) {
        if self.inner.with_value(|inner| inner.log.entries().len()) <= AT_WORK_UP_TO {
            self.snapshot_if_due();
        }
    }

    /// Writes a snapshot of the open survey, if it is due and nothing waits for the disk, once the page is idle.
    pub(super) fn snapshot_if_due(&self) {
        if !self.is_snapshot_due() {
            return;
        }
        let store = *self;
        task::spawn(async move {
            if !document::is_hidden() {
                task::idle().await;
            }
            // Meanwhile another call may have done it.
            if let Some((survey, bytes)) = store.take_snapshot() {
                // A full disk, say: it is tried again when as much has come once more.
                let _ = snapshot_store::put(survey, &bytes).await;
            }
        });
    }

    fn is_snapshot_due(&self) -> bool {
        if self.follows.get_untracked() {
            // The window that writes does it.
            return false;
        }
        if lock::key(self.state.with_untracked(|state| state.survey)).is_some() {
            // It would lie there readable.
            return false;
        }
        self.inner.with_value(|inner| {
            let (of, covered) = inner.covered;
            let covered = if of == inner.log.survey() { covered } else { 0 };
            inner.queue.is_empty() && snapshot::is_due(inner.log.entries().len(), covered)
        })
    }

    fn take_snapshot(&self) -> Option<(SurveyId, Vec<u8>)> {
        if !self.is_snapshot_due() {
            return None;
        }
        let log = self.log();
        let bytes = self.state.with_untracked(|state| snapshot::take(&log, state))?;
        let made = (log.survey(), log.entries().len());
        self.inner.update_value(|inner| inner.covered = made);
        Some((made.0, bytes))
    }
}

fn damaged(entry: &StoredEntry, error: &EntryError) -> StoreError {
    StoreError::Failed(format!("entry {} is damaged: {error}", entry.id))
}
