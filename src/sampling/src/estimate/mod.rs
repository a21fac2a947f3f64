//! Totals, means and shares, with their standard errors and limits.
//!
//! Everything is computed for a [`Part`](crate::design::Part): the whole sample or one stratum. Of the unknown answers, those of stopped boxes
//! are never assumed to be like the others; the rest are (missing at random within what is known), and the method's name
//! says so where there are any. How far all of them could move a share is [`bounds`].

mod bounds;
mod boxes;
mod caution;
mod count;
mod many;
mod missing;
mod share;
mod tally;
mod total;
mod whole;

pub use bounds::{Bounds, bounds, unknown_share};
pub use boxes::{BoxCount, boxes_at_most, boxes_with};
pub use caution::Caution;
pub use count::{count, count_of};
pub use many::Many;
pub use share::{box_answers, domain_mean, mean, share};
pub use total::{domain_total, items, total};

pub(crate) use count::product;
pub(crate) use missing::{STOPPED, missing_boxes};
pub(crate) use share::{Sums, about, sums};
pub(crate) use total::{Linear, linear_items, linear_total};

use crate::interval::{Kind, Limits, tail};
use crate::linear::{Lonely, VarianceError};
use crate::math::t_quantile;

/// What the estimators are asked for.
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
