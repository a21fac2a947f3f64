//! The normal distribution.

use super::{exp, ln};
use core::f64::consts::{FRAC_1_SQRT_2, PI};

/// Distribution function of the standard normal, accurate in the lower tail; use `normal_cdf(-x)` for the upper.
///
/// ```
/// use sampling::math::normal_cdf;
/// assert!((normal_cdf(1.959963984540054) - 0.975).abs() < 1e-15);
/// assert_eq!(normal_cdf(0.0), 0.5);
/// ```
#[must_use]
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// Quantile of the standard normal; `p` in (0, 1). Infinite at 0 and 1.
///
/// ```
/// assert!((sampling::math::normal_quantile(0.975) - 1.959963984540054).abs() < 1e-15);
/// ```
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if p > 0.5 {
        return -lower_quantile(1.0 - p);
    }
    lower_quantile(p)
}

/// The quantile of a `p` at most one half: Newton on the logarithm of the tail, which is concave and nearly a parabola.
fn lower_quantile(p: f64) -> f64 {
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 0.5 {
        return 0.0;
    }
    if p > 0.25 {
        return central_quantile(p - 0.5);
    }
    let target = ln(p);
    // Tail bound P(X < -t) <= exp(-t^2 / 2) / 2: starts outside, and a concave function is then approached from one side.
    let mut x = -(-2.0 * (target + core::f64::consts::LN_2)).max(0.0).sqrt();
    for _ in 0..60 {
        let tail = normal_cdf(x);
        let density = exp(-0.5 * x * x) / (2.0 * PI).sqrt();
        let step = (ln(tail) - target) * tail / density;
        x -= step;
        if step.abs() <= 4e-16 * x.abs() {
            break;
        }
    }
    x
}

/// The quantile whose probability is `half + d`, `d` small: Newton on the error function, so that `d` keeps its digits.
fn central_quantile(d: f64) -> f64 {
    let scale = (2.0 * PI).sqrt();
    let mut x = d * scale;
    for _ in 0..60 {
        let step = (0.5 * libm::erf(x * FRAC_1_SQRT_2) - d) * scale * exp(0.5 * x * x);
        x -= step;
        if step.abs() <= 4e-16 * x.abs() {
            break;
        }
    }
    x
}
