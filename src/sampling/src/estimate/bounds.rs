//! Bounds: how far what is not known could move a share.

use super::share::share_alone;
use super::tally::Tallies;
use super::{EstimateError, Options, Share, check, share};
use crate::column::Column;
use crate::design::{Design, Part};
use crate::interval::Limits;
use crate::linear::{box_totals, expand};
use std::borrow::Cow;

/// How far the unknown answers could move a share: all of them no, all of them yes.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::{column::Column, estimate};
/// let half = Column::of_answers(&design, vec![Some(true), None, Some(false), None, None, None, None, Some(false)])?;
/// let made = estimate::bounds(&part, &half, &options)?;
/// assert_eq!((made.low, made.high, made.unknown_share), (0.125, 0.75, 0.625));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The share if every unknown answer were no.
    pub low: f64,
    /// The share if every unknown answer were yes.
    pub high: f64,
    /// The lower limit of `low` and the upper limit of `high`: sampling error and the unknown together.
    pub limits: Option<Limits>,
    /// The estimated share of items whose answer is not known, boxes that were not reached among them.
    pub unknown_share: f64,
}

/// The estimated share of items of which the answer is not known, boxes that were not reached among them; `None` where the
/// sample has no items.
///
/// ```
/// # use sampling::column::Column;
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// let half = Column::of_rows(&design, [Some(1.0), None, Some(0.0), None, None, None, None, Some(0.0)].to_vec())?;
/// assert_eq!(estimate::unknown_share(&part, &half), Some(0.625));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn unknown_share(part: &Part<'_>, column: &Column) -> Option<f64> {
    let design = in_sample(part.design);
    let part = Part {
        design: &design,
        strata: part.strata.clone(),
    };
    let all = expand(&part, &box_totals(&part, |_| true, |_, _| 1.0));
    let known = Tallies::new(&part, column).known;
    // What is left of an exact 0 after rounding is not an unknown item.
    (all > 0.0).then(|| {
        if column.complete(&part) {
            0.0
        } else {
            (1.0 - known / all).max(0.0)
        }
    })
}

/// The design with its boxes that were not reached; there are mostly none.
fn in_sample(design: &Design) -> Cow<'_, Design> {
    match design.strata().iter().all(|s| s.not_reached == 0) {
        true => Cow::Borrowed(design),
        false => Cow::Owned(design.with_unreached()),
    }
}

/// How far unknown answers could move the share of a condition.
///
/// ```
/// # use sampling::column::Column;
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let half = Column::of_rows(&design, [Some(1.0), None, Some(0.0), None, None, None, None, Some(0.0)].to_vec())?;
/// let bounds = estimate::bounds(&part, &half, &options)?;
/// assert_eq!((bounds.low, bounds.high), (0.125, 0.75));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`] where the sample has no items or a variance is missing.
pub fn bounds(part: &Part<'_>, column: &Column, options: &Options) -> Result<Bounds, EstimateError> {
    bounds_by(part, column, options, &|part, column| {
        share(part, column, options)
    })
}

/// The same without limits, in half the time. Of many columns, [`Design::with_unreached`] is made once by whoever asks.
///
/// ```
/// # use sampling::column::Column;
/// # use sampling::estimate::{self, Bounds};
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let half = Column::of_rows(&design, [Some(1.0), None, Some(0.0), None, None, None, None, Some(0.0)].to_vec())?;
/// let bounds = estimate::bounds(&part, &half, &options)?;
/// assert_eq!(estimate::bounds_alone(&part, &half, &options)?, Bounds { limits: None, ..bounds });
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`bounds`].
pub fn bounds_alone(part: &Part<'_>, column: &Column, options: &Options) -> Result<Bounds, EstimateError> {
    bounds_by(part, column, options, &|part, column| {
        share_alone(part, &Tallies::new(part, column), options)
    })
}

fn bounds_by(
    part: &Part<'_>,
    column: &Column,
    options: &Options,
    share: &dyn Fn(&Part<'_>, &Column) -> Result<Share, EstimateError>,
) -> Result<Bounds, EstimateError> {
    check(options)?;
    let design = in_sample(part.design);
    let part = Part {
        design: &design,
        strata: part.strata.clone(),
    };
    if column.complete(&part) {
        let share = share(&part, column)?;
        let (low, high) = (share.estimate, share.estimate);
        return Ok(Bounds {
            low,
            high,
            limits: share.limits,
            unknown_share: 0.0,
        });
    }
    let all = expand(&part, &box_totals(&part, |_| true, |_, _| 1.0));
    if all <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let known = Tallies::new(&part, column).known;
    let low = share(&part, &column.filled(&design, 0.0))?;
    let high = share(&part, &column.filled(&design, 1.0))?;
    let limits = low.limits.zip(high.limits).map(|(l, h)| Limits {
        low: l.low,
        high: h.high,
    });
    let unknown_share = (1.0 - known / all).max(0.0);
    Ok(Bounds {
        low: low.estimate,
        high: high.estimate,
        limits,
        unknown_share,
    })
}
