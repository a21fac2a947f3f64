//! What changed since an earlier visit, where the writer chose its file: each figure's change with its interval.

use analysis::change::{Change, Changed, Drawn};
use analysis::figures::Measure;

use super::facts::{AMOUNT, COUNT, Earlier, Facts, POINTS, Shape, days, percent, ranged};
use super::line::{Line, fig, said, w};
use super::numbers::Unit;
use super::page::Page;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let Some(earlier) = &facts.earlier else { return };
    let made = match &earlier.made {
        Ok(made) => made,
        Err(why) => {
            page.p(&w("The two visits cannot be compared: ").said(why.clone()).w("."));
            return;
        }
    };
    visits(page, facts, earlier, made);
    if made.told(true).next().is_none() {
        page.p(&w(
            "No change could be shown: the two samples differ no more than the draw of boxes explains. The ranges are wide, and a \
             change smaller than they are would not be seen.",
        ));
    }
    table(page, "More than the draw of boxes explains", made.told(true));
    table(
        page,
        "May have changed or not: the interval holds no change, too",
        made.told(false),
    );
    if made.same_survey {
        page.p(&w(
            "The earlier file is an earlier state of the same survey: a box that was not looked at again counts as it was.",
        ));
    }
    page.p(&w("Of the changes told here ")
        .n("change.with_limits", made.with_limits)
        .w(" have limits; if nothing had changed, about ")
        .fig("change.by_chance", Unit::TENTH.shown(made.by_chance))
        .w(" of them would seem to have, by chance alone. Trust those that were looked for beforehand."));
    let stopped = made.visits.each_ref().map(|visit| visit.stopped);
    if stopped.iter().any(|n| *n > 0) {
        page.p(&w("Hours of sound are those of counted boxes, so they leave out what is in boxes that were stopped or could not be \
                   counted: ")
            .of("change.first.stopped", stopped[0], "box", "boxes")
            .w(" then, ")
            .n("change.second.stopped", stopped[1])
            .w(" now."));
    }
}

fn visits(page: &mut Page, facts: &Facts<'_>, earlier: &Earlier, made: &Change) {
    let [then, now] = &made.visits;
    let mut line = w("The earlier visit");
    if facts.is_open() && !then.title.trim().is_empty() {
        line = line.w(" (").said(then.title.clone()).w(")");
    }
    if let Some((first, last)) = &earlier.days {
        line = line.w(", ").said(if first == last {
            first.to_string()
        } else {
            format!("{first} to {last}")
        });
    }
    let line = line
        .w(", drew ")
        .of("change.first.sampled", then.sampled, "box", "boxes")
        .w(" and looked at ")
        .of("change.first.items", then.items, "item", "items")
        .w("; this one drew ")
        .of("change.second.sampled", now.sampled, "box", "boxes")
        .w(" and looked at ")
        .of("change.second.items", now.items, "item", "items")
        .w(match made.drawn {
            Drawn::Again => ", by the same draw. ",
            Drawn::Apart => ", by a draw of its own. ",
        })
        .of(
            "change.common",
            made.common_boxes,
            "box was reached",
            "boxes were reached",
        )
        .w(" in both. Intervals of changes are ")
        .add(Facts::level())
        .w(": the distances of the limits from the estimates, then and now, are squared and added")
        .w(match made.drawn {
            Drawn::Again => ", less what the boxes in both have in common, which is no part of the doubt.",
            Drawn::Apart => ". The two draws are independent, so nothing is taken off for boxes in both.",
        });
    page.p(&line);
    let days = earlier.days.zip(days(facts.log));
    if let Some(((first, last), (begun, ended))) = days
        && begun <= last
        && first <= ended
    {
        page.within(
            "p class=\"note\"",
            &w(if first == last && begun == ended {
                "By the devices' clocks both visits were made on the same day, so a difference is hardly one that time has made."
            } else {
                "By the devices' clocks the days of the two visits overlap, so a difference is hardly one that time has made."
            }),
        );
    }
    page.p(&w("The earlier survey's log, by its ")
        .said("SHA-256")
        .w(": ")
        .said(earlier.digest.clone()));
}

fn table<'a>(page: &mut Page, caption: &str, changes: impl Iterator<Item = (&'a String, &'a Changed)>) {
    let rows: Vec<Vec<Line>> = changes
        .map(|(id, changed)| {
            let alone = |part: &str, value: f64| {
                let id = format!("change.{id}.{part}");
                if changed.measure == Measure::Share {
                    percent(id, value)
                } else {
                    fig(id, Unit::of(value, None, None, Unit::ONE).shown(value))
                }
            };
            vec![
                label(id),
                alone("first", changed.first),
                alone("second", changed.second),
                in_words(&format!("change.{id}"), changed),
            ]
        })
        .collect();
    let header = [
        Line::default(),
        w("Then"),
        w("Now"),
        w("Change (").add(Facts::level()).w(" interval)"),
    ];
    page.grid(caption, &header, &[1, 2], &rows);
}

fn label(id: &str) -> Line {
    let key = |prefix: &str| id.strip_prefix(prefix)?.strip_suffix(".share");
    if let Some(key) = key("condition.") {
        let known = tape::conditions().iter().find(|condition| condition.key == key);
        return known.map_or_else(|| said(key), |condition| said(condition.label));
    }
    if let Some(key) = key("action.") {
        let known = tape::actions().iter().find(|class| class.key == key);
        return known.map_or_else(|| said(key), |class| w("To be done: “").said(class.label).w("”"));
    }
    if let Some(key) = key("carrier.") {
        let known = tape::carriers().iter().find(|carrier| carrier.key == key);
        return known.map_or_else(|| said(key), |carrier| said(carrier.label));
    }
    match id {
        "items.total" => w("Items in all"),
        "quantity.content_hours.total" => w("Hours of sound in counted boxes, sampling alone"),
        other => said(other),
    }
}

/// `2.1 points more (0.4 points to 3.8 points)`.
fn in_words(id: &str, changed: &Changed) -> Line {
    let shape: Shape = match changed.measure {
        Measure::Share => POINTS,
        Measure::Count => COUNT,
        Measure::Total | Measure::Mean => AMOUNT,
    };
    let Some((low, high)) = changed.low.zip(changed.high) else {
        return ranged(id, changed.change, None, None, shape);
    };
    if high < 0.0 {
        let id = format!("{id}.less");
        return ranged(&id, -changed.change, Some(-high), Some(-low), shape).w(" fewer");
    }
    if low > 0.0 {
        return ranged(id, changed.change, Some(low), Some(high), shape).w(" more");
    }
    let [fewer, more] = shape.all_shown([-low, high]);
    // An end that rounds to nought is told as what it is: no change, to the figures that the other end carries.
    let is_some = |shown: &str| shown.contains(|c: char| ('1'..='9').contains(&c));
    match (is_some(&fewer), is_some(&more)) {
        (false, false) => w("no change"),
        (false, true) => w("between no change and ")
            .fig(format!("{id}.more"), more)
            .w(" more"),
        (true, false) => w("between ")
            .fig(format!("{id}.fewer"), fewer)
            .w(" fewer and no change"),
        (true, true) => w("between ")
            .fig(format!("{id}.fewer"), fewer)
            .w(" fewer and ")
            .fig(format!("{id}.more"), more)
            .w(" more"),
    }
}
