//! What rests on a judgement from outside: items of boxes that were drawn and could not be opened or counted.

use std::collections::BTreeMap;

use survey::progress::Outcome;
use survey::{Serial, State};

use crate::figures::{Figure, Made, options};
use crate::records::{self, ACTION_PREFIX, Basis};
use crate::tables::{self, Column, ItemRow, Kind, Tables, WHOLE_BOX};

/// Column of the items of boxes that were opened and counted.
const COUNTED: &str = "counted";
/// Column of the items of boxes that were not.
const SHUT: &str = "shut";

/// How the items of the headline divide, in items and as a share, by id; empty where every box was opened and counted.
///
/// `items.counted` are those of boxes that were opened and counted, `items.shut` all others; `action.first.shut` are those of
/// the others that count as a class, because the box's own answers say so. The number of items in a box that was not counted
/// is what somebody judged from outside, else the mean of its stratum, and is taken as if it were known.
#[must_use]
pub fn judged(state: &State) -> BTreeMap<String, Figure> {
    let items = records::items(state, Basis::Headline);
    let whole = |row: &&ItemRow| row.item_id == WHOLE_BOX;
    if !items.items.iter().any(|row| whole(&row)) {
        return BTreeMap::new();
    }
    let classes: Vec<(usize, &str)> = items
        .columns
        .iter()
        .enumerate()
        .filter_map(|(at, column)| Some((at, column.name.strip_prefix(ACTION_PREFIX)?)))
        .filter(|(at, _)| items.items.iter().filter(whole).any(|row| is_yes(row, *at)))
        .collect();
    let names = [COUNTED, SHUT]
        .into_iter()
        .chain(classes.iter().map(|(_, class)| *class));
    let columns = names
        .map(|name| Column {
            name: name.to_owned(),
            kind: Kind::Condition,
        })
        .collect();
    let number = |yes: bool| Some(if yes { 1.0 } else { 0.0 });
    let rows = items.items.iter().map(|row| {
        let shut = whole(&row);
        let of_class = classes.iter().map(|(at, _)| number(shut && is_yes(row, *at)));
        ItemRow {
            values: [number(!shut), number(shut)]
                .into_iter()
                .chain(of_class)
                .collect(),
            ..row.clone()
        }
    });
    let divided = Tables {
        items: rows.collect(),
        columns,
        boxes: items.boxes.clone(),
    };
    let mut made = Made::default();
    // What cannot be estimated is told among the problems of the figures themselves.
    if let Ok(estimates) = tables::estimate(&divided, &options()) {
        made.conditions(&divided, &estimates, |name| match name {
            COUNTED | SHUT => format!("items.{name}"),
            class => format!("action.{class}.shut"),
        });
    }
    made.0
}

fn is_yes(row: &ItemRow, at: usize) -> bool {
    row.values
        .get(at)
        .copied()
        .flatten()
        .is_some_and(|value| value > 0.5)
}

/// A box of the headline that was stopped, or could not be counted, and was judged from outside to hold nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JudgedEmpty {
    /// The box.
    pub serial: Serial,
    /// Its stratum's key.
    pub stratum: String,
    /// The figures that it would have told of, had it held anything, without their measure: `condition.vermin`.
    pub shown: Vec<String>,
}

/// Boxes that add nothing to any figure though something may have been met in them, in order.
#[must_use]
pub fn judged_empty(state: &State) -> Vec<JudgedEmpty> {
    let mut found = Vec::new();
    for (serial, stratum, outcome) in records::sampled(state, Basis::Headline) {
        let shut = matches!(outcome, Outcome::Stopped | Outcome::Uncounted);
        if !shut || records::n_items(state, serial, outcome) != Some(0) {
            continue;
        }
        let laid = state.laid_box(serial);
        let conditions = tape::conditions()
            .iter()
            .zip(laid.conditions())
            .filter(|(_, value)| *value == Some(true))
            .map(|(condition, _)| format!("condition.{}", condition.key));
        let class = records::whole_box_action(&laid).and_then(|at| tape::actions().get(at));
        let shown = conditions.chain(class.map(|class| format!("action.{}", class.key)));
        found.push(JudgedEmpty {
            serial,
            stratum: stratum.to_string(),
            shown: shown.collect(),
        });
    }
    found
}
