//! One column of answers: a condition (0 or 1) or a quantity, item by item, or for a whole box at once.

mod counts;

pub(crate) use counts::Counts;

use core::ops::Range;

use crate::design::{Design, Part, Status};

/// The answers to one question.
///
/// A condition is a column whose known values are 0 and 1. An answer given for a whole box stands for every item in it
/// and takes the place of the box's rows.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::column::{Cell, Column};
/// let yes_no = Column::of_answers(&design, vec![Some(true), None, Some(false), Some(false), None, None, None, None])?;
/// assert_eq!(yes_no.cell(&design, 0, Some(0)), Cell::Known(1.0));
/// assert_eq!(yes_no.cell(&design, 0, Some(1)), Cell::Unknown);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    rows: Rows,
    /// Of each box; empty where none is answered at once.
    whole: Vec<Option<f64>>,
    boxes: usize,
    /// Only where every known answer of a row is 0 or 1.
    counts: Option<Counts>,
}

/// The answers of rows, in the form they were given in.
#[derive(Clone, Debug, PartialEq)]
enum Rows {
    Numbers(Vec<Option<f64>>),
    /// A byte a row.
    YesNo(Vec<Option<bool>>),
}

impl Rows {
    fn len(&self) -> usize {
        match self {
            Self::Numbers(rows) => rows.len(),
            Self::YesNo(rows) => rows.len(),
        }
    }

    fn get(&self, row: usize) -> Option<f64> {
        match self {
            Self::Numbers(rows) => rows[row],
            Self::YesNo(rows) => rows[row].map(|yes| f64::from(u8::from(yes))),
        }
    }

    fn of(&self, rows: Range<usize>) -> impl Iterator<Item = Option<f64>> + '_ {
        rows.map(|row| self.get(row))
    }

    /// How many rows of each box are yes, and known, unless one is neither yes nor no.
    fn counts(&self, design: &Design) -> Option<Counts> {
        match self {
            Self::Numbers(rows) => Counts::of_numbers(rows, design.runs()),
            Self::YesNo(rows) => Some(Counts::of_answers(rows, design.runs())),
        }
    }
}

/// Why a column was refused.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::column::{Column, ColumnError};
/// let short = Column::of_rows(&design, vec![Some(1.0)]);
/// assert!(matches!(short, Err(ColumnError::Shape { rows: 1, design_rows: 8, .. })));
/// let wild = Column::of_rows(&design, vec![Some(f64::NAN); 8]);
/// assert!(matches!(wild, Err(ColumnError::Value { id, .. }) if id == "0"));
/// ```
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ColumnError {
    /// The column does not fit the design.
    #[error("the column has {rows} rows and {boxes} boxes; the design has {design_rows} and {design_boxes}")]
    Shape {
        /// Rows given.
        rows: usize,
        /// Boxes given.
        boxes: usize,
        /// Rows of the design.
        design_rows: usize,
        /// Boxes of the design.
        design_boxes: usize,
    },
    /// A value is not a finite number, or so large that its square is not.
    #[error("the value {value} of box {id:?} cannot be computed with")]
    Value {
        /// The value.
        value: f64,
        /// The box it is of.
        id: String,
    },
    /// A box has an answer for all its items, and answers of single items too.
    #[error("box {id:?} has an answer for the whole box and for single items of it")]
    Both {
        /// The box's identifier.
        id: String,
    },
    /// A box that was counted and holds nothing, or that nobody reached, has an answer for all its items.
    #[error("box {id:?} has no items to answer for")]
    NoItems {
        /// The box's identifier.
        id: String,
    },
}

fn shape(design: &Design, rows: usize, boxes: usize) -> ColumnError {
    ColumnError::Shape {
        rows,
        boxes,
        design_rows: design.rows(),
        design_boxes: design.boxes().len(),
    }
}

/// Values beyond this are refused: their squares, times squared weights, have to stay finite.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::column::{Column, GREATEST_VALUE};
/// assert!(Column::of_rows(&design, vec![Some(GREATEST_VALUE); 8]).is_ok());
/// assert!(Column::of_rows(&design, vec![Some(2.0 * GREATEST_VALUE); 8]).is_err());
/// ```
pub const GREATEST_VALUE: f64 = 1e100;

