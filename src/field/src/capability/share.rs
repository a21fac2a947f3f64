//! The device's own sheet for sending a file to another app, where there is one.

use js_sys::{Array, Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{File, FilePropertyBag, Navigator, ShareData};

use super::held::Held;

/// What became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shared {
    /// The other app has it.
    Sent,
    /// The person closed the sheet.
    Stopped,
    /// It could not be sent, in the browser's words.
    Failed(String),
}

/// A file ready to be sent. Made beforehand, since the browser opens the sheet only within a tap.
#[derive(Debug, Clone, PartialEq)]
pub struct Parcel {
    data: ShareData,
    /// What it is made of, which must not go before it was sent.
    _held: Held,
}

/// Makes a parcel of a file; `None` where this device has no such sheet or it does not take files of this kind.
#[must_use]
pub fn parcel(name: &str, media_type: &str, bytes: &[u8]) -> Option<Parcel> {
    parcel_of(name, media_type, &Held::of(bytes).ok()?)
}

/// The same of bytes that the browser holds.
#[must_use]
pub fn parcel_of(name: &str, media_type: &str, held: &Held) -> Option<Parcel> {
    let navigator = web_sys::window()?.navigator();
    let options = FilePropertyBag::new();
    options.set_type(media_type);
    let parts = Array::of1(held.blob());
    let file = File::new_with_blob_sequence_and_options(&parts, name, &options).ok()?;
    let data = ShareData::new();
    data.set_files(&Array::of1(&file));
    data.set_title(name);
    let _held = held.clone();
    can_share(&navigator, &data).then_some(Parcel { data, _held })
}

/// Opens the sheet. To be called within a tap.
pub async fn send(parcel: Parcel) -> Shared {
    let Some(window) = web_sys::window() else {
        return Shared::Failed(String::new());
    };
    let sheet = window.navigator().share_with_data(&parcel.data);
    match JsFuture::from(sheet).await {
        Ok(_) => Shared::Sent,
        Err(thrown) if is_stopped(&thrown) => Shared::Stopped,
        Err(thrown) => Shared::Failed(super::words(&thrown)),
    }
}

fn is_stopped(thrown: &JsValue) -> bool {
    thrown
        .dyn_ref::<web_sys::DomException>()
        .is_some_and(|exception| exception.name() == "AbortError")
}

/// The method is missing in browsers without a sheet, where calling it outright would throw.
fn can_share(navigator: &Navigator, data: &ShareData) -> bool {
    let ask = Reflect::get(navigator, &JsValue::from_str("canShare")).ok();
    let ask = ask.and_then(|ask| ask.dyn_into::<Function>().ok());
    let said = ask.and_then(|ask| ask.call1(navigator, data).ok());
    said.and_then(|said| said.as_bool()) == Some(true)
}
