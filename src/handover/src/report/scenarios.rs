//! Scenarios side by side: sentences first, then the two tables.

use costing::{Bought, Changed, DIFFERENCES, Scenario, SideBySide, Told, catalogue};

use super::board::currency;
use super::classes::before_next;
use super::facts::{AMOUNT, COUNT, Facts, Shape, percent, ranged};
use super::ladder::spanned;
use super::line::{Line, fig, said, w};
use super::numbers::{Unit, as_given, whole};
use super::page::Page;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let Some(made) = facts.plan.side_by_side() else {
        return;
    };
    page.element("h3", "Side by side");
    page.p(&w(
        "Other ways to do it, beside what is planned. All were drawn with the same numbers at random, so that what they have \
         in common is no part of a difference's range.",
    ));
    for (at, (scenario, told)) in facts
        .plan
        .saved
        .scenarios
        .iter()
        .zip(made.scenarios.iter().skip(1))
        .enumerate()
    {
        let at = at + 1;
        page.within("p class=\"caption\"", &changes(facts, at, scenario));
        let differs = differs(facts, made, at);
        in_turn(page, facts, at, told, differs.unwrap_or_default());
    }
    amounts(page, facts, made);
    differences(page, facts, made);
    let unused = facts.plan.saved.unused.iter();
    let unused: Vec<String> = unused.map(|(name, why)| format!("{name} ({why})")).collect();
    if !unused.is_empty() {
        let line = w("Saved, but not told here: ");
        page.p(&if facts.is_open() {
            line.said(unused.join("; ")).w(".")
        } else {
            line.n("scenarios.unused", unused.len()).w(".")
        });
    }
}

/// A scenario's name; for outsiders its number.
fn name(facts: &Facts<'_>, at: usize, made: &SideBySide) -> Line {
    match made.scenarios.get(at) {
        Some(told) if at > 0 && facts.is_open() => said(told.name.clone()),
        Some(_) if at > 0 => w("Scenario ").fig(format!("scenario.{at}.number"), at.to_string()),
        _ => w(costing::PLANNED),
    }
}

/// What it changes.
fn changes(facts: &Facts<'_>, at: usize, scenario: &Scenario) -> Line {
    let name = if facts.is_open() {
        said(scenario.name.clone())
    } else {
        w("Scenario ").fig(format!("scenario.{at}.number"), at.to_string())
    };
    let mut parts: Vec<Line> = Vec::new();
    if let Some(budget) = scenario.budget {
        parts.push(
            said(currency(facts))
                .w("\u{a0}")
                .fig(format!("scenario.{at}.budget"), as_given(budget))
                .w(" to spend"),
        );
    }
    if let Some(weeks) = scenario.weeks {
        parts.push(fig(format!("scenario.{at}.in_weeks"), as_given(weeks)).w(" weeks to do it in"));
    }
    let left: Vec<&str> = tape::actions()
        .iter()
        .filter(|class| scenario.leave_out.contains(class.key))
        .map(|class| class.label)
        .collect();
    if !left.is_empty() {
        parts.push(w("nothing is done with: ").said(left.join(", ")));
    }
    if let Some(capacity) = &scenario.capacity {
        let number = |id: &str, value: f64| fig(format!("scenario.{at}.{id}"), as_given(value));
        parts.push(
            w("machines: ")
                .add(number("machines", capacity.machines))
                .w(" for ")
                .add(number("machine_hours_week", capacity.machine_hours_week))
                .w(" hours a week, people: ")
                .add(number("people", capacity.people))
                .w(" for ")
                .add(number("people_hours_week", capacity.people_hours_week))
                .w(" hours a week"),
        );
    }
    let label = |key: &String| {
        let known = catalogue().iter().find(|entry| entry.key == key);
        known.map_or_else(|| key.clone(), |entry| entry.label.to_owned())
    };
    let mut values: Vec<String> = scenario.values.keys().map(label).collect();
    if facts.is_open() {
        values.extend(scenario.own.iter().map(|line| line.label.clone()));
    }
    if !values.is_empty() {
        parts.push(w("other values of: ").said(values.join(", ")));
    }
    if !facts.is_open() && !scenario.own.is_empty() {
        parts.push(w("further lines: ").n(format!("scenario.{at}.own"), scenario.own.len()));
    }
    if scenario.storage.is_some() {
        parts.push(w("other storage"));
    }
    let mut line = name.w(match parts.len() {
        0 => " does not differ from the plan",
        1 => " differs from the plan in one thing: ",
        _ => " differs from the plan in: ",
    });
    for (n, part) in parts.into_iter().enumerate() {
        line = if n == 0 { line } else { line.w("; ") }.add(part);
    }
    line.w(".")
}

