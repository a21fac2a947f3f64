//! What it costs: each line with how much of it there is, its price, and what that comes to; and what has no price.

use costing::{Driver, Kind, Range, catalogue};

use super::assumptions::own_label;
use super::board::currency;
use super::charts::{Bar, Draw, chart};
use super::facts::{AMOUNT, COUNT, Facts, Shape};
use super::line::{Line, fig, said, w};
use super::numbers::{Unit, as_given};
use super::page::Page;
use super::shape::spanned;

/// Prices that a reader of the short page asks for first, with their short names.
const ASKED_FIRST: [(&str, &str); 4] = [
    ("money.equipment", "machines"),
    ("money.management", "project management"),
    ("money.space", "rooms and protection"),
    ("money.insurance", "insurance"),
];
/// What stands in the place of own work: no part of what is missing where own work has its price.
const INSTEAD: &str = "money.transfer_bought";

/// A price of the plan, as the simulation adds it up.
struct Priced {
    /// Key of its assumption.
    key: String,
    label: Line,
    driver: Driver,
    range: Range,
    date: String,
}

impl Priced {
    /// The quantity of what it comes to.
    fn cost(&self) -> String {
        format!("cost.{}", self.key.strip_prefix("money.").unwrap_or(&self.key))
    }
}

/// The prices in the order in which they are added up: percentages last.
fn priced(facts: &Facts<'_>) -> Vec<Priced> {
    let set = &facts.plan.assumptions;
    let of_catalogue = catalogue()
        .iter()
        .filter(|entry| entry.kind == Kind::Money)
        .filter_map(|entry| {
            let value = set.values.get(entry.key)?;
            Some(Priced {
                key: entry.key.to_owned(),
                label: said(name(entry.key, entry.label)),
                driver: entry.driver,
                range: value.range,
                date: value.date.trim().to_owned(),
            })
        });
    let own = set.own.iter().enumerate().map(|(at, own)| Priced {
        key: format!("own.{}", at + 1),
        label: own_label(facts, at, &own.label),
        driver: own.driver,
        range: own.value.range,
        date: own.value.date.trim().to_owned(),
    });
    let mut all: Vec<Priced> = of_catalogue.chain(own).collect();
    all.sort_by_key(|priced| match priced.driver {
        Driver::PercentOfAll => 2,
        Driver::PercentOfLabour => 1,
        _ => 0,
    });
    all
}

/// What a line is for, without the unit that its price is in.
fn name<'a>(key: &str, label: &'a str) -> &'a str {
    match key {
        "money.labour" => "Staff",
        "money.machine" => "Running the machines: upkeep, heads, spares",
        _ => [", a ", ", an ", ", %"]
            .into_iter()
            .filter_map(|unit| label.split_once(unit))
            .map(|(name, _)| name)
            .next()
            .unwrap_or(label),
    }
}

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    if facts.span("cost.total").is_none() {
        page.p(&w("No price was given, so no cost is stated."));
        unpriced(page, facts);
        return;
    }
    let all = priced(facts);
    let mut rows: Vec<Vec<Line>> = (0..all.len()).filter_map(|at| row(facts, &all, at)).collect();
    for (id, label) in [
        ("cost.fixed", "Of all this: what comes once, however much is done"),
        ("cost.total", "Total"),
    ] {
        let cost = facts.simulated_or_why(id, COUNT);
        rows.extend(cost.map(|cost| vec![w(label), Line::default(), Line::default(), cost]));
    }
    if let Some(likely) = &facts.likely {
        let total = likely.sum("cost.total");
        let unit = Unit::of(total, None, None, Unit::ONE);
        rows.push(vec![
            w("Total with every assumption at its likely value (as the workbook adds it up)"),
            Line::default(),
            Line::default(),
            fig("likely.cost.total", unit.shown(total)),
        ]);
    }
    let header = [
        w("Given these assumptions"),
        w("How much: mean and ").add(Facts::simulated_level()).w(" range"),
        w("Price: likely (low to high), and its date"),
        w("Comes to: mean and ").add(Facts::simulated_level()).w(" range"),
    ];
    page.grid(
        &format!("Cost in {}", currency(facts)),
        &header,
        &[1, 2, 3],
        &rows,
    );
    page.p(&w(
        "The mean lies above the total at likely values where prices and times reach farther up than down. A budget that is \
         meant to suffice is taken from the upper end of the range.",
    ));
    twice(page, facts);
    unpriced(page, facts);
    by_class(page, facts);
}

