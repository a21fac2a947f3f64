//! The one handle through which views read and write a survey.
//!
//! A command is decided upon, its entries are added to the log in memory and the state is folded anew, so the tap
//! paints at once, marked as saving. The entries then go to the disk in order, one strict transaction a command;
//! only when it completes are they 'saved'. When it fails they stay in memory, the person is told, and everything
//! else still works, export included.

mod keeping;
mod locking;
pub mod news;
mod photos;
mod queue;
mod second;
mod snapshots;
mod together;

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use survey::snapshot::Folded;
use survey::store::{LogStore, StoreError, StoredEntry};
use survey::{
    Author, Command, DeviceId, Entry, EntryError, EntryId, Log, Refusal, State, SurveyId, WriterId, decide,
};

pub use self::photos::{NotKept, NotTakenIn, bare};
use self::queue::{Kept, Queue};
pub use self::second::Lost;
use crate::capability::preferences::Handed;
use crate::capability::storage::BrowserStore;
use crate::capability::windows::{self, News};
use crate::capability::{clock, document, heavy, lock, preferences, random, task};

/// Program and version, as each writer records it.
const APP: &str = concat!("quarterlight ", env!("CARGO_PKG_VERSION"));

/// The store's handle: copy it freely.
#[derive(Clone, Copy)]
pub struct Store {
    /// The open survey's state; of no survey while none is open.
    pub state: ReadSignal<Arc<State>>,
    /// How far opening a survey is.
    pub opening: ReadSignal<Opening>,
    /// Entries that are not durable yet.
    pub saving: ReadSignal<BTreeSet<EntryId>>,
    /// Why entries could not be kept, while that lasts.
    pub trouble: ReadSignal<Option<StoreError>>,
    /// The last refusal of [`Store::send`], until the next command.
    pub refusal: ReadSignal<Option<Refusal>>,
    /// Whether another window writes in the open survey, and this one follows.
    pub follows: ReadSignal<bool>,
    /// What was handed over of the open survey.
    pub handed: ReadSignal<Handed>,
    /// What the browser lost, until the person has read it.
    pub lost: ReadSignal<Option<Lost>>,
    /// Counts up whenever the list of surveys changes, here or in another window.
    pub listed: ReadSignal<u32>,
    /// This device.
    pub device: DeviceId,
    /// This tab session.
    pub writer: WriterId,
    set_state: WriteSignal<Arc<State>>,
    set_opening: WriteSignal<Opening>,
    set_saving: WriteSignal<BTreeSet<EntryId>>,
    set_trouble: WriteSignal<Option<StoreError>>,
    set_refusal: WriteSignal<Option<Refusal>>,
    set_follows: WriteSignal<bool>,
    set_handed: WriteSignal<Handed>,
    set_lost: WriteSignal<Option<Lost>>,
    set_listed: WriteSignal<u32>,
    inner: StoredValue<Inner, LocalStorage>,
}

/// How far opening a survey is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Opening {
    /// No survey is open.
    Nothing,
    /// It is being read.
    Reading(SurveyId),
    /// It is open.
    Open(SurveyId),
    /// This device has no such survey.
    NotHere(SurveyId),
    /// It could not be read.
    Failed(StoreError),
}

/// Why a log could not be taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TakeInError {
    /// It could not be kept, or the present one not be read.
    Store(StoreError),
    /// It does not fit the log that is here.
    Entry(EntryError),
}

struct Inner {
    log: Arc<Log>,
    disk: BrowserStore,
    queue: std::rc::Rc<Queue>,
    /// Entries that one command wrote together, of this tab: they are taken back together.
    together: Vec<Vec<EntryId>>,
    /// Whether news of the survey came while it was being read.
    read_again: bool,
    /// The survey whose photographs are being moved out of the database, how often that was begun, and whether there are others
    /// since.
    settles: (Option<SurveyId>, u32),
    settle_again: bool,
    /// The survey that a snapshot is known of, and how many entries are in it.
    covered: (SurveyId, usize),
}

