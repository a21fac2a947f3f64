//! A trap: the program met what cannot be. The screen for it is plain JavaScript (`trap.js`), since nothing here
//! can be relied on any more; what was acknowledged as saved is on the disk.

use wasm_bindgen::{JsCast, JsValue};

/// From now on a panic shows the trap screen with where it happened.
pub fn install() {
    std::panic::set_hook(Box::new(|info| {
        let text = info.to_string();
        let trap = js_sys::Reflect::get(&js_sys::global(), &JsValue::from_str("quarterlightTrap"));
        if let Some(trap) = trap
            .ok()
            .and_then(|trap| trap.dyn_into::<js_sys::Function>().ok())
        {
            // If even the trap screen fails, the browser's console has the trap itself.
            let _ = trap.call1(&JsValue::NULL, &JsValue::from_str(&text));
        }
    }));
}
