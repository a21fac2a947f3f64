//! A file to carry away: bytes to the browser's download folder.

use wasm_bindgen::JsCast;
use web_sys::{HtmlAnchorElement, Url};

use super::held::Held;
use super::{task, words};

/// How long a download may take to start before its address is given back, milliseconds.
const ADDRESS_LIVES_MS: i32 = 60_000;
/// How slowly at least a device copies what lies in a file of ours, bytes a millisecond: no browser says when it is done.
const SLOWEST: u64 = 1_000;

/// Hands bytes to the browser as a file to save.
///
/// # Errors
/// What the browser says when it refuses.
pub fn save(name: &str, media_type: &str, bytes: &[u8]) -> Result<(), String> {
    save_held(name, &Held::joined([&Held::of(bytes)?], media_type)?)
}

/// The same of bytes that the browser holds.
///
/// # Errors
/// What the browser says when it refuses.
pub fn save_held(name: &str, held: &Held) -> Result<(), String> {
    let document = web_sys::window()
        .and_then(|window| window.document())
        .ok_or("no document")?;
    let body = document.body().ok_or("no page")?;
    let address = Url::create_object_url_with_blob(held.blob()).map_err(|e| words(&e))?;
    let link: HtmlAnchorElement = document
        .create_element("a")
        .map_err(|e| words(&e))?
        .dyn_into()
        .map_err(|_| "no link element")?;
    link.set_href(&address);
    link.set_download(name);
    // Some engines only follow a link that is in the page.
    body.append_child(&link).map_err(|e| words(&e))?;
    link.click();
    link.remove();
    let held = held.clone();
    task::spawn(async move {
        task::wait_ms(ADDRESS_LIVES_MS).await;
        // An address that cannot be given back is given back with the page.
        let _ = Url::revoke_object_url(&address);
        if held.is_on_disk() {
            task::wait_ms(i32::try_from(held.n_bytes() / SLOWEST).unwrap_or(i32::MAX)).await;
        }
    });
    Ok(())
}
