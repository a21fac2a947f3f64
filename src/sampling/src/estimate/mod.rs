//! Totals, means and shares, with their standard errors and limits.
//!
//! Everything is computed for a [`Part`](crate::design::Part): the whole sample or one stratum. Of the unknown answers, those of stopped boxes
//! are never assumed to be like the others; the rest are like the known ones of their stratum (missing at random within it), and the
//! method's name says so where there are any, as it does where a stratum has too few known ones to stand for itself. How far all of
//! them could move a share is [`bounds`].

mod bounds;
mod boxes;
mod caution;
mod count;
mod filled;
mod known;
mod many;
mod missing;
mod share;
mod tally;
mod total;

pub use bounds::{Bounds, bounds, bounds_alone, unknown_share};
pub use boxes::{BoxCount, boxes_at_most, boxes_with};
pub use caution::Caution;
pub use count::{count, count_of, share_and_count};
pub use many::Many;
pub use share::{box_answers, domain_mean, mean, share};
pub use total::{domain_total, items, total};

pub(crate) use count::product;
pub(crate) use missing::{STOPPED, missing_boxes, missing_in_all};
pub(crate) use share::{Sums, about, filled_mean, rises, sums};
pub(crate) use total::{Linear, linear_items, linear_total};

use crate::interval::{Kind, Limits, tail};
use crate::linear::{Lonely, VarianceError};
use crate::math::t_quantile;

/// What the estimators are asked for.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::estimate::{self, Options};
/// use sampling::interval::Kind;
/// let narrower = Options { level: 0.8, interval: Kind::Wilson, ..Options::default() };
/// let limits = |options| estimate::share(&part, &mould, options).map(|share| share.limits);
/// let (of_95, of_80) = (limits(&options)?.ok_or("none")?, limits(&narrower)?.ok_or("none")?);
/// assert!(of_95.low < of_80.low && of_80.high < of_95.high);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// The two-sided level of all limits, strictly between 0 and 1.
    pub level: f64,
    /// Which interval a share gets.
    pub interval: Kind,
    /// What to do where a single unit was drawn of several.
    pub lonely: Lonely,
    /// Whether totals are ratio totals on the boxes' known sizes instead of expansion totals.
    pub ratio_to_size: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            level: 0.95,
            interval: Kind::Default,
            lonely: Lonely::default(),
            ratio_to_size: false,
        }
    }
}

/// Why an estimate could not be made.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::{column::Column, estimate::{self, EstimateError, Options}};
/// let nothing = Column::of_answers(&design, vec![None; 8])?;
/// assert_eq!(estimate::share(&part, &nothing, &options), Err(EstimateError::NothingKnown));
/// let percent = Options { level: 95.0, ..options };
/// assert_eq!(estimate::share(&part, &mould, &percent), Err(EstimateError::Level(95.0)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EstimateError {
    /// No variance can be estimated.
    #[error(transparent)]
    Variance(#[from] VarianceError),
    /// No answer is known, or no item was found.
    #[error("nothing is known of it in the sample")]
    NothingKnown,
    /// A size is missing, or none is above zero, so that there is no ratio to it.
    #[error("a ratio total needs the size of every box: {0}")]
    NoSize(String),
    /// The level is not between 0 and 1.
    #[error("the level {0} is not between 0 and 1")]
    Level(f64),
}

/// An estimated total or mean.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let total = sampling::estimate::total(&part, &hours, &options)?;
/// assert_eq!((total.estimate, total.df), (120.0, 3.0));
/// let limits = total.limits.ok_or("no degree of freedom")?;
/// // 3.182 standard errors either way: the t quantile of three degrees of freedom.
/// assert!(((limits.high - total.estimate) / total.se - 3.182).abs() < 5e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The estimate, in the column's unit (items, for a count).
    pub estimate: f64,
    /// Its standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Limits; `None` without a degree of freedom.
    pub limits: Option<Limits>,
    /// How it was made.
    pub method: String,
}

/// An estimated share (or mean: the same thing, of a quantity).
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let share = sampling::estimate::share(&part, &mould, &options)?;
/// assert_eq!((share.estimate, share.known_items), (0.375, 8.0));
/// // Items of a box are alike, so that eight tell less than eight of eight boxes.
/// assert!(share.deff > 1.0 && share.effective_items < 8.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// The estimate.
    pub estimate: f64,
    /// Its linearised standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Design effect: its variance over that of a simple random sample of as many items without replacement.
    pub deff: f64,
    /// How many independent items the sample is worth.
    pub effective_items: f64,
    /// Items whose answer is known.
    pub known_items: f64,
    /// Limits; `None` without a degree of freedom.
    pub limits: Option<Limits>,
    /// What is to be said beside the limits; of a mean, nothing.
    pub cautions: Vec<Caution>,
    /// How it was made.
    pub method: String,
}

pub(crate) fn check(options: &Options) -> Result<(), EstimateError> {
    if options.level > 0.0 && options.level < 1.0 {
        Ok(())
    } else {
        Err(EstimateError::Level(options.level))
    }
}

pub(crate) fn t_limits(estimate: f64, se: f64, df: f64, level: f64) -> Option<Limits> {
    limits_of(estimate, se, df, || t_quantile(1.0 - tail(level), df))
}

/// Limits of `quantile` standard errors; the quantile is asked for only where it is needed.
fn limits_of(estimate: f64, se: f64, df: f64, quantile: impl FnOnce() -> f64) -> Option<Limits> {
    if se <= 0.0 {
        return Some(Limits {
            low: estimate,
            high: estimate,
        });
    }
    (df > 0.0).then(|| {
        let half = quantile() * se;
        Limits {
            low: estimate - half,
            high: estimate + half,
        }
    })
}
