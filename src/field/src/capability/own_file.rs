//! A file that was served with the app, such as the practice survey. No other origin is ever asked.

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;

/// Fetches a file beside `index.html`.
///
/// # Errors
/// What went wrong, in words; `path` must be relative and stay in the app's folder.
pub async fn fetch(path: &str) -> Result<Vec<u8>, String> {
    if path.contains(':') || path.contains("..") || path.starts_with('/') {
        return Err(format!("{path} is not a file of this app"));
    }
    let window = web_sys::window().ok_or("no window")?;
    let response = JsFuture::from(window.fetch_with_str(path))
        .await
        .map_err(|e| super::words(&e))?;
    let response: web_sys::Response = response.dyn_into().map_err(|_| "no response")?;
    if !response.ok() {
        return Err(format!("{path}: {}", response.status()));
    }
    let buffer = response.array_buffer().map_err(|e| super::words(&e))?;
    let buffer = JsFuture::from(buffer).await.map_err(|e| super::words(&e))?;
    Ok(js_sys::Uint8Array::new(&buffer).to_vec())
}
