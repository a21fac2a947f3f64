//! Keeping the screen lit while something is shown to another device (Screen Wake Lock API).

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// A screen that stays lit until this is dropped.
#[derive(Debug)]
pub struct Awake(JsValue);

/// Asks that the screen stay lit; nothing where the browser cannot, or will not.
pub async fn stay() -> Option<Awake> {
    let navigator: JsValue = web_sys::window()?.navigator().into();
    let lock = Reflect::get(&navigator, &"wakeLock".into())
        .ok()
        .filter(JsValue::is_object)?;
    let request: Function = Reflect::get(&lock, &"request".into()).ok()?.dyn_into().ok()?;
    let asked: Promise = request.call1(&lock, &"screen".into()).ok()?.dyn_into().ok()?;
    JsFuture::from(asked).await.ok().map(Awake)
}

impl Drop for Awake {
    fn drop(&mut self) {
        let release = Reflect::get(&self.0, &"release".into()).ok();
        if let Some(release) = release.and_then(|release| release.dyn_into::<Function>().ok()) {
            // A lock that is already gone has nothing to release.
            let _ = release.call0(&self.0);
        }
    }
}
