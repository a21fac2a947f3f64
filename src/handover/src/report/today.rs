//! What was found and must be kept apart, and where it is.

use std::collections::BTreeSet;

use super::facts::Facts;
use super::line::{Line, fig, said, w};
use super::met::Met;
use super::page::Page;

/// Rows beyond this are counted, not listed: the tables have them.
const MOST: usize = 150;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>, met: &[Met]) {
    if met.is_empty() {
        page.p(&w("Nothing met so far has to be kept apart from the rest."));
        return;
    }
    let boxes: BTreeSet<_> = met.iter().map(|met| met.serial).collect();
    page.p(
        &w("In ")
            .of("met.boxes", boxes.len(), "box", "boxes")
            .w(" something was met that must be kept apart or left alone until somebody who is trained has seen it. \
                A sign is evidence, not proof: “possible” means that something points to it, and nobody has seen it for \
                certain. Where a box was only looked at in part, the rest of it may be the same. A box stands once under each \
                class that was met in it."),
    );
    let shown = met.get(..MOST).unwrap_or(met);
    for class in tape::actions() {
        let mut rows: Vec<Vec<Line>> = Vec::new();
        for (at, met) in shown
            .iter()
            .enumerate()
            .filter(|(_, met)| met.class.key == class.key)
        {
            rows.push(row(facts, at + 1, met));
        }
        if rows.is_empty() {
            continue;
        }
        let header: &[&str] = if facts.is_open() {
            &["Box", "Where", "What was seen", "On how many"]
        } else {
            &["Number", "What was seen", "On how many"]
        };
        let header: Vec<Line> = header.iter().map(|name| w(name)).collect();
        page.element("h3", class.label);
        page.p(&said(class.people).w(" ").said(class.handling));
        let all = facts.boxes_met(class.key);
        if all > met.iter().filter(|met| met.class.key == class.key).count() {
            page.p(&w("Listed are boxes with acid decay, which is kept apart from the rest at once. The class itself was met in ")
                .of(format!("met.{}.all_boxes", class.key), all, "box", "boxes")
                .w("; the tables of the survey file have them all."));
        }
        page.grid(
            &format!("Boxes: {}", class.label.to_lowercase()),
            &header,
            &[],
            &rows,
        );
    }
    if met.len() > MOST {
        page.p(&w("And ")
            .n("met.more", met.len() - MOST)
            .w(" more boxes: see the tables of the survey file."));
    }
    if !facts.is_open() {
        page.p(&w(
            "Places and numbers of boxes are left out of this version; the collection's keeper has them.",
        ));
    }
}

fn row(facts: &Facts<'_>, number: usize, met: &Met) -> Vec<Line> {
    let what = if met.seen.is_empty() {
        met.class.label.to_owned()
    } else {
        met.seen.join("; ")
    };
    let items = if met.n_items == 0 {
        w(if met.is_empty {
            "the box, judged from outside to hold no items"
        } else {
            "the whole box"
        })
    } else {
        Line::default()
            .of(format!("met.{number}.items"), met.n_items, "item", "items")
            .w(" looked at")
    };
    let mut row = if facts.is_open() {
        vec![said(met.serial.to_string()), said(place(facts, met.serial))]
    } else {
        vec![fig(format!("met.{number}"), number.to_string())]
    };
    row.extend([said(what), items]);
    row
}

/// Place and label of a box.
pub(super) fn place(facts: &Facts<'_>, serial: survey::Serial) -> String {
    let Some(listed) = facts.state.boxes.get(&serial) else {
        return String::new();
    };
    let place = facts
        .state
        .places
        .get(&listed.place)
        .map_or("", |place| place.name.as_str());
    if listed.label.is_empty() {
        place.to_owned()
    } else {
        format!("{place}: {}", listed.label)
    }
}
