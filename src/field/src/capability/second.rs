//! The second copy of every survey's log, beside the database, through the worker `second.js`: the browser may throw its
//! database away whole, and the place on the disk that is this origin's own stays.
//!
//! The copy is written at the same time as the database, and nothing is called saved before both have it; a copy that does
//! not answer soon is not waited for. Where a browser has no such place there is none, and [`works`] says so.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::future::Future;

use js_sys::{Array, ArrayBuffer, Function, Object, Promise, Reflect, Uint8Array};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{File, MessageEvent, Worker};

use super::held::Held;
use super::{called, digest, disk, field, task};

const SCRIPT: &str = "second.js";
/// How long a copy is waited for, milliseconds.
const COPIED_MS: i32 = 1_000;
/// How long a copy's removal may take, milliseconds: another window lets go of its file within a few seconds.
const REMOVAL_MS: i32 = 15_000;
/// How long bringing into step and bringing back may take, milliseconds: a long survey takes a slow phone minutes, and no screen
/// waits for it.
const STEP_MS: i32 = 1_800_000;
/// How long somebody waits for it, milliseconds.
const WAITED_MS: i32 = 60_000;
/// When what failed is tried again, milliseconds.
const AGAIN_MS: i32 = 60_000;
/// How long it may take to put a photograph down, milliseconds.
const PICTURE_MS: i32 = 30_000;
/// How long it may take to say whether there is such a place, milliseconds.
const LOOK_MS: i32 = 5_000;
/// What the worker says where the browser gives no such place.
const NO_PLACE: &str = "no place for a copy";
/// The folder of the copies, as the worker names it.
const FOLDER: &str = "quarterlight-second";

/// Buffers are as long as a multiple of this, so that one serves for many photographs, bytes.
const ROUND: u32 = 1 << 20;

thread_local! {
    static KEEPER: Option<Keeper> = Keeper::start();
    /// One buffer goes to and fro: what is thrown away a megabyte at a time stays in memory until somebody clears up.
    static SPARE: RefCell<Option<ArrayBuffer>> = const { RefCell::new(None) };
}

/// The worker, and who waits for its answers, by the number of what was asked.
struct Keeper {
    worker: Worker,
    waiting: RefCell<BTreeMap<u32, Function>>,
    asked: Cell<u32>,
    /// Whether the last that was waited for did not come in time: nobody waits until something comes.
    is_behind: Cell<bool>,
    /// Why the last that was copied was not, until database and copy are in step again.
    fault: RefCell<Option<String>>,
    /// Whether a step after a fault is on its way.
    steps_again: Cell<bool>,
    /// Whether it did not start: nothing is asked of it then.
    is_dead: Cell<bool>,
}

impl Keeper {
    fn start() -> Option<Self> {
        let worker = disk::worker(SCRIPT)?;
        let heard = Closure::<dyn FnMut(MessageEvent)>::new(|event: MessageEvent| {
            let data = event.data();
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a number that was given to it"
            )]
            let id = field(&data, "id").as_f64().unwrap_or(0.0) as u32;
            answer(id, &data);
        });
        let failed = Closure::<dyn FnMut(JsValue)>::new(|_| {
            // It did not start: whoever waits hears so, and nobody waits for the copy itself.
            let waiting = with(|keeper| {
                keeper.is_dead.set(true);
                keeper.worker.terminate();
                keeper.waiting.take()
            })
            .unwrap_or_default();
            for resolve in waiting.values() {
                let fault = Object::new();
                set(&fault, "fault", &"the worker did not start".into());
                let _ = resolve.call1(&JsValue::NULL, &fault);
            }
        });
        worker.set_onmessage(Some(heard.as_ref().unchecked_ref()));
        worker.set_onerror(Some(failed.as_ref().unchecked_ref()));
        // Both live as long as the page.
        heard.forget();
        failed.forget();
        Some(Self {
            worker,
            waiting: RefCell::default(),
            asked: Cell::new(0),
            is_behind: Cell::new(false),
            fault: RefCell::default(),
            steps_again: Cell::new(false),
            is_dead: Cell::new(false),
        })
    }

    /// Asks for something, with what belongs to it; a buffer among that changes hands.
    fn post(&self, act: &str, survey: Option<SurveyId>, given: &[(&str, &JsValue)]) -> u32 {
        let id = self.asked.get().wrapping_add(1);
        self.asked.set(id);
        let message = Object::new();
        set(&message, "id", &id.into());
        set(&message, "act", &act.into());
        if let Some(survey) = survey {
            set(&message, "survey", &survey.to_string().into());
        }
        let buffers = Array::new();
        for (name, value) in given {
            set(&message, name, value);
            if value.is_instance_of::<ArrayBuffer>() {
                buffers.push(value);
            }
        }
        // What is not copied now is copied when the survey is next opened.
        let _ = self.worker.post_message_with_transfer(&message, &buffers);
        id
    }
}

