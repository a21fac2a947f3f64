//! What it takes, what was assumed for it, and what moves it most.

use costing::{Driver, Kind, Value, catalogue};
use survey::Subject;

use super::board::currency;
use super::charts::{Bar, Draw, chart};
use super::facts::{AMOUNT, COUNT, Facts, GIBI, PERCENT, Shape, percent, ranged};
use super::line::{Line, fig, said, w};
use super::numbers::{Unit, as_given};
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
    let header = [
        w("Given these assumptions"),
        w("Mean and ").add(Facts::simulated_level()).w(" range"),
    ];
    let rows: Vec<Vec<Line>> = AMOUNTS
        .iter()
        .filter_map(|(id, label)| {
            let is_timed = *id != "staff.clean" || facts.assumptions.range("time.clean").is_some();
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
        for (at, own) in facts.assumptions.own.iter().enumerate() {
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
        "Unknowns, the one that narrows most first",
        &["If this were known", "Part of the variance", "Narrower by"].map(Line::from),
        &[1, 2],
        &rows,
    );
}

fn cause(facts: &Facts<'_>, cause: &costing::Cause) -> Line {
    use costing::Cause::{Assumption, Sample, Speed, Tracks};
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
        Tracks(name) => w("The tracks of: ").add(group(name)),
        Assumption(key) => match catalogue().iter().find(|entry| entry.key == key) {
            Some(entry) => w("The assumption: ").said(entry.label),
            None if facts.is_open() => w("The assumption: ").said(key.clone()),
            None => w("An assumption of the planner's own"),
        },
    }
}

fn own_label(facts: &Facts<'_>, at: usize, label: &str) -> Line {
    if facts.is_open() {
        said(label)
    } else {
        w("Own line ").fig(format!("own.{}", at + 1), (at + 1).to_string())
    }
}

/// Every assumption with its value, source and date, and who set it.
pub(super) fn assumptions(page: &mut Page, facts: &Facts<'_>) {
    let set = &facts.assumptions;
    let head = facts
        .state
        .heads(Subject::Survey, analysis::outlook::ASSUMPTIONS)
        .first();
    let who = match head {
        Some(head) if !facts.assumptions_unread => {
            let mut line = w("The set was put into the survey");
            if let Some(person) = facts.person(head.entry) {
                line = line.w(" by ").said(person);
            }
            if let Some(day) = facts.day(head.entry) {
                line = line.w(" on ").said(day.to_string());
            }
            line.w(". Where it says nothing, the program's default stands, marked as such.")
        }
        Some(_) => {
            w("The survey has a set that this program cannot read, so the program's defaults were used.")
        }
        None => w("Nobody has set any: the program's defaults were used, and no price."),
    };
    page.p(&who);
    let mut rows: Vec<Vec<Line>> = Vec::new();
    for entry in catalogue() {
        let given = set.values.get(entry.key);
        let Some(range) = set.range(entry.key) else {
            continue;
        };
        let default = Value {
            range,
            source: entry.source.to_owned(),
            date: String::new(),
        };
        let whose = if given.is_some() {
            "the planner"
        } else {
            "the program"
        };
        rows.push(row(
            facts,
            entry.key,
            said(entry.label),
            given.unwrap_or(&default),
            unit(facts, entry.kind, entry.driver),
            whose,
        ));
    }
    for (at, own) in set.own.iter().enumerate() {
        let label = own_label(facts, at, &own.label);
        rows.push(row(
            facts,
            &format!("own.{}", at + 1),
            label,
            &own.value,
            unit(facts, Kind::Money, own.driver),
            "the planner",
        ));
    }
    let header = [
        "Assumption",
        "Low",
        "Likely",
        "High",
        "Unit",
        "Source",
        "Date",
        "Set by",
    ]
    .map(Line::from);
    page.grid("Assumptions", &header, &[1, 2, 3], &rows);
    let (s, c) = (&set.storage, &set.capacity);
    let whose = if head.is_some() && !facts.assumptions_unread {
        "the planner"
    } else {
        "the program"
    };
    let number = |id: &str, value: f64| fig(format!("assumption.{id}"), as_given(value));
    let rows: Vec<Vec<Line>> = [
        (
            "Samples a second of the masters",
            number("rate_hz", s.rate_hz.into()),
        ),
        ("Bits a sample", number("bits", s.bits.into())),
        ("Copies of the masters", number("copies", s.copies.into())),
        (
            "Access copies: kilobits a second",
            number("access_kbit_s", s.access_kbit_s.into()),
        ),
        (
            "Access copies: how many",
            number("access_copies", s.access_copies.into()),
        ),
        (
            "Kept free for growth, percent",
            number("growth_percent", s.growth_percent),
        ),
        ("Years of keeping", number("years", s.years)),
        ("Machines at once", number("machines", c.machines)),
        (
            "Hours a week of a machine",
            number("machine_hours_week", c.machine_hours_week),
        ),
        ("People", number("people", c.people)),
        (
            "Hours a week of a person",
            number("people_hours_week", c.people_hours_week),
        ),
    ]
    .into_iter()
    .map(|(label, value)| vec![w(label), value, w(whose)])
    .collect();
    page.grid(
        "What is kept, and who and what there is",
        &["Setting", "Value", "Set by"].map(Line::from),
        &[1],
        &rows,
    );
}

fn row(facts: &Facts<'_>, key: &str, label: Line, value: &Value, unit: Line, whose: &str) -> Vec<Line> {
    let end = |name: &str, number: f64| fig(format!("assumption.{key}.{name}"), as_given(number));
    let typed = |text: &str| match text.trim() {
        "" => w("not stated"),
        _ if whose == "the planner" && !facts.is_open() => w("left out"),
        text => said(text),
    };
    let date = if value.date.trim().is_empty() && whose == "the program" {
        w("none")
    } else {
        said_or(&value.date)
    };
    vec![
        label,
        end("low", value.range.low),
        end("likely", value.range.likely),
        end("high", value.range.high),
        unit,
        typed(&value.source),
        date,
        w(whose),
    ]
}

fn said_or(date: &str) -> Line {
    if date.trim().is_empty() {
        w("not stated")
    } else {
        said(date.trim())
    }
}

/// What a value is counted in.
fn unit(facts: &Facts<'_>, kind: Kind, driver: Driver) -> Line {
    let per = match driver {
        Driver::Items => "an item",
        Driver::ItemsToClean => "an item to clean",
        Driver::ItemsToRepair => "an item to repair",
        Driver::ItemsForSpecialist => "an item for a specialist",
        Driver::Boxes => "a box",
        Driver::ContentHours => "an hour of sound",
        Driver::MachineHours => "a machine hour",
        Driver::StaffHours => "a staff hour",
        Driver::GigabyteYears => "a GB and year",
        Driver::Once => "once",
        Driver::PercentOfLabour => "% of labour",
        Driver::PercentOfAll => "% of all before it",
    };
    match (kind, driver) {
        (Kind::Minutes, _) => w("minutes ").w(per),
        (Kind::Part, _) => w("part of ").w(per),
        (Kind::Money, Driver::PercentOfLabour | Driver::PercentOfAll) => w(per),
        (Kind::Money, _) => said(currency(facts)).w(", ").w(per),
    }
}
