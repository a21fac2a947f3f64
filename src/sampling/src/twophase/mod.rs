//! Two-phase (double) samples: a cheap look at many items, a true reading of some of them.
//!
//! The first phase is a [`Design`]: items of boxes, each with what is cheaply known of it (the duration on its label, a quick
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

mod first;
mod fit;

use crate::column::{Cell, Column};
use crate::design::Design;
use crate::estimate::{Estimate, EstimateError, Options, t_limits};
use crate::linear::VarianceError;
use crate::math::{Total, sum};
use fit::{Fit, fit};

/// Which items were read in the second phase, and the classes that they were drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct SecondPhase<'a> {
    design: &'a Design,
    /// Of each row.
    class: Vec<usize>,
    /// Of each row.
    read: Vec<bool>,
    /// First-phase weight of each row.
    weight: Vec<f64>,
    classes: Vec<Class>,
}

/// A class of first-phase items.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Class {
    /// Its items in the first phase, `n_g`.
    items: f64,
    /// Of those, read in the second, `m_g`.
    read: f64,
}

impl Class {
    /// `f_g`.
    fn fraction(self) -> f64 {
        self.read / self.items
    }

    fn census(self) -> bool {
        self.read >= self.items
    }
}

/// How the second phase stands for the first.
#[derive(Clone, Copy, Debug)]
pub enum Estimator<'a> {
    /// By the numbers of items alone: the double expansion estimator; with classes, double sampling for stratification.
    Expansion,
    /// In proportion to a first-phase quantity.
    Ratio(&'a Column),
    /// Linear in first-phase quantities, with an intercept.
    Regression(&'a [&'a Column]),
}

/// Why a two-phase estimate could not be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TwoPhaseError {
    /// The lists do not fit the design.
    #[error("{given} entries were given, and the design has {rows} rows")]
    Shape {
        /// Entries given.
        given: usize,
        /// Rows of the design.
        rows: usize,
    },
    /// A class has items, and none was read.
    #[error("no item of class {0} was read: read some, or merge it with another class")]
    NothingRead(usize),
    /// A class has one item that was read, of several.
    #[error(
        "a single item of class {0} was read, of several: it has no variance of its own; merge it with another class"
    )]
    LonelyClass(usize),
    /// A box that was not stopped has items, and no row of the first phase.
    #[error("box {0:?} has items and no row: the first phase has to look at items one by one")]
    NoRows(String),
    /// An item that has to be known is not.
    #[error("row {row} (box {id:?}) has no value of {what}")]
    Missing {
        /// Row of the design, from 0.
        row: usize,
        /// Its box.
        id: String,
        /// `the quantity that is estimated`, or `a first-phase quantity`.
        what: &'static str,
    },
    /// The first-phase quantity is 0 over the read items, or less: there is no ratio to it.
    #[error("the first-phase quantity adds up to {0} over the items that were read: there is no ratio to it")]
    NoRatio(f64),
    /// A first-phase quantity says nothing that the others do not say, or there are more of them than items read.
    #[error("first-phase quantity {0} is constant or made of the others: leave it out")]
    Collinear(usize),
    /// A sum is no finite number any more.
    #[error("the values are too large to be computed with")]
    TooLarge,
    /// The level is wrong, nothing is known, or the first phase has no variance.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}

impl From<VarianceError> for TwoPhaseError {
    fn from(why: VarianceError) -> Self {
        Self::Estimate(why.into())
    }
}

/// A two-phase estimate and the parts of its variance.
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

impl<'a> SecondPhase<'a> {
    /// A simple random sample of all first-phase items: `read` says of each row of the design whether it was read.
    ///
    /// # Errors
    /// As [`SecondPhase::by_class`].
    pub fn new(design: &'a Design, read: &[bool]) -> Result<Self, TwoPhaseError> {
        Self::by_class(design, read, &vec![0; read.len()])
    }

    /// A simple random sample in each class: `classes` numbers the class of each row of the design, from 0.
    ///
    /// ```
    /// # use sampling::column::Column;
    /// # use sampling::design::{BoxSample, Design, StratumSample};
    /// # use sampling::estimate::{self, Options};
    /// # // Four of 40 boxes of two items each.
    /// # let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
    /// # let design = Design::new(vec![StratumSample { key: "shelf".into(), frame_boxes: 40, sample, ..Default::default() }])?;
    /// # let mould = Column::of_rows(&design, [1.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0].map(Some).to_vec())?;
    /// # let hours = Column::of_rows(&design, [1.0, 2.0, 1.0, 1.0, 3.0, 2.0, 1.0, 1.0].map(Some).to_vec())?;
    /// # let part = design.whole();
    /// # let options = Options::default();
    /// use sampling::twophase::{Estimator, SecondPhase, total};
    /// // Of the items without mould half were read again, of the three with mould all.
    /// let classes = [1, 0, 0, 0, 1, 1, 0, 0];
    /// let read = [true, true, true, false, true, true, true, false];
    /// let second = SecondPhase::by_class(&design, &read, &classes)?;
    /// let made = total(&second, &hours, Estimator::Expansion, &options)?;
    /// // 6 hours of the mouldy, 4 of three of the five others; ten boxes of the shelf for each of the four.
    /// assert!((made.estimate.estimate - 10.0 * (6.0 + 4.0 * 5.0 / 3.0)).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`TwoPhaseError::Shape`], [`TwoPhaseError::NothingRead`], [`TwoPhaseError::LonelyClass`], [`TwoPhaseError::NoRows`];
    /// [`EstimateError::NothingKnown`] without a row.
    pub fn by_class(design: &'a Design, read: &[bool], classes: &[usize]) -> Result<Self, TwoPhaseError> {
        let rows = design.rows();
        for given in [read.len(), classes.len()] {
            if given != rows {
                return Err(TwoPhaseError::Shape { given, rows });
            }
        }
        if rows == 0 {
            return Err(EstimateError::NothingKnown.into());
        }
        // Numbers may leave gaps, so they are numbered anew.
        let mut numbers: Vec<usize> = classes.to_vec();
        numbers.sort_unstable();
        numbers.dedup();
        let class: Vec<usize> = classes
            .iter()
            .map(|c| numbers.partition_point(|n| n < c))
            .collect();
        let mut made = vec![Class::default(); numbers.len()];
        for (class, read) in class.iter().zip(read) {
            made[*class].items += 1.0;
            made[*class].read += f64::from(u8::from(*read));
        }
        for (class, number) in made.iter().zip(numbers) {
            if class.read <= 0.0 {
                return Err(TwoPhaseError::NothingRead(number));
            }
            if class.read <= 1.0 && !class.census() {
                return Err(TwoPhaseError::LonelyClass(number));
            }
        }
        let mut weight = vec![0.0; rows];
        for sampled in design.boxes() {
            if sampled.rows.is_empty() && sampled.items > 0.0 && !sampled.withheld() {
                return Err(TwoPhaseError::NoRows(sampled.id.clone()));
            }
            let own = design.strata()[sampled.stratum].weight() * sampled.items / sampled.rows.len() as f64;
            weight[sampled.rows.clone()].fill(own);
        }
        Ok(Self {
            design,
            class,
            read: read.to_vec(),
            weight,
            classes: made,
        })
    }