/// Gets the place ready, so that the first answer does not wait for it.
pub fn begin() {
    with(|_| ());
}

/// Copies records that the database is being given, as they are given to it. What it gives ends when that is done, or soon,
/// or at once while the copy is behind: it copies a long survey, say.
pub fn add(survey: SurveyId, records: &Array) -> impl Future<Output = ()> + use<> {
    let asked = ask("add", Some(survey), &[("records", records)]);
    async move {
        if with(|keeper| keeper.is_behind.get()) != Some(true) {
            let copied = task::within(COPIED_MS, asked).await;
            with(|keeper| keeper.is_behind.set(copied.is_none()));
            if let Some(Err(why)) = copied {
                with(|keeper| keeper.fault.replace(Some(why)));
                // Another window held the file, say. What fails again is copied when the survey is next opened.
                step_once_more(survey);
            }
        }
    }
}

/// Brings a survey's copy into step after a fault, not more often than once in a while: a full disk fails at every tap.
fn step_once_more(survey: SurveyId) {
    let is_due = with(|keeper| !keeper.is_dead.get() && !keeper.steps_again.replace(true));
    if is_due == Some(true) {
        task::spawn(async move {
            task::wait_ms(AGAIN_MS).await;
            with(|keeper| keeper.steps_again.set(false));
            // What fails again is told where somebody looks at the device.
            let _ = step(survey).await;
        });
    }
}

/// Brings database and copy of a survey into step, and waits for nothing.
pub fn step_soon(survey: SurveyId) {
    with(|keeper| keeper.post("step", Some(survey), &[]));
}

/// Brings database and copy of a survey into step; says how many entries came back into the database.
///
/// # Errors
/// There is no copy here, or it could not be read, in the browser's words.
pub async fn step(survey: SurveyId) -> Result<usize, String> {
    let brought = within(STEP_MS, ask("step", Some(survey), &[])).await?;
    with(|keeper| keeper.fault.take());
    Ok(number(&brought))
}

/// The same while a person waits for it.
///
/// # Errors
/// As [`step`]; also where it takes a minute.
pub async fn step_while_waited_for(survey: SurveyId) -> Result<usize, String> {
    let stepped = task::within(WAITED_MS, step(survey)).await;
    stepped.unwrap_or_else(|| Err("the second copy does not answer".to_owned()))
}

/// How many surveys there are of which the database has nothing and the copy something.
///
/// # Errors
/// In words, where there is no copy or it cannot be read.
pub async fn missing() -> Result<usize, String> {
    Ok(number(&within(STEP_MS, ask("missing", None, &[])).await?))
}

/// Brings back the surveys of which the database has nothing; gives each with how many entries came.
///
/// # Errors
/// As [`step`].
pub async fn restore() -> Result<Vec<(SurveyId, usize)>, String> {
    let restored = within(STEP_MS, ask("restore", None, &[])).await?;
    let pairs = Array::from(&restored).to_vec().into_iter();
    let of = |pair: JsValue| {
        let pair = Array::from(&pair);
        let survey = pair.get(0).as_string()?.parse().ok()?;
        Some((survey, number(&pair.get(1))))
    };
    Ok(pairs.filter_map(of).collect())
}

/// Removes the copy of a survey. Done when this returns, or where there is none.
///
/// # Errors
/// It could not be removed: another window holds it, say.
pub async fn remove(survey: SurveyId) -> Result<(), StoreError> {
    if with(|_| ()).is_none() {
        return Ok(());
    }
    let mut removed = within(REMOVAL_MS, ask("remove", Some(survey), &[]))
        .await
        .map(|_| ());
    if removed.is_err() && with(|keeper| keeper.is_dead.get()) == Some(true) {
        removed = removed_by_the_page(survey).await;
    }
    removed.or_else(|why| {
        // What was never there, or a place that the browser refuses, has nothing to remove.
        let nothing_there = ["NotFoundError", NO_PLACE];
        if nothing_there.iter().any(|name| why.contains(name)) {
            Ok(())
        } else {
            Err(StoreError::Interrupted(format!("the second copy: {why}")))
        }
    })
}

/// Puts a photograph into a file of its own, read back there, beside the database.
///
/// # Errors
/// It is not there, in words: no room, say, or no such place.
pub async fn put_picture(survey: SurveyId, name: &str, bytes: &[u8]) -> Result<(), String> {
    let length = u32::try_from(bytes.len()).map_err(|error| error.to_string())?;
    let spare = SPARE.take().filter(|spare| spare.byte_length() >= length);
    let buffer = spare.unwrap_or_else(|| ArrayBuffer::new(length.next_multiple_of(ROUND)));
    Uint8Array::new_with_byte_offset_and_length(&buffer, 0, length).copy_from(bytes);
    let given: [(&str, &JsValue); 3] = [
        ("name", &name.into()),
        ("buffer", &buffer),
        ("length", &length.into()),
    ];
    let put = within(PICTURE_MS, ask("picture", Some(survey), &given)).await?;
    SPARE.set(put.dyn_into().ok());
    Ok(())
}

