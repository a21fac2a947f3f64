//! The address bar: everything behind `#` says where the person is.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// What stands behind `#` now, without it.
#[must_use]
pub fn here() -> String {
    let hash = web_sys::window()
        .and_then(|window| window.location().hash().ok())
        .unwrap_or_default();
    hash.strip_prefix('#').unwrap_or(&hash).to_owned()
}

/// Goes somewhere; the browser's back button comes back.
pub fn go(hash: &str) {
    if let Some(window) = web_sys::window() {
        // Refused only for a malformed address, and ours are made by the router.
        let _ = window.location().set_hash(hash);
    }
}

/// Goes somewhere in place of where we are: back does not return here.
pub fn replace(hash: &str) {
    if let Some(window) = web_sys::window() {
        let _ = window.location().replace(&format!("#{hash}"));
    }
}

/// Goes back one step, as the browser's button does.
pub fn back() {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        let _ = history.back();
    }
}

/// Calls back whenever the place changes, until the page is closed.
pub fn on_change(mut tell: impl FnMut(String) + 'static) {
    let closure = Closure::<dyn FnMut()>::new(move || tell(here()));
    if let Some(window) = web_sys::window() {
        // Adding a listener to the window cannot fail.
        let _ = window.add_event_listener_with_callback("hashchange", closure.as_ref().unchecked_ref());
    }
    // The router lives as long as the page.
    closure.forget();
}

/// Loads the page again, at the same place.
pub fn reload() {
    if let Some(window) = web_sys::window() {
        let _ = window.location().reload();
    }
}
