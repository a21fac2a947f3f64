//! Snapshots in `IndexedDB`: a survey as it was folded last, so that a long one opens soon. A cache and nothing more: what is not
//! there, or does not fit, is made anew from the entries. A survey's snapshot goes when it is removed: see
//! [`super::storage`].

use js_sys::{Object, Reflect, Uint8Array};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};

use super::database::{Durability, SNAPSHOTS, of_idb, transaction};
use super::field;

/// The snapshot of a survey; `None` if there is none.
///
/// # Errors
/// [`StoreError`].
pub async fn get(survey: SurveyId) -> Result<Option<Vec<u8>>, StoreError> {
    let reading = transaction(&[SNAPSHOTS], Durability::Read).await?;
    let store = reading.store(SNAPSHOTS)?;
    let record = store.get(key(survey)).map_err(of_idb)?.await.map_err(of_idb)?;
    let bytes = record.and_then(|record| field(&record, "bytes").dyn_into::<Uint8Array>().ok());
    Ok(bytes.map(|bytes| bytes.to_vec()))
}

/// Keeps a snapshot in the place of the one before. Nothing is lost with it, so nobody waits for the disk.
///
/// # Errors
/// [`StoreError`].
pub async fn put(survey: SurveyId, bytes: &[u8]) -> Result<(), StoreError> {
    let writing = transaction(&[SNAPSHOTS], Durability::Relaxed).await?;
    let record = Object::new();
    for (name, value) in [("survey", key(survey)), ("bytes", Uint8Array::from(bytes).into())] {
        // Setting a property of a fresh object cannot fail.
        let _ = Reflect::set(&record, &JsValue::from_str(name), &value);
    }
    writing.store(SNAPSHOTS)?.put(&record, None).map_err(of_idb)?;
    writing.done().await
}

/// The key of a survey's snapshot.
pub(super) fn key(survey: SurveyId) -> JsValue {
    survey.to_string().into()
}
