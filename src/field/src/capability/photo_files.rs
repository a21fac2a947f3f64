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
/// How a thing that is not there is told, and how a place that a browser does not have or refuses.
const MISSING: &str = "NotFoundError";
const NO_PLACE: &str = "no place for files";
/// A worker writes or reads it; how long that may take at a time, milliseconds, and how often it is tried.
const HELD: &str = "NoModificationAllowedError";
const HELD_MS: i32 = 200;
const TRIALS: u32 = 10;
/// A SHA-256 in hexadecimal; a file that is being written has a longer name.
const NAME_LENGTH: usize = 64;

/// One photograph's file, as it lies there; `None` if there is none.
pub async fn get(survey: SurveyId, sha256: &str) -> Option<Held> {
    let folder = folder(survey).await.ok()?;
    let handle = called(&folder, "getFileHandle", &Array::of1(&sha256.into()))
        .await
        .ok()?;
    let file: File = called(&handle, "getFile", &Array::new())
        .await
        .ok()?
        .dyn_into()
        .ok()?;
    Some(Held::from(file))
}

/// The names of all of a survey.
pub async fn names(survey: SurveyId) -> Vec<String> {
    let mut names = Vec::new();
    let Ok(folder) = folder(survey).await else {
        return names;
    };
    let keys = field(&folder, "keys").dyn_into::<Function>();
    let Some(keys) = keys.ok().and_then(|keys| keys.call0(&folder).ok()) else {
        return names;
    };
    while let Ok(next) = called(&keys, "next", &Array::new()).await {
        match field(&next, "value").as_string() {
            Some(name) if name.len() == NAME_LENGTH => names.push(name),
            Some(_) => {}
            None => break,
        }
    }
    names
}

/// Removes some of a survey, where they are.
///
/// # Errors
/// [`StoreError::Interrupted`]; some are there still.
pub async fn remove<'a>(
    survey: SurveyId,
    names: impl IntoIterator<Item = &'a String>,
) -> Result<(), StoreError> {
    let folder = match folder(survey).await {
        Ok(folder) => folder,
        Err(why) => return or_nothing_there(why),
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
    match place().await {
        Ok(place) => removed(&place, &Array::of2(&survey.to_string().into(), &everything)).await,
        Err(why) => or_nothing_there(why),
    }
}

/// Removes one thing of a folder, which a worker may be holding for a moment.
async fn removed(folder: &JsValue, what: &Array) -> Result<(), StoreError> {
    let mut trial = 1;
    loop {
        match called(folder, "removeEntry", what).await {
            Err(why) if why == HELD && trial < TRIALS => trial += 1,
            ended => return ended.map(|_| ()).or_else(or_nothing_there),
        }
        task::wait_ms(HELD_MS).await;
    }
}

async fn folder(survey: SurveyId) -> Result<JsValue, String> {
    called(
        &place().await?,
        "getDirectoryHandle",
        &Array::of1(&survey.to_string().into()),
    )
    .await
}

/// The folder of all surveys' photographs.
async fn place() -> Result<JsValue, String> {
    let navigator = web_sys::window().map(|window| window.navigator());
    let storage = navigator.map_or(JsValue::UNDEFINED, |navigator| field(&navigator, "storage"));
    let root = called(&storage, "getDirectory", &Array::new()).await;
    let root = root.map_err(|_| NO_PLACE.to_owned())?;
    called(&root, "getDirectoryHandle", &Array::of1(&FOLDER.into())).await
}

fn or_nothing_there(why: String) -> Result<(), StoreError> {
    if why == MISSING || why == NO_PLACE {
        Ok(())
    } else {
        Err(StoreError::Interrupted(format!("a photograph's file: {why}")))
    }
}
