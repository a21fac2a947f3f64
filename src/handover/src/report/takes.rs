//! What it takes, and what moves it most.

use analysis::outlook::InNoBatch;
use costing::catalogue;

use super::board::{staffing, years};
use super::facts::{AMOUNT, COUNT, Facts, GIBI, PERCENT, Shape, percent, ranged};
use super::line::{Line, said, w};
use super::page::Page;
use super::{costs, ladder, reading};

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
        "Every figure in this section is given these assumptions: the next section lists them all. They are no quotation.",
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
                facts.simulated_or_why(id, AMOUNT)?
            } else {
                w("no time was given for it")
            };
            Some(vec![w(label), amount])
        })
        .collect();
    page.grid("Hours and weeks", &header, &[1], &rows);
    if let Some(years) = years(facts) {
        page.p(&w("That is about ")
            .add(years)
            .w(" years for ")
            .add(staffing(facts))
            .w("."));
    }
    page.p(&w(
        "The machines' hours are the playing time and no more: the longer time that a tape takes whose decay has begun is not \
         in them. A price for specialist treatment is to cover it.",
    ));
    storage(page, facts, &header);
    costs::write(page, facts);
    ladder::write(page, facts);
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
            facts.simulated_or_why(id, AMOUNT).unwrap_or_default(),
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
    let line = w(
        "Takes too long for a file of four gigabytes, the most that the common form of a wave file holds: ",
    )
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
            .w(" (")
            .add(Facts::level())
            .w(" ranges), at the likely playing time. These need a larger form of broadcast wave (")
            .said("RF64, BW64")
            .w(") or a cut.")
    } else {
        line.w(".")
    };
    page.p(&line);
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
        page.p(&reading::unranked(facts));
        return;
    }
    page.p(&w("To know one of these would make the range of ")
        .w(of)
        .w(" narrower by about the part named; to know several, by more."));
    let rows: Vec<Vec<Line>> = outlook
        .drivers
        .iter()
        .take(6)
        .enumerate()
        .map(|(at, driving)| {
            let id = format!("outlook.driver.{}", at + 1);
            vec![
                cause(facts, &driving.cause),
                percent(format!("{id}.narrower"), 1.0 - driving.width_then),
            ]
        })
        .collect();
    page.grid(
        "What narrows the range most, given these assumptions",
        &["If this were known", "Narrower by"].map(Line::from),
        &[1],
        &rows,
    );
    page.p(&reading::unranked(facts));
}

fn cause(facts: &Facts<'_>, cause: &costing::Cause) -> Line {
    use costing::Cause::{Assumption, Sample, Speed, Tracks, Transfers};
    match cause {
        Sample(key) => w("What ten more boxes hold of ").said(facts.stratum_name(key)),
        Speed(name) => w("At what speed these were recorded: ").add(group(facts, name)),
        Transfers => w("What more transfers would show"),
        Tracks(name) => w("On how many tracks these were recorded: ").add(group(facts, name)),
        Assumption(key) => match catalogue().iter().find(|entry| entry.key == key) {
            Some(entry) => w("The assumption: ").said(entry.label),
            None if facts.is_open() => w("The assumption: ").said(key.clone()),
            None => w("An assumption of the planner's own"),
        },
    }
}

/// Items that share their speed and tracks: a batch by its name, others by what they are and where.
fn group(facts: &Facts<'_>, name: &str) -> Line {
    if !facts.is_open() {
        return w("a group of like items");
    }
    let Some(items) = InNoBatch::of(facts.state, name) else {
        return said(name);
    };
    let kind = items.carrier.map_or("items", |carrier| carrier.label);
    said(kind)
        .w(", ")
        .said(facts.stratum_name(&items.stratum.to_string()))
}