/// A line of the table.
fn row(facts: &Facts<'_>, all: &[Priced], at: usize) -> Option<Vec<Line>> {
    let line = &all[at];
    let comes_to = facts.simulated_or_why(&line.cost(), COUNT)?;
    Some(vec![
        line.label.clone(),
        how_much(facts, all, at),
        price(facts, line),
        comes_to,
    ])
}

/// What the price is multiplied by.
fn how_much(facts: &Facts<'_>, all: &[Priced], at: usize) -> Line {
    let line = &all[at];
    let simulated = |id: &str, unit: &str| facts.simulated(id, AMOUNT).map(|amount| amount.w(unit));
    let of_classes = |id: &str, of: fn(&tape::Work) -> bool| {
        let classes = tape::actions().iter().filter(|class| of(&class.work));
        let ids: Vec<String> = classes
            .map(|class| format!("class.{}.items", class.key))
            .collect();
        summed(facts, id, &ids, AMOUNT).map(|items| items.w(" items"))
    };
    let money = |is_in: fn(Driver) -> bool| {
        let before = all[..at].iter().filter(|other| is_in(other.driver));
        let ids: Vec<String> = before.map(Priced::cost).collect();
        let id = format!("{}.of", line.cost());
        summed(facts, &id, &ids, COUNT).map(|money| said(currency(facts)).w("\u{a0}").add(money))
    };
    let amount = match line.driver {
        Driver::Items => simulated("items", " items"),
        Driver::ItemsToClean => of_classes("to_clean.items", |work| work.clean),
        Driver::ItemsToRepair => of_classes("to_repair.items", |work| work.repair),
        Driver::ItemsForSpecialist => of_classes("for_specialist.items", |work| work.specialist),
        Driver::Boxes => {
            let boxes: u64 = facts
                .plan
                .collection
                .strata
                .iter()
                .map(|stratum| stratum.n_boxes)
                .sum();
            let boxes = usize::try_from(boxes).unwrap_or(usize::MAX);
            Some(Line::default().of("costed.boxes", boxes, "box", "boxes"))
        }
        Driver::ContentHours => simulated("content_hours", " hours of sound"),
        Driver::MachineHours => simulated("machine_hours", " hours"),
        Driver::StaffHours => simulated("staff_hours", " hours"),
        Driver::GigabyteYears => simulated("gigabyte_years", " GB times years"),
        Driver::Once => Some(w("once")),
        Driver::PercentOfLabour => money(|driver| driver == Driver::StaffHours),
        Driver::PercentOfAll => money(|_| true),
    };
    amount.unwrap_or_else(|| {
        w(match line.driver {
            Driver::PercentOfLabour | Driver::PercentOfAll => "nothing that was costed",
            Driver::ContentHours | Driver::MachineHours | Driver::GigabyteYears => "not known",
            Driver::StaffHours => "none counted",
            _ => "none met in the sample",
        })
    })
}

/// Several quantities of the outlook added up draw by draw; nothing where no draw has any.
pub(super) fn summed(facts: &Facts<'_>, id: &str, ids: &[String], shape: Shape) -> Option<Line> {
    let span = facts.plan.outlook.as_ref().ok()?.range_of(ids, &[])?;
    spanned(&format!("outlook.{id}"), span, shape)
}

/// `EUR 34 (28 to 45), 2031-05-02`.
fn price(facts: &Facts<'_>, line: &Priced) -> Line {
    let is_part = matches!(line.driver, Driver::PercentOfLabour | Driver::PercentOfAll);
    let after = if is_part { "%" } else { "" };
    let end =
        |name: &str, number: f64| fig(format!("assumption.{}.{name}", line.key), as_given(number)).w(after);
    let before = if is_part {
        Line::default()
    } else {
        said(currency(facts)).w("\u{a0}")
    };
    let mut price = before.add(end("likely", line.range.likely));
    if !line.range.is_exact() {
        price = price
            .w(" (")
            .add(end("low", line.range.low))
            .w(" to ")
            .add(end("high", line.range.high))
            .w(")");
    }
    if line.date.is_empty() {
        price.w(", no date")
    } else {
        price.w(", ").said(line.date.clone())
    }
}

