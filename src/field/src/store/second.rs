//! What the browser lost, and what came back from the second copy.

use leptos::prelude::*;
use survey::SurveyId;
use survey::store::StoreError;

use super::{Opening, Store};
use crate::capability::windows::{self, News};
use crate::capability::{database, lock, preferences, second, task};

/// Reading the copy of more entries than this takes the worker so long that the start is not to be shared with it.
const LONG: usize = 5_000;

/// What the browser lost, as far as it is known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lost {
    /// How many entries were brought back.
    pub n_entries: usize,
    /// What the browser says of the database that it threw away, if it says so.
    pub said: Option<String>,
}

impl Store {
    /// Brings back what the database lost as a whole: at once where it was just made, else when the start is over. To be
    /// called once.
    pub fn restore_lost(&self) {
        let store = *self;
        task::spawn(async move {
            let anew = database::made_anew();
            if anew.is_none() {
                task::idle().await;
                second::begin();
                task::settled().await;
            }
            // Where there is no copy nothing comes back from it.
            let restored = second::restore().await.unwrap_or_default();
            for (survey, n) in &restored {
                store.name_again(*survey).await;
                store.note_lost(*n);
                windows::tell(&News::Listed(*survey));
                if store.opening.get_untracked() == Opening::NotHere(*survey) {
                    store.open(*survey);
                } else {
                    // Some of it may have been read before all of it was back.
                    store.reread(*survey);
                }
            }
            let said = anew.and_then(|anew| anew.lost);
            if said.is_some() {
                store
                    .set_lost
                    .update(|lost| lost.get_or_insert_default().said = said);
            }
            if !restored.is_empty() {
                store.set_listed.update(|n| *n += 1);
            }
        });
    }

    /// Brings database and second copy of the open survey into step: soon, or a long one when the start is over.
    pub(super) fn bring_into_step(&self, survey: SurveyId) {
        let store = *self;
        task::spawn(async move {
            if store.log().entries().len() > LONG {
                task::settled().await;
            } else {
                task::idle().await;
            }
            // The window that writes does it.
            if store.follows.get_untracked() || !store.is_open(survey) {
                return;
            }
            let n = second::step(survey).await.unwrap_or(0);
            if n > 0 {
                store.note_lost(n);
                store.read_anew(survey).await;
                windows::tell(&News::Changed(survey));
            }
        });
    }

    /// The person has read it.
    pub fn heard_of_loss(&self) {
        self.set_lost.set(None);
    }

    fn note_lost(&self, n: usize) {
        self.set_lost.update(|lost| {
            let lost = lost.get_or_insert_default();
            lost.n_entries += n;
        });
    }

    /// The names of surveys went with the database.
    async fn name_again(&self, survey: SurveyId) {
        match self.read(survey).await {
            Ok(Some(folded)) if lock::key(survey).is_none() => {
                preferences::set_title(survey, &folded.state.title);
            }
            Err(StoreError::Locked) => preferences::set_title(survey, ""),
            // It can be opened without a name.
            _ => {}
        }
    }
}
