//! A survey locked on this device: closing it in, opening it, and taking the lock off again.

use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use survey::store::StoreError;
use survey::{Log, State, SurveyId};

use super::{Opening, Store};
use crate::capability::lock::{self, Key, LockError};
use crate::capability::windows::{self, News};
use crate::capability::{heavy, photo_store, preferences, second, storage, task};

impl Store {
    /// Locks the open survey with a passphrase: entries first, then its photographs one by one. It stays open in this
    /// window until it is shut.
    ///
    /// # Errors
    /// [`LockError`]; nothing is locked then.
    pub async fn lock(&self, passphrase: &str) -> Result<(), LockError> {
        let survey = self.state.get_untracked().survey;
        self.pump().await;
        let key = Rc::new(Key::make(passphrase).await?);
        let failed = |error: StoreError| LockError::Failed(error.to_string());
        storage::forget_copy(survey).await.map_err(failed)?;
        // From here on what is written is sealed: an answer that comes between is not left outside.
        lock::hold(survey, Some(Rc::clone(&key)));
        if let Err(error) = storage::seal_anew(survey, None, Some(&key)).await {
            lock::hold(survey, None);
            second::step_soon(survey);
            return Err(failed(error));
        }
        preferences::set_title(survey, "");
        windows::tell(&News::Changed(survey));
        windows::tell(&News::Listed(survey));
        let sealed = seal_photos(survey, None, Some(&key)).await.map_err(failed);
        self.settle_photos(survey);
        sealed
    }

    /// Takes the lock off the open survey: photographs first, so that none is left behind a key that is gone.
    ///
    /// # Errors
    /// The storage refuses; the survey is locked still.
    pub async fn take_lock_off(&self) -> Result<(), StoreError> {
        let state = self.state.get_untracked();
        let survey = state.survey;
        self.pump().await;
        let Some(key) = lock::key(survey) else {
            return Ok(());
        };
        storage::take_from_copy(survey).await?;
        // From here on what is written is plain: an answer that comes between is not left behind a key that is gone.
        lock::hold(survey, None);
        let opened = async {
            seal_photos(survey, Some(&key), None).await?;
            storage::seal_anew(survey, Some(&key), None).await
        };
        if let Err(error) = opened.await {
            lock::hold(survey, Some(key));
            return Err(error);
        }
        preferences::set_title(survey, &state.title);
        windows::tell(&News::Listed(survey));
        self.settle_photos(survey);
        Ok(())
    }

    /// Opens a locked survey.
    ///
    /// # Errors
    /// [`LockError`]; it stays locked.
    pub async fn unlock(&self, survey: SurveyId, passphrase: &str) -> Result<(), LockError> {
        let key = Rc::new(storage::key_that_opens(survey, passphrase).await?);
        lock::hold(survey, Some(Rc::clone(&key)));
        self.open(survey);
        // A phone that died while it locked may have left photographs outside.
        task::spawn(async move {
            // What cannot be sealed or removed now is when it is next opened.
            let _ = photo_store::remove_unfinished(survey).await;
            for sha256 in photo_store::names(survey).await.unwrap_or_default() {
                let _ = photo_store::seal_if_left_outside(survey, &sha256, &key).await;
            }
        });
        Ok(())
    }

    /// Shuts the open survey, which is locked: without its passphrase nothing of it is to be seen.
    pub async fn shut(&self) {
        self.pump().await;
        let survey = self.state.get_untracked().survey;
        lock::hold(survey, None);
        self.forget_open();
        self.set_opening.set(Opening::Nothing);
    }

    /// Another window locked the open survey.
    pub(super) fn was_locked(&self) {
        self.forget_open();
        self.set_opening.set(Opening::Failed(StoreError::Locked));
    }

    fn forget_open(&self) {
        heavy::forget();
        windows::leave();
        let nobody = SurveyId([0; 16]);
        self.inner
            .update_value(|inner| inner.log = Arc::new(Log::new(nobody)));
        self.set_state.set(Arc::new(State::empty(nobody)));
    }
}

async fn seal_photos(survey: SurveyId, from: Option<&Key>, to: Option<&Key>) -> Result<(), StoreError> {
    photo_store::remove_unfinished(survey).await?;
    for sha256 in photo_store::names(survey).await? {
        photo_store::seal_anew(survey, &sha256, from, to).await?;
    }
    Ok(())
}
