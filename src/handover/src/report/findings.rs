//! What was estimated: how much, by carrier, by condition, by what is to be done, and by stratum.

use super::charts::{Bar, Draw, chart};
use super::facts::{AMOUNT, COUNT, Facts, PERCENT};
use super::line::{Line, fig, said, w};
use super::numbers::as_given;
use super::page::Page;
use super::shares::{few, is_hardly_known, named, notes, shares};
use super::shut;

/// A row of a table of shares: its label and the id of its figure.
pub(super) type Row = (&'static str, String);

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    if facts.figure("items.total").is_none() {
        page.p(&w("No estimate yet: no round is complete."));
        return;
    }
    extents(page, facts);
    page.element("h3", "Conditions");
    let conditions = rows(tape::conditions().iter().map(|c| (c.label, c.key)), "condition");
    plot(
        page,
        facts,
        w("Share of items with each condition (mark: estimate; line: ")
            .add(Facts::level())
            .w(" interval)"),
        "conditions",
        Draw::Interval,
        "share",
        &conditions,
    );
    shares(page, facts, "Conditions", &conditions);
    notes(page, facts);
    page.element("h3", "What is to be done");
    let actions = rows(tape::actions().iter().map(|c| (c.label, c.key)), "action");
    plot(
        page,
        facts,
        w("Number of items by what is to be done (bar: estimate; line: ")
            .add(Facts::level())
            .w(" interval)"),
        "actions",
        Draw::Bars,
        "count",
        &actions,
    );
    shares(page, facts, "What is to be done", &actions);
    shut::by_class(page, facts);
    page.element("h3", "Carriers");
    let carriers = rows(tape::carriers().iter().map(|c| (c.label, c.key)), "carrier");
    shares(page, facts, "Carriers", &carriers);
    page.p(&w(
        "Carriers were counted in the boxes that were opened, and in no other: “Seen” is of all items counted there.",
    ));
    by_stratum(page, facts, &[conditions, actions, carriers].concat());
}

fn rows(all: impl Iterator<Item = (&'static str, &'static str)>, kind: &str) -> Vec<Row> {
    all.map(|(label, key)| (label, format!("{kind}.{key}"))).collect()
}

/// Boxes, carriers, hours and shelf: each with its own doubt.
fn extents(page: &mut Page, facts: &Facts<'_>) {
    let sample = &facts.figures.sample;
    let mut rows = vec![
        vec![
            w("Boxes"),
            Line::default().n("sample.n_boxes", sample.n_boxes),
            w("Counted: every box on the closed list"),
        ],
        vec![
            w("Items (sound carriers)"),
            facts.estimate("items.total", COUNT).unwrap_or_default(),
            w("Estimated from the boxes counted").add(shut::of_items(facts)),
        ],
    ];
    if let Some(hours) = facts.estimate("quantity.content_hours.total", AMOUNT) {
        rows.push(vec![
            w("Hours of sound, sampling alone"),
            hours,
            w("At the likely playing time of each carrier; the range leaves out what is not known of speeds, tracks and lengths")
                .add(shut::left_out(facts)),
        ]);
    }
    if let Some(hours) = facts.simulated("content_hours", AMOUNT) {
        rows.push(vec![
            w("Hours of sound, all doubts together"),
            hours,
            w("Given these assumptions; the range to plan with. ")
                .w(if facts.judged("items.shut.count").is_some() {
                    "It counts what the boxes hold that could not be opened and counted, as the line before does not. For this, too, its mean "
                } else {
                    "Its mean "
                })
                .w("can lie above the line before: an unknown speed can make a tape last much longer, but not much shorter"),
        ]);
    }
    rows.push(vec![
        w("Shelf length"),
        w("not measured"),
        w("This survey counts boxes; measure the shelves for a move"),
    ]);
    page.grid(
        "How much there is",
        &[
            Line::default(),
            w("How many (")
                .add(Facts::level())
                .w(" interval; simulated: ")
                .add(Facts::simulated_level())
                .w(" range)"),
            w("How it is known"),
        ],
        &[1],
        &rows,
    );
}

fn plot(page: &mut Page, facts: &Facts<'_>, name: Line, id: &str, how: Draw, measure: &str, rows: &[Row]) {
    let (shape, times, after) = if measure == "share" {
        (PERCENT, 100.0, "%")
    } else {
        (COUNT, 1.0, "")
    };
    let bars: Vec<Bar> = rows
        .iter()
        .filter_map(|(label, key)| {
            let id = format!("{key}.{measure}");
            let figure = facts.figure(&id)?;
            Some(Bar {
                label: named(facts, label, key),
                estimate: figure.estimate * times,
                range: figure
                    .low
                    .zip(figure.high)
                    .map(|(low, high)| (low * times, high * times)),
                text: facts.estimate(&id, shape)?,
            })
        })
        .collect();
    chart(page, name, id, after, how, &bars);
}

