//! The one `IndexedDB` database of the app: its name, its shape by version, one connection, and transactions that say
//! how durable they are to be.
//!
//! | Store | Since | Key | Value |
//! |---|---|---|---|
//! | `entries` | 1 | `[survey, writer, n]`, in the value | `{survey, writer, n, bytes}` |
//! | `twins` | 1 | numbers by itself | the same, for an entry whose id was taken by other bytes |
//! | `device` | 2 | a name | what [`super::preferences`] remembers, as JSON text |
//! | `photos` | 3 | `[survey, sha256]`, in the value | `{survey, sha256, bytes}`, until it moves: see [`super::photo_store`] |
//! | `snapshots` | 4 | `survey`, in the value | `{survey, bytes}`: a cache, see [`super::snapshot_store`] |
//!
//! A new store is a new version: raise [`VERSION`], add a step to [`upgrade`] and a line here. Steps that were
//! released are never edited, so that a database of any age passes through all that it lacks.
//! `tests/browser/test_storage.py` opens the app over a database of each older version.

use std::cell::RefCell;
use std::rc::Rc;

use idb::{Database, DatabaseEvent, Event, KeyPath, ObjectStoreParams, Request};
use js_sys::{Array, Function, Object, Promise, Reflect};
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{DomException, IdbDatabase, IdbTransaction};

use super::{field, task};

const NAME: &str = "quarterlight";
const VERSION: u32 = 4;

/// The entries of every log.
pub const ENTRIES: &str = "entries";
/// Entries whose id was taken by other bytes.
pub const TWINS: &str = "twins";
/// What the device remembers besides surveys.
pub const DEVICE: &str = "device";
/// Photographs that logs name, until they move into files.
pub const PHOTOS: &str = "photos";

/// Surveys as they were folded last.
pub const SNAPSHOTS: &str = "snapshots";

/// How long opening may take before the person is told, milliseconds.
const OPENING_TAKES_AT_MOST_MS: i32 = 8_000;

/// When a transaction is complete.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Durability {
    /// Nothing is written.
    Read,
    /// When the disk has it: what a person was told is saved survives a dead battery.
    Strict,
    /// When the operating system has it: enough for what costs a tap to find again.
    Relaxed,
}

/// The connection of this page, opened when it is first asked for and given up when another tab upgrades the
/// database.
#[derive(Debug, Default, Clone)]
pub struct Connection(Rc<RefCell<Option<IdbDatabase>>>);

thread_local! {
    static CONNECTION: Connection = Connection::default();
    /// What the browser said when it made the database, until somebody asks.
    static MADE_ANEW: RefCell<Option<MadeAnew>> = const { RefCell::new(None) };
}

/// The database was not there, and was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeAnew {
    /// Why, in the browser's words, where it says that it lost one that was there. Chromium alone says so; elsewhere this is
    /// the first start, or a loss that nobody tells.
    pub lost: Option<String>,
}

/// Whether the database was made since this was last asked: at the start, or later when the browser lost it meanwhile.
#[must_use]
pub fn made_anew() -> Option<MadeAnew> {
    MADE_ANEW.take()
}

/// A transaction, and the browser's own handle of it, which knows why it failed.
#[derive(Debug)]
pub struct Transaction {
    inner: idb::Transaction,
    raw: IdbTransaction,
}

/// Begins a transaction over some stores.
///
/// # Errors
/// The database cannot be opened.
pub async fn transaction(stores: &[&str], durability: Durability) -> Result<Transaction, StoreError> {
    let connection = CONNECTION.with(Clone::clone);
    let begun = begin(&connection.open().await?, stores, durability);
    match begun {
        // The connection was closed behind our back: by another tab's upgrade, or by the browser.
        Err(StoreError::Interrupted(_)) => {
            connection.give_up();
            begin(&connection.open().await?, stores, durability)
        }
        begun => begun,
    }
}

impl Transaction {
    /// One of its stores.
    ///
    /// # Errors
    /// It is not among them.
    pub fn store(&self, name: &str) -> Result<idb::ObjectStore, StoreError> {
        self.inner.object_store(name).map_err(of_idb)
    }

    /// Waits until it is as durable as it was asked to be.
    ///
    /// # Errors
    /// It was aborted; nothing of it was kept.
    pub async fn done(self) -> Result<(), StoreError> {
        // The promise's own functions listen: a transaction that fails tells more than one error before it has aborted.
        let ended = Promise::new(&mut |resolve: Function, _reject: Function| {
            self.raw.set_oncomplete(Some(&resolve));
            self.raw.set_onabort(Some(&resolve));
        });
        // Nothing more comes: without this word the disk is asked only when the page has heard that every request went well,
        // and by then it is making the next screen. A transaction that has ended by itself refuses the word: it has ended.
        if let Ok(commit) = field(&self.raw, "commit").dyn_into::<Function>() {
            let _ = commit.call0(&self.raw);
        }
        // The promise is only ever resolved, with the event.
        let event = JsFuture::from(ended).await.unwrap_or(JsValue::UNDEFINED);
        match event.dyn_into::<web_sys::Event>() {
            Ok(event) if event.type_() == "complete" => Ok(()),
            _ => Err(match self.raw.error() {
                Some(exception) => of_exception(&exception),
                None => StoreError::Failed("the transaction was aborted".to_owned()),
            }),
        }
    }

    /// Ends it with nothing of it kept.
    pub fn abort(self) {
        // An abort that fails means that it has aborted already.
        let _ = self.inner.abort();
    }
}

