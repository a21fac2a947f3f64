//! The sums of one column that its estimates rest on.

use crate::column::{Cell, Column};
use crate::design::Part;
use crate::linear::{BoxTotal, box_totals, expand};

/// Box totals of a function of one column's cells.
pub(super) fn cells(part: &Part<'_>, column: &Column, z: impl Fn(Cell) -> f64) -> Vec<BoxTotal> {
    box_totals(
        part,
        |b| column.is_whole(part.design, b),
        |b, row| z(column.cell(part.design, b, row)),
    )
}

/// The pieces that every estimate of a column rests on.
pub(super) struct Sums {
    /// Expansion total of known values.
    pub(super) values: f64,
    /// Estimated items whose answer is known.
    pub(super) known: f64,
    /// Estimated items known or unknown without a stop.
    pub(super) judged: f64,
    /// Known values of the sample, added up over boxes with a count of their own.
    pub(super) seen: f64,
    /// Known items of those less known values: for a condition, the no's.
    pub(super) seen_no: f64,
    /// Known items of the sample.
    pub(super) seen_items: f64,
    /// Rows of the sample, unknown ones too; all items of a box that is answered at once.
    pub(super) rows: f64,
}

pub(super) fn sums(part: &Part<'_>, column: &Column) -> Sums {
    let values = expand(part, &cells(part, column, Cell::value));
    let known = expand(part, &cells(part, column, Cell::known));
    let judged = expand(part, &cells(part, column, Cell::judged));
    let (mut seen, mut seen_no, mut seen_items, mut rows) = (0.0, 0.0, 0.0, 0.0);
    for b in part.box_indices() {
        let sampled = &part.design.boxes()[b];
        if column.is_whole(part.design, b) {
            let cell = column.cell(part.design, b, None);
            seen_items += cell.known() * sampled.items;
            rows += cell.known() * sampled.items;
            // How many items an uncounted box holds was not seen.
            let counted = f64::from(u8::from(!sampled.imputed)) * sampled.items;
            seen += cell.value() * counted;
            seen_no += cell.known() * (1.0 - cell.value()) * counted;
            continue;
        }
        rows += sampled.rows.len() as f64;
        for row in sampled.rows.clone() {
            let cell = column.cell(part.design, b, Some(row));
            seen += cell.value();
            seen_no += cell.known() * (1.0 - cell.value());
            seen_items += cell.known();
        }
    }
    Sums {
        values,
        known,
        judged,
        seen,
        seen_no,
        seen_items,
        rows,
    }
}