/// What is known of an item, or of all items of a box.
///
/// ```
/// use sampling::column::Cell;
/// assert_eq!((Cell::Known(2.5).value(), Cell::Known(2.5).known()), (2.5, 1.0));
/// assert_eq!((Cell::Withheld.value(), Cell::Withheld.known()), (0.0, 0.0));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// The answer.
    Known(f64),
    /// Not known: missing at random if one chooses to assume so.
    Unknown,
    /// Not known because the box was stopped: never assumed to be missing at random.
    Withheld,
}

impl Cell {
    /// The value; 0 where it is not known.
    ///
    /// ```
    /// use sampling::column::Cell;
    /// assert_eq!([Cell::Known(-3.0), Cell::Unknown, Cell::Withheld].map(Cell::value), [-3.0, 0.0, 0.0]);
    /// ```
    #[must_use]
    pub fn value(self) -> f64 {
        if let Self::Known(value) = self { value } else { 0.0 }
    }

    /// 1 where it is known, else 0.
    ///
    /// ```
    /// use sampling::column::Cell;
    /// assert_eq!([Cell::Known(0.0), Cell::Unknown, Cell::Withheld].map(Cell::known), [1.0, 0.0, 0.0]);
    /// ```
    #[must_use]
    pub fn known(self) -> f64 {
        f64::from(u8::from(matches!(self, Self::Known(_))))
    }

    /// The value; nothing where it is not known.
    pub(crate) fn number(self) -> Option<f64> {
        match self {
            Self::Known(value) => Some(value),
            Self::Unknown | Self::Withheld => None,
        }
    }

    /// 1 where it is known, or unknown without a stop, else 0.
    ///
    /// ```
    /// use sampling::column::Cell;
    /// assert_eq!([Cell::Known(0.0), Cell::Unknown, Cell::Withheld].map(Cell::judged), [1.0, 1.0, 0.0]);
    /// ```
    #[must_use]
    pub fn judged(self) -> f64 {
        f64::from(u8::from(!matches!(self, Self::Withheld)))
    }
}

impl Column {
    /// A column of item answers, one for each row of the design.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::{column::Column, estimate};
    /// let minutes = Column::of_rows(&design, [60.0, 90.0, 60.0, 60.0, 45.0, 45.0, 30.0, 30.0].map(Some).to_vec())?;
    /// // Each of the four boxes stands for ten.
    /// assert_eq!(estimate::total(&part, &minutes, &options)?.estimate, 4200.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ColumnError`] if the number of rows differs from the design's or a value cannot be computed with.
    pub fn of_rows(design: &Design, rows: Vec<Option<f64>>) -> Result<Self, ColumnError> {
        Self::checked(design, Rows::Numbers(rows), Vec::new())
    }

    /// A column of item answers and of answers for whole boxes, one entry for each sampled box of the design.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// use sampling::column::{Cell, Column};
    /// // The second box was answered at once: every item of it has the condition.
    /// let mut rows = vec![Some(0.0); 8];
    /// rows[2..4].fill(None);
    /// let column = Column::new(&design, rows, vec![None, Some(1.0), None, None])?;
    /// assert_eq!(column.cell(&design, 1, None), Cell::Known(1.0));
    /// assert!(column.is_whole(&design, 1) && !column.is_whole(&design, 0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ColumnError`] if the shapes differ from the design's, a value cannot be computed with, a box is answered twice,
    /// or an answer stands for no items.
    pub fn new(
        design: &Design,
        rows: Vec<Option<f64>>,
        whole: Vec<Option<f64>>,
    ) -> Result<Self, ColumnError> {
        if whole.len() != design.boxes().len() {
            return Err(shape(design, rows.len(), whole.len()));
        }
        Self::checked(design, Rows::Numbers(rows), whole)
    }