/// Hours, weeks and cost against what is planned.
fn differs(facts: &Facts<'_>, made: &SideBySide, at: usize) -> Option<Line> {
    let pair = made
        .differences
        .iter()
        .find(|pair| pair.of == at && pair.from == 0)?;
    if pair.quantities.values().all(is_same) {
        return Some(w("Work and cost of the whole are as planned."));
    }
    let mut line = w("Beside what is planned: ");
    let told = [
        ("staff_hours", "staff hours"),
        ("weeks", "weeks"),
        ("cost.total", ""),
    ];
    let mut first = true;
    for (id, unit) in told {
        let Some(changed) = pair.quantities.get(id).filter(|changed| !is_same(changed)) else {
            continue;
        };
        let unit = if id == "cost.total" {
            said(currency(facts))
        } else {
            w(unit)
        };
        line = if first { line } else { line.w("; ") }
            .add(unit)
            .w(": ")
            .add(difference(
                &format!("scenario.{at}.beside.0.{id}"),
                changed,
                shape(id),
            ));
        first = false;
    }
    (!first).then(|| line.w("."))
}

/// Whether there is no difference in any draw.
fn is_same(changed: &Changed) -> bool {
    let span = changed.span;
    [span.mean, span.low, span.high]
        .into_iter()
        .all(|end| end.abs() <= 0.0)
}

/// What its money and its weeks are enough for; `before` opens what is said of it.
fn in_turn(page: &mut Page, facts: &Facts<'_>, at: usize, told: &Told, before: Line) {
    let mut before = before;
    for (key, there, what, chance, all) in [
        ("budget", "This money", "this sum", told.chance, &told.bought),
        (
            "in_weeks",
            "This time",
            "this time",
            told.chance_in_weeks,
            &told.done,
        ),
    ] {
        let Some(chance) = chance else { continue };
        let space = if before.is_empty() { "" } else { " " };
        let enough = enough(facts, at, (key, there, chance), told, all);
        page.p(&std::mem::take(&mut before).w(space).add(enough));
        order(page, facts, &format!("scenario.{at}.{key}"), what, all);
    }
    if !before.is_empty() {
        page.p(&before);
    }
}

/// Whether it is enough for all, how much it does, and of what.
fn enough(
    facts: &Facts<'_>,
    at: usize,
    (what, there, chance): (&str, &str, f64),
    told: &Told,
    all: &[Bought],
) -> Line {
    let n = facts.outlook.as_ref().map_or(0, |outlook| outlook.draws);
    let draws = Unit::ONE.shown(chance * f64::from(u32::try_from(n).unwrap_or(u32::MAX)));
    let chance_is = fig(
        format!("scenario.{at}.{what}.chance"),
        if chance > 0.0 { draws } else { "none".to_owned() },
    );
    let mut line = w(there)
        .w(if chance < 0.5 {
            " is not enough for all of it: it would be in "
        } else {
            " is enough for all of it in "
        })
        .add(chance_is)
        .w(" of ")
        .fig("outlook.draws", whole(n))
        .w(" draws.");
    let (Some(done), Some(whole)) = (
        told.quantities.get(&format!("{what}.items")),
        told.quantities.get("items"),
    ) else {
        return line;
    };
    let unit = Unit::of(whole.mean, Some(whole.low), Some(whole.high), Unit::ONE);
    line = line
        .w(" It does about ")
        .add(spanned(&format!("scenario.{at}.{what}.items"), *done, COUNT))
        .w(" of ")
        .fig(format!("scenario.{at}.items"), unit.shown(whole.mean))
        .w(" items");
    // What is not done in most draws is not named.
    let begun: Vec<&str> = all
        .iter()
        .filter(|bought| bought.items.high >= 0.5)
        .filter_map(|bought| tape::actions().iter().find(|class| class.key == bought.class))
        .map(|class| class.label)
        .collect();
    match begun[..] {
        [] => line.w("."),
        [one] => line.w(", all of them “").w(one).w("”; the rest waits."),
        _ => line
            .w(", the most pressing first: “")
            .w(&begun.join("”, “"))
            .w("”; what is left waits."),
    }
}

/// Class after class, with the reason for its place and where its items lie.
fn order(page: &mut Page, facts: &Facts<'_>, id: &str, what: &str, all: &[Bought]) {
    let rows: Vec<Vec<Line>> = all
        .iter()
        .filter(|bought| bought.items.mean >= 0.5)
        .filter_map(|bought| {
            let class = tape::actions().iter().find(|class| class.key == bought.class)?;
            let id = format!("{id}.{}", class.key);
            let (items, strata) = (bought.items, &bought.strata);
            let mut places = Line::default();
            for (key, n) in strata.iter().filter(|(_, n)| **n >= 0.5) {
                places = if places.is_empty() { places } else { places.w("; ") }
                    .said(facts.stratum_name(key))
                    .w("\u{a0}")
                    .fig(
                        format!("{id}.{key}"),
                        Unit::of(*n, None, None, Unit::ONE).shown(*n),
                    );
            }
            if places.is_empty() {
                places = w("fewer than one in each stratum");
            }
            Some(vec![
                said(class.label),
                w(before_next(class)),
                spanned(&id, items, COUNT),
                percent(format!("{id}.all"), bought.chance_of_all),
                places,
            ])
        })
        .collect();
    page.grid(
        &format!("What {what} is enough for, in this order, given these assumptions"),
        &[
            w("Class, the most pressing first"),
            w("Why here"),
            w("Items: mean and ").add(Facts::simulated_level()).w(" range"),
            w("Chance of all"),
            w("Where they lie, on average"),
        ],
        &[2, 3],
        &rows,
    );
}

