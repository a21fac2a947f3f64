//! The wall clock. It is shown and recorded; nothing is ever decided by it.

use wasm_bindgen::JsValue;

use super::document;

/// Milliseconds since 1970 UTC, as this device believes.
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to whole numbers from 0 to 2^53"
)]
pub fn now_ms() -> u64 {
    js_sys::Date::now().clamp(0.0, 9_007_199_254_740_992.0) as u64
}

/// A moment as it is written in the page's language and the browser's region.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    reason = "milliseconds of this era fit in 53 bits"
)]
pub fn day_and_time(at_ms: u64) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(at_ms as f64));
    let locale = document::locale();
    let day = String::from(date.to_locale_date_string(&locale, &JsValue::UNDEFINED));
    let time = String::from(date.to_locale_time_string(&locale));
    format!("{day} {time}")
}

/// The time of day of a moment in the device's time zone, `16:05` or `4:05 PM` as the page's language and the browser's
/// region have it.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    reason = "milliseconds of this era fit in 53 bits"
)]
pub fn time(at_ms: u64) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(at_ms as f64));
    let parts = js_sys::Object::new();
    for part in ["hour", "minute"] {
        // Setting a field of an object made here cannot fail.
        let _ = js_sys::Reflect::set(&parts, &part.into(), &"2-digit".into());
    }
    String::from(date.to_locale_time_string_with_options(&document::locale(), &parts))
}

/// The day of a moment as `2026-11-25`, in the device's time zone: sorts by name and means the same everywhere.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    reason = "milliseconds of this era fit in 53 bits"
)]
pub fn iso_day(at_ms: u64) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(at_ms as f64));
    format!(
        "{:04}-{:02}-{:02}",
        date.get_full_year(),
        date.get_month() + 1,
        date.get_date()
    )
}

/// The hour of a moment on this device's wall, 0 to 23.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    reason = "milliseconds of this era fit in 53 bits"
)]
pub fn hour(at_ms: u64) -> u32 {
    js_sys::Date::new(&JsValue::from_f64(at_ms as f64)).get_hours()
}
