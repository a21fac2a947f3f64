//! What is on this device only, and surveys that are deleted: asked twice by the screen, undone until the next start.

use leptos::prelude::*;
use survey::store::{LogStore, StoreError};
use survey::{EntryId, Log, SurveyId, WriterId};

use super::{Opening, Store};
use crate::capability::preferences::{self, Handed};
use crate::capability::windows::{self, News};
use crate::capability::{clock, task};

/// A device whose day is nearly over, by its own clock.
const EVENING: u32 = 16;

impl Store {
    /// How many entries of the open survey were never handed over, following the state.
    #[must_use]
    pub fn only_here(&self) -> u64 {
        let (state, handed) = (self.state.get(), self.handed.get());
        let log = self.log();
        let of = |writer: &WriterId| log.next_n(*writer).saturating_sub(of_writer(&handed, *writer));
        state.writers.keys().map(of).sum()
    }

    /// Whether it is time to hand over: something is on this device only, and the day ends or has ended since.
    #[must_use]
    pub fn is_time_to_hand_over(&self) -> bool {
        let (state, handed) = (self.state.get(), self.handed.get());
        let log = self.log();
        let first = |writer: &WriterId| {
            let n = of_writer(&handed, *writer);
            Some(log.entry(EntryId { writer: *writer, n })?.at_ms)
        };
        let Some(oldest) = state.writers.keys().filter_map(first).min() else {
            return false;
        };
        let now = clock::now_ms();
        clock::hour(now) >= EVENING || clock::iso_day(oldest) < clock::iso_day(now)
    }

    /// Notes that a file with this log was carried away.
    pub fn note_handed_over(&self, log: &Log) {
        let handed = note(log, Some(clock::now_ms()));
        if self.state.get_untracked().survey == log.survey() {
            self.set_handed.set(handed);
        }
    }

    /// Takes a survey off the list. Its entries stay on the disk until the app is next started.
    ///
    /// # Errors
    /// The storage refuses; nothing is deleted then.
    pub async fn delete(&self, survey: SurveyId) -> Result<(), StoreError> {
        self.pump().await;
        let title = preferences::titles().remove(&survey).unwrap_or_default();
        preferences::set_deleted(survey, Some(&title)).await?;
        if self.state.get_untracked().survey == survey {
            self.set_opening.set(Opening::Nothing);
            windows::leave();
        }
        self.tell_listed(survey);
        Ok(())
    }

    /// Puts a deleted survey back on the list.
    ///
    /// # Errors
    /// The storage refuses; it is still deleted then.
    pub async fn bring_back(&self, survey: SurveyId) -> Result<(), StoreError> {
        if preferences::deleted().contains_key(&survey) {
            preferences::set_deleted(survey, None).await?;
            self.tell_listed(survey);
        }
        Ok(())
    }

    /// Removes what was deleted before this start, unless another window could still bring it back.
    pub fn purge_deleted(&self) {
        let store = *self;
        task::spawn(async move {
            if windows::is_only_window().await == Some(false) {
                return;
            }
            for survey in preferences::deleted().into_keys() {
                // What cannot be removed now is removed at a later start.
                if store.disk().remove(survey).await.is_ok() {
                    preferences::forget(survey);
                    store.tell_listed(survey);
                }
            }
        });
    }

    fn tell_listed(&self, survey: SurveyId) {
        windows::tell(&News::Listed(survey));
        self.set_listed.update(|n| *n += 1);
    }
}

/// Notes that a log came from elsewhere: what is in it is not on this device only.
pub(super) fn note_elsewhere(log: &Log) {
    note(log, None);
}

fn note(log: &Log, at_ms: Option<u64>) -> Handed {
    let mut handed = preferences::handed(log.survey());
    let mut last = None;
    for entry in log.entries() {
        if last != Some(entry.id.writer) {
            last = Some(entry.id.writer);
            let known = handed.entries.entry(entry.id.writer.to_string()).or_default();
            *known = (*known).max(log.next_n(entry.id.writer));
        }
    }
    if let Some(at_ms) = at_ms {
        handed.at_ms = at_ms;
    }
    preferences::set_handed(log.survey(), &handed);
    handed
}

fn of_writer(handed: &Handed, writer: WriterId) -> u64 {
    handed.entries.get(&writer.to_string()).copied().unwrap_or(0)
}
