//! What the browser lost, and what came back from the second copy.

use leptos::prelude::*;
use survey::SurveyId;
use survey::store::StoreError;

use super::{Opening, Store};
use crate::capability::database::{self, MadeAnew};
use crate::capability::windows::{self, News};
use crate::capability::{lock, preferences, second, task};

/// Reading the copy of more entries than this takes the worker so long that the start is not to be shared with it.
const LONG: usize = 5_000;
/// When what failed is tried once more, milliseconds.
const AGAIN_MS: i32 = 60_000;

/// What the browser lost, as far as it is known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lost {
    /// How many entries were brought back.
    pub n_entries: usize,
    /// Whether more is being brought back.
    pub is_coming: bool,
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
            task::after_paint().await;
            if anew.is_none() {
                task::idle().await;
                second::begin();
                task::settled().await;
            }
            store.restore(anew).await;
        });
    }

    /// Brings back what a database lacks that the browser made anew while the app was open.
    pub(super) fn restore_if_lost(&self) {
        let Some(anew) = database::made_anew() else {
            return;
        };
        let store = *self;
        task::spawn(async move {
            // The open survey has an entry again, the others have none.
            if let Opening::Open(open) = store.opening.get_untracked() {
                store.note_lost(second::step(open).await.unwrap_or(0), None);
            }
            store.restore(Some(anew)).await;
        });
    }

    /// Brings database and second copy of the open survey into step, by the window that writes: soon, or a long one when the
    /// start is over. What fails is tried once more.
    pub(super) fn bring_into_step(&self, survey: SurveyId) {
        let store = *self;
        task::spawn(async move {
            if store.log().entries().len() > LONG {
                task::settled().await;
            } else {
                task::idle().await;
            }
            let is_its_own = || !store.follows.get_untracked() && store.is_open(survey);
            if !is_its_own() {
                return;
            }
            let mut stepped = second::step(survey).await;
            if stepped.is_err() {
                task::wait_ms(AGAIN_MS).await;
                if !is_its_own() {
                    return;
                }
                stepped = second::step(survey).await;
            }
            let n = stepped.unwrap_or(0);
            if n > 0 {
                store.note_lost(n, None);
                store.read_anew(survey).await;
                windows::tell(&News::Changed(survey));
            }
        });
    }

    /// The person has read it.
    pub fn heard_of_loss(&self) {
        self.set_lost.set(None);
    }

    async fn restore(&self, anew: Option<MadeAnew>) {
        // Where there is no copy nothing comes back from it.
        let restored = match second::missing().await {
            Ok(0) | Err(_) => Vec::new(),
            Ok(_) => {
                self.set_lost
                    .update(|lost| lost.get_or_insert_default().is_coming = true);
                second::restore().await.unwrap_or_default()
            }
        };
        for (survey, _) in &restored {
            self.name_again(*survey).await;
            windows::tell(&News::Listed(*survey));
            if self.opening.get_untracked() == Opening::NotHere(*survey) {
                self.open(*survey);
            } else {
                // Some of it may have been read before all of it was back.
                self.reread(*survey);
            }
        }
        if !restored.is_empty() {
            self.set_listed.update(|n| *n += 1);
        }
        let n = restored.iter().map(|(_, n)| n).sum();
        self.note_lost(n, anew.and_then(|anew| anew.lost));
    }

    /// Tells what came back and what the browser says; nothing if there is nothing to tell.
    fn note_lost(&self, n: usize, said: Option<String>) {
        self.set_lost.update(|told| {
            let mut lost = told.take().unwrap_or_default();
            lost.is_coming = false;
            lost.n_entries += n;
            lost.said = said.or(lost.said);
            *told = (lost.n_entries > 0 || lost.said.is_some()).then_some(lost);
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
