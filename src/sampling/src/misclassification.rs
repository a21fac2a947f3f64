//! A share corrected for wrong answers, where a reference reading of some items tells how often answers are wrong.
//!
//! Rogan and Gladen (1978). Only a reference reading serves: two surveyors who agree may both be wrong, and their agreement
//! must not be fed in here.

use crate::interval::{Limits, tail};
use crate::math::normal_quantile;

/// How often an answer is right, from a reference reading.
///
/// ```
/// use sampling::misclassification::Accuracy;
/// // A second, true reading of 100 items: 45 of 50 with the condition had been called so, 48 of 50 without it not.
/// let made = Accuracy { sensitivity: 0.9, sensitivity_items: 50.0, specificity: 0.96, specificity_items: 50.0 };
/// assert!(made.sensitivity + made.specificity > 1.0, "better than chance");
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// Share of items with the condition that are called so.
    pub sensitivity: f64,
    /// Items with the condition, by the reference, that this rests on; infinite: known.
    pub sensitivity_items: f64,
    /// Share of items without the condition that are called so.
    pub specificity: f64,
    /// Items without the condition, by the reference, that this rests on; infinite: known.
    pub specificity_items: f64,
}

/// A corrected share.
///
/// ```
/// use sampling::interval::binomial::wilson;
/// use sampling::misclassification::{Accuracy, corrected};
/// let accuracy = Accuracy { sensitivity: 0.9, sensitivity_items: 50.0, specificity: 0.9, specificity_items: 50.0 };
/// // Fewer were called so than the wrong answers alone would give.
/// let made = corrected(0.05, 0.02, wilson(5.0, 100.0, 0.95), &accuracy, 0.95).ok_or("no better than chance")?;
/// assert!(made.raw < 0.0 && made.estimate == 0.0 && made.limits.low == 0.0 && made.limits.high > 0.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corrected {
    /// `(p + Sp - 1) / (Se + Sp - 1)`, held to 0 and 1.
    pub estimate: f64,
    /// The same, not held: under 0 or over 1 where the answers' errors alone explain more than was seen.
    pub raw: f64,
    /// Its standard error, the error rates' own uncertainty included.
    pub se: f64,
    /// Limits, held to 0 and 1.
    pub limits: Limits,
}

/// The share corrected for wrong answers.
///
/// `share` and `se` are the apparent share and its (design-based) standard error, `apparent` its limits at `level`. The
/// limits are the apparent ones, transformed, with the uncertainty of the error rates added as squared distances. `None` unless
/// the answers are better than chance (`Se + Sp > 1`).
///
/// ```
/// use sampling::interval::binomial;
/// use sampling::misclassification::{Accuracy, corrected};
/// let known = f64::INFINITY;
/// let accuracy =
///     Accuracy { sensitivity: 0.9, sensitivity_items: known, specificity: 0.9, specificity_items: known };
/// let apparent = binomial::wilson(30.0, 100.0, 0.95);
/// let made = corrected(0.3, 0.046, apparent, &accuracy, 0.95).ok_or("no better than chance")?;
/// assert!((made.estimate - 0.25).abs() < 1e-12); // (0.3 + 0.9 - 1) / (0.9 + 0.9 - 1)
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn corrected(
    share: f64,
    se: f64,
    apparent: Limits,
    accuracy: &Accuracy,
    level: f64,
) -> Option<Corrected> {
    let Accuracy {
        sensitivity,
        sensitivity_items,
        specificity,
        specificity_items,
    } = *accuracy;
    let youden = sensitivity + specificity - 1.0;
    if youden.is_nan() || youden <= 0.0 {
        return None;
    }
    let transform = |p: f64| (p + specificity - 1.0) / youden;
    let raw = transform(share);
    let held = raw.clamp(0.0, 1.0);
    // The error rates matter by the share they act on, which lies between 0 and 1 whatever the raw estimate is.
    let of_rates = raw * raw * sensitivity * (1.0 - sensitivity) / sensitivity_items
        + (1.0 - raw) * (1.0 - raw) * specificity * (1.0 - specificity) / specificity_items;
    let variance = (se * se + of_rates) / (youden * youden);
    let reach = normal_quantile(1.0 - tail(level)) * of_rates.sqrt() / youden;
    let far = |limit: f64| {
        let by_share = transform(limit) - raw;
        (by_share * by_share + reach * reach).sqrt()
    };
    let limits = Limits {
        low: (raw - far(apparent.low)).clamp(0.0, 1.0),
        high: (raw + far(apparent.high)).clamp(0.0, 1.0),
    };
    Some(Corrected {
        estimate: held,
        raw,
        se: variance.sqrt(),
        limits,
    })
}
