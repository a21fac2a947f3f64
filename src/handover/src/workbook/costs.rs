//! Amounts and costs, in formulas that follow the costing crate step by step.

use std::collections::BTreeMap;

use costing::{Driver, Kind, catalogue};
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Plan;
use super::assumptions::{self, own_label};
use super::sheet::Sheet;

/// Rows of the sheet of assumptions by key, as formulas name them.
pub(super) type Rows = BTreeMap<String, u32>;

pub(super) fn write(book: &mut Workbook, plan: &Plan<'_>) -> Result<(), XlsxError> {
    let rows = assumptions::write(book, plan)?;
    let last = amounts(book, plan)?;
    costs(book, plan, &rows, last)
}

/// What stands in the place of own work: priced beside it, both are in the total.
const INSTEAD: &str = "money.transfer_bought";

/// `Assumptions!$D$7`.
fn likely(rows: &Rows, key: &str) -> String {
    format!("Assumptions!$D${}", rows.get(key).copied().unwrap_or(1))
}

/// Columns of the sheet of amounts.
const PUT_IN_OR_THREADED: usize = 2;
const FLAGS: [usize; 3] = [3, 4, 5];

/// Two piles a class, then the boxes; gives the last row of the piles.
fn amounts(book: &mut Workbook, plan: &Plan<'_>) -> Result<u32, XlsxError> {
    let mut sheet = Sheet::new(
        "Amounts",
        &[16.0, 26.0, 16.0, 8.0, 8.0, 10.0, 14.0, 14.0, 14.0, 14.0],
    );
    sheet.header(&[
        "Class",
        "What is to be done",
        "Threaded by hand",
        "Clean",
        "Repair",
        "Specialist",
        "Items",
        "Hours of sound",
        "Machine hours",
        "Channel-hours",
    ])?;
    sheet.freeze()?;
    for pile in &plan.likely.piles {
        let class = tape::actions().iter().find(|class| class.key == pile.class);
        sheet.text(0, &pile.class)?;
        sheet.text(1, class.map_or("", |class| class.label))?;
        let flag = |holds: bool| f64::from(u8::from(holds));
        sheet.number(PUT_IN_OR_THREADED, flag(pile.by_hand))?;
        let work = class.map(|class| [class.work.clean, class.work.repair, class.work.specialist]);
        for (column, holds) in FLAGS.into_iter().zip(work.unwrap_or_default()) {
            sheet.number(column, flag(holds))?;
        }
        let hours = [
            pile.items,
            pile.content_hours,
            pile.machine_hours,
            pile.channel_hours,
        ];
        for (at, hours) in hours.into_iter().enumerate() {
            sheet.number(6 + at, hours)?;
        }
        sheet.next();
    }
    let last = sheet.here() - 1;
    sheet.text(0, "boxes")?;
    sheet.text(1, "Boxes on the list")?;
    sheet.number(6, plan.boxes)?;
    sheet.next();
    sheet.done(book)?;
    Ok(last)
}

/// What formulas add up over the piles.
struct Piles {
    last: u32,
}

impl Piles {
    fn column(&self, letter: char) -> String {
        format!("Amounts!${letter}$2:${letter}${}", self.last)
    }

    fn sum(&self, letter: char) -> String {
        format!("SUM({})", self.column(letter))
    }

    /// The sum over piles with a flag: `D`, `E`, `F` for clean, repair, specialist, `C` for threaded by hand.
    fn flagged(&self, flag: char, letter: char) -> String {
        format!("SUMPRODUCT({},{})", self.column(flag), self.column(letter))
    }

    /// The sum over piles that are put in.
    fn put_in(&self, letter: char) -> String {
        format!("({}-{})", self.sum(letter), self.flagged('C', letter))
    }
}

