//! How far the device is ready to start without a network. `offline.js` does the registering, so that it works even
//! when this program does not; here is what it tells, and the person's yes to a newer version.

use js_sys::{Function, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// What `offline.js` last told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Offline {
    /// This browser or address cannot keep the app.
    Unsupported,
    /// The app's files are being fetched and checked.
    Preparing,
    /// Every file is stored: the next start needs no network.
    Ready,
    /// A newer version is stored and waits to be taken.
    NewVersion,
    /// The files could not be stored, and why.
    Failed(String),
}

/// Tells the present state, and every later one until the page is closed.
pub fn follow(tell: impl Fn(Offline) + 'static) {
    let global = js_sys::global();
    if let Some(now) = read(&Reflect::get(&global, &JsValue::from_str("quarterlightOffline"))) {
        tell(now);
    }
    let heard = Closure::<dyn FnMut(JsValue)>::new(move |event: JsValue| {
        if let Some(state) = read(&Reflect::get(&event, &JsValue::from_str("detail"))) {
            tell(state);
        }
    });
    if let Some(window) = web_sys::window() {
        // Adding a listener to the window cannot fail.
        let _ =
            window.add_event_listener_with_callback("quarterlight-offline", heard.as_ref().unchecked_ref());
    }
    // It listens as long as the page lives.
    heard.forget();
}

/// The person takes the newer version: the page is loaded again with it.
pub fn take_new_version() {
    let take = Reflect::get(&js_sys::global(), &JsValue::from_str("quarterlightTakeOver"));
    if let Some(take) = take.ok().and_then(|take| take.dyn_into::<Function>().ok()) {
        // If it fails, the present version goes on.
        let _ = take.call0(&JsValue::NULL);
    }
}

fn read(detail: &Result<JsValue, JsValue>) -> Option<Offline> {
    let detail = detail.as_ref().ok().filter(|detail| detail.is_object())?;
    let text = |name: &str| Reflect::get(detail, &JsValue::from_str(name)).ok()?.as_string();
    Some(match text("state")?.as_str() {
        "preparing" => Offline::Preparing,
        "ready" => Offline::Ready,
        "update" => Offline::NewVersion,
        "failed" => Offline::Failed(text("why").unwrap_or_default()),
        _ => Offline::Unsupported,
    })
}
