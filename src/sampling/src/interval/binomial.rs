//! Intervals for `x` of `n` independent trials: the reference that design-based intervals lean on.
//!
//! They know nothing of boxes: for items that come in boxes they are too narrow.

use super::{Limits, tail};
use crate::math::{beta_quantile, normal_quantile};

/// Wilson's score interval for `x` of `n` (Wilson 1927), with the normal quantile; `n > 0`, `x` may be fractional.
///
/// ```
/// let limits = sampling::interval::binomial::wilson(12.0, 60.0, 0.95);
/// assert!((limits.low - 0.1183).abs() < 5e-5 && (limits.high - 0.3178).abs() < 5e-5);
/// ```
#[must_use]
pub fn wilson(x: f64, n: f64, level: f64) -> Limits {
    wilson_with(x / n, n, normal_quantile(1.0 - tail(level)))
}

/// Wilson's form for a share `p` of an effective `n`, with the quantile `q` of one's choice.
#[must_use]
pub(crate) fn wilson_with(p: f64, n: f64, q: f64) -> Limits {
    let square = q * q;
    let middle = p + square / (2.0 * n);
    let half = q / (2.0 * n) * (4.0 * n * p * (1.0 - p) + square).sqrt();
    let scale = 1.0 + square / n;
    let low = if p <= 0.0 { 0.0 } else { (middle - half) / scale };
    let high = if p >= 1.0 { 1.0 } else { (middle + half) / scale };
    Limits { low, high }
}

/// The exact interval of Clopper and Pearson (1934) for `x` of `n`: never under its level, often well over.
///
/// ```
/// let none_of_30 = sampling::interval::binomial::clopper_pearson(0.0, 30.0, 0.95);
/// assert!((none_of_30.high - 0.115703308222028).abs() < 1e-12);
/// ```
#[must_use]
pub fn clopper_pearson(x: f64, n: f64, level: f64) -> Limits {
    let a = tail(level);
    let low = if x <= 0.0 {
        0.0
    } else {
        beta_quantile(a, x, n - x + 1.0)
    };
    let high = if x >= n {
        1.0
    } else {
        beta_quantile(1.0 - a, x + 1.0, n - x)
    };
    Limits { low, high }
}

/// The equal-tailed Jeffreys interval for `x` of `n`, with the limit at 0 where nothing was seen and at 1 where all was
/// (Brown, Cai and others 2001).
///
/// ```
/// use sampling::interval::binomial::jeffreys;
/// // qbeta(c(.025, .975), 10.5, 40.5) in R 4.2.2.
/// let limits = jeffreys(10.0, 50.0, 0.95);
/// assert!((limits.low - 0.107734030766).abs() < 1e-10 && (limits.high - 0.325826896114).abs() < 1e-10);
/// assert_eq!(jeffreys(0.0, 50.0, 0.95).low, 0.0);
/// ```
#[must_use]
pub fn jeffreys(x: f64, n: f64, level: f64) -> Limits {
    let a = tail(level);
    let (with, without) = (x + 0.5, n - x + 0.5);
    let low = if x <= 0.0 {
        0.0
    } else {
        beta_quantile(a, with, without)
    };
    let high = if x >= n {
        1.0
    } else {
        beta_quantile(1.0 - a, with, without)
    };
    Limits { low, high }
}
