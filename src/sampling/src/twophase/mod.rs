//! Two-phase (double) samples: a cheap look at many items, a true reading of some of them.
//!
//! The first phase is a [`Design`](crate::design::Design): items of boxes, each with what is cheaply known of it (the duration on its label, a quick
//! look). The second is a simple random sample of those items, of all alike or within classes that the first phase told apart
//! ([`SecondPhase`]); it brings what one wants to know (the duration found in the transfer). Boxes can be the units too: give each
//! box as one item, its size the cheap look, its total the true reading.
//!
//! With `w_k` the weight of item k in the first phase, `f_g = m_g / n_g` the part of its class that was read, `w*_k = w_k / f_g`,
//! sums over the read items s or all first-phase items a, and `g_k` a factor of the estimator, the total is `sum_s w*_k g_k y_k`:
//!
//! ```text
//! expansion    g_k = 1                                                       e_k = y_k
//! ratio        g_k = sum_a w x / sum_s w* x                                  e_k = y_k - x_k sum_s w* y / sum_s w* x
//! regression   g_k = sum_a w / sum_s w* + d' S^-1 (x_k - x_s)                e_k = y_k - y_s - b' (x_k - x_s)
//! ```
//!
//! with `y_s`, `x_s` the weighted means of the read items, `S = sum_s w* (x - x_s)(x - x_s)'`, `b = S^-1 sum_s w* (x - x_s) y` and
//! `d = sum_a w (x - x_s)`. Its variance has a part of each phase (Särndal, Swensson & Wretman 1992, sections 9.3 and 9.7; Cochran
//! 1977, chapter 12, for simple random samples). The second's is
//!
//! ```text
//! V2 = sum_g n_g^2 (1 - f_g) s_g^2(w g e) / m_g
//! ```
//!
//! The first's is the one-phase variance ([`crate::linear`]) of all first-phase values, as far as they are known: what a ratio or a
//! regression foretells (`y - e`) of every item, the rest `e` of the read ones, each product of two of them divided by the chance
//! that both are read. (All of the first phase is used, as in Rao and Sitter 1995, from memory; the textbook has the read items alone,
//! which is the same for the expansion estimator. `first.rs` says how.) It may come out below 0 by chance; the error takes it as 0 then.
//!
//! With unequal reading by class this is double sampling for stratification. A total by expansion rests on where 0 is: where first-phase
//! weights differ inside classes, a ratio to a column of ones (the first phase's number of items) is steadier.
//!
//! Not known here, and told by errors: boxes read by sub-sampling of their own in a third phase, first-phase values that are
//! missing, and a class of which a single item was read of several.

mod error;
mod first;
mod fit;
mod last;
mod second;

pub use error::TwoPhaseError;
pub use second::SecondPhase;

use crate::column::Column;
use crate::estimate::{Estimate, EstimateError, Options, t_limits};
use fit::{Fit, fit};
use last::{degrees_of_freedom, second_variance};

/// How the second phase stands for the first.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let options = sampling::estimate::Options::default();
/// use sampling::twophase::{Estimator, SecondPhase, total};
/// let read = [true, true, true, false, true, true, true, false];
/// let (second, first_looks) = (SecondPhase::new(&design, &read)?, [&hours]);
/// let by = |estimator| total(&second, &hours, estimator, &options).map(|made| made.estimate.estimate);
/// // What is known of all items already needs no second reading: the ratio to it is 1.
/// assert!((by(Estimator::Ratio(&hours))? - 120.0).abs() < 1e-9);
/// assert!((by(Estimator::Regression(&first_looks))? - 120.0).abs() < 1e-9);
/// assert!((by(Estimator::Expansion)? - 10.0 * 10.0 * 8.0 / 6.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub enum Estimator<'a> {
    /// By the numbers of items alone: the double expansion estimator; with classes, double sampling for stratification.
    Expansion,
    /// In proportion to a first-phase quantity.
    Ratio(&'a Column),
    /// Linear in first-phase quantities, with an intercept.
    Regression(&'a [&'a Column]),
}

/// A two-phase estimate and the parts of its variance.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::twophase::{Estimator, SecondPhase, total};
/// let read = [true, true, true, false, true, true, true, false];
/// let second = SecondPhase::new(&design, &read)?;
/// let made = total(&second, &hours, Estimator::Expansion, &options)?;
/// assert!((made.estimate.se - (made.first.max(0.0) + made.second).sqrt()).abs() < 1e-9);
/// // All read: no second part.
/// let all = SecondPhase::new(&design, &[true; 8])?;
/// assert_eq!(total(&all, &hours, Estimator::Expansion, &options)?.second, 0.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct TwoPhase {
    /// The estimate, in the unit of the column. Its degrees of freedom are Satterthwaite's (1946) for the two parts: boxes with
    /// read items less strata, and read items less classes and slopes.
    pub estimate: Estimate,
    /// The first phase's part of the variance: what would be left if every first-phase item were read. An unbiased estimate of it
    /// may be below 0, where the standard error takes 0.
    pub first: f64,
    /// The second phase's part.
    pub second: f64,
}