/// A file on the disk, with the CRC-32 and the SHA-256 of what it gives.
pub type FileWithSums = (Held, u32, String);

/// Photographs' files, in the order of their names, without their bytes in the page's memory; nothing for one that is not there or
/// cannot be read now.
///
/// # Errors
/// In words: no such place, say.
pub async fn pictures_with_sums(
    survey: SurveyId,
    names: &[String],
) -> Result<Vec<Option<FileWithSums>>, String> {
    let names: Array = names.iter().map(JsValue::from).collect();
    let found = within(PICTURE_MS, ask("sums", Some(survey), &[("names", &names)])).await?;
    Ok(Array::from(&found).iter().map(|one| with_sums(&one)).collect())
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a number of 32 bits"
)]
fn with_sums(found: &JsValue) -> Option<FileWithSums> {
    let [file, crc32, sha256] = [0, 1, 2].map(|at| Reflect::get_u32(found, at).unwrap_or(JsValue::UNDEFINED));
    let sha256 = digest::hex(&sha256.dyn_into::<Uint8Array>().ok()?.to_vec());
    Some((
        Held::from(file.dyn_into::<File>().ok()?),
        crc32.as_f64()? as u32,
        sha256,
    ))
}

/// Moves a survey's photographs out of the database into files of their own; says how many are to be moved yet: their files are
/// young, and what is written last may not be on the disk for good.
///
/// # Errors
/// As [`step`]; what was not moved is in the database still.
pub async fn settle_pictures(survey: SurveyId) -> Result<usize, String> {
    Ok(number(&within(STEP_MS, ask("settle", Some(survey), &[])).await?))
}

/// Why the copy lacks something that the database has, where a disk or another window refused it.
pub fn fault() -> Option<String> {
    with(|keeper| keeper.fault.borrow().clone()).flatten()
}

/// Whether this browser has a place for the copy, in which a worker can write.
pub async fn works() -> bool {
    within(LOOK_MS, ask("look", None, &[])).await.is_ok()
}

/// Removes the copy without the worker: one of an earlier session may be there.
async fn removed_by_the_page(survey: SurveyId) -> Result<(), String> {
    let navigator = web_sys::window().map(|window| window.navigator());
    let storage = navigator.map_or(JsValue::UNDEFINED, |navigator| field(&navigator, "storage"));
    let root = called(&storage, "getDirectory", &Array::new()).await;
    let root = root.map_err(|_| NO_PLACE.to_owned())?;
    let place = called(&root, "getDirectoryHandle", &Array::of1(&FOLDER.into())).await?;
    let all_of_it = Object::new();
    set(&all_of_it, "recursive", &JsValue::TRUE);
    let what = Array::of2(&survey.to_string().into(), &all_of_it);
    called(&place, "removeEntry", &what).await.map(|_| ())
}

async fn within(ms: i32, asked: impl Future<Output = Result<JsValue, String>>) -> Result<JsValue, String> {
    let answer = task::within(ms, asked).await;
    answer.unwrap_or_else(|| Err("the second copy does not answer".to_owned()))
}

/// Asks at once, before what is given is waited for.
fn ask(
    act: &str,
    survey: Option<SurveyId>,
    given: &[(&str, &JsValue)],
) -> impl Future<Output = Result<JsValue, String>> + use<> {
    let mut is_there = false;
    let promise = Promise::new(&mut |resolve, _reject| {
        let posted = with(|keeper| {
            if keeper.is_dead.get() {
                return false;
            }
            let id = keeper.post(act, survey, given);
            keeper.waiting.borrow_mut().insert(id, resolve);
            true
        });
        is_there = posted == Some(true);
    });
    async move {
        if !is_there {
            return Err("this browser has no place for a second copy".to_owned());
        }
        // The promise is only ever resolved.
        let data = JsFuture::from(promise).await.unwrap_or(JsValue::UNDEFINED);
        match field(&data, "fault").as_string() {
            Some(fault) => Err(fault),
            None => Ok(field(&data, "done")),
        }
    }
}

fn answer(id: u32, data: &JsValue) {
    let resolve = with(|keeper| {
        keeper.is_behind.set(false);
        keeper.waiting.borrow_mut().remove(&id)
    })
    .flatten();
    if let Some(resolve) = resolve {
        // The promise takes whatever comes.
        let _ = resolve.call1(&JsValue::NULL, data);
    }
}

fn with<T>(work: impl FnOnce(&Keeper) -> T) -> Option<T> {
    KEEPER.with(|keeper| keeper.as_ref().map(work))
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of records"
)]
fn number(value: &JsValue) -> usize {
    value.as_f64().unwrap_or(0.0) as usize
}

fn set(of: &Object, name: &str, value: &JsValue) {
    // Setting a property of a fresh object cannot fail.
    let _ = Reflect::set(of, &JsValue::from_str(name), value);
}
