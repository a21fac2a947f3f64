//! A text for another app, by way of the device's clipboard.

use js_sys::Reflect;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;

/// Puts a text onto the clipboard. To be called within a tap.
///
/// # Errors
/// This browser does not do it, or the person did not let it.
pub async fn copy(text: &str) -> Result<(), String> {
    let navigator = web_sys::window().ok_or("no window")?.navigator();
    // Missing on a page that came without `https`: calling it outright would throw.
    let known = Reflect::get(&navigator, &JsValue::from_str("clipboard"));
    if known.is_ok_and(|known| known.is_undefined()) {
        return Err("no clipboard".to_owned());
    }
    let written = JsFuture::from(navigator.clipboard().write_text(text)).await;
    written.map(drop).map_err(|thrown| super::words(&thrown))
}
