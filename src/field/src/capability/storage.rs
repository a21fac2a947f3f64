//! Surveys in `IndexedDB`: the one place where an answer becomes durable.
//!
//! Every write is one transaction of [`Durability::Strict`]: it completes when the disk has it, not when the operating
//! system has. The stores and their shapes are told in [`super::database`].

use std::collections::BTreeMap;
use std::future::IntoFuture;

use idb::{KeyRange, ObjectStore};
use js_sys::{Array, Object, Reflect, Uint8Array};
use survey::store::{LogStore, StoreError, StoredEntry};
use survey::{EntryId, SurveyId, WriterId};
use wasm_bindgen::{JsCast, JsValue};

use super::database::{Durability, ENTRIES, PHOTOS, SNAPSHOTS, TWINS, Transaction, of_idb, transaction};
use super::lock::{self, Key, LockError};
use super::{field, photo_files, second, snapshot_store};

/// How many entries one read asks for: bounds what is in memory twice.
const READ_AT_ONCE: u32 = 5_000;
/// How many sealed entries are opened side by side.
const OPENED_AT_ONCE: usize = 1_000;

/// The log store of this browser and origin.
#[derive(Debug, Default, Clone, Copy)]
pub struct BrowserStore;

impl LogStore for BrowserStore {
    async fn surveys(&self) -> Result<Vec<SurveyId>, StoreError> {
        let reading = transaction(&[ENTRIES], Durability::Read).await?;
        list_surveys(&reading.store(ENTRIES)?).await
    }

    async fn load(&self, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError> {
        let reading = transaction(&[ENTRIES, TWINS], Durability::Read).await?;
        let mut kept = entries_of(&reading.store(ENTRIES)?, survey).await?;
        let twins = twins_of(&reading.store(TWINS)?, survey).await?;
        kept.extend(twins.into_iter().map(|(_, twin)| twin));
        opened(survey, lock::key(survey).as_deref(), kept).await
    }

    async fn append(&self, survey: SurveyId, entries: &[StoredEntry]) -> Result<(), StoreError> {
        if entries.is_empty() {
            return Ok(());
        }
        // What this window wrote is new: it is on its way to the disk before the next screen is made, without a look at what is
        // there. If that fails nothing of it is kept, and the careful way finds out why.
        let sealed = sealed_if_locked(survey, entries).await?;
        let added = add_entries(survey, sealed.as_deref().unwrap_or(entries)).await;
        match added {
            Ok(()) => Ok(()),
            Err(_) => self.merge(survey, entries).await,
        }
    }

    async fn remove(&self, survey: SurveyId) -> Result<(), StoreError> {
        // The copy first: one that stayed would bring the survey back.
        second::remove(survey).await?;
        let writing = transaction(&[ENTRIES, TWINS, PHOTOS, SNAPSHOTS], Durability::Strict).await?;
        if let Err(error) = remove_entries(&writing, survey).await {
            writing.abort();
            return Err(error);
        }
        writing.done().await?;
        // Last: a survey that could not be removed is to have its photographs still.
        photo_files::remove_all(survey).await
    }
}

impl BrowserStore {
    /// Keeps entries of which some may be here, from elsewhere: those that are new, and twins of others.
    ///
    /// # Errors
    /// [`StoreError`]; nothing of them was kept then.
    pub async fn merge(&self, survey: SurveyId, entries: &[StoredEntry]) -> Result<(), StoreError> {
        if entries.is_empty() {
            return Ok(());
        }
        let sealed = sealed_if_locked(survey, entries).await?;
        let entries = sealed.as_deref().unwrap_or(entries);
        let writing = transaction(&[ENTRIES, TWINS], Durability::Strict).await?;
        if let Err(error) = put_entries(&writing, survey, entries).await {
            writing.abort();
            return Err(error);
        }
        writing.done().await?;
        second::step_soon(survey);
        Ok(())
    }

