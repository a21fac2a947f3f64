//! Photographs in `IndexedDB`, beside the log. A photograph is written before the log names it: what the log names is
//! there. A survey's photographs go when it is removed: see [`super::storage`].

use std::collections::BTreeMap;

use idb::{KeyRange, Query};
use js_sys::{Array, Object, Reflect, Uint8Array};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};

use super::database::{Durability, PHOTOS, of_idb, transaction};
use super::storage::{field, of_survey};

/// Keeps photographs, all or none.
///
/// # Errors
/// [`StoreError`]; `Full` where there is no room.
pub async fn put(survey: SurveyId, photos: &BTreeMap<String, Vec<u8>>) -> Result<(), StoreError> {
    if photos.is_empty() {
        return Ok(());
    }
    let writing = transaction(&[PHOTOS], Durability::Strict).await?;
    let store = writing.store(PHOTOS)?;
    for (sha256, bytes) in photos {
        let record = Object::new();
        let fields: [(&str, JsValue); 3] = [
            ("survey", survey.to_string().into()),
            ("sha256", sha256.into()),
            ("bytes", Uint8Array::from(bytes.as_slice()).into()),
        ];
        for (name, value) in &fields {
            // Setting a property of a fresh object cannot fail.
            let _ = Reflect::set(&record, &JsValue::from_str(name), value);
        }
        // A failing request fails the whole transaction, whose end is waited for.
        store.put(&record, None).map_err(of_idb)?;
    }
    writing.done().await
}

/// One photograph; `None` if it is not on this device.
///
/// # Errors
/// [`StoreError`].
pub async fn get(survey: SurveyId, sha256: &str) -> Result<Option<Vec<u8>>, StoreError> {
    Ok(read(one(survey, sha256)?).await?.into_values().next())
}

/// Every photograph of a survey by its SHA-256.
///
/// # Errors
/// [`StoreError`].
pub async fn all(survey: SurveyId) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
    read(of_survey(survey)?).await
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

async fn read(range: KeyRange) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
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
        Some((sha256, bytes.to_vec()))
    });
    Ok(read.collect())
}

fn one(survey: SurveyId, sha256: &str) -> Result<KeyRange, StoreError> {
    let key: JsValue = Array::of2(&survey.to_string().into(), &sha256.into()).into();
    KeyRange::only(&key).map_err(of_idb)
}