    /// A condition, one answer for each row of the design: yes, no or not known. The same figures as of 1, 0 and nothing, from a
    /// sixteenth of the memory.
    ///
    /// ```
    /// use sampling::column::Column;
    /// use sampling::design::{BoxSample, Design, StratumSample};
    /// let sample = vec![BoxSample { id: "B1".into(), items: Some(3), rows: 3, ..Default::default() }];
    /// let design = Design::new(vec![StratumSample { frame_boxes: 9, sample, ..Default::default() }])?;
    /// let mould = Column::of_answers(&design, vec![Some(true), None, Some(false)])?;
    /// assert!(!mould.complete(&design.whole()));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ColumnError::Shape`] if the number of rows differs from the design's.
    pub fn of_answers(design: &Design, rows: Vec<Option<bool>>) -> Result<Self, ColumnError> {
        Self::checked(design, Rows::YesNo(rows), Vec::new())
    }

    /// The same with answers for whole boxes, one entry for each sampled box of the design, as [`Column::new`] takes them.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// use sampling::column::{Cell, Column};
    /// let mut rows = vec![Some(false); 8];
    /// rows[2..4].fill(None);
    /// let column = Column::of_answers_and_boxes(&design, rows, vec![None, Some(1.0), None, None])?;
    /// assert_eq!(column.cell(&design, 1, None), Cell::Known(1.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`Column::new`].
    pub fn of_answers_and_boxes(
        design: &Design,
        rows: Vec<Option<bool>>,
        whole: Vec<Option<f64>>,
    ) -> Result<Self, ColumnError> {
        if whole.len() != design.boxes().len() {
            return Err(shape(design, rows.len(), whole.len()));
        }
        Self::checked(design, Rows::YesNo(rows), whole)
    }

    fn checked(design: &Design, rows: Rows, whole: Vec<Option<f64>>) -> Result<Self, ColumnError> {
        if rows.len() != design.rows() {
            return Err(shape(design, rows.len(), design.boxes().len()));
        }
        let counts = rows.counts(design);
        let made = Self::laid_out(rows, whole, counts, design);
        // Yes and no alone, row by row: there is nothing left to refuse.
        if made.counts().is_none() {
            made.check(design)?;
        }
        Ok(made)
    }

    fn laid_out(rows: Rows, mut whole: Vec<Option<f64>>, counts: Option<Counts>, design: &Design) -> Self {
        if !whole.iter().any(Option::is_some) {
            whole = Vec::new();
        }
        Self {
            rows,
            whole,
            boxes: design.boxes().len(),
            counts,
        }
    }

    fn check(&self, design: &Design) -> Result<(), ColumnError> {
        let Self { rows, counts, .. } = self;
        for (i, b) in design.boxes().iter().enumerate() {
            let answer = self.at_once(i);
            // What is 0 or 1 can be computed with.
            let unsure = if counts.is_some() { 0..0 } else { b.rows.clone() };
            if let Some(value) = rows
                .of(unsure)
                .chain([answer])
                .flatten()
                .find(|v| !v.is_finite() || v.abs() > GREATEST_VALUE)
            {
                return Err(ColumnError::Value {
                    value,
                    id: b.id.clone(),
                });
            }
            let answered = || match &counts {
                Some(counts) => counts.of_box(i, b.rows.len()).1 > 0.0,
                None => rows.of(b.rows.clone()).any(|answer| answer.is_some()),
            };
            if answer.is_some() && answered() {
                return Err(ColumnError::Both { id: b.id.clone() });
            }
            // A stopped box that was not counted may be given the mean of empty ones: its answer holds for no items then.
            if answer.is_some() && b.items <= 0.0 && !b.imputed {
                return Err(ColumnError::NoItems { id: b.id.clone() });
            }
        }
        Ok(())
    }

    /// The answer for all items of a box.
    fn at_once(&self, b: usize) -> Option<f64> {
        self.whole.get(b).copied().flatten()
    }

    /// The answers of several samples, one after the other, for [`Design::joined`] of those in the same order.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::{column::Column, design::Design, estimate};
    /// let both = Design::joined(&[("north", &design), ("south", &design)])?;
    /// let column = Column::joined(&both, &[&mould, &mould])?;
    /// assert_eq!(estimate::count(&both.whole(), &column, &options)?.estimate, 60.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ColumnError::Shape`] if the columns are not those of the samples.
    pub fn joined(design: &Design, columns: &[&Self]) -> Result<Self, ColumnError> {
        let rows = columns
            .iter()
            .flat_map(|column| column.rows.of(0..column.rows.len()));
        let whole = columns
            .iter()
            .flat_map(|column| (0..column.boxes).map(|b| column.at_once(b)));
        Self::new(design, rows.collect(), whole.collect())
    }

