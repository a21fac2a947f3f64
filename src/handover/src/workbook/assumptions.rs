//! The sheet of assumptions: what a reader may change.

use costing::{Driver, Kind, catalogue};
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Plan;
use super::costs::Rows;
use super::sheet::Sheet;

/// Writes the sheet and gives the rows that its values stand in.
pub(super) fn write(book: &mut Workbook, plan: &Plan<'_>) -> Result<Rows, XlsxError> {
    let set = plan.assumptions;
    let mut sheet = Sheet::new(
        "Assumptions",
        &[24.0, 52.0, 10.0, 14.0, 10.0, 26.0, 34.0, 12.0, 14.0],
    );
    let mut rows = Rows::new();
    sheet.header(&[
        "Key",
        "Assumption",
        "Low",
        "Likely (change here)",
        "High",
        "Unit",
        "Source",
        "Date",
        "Set by",
    ])?;
    sheet.freeze()?;
    for entry in catalogue() {
        let given = set.values.get(entry.key);
        rows.insert(entry.key.to_owned(), sheet.here());
        sheet.text(0, entry.key)?;
        sheet.text(1, entry.label)?;
        let range = set.range(entry.key);
        if let Some(range) = range {
            sheet.number(2, range.low)?;
            sheet.number(4, range.high)?;
        }
        match range {
            // The amounts have it in them, so that to change it here would change nothing.
            Some(range) if entry.kind == Kind::Factor => sheet.number(3, range.likely)?,
            _ => sheet.open_number(3, range.map(|range| range.likely))?,
        }
        sheet.text(5, unit(entry.kind, entry.driver))?;
        let source = match given {
            Some(value) if plan.is_open => value.source.as_str(),
            Some(_) => "left out",
            None if range.is_some() => entry.source,
            None => "no value yet",
        };
        sheet.text(6, source)?;
        sheet.text(7, given.map_or("", |value| value.date.as_str()))?;
        let whose = if given.is_some() {
            "the planner"
        } else {
            "the program"
        };
        sheet.text(8, if range.is_some() { whose } else { "" })?;
        sheet.next();
    }
    for (at, own) in set.own.iter().enumerate() {
        let key = format!("own.{}", at + 1);
        rows.insert(key.clone(), sheet.here());
        sheet.text(0, &key)?;
        sheet.text(1, &own_label(plan, at))?;
        sheet.number(2, own.value.range.low)?;
        sheet.open_number(3, Some(own.value.range.likely))?;
        sheet.number(4, own.value.range.high)?;
        sheet.text(5, unit(Kind::Money, own.driver))?;
        sheet.text(
            6,
            if plan.is_open {
                &own.value.source
            } else {
                "left out"
            },
        )?;
        sheet.text(7, &own.value.date)?;
        sheet.text(8, "the planner")?;
        sheet.next();
    }
    let (s, c) = (&set.storage, &set.capacity);
    for (key, label, value) in [
        ("rate_hz", "Samples a second of the masters", f64::from(s.rate_hz)),
        ("bits", "Bits a sample of the masters", f64::from(s.bits)),
        ("copies", "Copies of the masters", f64::from(s.copies)),
        (
            "access_kbit_s",
            "Access copies: kilobits a second",
            f64::from(s.access_kbit_s),
        ),
        (
            "access_copies",
            "Access copies: how many",
            f64::from(s.access_copies),
        ),
        (
            "growth_percent",
            "Kept free for growth, percent",
            s.growth_percent,
        ),
        ("years", "Years of keeping that are paid for", s.years),
        ("machines", "Machines that run at once", c.machines),
        (
            "machine_hours_week",
            "Hours a week that each runs",
            c.machine_hours_week,
        ),
        ("people", "People", c.people),
        (
            "people_hours_week",
            "Hours a week that each has",
            c.people_hours_week,
        ),
    ] {
        rows.insert(key.to_owned(), sheet.here());
        sheet.text(0, key)?;
        sheet.text(1, label)?;
        sheet.open_number(3, Some(value))?;
        sheet.next();
    }
    sheet.done(book)?;
    Ok(rows)
}

/// The label of a planner's own line, where it may be shown.
pub(super) fn own_label(plan: &Plan<'_>, at: usize) -> String {
    match plan.assumptions.own.get(at) {
        Some(own) if plan.is_open => own.label.clone(),
        _ => format!("Own line {}", at + 1),
    }
}

fn unit(kind: Kind, driver: Driver) -> &'static str {
    match (kind, driver) {
        (Kind::Minutes, _) => "minutes an item",
        (Kind::Part, _) => "part of a machine hour",
        (Kind::Factor, _) => "items (in the amounts already)",
        (Kind::Money, Driver::Items) => "money an item",
        (Kind::Money, Driver::ItemsToClean) => "money an item to clean",
        (Kind::Money, Driver::ItemsToRepair) => "money an item to repair",
        (Kind::Money, Driver::ItemsForSpecialist) => "money an item for a specialist",
        (Kind::Money, Driver::Boxes) => "money a box",
        (Kind::Money, Driver::ContentHours) => "money an hour of sound",
        (Kind::Money, Driver::MachineHours) => "money a machine hour",
        (Kind::Money, Driver::StaffHours) => "money a staff hour",
        (Kind::Money, Driver::GigabyteYears) => "money a GB and year",
        (Kind::Money, Driver::Once) => "money, once",
        (Kind::Money, Driver::PercentOfLabour) => "% of labour",
        (Kind::Money, Driver::PercentOfAll) => "% of everything before it",
    }
}
