//! One column of answers: a condition (0 or 1) or a quantity, item by item, or for a whole box at once.

use crate::design::{Design, Part, Status};

/// The answers to one question.
///
/// A condition is a column whose known values are 0 and 1. An answer given for a whole box stands for every item in it
/// and takes the place of the box's rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    rows: Vec<Option<f64>>,
    whole: Vec<Option<f64>>,
    /// Of each box, how many of its rows are 1 and how many are known; only where every known answer of a row is 0 or 1.
    counts: Option<Vec<(u32, u32)>>,
}

/// Of each box, how many of its rows are 1 and how many are known, unless one is neither 0 nor 1.
fn counts(design: &Design, rows: &[Option<f64>]) -> Option<Vec<(u32, u32)>> {
    let of_box = |own: &[Option<f64>]| {
        let (mut ones, mut zeros, mut known) = (0, 0, 0);
        // No branches: this loop reads every answer there is.
        for answer in own {
            let bits = answer.unwrap_or(2.0).to_bits();
            known += u32::from(answer.is_some());
            ones += u32::from(bits == 1.0f64.to_bits());
            zeros += u32::from(bits == 0.0f64.to_bits());
        }
        (ones + zeros == known).then_some((ones, known))
    };
    design
        .boxes()
        .iter()
        .map(|b| of_box(&rows[b.rows.clone()]))
        .collect()
}

/// Why a column was refused.
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

/// Values beyond this are refused: their squares, times squared weights, have to stay finite.
pub const GREATEST_VALUE: f64 = 1e100;

/// What is known of an item, or of all items of a box.
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
    #[must_use]
    pub fn value(self) -> f64 {
        if let Self::Known(value) = self { value } else { 0.0 }
    }

    /// 1 where it is known, else 0.
    #[must_use]
    pub fn known(self) -> f64 {
        f64::from(u8::from(matches!(self, Self::Known(_))))
    }

    /// 1 where it is known, or unknown without a stop, else 0.
    #[must_use]
    pub fn judged(self) -> f64 {
        f64::from(u8::from(!matches!(self, Self::Withheld)))
    }
}

impl Column {
    /// A column of item answers, one for each row of the design.
    ///
    /// # Errors
    /// [`ColumnError`] if the number of rows differs from the design's or a value cannot be computed with.
    pub fn of_rows(design: &Design, rows: Vec<Option<f64>>) -> Result<Self, ColumnError> {
        let whole = vec![None; design.boxes().len()];
        Self::new(design, rows, whole)
    }

    /// A column of item answers and of answers for whole boxes, one entry for each sampled box of the design.
    ///
    /// # Errors
    /// [`ColumnError`] if the shapes differ from the design's, a value cannot be computed with, a box is answered twice,
    /// or an answer stands for no items.
    pub fn new(
        design: &Design,
        rows: Vec<Option<f64>>,
        whole: Vec<Option<f64>>,
    ) -> Result<Self, ColumnError> {
        let boxes = design.boxes();
        if rows.len() != design.rows() || whole.len() != boxes.len() {
            return Err(ColumnError::Shape {
                rows: rows.len(),
                boxes: whole.len(),
                design_rows: design.rows(),
                design_boxes: boxes.len(),
            });
        }
        let counts = counts(design, &rows);
        for (i, (b, answer)) in boxes.iter().zip(&whole).enumerate() {
            let own = &rows[b.rows.clone()];
            // What is 0 or 1 can be computed with.
            let unsure = if counts.is_some() { &[] } else { own };
            if let Some(value) = unsure
                .iter()
                .chain([answer])
                .flatten()
                .find(|v| !v.is_finite() || v.abs() > GREATEST_VALUE)
            {
                return Err(ColumnError::Value {
                    value: *value,
                    id: b.id.clone(),
                });
            }
            let answered = || match &counts {
                Some(counts) => counts[i].1 > 0,
                None => own.iter().any(Option::is_some),
            };
            if answer.is_some() && answered() {
                return Err(ColumnError::Both { id: b.id.clone() });
            }
            // A stopped box that was not counted may be given the mean of empty ones: its answer holds for no items then.
            if answer.is_some() && b.items <= 0.0 && !b.imputed {
                return Err(ColumnError::NoItems { id: b.id.clone() });
            }
        }
        Ok(Self { rows, whole, counts })
    }