fn costs(book: &mut Workbook, plan: &Plan<'_>, rows: &Rows, last: u32) -> Result<(), XlsxError> {
    let piles = Piles { last };
    let value = |key: &str| likely(rows, key);
    let sums = |id: &str| plan.likely.sum(id);
    let mut sheet = Sheet::new("Costs", &[24.0, 52.0, 18.0, 14.0, 18.0]);
    sheet.header(&["Key", "What", "Amount", "Rate", "Comes to"])?;
    sheet.freeze()?;
    let mut at = BTreeMap::new();
    let first_task = sheet.here();
    for (id, label, formula) in [
        (
            "staff.setup",
            "Staff hours: setting up",
            format!(
                "({}*{}+{}*{})/60",
                piles.put_in('G'),
                value("time.setup_cassette"),
                piles.flagged('C', 'G'),
                value("time.setup_reel")
            ),
        ),
        (
            "staff.repair",
            "Staff hours: repair",
            format!("{}*{}/60", piles.flagged('E', 'G'), value("time.repair")),
        ),
        (
            "staff.clean",
            "Staff hours: cleaning",
            format!("{}*{}/60", piles.flagged('D', 'G'), value("time.clean")),
        ),
        (
            "staff.transfer",
            "Staff hours: sitting by the transfer",
            format!(
                "{}*{}+{}*{}",
                piles.put_in('I'),
                value("part.attention_cassette"),
                piles.flagged('C', 'I'),
                value("part.attention_reel")
            ),
        ),
        (
            "staff.checking",
            "Staff hours: checking the files",
            format!("{}*{}", piles.sum('I'), value("part.checking")),
        ),
        (
            "staff.metadata",
            "Staff hours: describing",
            format!("{}*{}/60", piles.sum('G'), value("time.metadata")),
        ),
    ] {
        line(&mut sheet, &mut at, id, label, &formula, sums(id))?;
    }
    let tasks = format!("SUM(E{first_task}:E{})", sheet.here() - 1);
    line(
        &mut sheet,
        &mut at,
        "staff_hours",
        "Staff hours",
        &tasks,
        sums("staff_hours"),
    )?;
    let masters = format!(
        "{}*{}/8*3600*{}/1E9",
        value("rate_hz"),
        value("bits"),
        piles.sum('J')
    );
    line(
        &mut sheet,
        &mut at,
        "gigabytes_masters",
        "Masters, one copy, GB",
        &masters,
        sums("gigabytes_masters"),
    )?;
    let kept = format!(
        "(E{}*{}+{}*1000/8*3600*{}/1E9*{})*(1+{}/100)",
        at["gigabytes_masters"],
        value("copies"),
        value("access_kbit_s"),
        piles.sum('H'),
        value("access_copies"),
        value("growth_percent")
    );
    line(
        &mut sheet,
        &mut at,
        "gigabytes",
        "All copies, GB",
        &kept,
        sums("gigabytes"),
    )?;
    let years = format!("E{}*{}", at["gigabytes"], value("years"));
    line(
        &mut sheet,
        &mut at,
        "gigabyte_years",
        "All copies, GB times years",
        &years,
        sums("gigabyte_years"),
    )?;
    let weeks = format!(
        "{}/({}*{})",
        piles.sum('I'),
        value("machines"),
        value("machine_hours_week")
    );
    line(
        &mut sheet,
        &mut at,
        "weeks_machines",
        "Weeks for the machines",
        &weeks,
        sums("weeks_machines"),
    )?;
    let weeks = format!(
        "E{}/({}*{})",
        at["staff_hours"],
        value("people"),
        value("people_hours_week")
    );
    line(
        &mut sheet,
        &mut at,
        "weeks_people",
        "Weeks for the people",
        &weeks,
        sums("weeks_people"),
    )?;
    money(&mut sheet, plan, rows, &piles, &at)?;
    sheet.done(book)
}

/// A quantity: its formula in the last column.
fn line(
    sheet: &mut Sheet,
    at: &mut BTreeMap<&'static str, u32>,
    id: &'static str,
    label: &str,
    formula: &str,
    result: f64,
) -> Result<(), XlsxError> {
    at.insert(id, sheet.here());
    sheet.text(0, id)?;
    sheet.text(1, label)?;
    sheet.formula(4, formula, result)?;
    sheet.next();
    Ok(())
}

