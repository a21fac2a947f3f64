//! Photographs that are files of their own, in the place on the disk that is this origin's: the worker `second.js` writes them
//! there, the page reads and removes them.

use js_sys::{Array, Function, Object, Reflect};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::File;

use super::held::Held;
use super::{called, field, task};

/// The folder of them all, as the worker names it; in it a folder a survey.
const FOLDER: &str = "quarterlight-photos";
/// How a thing that is not there is told, and how a place that a browser refuses.
const MISSING: &str = "NotFoundError";
const REFUSED: &str = "SecurityError";
/// A worker writes or reads it; how long that may take at a time, milliseconds, and how often it is tried.
const HELD: &str = "NoModificationAllowedError";
const HELD_MS: i32 = 200;
const TRIALS: u32 = 10;
/// A SHA-256 in hexadecimal; a file that is being written has a longer name.
const NAME_LENGTH: usize = 64;

/// One photograph's file, as it lies there; `None` if there is none.
///
/// # Errors
/// [`StoreError::Interrupted`]: it cannot be told.
pub async fn get(survey: SurveyId, sha256: &str) -> Result<Option<Held>, StoreError> {
    let Some(folder) = folder(survey).await? else {
        return Ok(None);
    };
    let handle = called(&folder, "getFileHandle", &Array::of1(&sha256.into())).await;
    let Some(handle) = if_there(handle)? else {
        return Ok(None);
    };
    let file = if_there(called(&handle, "getFile", &Array::new()).await)?;
    let file = file.and_then(|file| file.dyn_into::<File>().ok());
    Ok(file.map(Held::from))
}

/// The names of all of a survey.
///
/// # Errors
/// As [`get`].
pub async fn names(survey: SurveyId) -> Result<Vec<String>, StoreError> {
    let all = all_names(survey).await?.into_iter();
    Ok(all.filter(|name| name.len() == NAME_LENGTH).collect())
}

/// Removes what somebody who died was writing, and what nobody writes now.
///
/// # Errors
/// As [`get`]; some may be there still.
pub async fn remove_unfinished(survey: SurveyId) -> Result<(), StoreError> {
    let all = all_names(survey).await?.into_iter();
    let unfinished: Vec<String> = all.filter(|name| name.len() != NAME_LENGTH).collect();
    remove(survey, &unfinished).await
}

async fn all_names(survey: SurveyId) -> Result<Vec<String>, StoreError> {
    let mut names = Vec::new();
    let Some(folder) = folder(survey).await? else {
        return Ok(names);
    };
    let keys = field(&folder, "keys").dyn_into::<Function>();
    let keys = keys.ok().and_then(|keys| keys.call0(&folder).ok());
    let keys = keys.ok_or_else(|| failed("it does not tell its names"))?;
    while let Some(next) = if_there(called(&keys, "next", &Array::new()).await)? {
        match field(&next, "value").as_string() {
            Some(name) => names.push(name),
            None => break,
        }
    }
    Ok(names)
}

/// Removes some of a survey, where they are.
///
/// # Errors
/// [`StoreError::Interrupted`]; some are there still.
pub async fn remove<'a>(
    survey: SurveyId,
    names: impl IntoIterator<Item = &'a String>,
) -> Result<(), StoreError> {
    let Some(folder) = folder(survey).await? else {
        return Ok(());
    };
    for name in names {
        removed(&folder, &Array::of1(&name.into())).await?;
    }
    Ok(())
}

/// Removes all of a survey.
///
/// # Errors
/// [`StoreError::Interrupted`]; some may be there still.
pub async fn remove_all(survey: SurveyId) -> Result<(), StoreError> {
    let everything = Object::new();
    // Setting a property of a fresh object cannot fail.
    let _ = Reflect::set(&everything, &"recursive".into(), &JsValue::TRUE);
    match place().await? {
        Some(place) => removed(&place, &Array::of2(&survey.to_string().into(), &everything)).await,
        None => Ok(()),
    }
}

/// Removes one thing of a folder, which a worker may be holding for a moment.
async fn removed(folder: &JsValue, what: &Array) -> Result<(), StoreError> {
    let mut trial = 1;
    loop {
        match called(folder, "removeEntry", what).await {
            Err(why) if why == HELD && trial < TRIALS => trial += 1,
            ended => return if_there(ended).map(|_| ()),
        }
        task::wait_ms(HELD_MS).await;
    }
}

async fn folder(survey: SurveyId) -> Result<Option<JsValue>, StoreError> {
    match place().await? {
        Some(place) => {
            let name = Array::of1(&survey.to_string().into());
            if_there(called(&place, "getDirectoryHandle", &name).await)
        }
        None => Ok(None),
    }
}

/// The folder of all surveys' photographs; nothing where the browser has no such place, or refuses it to a private window, say.
async fn place() -> Result<Option<JsValue>, StoreError> {
    let navigator = web_sys::window().map(|window| window.navigator());
    let storage = navigator.map_or(JsValue::UNDEFINED, |navigator| field(&navigator, "storage"));
    if !field(&storage, "getDirectory").is_function() {
        return Ok(None);
    }
    let root = match called(&storage, "getDirectory", &Array::new()).await {
        Err(why) if why == REFUSED => return Ok(None),
        root => root.map_err(|why| failed(&why))?,
    };
    if_there(called(&root, "getDirectoryHandle", &Array::of1(&FOLDER.into())).await)
}

fn if_there(given: Result<JsValue, String>) -> Result<Option<JsValue>, StoreError> {
    match given {
        Ok(given) => Ok(Some(given)),
        Err(why) if why == MISSING => Ok(None),
        Err(why) => Err(failed(&why)),
    }
}

fn failed(why: &str) -> StoreError {
    StoreError::Interrupted(format!("a photograph's file: {why}"))
}
