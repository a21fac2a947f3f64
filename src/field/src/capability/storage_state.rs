//! Whether the browser promises to keep what we store, and how much room there is.

use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;

/// What the browser promises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Promise {
    /// Kept until the person deletes it.
    Kept,
    /// Kept while there is room: the browser may clear it when the device runs full.
    WhileRoom,
    /// This browser does not say.
    NotSaid,
}

/// How what we store may be lost here, for the person to know before the first answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Risk {
    /// The browser promised to keep it, or the app runs from the home screen.
    Low,
    /// `WebKit` outside the home screen: cleared after seven days of use of the browser in which the app was not opened.
    SevenDays,
    /// Cleared when the device runs full.
    WhenFull,
    /// Nothing outlives this window.
    NothingKept,
}

/// The risk here. `keeps` is whether the database could be opened at all.
pub async fn risk(keeps: bool) -> Risk {
    if !keeps {
        return Risk::NothingKept;
    }
    if super::document::is_installed() || promise().await == Promise::Kept {
        return Risk::Low;
    }
    let agent = web_sys::window().and_then(|window| window.navigator().user_agent().ok());
    // No feature tells the policy, so the engine's own name has to: every WebKit says so, and no Chromium leaves out its.
    let is_webkit = agent.is_some_and(|agent| agent.contains("AppleWebKit") && !agent.contains("Chrom"));
    if is_webkit {
        Risk::SevenDays
    } else {
        Risk::WhenFull
    }
}

/// Room for this app, bytes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Taken.
    pub used: f64,
    /// All the browser gives.
    pub all: f64,
}

/// Asks the browser to keep our data, and says what it answered.
pub async fn ask_to_keep() -> Promise {
    let Some(manager) = manager() else {
        return Promise::NotSaid;
    };
    let asked = match manager.persist() {
        Ok(promise) => JsFuture::from(promise).await.ok(),
        Err(_) => None,
    };
    said(asked.as_ref())
}

/// What the browser promises now, without asking for more.
pub async fn promise() -> Promise {
    let Some(manager) = manager() else {
        return Promise::NotSaid;
    };
    let answer = match manager.persisted() {
        Ok(promise) => JsFuture::from(promise).await.ok(),
        Err(_) => None,
    };
    said(answer.as_ref())
}

/// How much room there is, where the browser says.
pub async fn room() -> Option<Room> {
    let estimate = JsFuture::from(manager()?.estimate().ok()?).await.ok()?;
    let number = |name: &str| {
        js_sys::Reflect::get(&estimate, &JsValue::from_str(name))
            .ok()?
            .as_f64()
    };
    Some(Room {
        used: number("usage")?,
        all: number("quota")?,
    })
}

fn said(answer: Option<&JsValue>) -> Promise {
    match answer.and_then(JsValue::as_bool) {
        Some(true) => Promise::Kept,
        Some(false) => Promise::WhileRoom,
        None => Promise::NotSaid,
    }
}

/// The storage manager is missing outside a secure context and in old engines.
fn manager() -> Option<web_sys::StorageManager> {
    let navigator = web_sys::window()?.navigator();
    let there = js_sys::Reflect::get(&navigator, &JsValue::from_str("storage")).ok()?;
    if there.is_undefined() {
        None
    } else {
        Some(navigator.storage())
    }
}
