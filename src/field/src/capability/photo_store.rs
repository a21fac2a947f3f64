//! Photographs in `IndexedDB`, beside the log. A photograph is written before the log names it: what the log names is
//! there. A survey's photographs go when it is removed: see [`super::storage`].

use std::collections::BTreeMap;

use idb::{KeyRange, Query};
use js_sys::{Array, Object, Reflect, Uint8Array};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};

use super::database::{Durability, PHOTOS, of_idb, transaction};
use super::field;
use super::lock::{self, Key};
use super::storage::of_survey;
use super::{let_go, taken};

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

/// The SHA-256 of every photograph of a survey on this device.
///
/// # Errors
/// [`StoreError`].
pub async fn names(survey: SurveyId) -> Result<Vec<String>, StoreError> {
    let reading = transaction(&[PHOTOS], Durability::Read).await?;
    let keys = reading
        .store(PHOTOS)?
        .get_all_keys(Some(of_survey(survey)?.into()), None)
        .map_err(of_idb)?
        .await
        .map_err(of_idb)?;
    Ok(keys
        .iter()
        .filter_map(|key| Array::from(key).get(1).as_string())
        .collect())
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
    let plain = read(survey, from, one(survey, sha256)?).await?;
    match to {
        None => write(survey, &plain).await,
        Some(key) => write(survey, &sealed(key, survey, &plain).await?).await,
    }
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
    let key = lock::key(survey);
    Ok(read(survey, key.as_deref(), one(survey, sha256)?)
        .await?
        .into_values()
        .next())
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
    writing.done().await
}

async fn read(
    survey: SurveyId,
    key: Option<&Key>,
    range: KeyRange,
) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
    let reading = transaction(&[PHOTOS], Durability::Read).await?;
    let records = reading
        .store(PHOTOS)?
        .get_all(Some(range.into()), None)
        .map_err(of_idb)?
        .await
        .map_err(of_idb)?;
    let read = records.into_iter().filter_map(|record| {
        let sha256 = field(&record, "sha256").as_string()?;
        let bytes: Uint8Array = field(&record, "bytes").dyn_into().ok()?;
        // A record is of one photograph alone, and so is its buffer.
        Some((sha256, taken(&bytes.buffer())))
    });
    let mut photos: BTreeMap<String, Vec<u8>> = read.collect();
    for (sha256, bytes) in photos.iter_mut().filter(|(_, bytes)| lock::is_sealed(bytes)) {
        let key = key.ok_or(StoreError::Locked)?;
        *bytes = key.open(&lock::record_name(survey, sha256), bytes).await?;
    }
    Ok(photos)
}

fn one(survey: SurveyId, sha256: &str) -> Result<KeyRange, StoreError> {
    let key: JsValue = Array::of2(&survey.to_string().into(), &sha256.into()).into();
    KeyRange::only(&key).map_err(of_idb)
}
