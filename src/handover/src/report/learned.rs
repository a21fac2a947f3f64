//! What the first transfers showed, beside what the look had said.

use analysis::figures::Measure;
use analysis::learned::{self, Learned};

use super::facts::{AMOUNT, Facts, PERCENT, ranged};
use super::line::{Line, fig, said, w};
use super::numbers::as_given;
use super::page::Page;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let Some(made) = &facts.figures.learned else {
        return;
    };
    page.element("h3", "What the first transfers showed");
    let line = w("Of the ")
        .n("learned.n_looked", made.n_looked)
        .w(" items that were looked at ")
        .n("learned.n_read", made.n_read)
        .w(" were transferred. They were chosen ")
        .add(how(&made.chosen))
        .w(".");
    page.p(&line);
    if let Some(hours) = made.hours {
        page.p(&w("Hours of sound of the ")
            .n("learned.hours.n", hours.n)
            .w(" items of which both are known: ")
            .fig("learned.hours.said", as_given(hours.said))
            .w(" by the look, ")
            .fig("learned.hours.found", as_given(hours.found))
            .w(" in the transfer."));
    }
    crossed(page, made);
    if made.refused.is_some() {
        page.p(&w(
            "No estimate of the whole collection is put right by them: they stand for themselves alone.",
        ));
    }
    put_right(page, made);
}

fn how(chosen: &str) -> Line {
    match chosen {
        learned::BY_CHANCE => w("by chance, as was said; nothing here can show it"),
        learned::ON_PURPOSE => w("on purpose"),
        _ => w("by a draw that can be done again"),
    }
}

fn crossed(page: &mut Page, made: &Learned) {
    let rows: Vec<Vec<Line>> = made
        .conditions
        .iter()
        .map(|(key, c)| {
            let n = |part: &str, n: usize| fig(format!("learned.condition.{key}.{part}"), n.to_string());
            vec![
                condition(key),
                n("both", c.both),
                n("said", c.said),
                n("found", c.found),
                n("neither", c.neither),
                n("not_said", c.not_said),
            ]
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    let header = [
        "Condition",
        "Said and found",
        "Said alone",
        "Found alone",
        "Neither",
        "The look could not tell",
    ]
    .map(Line::from);
    page.grid(
        "Conditions in the transferred items",
        &header,
        &[1, 2, 3, 4, 5],
        &rows,
    );
}

fn put_right(page: &mut Page, made: &Learned) {
    let rows: Vec<Vec<Line>> = made
        .figures
        .iter()
        .map(|(id, right)| {
            let (shape, label) = match right.figure.measure {
                Measure::Share => {
                    let key = id.trim_start_matches("condition.").trim_end_matches(".share");
                    (PERCENT, condition(key).w(", share of items"))
                }
                Measure::Mean => (AMOUNT, w("Hours of sound an item")),
                _ => (AMOUNT, w("Hours of sound in all")),
            };
            let figure = &right.figure;
            let before = right.before.map(|before| {
                let id = format!("learned.{id}.before");
                ranged_alone(&id, before, right.figure.measure)
            });
            vec![
                label,
                ranged(
                    &format!("learned.{id}"),
                    figure.estimate,
                    figure.low,
                    figure.high,
                    shape,
                ),
                before.unwrap_or_else(|| w("not made")),
            ]
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    page.p(&w(
        "Put right by what was found, in two phases: the look at many items, the transfer of some of them. Where the look had \
         been right, the range hardly widens; where not, this figure stands in its place.",
    ));
    let header = [
        w("Put right"),
        w("Estimate and ").add(Facts::level()).w(" range"),
        w("By the look alone"),
    ];
    page.grid("Estimates put right", &header, &[1, 2], &rows);
}

fn ranged_alone(id: &str, value: f64, measure: Measure) -> Line {
    if measure == Measure::Share {
        super::facts::percent(id, value)
    } else {
        fig(id, super::numbers::three(value))
    }
}

fn condition(key: &str) -> Line {
    let known = tape::conditions().iter().find(|condition| condition.key == key);
    known.map_or_else(|| said(key), |condition| said(condition.label))
}
