//! Intervals for a share on its effective sample size, as the survey literature has them.
//!
//! All take the share `p` strictly between 0 and 1, its design variance `v > 0` and the design's degrees of freedom.
//! At 0 or 1 the design variance is 0 and none of them means anything: use [`super::blended`] there.

use super::{Limits, binomial::wilson_with, tail};
use crate::math::{beta_quantile, exp, ln, t_quantile};

/// Symmetric on the log odds: `logit(p) -/+ t sqrt(v) / (p (1 - p))`, carried back.
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
#[must_use]
pub fn wilson(p: f64, v: f64, df: f64, level: f64) -> Limits {
    wilson_with(p, p * (1.0 - p) / v, t_quantile(1.0 - tail(level), df))
}