/// The total of a quantity, or the count of a condition, over the items that the first phase looked at; t limits.
///
/// `column` has to be known of every read item, the quantities of `by` of every first-phase item. Unread boxes that were stopped
/// add nothing, and the method says so.
///
/// The durations on the labels of all tapes of a sample, put right by those found in the first transfers:
///
/// ```
/// use sampling::column::Column;
/// use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::estimate::Options;
/// use sampling::twophase::{Estimator, SecondPhase, total};
/// let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
/// let design = Design::new(vec![StratumSample { frame_boxes: 40, sample, ..Default::default() }])?;
/// let labels = Column::of_rows(&design, [60.0, 30.0, 45.0, 60.0, 90.0, 60.0, 30.0, 45.0].map(Some).to_vec())?;
/// // Four were transferred: they run a little longer than their labels say.
/// let found = [Some(63.0), None, Some(46.0), None, Some(93.0), None, None, Some(48.0)];
/// let second = SecondPhase::new(&design, &found.map(|minutes| minutes.is_some()))?;
/// let found = Column::of_rows(&design, found.to_vec())?;
/// let made = total(&second, &found, Estimator::Ratio(&labels), &Options::default())?;
/// assert_eq!(made.estimate.estimate.round(), 4375.0); // 4,200 by the labels, times 250 / 240.
/// assert!(made.second < 0.01 * made.first); // What the labels do not tell is hardly anything.
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`TwoPhaseError`].
pub fn total(
    second: &SecondPhase<'_>,
    column: &Column,
    by: Estimator<'_>,
    options: &Options,
) -> Result<TwoPhase, TwoPhaseError> {
    let y = second.values(column, false, "the quantity that is estimated")?;
    let fit = fit(second, &y, by)?;
    let estimate = fit.total(second, &y);
    finished(second, estimate, &fit, ("total", by), options)
}

/// The mean of a quantity, or the share of a condition, over the items that the first phase looked at; t limits.
///
/// The expansion mean divides by the estimated items of the second phase, the others by those of the first.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let options = sampling::estimate::Options::default();
/// use sampling::twophase::{Estimator, SecondPhase, mean};
/// let second = SecondPhase::new(&design, &[true, false, true, false, true, false, true, false])?;
/// let made = mean(&second, &hours, Estimator::Expansion, &options)?;
/// assert_eq!(made.estimate.estimate, 1.5);
/// assert!(made.second > 0.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`total`].
pub fn mean(
    second: &SecondPhase<'_>,
    column: &Column,
    by: Estimator<'_>,
    options: &Options,
) -> Result<TwoPhase, TwoPhaseError> {
    let y = second.values(column, false, "the quantity that is estimated")?;
    let fit = fit(second, &y, by)?;
    let ones = vec![1.0; y.len()];
    let of_read = matches!(by, Estimator::Expansion);
    let items = if of_read {
        second.expanded(&ones)
    } else {
        second.first_total(&ones)
    };
    let mean = fit.total(second, &y) / items;
    let linear = fit.about(mean, items, of_read);
    finished(second, mean, &linear, ("mean", by), options)
}

fn finished(
    second: &SecondPhase<'_>,
    estimate: f64,
    fit: &Fit,
    (what, by): (&str, Estimator<'_>),
    options: &Options,
) -> Result<TwoPhase, TwoPhaseError> {
    if !(options.level > 0.0 && options.level < 1.0) {
        return Err(EstimateError::Level(options.level).into());
    }
    let first = first::variance_of(second, &fit.fitted, &fit.left, options.lonely)?;
    let errors: Vec<f64> = fit.left.iter().zip(&fit.factors).map(|(e, g)| g * e).collect();
    let last = second_variance(second, &errors);
    let held = first.max(0.0);
    let (variance, df) = (held + last, degrees_of_freedom(second, held, last, fit.slopes));
    if !(estimate.is_finite() && variance.is_finite()) {
        return Err(TwoPhaseError::TooLarge);
    }
    let se = variance.sqrt();
    let limits = t_limits(estimate, se, df, options.level);
    let name = match by {
        Estimator::Expansion => "expansion",
        Estimator::Ratio(_) => "ratio",
        Estimator::Regression(_) => "regression",
    };
    let words = if limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        "t limits"
    };
    let part = second.design.whole();
    let stopped = part
        .design
        .boxes()
        .iter()
        .any(|b| b.rows.is_empty() && b.items > 0.0);
    let method = format!(
        "two-phase {name} {what}, linearised in both phases, {words}{}{}",
        if stopped { crate::estimate::STOPPED } else { "" },
        crate::estimate::missing_boxes(&part)
    );
    Ok(TwoPhase {
        estimate: Estimate {
            estimate,
            se,
            df,
            limits,
            method,
        },
        first,
        second: last,
    })
}