fn amounts(page: &mut Page, facts: &Facts<'_>, made: &SideBySide) {
    let mut header = vec![
        w("Given these assumptions: mean and ")
            .add(Facts::simulated_level())
            .w(" range"),
    ];
    header.extend((0..made.scenarios.len()).map(|at| name(facts, at, made)));
    let rows: Vec<Vec<Line>> = DIFFERENCES
        .iter()
        .filter(|id| {
            made.scenarios
                .iter()
                .any(|told| told.quantities.contains_key(**id))
                && !is_same_in_all(made, id)
        })
        .map(|id| {
            let mut row = vec![label(facts, id)];
            row.extend(made.scenarios.iter().enumerate().map(|(at, told)| {
                let cell = told.quantities.get(*id).map(|span| {
                    let id = format!("scenario.{at}.{id}");
                    ranged(&id, span.mean, Some(span.low), Some(span.high), shape(&id))
                });
                cell.unwrap_or_else(|| w("not told"))
            }));
            row
        })
        .collect();
    let numbers: Vec<usize> = (1..=made.scenarios.len()).collect();
    page.grid("Scenarios, each with its range", &header, &numbers, &rows);
    let same: Vec<String> = DIFFERENCES
        .iter()
        .filter(|id| is_same_in_all(made, id))
        .map(|id| label(facts, id).plain())
        .collect();
    if !same.is_empty() {
        page.p(&w("As planned in every scenario: ").said(same.join("; ")).w("."));
    }
}

/// Whether every scenario that has a quantity has the planned one.
fn is_same_in_all(made: &SideBySide, id: &str) -> bool {
    let pairs = made.differences.iter().filter(|pair| pair.from == 0);
    let mut told = pairs.filter_map(|pair| pair.quantities.get(id)).peekable();
    told.peek().is_some() && told.all(is_same)
}

fn differences(page: &mut Page, facts: &Facts<'_>, made: &SideBySide) {
    let rows: Vec<Vec<Line>> = made
        .differences
        .iter()
        .flat_map(|pair| {
            let told = pair.quantities.iter().filter(|(_, changed)| !is_same(changed));
            told.map(|(id, changed)| {
                let key = format!("scenario.{}.beside.{}.{id}", pair.of, pair.from);
                vec![
                    name(facts, pair.of, made)
                        .w(" beside ")
                        .add(lower(facts, pair.from, made)),
                    label(facts, id),
                    difference(&key, changed, shape(id)),
                    percent(format!("{key}.more"), changed.chance_more),
                ]
            })
        })
        .collect();
    page.grid(
        "Differences, each with its range, given these assumptions",
        &[
            w("Scenario"),
            w("Quantity"),
            w("Mean difference and ")
                .add(Facts::simulated_level())
                .w(" range"),
            w("Chance of more"),
        ],
        &[2, 3],
        &rows,
    );
}

fn lower(facts: &Facts<'_>, at: usize, made: &SideBySide) -> Line {
    if at == 0 {
        w("what is planned")
    } else {
        name(facts, at, made)
    }
}

fn label(facts: &Facts<'_>, id: &str) -> Line {
    match id {
        "items" => w("Items"),
        "content_hours" => w("Hours of sound"),
        "machine_hours" => w("Machine hours"),
        "staff_hours" => w("Staff hours"),
        "weeks" => w("Weeks"),
        "gigabytes" => w("Storage of all copies, GB"),
        "cost.total" => w("Cost in ").said(currency(facts)),
        "in_weeks.items" => w("Items done in the weeks there are"),
        _ => w("Items done for the budget"),
    }
}

fn shape(id: &str) -> Shape {
    if id.ends_with("items") || id.ends_with("cost.total") {
        COUNT
    } else {
        AMOUNT
    }
}

/// `12 fewer (8 to 15 fewer)` where the sign is sure; else the signed number with its range.
fn difference(id: &str, changed: &Changed, shape: Shape) -> Line {
    let span = changed.span;
    if span.low >= 0.0 && span.high <= 0.0 {
        return w("no difference in most draws");
    }
    if span.high <= 0.0 {
        let id = format!("{id}.less");
        return ranged(&id, -span.mean, Some(-span.high), Some(-span.low), shape).w(" less");
    }
    let line = ranged(id, span.mean, Some(span.low), Some(span.high), shape);
    if span.low >= 0.0 {
        line.w(" more")
    } else {
        line.w(", so more or less")
    }
}
