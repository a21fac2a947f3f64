//! The sheet of scenarios: every quantity of each, and every difference with its range.

use costing::{DIFFERENCES, SideBySide};
use rust_xlsxwriter::{Workbook, XlsxError};

use super::sheet::Sheet;

/// Writes the sheet; names somebody typed are for those who may see them.
pub(super) fn write(book: &mut Workbook, made: &SideBySide, is_open: bool) -> Result<(), XlsxError> {
    let mut sheet = Sheet::new("Scenarios", &[30.0, 30.0, 22.0, 16.0, 16.0, 16.0, 16.0, 16.0]);
    sheet.row(&[format!(
        "Given these assumptions: {} draws from the seed {}; low and high are the ends of the middle {}%. \
         Each draw has the same numbers at random in every scenario, so a difference's range is its own.",
        made.draws,
        made.seed,
        made.level * 100.0
    )])?;
    sheet.header(&[
        "Scenario",
        "Beside",
        "Quantity",
        "Mean",
        "Low",
        "Median",
        "High",
        "Chance of more",
    ])?;
    let name = |at: usize| match made.scenarios.get(at) {
        Some(told) if is_open || at == 0 => told.name.clone(),
        _ => format!("Scenario {at}"),
    };
    for (at, told) in made.scenarios.iter().enumerate() {
        for id in DIFFERENCES {
            if let Some(span) = told.quantities.get(id) {
                sheet.text(0, &name(at))?;
                sheet.text(2, id)?;
                for (column, number) in (3..).zip([span.mean, span.low, span.median, span.high]) {
                    sheet.number(column, number)?;
                }
                sheet.next();
            }
        }
    }
    for pair in &made.differences {
        for (id, changed) in &pair.quantities {
            let span = changed.span;
            sheet.text(0, &name(pair.of))?;
            sheet.text(1, &name(pair.from))?;
            sheet.text(2, id)?;
            let numbers = [span.mean, span.low, span.median, span.high, changed.chance_more];
            for (column, number) in (3..).zip(numbers) {
                sheet.number(column, number)?;
            }
            sheet.next();
        }
    }
    sheet.done(book)
}
