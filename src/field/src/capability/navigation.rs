//! The address bar: everything behind `#` says where the person is.

use std::cell::RefCell;
use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// Who is told of a change of place.
type Told = Rc<dyn Fn(String)>;

thread_local! {
    /// The router, once there is one.
    static TOLD: RefCell<Option<Told>> = const { RefCell::new(None) };
}

/// What stands behind `#` now, without it.
#[must_use]
pub fn here() -> String {
    let hash = web_sys::window()
        .and_then(|window| window.location().hash().ok())
        .unwrap_or_default();
    hash.strip_prefix('#').unwrap_or(&hash).to_owned()
}

/// Goes somewhere; the browser's back button comes back. The router is told before this returns.
pub fn go(hash: &str) {
    if let Some(window) = web_sys::window() {
        // Refused only for a malformed address, and ours are made by the router.
        let _ = window.location().set_hash(hash);
    }
    tell();
}

/// Goes somewhere in place of where we are: back does not return here.
pub fn replace(hash: &str) {
    if let Some(window) = web_sys::window() {
        let _ = window.location().replace(&format!("#{hash}"));
    }
    tell();
}

/// The browser's own word comes a moment later, and until then the old place would show what it is left with.
fn tell() {
    let told = TOLD.with_borrow(Clone::clone);
    if let Some(told) = told {
        told(here());
    }
}

/// Goes back one step, as the browser's button does.
pub fn back() {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        let _ = history.back();
    }
}

/// Calls back whenever the place changes, until the page is closed; also where it was told of a place before.
pub fn on_change(told: impl Fn(String) + 'static) {
    TOLD.set(Some(Rc::new(told)));
    let closure = Closure::<dyn FnMut()>::new(tell);
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
