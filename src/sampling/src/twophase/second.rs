//! The second phase: which items were read, and what each stands for.

use super::TwoPhaseError;
use crate::column::{Cell, Column};
use crate::design::Design;
use crate::estimate::EstimateError;
use crate::math::sum;

/// Which items were read in the second phase, and the classes that they were drawn from.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::twophase::SecondPhase;
/// // Six of the eight items that were looked at were read again.
/// let read = [true, true, true, false, true, true, true, false];
/// assert!(SecondPhase::new(&design, &read).is_ok());
/// assert!(SecondPhase::new(&design, &[false; 8]).is_err());
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct SecondPhase<'a> {
    pub(super) design: &'a Design,
    /// Of each row.
    pub(super) class: Vec<usize>,
    /// Of each row.
    pub(super) read: Vec<bool>,
    /// First-phase weight of each row.
    pub(super) weight: Vec<f64>,
    pub(super) classes: Vec<Class>,
}

/// A class of first-phase items.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Class {
    /// Its items in the first phase, `n_g`.
    pub(super) items: f64,
    /// Of those, read in the second, `m_g`.
    pub(super) read: f64,
}

impl Class {
    /// `f_g`.
    pub(super) fn fraction(self) -> f64 {
        self.read / self.items
    }

    pub(super) fn census(self) -> bool {
        self.read >= self.items
    }
}

impl<'a> SecondPhase<'a> {
    /// A simple random sample of all first-phase items: `read` says of each row of the design whether it was read.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::twophase::{Estimator, SecondPhase, total};
    /// // All were read: the second phase is the first.
    /// let second = SecondPhase::new(&design, &[true; 8])?;
    /// let made = total(&second, &hours, Estimator::Expansion, &options)?.estimate;
    /// let one = sampling::estimate::total(&part, &hours, &options)?;
    /// assert!((made.estimate - one.estimate).abs() < 1e-9 && (made.se - one.se).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`SecondPhase::by_class`].
    pub fn new(design: &'a Design, read: &[bool]) -> Result<Self, TwoPhaseError> {
        Self::by_class(design, read, &vec![0; read.len()])
    }

    /// A simple random sample in each class: `classes` numbers the class of each row of the design, from 0.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
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
    pub(super) fn raise(&self, row: usize) -> f64 {
        1.0 / self.classes[self.class[row]].fraction()
    }

    /// `w*_k`.
    pub(super) fn full_weight(&self, row: usize) -> f64 {
        self.weight[row] * self.raise(row)
    }

    pub(super) fn read_rows(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.read.len()).filter(|row| self.read[*row])
    }

    /// `sum_s w* z`.
    pub(super) fn expanded(&self, z: &[f64]) -> f64 {
        sum(self.read_rows().map(|row| self.full_weight(row) * z[row]))
    }

    /// `sum_a w z`.
    pub(super) fn first_total(&self, z: &[f64]) -> f64 {
        sum(self.weight.iter().zip(z).map(|(w, z)| w * z))
    }

    /// The values of a column: of every row, or of the read ones (0 for others).
    pub(super) fn values(
        &self,
        column: &Column,
        all: bool,
        what: &'static str,
    ) -> Result<Vec<f64>, TwoPhaseError> {
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