    /// Whether it has the rows and the boxes of a design.
    pub(crate) fn fits(&self, design: &Design) -> bool {
        self.rows.len() == design.rows() && self.boxes == design.boxes().len()
    }

    /// Whether box `b` is answered at once, or has no rows to answer one by one.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
    /// use sampling::column::Column;
    /// let at_once = Column::new(&design, vec![None; 8], vec![Some(1.0), None, None, None])?;
    /// assert!(at_once.is_whole(&design, 0) && !mould.is_whole(&design, 0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn is_whole(&self, design: &Design, b: usize) -> bool {
        self.at_once(b).is_some() || design.boxes()[b].rows.is_empty()
    }

    /// How many rows of each box are yes, and known; only where every known answer is 0 or 1 and no box is answered at once.
    pub(crate) fn counts(&self) -> Option<&Counts> {
        self.counts.as_ref().filter(|_| self.whole.is_empty())
    }

    /// Of a box's `rows` rows: how many are known to be 1, and how many are known; only where every known answer is 0 or 1.
    pub(crate) fn counted(&self, b: usize, rows: usize) -> Option<(f64, f64)> {
        Some(self.counts.as_ref()?.of_box(b, rows))
    }

    /// What is known of row `row` of box `b`, or of the whole box.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// use sampling::column::Cell;
    /// // Row 3 is the second item of box 1.
    /// assert_eq!(hours.cell(&design, 1, Some(3)), Cell::Known(1.0));
    /// assert_eq!(hours.cell(&design, 1, None), Cell::Unknown); // Not answered at once.
    /// ```
    #[must_use]
    pub fn cell(&self, design: &Design, b: usize, row: Option<usize>) -> Cell {
        let answer = match (self.at_once(b), row) {
            (Some(value), _) => Some(value),
            (None, Some(row)) => self.rows.get(row),
            (None, None) => None,
        };
        match answer {
            Some(value) => Cell::Known(value),
            None if design.boxes()[b].status == Status::Stopped => Cell::Withheld,
            None => Cell::Unknown,
        }
    }

    /// The same column with every unknown answer given the value `filled`.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::{column::Column, estimate};
    /// let half = Column::of_answers(&design, vec![Some(true), None, Some(false), None, None, None, None, Some(false)])?;
    /// assert_eq!(estimate::mean(&part, &half.filled(&design, 0.0), &options)?.estimate, 0.125);
    /// assert_eq!(estimate::mean(&part, &half.filled(&design, 1.0), &options)?.estimate, 0.75);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn filled(&self, design: &Design, filled: f64) -> Self {
        let bits = filled.to_bits();
        if let Rows::YesNo(rows) = &self.rows
            && (bits == 0 || bits == 1.0f64.to_bits())
        {
            return self.filled_yes_no(design, rows.clone(), bits != 0);
        }
        let mut rows: Vec<Option<f64>> = self.rows.of(0..self.rows.len()).collect();
        let mut whole: Vec<Option<f64>> = (0..self.boxes).map(|b| self.at_once(b)).collect();
        for (b, sampled) in design.boxes().iter().enumerate() {
            if whole[b].is_none() && sampled.rows.is_empty() && sampled.items > 0.0 {
                whole[b] = Some(filled);
            }
            if whole[b].is_none() {
                for answer in &mut rows[sampled.rows.clone()] {
                    answer.get_or_insert(filled);
                }
            }
        }
        Self::counted_up(design, rows, whole)
    }

    /// The same of yes and no, a byte a row.
    fn filled_yes_no(&self, design: &Design, mut rows: Vec<Option<bool>>, filled: bool) -> Self {
        let mut whole: Vec<Option<f64>> = (0..self.boxes).map(|b| self.at_once(b)).collect();
        for (whole, sampled) in whole.iter_mut().zip(design.boxes()) {
            if whole.is_none() && sampled.rows.is_empty() && sampled.items > 0.0 {
                *whole = Some(f64::from(u8::from(filled)));
            }
            if whole.is_none() {
                for answer in &mut rows[sampled.rows.clone()] {
                    answer.get_or_insert(filled);
                }
            }
        }
        let lengths = || design.boxes().iter().map(|sampled| sampled.rows.len());
        let open = lengths().zip(&whole).map(|(rows, whole)| (rows, whole.is_none()));
        let counts = self.counts.as_ref().map(|counts| counts.filled(open, filled));
        Self::laid_out(Rows::YesNo(rows), whole, counts, design)
    }

    fn counted_up(design: &Design, rows: Vec<Option<f64>>, whole: Vec<Option<f64>>) -> Self {
        let rows = Rows::Numbers(rows);
        let counts = rows.counts(design);
        Self::laid_out(rows, whole, counts, design)
    }

    /// A new column made answer by answer from this one and another; an answer for a whole box stands for each of its rows.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::estimate;
    /// // The hours of mouldy items, 0 for others.
    /// let mouldy = hours.combined(&design, &mould, |hours, mould| Some(hours? * mould?));
    /// assert_eq!(estimate::total(&part, &mouldy, &options)?.estimate, 60.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn combined(
        &self,
        design: &Design,
        other: &Self,
        make: impl Fn(Option<f64>, Option<f64>) -> Option<f64>,
    ) -> Self {
        let mut rows = vec![None; self.rows.len()];
        let mut whole = vec![None; self.boxes];
        for (b, sampled) in design.boxes().iter().enumerate() {
            let (here, there) = (self.at_once(b), other.at_once(b));
            if sampled.rows.is_empty() || (here.is_some() && there.is_some()) {
                whole[b] = make(here, there);
            } else {
                for row in sampled.rows.clone() {
                    rows[row] = make(
                        here.or_else(|| self.rows.get(row)),
                        there.or_else(|| other.rows.get(row)),
                    );
                }
            }
        }
        Self::counted_up(design, rows, whole)
    }

    /// A new column made answer by answer, told the box, what is known and the row (none of a whole box).
    pub(crate) fn mapped(
        &self,
        design: &Design,
        make: impl Fn(usize, Cell, Option<usize>) -> Option<f64>,
    ) -> Self {
        let mut rows = vec![None; self.rows.len()];
        let mut whole = vec![None; self.boxes];
        for (b, sampled) in design.boxes().iter().enumerate() {
            if self.is_whole(design, b) {
                whole[b] = make(b, self.cell(design, b, None), None);
            } else {
                for row in sampled.rows.clone() {
                    rows[row] = make(b, self.cell(design, b, Some(row)), Some(row));
                }
            }
        }
        Self::counted_up(design, rows, whole)
    }

    /// Whether every answer of a part is known.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
    /// # let part = design.whole();
    /// use sampling::column::Column;
    /// let one = Column::of_answers(&design, vec![Some(true), None, None, None, None, None, None, None])?;
    /// assert!(mould.complete(&part) && !one.complete(&part));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn complete(&self, part: &Part<'_>) -> bool {
        part.box_indices().all(|b| {
            let sampled = &part.design.boxes()[b];
            let rows = sampled.rows.len();
            let all_known = || match self.counted(b, rows) {
                Some((_, known)) => known >= rows as f64,
                None => self.rows.of(sampled.rows.clone()).all(|answer| answer.is_some()),
            };
            sampled.items <= 0.0 || self.at_once(b).is_some() || (rows > 0 && all_known())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{BoxSample, StratumSample};

    #[test]
    fn an_answer_needs_items_or_a_count_that_was_never_made() {
        let stopped = |items| BoxSample {
            id: "B2".into(),
            status: Status::Stopped,
            items,
            ..Default::default()
        };
        let empty = || BoxSample {
            id: "B1".into(),
            items: Some(0),
            ..Default::default()
        };
        let with = |items| {
            let stratum = StratumSample {
                key: "A".into(),
                frame_boxes: 5,
                sample: vec![empty(), stopped(items)],
                ..Default::default()
            };
            let design = Design::new(vec![stratum]).unwrap();
            Column::new(&design, Vec::new(), vec![None, Some(1.0)])
        };
        assert!(with(None).is_ok(), "given the mean count, which is 0");
        assert!(matches!(with(Some(0)), Err(ColumnError::NoItems { .. })));
    }
}
