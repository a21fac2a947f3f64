//! Several windows at one survey: one writes, the others follow at once.

use std::cell::Cell;
use std::sync::Arc;

use leptos::prelude::*;
use survey::snapshot::Folded;
use survey::store::StoreError;
use survey::{Entry, Inserted, SurveyId};

use super::{Opening, Store};
use crate::capability::windows::{self, News};
use crate::capability::{preferences, task};

impl Store {
    /// Hears the other windows from now on. To be called once.
    pub fn hear_other_windows(&self) {
        let store = *self;
        windows::hear(move |news| match news {
            News::Entries(survey, entries) => store.follow(survey, &entries),
            News::Changed(survey) => store.reread(survey),
            News::Listed(survey) => task::spawn(async move {
                // If it cannot be read now, it is read at the next start.
                let _ = preferences::read_again().await;
                store.set_listed.update(|n| *n += 1);
                if preferences::deleted().contains_key(&survey) && store.is_open(survey) {
                    store.set_opening.set(Opening::NotHere(survey));
                }
            }),
        });
    }

    /// Lets this window write, and the other one follow.
    pub fn take_over(&self) {
        windows::take_over();
    }

    /// Takes this window's place at a survey: it writes if no other window does.
    pub(super) fn sit_at(&self, survey: SurveyId) {
        let store = *self;
        let is_first_word = Cell::new(true);
        windows::sit_at(survey, move |writes| {
            let followed = store.follows.get_untracked();
            store.set_follows.set(!writes);
            // Not before it is known: another window may still bring back what it took back.
            if is_first_word.replace(false) && writes {
                task::spawn(async move { store.sweep_photos().await });
                store.settle_photos(survey);
            }
            // What the window that wrote had left to do for the copy is this one's now.
            if writes && followed {
                store.bring_into_step(survey);
                store.settle_photos(survey);
            }
        });
    }

    /// Reads the open survey again, keeping what still waits for the disk.
    pub(super) async fn read_anew(&self, survey: SurveyId) {
        let read = self.read(survey).await;
        if !self.is_open(survey) {
            return;
        }
        match read {
            Ok(Some(mut folded)) => {
                // What was answered and kept while it was read is here alone. Both are of one survey.
                let _ = folded.merge(&self.log());
                self.paint(folded);
            }
            Err(StoreError::Locked) => self.was_locked(),
            _ => {}
        }
    }

    pub(super) fn is_open(&self, survey: SurveyId) -> bool {
        self.opening.get_untracked() == Opening::Open(survey)
    }

    pub(super) fn reread(&self, survey: SurveyId) {
        let store = *self;
        match self.opening.get_untracked() {
            Opening::Reading(reading) if reading == survey => {
                self.inner.update_value(|inner| inner.read_again = true);
            }
            Opening::Open(open) if open == survey => {
                task::spawn(async move { store.read_anew(survey).await });
            }
            _ => {}
        }
    }

    /// Adds what another window wrote, if it follows on what is here without a gap; reads all again otherwise.
    fn follow(&self, survey: SurveyId, entries: &[Vec<u8>]) {
        if !self.is_open(survey) {
            return self.reread(survey);
        }
        let mut new = Vec::new();
        let mut follows_on = true;
        self.inner.update_value(|inner| {
            let log = Arc::make_mut(&mut inner.log);
            for entry in entries.iter().map(|bytes| Entry::read(bytes)) {
                let Ok(entry) = entry else {
                    follows_on = false;
                    return;
                };
                let (id, is_next) = (entry.id, entry.id.n <= log.next_n(entry.id.writer));
                match log.insert(entry) {
                    Ok(Inserted::New) if is_next => new.push(id),
                    Ok(Inserted::Known) if is_next => {}
                    _ => {
                        follows_on = false;
                        return;
                    }
                }
            }
        });
        if follows_on {
            self.grow(&new);
        } else {
            self.reread(survey);
        }
    }

    /// Shows the open survey with more than what is here.
    fn paint(&self, folded: Folded) {
        let Folded { log, state } = folded;
        self.inner.update_value(|inner| inner.log = Arc::new(log));
        self.set_state.set(Arc::new(state));
    }
}
