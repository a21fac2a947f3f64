//! What it takes, and what moves it most.

use costing::{Kind, catalogue};

use super::assumptions::own_label;
use super::board::currency;
use super::charts::{Bar, Draw, chart};
use super::facts::{AMOUNT, COUNT, Facts, GIBI, PERCENT, Shape, percent, ranged};
use super::line::{Line, fig, said, w};
use super::numbers::Unit;
use super::page::Page;

const AMOUNTS: [(&str, &str); 14] = [
    ("items", "Items"),
    ("content_hours", "Hours of sound"),
    (
        "channel_hours",
        "Channel-hours (hours of sound times channels at once)",
    ),
    ("machine_hours", "Machine hours"),
    ("staff_hours", "Staff hours"),
    ("staff.setup", "of these: setting up"),
    ("staff.repair", "of these: repair"),
    ("staff.clean", "of these: cleaning"),
    ("staff.transfer", "of these: sitting by the transfer"),
    ("staff.checking", "of these: checking the files"),
    ("staff.metadata", "of these: describing"),
    ("weeks_machines", "Weeks for the machines"),
    ("weeks_people", "Weeks for the people"),
    ("weeks", "Weeks (the longer of the two)"),
];

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    if let Err(why) = &facts.outlook {
        page.p(&w("This cannot be planned yet: ").said(why.clone()).w("."));
        return;
    }
    page.p(&w(
        "Every figure here is given these assumptions: the table after the costs has them all. They are no quotation.",
    ));
    if facts.learned_hours.is_some() {
        page.p(&w(
            "Learned: the hours were put right by what the first transfers showed, and machine hours, work, storage and cost \
             follow them.",
        ));
    }
    let header = [
        w("Given these assumptions"),
        w("Mean and ").add(Facts::simulated_level()).w(" range"),
    ];
    let rows: Vec<Vec<Line>> = AMOUNTS
        .iter()
        .filter_map(|(id, label)| {
            let is_timed = *id != "staff.clean" || facts.plan.assumptions.range("time.clean").is_some();
            let amount = if is_timed {
                facts.simulated(id, AMOUNT)?
            } else {
                w("no time was given for it")
            };
            Some(vec![w(label), amount])
        })
        .collect();
    page.grid("Hours and weeks", &header, &[1], &rows);
    storage(page, facts, &header);
    costs(page, facts, &header);
    drivers(page, facts);
    super::scenarios::write(page, facts);
}

fn storage(page: &mut Page, facts: &Facts<'_>, header: &[Line]) {
    let mut rows = Vec::new();
    for (id, label) in [
        ("gigabytes_masters", "Masters, one copy"),
        ("gigabytes", "All copies"),
    ] {
        let Some(span) = facts.span(id) else { continue };
        rows.push(vec![
            w(label).w(", GB"),
            facts.simulated(id, AMOUNT).unwrap_or_default(),
        ]);
        let gibi = ranged(
            &format!("outlook.{id}.gib"),
            span.mean,
            Some(span.low),
            Some(span.high),
            GIBI,
        );
        rows.push(vec![w(label).w(", GiB"), gibi]);
    }
    page.grid("Storage", header, &[1], &rows);
    page.p(&w(
        "GB is ten to the ninth bytes, as storage is sold; GiB is two to the thirtieth, as some systems show it.",
    ));
    let Some(long) = &facts.long else { return };
    let estimate = |estimate: Option<f64>, low, high, id: &str, shape: Shape| {
        estimate
            .map(|value| ranged(id, value, low, high, shape))
            .unwrap_or_default()
    };
    let (share, count) = (&long.estimates.share, &long.estimates.count);
    let line = w("Takes too long for a file whose size is a thirty-two-bit number: ")
        .fig("long_takes.seen", long.n_seen.to_string())
        .w(" of ")
        .fig("long_takes.known", long.n_known.to_string())
        .w(" items looked at");
    let line = if long.n_seen > 0 {
        line.w(", about ")
            .add(estimate(
                count.estimate,
                count.low,
                count.high,
                "long_takes.count",
                COUNT,
            ))
            .w(" items in all or ")
            .add(estimate(
                share.estimate,
                share.low,
                share.high,
                "long_takes.share",
                PERCENT,
            ))
            .w(", at the likely playing time. These need a larger form of broadcast wave (")
            .said("RF64, BW64")
            .w(") or a cut.")
    } else {
        line.w(".")
    };
    page.p(&line);
}

