//! Post-stratified estimates: where it is known how many items of each class there are (from a count of the whole, say), though
//! the draw did not go by class.
//!
//! With `N_g` known items of class g, and `R_g` the mean of the class in the sample (a ratio of expansion totals), the total is
//! `sum_g N_g R_g` and its linearised variable `N_g (y - R_g) / N^_g` for an item of class g, `N^_g` the estimated number of its
//! items (Särndal, Swensson & Wretman 1992, section 7.6). What a class has more or less of than its share in the sample no
//! longer adds to the error; what differs inside classes does.

use crate::column::Column;
use crate::contrast::{Linearised, mean_of};
use crate::design::Part;
use crate::estimate::{Estimate, EstimateError, Options, t_limits};

/// A class of items.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::poststratified::{Class, mean};
/// // It is known from a count that 20 items of the shelf are mouldy, of 80.
/// let others = mould.combined(&design, &mould, |mould, _| Some(1.0 - mould?));
/// let classes = [Class { members: &mould, items: 20.0 }, Class { members: &others, items: 60.0 }];
/// assert!((mean(&part, &mould, &classes, &options)?.estimate - 0.25).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Class<'a> {
    /// 1 for its items, 0 for others; an item of which it is unknown is in no class.
    pub members: &'a Column,
    /// How many items it has in the whole part, known from elsewhere.
    pub items: f64,
}

/// A total over classes of known size. No item may be in two classes, and each should be in one: an item in none is left out,
/// as one with an unknown value is, which assumes that it is like the others of its class.
///
/// ```
/// use sampling::column::Column;
/// use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::estimate::Options;
/// use sampling::poststratified::{Class, total};
/// let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
/// let shelf = StratumSample { frame_boxes: 40, sample, ..Default::default() };
/// let design = Design::new(vec![shelf])?;
/// let column = |values: [f64; 8]| Column::of_rows(&design, values.map(Some).to_vec());
/// let hours = column([1.0, 0.5, 1.0, 0.5, 1.0, 1.0, 0.5, 0.5])?;
/// let long = column([1.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.0, 0.0])?;
/// let short = column([0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 1.0, 1.0])?;
/// let classes = [Class { members: &long, items: 30.0 }, Class { members: &short, items: 50.0 }];
/// let made = total(&design.whole(), &hours, &classes, &Options::default())?;
/// assert_eq!((made.estimate, made.se), (55.0, 0.0)); // The classes say it all here.
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError::NothingKnown`] where a class with items has none in the sample or there is no class;
/// [`EstimateError::Variance`].
pub fn total(
    part: &Part<'_>,
    column: &Column,
    classes: &[Class<'_>],
    options: &Options,
) -> Result<Estimate, EstimateError> {
    finished(part, linearised(part, column, classes, 1.0)?, "total", options)
}

/// A mean (or share) over classes of known size: the total over the number of items.
///
/// ```
/// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::poststratified::{Class, mean};
/// let others = mould.combined(&design, &mould, |mould, _| Some(1.0 - mould?));
/// let classes = [Class { members: &mould, items: 20.0 }, Class { members: &others, items: 60.0 }];
/// // 2 hours of a mouldy item, 1.2 of another.
/// assert!((mean(&part, &hours, &classes, &options)?.estimate - (20.0 * 2.0 + 60.0 * 1.2) / 80.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`total`].
pub fn mean(
    part: &Part<'_>,
    column: &Column,
    classes: &[Class<'_>],
    options: &Options,
) -> Result<Estimate, EstimateError> {
    let items = crate::math::sum(classes.iter().map(|class| class.items));
    if items <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    finished(part, linearised(part, column, classes, items)?, "mean", options)
}

/// The total over `divisor`.
fn linearised(
    part: &Part<'_>,
    column: &Column,
    classes: &[Class<'_>],
    divisor: f64,
) -> Result<Linearised, EstimateError> {
    let mut made: Option<Linearised> = None;
    for class in classes.iter().filter(|class| class.items > 0.0) {
        let factor = class.items / divisor;
        let of_class = mean_of(part, column, Some(class.members))?;
        // Begun from the first class less itself: nothing, in the shape of the rest.
        let before = made.unwrap_or_else(|| of_class.plus(part, -1.0, &of_class));
        made = Some(before.plus(part, factor, &of_class));
    }
    made.ok_or(EstimateError::NothingKnown)
}

fn finished(
    part: &Part<'_>,
    made: Linearised,
    what: &str,
    options: &Options,
) -> Result<Estimate, EstimateError> {
    if !(options.level > 0.0 && options.level < 1.0) {
        return Err(EstimateError::Level(options.level));
    }
    let (se, df) = (made.variance(part, options)?.sqrt(), part.degrees_of_freedom());
    Ok(Estimate {
        estimate: made.estimate,
        se,
        df,
        limits: t_limits(made.estimate, se, df, options.level),
        method: format!("post-stratified {what}, linearised, t limits"),
    })
}
