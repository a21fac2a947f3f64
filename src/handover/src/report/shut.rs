//! Boxes that were drawn and could not be opened or counted: how much rests on judging them from outside.

use analysis::outside;

use super::facts::{Facts, percent};
use super::line::{Line, w};
use super::page::Page;

/// How many of all items are those of boxes that were judged from outside; nothing where every box was counted.
pub(super) fn of_items(facts: &Facts<'_>) -> Line {
    match facts.judged_about("items.shut.count") {
        Some(about) => w("; about ")
            .add(about)
            .w(" of them are those of boxes that could not be counted, as judged from outside or taken as their stratum's \
                mean, and the range does not cover that judgement"),
        None => Line::default(),
    }
}

/// What a sum over counted boxes leaves out.
pub(super) fn left_out(facts: &Facts<'_>) -> Line {
    match facts.judged_about("items.shut.count") {
        Some(about) => w("; the line leaves out about ")
            .add(about)
            .w(" items of boxes that could not be counted"),
        None => Line::default(),
    }
}

/// For each class that counts boxes judged from outside: how much of it they are.
pub(super) fn by_class(page: &mut Page, facts: &Facts<'_>) {
    let mut lines = Vec::new();
    for class in tape::actions() {
        let id = format!("action.{}", class.key);
        let (whole, _) = facts.n_whole(&id);
        let shut = format!("{id}.shut.count");
        let (Some(of_class), Some(about), Some(all)) = (
            facts.figure(&format!("{id}.count")).map(|figure| figure.estimate),
            facts.judged_about(&shut),
            facts.judged(&shut).map(|figure| figure.estimate),
        ) else {
            continue;
        };
        if of_class <= 0.0 {
            continue;
        }
        lines.push(
            w("Of “")
                .w(class.label)
                .w("” about ")
                .add(about)
                .w(" items, or ")
                .add(percent(format!("{id}.shut.part"), all / of_class))
                .w(", rest on judging ")
                .of(
                    format!("{id}.share.whole_boxes"),
                    whole,
                    "stopped box",
                    "stopped boxes",
                )
                .w(" from outside. The range takes that judgement as right; simulated figures do not."),
        );
    }
    page.lines(&lines);
}

/// Boxes that showed something and add nothing, because they were judged to hold nothing.
pub(super) fn empty(page: &mut Page, facts: &Facts<'_>) {
    let empty = outside::judged_empty(facts.state);
    if empty.is_empty() {
        return;
    }
    let mut shown: Vec<&str> = Vec::new();
    for key in empty.iter().flat_map(|found| &found.shown) {
        let key = key.strip_prefix("condition.");
        let condition = tape::conditions()
            .iter()
            .find(|condition| Some(condition.key) == key);
        shown.extend(
            condition
                .map(|condition| condition.label)
                .filter(|label| !shown.contains(label)),
        );
    }
    let line = w("Judged from outside to hold no items, and so adding nothing to any number here: ")
        .of("sample.judged_empty", empty.len(), "stopped box", "stopped boxes")
        .w(". What was met there all the same: ");
    page.p(&if shown.is_empty() {
        line.w("nothing that is counted.")
    } else {
        line.said(shown.join(", ")).w(".")
    });
}
