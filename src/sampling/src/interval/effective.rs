//! Intervals for a share on its effective sample size, as the survey literature has them.
//!
//! All take the share `p` strictly between 0 and 1, its design variance `v > 0` and the design's degrees of freedom.
//! At 0 or 1 the design variance is 0 and none of them means anything: use [`super::blended`] there.

use super::{Limits, binomial::wilson_with, tail};
use crate::math::{beta_quantile, exp, ln, t_quantile};

/// Symmetric on the log odds: `logit(p) -/+ t sqrt(v) / (p (1 - p))`, carried back.
///
/// ```
/// use sampling::interval::effective::logit;
/// let limits = logit(0.2, 0.0016, 30.0, 0.95);
/// assert!(limits.low > 0.0 && limits.low < 0.2 && limits.high > 0.2);
/// // As far from the share on the log odds either way.
/// let odds = |p: f64| (p / (1.0 - p)).ln();
/// assert!((odds(limits.high) + odds(limits.low) - 2.0 * odds(0.2)).abs() < 1e-9);
/// ```
#[must_use]
pub fn logit(p: f64, v: f64, df: f64, level: f64) -> Limits {
    let half = t_quantile(1.0 - tail(level), df) * v.sqrt() / (p * (1.0 - p));
    let odds = ln(p / (1.0 - p));
    let share = |x: f64| 1.0 / (1.0 + exp(-x));
    Limits {
        low: share(odds - half),
        high: share(odds + half),
    }
}

/// Korn and Graubard 1998: Clopper-Pearson on `p (1 - p) / v` items, scaled by the squared ratio of the t quantiles for
/// `rows - 1` and `df` degrees of freedom; `rows` is the number of item rows, unknown answers among them. The effective
/// size is not held to at most `rows`, as in the original.
///
/// ```
/// use sampling::interval::{binomial::clopper_pearson, effective::korn_graubard};
/// // With as much variance and as many degrees of freedom as 60 independent items have, it is Clopper and Pearson's.
/// let (made, plain) = (korn_graubard(0.2, 0.16 / 60.0, 59.0, 60.0, 0.95), clopper_pearson(12.0, 60.0, 0.95));
/// assert!((made.low - plain.low).abs() < 1e-9 && (made.high - plain.high).abs() < 1e-9);
/// ```
#[must_use]
pub fn korn_graubard(p: f64, v: f64, df: f64, rows: f64, level: f64) -> Limits {
    let a = tail(level);
    let ratio = t_quantile(a, rows - 1.0) / t_quantile(a, df);
    let n = p * (1.0 - p) / v * ratio * ratio;
    Limits {
        low: beta_quantile(a, n * p, n * (1.0 - p) + 1.0),
        high: beta_quantile(1.0 - a, n * p + 1.0, n * (1.0 - p)),
    }
}

/// Wilson on `p (1 - p) / v` items, with the t quantile.
///
/// ```
/// use sampling::interval::{binomial, effective::wilson};
/// // With degrees of freedom without end it is Wilson's on the effective items, 60 here.
/// let (made, plain) = (wilson(0.2, 0.16 / 60.0, 1e9, 0.95), binomial::wilson(12.0, 60.0, 0.95));
/// assert!((made.low - plain.low).abs() < 1e-6 && (made.high - plain.high).abs() < 1e-6);
/// ```
#[must_use]
pub fn wilson(p: f64, v: f64, df: f64, level: f64) -> Limits {
    wilson_with(p, p * (1.0 - p) / v, t_quantile(1.0 - tail(level), df))
}
