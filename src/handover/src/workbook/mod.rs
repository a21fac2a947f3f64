//! The workbook: real numbers, a sheet a table, and assumptions whose sums are live, so that a reader can change a rate and
//! see the total change. What was typed is text and stays text; the only formulas are ours.
//!
//! The sums are those of likely values (`costing::likely`); ranges come from the simulation and do not move with a change.

mod assumptions;
mod costs;
mod sheet;
mod side_by_side;

use analysis::outlook;
use costing::{Assumptions, Likely};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};
use survey::State;

use crate::cells::unguarded;
use crate::report::{Ground, Options};
use crate::survey_file::Parts;
use crate::tables::{self, Holds, Table};
use sheet::Sheet;

/// Why there is no workbook.
#[derive(Debug, thiserror::Error)]
#[error("the workbook cannot be made: {0}")]
pub struct WorkbookError(#[from] XlsxError);

/// Rows of a sheet below its header.
const MOST_ROWS: usize = 1_048_575;
/// Characters of a cell, with room for a word on what was cut.
const MOST_TEXT: usize = 32_000;

/// What the sheets of plans are written from.
struct Plan<'a> {
    assumptions: &'a Assumptions,
    likely: &'a Likely,
    boxes: f64,
    is_open: bool,
}

/// The workbook of a survey. The same log, parts and options give the same bytes.
///
/// # Errors
/// [`WorkbookError`] for what a sheet cannot hold.
pub(crate) fn workbook(
    ground: Ground<'_>,
    parts: &Parts,
    options: &Options,
) -> Result<Vec<u8>, WorkbookError> {
    let Ground {
        log,
        state,
        figures,
        plan: drawn,
    } = ground;
    let assumptions = &drawn.assumptions;
    let likely = costing::likely(&drawn.collection, assumptions).ok();
    let is_open = !options.without_places;
    let mut book = Workbook::new();
    let day = ExcelDateTime::parse_from_str(&parts.date.to_string())?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    read_me(&mut book, state, parts, assumptions, likely.is_some(), is_open)?;
    if let Some(likely) = &likely {
        #[allow(clippy::cast_precision_loss, reason = "boxes of a frame")]
        let boxes = drawn.collection.strata.iter().map(|s| s.n_boxes as f64).sum();
        let plan = Plan {
            assumptions,
            likely,
            boxes,
            is_open,
        };
        costs::write(&mut book, &plan)?;
        if let Ok(summary) = drawn.summary() {
            ranges(&mut book, &summary)?;
        }
        if let Some(made) = drawn.side_by_side() {
            side_by_side::write(&mut book, made, is_open)?;
        }
    }
    for table in tables::all(log, state, figures) {
        // Serials, answers and names are for those who may see the places.
        if is_open || table.name == "figures" {
            of_table(&mut book, &table)?;
        }
    }
    Ok(book.save_to_buffer()?)
}

fn read_me(
    book: &mut Workbook,
    state: &State,
    parts: &Parts,
    assumptions: &Assumptions,
    has_plan: bool,
    is_open: bool,
) -> Result<(), XlsxError> {
    let mut sheet = Sheet::new("Read me", &[110.0]);
    let title = if is_open && !state.title.is_empty() {
        &state.title
    } else {
        "A survey of magnetic audio tape"
    };
    sheet.heading(title)?;
    if state.practice {
        sheet.row(&["Practice: this collection is invented."])?;
    }
    sheet.row(&[format!("Written on {} by {}.", parts.date, parts.app)])?;
    sheet.row(&["Each table of the survey has a sheet; its numbers are numbers, and an empty cell is what is not known."])?;
    if has_plan {
        for line in [
            "Assumptions: change a value in the column “Likely (change here)”, or fill in a price that is missing, and the sheet Costs adds up anew.",
            "Costs uses the likely values and the sample's own estimate. Its total is the report's “Total with every assumption at its likely value”.",
            "Ranges come from the simulation that the report describes. They do not move when a value is changed here: for new ranges put the new assumptions into the survey.",
        ] {
            sheet.row(&[line])?;
        }
        if assumptions.has_prices() {
            sheet.row(&[format!("All money is in {}.", assumptions.currency)])?;
            sheet.row(&["A price that nobody gave is shown as “no price” in Costs, and nothing of it is in the total."])?;
        } else {
            sheet.row(&["No price was given yet, so every cost is 0 until prices are filled in."])?;
        }
    } else {
        sheet.row(&["Nothing can be planned from yet: no item was looked at in a round that counts."])?;
    }
    sheet.done(book)
}

fn ranges(book: &mut Workbook, summary: &outlook::Summary) -> Result<(), XlsxError> {
    let mut sheet = Sheet::new("Ranges", &[34.0, 16.0, 16.0, 16.0, 16.0]);
    sheet.row(&[format!(
        "Given these assumptions: {} draws from the seed {}; low and high are the ends of the middle {}%.",
        summary.draws,
        summary.seed,
        summary.level * 100.0
    )])?;
    sheet.header(&["Quantity", "Mean", "Low", "Median", "High"])?;
    for (id, span) in &summary.quantities {
        sheet.named_numbers(id, &[span.mean, span.low, span.median, span.high])?;
    }
    sheet.done(book)
}

/// A table as a sheet: what is a number there is one here.
fn of_table(book: &mut Workbook, table: &Table) -> Result<(), XlsxError> {
    let mut sheet = Sheet::new(table.name, &vec![16.0; table.fields.len()]);
    let names: Vec<&str> = table.fields.iter().map(|field| field.name.as_str()).collect();
    sheet.header(&names)?;
    sheet.freeze()?;
    if table.n_rows() > MOST_ROWS {
        sheet.row(&[format!(
            "Too long for a sheet: see {} in the survey file.",
            table.path()
        )])?;
        return sheet.done(book);
    }
    let mut rows = csv::Reader::from_reader(table.bytes.as_slice());
    // Our own table: every record is as long as its header.
    for record in rows.records().flatten() {
        for (at, (cell, field)) in record.iter().zip(&table.fields).enumerate() {
            match field.holds {
                Holds::YesNo | Holds::Whole | Holds::Number => {
                    if let Ok(number) = cell.parse::<f64>() {
                        sheet.number(at, number)?;
                    }
                }
                Holds::Text | Holds::Word(_) | Holds::Instant => sheet.text(at, &short(unguarded(cell)))?,
            }
        }
        sheet.next();
    }
    sheet.done(book)
}

fn short(text: &str) -> String {
    if text.chars().count() <= MOST_TEXT {
        return text.to_owned();
    }
    let cut: String = text.chars().take(MOST_TEXT).collect();
    format!("{cut}… (cut: the survey file has all of it)")
}
