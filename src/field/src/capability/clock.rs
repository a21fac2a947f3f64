//! The wall clock. It is shown and recorded; nothing is ever decided by it.

use wasm_bindgen::JsValue;

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

/// A moment in the device's own way of writing date and time.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    reason = "milliseconds of this era fit in 53 bits"
)]
pub fn day_and_time(at_ms: u64) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(at_ms as f64));
    let day = String::from(date.to_locale_date_string("default", &JsValue::UNDEFINED));
    let time = String::from(date.to_locale_time_string("default"));
    format!("{day} {time}")
}

/// The time of day of a moment in the device's time zone, `16:05`.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    reason = "milliseconds of this era fit in 53 bits"
)]
pub fn time(at_ms: u64) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(at_ms as f64));
    format!("{:02}:{:02}", date.get_hours(), date.get_minutes())
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
