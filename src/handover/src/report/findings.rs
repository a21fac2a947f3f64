//! What was estimated: how much, by carrier, by condition, by what is to be done, and by stratum.

use analysis::figures::Figure;
use sampling::estimate::Caution;

use super::charts::{Bar, Draw, chart};
use super::facts::{AMOUNT, COUNT, Facts, PERCENT, alone, percent};
use super::line::{Line, fig, said, w};
use super::numbers::as_given;
use super::page::Page;
use super::shut;

/// A row of a table of shares: its label and the id of its figure.
type Row = (&'static str, String);

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
    notes(page, facts, "condition");
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
    notes(page, facts, "carrier");
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

/// One row a share that was estimated, with its counts beside it.
fn shares(page: &mut Page, facts: &Facts<'_>, caption: &str, rows: &[Row]) {
    let level = Facts::level();
    let some = rows.iter().any(|(_, id)| leaves_out_stopped(facts, id));
    let header = [
        w(""),
        w("Seen"),
        w("Share of items (").add(level.clone()).w(" interval)"),
        w(if some {
            "Number of items in counted boxes ("
        } else {
            "Number of items ("
        })
        .add(level)
        .w(" interval)"),
        w("Not known"),
        w("If those were all no, or yes"),
    ];
    let mut out = Vec::new();
    for (label, id) in rows {
        let share_id = format!("{id}.share");
        let (Some(figure), Some(share)) = (facts.figure(&share_id), facts.estimate(&share_id, PERCENT))
        else {
            continue;
        };
        let bounds = figure.bounds.map(|(low, high)| {
            percent(format!("{share_id}.if_none"), low)
                .w(" or ")
                .add(percent(format!("{share_id}.if_all"), high))
        });
        let share = match figure.bounds.filter(|_| is_hardly_known(facts, id)) {
            // Bounds first: what could be told may differ from what could not.
            Some((low, high)) => w("between ")
                .add(percent(format!("{share_id}.if_none"), low))
                .w(" and ")
                .add(percent(format!("{share_id}.if_all"), high))
                .w("; of those that could be told ")
                .add(share),
            None => share,
        };
        let mut count = facts.estimate(&format!("{id}.count"), COUNT).unwrap_or_default();
        if some && !leaves_out_stopped(facts, id) {
            count = count.w(", in all boxes");
        }
        out.push(vec![
            named(facts, label, id),
            facts.seen_in_boxes(&share_id).add(few(figure)),
            share,
            count,
            figure
                .unknown_share
                .map(|part| percent(format!("{share_id}.unknown"), part))
                .unwrap_or_default(),
            bounds.unwrap_or_default(),
        ]);
    }
    page.grid(caption, &header, &[1, 2, 3, 4, 5], &out);
}

/// Whether the number of items with a condition is that of counted boxes alone, because stopped boxes tell nothing of it.
fn leaves_out_stopped(facts: &Facts<'_>, id: &str) -> bool {
    let figure = facts.figure(&format!("{id}.count"));
    figure.is_some_and(|figure| figure.method.contains("nothing assumed of stopped boxes"))
}

/// Whether those of which it could be told may well be another lot than the others. Films are one question with several
/// answers, of which some are told more easily than others; of anything else, where a tenth of all items could not be told
/// though their boxes were counted.
fn is_hardly_known(facts: &Facts<'_>, id: &str) -> bool {
    let unknown = |id: &str| facts.figure(&format!("{id}.share"))?.unknown_share;
    // What was counted is known of every item of a counted box, so what is not known of carriers is what was not counted.
    let not_counted = tape::carriers()
        .iter()
        .find_map(|c| unknown(&format!("carrier.{}", c.key)));
    let not_told = unknown(id).unwrap_or(0.0) - not_counted.unwrap_or(0.0);
    not_told
        > if id.starts_with("condition.base_") {
            0.0
        } else {
            0.1
        }
}

/// The label, with what its share is a share of where much is not known.
fn named(facts: &Facts<'_>, label: &'static str, id: &str) -> Line {
    let line = said(label);
    if is_hardly_known(facts, id) {
        line.w(", of those that could be told")
    } else {
        line
    }
}

/// A mark where the range rests mostly on what is expected of boxes.
fn few(figure: &Figure) -> Line {
    let is_few = figure
        .cautions
        .iter()
        .any(|name| name == Caution::FewTellingBoxes.name());
    if is_few && figure.n_seen > Some(0) && figure.n_seen < figure.n_known {
        w("; few boxes tell")
    } else {
        Line::default()
    }
}

/// What the columns of the tables of shares mean, with what is left out of them.
fn notes(page: &mut Page, facts: &Facts<'_>, kind: &str) {
    if kind == "carrier" {
        page.p(&w("Carriers were counted in the boxes that were opened, and in no other: “Seen” is of all items counted there."));
        return;
    }
    let mut line = w(
        "“Seen” counts items looked at one by one, of those for which it could be told, with the boxes they lay in: boxes are \
         what was drawn. “Few boxes tell”: fewer than three boxes have it, or lack it, so the range rests mostly on what is \
         expected of boxes. “Not known” is the part of items for which it could not be told. The last column says what the \
         share would be if all of these were no, and if all were yes; these two stand first for films, of which some are told more easily than others, and wherever it could not be told of \
         more than a tenth of all items though their boxes were counted. “At most”: where none was seen there is an upper limit alone, one-sided at ",
    )
    .add(Facts::level())
    .w(". Each range stands for itself: of many ranges some miss.");
    if facts.judged("items.shut.count").is_some() {
        line = line.w(
            " A box that was stopped for a hazard answers for all its items at once in what it was stopped for, and in what \
             is to be done; there it weighs as many items as somebody judged from outside, else as many as the others of its \
             stratum hold. Of everything else nothing is assumed of it, and the number is that of the boxes that could be \
             opened and counted",
        );
        line = match (
            facts.judged_about("items.counted.count"),
            facts.figure("items.total").map(|figure| figure.estimate),
        ) {
            (Some(counted), Some(all)) => line
                .w(": about ")
                .add(counted)
                .w(" of about ")
                .add(alone("items.total.alone", all))
                .w(" items."),
            _ => line.w("."),
        };
    }
    page.p(&line);
    shut::empty(page, facts);
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
        "Where something could not be told, a stratum's share takes it as like the known of that stratum, and the whole's as like \
         the known of all strata: so the strata need not add up to the whole.",
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
                let id = format!("{key}.{id}.share");
                let (Some(figure), Some(share)) = (facts.figure(&id), facts.estimate(&id, PERCENT)) else {
                    return Line::default();
                };
                let seen = facts.seen_in_boxes(&id);
                if seen.is_empty() {
                    share
                } else {
                    share.w("; ").add(seen).add(few(figure))
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