/// What may be in the sum twice, where the prices that were given let it.
fn twice(page: &mut Page, facts: &Facts<'_>) {
    let set = &facts.plan.assumptions;
    let has = |key: &str| set.values.contains_key(key);
    if has("money.labour") && has("time.clean") && has("money.cleaning") {
        page.p(&w(
            "Cleaning is in the sum in two parts: hours of own staff, and a price for specialists. That is right where both \
             have a share in it. If specialists do all of it, take the minutes out of the assumptions; if your own people \
             do, take out the price.",
        ));
    }
    if has("money.labour") && has(INSTEAD) {
        page.p(&w(
            "Own staff and transfer bought outside both have a price here, and both are in the total. The one stands instead \
             of the other: leave one out, or tell them apart as scenarios.",
        ));
    }
}

/// Prices that nobody gave; transfer bought outside is told apart, since it stands instead of own work.
fn missing() -> impl Iterator<Item = &'static costing::Entry> {
    catalogue()
        .iter()
        .filter(|entry| entry.kind == Kind::Money && entry.key != INSTEAD)
}

fn unpriced(page: &mut Page, facts: &Facts<'_>) {
    let set = &facts.plan.assumptions;
    let names: Vec<&str> = missing()
        .filter(|entry| set.range(entry.key).is_none())
        .map(|entry| name(entry.key, entry.label))
        .collect();
    if !names.is_empty() {
        page.p(&w("Not priced, so not in any cost: ")
            .said(names.join("; "))
            .w("."));
    }
    if set.range(INSTEAD).is_none() {
        page.p(&w(
            "Instead of own work the transfer could be bought outside, by the hour of sound: for that no price was given.",
        ));
    }
}

/// `no price yet for machines, project management and 11 others`: what the sum leaves out, for the short texts.
pub(super) fn lacks(facts: &Facts<'_>) -> Option<Line> {
    let set = &facts.plan.assumptions;
    let n = missing().filter(|entry| set.range(entry.key).is_none()).count();
    let named: Vec<&str> = ASKED_FIRST
        .into_iter()
        .filter(|(key, _)| set.range(key).is_none())
        .map(|(_, name)| name)
        .collect();
    if n == 0 {
        return None;
    }
    if named.is_empty() {
        return Some(w("no price for ").of("not_priced.kinds", n, "kind of cost", "kinds of cost"));
    }
    let others = n - named.len();
    let line = w("no price for ").w(&named.join(", "));
    Some(match others {
        0 => line,
        _ => line.w(" and ").of("not_priced.others", others, "other", "others"),
    })
}

fn by_class(page: &mut Page, facts: &Facts<'_>) {
    let bars: Vec<Bar> = tape::actions()
        .iter()
        .filter_map(|class| {
            let id = format!("class.{}.cost", class.key);
            // A class that was not met has no cost, and no row.
            let span = facts.span(&id).filter(|span| span.high > 0.0)?;
            Some(Bar {
                label: said(class.label),
                estimate: span.mean,
                range: Some((span.low, span.high)),
                text: facts.simulated(&id, COUNT)?,
            })
        })
        .collect();
    chart(
        page,
        "Cost by what is to be done, without what comes once; given these assumptions",
        "class_cost",
        "",
        Draw::Bars,
        &bars,
    );
    page.lines(&uncosted(facts));
}

/// Classes that have no bar, and why: to be without a cost is not to cost nothing.
fn uncosted(facts: &Facts<'_>) -> Vec<Line> {
    let has = |class: &tape::ActionClass, what: &str| {
        facts
            .span(&format!("class.{}.{what}", class.key))
            .is_some_and(|span| span.high > 0.0)
    };
    let named = |met: bool| {
        let those = tape::actions()
            .iter()
            .filter(|class| !has(class, "cost") && has(class, "items") == met);
        those.map(|class| class.label).collect::<Vec<_>>()
    };
    let lines = [
        (
            false,
            "Not met in the sample, or hardly, so not costed, though some may be there: ",
        ),
        (
            true,
            "Met, but not costed, for no price was given for what is done with it: ",
        ),
    ];
    lines
        .into_iter()
        .map(|(met, words)| (words, named(met)))
        .filter(|(_, labels)| !labels.is_empty())
        .map(|(words, labels)| w(words).said(format!("“{}”", labels.join("”, “"))).w("."))
        .collect()
}
