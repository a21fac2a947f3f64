//! Surveys in `IndexedDB`: the one place where an answer becomes durable.
//!
//! Database `quarterlight`, version 1. Store `entries`, key path `[survey, writer, n]`, holds `{survey, writer, n,
//! bytes}`; store `twins`, keys by itself, holds the same shape for an entry whose id was taken by other bytes.
//! Reading goes through rexie, a connection a call. Writing needs `durability: "strict"` (a transaction completes
//! when the disk has it, not when the operating system has), which rexie 0.6 cannot ask for: one raw connection is
//! kept for it.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use js_sys::{Array, Function, Object, Reflect, Uint8Array};
use rexie::{KeyRange, ObjectStore, Rexie, Store, TransactionMode};
use survey::store::{LogStore, StoreError, StoredEntry};
use survey::{EntryId, SurveyId, WriterId};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DomException, IdbDatabase, IdbTransaction};

use super::task;

const DATABASE: &str = "quarterlight";
const VERSION: u32 = 1;
const ENTRIES: &str = "entries";
const TWINS: &str = "twins";

/// How many entries one read asks for: bounds what is in memory twice.
const READ_AT_ONCE: u32 = 5_000;

/// The log store of this browser and origin.
#[derive(Debug, Default, Clone)]
pub struct BrowserStore {
    connection: Rc<RefCell<Option<IdbDatabase>>>,
}

impl LogStore for BrowserStore {
    async fn surveys(&self) -> Result<Vec<SurveyId>, StoreError> {
        let database = open().await?;
        let found = list_surveys(&database).await;
        database.close();
        found
    }

