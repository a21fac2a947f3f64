//! Tables of shares and numbers, and what their columns mean.

use analysis::figures::Figure;
use sampling::estimate::Caution;

use super::facts::{COUNT, Facts, PERCENT, alone, percent};
use super::findings::Row;
use super::line::{Line, said, w};
use super::page::Page;
use super::shut;

/// One row a share that was estimated, with its counts beside it.
pub(super) fn shares(page: &mut Page, facts: &Facts<'_>, caption: &str, rows: &[Row]) {
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
pub(super) fn is_hardly_known(facts: &Facts<'_>, id: &str) -> bool {
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
pub(super) fn named(facts: &Facts<'_>, label: &'static str, id: &str) -> Line {
    let line = said(label);
    if is_hardly_known(facts, id) {
        line.w(", by those that could be told")
    } else {
        line
    }
}

/// A mark where the range rests mostly on what is expected of boxes.
pub(super) fn few(figure: &Figure) -> Line {
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
pub(super) fn notes(page: &mut Page, facts: &Facts<'_>) {
    let mut lines = vec![
        w(
            "“Seen” counts items looked at one by one, of those for which it could be told, with the boxes they lay in: boxes are \
           what was drawn.",
        ),
        w(
            "“Few boxes tell”: fewer than three boxes have it, or lack it, so the range rests mostly on what is expected of boxes.",
        ),
        w(
            "“Not known” is the part of items for which it could not be told. The last column says what the share would be if all of \
           these were no, and if all were yes. These two stand first for films, of which some are told more easily than others, \
           and wherever it could not be told of more than a tenth of all items though their boxes were counted.",
        ),
        w("“At most”: where none was seen there is an upper limit alone, one-sided at ")
            .add(Facts::level())
            .w("."),
        w("Each range stands for itself: of many ranges some miss."),
    ];
    if facts.judged("items.shut.count").is_some() {
        let line = w(
            "A box that was stopped for a hazard answers for all its items at once in what it was stopped for, and in what is to be \
             done; there it weighs as many items as somebody judged from outside, else as many as the others of its stratum hold. \
             Of everything else nothing is assumed of it, and the number is that of the boxes that could be opened and counted",
        );
        let all = facts.figure("items.total").map(|figure| figure.estimate);
        lines.push(match (facts.judged_about("items.counted.count"), all) {
            (Some(counted), Some(all)) => line
                .w(": about ")
                .add(counted)
                .w(" of about ")
                .add(alone("items.total.alone", all))
                .w(" items."),
            _ => line.w("."),
        });
    }
    page.lines(&lines);
    shut::empty(page, facts);
}
