//! Sample sizes by formula (Cochran 1977, section 4.4).

/// The number of items for a share `p` to within `d`, for the normal quantile `z` (1.96 for 95%): `z^2 p (1 - p) / d^2`, times
/// the design effect, then `n0 / (1 + (n0 - 1) / N)` for a population of `N` items. Not rounded: round up.
///
/// ```
/// let n = sampling::plan::size::items_for_share(0.5, 0.05, 2.0, 1.0, Some(3200.0));
/// assert!((n - 355.654348430119).abs() < 1e-9);
/// ```
#[must_use]
pub fn items_for_share(p: f64, d: f64, z: f64, design_effect: f64, population: Option<f64>) -> f64 {
    with_fpc(z * z * p * (1.0 - p) / (d * d) * design_effect, population)
}

/// The number of units for a total or mean to within the part `error` of itself, its units varying by `cv`:
/// `(z cv / error)^2`, times the design effect, with the finite population correction.
///
/// ```
/// use sampling::plan::size::units_for_total;
/// assert_eq!(units_for_total(0.5, 0.1, 2.0, 1.0, None), 100.0); // (2 * 0.5 / 0.1)^2
/// assert_eq!(units_for_total(0.5, 0.1, 2.0, 1.0, Some(100.0)), 50.0);
/// ```
#[must_use]
pub fn units_for_total(cv: f64, error: f64, z: f64, design_effect: f64, population: Option<f64>) -> f64 {
    let ratio = z * cv / error;
    // (1 - n / N) / n = 1 / n0 is solved by n = n0 / (1 + n0 / N).
    let n0 = ratio * ratio * design_effect;
    population.map_or(n0, |all| n0 / (1.0 + n0 / all))
}

fn with_fpc(n0: f64, population: Option<f64>) -> f64 {
    population.map_or(n0, |all| n0 / (1.0 + (n0 - 1.0) / all))
}

/// The design effect of boxes of `items` items whose answers have correlation `r`: `1 + (items - 1) r` (Kish 1965).
///
/// ```
/// use sampling::plan::size::design_effect;
/// assert_eq!(design_effect(11.0, 0.2), 3.0);
/// assert_eq!(design_effect(1.0, 0.2), 1.0); // One item a box.
/// ```
#[must_use]
pub fn design_effect(items: f64, r: f64) -> f64 {
    1.0 + (items - 1.0) * r
}