/// Strata side by side, four at a time so that a page holds them; nothing where there is only one.
fn by_stratum(page: &mut Page, facts: &Facts<'_>, rows: &[Row]) {
    let strata = facts.strata();
    if strata.len() < 2 {
        return;
    }
    page.element("h3", "By stratum");
    page.p(&w(
        "Where something could not be told, it is taken as like what could be told in the same stratum. Where fewer than two opened \
         boxes of a stratum tell of it, the whole takes it as like all that is known, and then the strata need not add up to the whole.",
    ));
    for part in strata.chunks(4) {
        let first = w("Share of items (").add(Facts::level()).w(" interval); seen");
        let header: Vec<Line> = std::iter::once(first)
            .chain(part.iter().map(|(_, name)| said(*name)))
            .collect();
        let line = |label: &'static str, cell: &dyn Fn(&str) -> Line| {
            let cells: Vec<Line> = part.iter().map(|(key, _)| cell(key)).collect();
            let known = cells.iter().any(|cell| !cell.is_empty());
            known.then(|| std::iter::once(said(label)).chain(cells).collect::<Vec<Line>>())
        };
        let counted = |what: &'static str| move |key: &str| drawn(facts, key, what);
        let mut out: Vec<Vec<Line>> = vec![
            line("Boxes on the list", &counted("boxes")),
            line("Boxes drawn", &counted("drawn")),
            line("Degrees of freedom of a range", &|key| {
                let id = format!("{key}.items.total");
                let df = facts.figure(&id).and_then(|figure| figure.df);
                df.map_or_else(Line::default, |df| fig(format!("{id}.df"), as_given(df)))
            }),
            line("Items", &|key| {
                facts
                    .estimate(&format!("{key}.items.total"), COUNT)
                    .unwrap_or_default()
            }),
        ]
        .into_iter()
        .flatten()
        .collect();
        // What was seen nowhere is in the tables above.
        let there = |id: &str| {
            facts
                .figure(&format!("{id}.share"))
                .is_some_and(|f| f.estimate > 0.0)
        };
        for (label, id) in rows.iter().filter(|(_, id)| there(id)) {
            let cells = line(label, &|key| {
                let bare = id.as_str();
                let id = format!("{key}.{id}.share");
                let (Some(figure), Some(share)) = (facts.figure(&id), facts.estimate(&id, PERCENT)) else {
                    return Line::default();
                };
                let seen = facts.seen_in_boxes(&id);
                let not_told = looked_at(facts, key)
                    .zip(figure.n_known)
                    .filter(|_| is_hardly_known(facts, bare))
                    .and_then(|(all, known)| all.checked_sub(known).filter(|n| *n > 0));
                let not_told = not_told.map_or_else(Line::default, |n| {
                    w(", not told of ").fig(format!("{id}.not_told"), n.to_string())
                });
                if seen.is_empty() {
                    share
                } else {
                    share.w("; ").add(seen).add(not_told).add(few(figure))
                }
            });
            out.extend(cells.map(|mut cells| {
                if let Some(label_cell) = cells.first_mut() {
                    *label_cell = named(facts, label, id);
                }
                cells
            }));
        }
        let numbers: Vec<usize> = (1..=part.len()).collect();
        page.grid(
            "By stratum: share of items with its interval, and how many were seen, in how many boxes",
            &header,
            &numbers,
            &out,
        );
    }
}

/// Items of a stratum that were looked at: each of them is in a class.
fn looked_at(facts: &Facts<'_>, key: &str) -> Option<u64> {
    facts
        .figure(&format!("{key}.action.{}.share", tape::LOOK_AGAIN))?
        .n_known
}

/// Boxes of a stratum: on the list, or drawn in rounds that count.
fn drawn(facts: &Facts<'_>, key: &str, what: &str) -> Line {
    let of = |stratum: survey::frame::DrawStratum| stratum.to_string() == key;
    let number = if what == "drawn" {
        let sample = facts.state.sample(false);
        sample.iter().filter(|(drawn, _)| of(drawn.stratum)).count()
    } else {
        let listed = facts.state.frame.iter().flat_map(|frame| frame.boxes.values());
        let listed = listed.filter(|stratum| stratum.to_string() == key).count();
        let late = facts
            .state
            .late_boxes()
            .filter(|serial| facts.stratum_of(*serial).is_some_and(of));
        listed + late.count()
    };
    fig(format!("{key}.{what}"), super::numbers::whole(number))
}
