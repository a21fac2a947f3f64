//! A reel seen from its side, with as much tape on it as there is of something.

use leptos::prelude::*;

/// Radii in pixels: of the hub, and of a full reel.
const HUB: f64 = 5.0;
const FULL: f64 = 13.0;

/// The picture; what it shows is said in words elsewhere.
#[component]
pub fn Reel(
    /// From 0, empty, to 1, full.
    #[prop(into)]
    full: Signal<f64>,
) -> impl IntoView {
    view! {
        <svg class="reel" viewBox="0 0 32 32" width="28" height="28" aria-hidden="true" focusable="false">
            <circle class="rim" cx="16" cy="16" r="15" />
            <circle class="wound" cx="16" cy="16" r=move || tenths(radius(full.get())) />
            <circle class="hub" cx="16" cy="16" r="3.5" />
        </svg>
    }
}

/// The pack's radius: the length of tape on a reel goes with the area of its side.
fn radius(full: f64) -> f64 {
    let full = if full.is_finite() {
        full.clamp(0.0, 1.0)
    } else {
        0.0
    };
    sampling::math::sqrt(HUB * HUB + full * (FULL * FULL - HUB * HUB))
}

/// A number of pixels with one decimal; made of whole numbers, which takes less code than a number's decimals do.
fn tenths(pixels: f64) -> String {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a radius, at most that of a full reel"
    )]
    let tenths = (pixels * 10.0).round() as u32;
    format!("{}.{}", tenths / 10, tenths % 10)
}

#[cfg(test)]
mod tests {
    use super::{FULL, HUB, radius, tenths};

    #[test]
    fn a_radius_is_written_with_one_decimal() {
        assert_eq!([HUB, 7.25, 12.96].map(tenths), ["5.0", "7.3", "13.0"]);
    }

    #[test]
    fn the_pack_grows_with_its_area_and_stays_on_the_reel() {
        assert!((radius(0.0) - HUB).abs() < 1e-9 && (radius(1.0) - FULL).abs() < 1e-9);
        let area = |full| radius(full) * radius(full);
        assert!((area(0.5) - area(0.0) - (area(1.0) - area(0.5))).abs() < 1e-9);
        for odd in [f64::NAN, f64::INFINITY, -1.0, 2.0] {
            assert!((HUB..=FULL).contains(&radius(odd)));
        }
    }
}
