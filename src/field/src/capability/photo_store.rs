//! Photographs: in `IndexedDB` when they are taken, since that is told as durable, and moved from there into files of their own
//! ([`super::photo_files`]), which a lost database does not take along. Where both have one, the database's is the newer.
//!
//! A photograph is written before the log names it: what the log names is there. A survey's photographs go when it is removed:
//! see [`super::storage`].

use std::collections::{BTreeMap, BTreeSet};

use idb::{KeyRange, Query};
use js_sys::{Array, Object, Reflect, Uint8Array};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};

use super::database::{Durability, PHOTOS, of_idb, transaction};
use super::lock::{self, Key};
use super::second::{self, FileWithSums};
use super::storage::of_survey;
use super::{field, let_go, photo_files, taken};

/// Keeps photographs, all or none.
///
/// # Errors
/// [`StoreError`]; `Full` where there is no room.
pub async fn put(survey: SurveyId, photos: &BTreeMap<String, Vec<u8>>) -> Result<(), StoreError> {
    if photos.is_empty() {
        return Ok(());
    }
    match lock::key(survey) {
        None => write(survey, photos).await,
        Some(key) => write(survey, &sealed(&key, survey, photos).await?).await,
    }
}

/// Keeps a photograph of which there is another elsewhere, in the file that is being taken in, say: in a file of its own at once,
/// or where that cannot be, in the database.
///
/// # Errors
/// [`StoreError`]; `Full` where there is no room.
pub async fn put_from_elsewhere(survey: SurveyId, sha256: &str, bytes: Vec<u8>) -> Result<(), StoreError> {
    let bytes = match lock::key(survey) {
        None => bytes,
        Some(key) => key.seal(&lock::record_name(survey, sha256), &bytes).await?,
    };
    match second::put_picture(survey, sha256, &bytes).await {
        Ok(()) => Ok(()),
        Err(_) => write(survey, &BTreeMap::from([(sha256.to_owned(), bytes)])).await,
    }
}

/// Whether some of a survey are in the database, and so to be moved.
///
/// # Errors
/// [`StoreError`].
pub async fn are_to_be_moved(survey: SurveyId) -> Result<bool, StoreError> {
    let reading = transaction(&[PHOTOS], Durability::Read).await?;
    let n = reading.store(PHOTOS)?.count(Some(of_survey(survey)?.into()));
    Ok(n.map_err(of_idb)?.await.map_err(of_idb)? > 0)
}

/// The SHA-256 of every photograph of a survey on this device.
///
/// # Errors
/// [`StoreError`].
pub async fn names(survey: SurveyId) -> Result<BTreeSet<String>, StoreError> {
    let reading = transaction(&[PHOTOS], Durability::Read).await?;
    let keys = reading
        .store(PHOTOS)?
        .get_all_keys(Some(of_survey(survey)?.into()), None)
        .map_err(of_idb)?
        .await
        .map_err(of_idb)?;
    let kept = keys.iter().filter_map(|key| Array::from(key).get(1).as_string());
    Ok(kept.chain(photo_files::names(survey).await?).collect())
}

/// Seals a photograph with another key, or with none; nothing happens where it is not on this device.
///
/// # Errors
/// [`StoreError`]; it is as it was then.
pub async fn seal_anew(
    survey: SurveyId,
    sha256: &str,
    from: Option<&Key>,
    to: Option<&Key>,
) -> Result<(), StoreError> {
    let Some(plain) = read(survey, sha256, from).await? else {
        return Ok(());
    };
    let plain = BTreeMap::from([(sha256.to_owned(), plain)]);
    let anew = match to {
        None => plain,
        Some(key) => sealed(key, survey, &plain).await?,
    };
    write(survey, &anew).await?;
    remove_older_file(survey, sha256, &anew).await
}

/// Removes the file that is older than what the database has; it moves anew. Should another window have moved that meanwhile, it is
/// written again.
async fn remove_older_file(
    survey: SurveyId,
    sha256: &str,
    kept: &BTreeMap<String, Vec<u8>>,
) -> Result<(), StoreError> {
    photo_files::remove(survey, kept.keys()).await?;
    if record(survey, sha256).await?.is_none() {
        write(survey, kept).await?;
    }
    Ok(())
}

/// Seals a photograph that a phone which died while it locked may have left outside.
///
/// # Errors
/// As [`seal_anew`].
pub async fn seal_if_left_outside(survey: SurveyId, sha256: &str, key: &Key) -> Result<(), StoreError> {
    let is_file_sealed = match photo_files::get(survey, sha256).await? {
        Some(file) => file.read(0, 1).await.is_ok_and(|first| lock::is_sealed(&first)),
        None => false,
    };
    match record(survey, sha256).await? {
        Some(record) if lock::is_sealed(&record) && is_file_sealed => Ok(()),
        Some(record) if lock::is_sealed(&record) => {
            let kept = BTreeMap::from([(sha256.to_owned(), record)]);
            remove_older_file(survey, sha256, &kept).await
        }
        None if is_file_sealed => Ok(()),
        _ => seal_anew(survey, sha256, Some(key), Some(key)).await,
    }
}

