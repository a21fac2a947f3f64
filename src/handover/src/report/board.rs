//! One page for those who decide: how much, in what state, what first, what it takes.
//!
//! Short words and short sentences: a test holds the page's reading age.

use super::facts::{AMOUNT, COUNT, Facts, given};
use super::line::{Line, w};
use super::met::Met;
use super::numbers::as_given;
use super::page::Page;

/// Classes that cannot wait, most pressing first.
pub(super) const PRESSING: [&str; 4] = ["keep_away", "call_now", "leave_still", "first"];

pub(super) fn write(page: &mut Page, facts: &Facts<'_>, met: &[Met]) {
    page.element("h3", "How much there is");
    for line in how_much(facts) {
        page.p(&line);
    }
    page.element("h3", "What state it is in");
    page.lines(&state(facts));
    page.element("h3", "What must happen first");
    page.lines(&first(facts, met));
    page.element("h3", "What it takes");
    page.lines(&takes(facts));
    page.element("h3", "How sure this is");
    page.p(&sure(facts));
}

/// The sentences that open the page, the paragraph for an application and the workbook's first sheet.
pub(super) fn how_much(facts: &Facts<'_>) -> Vec<Line> {
    let sample = &facts.figures.sample;
    let Some(items) = facts.estimate("items.total", COUNT) else {
        return vec![
            w("There is no estimate yet. Of ")
                .of("sample.n_boxes", sample.n_boxes, "box", "boxes")
                .w(" on the list, none is part of a complete round."),
        ];
    };
    let mut lines = vec![
        w("There are about ")
            .add(items)
            .w(" tapes and other sound carriers in ")
            .of("sample.n_boxes", sample.n_boxes, "box", "boxes")
            .w(" (")
            .add(Facts::level())
            .w(" range)."),
    ];
    if let Some(hours) = facts.simulated("content_hours", AMOUNT) {
        lines.push(
            w("They hold about ")
                .add(hours)
                .w(" hours of sound")
                .add(given())
                .w("."),
        );
    }
    let stopped = if sample.n_stopped > 0 {
        w(", ")
            .n("sample.n_stopped", sample.n_stopped)
            .w(" stopped for a hazard")
    } else {
        Line::default()
    };
    lines.push(
        w("This comes from a sample: ")
            .of("sample.n_sampled", sample.n_sampled, "box was", "boxes were")
            .w(" drawn by lot, ")
            .n("sample.n_checked", sample.n_checked)
            .w(" of them opened and counted")
            .add(stopped)
            .add(facts.not_in_reach())
            .w(". In these we looked at ")
            .of("sample.n_items_checked", sample.n_items_checked, "tape", "tapes")
            .w(" one by one. Nothing was played."),
    );
    lines
}

/// One line a class that is there, and the rest.
pub(super) fn state(facts: &Facts<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    for class in tape::actions() {
        let id = format!("action.{}", class.key);
        let Some(count) = facts.estimate(&format!("{id}.count"), COUNT) else {
            continue;
        };
        if facts
            .figure(&format!("{id}.count"))
            .is_none_or(|figure| figure.estimate <= 0.0)
        {
            continue;
        }
        lines.push(
            w("“")
                .w(class.label)
                .w("”: about ")
                .add(count)
                .w(" tapes. Seen on ")
                .add(facts.seen(&format!("{id}.share")))
                .w("."),
        );
    }
    if lines.is_empty() {
        lines.push(w("Nothing can be said of the state yet."));
        return lines;
    }
    lines.push(
        w("The ranges in this list are ")
            .add(Facts::level())
            .w(" ranges."),
    );
    if facts.figures.sample.n_stopped > 0 {
        lines.push(w("A stopped box counts for all that it holds."));
    }
    lines
}

/// What is done at once, for each pressing class that was met.
pub(super) fn first(facts: &Facts<'_>, met: &[Met]) -> Vec<Line> {
    let mut lines = Vec::new();
    for class in tape::actions()
        .iter()
        .filter(|class| PRESSING.contains(&class.key))
    {
        let boxes = met.iter().filter(|met| met.class.key == class.key).count();
        let there = facts
            .figure(&format!("action.{}.count", class.key))
            .is_some_and(|figure| figure.estimate > 0.0);
        if boxes == 0 && !there {
            continue;
        }
        let mut line = w("“").w(class.label).w("”: ").w(class.handling);
        if boxes > 0 {
            line = line
                .w(" This was met in ")
                .of(format!("met.{}.boxes", class.key), boxes, "box", "boxes")
                .w(".");
        }
        lines.push(line);
    }
    if lines.is_empty() {
        lines.push(w(
            "Nothing that we saw calls for a step today. Keep the tapes cool, dry and in the dark.",
        ));
    }
    lines
}

/// Time, people, storage and money.
pub(super) fn takes(facts: &Facts<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    let outlook = match &facts.outlook {
        Ok(outlook) => outlook,
        Err(why) => return vec![w("This cannot be planned yet: ").said(why.clone()).w(".")],
    };
    let capacity = &facts.plan.assumptions.capacity;
    if let (Some(staff), Some(weeks)) = (
        facts.simulated("staff_hours", AMOUNT),
        facts.simulated("weeks", AMOUNT),
    ) {
        lines.push(
            w("Copying all of it takes about ")
                .add(staff)
                .w(" hours of work")
                .add(given())
                .w(". With ")
                .fig("assumption.people", as_given(capacity.people))
                .w(if capacity.people > 1.0 {
                    " people and "
                } else {
                    " person and "
                })
                .fig("assumption.machines", as_given(capacity.machines))
                .w(if capacity.machines > 1.0 {
                    " machines that is "
                } else {
                    " machine that is "
                })
                .add(weeks)
                .w(" weeks."),
        );
    }
    if let Some(gigabytes) = facts.simulated("gigabytes", AMOUNT) {
        lines.push(
            w("The files need about ")
                .add(gigabytes)
                .w(" gigabytes (GB), all copies counted")
                .add(given())
                .w("."),
        );
    }
    match facts.simulated("cost.total", COUNT) {
        Some(cost) => lines.push(
            w("The cost is about ")
                .said(currency(facts))
                .w(" ")
                .add(cost)
                .add(given())
                .w(". ")
                .of(
                    "not_priced.kinds",
                    outlook.not_priced.len(),
                    "kind of cost has",
                    "kinds of cost have",
                )
                .w(" no price yet and are not in it."),
        ),
        None => lines.push(w("No prices were given, so this report states no cost.")),
    }
    lines
}

/// The planner's currency, which the log holds as they typed it.
pub(super) fn currency(facts: &Facts<'_>) -> String {
    facts.plan.assumptions.currency.clone()
}

fn sure(facts: &Facts<'_>) -> Line {
    let line = w(
        "The numbers in brackets are ranges. For what we counted or saw they are made to hold the true number in about ",
    )
    .add(Facts::level())
    .w(" of such surveys.");
    if facts.outlook.is_err() {
        return line;
    }
    line.w(" Hours, work, storage and cost also rest on assumptions. Their ranges are meant to hold in ")
        .add(Facts::simulated_level())
        .w(" of cases, if the assumptions are right.")
}