    /// The answers of several samples, one after the other, for [`Design::joined`] of those in the same order.
    ///
    /// # Errors
    /// [`ColumnError::Shape`] if the columns are not those of the samples.
    pub fn joined(design: &Design, columns: &[&Self]) -> Result<Self, ColumnError> {
        let rows = columns.iter().flat_map(|column| column.rows.iter().copied());
        let whole = columns.iter().flat_map(|column| column.whole.iter().copied());
        Self::new(design, rows.collect(), whole.collect())
    }

    /// Whether it has the rows and the boxes of a design.
    pub(crate) fn fits(&self, design: &Design) -> bool {
        self.rows.len() == design.rows() && self.whole.len() == design.boxes().len()
    }

    /// Whether box `b` is answered at once, or has no rows to answer one by one.
    #[must_use]
    pub fn is_whole(&self, design: &Design, b: usize) -> bool {
        self.whole[b].is_some() || design.boxes()[b].rows.is_empty()
    }

    /// Of a box's rows: how many are known to be 1, and how many are known; only where every known answer is 0 or 1.
    pub(crate) fn counted(&self, b: usize) -> Option<(f64, f64)> {
        let (yes, known) = self.counts.as_ref()?[b];
        Some((f64::from(yes), f64::from(known)))
    }

    /// What is known of row `row` of box `b`, or of the whole box.
    #[must_use]
    pub fn cell(&self, design: &Design, b: usize, row: Option<usize>) -> Cell {
        let answer = match (self.whole[b], row) {
            (Some(value), _) => Some(value),
            (None, Some(row)) => self.rows[row],
            (None, None) => None,
        };
        match answer {
            Some(value) => Cell::Known(value),
            None if design.boxes()[b].status == Status::Stopped => Cell::Withheld,
            None => Cell::Unknown,
        }
    }

    /// The same column with every unknown answer given the value `filled`.
    #[must_use]
    pub fn filled(&self, design: &Design, filled: f64) -> Self {
        let mut made = self.clone();
        for (b, sampled) in design.boxes().iter().enumerate() {
            if made.whole[b].is_none() && sampled.rows.is_empty() && sampled.items > 0.0 {
                made.whole[b] = Some(filled);
            }
            if made.whole[b].is_none() {
                for answer in &mut made.rows[sampled.rows.clone()] {
                    answer.get_or_insert(filled);
                }
            }
        }
        made.counts = counts(design, &made.rows);
        made
    }

    /// A new column made answer by answer from this one and another; an answer for a whole box stands for each of its rows.
    #[must_use]
    pub fn combined(
        &self,
        design: &Design,
        other: &Self,
        make: impl Fn(Option<f64>, Option<f64>) -> Option<f64>,
    ) -> Self {
        let mut made = Self {
            rows: vec![None; self.rows.len()],
            whole: vec![None; self.whole.len()],
            counts: None,
        };
        for (b, sampled) in design.boxes().iter().enumerate() {
            let (here, there) = (self.whole[b], other.whole[b]);
            if sampled.rows.is_empty() || (here.is_some() && there.is_some()) {
                made.whole[b] = make(here, there);
            } else {
                for row in sampled.rows.clone() {
                    made.rows[row] = make(here.or(self.rows[row]), there.or(other.rows[row]));
                }
            }
        }
        made.counts = counts(design, &made.rows);
        made
    }

    /// Whether every answer of a part is known.
    #[must_use]
    pub fn complete(&self, part: &Part<'_>) -> bool {
        part.box_indices().all(|b| {
            let sampled = &part.design.boxes()[b];
            sampled.items <= 0.0
                || self.whole[b].is_some()
                || (!sampled.rows.is_empty() && self.rows[sampled.rows.clone()].iter().all(Option::is_some))
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
