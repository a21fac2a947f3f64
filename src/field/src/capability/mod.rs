//! The browser, one file a capability. `JsValue`, `web_sys` and `spawn_local` appear in this folder and nowhere else:
//! each file is small enough to check by eye, and everything above it is plain Rust.

pub mod awake;
pub mod camera;
pub mod clipboard;
pub mod clock;
pub mod database;
pub mod digest;
pub mod disk;
pub mod document;
pub mod download;
pub mod folder_worker;
pub mod heavy;
pub mod held;
pub mod lock;
pub mod navigation;
pub mod own_file;
pub mod panic;
pub mod photo;
pub mod photo_files;
pub mod photo_store;
pub mod pick_file;
pub mod preferences;
pub mod random;
pub mod second;
pub mod service_worker;
pub mod share;
pub mod snapshot_store;
pub mod storage;
pub mod storage_state;
pub mod task;
pub mod windows;
pub mod worker;

use js_sys::{Array, ArrayBuffer, Function, Promise, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::DomException;

/// What a thrown JavaScript value says of itself.
fn words(thrown: &JsValue) -> String {
    thrown.dyn_ref::<js_sys::Error>().map_or_else(
        || thrown.as_string().unwrap_or_else(|| format!("{thrown:?}")),
        |error| String::from(error.to_string()),
    )
}

/// A field of an object; undefined where there is none.
fn field(of: &JsValue, name: &str) -> JsValue {
    Reflect::get(of, &JsValue::from_str(name)).unwrap_or(JsValue::UNDEFINED)
}

/// What a method's promise gives, or what it says.
async fn called(of: &JsValue, method: &str, given: &Array) -> Result<JsValue, String> {
    let method: Function = field(of, method)
        .dyn_into()
        .map_err(|_| format!("there is no {method}"))?;
    let promise = method.apply(of, given).map_err(|thrown| words(&thrown))?;
    let given = JsFuture::from(Promise::resolve(&promise)).await;
    given.map_err(|thrown| match thrown.dyn_ref::<DomException>() {
        Some(exception) => exception.name(),
        None => words(&thrown),
    })
}

/// The bytes of a buffer that nobody needs any more.
fn taken(buffer: &ArrayBuffer) -> Vec<u8> {
    let bytes = Uint8Array::new(buffer).to_vec();
    let_go(buffer);
    bytes
}

/// Gives a buffer back, at once where the browser lets us: what is left for its next clearing up is a hundred photographs by
/// then.
fn let_go(buffer: &ArrayBuffer) {
    let transfer = Reflect::get(buffer, &JsValue::from_str("transfer")).ok();
    if let Some(transfer) = transfer.and_then(|transfer| transfer.dyn_into::<Function>().ok()) {
        // What is not given back now is given back later.
        let _ = transfer.call1(buffer, &JsValue::from_f64(0.0));
    }
}