/// The store, from context.
///
/// # Panics
/// Outside [`crate::app::App`], which provides it before anything is shown.
#[must_use]
pub fn use_store() -> Store {
    expect_context()
}

impl Store {
    /// A store with no survey open.
    ///
    /// # Errors
    /// The browser has no randomness, so no writer can be named; or [`preferences::load`] was not waited for.
    pub fn new() -> Result<Self, String> {
        let device = preferences::device().ok_or("the device has no id")?;
        let writer = WriterId(random::bits128()?);
        let nobody = SurveyId([0; 16]);
        let (state, set_state) = signal(Arc::new(State::empty(nobody)));
        let (opening, set_opening) = signal(Opening::Nothing);
        let (saving, set_saving) = signal(BTreeSet::new());
        let (trouble, set_trouble) = signal(None);
        let (refusal, set_refusal) = signal(None);
        let inner = Inner {
            log: Arc::new(Log::new(nobody)),
            disk: BrowserStore,
            queue: std::rc::Rc::default(),
            together: Vec::new(),
            read_again: false,
            settles: (None, 0),
            settle_again: false,
            covered: (nobody, 0),
        };
        let inner = StoredValue::new_local(inner);
        let (follows, set_follows) = signal(false);
        let (handed, set_handed) = signal(Handed::default());
        let (lost, set_lost) = signal(None);
        let (listed, set_listed) = signal(0);
        Ok(Self {
            state,
            opening,
            saving,
            trouble,
            refusal,
            follows,
            handed,
            lost,
            listed,
            device,
            writer,
            set_state,
            set_opening,
            set_saving,
            set_trouble,
            set_refusal,
            set_follows,
            set_handed,
            set_lost,
            set_listed,
            inner,
        })
    }

    /// The open survey's log as it is now, for figures and files. Cheap: entries are shared, not copied.
    #[must_use]
    pub fn log(&self) -> Arc<Log> {
        self.inner.with_value(|inner| Arc::clone(&inner.log))
    }

    /// The surveys on this device, without those that were deleted since the start.
    ///
    /// # Errors
    /// The storage refuses.
    pub async fn surveys(&self) -> Result<Vec<SurveyId>, StoreError> {
        let mut surveys = self.disk().surveys().await?;
        let deleted = preferences::deleted();
        surveys.retain(|survey| !deleted.contains_key(survey));
        Ok(surveys)
    }

    /// Opens a survey, unless it is open already.
    pub fn open(&self, survey: SurveyId) {
        if matches!(self.opening.get_untracked(), Opening::Open(open) | Opening::Reading(open) if open == survey)
        {
            return;
        }
        let store = *self;
        store.set_opening.set(Opening::Reading(survey));
        self.inner.update_value(|inner| inner.read_again = false);
        task::spawn(async move {
            // What was written a moment ago must be read back.
            store.pump().await;
            let read = store.read(survey).await;
            if store.opening.get_untracked() != Opening::Reading(survey) {
                return;
            }
            match read {
                Ok(Some(_)) if preferences::deleted().contains_key(&survey) => {
                    store.set_opening.set(Opening::NotHere(survey));
                }
                Ok(Some(folded)) => {
                    store.show(folded);
                    if store.inner.with_value(|inner| inner.read_again) {
                        store.read_anew(survey).await;
                    }
                    store.bring_into_step(survey);
                }
                Ok(None) => store.set_opening.set(Opening::NotHere(survey)),
                Err(error) => store.set_opening.set(Opening::Failed(error)),
            }
        });
    }

    /// Begins a new survey with one stratum, and opens it.
    ///
    /// # Errors
    /// What the browser says when it has no randomness.
    pub fn begin(&self, title: String, stratum: String) -> Result<SurveyId, String> {
        let survey = SurveyId(random::bits128()?);
        self.show(Folded::of(Log::new(survey)));
        self.send(Command::Begin {
            title,
            practice: false,
        });
        self.send(Command::AddStratum { name: stratum });
        Ok(survey)
    }