    async fn load(&self, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError> {
        let database = open().await?;
        let found = load_entries(&database, survey).await;
        database.close();
        found
    }

    async fn append(&self, survey: SurveyId, entries: &[StoredEntry]) -> Result<(), StoreError> {
        let connection = self.connect().await?;
        let done = append_entries(&connection, survey, entries).await;
        if matches!(done, Err(StoreError::Interrupted(_))) {
            // The connection may be closed; the next call opens another.
            self.connection.borrow_mut().take();
        }
        done
    }

    async fn remove(&self, survey: SurveyId) -> Result<(), StoreError> {
        let database = open().await?;
        let done = remove_entries(&database, survey).await;
        database.close();
        done
    }
}

impl BrowserStore {
    /// The raw connection for strict transactions, opened once and closed when another tab upgrades the database.
    async fn connect(&self) -> Result<IdbDatabase, StoreError> {
        if let Some(connection) = self.connection.borrow().clone() {
            return Ok(connection);
        }
        // rexie makes the stores if this is the first start.
        open().await?.close();
        let factory = idb::Factory::new().map_err(of_idb)?;
        let mut database = factory
            .open(DATABASE, Some(VERSION))
            .map_err(of_idb)?
            .await
            .map_err(of_idb)?;
        let kept = Rc::clone(&self.connection);
        database.on_version_change(move |_| {
            if let Some(connection) = kept.borrow_mut().take() {
                connection.close();
            }
        });
        let kept = Rc::clone(&self.connection);
        database.on_close(move |_| drop(kept.borrow_mut().take()));
        // The callbacks live as long as the page.
        database.forget_callbacks();
        let connection = IdbDatabase::from(database);
        self.connection.borrow_mut().replace(connection.clone());
        Ok(connection)
    }
}

async fn open() -> Result<Rexie, StoreError> {
    Rexie::builder(DATABASE)
        .version(VERSION)
        .add_object_store(ObjectStore::new(ENTRIES).key_path_array(["survey", "writer", "n"]))
        .add_object_store(ObjectStore::new(TWINS).auto_increment(true))
        .build()
        .await
        .map_err(of_rexie)
}

async fn list_surveys(database: &Rexie) -> Result<Vec<SurveyId>, StoreError> {
    let transaction = database
        .transaction(&[ENTRIES], TransactionMode::ReadOnly)
        .map_err(of_rexie)?;
    let store = transaction.store(ENTRIES).map_err(of_rexie)?;
    let mut found = Vec::new();
    let mut after = Array::new().into();
    loop {
        // The first key of each survey; then jump behind that survey's last possible key.
        let range = KeyRange::lower_bound(&after, Some(true)).map_err(of_idb)?;
        let keys = store.get_all_keys(Some(range), Some(1)).await.map_err(of_rexie)?;
        let Some(name) = keys.first().and_then(|key| Array::from(key).get(0).as_string()) else {
            break;
        };
        after = last_key(&name);
        if let Ok(survey) = name.parse() {
            found.push(survey);
        }
    }
    Ok(found)
}

async fn load_entries(database: &Rexie, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError> {
    let transaction = database
        .transaction(&[ENTRIES, TWINS], TransactionMode::ReadOnly)
        .map_err(of_rexie)?;
    let store = transaction.store(ENTRIES).map_err(of_rexie)?;
    let name = survey.to_string();
    let mut found = Vec::new();
    let mut after: JsValue = Array::of1(&JsValue::from_str(&name)).into();
    loop {
        let range = KeyRange::bound(&after, &last_key(&name), Some(true), Some(true)).map_err(of_idb)?;
        let page = store
            .get_all(Some(range), Some(READ_AT_ONCE))
            .await
            .map_err(of_rexie)?;
        let Some(last) = page.last() else { break };
        after = key_of(last);
        for record in &page {
            found.push(read_record(record)?);
        }
    }
    let twins = transaction.store(TWINS).map_err(of_rexie)?;
    for record in twins.get_all(None, None).await.map_err(of_rexie)? {
        if field(&record, "survey").as_string().as_deref() == Some(name.as_str()) {
            found.push(read_record(&record)?);
        }
    }
    Ok(found)
}

async fn remove_entries(database: &Rexie, survey: SurveyId) -> Result<(), StoreError> {
    let transaction = database
        .transaction(&[ENTRIES, TWINS], TransactionMode::ReadWrite)
        .map_err(of_rexie)?;
    let name = survey.to_string();
    let first = Array::of1(&JsValue::from_str(&name)).into();
    let range = KeyRange::bound(&first, &last_key(&name), None, Some(true)).map_err(of_idb)?;
    let store = transaction.store(ENTRIES).map_err(of_rexie)?;
    store.delete(range.into()).await.map_err(of_rexie)?;
    let twins = transaction.store(TWINS).map_err(of_rexie)?;
    remove_twins(&twins, &name).await?;
    transaction.done().await.map_err(of_rexie)?;
    Ok(())
}

async fn remove_twins(twins: &Store, survey: &str) -> Result<(), StoreError> {
    for (key, record) in twins.scan(None, None, None, None).await.map_err(of_rexie)? {
        if field(&record, "survey").as_string().as_deref() == Some(survey) {
            twins.delete(key).await.map_err(of_rexie)?;
        }
    }
    Ok(())
}

async fn append_entries(
    connection: &IdbDatabase,
    survey: SurveyId,
    entries: &[StoredEntry],
) -> Result<(), StoreError> {
    if entries.is_empty() {
        return Ok(());
    }
    let raw = strict_transaction(connection)?;
    let transaction = idb::Transaction::from(raw.clone());
    if let Err(error) = put_entries(&transaction, survey, entries).await {
        // All or none: an abort that fails means the transaction has aborted already.
        let _ = transaction.abort();
        return Err(error);
    }
    match transaction.await {
        Ok(idb::TransactionResult::Committed) => Ok(()),
        failed => {
            // The transaction itself knows why, once it has aborted: in the task after the event that was waited for.
            task::wait_ms(0).await;
            match (raw.error(), failed) {
                (Some(exception), _) => Err(of_exception(&exception)),
                (None, Err(error)) => Err(of_idb(error)),
                (None, Ok(_)) => Err(StoreError::Failed("the transaction was aborted".to_owned())),
            }
        }
    }
}

async fn put_entries(
    transaction: &idb::Transaction,
    survey: SurveyId,
    entries: &[StoredEntry],
) -> Result<(), StoreError> {
    let store = transaction.object_store(ENTRIES).map_err(of_idb)?;
    let twins = transaction.object_store(TWINS).map_err(of_idb)?;
    let mut known = known_bytes(&store, survey, entries).await?;
    let mut known_twins: Option<Vec<StoredEntry>> = None;
    for entry in entries {
        let record = write_record(survey, entry);
        match known.get(&entry.id) {
            None => {
                // A failing request fails the whole transaction, whose end is waited for.
                store.put(&record, None).map_err(of_idb)?;
                known.insert(entry.id, entry.bytes.clone());
            }
            Some(bytes) if *bytes == entry.bytes => {}
            Some(_) => {
                let twins_there = match known_twins.take() {
                    Some(there) => there,
                    None => all_twins(&twins, survey).await?,
                };
                if !twins_there.contains(entry) {
                    twins.put(&record, None).map_err(of_idb)?;
                }
                known_twins = Some(twins_there.into_iter().chain([entry.clone()]).collect());
            }
        }
    }
    Ok(())
}

/// The bytes already kept under the ids of these entries. One request a writer in the ordinary case of none.
async fn known_bytes(
    store: &idb::ObjectStore,
    survey: SurveyId,
    entries: &[StoredEntry],
) -> Result<BTreeMap<EntryId, Vec<u8>>, StoreError> {
    let mut spans: BTreeMap<WriterId, (u64, u64)> = BTreeMap::new();
    for entry in entries {
        let span = spans.entry(entry.id.writer).or_insert((entry.id.n, entry.id.n));
        *span = (span.0.min(entry.id.n), span.1.max(entry.id.n));
    }
    let mut known = BTreeMap::new();
    for (writer, (first, last)) in spans {
        let key = |n| key(survey, EntryId { writer, n });
        let range = idb::KeyRange::bound(&key(first), &key(last), None, None).map_err(of_idb)?;
        let there = store
            .get_all(Some(range.into()), None)
            .map_err(of_idb)?
            .await
            .map_err(of_idb)?;
        for record in &there {
            let entry = read_record(record)?;
            known.insert(entry.id, entry.bytes);
        }
    }
    Ok(known)
}

async fn all_twins(twins: &idb::ObjectStore, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError> {
    let name = survey.to_string();
    let there = twins.get_all(None, None).map_err(of_idb)?.await.map_err(of_idb)?;
    there
        .iter()
        .filter(|record| field(record, "survey").as_string().as_deref() == Some(&name))
        .map(read_record)
        .collect()
}

/// Web-sys has the options only behind an unstable flag, so the method is called by its name. A browser that does
/// not know `durability` ignores it.
fn strict_transaction(connection: &IdbDatabase) -> Result<IdbTransaction, StoreError> {
    let failed = |thrown: JsValue| of_thrown(&thrown);
    let open: Function = Reflect::get(connection, &JsValue::from_str("transaction"))
        .map_err(failed)?
        .into();
    let options = Object::new();
    Reflect::set(
        &options,
        &JsValue::from_str("durability"),
        &JsValue::from_str("strict"),
    )
    .map_err(failed)?;
    let stores = Array::of2(&JsValue::from_str(ENTRIES), &JsValue::from_str(TWINS));
    let transaction = open
        .call3(connection, &stores, &JsValue::from_str("readwrite"), &options)
        .map_err(failed)?;
    transaction.dyn_into().map_err(failed)
}

fn key(survey: SurveyId, id: EntryId) -> JsValue {
    Array::of3(
        &survey.to_string().into(),
        &id.writer.to_string().into(),
        &number(id.n),
    )
    .into()
}

/// Greater than every key of the survey: in `IndexedDB` an array sorts behind every text.
fn last_key(survey: &str) -> JsValue {
    Array::of2(&JsValue::from_str(survey), &Array::new()).into()
}

fn key_of(record: &JsValue) -> JsValue {
    Array::of3(
        &field(record, "survey"),
        &field(record, "writer"),
        &field(record, "n"),
    )
    .into()
}

#[allow(clippy::cast_precision_loss, reason = "a writer does not reach 2^53 entries")]
fn number(n: u64) -> JsValue {
    JsValue::from_f64(n as f64)
}

fn write_record(survey: SurveyId, entry: &StoredEntry) -> JsValue {
    let record = Object::new();
    let fields: [(&str, JsValue); 4] = [
        ("survey", survey.to_string().into()),
        ("writer", entry.id.writer.to_string().into()),
        ("n", number(entry.id.n)),
        ("bytes", Uint8Array::from(entry.bytes.as_slice()).into()),
    ];
    for (name, value) in &fields {
        // Setting a property of a fresh object cannot fail.
        let _ = Reflect::set(&record, &JsValue::from_str(name), value);
    }
    record.into()
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "written by us as a whole number"
)]
fn read_record(record: &JsValue) -> Result<StoredEntry, StoreError> {
    let wrong = || StoreError::Failed("a stored record has another shape".to_owned());
    let writer = field(record, "writer")
        .as_string()
        .and_then(|text| text.parse().ok())
        .ok_or_else(wrong)?;
    let n = field(record, "n")
        .as_f64()
        .filter(|n| *n >= 0.0)
        .ok_or_else(wrong)? as u64;
    let bytes = field(record, "bytes")
        .dyn_into::<Uint8Array>()
        .map_err(|_| wrong())?
        .to_vec();
    Ok(StoredEntry {
        id: EntryId { writer, n },
        bytes,
    })
}

/// A field of an object; undefined where there is none.
fn field(record: &JsValue, name: &str) -> JsValue {
    Reflect::get(record, &JsValue::from_str(name)).unwrap_or(JsValue::UNDEFINED)
}

fn of_rexie(error: rexie::Error) -> StoreError {
    match error {
        rexie::Error::IdbError(error) => of_idb(error),
        other => StoreError::Failed(other.to_string()),
    }
}

/// The browser's exception decides what kind of failure it is; idb wraps it in what it was doing.
fn of_idb(error: idb::Error) -> StoreError {
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
        "InvalidStateError" | "TransactionInactiveError" | "AbortError" | "VersionError" => {
            StoreError::Interrupted(text)
        }
        _ => StoreError::Failed(text),
    }
}
