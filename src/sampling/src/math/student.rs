//! Student's t distribution.

use super::beta::{quantile_pair, tails};
use super::{normal_cdf, normal_quantile};

/// Distribution function of Student's t with `df > 0` degrees of freedom (infinite: the normal).
///
/// ```
/// use sampling::math::t_cdf;
/// assert!((t_cdf(1.0, 1.0) - 0.75).abs() < 1e-14); // Cauchy's: 1/2 + atan(1) / pi.
/// ```
#[must_use]
pub fn t_cdf(t: f64, df: f64) -> f64 {
    if df.is_infinite() {
        return normal_cdf(t);
    }
    let square = t * t;
    let both = tails(0.5 * df, 0.5, df / (df + square), square / (df + square)).lower;
    if t < 0.0 { 0.5 * both } else { 1.0 - 0.5 * both }
}

/// Quantile of Student's t with `df > 0` degrees of freedom (infinite: the normal); `p` in (0, 1).
///
/// ```
/// assert!((sampling::math::t_quantile(0.975, 1.0) - 12.706204736174706).abs() < 1e-11);
/// ```
#[must_use]
pub fn t_quantile(p: f64, df: f64) -> f64 {
    if df.is_infinite() {
        return normal_quantile(p);
    }
    if p > 0.5 {
        return -lower_quantile(1.0 - p, df);
    }
    lower_quantile(p, df)
}

fn lower_quantile(p: f64, df: f64) -> f64 {
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    // P(|T| > t) is the lower tail of Beta(df / 2, 1 / 2) at df / (df + t^2).
    let (x, y) = quantile_pair(2.0 * p, 1.0 - 2.0 * p, 0.5 * df, 0.5);
    -(df * (y / x)).sqrt()
}
