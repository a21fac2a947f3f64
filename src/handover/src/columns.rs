//! The tables of the survey file column by column, for programs that keep them so.

use analysis::figures::figures;
use survey::{Log, State};

use crate::cells::unguarded;
use crate::tables::{self, Holds, Table};

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Columns {
    /// Its name, as in the survey file: `boxes`, `items`, …
    pub name: &'static str,
    /// Its columns, all of one length.
    pub columns: Vec<Column>,
}

/// A column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its name, as in the survey file.
    pub name: String,
    /// What stands in it, row by row.
    pub values: Values,
}

/// Values of one type; `None` is not known, or nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Values {
    /// Texts, as they were given: without the guard that the CSV puts before what a spreadsheet would run. Instants are
    /// texts as well (RFC 3339, UTC).
    Text(Vec<Option<String>>),
    /// Yes or no.
    YesNo(Vec<Option<bool>>),
    /// Whole numbers.
    Whole(Vec<Option<i64>>),
    /// Numbers.
    Number(Vec<Option<f64>>),
}

impl Values {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::Text(values) => values.len(),
            Self::YesNo(values) => values.len(),
            Self::Whole(values) => values.len(),
            Self::Number(values) => values.len(),
        }
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn of(holds: Holds) -> Self {
        match holds {
            Holds::Text | Holds::Word(_) | Holds::Instant => Self::Text(Vec::new()),
            Holds::YesNo => Self::YesNo(Vec::new()),
            Holds::Whole => Self::Whole(Vec::new()),
            Holds::Number => Self::Number(Vec::new()),
        }
    }

    fn push(&mut self, cell: &str) {
        match self {
            Self::Text(values) => values.push((!cell.is_empty()).then(|| unguarded(cell).to_owned())),
            Self::YesNo(values) => values.push(match cell {
                "0" => Some(false),
                "1" => Some(true),
                _ => None,
            }),
            Self::Whole(values) => values.push(cell.parse().ok()),
            Self::Number(values) => values.push(cell.parse().ok()),
        }
    }
}

/// Every table of a survey, the same that its file holds as CSV, in the same order.
#[must_use]
pub fn of(log: &Log) -> Vec<Columns> {
    let state = State::fold(log);
    let tables = tables::all(log, &state, &figures(&state));
    tables.iter().map(of_table).collect()
}

fn of_table(table: &Table) -> Columns {
    let mut columns: Vec<Column> = table
        .fields
        .iter()
        .map(|field| Column {
            name: field.name.clone(),
            values: Values::of(field.holds),
        })
        .collect();
    let mut rows = csv::Reader::from_reader(table.bytes.as_slice());
    // Our own table: every record is as long as its header.
    for record in rows.records().flatten() {
        for (cell, column) in record.iter().zip(&mut columns) {
            column.values.push(cell);
        }
    }
    Columns {
        name: table.name,
        columns,
    }
}