    /// `1 / f_g` of a row's class.
    fn raise(&self, row: usize) -> f64 {
        1.0 / self.classes[self.class[row]].fraction()
    }

    /// `w*_k`.
    fn full_weight(&self, row: usize) -> f64 {
        self.weight[row] * self.raise(row)
    }

    fn read_rows(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.read.len()).filter(|row| self.read[*row])
    }

    /// `sum_s w* z`.
    fn expanded(&self, z: &[f64]) -> f64 {
        sum(self.read_rows().map(|row| self.full_weight(row) * z[row]))
    }

    /// `sum_a w z`.
    fn first_total(&self, z: &[f64]) -> f64 {
        sum(self.weight.iter().zip(z).map(|(w, z)| w * z))
    }

    /// The values of a column: of every row, or of the read ones (0 for others).
    fn values(&self, column: &Column, all: bool, what: &'static str) -> Result<Vec<f64>, TwoPhaseError> {
        let mut made = vec![0.0; self.read.len()];
        for (b, sampled) in self.design.boxes().iter().enumerate() {
            for row in sampled.rows.clone().filter(|row| all || self.read[*row]) {
                made[row] = match column.cell(self.design, b, Some(row)) {
                    Cell::Known(value) => value,
                    Cell::Unknown | Cell::Withheld => {
                        let id = sampled.id.clone();
                        return Err(TwoPhaseError::Missing { row, id, what });
                    }
                };
            }
        }
        Ok(made)
    }
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
/// # use sampling::column::Column;
/// # use sampling::design::{BoxSample, Design, StratumSample};
/// # use sampling::estimate::{self, Options};
/// # // Four of 40 boxes of two items each.
/// # let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
/// # let design = Design::new(vec![StratumSample { key: "shelf".into(), frame_boxes: 40, sample, ..Default::default() }])?;
/// # let mould = Column::of_rows(&design, [1.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0].map(Some).to_vec())?;
/// # let hours = Column::of_rows(&design, [1.0, 2.0, 1.0, 1.0, 3.0, 2.0, 1.0, 1.0].map(Some).to_vec())?;
/// # let part = design.whole();
/// # let options = Options::default();
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

/// `sum_g n_g^2 (1 - f_g) s_g^2(w z) / m_g`.
fn second_variance(second: &SecondPhase<'_>, z: &[f64]) -> f64 {
    let mut means = vec![Total::default(); second.classes.len()];
    for row in second.read_rows() {
        means[second.class[row]].add(second.weight[row] * z[row]);
    }
    let mut squares = vec![Total::default(); second.classes.len()];
    for row in second.read_rows() {
        let class = second.class[row];
        let off = second.weight[row] * z[row] - means[class].value() / second.classes[class].read;
        squares[class].add(off * off);
    }
    let parts = second
        .classes
        .iter()
        .zip(&squares)
        .filter(|(class, _)| !class.census());
    sum(parts.map(|(class, squares)| {
        let spread = squares.value() / (class.read - 1.0);
        class.items * class.items * (1.0 - class.fraction()) * spread / class.read
    }))
}

fn degrees_of_freedom(second: &SecondPhase<'_>, first: f64, last: f64, slopes: usize) -> f64 {
    let part = second.design.whole();
    if second.classes.iter().all(|class| class.census()) {
        return part.degrees_of_freedom();
    }
    // A box that holds nothing is known as well as one that was read.
    let known = |h: usize| {
        let own = second.design.strata()[h].boxes.clone();
        own.filter(|b| {
            let sampled = &second.design.boxes()[*b];
            sampled.reached() && (sampled.rows.is_empty() || sampled.rows.clone().any(|row| second.read[row]))
        })
        .count()
    };
    let boxes: usize = (0..second.design.strata().len())
        .map(|h| known(h).saturating_sub(1))
        .sum();
    let open = second.classes.iter().filter(|class| !class.census());
    let items = sum(open.map(|class| class.read - 1.0)) - slopes as f64;
    let share = |v: f64, df: f64| if v > 0.0 { v * v / df.max(0.0) } else { 0.0 };
    let below = share(first, boxes as f64) + share(last, items);
    if below > 0.0 {
        (first + last) * (first + last) / below
    } else {
        boxes as f64
    }
}