impl Connection {
    async fn open(&self) -> Result<IdbDatabase, StoreError> {
        if let Some(open) = self.0.borrow().clone() {
            return Ok(open);
        }
        let mut request = idb::Factory::new()
            .map_err(of_idb)?
            .open(NAME, Some(VERSION))
            .map_err(of_idb)?;
        request.on_upgrade_needed(|event| {
            if event.old_version() == Ok(0) {
                note_made_anew(&event.clone().into());
            }
            let made = event
                .database()
                .and_then(|database| upgrade(&database, event.old_version()?));
            if made.is_err() {
                // Half an upgrade must not stay: without it the opening fails, and says so.
                let transaction = event.target().ok().and_then(|request| request.transaction());
                let _ = transaction.map(idb::Transaction::abort);
            }
        });
        let opened = task::within(OPENING_TAKES_AT_MOST_MS, async { request.await }).await;
        let late =
            || StoreError::Interrupted("the database does not answer; another tab may hold it".to_owned());
        let mut database = opened.ok_or_else(late)?.map_err(of_idb)?;
        let (of_change, of_close) = (self.clone(), self.clone());
        database.on_version_change(move |_| of_change.give_up());
        database.on_close(move |_| of_close.give_up());
        // The callbacks live as long as the page.
        database.forget_callbacks();
        let database = IdbDatabase::from(database);
        // Two callers may have opened at once: the later one's stays.
        if let Some(other) = self.0.borrow_mut().replace(database.clone()) {
            other.close();
        }
        Ok(database)
    }

    fn give_up(&self) {
        if let Some(connection) = self.0.borrow_mut().take() {
            connection.close();
        }
    }
}

fn note_made_anew(event: &JsValue) {
    let said = |name: &str| field(event, name).as_string();
    let is_lost = said("dataLoss").is_some_and(|loss| loss != "none");
    let lost = is_lost.then(|| said("dataLossMessage").unwrap_or_default());
    MADE_ANEW.set(Some(MadeAnew { lost }));
}

/// Brings a database of an older version to the present one, a step a version.
fn upgrade(database: &Database, from: u32) -> Result<(), idb::Error> {
    if from < 1 {
        let mut key = ObjectStoreParams::new();
        key.key_path(Some(KeyPath::new_array(["survey", "writer", "n"])));
        database.create_object_store(ENTRIES, key)?;
        let mut numbers = ObjectStoreParams::new();
        numbers.auto_increment(true);
        database.create_object_store(TWINS, numbers)?;
    }
    if from < 2 {
        database.create_object_store(DEVICE, ObjectStoreParams::new())?;
    }
    if from < 3 {
        let mut key = ObjectStoreParams::new();
        key.key_path(Some(KeyPath::new_array(["survey", "sha256"])));
        database.create_object_store(PHOTOS, key)?;
    }
    if from < 4 {
        let mut key = ObjectStoreParams::new();
        key.key_path(Some(KeyPath::new_single("survey")));
        database.create_object_store(SNAPSHOTS, key)?;
    }
    Ok(())
}

/// Web-sys has the options only behind an unstable flag, so the method is called by its name. A browser that does
/// not know `durability` ignores it.
fn begin(
    connection: &IdbDatabase,
    stores: &[&str],
    durability: Durability,
) -> Result<Transaction, StoreError> {
    let failed = |thrown: JsValue| of_thrown(&thrown);
    let open: Function = Reflect::get(connection, &JsValue::from_str("transaction"))
        .map_err(failed)?
        .into();
    let (mode, durability) = match durability {
        Durability::Read => ("readonly", "default"),
        Durability::Strict => ("readwrite", "strict"),
        Durability::Relaxed => ("readwrite", "relaxed"),
    };
    let options = Object::new();
    Reflect::set(
        &options,
        &JsValue::from_str("durability"),
        &JsValue::from_str(durability),
    )
    .map_err(failed)?;
    let stores: Array = stores.iter().map(|name| JsValue::from_str(name)).collect();
    let raw: IdbTransaction = open
        .call3(connection, &stores, &JsValue::from_str(mode), &options)
        .map_err(failed)?
        .dyn_into()
        .map_err(failed)?;
    Ok(Transaction {
        inner: idb::Transaction::from(raw.clone()),
        raw,
    })
}

/// The browser's exception decides what kind of failure it is; idb wraps it in what it was doing.
pub fn of_idb(error: idb::Error) -> StoreError {
    match error {
        idb::Error::DomException(exception) => of_exception(&exception),
        idb::Error::IndexedDbNotFound(thrown) => StoreError::Denied(super::words(&thrown)),
        idb::Error::IndexedDbOpenFailed(thrown) => match of_thrown(&thrown) {
            StoreError::Failed(text) => StoreError::Denied(text),
            other => other,
        },
        idb::Error::AddFailed(thrown)
        | idb::Error::GetAllFailed(thrown)
        | idb::Error::UpdateFailed(thrown)
        | idb::Error::TransactionOpenFailed(thrown)
        | idb::Error::TransactionCommitError(thrown) => of_thrown(&thrown),
        other => StoreError::Failed(other.to_string()),
    }
}

fn of_thrown(thrown: &JsValue) -> StoreError {
    match thrown.dyn_ref::<DomException>() {
        Some(exception) => of_exception(exception),
        None => StoreError::Failed(super::words(thrown)),
    }
}

fn of_exception(exception: &DomException) -> StoreError {
    let text = format!("{}: {}", exception.name(), exception.message());
    match exception.name().as_str() {
        "QuotaExceededError" => StoreError::Full(text),
        "SecurityError" | "NotAllowedError" => StoreError::Denied(text),
        // Chromium with site data blocked: an unknown error, and only its words say what it is.
        "UnknownError" if text.contains("denied permission") => StoreError::Denied(text),
        "VersionError" => StoreError::Newer(text),
        "InvalidStateError" | "TransactionInactiveError" | "AbortError" => StoreError::Interrupted(text),
        _ => StoreError::Failed(text),
    }
}