    /// Sends a command. A refusal is shown in the shell and is to be had from `refusal`.
    pub fn send(&self, command: Command) {
        let refusal = self.try_send(command).err();
        self.set_refusal.set(refusal);
    }

    /// Sends a command with what somebody else looked at: as [`Store::send`], and who looked is kept beside.
    pub fn send_looked(&self, command: Command, looked: String) {
        let refusal = self.try_send_looked(command, looked).err();
        self.set_refusal.set(refusal);
    }

    /// Sends a command and says what was written: the ids of its entries, none if it changes nothing.
    ///
    /// # Errors
    /// The refusal; nothing was written then.
    pub fn try_send(&self, command: Command) -> Result<Vec<EntryId>, Refusal> {
        self.try_send_looked(command, preferences::looker())
    }

    fn try_send_looked(&self, command: Command, looked: String) -> Result<Vec<EntryId>, Refusal> {
        self.set_refusal.set(None);
        if self.follows.get_untracked() {
            return Err(Refusal::WrittenElsewhere);
        }
        let author = Author {
            writer: self.writer,
            device: self.device,
            device_name: preferences::device_name(),
            person: preferences::person(),
            app: APP.to_owned(),
            looked,
            now_ms: clock::now_ms(),
        };
        let log = self.log();
        let state = self.state.get_untracked();
        let entries = decide(&log, &state, &author, command)?;
        if entries.is_empty() {
            return Ok(Vec::new());
        }
        drop((log, state));
        let ids: Vec<EntryId> = entries.iter().map(|entry| entry.id).collect();
        self.add(entries);
        if ids.len() > 1 {
            self.inner.update_value(|inner| inner.together.push(ids.clone()));
        }
        Ok(ids)
    }

    /// Shows a refusal of [`Store::try_send`] as [`Store::send`] would.
    pub fn refuse(&self, refusal: Refusal) {
        self.set_refusal.set(Some(refusal));
    }

    /// Undoes this tab's last answer or listing, with all that one tap wrote together. Says how many entries that were.
    pub fn undo_last(&self) -> usize {
        let state = self.state.get_untracked();
        let last = survey::decide::last_undoable(&self.log(), &state, self.writer);
        let of_one_tap = last.and_then(|last| {
            let together = |inner: &Inner| {
                inner
                    .together
                    .iter()
                    .rev()
                    .find(|ids| ids.contains(&last))
                    .cloned()
            };
            self.inner.with_value(together)
        });
        let Some(of_one_tap) = of_one_tap else {
            self.send(Command::UndoLast);
            return 1;
        };
        let standing = of_one_tap.into_iter().rev().filter(|id| !state.is_undone(*id));
        // The tab's first command wrote who it is besides, which is refused and stays.
        standing
            .filter(|id| self.try_send(Command::Undo(*id)).is_ok())
            .count()
    }

