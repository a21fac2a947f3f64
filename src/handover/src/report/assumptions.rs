//! Every assumption with its value, source and date, and who set it.

use costing::{Capacity, Driver, Kind, Storage, Value, catalogue};
use survey::Subject;

use super::board::currency;
use super::facts::Facts;
use super::line::{Line, fig, said, w};
use super::numbers::as_given;
use super::page::Page;

/// The label of a planner's own line, where it may be shown.
pub(super) fn own_label(facts: &Facts<'_>, at: usize, label: &str) -> Line {
    if facts.is_open() {
        said(label)
    } else {
        w("Own line ").fig(format!("own.{}", at + 1), (at + 1).to_string())
    }
}

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let set = &facts.plan.assumptions;
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
    for line in super::prices::lines(facts) {
        page.p(&line);
    }
    page.p(&w(
        "The figures assume, too: a box that nobody reached is like the others of its stratum, and an answer that nobody could \
         give is like those that were given in its stratum. The program sets both.",
    ));
    let mut rows: Vec<Vec<Line>> = Vec::new();
    for entry in catalogue() {
        let given = set.values.get(entry.key);
        let Some(range) = set.range(entry.key) else {
            continue;
        };
        // Of judgements from outside there may be none, and then nothing rests on them.
        if entry.kind == Kind::Factor && given.is_none() && !facts.plan.collection.rests_on_judging() {
            continue;
        }
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
    page.grid("Times, parts and prices", &header, &[1, 2, 3], &rows);
    let (s, c) = (&set.storage, &set.capacity);
    let (ds, dc) = (Storage::default(), Capacity::default());
    let number = |id: &str, value: f64, usual: f64| {
        // A set holds every one of these, touched or not: one that is the program's own is not said to be the planner's.
        let whose = if (value - usual).abs() > 0.0 {
            "the planner"
        } else {
            "the program"
        };
        (fig(format!("assumption.{id}"), as_given(value)), whose)
    };
    let rows: Vec<Vec<Line>> = [
        (
            "Samples a second of the masters",
            number("rate_hz", s.rate_hz.into(), ds.rate_hz.into()),
        ),
        ("Bits a sample", number("bits", s.bits.into(), ds.bits.into())),
        (
            "Copies of the masters",
            number("copies", s.copies.into(), ds.copies.into()),
        ),
        (
            "Access copies: kilobits a second",
            number("access_kbit_s", s.access_kbit_s.into(), ds.access_kbit_s.into()),
        ),
        (
            "Access copies: how many",
            number("access_copies", s.access_copies.into(), ds.access_copies.into()),
        ),
        (
            "Kept free for growth, percent",
            number("growth_percent", s.growth_percent, ds.growth_percent),
        ),
        ("Years of keeping", number("years", s.years, ds.years)),
        ("Machines at once", number("machines", c.machines, dc.machines)),
        (
            "Hours a week of a machine",
            number("machine_hours_week", c.machine_hours_week, dc.machine_hours_week),
        ),
        ("People", number("people", c.people, dc.people)),
        (
            "Hours a week of a person",
            number("people_hours_week", c.people_hours_week, dc.people_hours_week),
        ),
    ]
    .into_iter()
    .map(|(label, (value, whose))| vec![w(label), value, w(whose)])
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
        (Kind::Factor, _) => w("items"),
        (Kind::Money, Driver::PercentOfLabour | Driver::PercentOfAll) => w(per),
        (Kind::Money, _) => said(currency(facts)).w(", ").w(per),
    }
}
