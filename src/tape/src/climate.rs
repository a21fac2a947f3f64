//! The air that tapes stand in: when opening a box would wet them, and when a store is too cold.

/// The least that magnetic tape should be kept at, degrees Celsius: below it the lubricant may separate from the binder.
/// Source: IASA TC-05 §3.3.
pub const COLDEST_CELSIUS: f64 = 8.0;

/// The dew point of air in degrees Celsius, from its temperature (-45 to 60 °C) and relative humidity (over 0, to 100 per
/// cent): a tape as cold as that, or colder, gets wet when its box is opened. Magnus' formula with 17.62 and 243.12 °C.
/// Nothing outside these limits.
pub fn dew_point_celsius(celsius: f64, humidity_per_cent: f64) -> Option<f64> {
    const A: f64 = 17.62;
    const B: f64 = 243.12;
    let sound = (-45.0..=60.0).contains(&celsius) && humidity_per_cent > 0.0 && humidity_per_cent <= 100.0;
    sound.then(|| {
        let gamma = libm::log(humidity_per_cent / 100.0) + A * celsius / (B + celsius);
        B * gamma / (A - gamma)
    })
}

/// Degrees Celsius of degrees Fahrenheit.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// Whether a store is colder than tape should be kept.
pub fn is_too_cold(celsius: f64) -> bool {
    celsius < COLDEST_CELSIUS
}