    /// The entries that came since some were known: `n_known` of them, of each writer those below a number. `None` if what is
    /// kept is not those and later ones alone: a gap was filled, say, or there are twins.
    ///
    /// # Errors
    /// [`StoreError`].
    pub async fn since(
        &self,
        survey: SurveyId,
        known: &BTreeMap<WriterId, u64>,
        n_known: usize,
    ) -> Result<Option<Vec<StoredEntry>>, StoreError> {
        let reading = transaction(&[ENTRIES, TWINS], Durability::Read).await?;
        let store = reading.store(ENTRIES)?;
        let all = store.count(Some(of_survey(survey)?.into())).map_err(of_idb)?;
        let all = all.into_future();
        // From each writer's next number to the next writer, and from the start to the first: all asked for at once.
        let name = survey.to_string();
        let first = |writer: &WriterId| Array::of2(&name.as_str().into(), &writer.to_string().into()).into();
        let mut from: JsValue = Array::of1(&JsValue::from_str(&name)).into();
        let mut asked = Vec::new();
        for (writer, next) in known {
            let range = KeyRange::bound(&from, &first(writer), None, Some(true)).map_err(of_idb)?;
            asked.push(
                store
                    .get_all(Some(range.into()), None)
                    .map_err(of_idb)?
                    .into_future(),
            );
            let next = EntryId {
                writer: *writer,
                n: *next,
            };
            from = key(survey, next);
        }
        let range = KeyRange::bound(&from, &last_key(&name), None, Some(true)).map_err(of_idb)?;
        asked.push(
            store
                .get_all(Some(range.into()), None)
                .map_err(of_idb)?
                .into_future(),
        );
        let mut found = Vec::new();
        for page in asked {
            for record in &page.await.map_err(of_idb)? {
                found.push(read_record(record)?);
            }
        }
        let n_all = usize::try_from(all.await.map_err(of_idb)?).unwrap_or(usize::MAX);
        // What was sealed since is not to be read before a passphrase was given.
        let is_sealed = found.iter().any(|entry| lock::is_sealed(&entry.bytes));
        let has_twins = !twins_of(&reading.store(TWINS)?, survey).await?.is_empty();
        Ok((!is_sealed && !has_twins && n_known + found.len() == n_all).then_some(found))
    }
}

/// Seals everything that is kept of a survey's log with another key, or with none, all in one transaction. What is written
/// meanwhile stays.
///
/// # Errors
/// [`StoreError`]; everything is as it was then.
pub async fn seal_anew(survey: SurveyId, from: Option<&Key>, to: Option<&Key>) -> Result<(), StoreError> {
    let reading = transaction(&[ENTRIES, TWINS], Durability::Read).await?;
    let entries = entries_of(&reading.store(ENTRIES)?, survey).await?;
    if entries.is_empty() {
        // A survey that is open has entries: the browser has lost them since, and the copy has them alone.
        return Err(StoreError::Interrupted(
            "the database has lost the survey".to_owned(),
        ));
    }
    let (keys, twins) = twins_of(&reading.store(TWINS)?, survey)
        .await?
        .into_iter()
        .unzip::<_, _, Vec<_>, Vec<_>>();
    let mut records = Vec::new();
    for of_store in [entries, twins] {
        let plain = opened(survey, from, of_store).await?;
        let anew = match to {
            Some(key) => sealed(key, survey, &plain).await?,
            None => plain,
        };
        records.push(anew);
    }
    let writing = transaction(&[ENTRIES, TWINS, SNAPSHOTS], Durability::Strict).await?;
    let snapshots = writing.store(SNAPSHOTS)?;
    snapshots.delete(snapshot_store::key(survey)).map_err(of_idb)?;
    let store = writing.store(ENTRIES)?;
    for entry in &records[0] {
        store.put(&write_record(survey, entry), None).map_err(of_idb)?;
    }
    let store = writing.store(TWINS)?;
    for (key, twin) in keys.iter().zip(&records[1]) {
        store
            .put(&write_record(survey, twin), Some(key))
            .map_err(of_idb)?;
    }
    writing.done().await?;
    // No copy under the other key, or under none, is to be left beside it. One that another window holds goes when the survey
    // is next opened.
    let _ = second::remove(survey).await;
    second::step_soon(survey);
    Ok(())
}

/// Has the database keep all that the second copy of a survey has alone, before its records are sealed anew.
///
/// # Errors
/// [`StoreError::Interrupted`]: it could not be found out. Where a browser has no place for a copy, nothing is in it alone.
pub async fn take_from_copy(survey: SurveyId) -> Result<(), StoreError> {
    match second::step_while_waited_for(survey).await {
        Err(why) if second::works().await => Err(StoreError::Interrupted(format!("the second copy: {why}"))),
        _ => Ok(()),
    }
}

/// Takes the second copy of a survey away before a lock is put on it, with all in the database that was in it alone.
///
/// # Errors
/// [`StoreError`], if another window holds it, say; then it is there still, or is made again.
pub async fn forget_copy(survey: SurveyId) -> Result<(), StoreError> {
    take_from_copy(survey).await?;
    let removed = second::remove(survey).await;
    if removed.is_err() {
        second::step_soon(survey);
    }
    removed
}

/// The key with which a passphrase opens a survey.
///
/// # Errors
/// [`LockError::Wrong`] for another passphrase, or where nothing of the survey is sealed.
pub async fn key_that_opens(survey: SurveyId, passphrase: &str) -> Result<Key, LockError> {
    let kept = async {
        let reading = transaction(&[ENTRIES], Durability::Read).await?;
        entries_of(&reading.store(ENTRIES)?, survey).await
    };
    let kept: Result<_, StoreError> = kept.await;
    let kept = kept.map_err(|error| LockError::Failed(error.to_string()))?;
    let mut all_sealed = kept.iter().filter(|entry| lock::is_sealed(&entry.bytes));
    let some = all_sealed.next().ok_or(LockError::Wrong)?;
    Key::of(passphrase, &lock::record_name(survey, some.id), &some.bytes).await
}

async fn sealed(
    key: &Key,
    survey: SurveyId,
    entries: &[StoredEntry],
) -> Result<Vec<StoredEntry>, StoreError> {
    let mut sealed = Vec::with_capacity(entries.len());
    for entry in entries {
        let bytes = key
            .seal(&lock::record_name(survey, entry.id), &entry.bytes)
            .await?;
        sealed.push(StoredEntry { id: entry.id, bytes });
    }
    Ok(sealed)
}

/// What was kept, opened where it is sealed.
async fn opened(
    survey: SurveyId,
    key: Option<&Key>,
    mut kept: Vec<StoredEntry>,
) -> Result<Vec<StoredEntry>, StoreError> {
    let mut sealed: Vec<&mut StoredEntry> = kept
        .iter_mut()
        .filter(|entry| lock::is_sealed(&entry.bytes))
        .collect();
    if sealed.is_empty() {
        return Ok(kept);
    }
    let key = key.ok_or(StoreError::Locked)?;
    for some in sealed.chunks_mut(OPENED_AT_ONCE) {
        let records: Vec<_> = some
            .iter()
            .map(|entry| (lock::record_name(survey, entry.id), entry.bytes.as_slice()))
            .collect();
        let plain = key.open_all(&records).await?;
        for (entry, plain) in some.iter_mut().zip(plain) {
            entry.bytes = plain;
        }
    }
    Ok(kept)
}

async fn list_surveys(store: &ObjectStore) -> Result<Vec<SurveyId>, StoreError> {
    let mut found = Vec::new();
    let mut after = Array::new().into();
    loop {
        // The first key of each survey; then jump behind that survey's last possible key.
        let range = KeyRange::lower_bound(&after, Some(true)).map_err(of_idb)?;
        let keys = store
            .get_all_keys(Some(range.into()), Some(1))
            .map_err(of_idb)?
            .await
            .map_err(of_idb)?;
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

async fn entries_of(store: &ObjectStore, survey: SurveyId) -> Result<Vec<StoredEntry>, StoreError> {
    let name = survey.to_string();
    let mut found = Vec::new();
    let mut after: JsValue = Array::of1(&JsValue::from_str(&name)).into();
    loop {
        let range = KeyRange::bound(&after, &last_key(&name), Some(true), Some(true)).map_err(of_idb)?;
        let page = store
            .get_all(Some(range.into()), Some(READ_AT_ONCE))
            .map_err(of_idb)?
            .await
            .map_err(of_idb)?;
        let Some(last) = page.last() else { break };
        after = key_of(last);
        for record in &page {
            found.push(read_record(record)?);
        }
    }
    Ok(found)
}

async fn remove_entries(writing: &Transaction, survey: SurveyId) -> Result<(), StoreError> {
    for store in [ENTRIES, PHOTOS] {
        let store = writing.store(store)?;
        store
            .delete(of_survey(survey)?)
            .map_err(of_idb)?
            .await
            .map_err(of_idb)?;
    }
    let snapshots = writing.store(SNAPSHOTS)?;
    snapshots.delete(snapshot_store::key(survey)).map_err(of_idb)?;
    let twins = writing.store(TWINS)?;
    for (key, _) in twins_of(&twins, survey).await? {
        twins.delete(key).map_err(of_idb)?;
    }
    Ok(())
}

/// The entries as a locked survey keeps them; nothing of one that is not. Sealing takes its time, which a transaction does not
/// wait for.
async fn sealed_if_locked(
    survey: SurveyId,
    entries: &[StoredEntry],
) -> Result<Option<Vec<StoredEntry>>, StoreError> {
    match lock::key(survey) {
        Some(key) => Ok(Some(sealed(&key, survey, entries).await?)),
        None => Ok(None),
    }
}

/// Adds entries of which none is there, all or none.
async fn add_entries(survey: SurveyId, entries: &[StoredEntry]) -> Result<(), StoreError> {
    let writing = transaction(&[ENTRIES], Durability::Strict).await?;
    let store = writing.store(ENTRIES)?;
    let records = Array::new();
    for entry in entries {
        let record = write_record(survey, entry);
        if let Err(error) = store.add(&record, None) {
            writing.abort();
            return Err(of_idb(error));
        }
        records.push(&record);
    }
    // Asked for at once, waited for behind the database.
    let copied = second::add(survey, &records);
    writing.done().await?;
    copied.await;
    Ok(())
}

async fn put_entries(
    writing: &Transaction,
    survey: SurveyId,
    entries: &[StoredEntry],
) -> Result<(), StoreError> {
    let store = writing.store(ENTRIES)?;
    let twins = writing.store(TWINS)?;
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
                    None => twins_of(&twins, survey)
                        .await?
                        .into_iter()
                        .map(|(_, twin)| twin)
                        .collect(),
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
    store: &ObjectStore,
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
        let range = KeyRange::bound(&key(first), &key(last), None, None).map_err(of_idb)?;
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

/// The twins of a survey under their numbers.
async fn twins_of(twins: &ObjectStore, survey: SurveyId) -> Result<Vec<(JsValue, StoredEntry)>, StoreError> {
    let name = survey.to_string();
    let keys = twins
        .get_all_keys(None, None)
        .map_err(of_idb)?
        .await
        .map_err(of_idb)?;
    let records = twins.get_all(None, None).map_err(of_idb)?.await.map_err(of_idb)?;
    let of_survey = keys
        .into_iter()
        .zip(&records)
        .filter(|(_, record)| is_of(record, &name));
    of_survey
        .map(|(key, record)| Ok((key, read_record(record)?)))
        .collect()
}

fn key(survey: SurveyId, id: EntryId) -> JsValue {
    Array::of3(
        &survey.to_string().into(),
        &id.writer.to_string().into(),
        &number(id.n),
    )
    .into()
}

/// Every key that begins with the survey.
pub(super) fn of_survey(survey: SurveyId) -> Result<KeyRange, StoreError> {
    let name = survey.to_string();
    let first = Array::of1(&JsValue::from_str(&name)).into();
    KeyRange::bound(&first, &last_key(&name), None, Some(true)).map_err(of_idb)
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

fn is_of(record: &JsValue, survey: &str) -> bool {
    field(record, "survey").as_string().as_deref() == Some(survey)
}