/// Removes what of a survey's photographs was being written when somebody died.
///
/// # Errors
/// [`StoreError`]; some may be there still.
pub async fn remove_unfinished(survey: SurveyId) -> Result<(), StoreError> {
    photo_files::remove_unfinished(survey).await
}

async fn sealed(
    key: &Key,
    survey: SurveyId,
    photos: &BTreeMap<String, Vec<u8>>,
) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
    let mut sealed = BTreeMap::new();
    for (sha256, bytes) in photos {
        let bytes = key.seal(&lock::record_name(survey, sha256), bytes).await?;
        sealed.insert(sha256.clone(), bytes);
    }
    Ok(sealed)
}

async fn write(survey: SurveyId, photos: &BTreeMap<String, Vec<u8>>) -> Result<(), StoreError> {
    let writing = transaction(&[PHOTOS], Durability::Strict).await?;
    let store = writing.store(PHOTOS)?;
    for (sha256, bytes) in photos {
        let record = Object::new();
        let copy = Uint8Array::from(bytes.as_slice());
        let fields: [(&str, JsValue); 3] = [
            ("survey", survey.to_string().into()),
            ("sha256", sha256.into()),
            ("bytes", copy.clone().into()),
        ];
        for (name, value) in &fields {
            // Setting a property of a fresh object cannot fail.
            let _ = Reflect::set(&record, &JsValue::from_str(name), value);
        }
        // A failing request fails the whole transaction, whose end is waited for.
        store.put(&record, None).map_err(of_idb)?;
        // The database took a copy of its own.
        let_go(&copy.buffer());
    }
    writing.done().await
}

/// One photograph; `None` if it is not on this device.
///
/// # Errors
/// [`StoreError`].
pub async fn get(survey: SurveyId, sha256: &str) -> Result<Option<Vec<u8>>, StoreError> {
    read(survey, sha256, lock::key(survey).as_deref()).await
}

/// The files in which photographs lie readable, in the order of their names, with the CRC-32 and SHA-256 of each; nothing for one
/// that is not in a file, or sealed there.
pub async fn plain_files(survey: SurveyId, sha256s: &[String]) -> Vec<Option<FileWithSums>> {
    let found = match lock::key(survey) {
        None => second::pictures_with_sums(survey, sha256s).await,
        Some(_) => Ok(Vec::new()),
    };
    let mut found = found.unwrap_or_default();
    found.resize_with(sha256s.len(), || None);
    found
}

/// Removes those of these that are there.
///
/// # Errors
/// [`StoreError`].
pub async fn remove(survey: SurveyId, photos: &[String]) -> Result<(), StoreError> {
    if photos.is_empty() {
        return Ok(());
    }
    let writing = transaction(&[PHOTOS], Durability::Relaxed).await?;
    let store = writing.store(PHOTOS)?;
    for sha256 in photos {
        store
            .delete(Query::KeyRange(one(survey, sha256)?))
            .map_err(of_idb)?;
    }
    writing.done().await?;
    photo_files::remove(survey, photos).await
}

async fn read(survey: SurveyId, sha256: &str, key: Option<&Key>) -> Result<Option<Vec<u8>>, StoreError> {
    let mut found = record(survey, sha256).await?;
    if found.is_none() {
        found = match photo_files::get(survey, sha256).await? {
            Some(file) => Some(file.read_all().await.map_err(StoreError::Interrupted)?),
            // Another window sealed it meanwhile.
            None => record(survey, sha256).await?,
        };
    }
    match found {
        Some(bytes) if lock::is_sealed(&bytes) => {
            let key = key.ok_or(StoreError::Locked)?;
            Ok(Some(key.open(&lock::record_name(survey, sha256), &bytes).await?))
        }
        found => Ok(found),
    }
}

/// What the database has of a photograph.
async fn record(survey: SurveyId, sha256: &str) -> Result<Option<Vec<u8>>, StoreError> {
    let reading = transaction(&[PHOTOS], Durability::Read).await?;
    let found = reading
        .store(PHOTOS)?
        .get(Query::KeyRange(one(survey, sha256)?))
        .map_err(of_idb)?
        .await
        .map_err(of_idb)?;
    let bytes = found.and_then(|record| field(&record, "bytes").dyn_into::<Uint8Array>().ok());
    // A record is of one photograph alone, and so is its buffer.
    Ok(bytes.map(|bytes| taken(&bytes.buffer())))
}

fn one(survey: SurveyId, sha256: &str) -> Result<KeyRange, StoreError> {
    let key: JsValue = Array::of2(&survey.to_string().into(), &sha256.into()).into();
    KeyRange::only(&key).map_err(of_idb)
}
