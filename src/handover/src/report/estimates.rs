//! What was estimated: sentences and tables.

use std::collections::BTreeMap;

use analysis::figures::{Figure, Figures};
use survey::State;

use super::numbers::{count, hours, percent, plural};
use super::page::Page;

/// What the survey says, in sentences; one that says so if it says nothing yet.
pub(super) fn headline(figures: &Figures) -> Vec<String> {
    let sample = &figures.sample;
    let Some(items) = figures.headline.get("items.total") else {
        return vec![format!(
            "No estimate yet: of {}, none is part of a complete round.",
            plural(sample.n_boxes, "box", "boxes")
        )];
    };
    let mut sentences = vec![
        format!(
            "About {} items are estimated in {}{}.",
            count(items.estimate),
            plural(sample.n_boxes, "box", "boxes"),
            range(items, count)
        ),
        format!(
            "This rests on a random sample of {}: {} opened and counted, with {} items in them, {} of which were looked at \
             one by one.",
            plural(sample.n_sampled, "box", "boxes"),
            sample.n_checked,
            sample.n_items_counted,
            sample.n_items_checked
        ),
    ];
    if let Some(total) = figures.headline.get("quantity.content_hours.total") {
        sentences.push(format!(
            "They may hold about {} of sound{}, given the playing times assumed for each carrier.",
            hours(total.estimate),
            range(total, hours)
        ));
    }
    sentences
}

/// `95% interval`.
fn interval_name() -> String {
    let level = analysis::figures::options().level;
    format!("{}% interval", level * 100.0)
}

fn range(figure: &Figure, shown: impl Fn(f64) -> String) -> String {
    match (figure.low, figure.high) {
        (Some(low), Some(high)) => format!(" ({}: {} to {})", interval_name(), shown(low), shown(high)),
        _ => " (no interval)".to_owned(),
    }
}

/// The tables: conditions and carriers in the whole collection, then by stratum.
pub(super) fn tables(page: &mut Page, state: &State, figures: &Figures) {
    page.element("h2", "Figures");
    let conditions: Vec<(&str, String)> = tape::conditions()
        .iter()
        .map(|c| (c.label, format!("condition.{}", c.key)))
        .collect();
    shares(page, "Conditions", &figures.headline, &conditions);
    let actions: Vec<(&str, String)> = tape::actions()
        .iter()
        .map(|c| (c.label, format!("action.{}", c.key)))
        .collect();
    shares(page, "What is to be done", &figures.headline, &actions);
    let carriers: Vec<(&str, String)> = tape::carriers()
        .iter()
        .map(|c| (c.label, format!("carrier.{}", c.key)))
        .collect();
    shares(page, "Carriers", &figures.headline, &carriers);
    page.element(
        "p",
        "Seen counts items looked at one by one. A box stopped for mould, say, answers for all its items at once, so a \
         share can be above 0 where none was seen so.",
    );
    by_stratum(
        page,
        state,
        &figures.headline,
        &[conditions, actions, carriers].concat(),
    );
}

/// Items and shares of each stratum, a column a stratum; nothing where there is only one.
fn by_stratum(page: &mut Page, state: &State, figures: &BTreeMap<String, Figure>, rows: &[(&str, String)]) {
    let listed = state
        .strata
        .iter()
        .map(|(key, name)| (key.to_string(), name.as_str()));
    let all = listed.chain(std::iter::once(("late".to_owned(), "Boxes found after the draw")));
    let strata: Vec<(String, &str)> = all
        .filter(|(key, _)| figures.contains_key(&format!("{key}.items.total")))
        .collect();
    if strata.len() < 2 {
        return;
    }
    let shown = |figure: &Figure, shown: fn(f64) -> String| match (figure.low, figure.high) {
        (Some(low), Some(high)) => format!("{} ({} to {})", shown(figure.estimate), shown(low), shown(high)),
        _ => format!("{} (no interval)", shown(figure.estimate)),
    };
    let row = |label: &str, id: &str, number: fn(f64) -> String| {
        let cells: Vec<String> = strata
            .iter()
            .map(|(key, _)| {
                figures
                    .get(&format!("{key}.{id}"))
                    .map(|f| shown(f, number))
                    .unwrap_or_default()
            })
            .collect();
        let known = cells.iter().any(|cell| !cell.is_empty());
        known.then(|| {
            std::iter::once(label.to_owned())
                .chain(cells)
                .collect::<Vec<String>>()
        })
    };
    let items = row("Items", "items.total", count);
    // A carrier that was seen nowhere is in the table above.
    let seen = rows.iter().filter(|(_, id)| {
        figures
            .get(&format!("{id}.share"))
            .is_some_and(|f| f.estimate > 0.0)
    });
    let shares = seen.filter_map(|(label, id)| row(label, &format!("{id}.share"), percent));
    let rows: Vec<Vec<String>> = items.into_iter().chain(shares).collect();
    let header: Vec<&str> = std::iter::once("")
        .chain(strata.iter().map(|(_, name)| *name))
        .collect();
    page.table(&format!("By stratum ({})", interval_name()), &header, &rows);
}

/// One row a share that was estimated: seen of known, share, number, what is not known.
fn shares(page: &mut Page, caption: &str, figures: &BTreeMap<String, Figure>, rows: &[(&str, String)]) {
    let known = rows.iter().filter_map(|(label, id)| {
        let share = figures.get(&format!("{id}.share"))?;
        Some((*label, share, figures.get(&format!("{id}.count"))))
    });
    let interval_name = interval_name();
    let header = [
        "",
        "Seen",
        "Share of items",
        &interval_name,
        "Number of items",
        &interval_name,
        "Not known",
        "Share if all of that were no, or yes",
    ];
    let interval = |figure: &Figure, shown: fn(f64) -> String| match (figure.low, figure.high) {
        (Some(low), Some(high)) => format!("{} to {}", shown(low), shown(high)),
        _ => "none".to_owned(),
    };
    let rows: Vec<Vec<String>> = known
        .map(|(label, share, number)| {
            let seen = match (share.n_seen, share.n_known) {
                (Some(seen), Some(known)) => format!("{seen} of {known}"),
                _ => String::new(),
            };
            vec![
                label.to_owned(),
                seen,
                percent(share.estimate),
                interval(share, percent),
                number.map(|n| count(n.estimate)).unwrap_or_default(),
                number.map(|n| interval(n, count)).unwrap_or_default(),
                share.unknown_share.map(percent).unwrap_or_default(),
                share
                    .bounds
                    .map(|(low, high)| format!("{} or {}", percent(low), percent(high)))
                    .unwrap_or_default(),
            ]
        })
        .collect();
    if !rows.is_empty() {
        page.table(caption, &header, &rows);
    }
}