    /// Whether [`Store::undo_last`] has something to undo, following the state.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        let state = self.state.get();
        survey::decide::last_undoable(&self.log(), &state, self.writer).is_some()
    }

    /// Takes in a log from elsewhere: keeps what is new, and opens the survey.
    ///
    /// # Errors
    /// [`TakeInError`]; what was here is as it was.
    pub async fn take_in(&self, other: Log) -> Result<SurveyId, TakeInError> {
        let survey = other.survey();
        self.pump().await;
        let disk = self.disk();
        self.bring_back(survey).await.map_err(TakeInError::Store)?;
        let here = self.read(survey).await.map_err(TakeInError::Store)?;
        let mut folded = here.unwrap_or_else(|| Folded::of(Log::new(survey)));
        folded.merge(&other).map_err(TakeInError::Entry)?;
        let entries: Vec<StoredEntry> = stored(&other).collect();
        disk.merge(survey, &entries).await.map_err(TakeInError::Store)?;
        // What came from elsewhere is not on this device only.
        keeping::note_elsewhere(&other);
        self.show(folded);
        windows::tell(&News::Changed(survey));
        windows::tell(&News::Listed(survey));
        Ok(survey)
    }

    /// Tries again to keep what could not be kept.
    pub fn retry(&self) {
        let store = *self;
        task::spawn(async move { store.pump().await });
    }

    fn disk(&self) -> BrowserStore {
        self.inner.with_value(|inner| inner.disk)
    }

    fn show(&self, folded: Folded) {
        heavy::forget();
        let Folded { log, state } = folded;
        let survey = log.survey();
        self.set_handed.set(preferences::handed(survey));
        self.sit_at(survey);
        if state.is_begun() {
            Self::remember_title(&state);
        }
        self.inner.update_value(|inner| inner.log = Arc::new(log));
        self.set_state.set(Arc::new(state));
        self.set_opening.set(Opening::Open(survey));
        let store = *self;
        task::spawn(async move {
            // What no screen waits for.
            task::after_paint().await;
            let differs = store.state.with_untracked(|state| {
                (state.survey == survey && state.is_begun()).then(|| state.n_differences())
            });
            if let Some(n) = differs {
                preferences::set_differs(survey, n);
            }
            store.snapshot_if_due();
        });
    }

    /// Paints first, keeps after.
    fn add(&self, entries: Vec<Entry>) {
        let survey = self.state.get_untracked().survey;
        let batch: Vec<StoredEntry> = entries.iter().map(to_stored).collect();
        self.inner.update_value(|inner| {
            let log = Arc::make_mut(&mut inner.log);
            for entry in entries {
                // decide wrote it for this very log, so it cannot belong to another survey.
                let _ = log.insert(entry);
            }
            inner.queue.push(survey, batch.clone());
        });
        // Before anything on the screen changes: the disk is asked first.
        let store = *self;
        task::begin(async move { store.pump().await });
        self.set_saving
            .update(|saving| saving.extend(batch.iter().map(|entry| entry.id)));
        document::warn_before_leaving(true);
        let ids: Vec<EntryId> = batch.iter().map(|entry| entry.id).collect();
        self.grow(&ids);
        self.state.with_untracked(|state| Self::remember_title(state));
    }

    /// What is locked leaves no title outside.
    fn remember_title(state: &State) {
        let is_locked = lock::key(state.survey).is_some();
        preferences::set_title(state.survey, if is_locked { "" } else { &state.title });
    }

    /// Takes entries up that were just added to the log, in place: a copy is made only while somebody else holds the state.
    fn grow(&self, added: &[EntryId]) {
        let log = self.log();
        self.set_state
            .update(|state| Arc::make_mut(state).take_up(&log, added));
    }

    async fn pump(&self) {
        let store = *self;
        let (queue, disk) = self
            .inner
            .with_value(|inner| (std::rc::Rc::clone(&inner.queue), inner.disk));
        queue
            .pump(&disk, move |kept| match kept {
                Kept::Saved(survey, entries) => {
                    let bytes = entries.iter().map(|entry| entry.bytes.clone()).collect();
                    windows::tell(&News::Entries(survey, bytes));
                    store.set_saving.update(|saving| {
                        for entry in &entries {
                            saving.remove(&entry.id);
                        }
                    });
                    if store.trouble.get_untracked().is_some() {
                        store.set_trouble.set(None);
                    }
                }
                Kept::Failed(error) => store.set_trouble.set(Some(error)),
            })
            .await;
        self.restore_if_lost();
        if queue.is_empty() {
            document::warn_before_leaving(false);
            self.snapshot_at_work();
        }
    }
}

fn stored(log: &Log) -> impl Iterator<Item = StoredEntry> {
    let twins = log.twins().map(|(id, bytes)| StoredEntry {
        id: *id,
        bytes: bytes.clone(),
    });
    log.entries().map(to_stored).chain(twins)
}

fn to_stored(entry: &Entry) -> StoredEntry {
    StoredEntry {
        id: entry.id,
        bytes: entry.bytes.clone(),
    }
}