fn costs(page: &mut Page, facts: &Facts<'_>, header: &[Line]) {
    let Ok(outlook) = &facts.outlook else { return };
    if facts.span("cost.total").is_none() {
        page.p(&w("No price was given, so no cost is stated."));
    } else {
        let mut rows: Vec<Vec<Line>> = Vec::new();
        for entry in catalogue().iter().filter(|entry| entry.kind == Kind::Money) {
            let id = format!("cost.{}", entry.key.strip_prefix("money.").unwrap_or(entry.key));
            rows.extend(
                facts
                    .simulated(&id, COUNT)
                    .map(|cost| vec![said(entry.label), cost]),
            );
        }
        for (at, own) in facts.plan.assumptions.own.iter().enumerate() {
            let label = own_label(facts, at, &own.label);
            rows.extend(
                facts
                    .simulated(&format!("cost.own.{}", at + 1), COUNT)
                    .map(|cost| vec![label, cost]),
            );
        }
        for (id, label) in [
            ("cost.fixed", "Of all this: what comes once, however much is done"),
            ("cost.total", "Total"),
        ] {
            rows.extend(facts.simulated(id, COUNT).map(|cost| vec![w(label), cost]));
        }
        if let Some(likely) = &facts.likely {
            let total = likely.sum("cost.total");
            let unit = Unit::of(total, None, None, Unit::ONE);
            rows.push(vec![
                w("Total with every assumption at its likely value (as the workbook adds it up)"),
                fig("likely.cost.total", unit.shown(total)),
            ]);
        }
        page.grid(&format!("Cost in {}", currency(facts)), header, &[1], &rows);
        let bars: Vec<Bar> = tape::actions()
            .iter()
            .filter_map(|class| {
                let id = format!("class.{}.cost", class.key);
                let span = facts.span(&id)?;
                Some(Bar {
                    label: said(class.label),
                    estimate: span.mean,
                    range: Some((span.low, span.high)),
                    text: facts.simulated(&id, COUNT)?,
                })
            })
            .collect();
        page.p(&w(
            "The mean lies above the total at likely values where prices and times reach farther up than down. A budget that is \
             meant to suffice is taken from the upper end of the range, given these assumptions.",
        ));
        chart(
            page,
            "Cost by what is to be done, without what comes once; given these assumptions",
            "class_cost",
            "",
            Draw::Bars,
            &bars,
        );
    }
    if !outlook.not_priced.is_empty() {
        page.p(&w("Not priced, so not in any cost: ")
            .said(outlook.not_priced.join("; "))
            .w("."));
    }
}

fn drivers(page: &mut Page, facts: &Facts<'_>) {
    let Ok(outlook) = &facts.outlook else { return };
    page.element("h3", "What moves the figures most");
    let of = if outlook.drivers_of == "cost.total" {
        "the total cost"
    } else {
        "the hours of sound"
    };
    if outlook.drivers.is_empty() {
        page.p(&w("No single unknown moves ").w(of).w(" more than chance would."));
        return;
    }
    page.p(&w("What follows moves ").w(of).w(
        " most, given these assumptions. To know it would make the range narrower by about the part named.",
    ));
    let rows: Vec<Vec<Line>> = outlook
        .drivers
        .iter()
        .take(6)
        .enumerate()
        .map(|(at, driving)| {
            let id = format!("outlook.driver.{}", at + 1);
            vec![
                cause(facts, &driving.cause),
                percent(format!("{id}.share"), driving.share),
                percent(format!("{id}.narrower"), 1.0 - driving.width_then),
            ]
        })
        .collect();
    page.grid(
        "Unknowns, the one that narrows most first, given these assumptions",
        &["If this were known", "Part of the variance", "Narrower by"].map(Line::from),
        &[1, 2],
        &rows,
    );
}

fn cause(facts: &Facts<'_>, cause: &costing::Cause) -> Line {
    use costing::Cause::{Assumption, Sample, Speed, Tracks, Transfers};
    let group = |name: &str| {
        if facts.is_open() {
            said(name)
        } else {
            w("a group of like items")
        }
    };
    match cause {
        Sample(key) => w("Ten more boxes of ").said(facts.stratum_name(key)),
        Speed(name) => w("The speed of: ").add(group(name)),
        Transfers => w("More of the items transferred"),
        Tracks(name) => w("The tracks of: ").add(group(name)),
        Assumption(key) => match catalogue().iter().find(|entry| entry.key == key) {
            Some(entry) => w("The assumption: ").said(entry.label),
            None if facts.is_open() => w("The assumption: ").said(key.clone()),
            None => w("An assumption of the planner's own"),
        },
    }
}
