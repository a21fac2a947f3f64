//! Why no two-phase estimate could be made.

use crate::estimate::EstimateError;
use crate::linear::VarianceError;

/// Why a two-phase estimate could not be made.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::twophase::{SecondPhase, TwoPhaseError};
/// let why = SecondPhase::new(&design, &[true; 3]).unwrap_err();
/// assert_eq!(why, TwoPhaseError::Shape { given: 3, rows: 8 });
/// let one = [true, false, false, false, false, false, false, false];
/// assert_eq!(SecondPhase::new(&design, &one), Err(TwoPhaseError::LonelyClass(0)));
/// ```
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
