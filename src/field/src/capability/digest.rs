//! SHA-256 by the browser, which has it quicker than any program in it, and beside the page.

use js_sys::{Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::SubtleCrypto;

use super::let_go;

/// SHA-256 as 64 lower-case hexadecimal digits; made here where the browser has none.
pub async fn sha256(bytes: &[u8]) -> String {
    match by_the_browser(bytes).await {
        Some(digest) => hex(&digest),
        None => survey::photo::sha256(bytes),
    }
}

/// Bytes as lower-case hexadecimal digits.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

async fn by_the_browser(bytes: &[u8]) -> Option<Vec<u8>> {
    let crypto = web_sys::window()?.crypto().ok()?;
    // Where the address is not a secure one the property is missing, whatever its type says.
    let subtle = Reflect::get(&crypto, &JsValue::from_str("subtle")).ok()?;
    let subtle: SubtleCrypto = subtle.dyn_into().ok()?;
    let copy = Uint8Array::from(bytes);
    let digest = subtle.digest_with_str_and_buffer_source("SHA-256", &copy);
    // The browser took a copy of its own when it was asked.
    let_go(&copy.buffer());
    let digest = JsFuture::from(digest.ok()?).await.ok()?;
    Some(Uint8Array::new(&digest).to_vec())
}
