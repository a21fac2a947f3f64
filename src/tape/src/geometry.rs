//! Length and time from what can be measured. Units in the names: mm, µm (microns), m, cm/s, minutes.

use std::f64::consts::FRAC_PI_4;

/// Metres in a foot, exact.
pub const METRES_PER_FOOT: f64 = 0.3048;

/// Length in metres of tape of the given whole thickness wound from the hub to the pack's outer diameter:
/// wound area over thickness, `π/4 (D² - d²) / t`, where 1 mm² per µm is 1 m. Nothing for impossible measures.
pub fn length_m(pack_mm: f64, hub_mm: f64, thickness_microns: f64) -> Option<f64> {
    let sound = hub_mm > 0.0 && pack_mm >= hub_mm && thickness_microns > 0.0 && pack_mm.is_finite();
    sound.then(|| FRAC_PI_4 * (pack_mm * pack_mm - hub_mm * hub_mm) / thickness_microns)
}

/// The part of a full pack that a smaller pack holds: `(x² - d²) / (D² - d²)`, within 0 and 1.
/// Nothing for impossible measures.
pub fn part_of_full(pack_mm: f64, full_mm: f64, hub_mm: f64) -> Option<f64> {
    let sound = hub_mm > 0.0 && full_mm > hub_mm && pack_mm >= 0.0 && pack_mm.is_finite();
    let hub = hub_mm * hub_mm;
    sound.then(|| ((pack_mm * pack_mm - hub) / (full_mm * full_mm - hub)).clamp(0.0, 1.0))
}

/// Pack diameter in mm of the given length: the inverse of [`length_m`].
pub fn pack_mm(length_m: f64, hub_mm: f64, thickness_microns: f64) -> Option<f64> {
    let sound = length_m >= 0.0 && hub_mm > 0.0 && thickness_microns > 0.0 && length_m.is_finite();
    sound.then(|| (length_m * thickness_microns / FRAC_PI_4 + hub_mm * hub_mm).sqrt())
}

/// Minutes of one pass: length over speed.
pub fn minutes(length_m: f64, speed_cm_s: f64) -> Option<f64> {
    (length_m >= 0.0 && speed_cm_s > 0.0).then(|| length_m * 100.0 / speed_cm_s / 60.0)
}