/// One line a price, the percentages last, as the costing crate adds them up; then the total.
fn money(
    sheet: &mut Sheet,
    plan: &Plan<'_>,
    rows: &Rows,
    piles: &Piles,
    at: &BTreeMap<&'static str, u32>,
) -> Result<(), XlsxError> {
    let of_catalogue = catalogue().iter().filter(|entry| entry.kind == Kind::Money);
    let mut lines: Vec<(String, String, String, Driver)> = of_catalogue
        .map(|entry| {
            let id = entry.key.strip_prefix("money.").unwrap_or(entry.key);
            let label = if entry.key == INSTEAD {
                format!("{} (instead of own work)", entry.label)
            } else {
                entry.label.to_owned()
            };
            (entry.key.to_owned(), id.to_owned(), label, entry.driver)
        })
        .collect();
    for (n, own) in plan.assumptions.own.iter().enumerate() {
        let key = format!("own.{}", n + 1);
        lines.push((key.clone(), key, own_label(plan, n), own.driver));
    }
    lines.sort_by_key(|(_, _, _, driver)| match driver {
        Driver::PercentOfAll => 2,
        Driver::PercentOfLabour => 1,
        _ => 0,
    });
    let first = sheet.here();
    let (mut labour, mut labour_money, mut so_far) = (Vec::new(), 0.0, 0.0);
    for (key, id, label, driver) in lines {
        let here = sheet.here();
        let amount = match driver {
            Driver::Items => piles.sum('G'),
            Driver::ItemsToClean => piles.flagged('D', 'G'),
            Driver::ItemsToRepair => piles.flagged('E', 'G'),
            Driver::ItemsForSpecialist => piles.flagged('F', 'G'),
            Driver::Boxes => format!("Amounts!$G${}", piles.last + 1),
            Driver::ContentHours => piles.sum('H'),
            Driver::MachineHours => piles.sum('I'),
            Driver::StaffHours => format!("E{}", at["staff_hours"]),
            Driver::GigabyteYears => format!("E{}", at["gigabyte_years"]),
            Driver::Once => "1".to_owned(),
            Driver::PercentOfLabour if labour.is_empty() => "0".to_owned(),
            Driver::PercentOfLabour => format!("({})/100", labour.join("+")),
            Driver::PercentOfAll => format!("SUM(E{first}:E{})/100", here - 1),
        };
        let money = plan.likely.sum(&format!("cost.{id}"));
        let counted = amount_of(plan, driver, labour_money, so_far);
        so_far += money;
        if driver == Driver::StaffHours {
            labour.push(format!("E{here}"));
            labour_money += money;
        }
        sheet.text(0, &format!("cost.{id}"))?;
        sheet.text(1, &label)?;
        sheet.formula(2, &amount, counted)?;
        let rate = plan.assumptions.range(&key).map(|range| range.likely);
        match rate.or_else(|| own_rate(plan, &key)) {
            Some(rate) => {
                sheet.formula(3, &likely(rows, &key), rate)?;
                sheet.formula(4, &format!("C{here}*D{here}"), money)?;
            }
            None => {
                sheet.formula_unpriced(3, &likely(rows, &key))?;
                sheet.formula_unpriced(4, &format!("C{here}*D{here}"))?;
            }
        }
        sheet.next();
    }
    let total = format!("SUM(E{first}:E{})", sheet.here() - 1);
    sheet.text(0, "cost.total")?;
    let currency = &plan.assumptions.currency;
    sheet.text(1, &format!("Total at likely values, {currency}"))?;
    sheet.formula(4, &total, plan.likely.sum("cost.total"))?;
    sheet.next();
    Ok(())
}

fn own_rate(plan: &Plan<'_>, key: &str) -> Option<f64> {
    let at = key.strip_prefix("own.").and_then(|n| n.parse::<usize>().ok());
    let own = at.and_then(|at| plan.assumptions.own.get(at.checked_sub(1)?));
    own.map(|own| own.value.range.likely)
}

/// What the formula of an amount comes to.
fn amount_of(plan: &Plan<'_>, driver: Driver, labour: f64, so_far: f64) -> f64 {
    let work = |of: fn(&tape::Work) -> bool| -> f64 {
        let those = plan.likely.piles.iter().filter(|pile| {
            tape::actions()
                .iter()
                .any(|class| class.key == pile.class && of(&class.work))
        });
        those.map(|pile| pile.items).sum()
    };
    match driver {
        Driver::Items => plan.likely.sum("items"),
        Driver::ItemsToClean => work(|work| work.clean),
        Driver::ItemsToRepair => work(|work| work.repair),
        Driver::ItemsForSpecialist => work(|work| work.specialist),
        Driver::Boxes => plan.boxes,
        Driver::ContentHours => plan.likely.sum("content_hours"),
        Driver::MachineHours => plan.likely.sum("machine_hours"),
        Driver::StaffHours => plan.likely.sum("staff_hours"),
        Driver::GigabyteYears => plan.likely.sum("gigabyte_years"),
        Driver::Once => 1.0,
        Driver::PercentOfLabour => labour / 100.0,
        Driver::PercentOfAll => so_far / 100.0,
    }
}
