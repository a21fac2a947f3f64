//! From a survey's records to the two tables that every estimate rests on.

use std::collections::{BTreeMap, BTreeSet};

use survey::frame::DrawStratum;
use survey::id::{ItemId, Subject};
use survey::progress::Outcome;
use survey::{Serial, State};
use tape::{Answer, Answers};

use crate::tables::{BoxRow, Column, ItemRow, Kind, Status, Tables, WHOLE_BOX};

/// Which boxes a figure rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Complete rounds, and the fair part of a round walked in draw order: the headline.
    Headline,
    /// Every finished box, a half-done shelf walk included: shown beside the headline, never instead of it.
    EveryFinished,
}

/// The quantities of the items table, in column order, in hours for one item.
pub const QUANTITIES: [&str; 4] = [
    "content_hours_low",
    "content_hours",
    "content_hours_high",
    "transfer_hours",
];

/// Prefix of a carrier's column in [`carriers`].
pub const CARRIER_PREFIX: &str = "carrier_";

/// Prefix of an action class's column in [`items`].
pub const ACTION_PREFIX: &str = "action_";

/// Boxes of the frame and drawn items: one column a condition of [`tape::conditions`], one a class of [`tape::actions`], then
/// [`QUANTITIES`].
///
/// A stopped box answers for all its items, with its class too where its own answers already say what is to be done.
#[must_use]
pub fn items(state: &State, basis: Basis) -> Tables {
    let conditions = tape::conditions()
        .iter()
        .map(|condition| column(condition.key, Kind::Condition));
    let actions = tape::actions()
        .iter()
        .map(|class| column(&format!("{ACTION_PREFIX}{}", class.key), Kind::Condition));
    let quantities = QUANTITIES.iter().map(|name| column(name, Kind::Quantity));
    let columns: Vec<Column> = conditions.chain(actions).chain(quantities).collect();
    let mut items = Vec::new();
    for (serial, stratum, outcome) in sampled(state, basis) {
        let about_box = state.answers(Subject::Box(serial));
        let row = |item_id: String, values| ItemRow {
            stratum: stratum.to_string(),
            box_id: serial.to_string(),
            item_id,
            values,
        };
        match outcome {
            Outcome::Checked => {
                for position in state.positions(serial) {
                    let about_item = state.item_answers(ItemId { serial, position });
                    items.push(row(position.to_string(), item_values(&about_box, &about_item)));
                }
            }
            // Taken to hold nothing: no item is there to answer for.
            Outcome::Stopped if guess(state, serial) == Some(0) => {}
            Outcome::Stopped | Outcome::Uncounted => {
                let mut values = condition_values(&about_box, &Answers::new());
                values.extend(action_values(whole_box_action(&about_box)));
                values.resize(columns.len(), None);
                items.push(row(WHOLE_BOX.to_owned(), values));
            }
            Outcome::NotReached | Outcome::OutOfScope => {}
        }
    }
    Tables {
        boxes: boxes(state, basis),
        items,
        columns,
    }
}

/// Boxes of the frame and every counted item of a checked box: one column a carrier, known from the count.
///
/// Carriers are counted for whole boxes, so their figures do not wait for a drawn item.
#[must_use]
pub fn carriers(state: &State, basis: Basis) -> Tables {
    let checked: Vec<&str> = tape::carriers()
        .iter()
        .filter(|c| c.checked)
        .map(|c| c.key)
        .collect();
    let columns = checked
        .iter()
        .map(|key| column(&format!("{CARRIER_PREFIX}{key}"), Kind::Condition))
        .collect();
    let mut items = Vec::new();
    for (serial, stratum, outcome) in sampled(state, basis) {
        let n_items = state.n_items(serial).unwrap_or(0);
        if outcome != Outcome::Checked || n_items == 0 {
            continue;
        }
        let Some(Answer::Counts(counts)) = state.answer(Subject::Box(serial), "count") else {
            continue;
        };
        let each = checked.iter().enumerate().flat_map(|(index, key)| {
            std::iter::repeat_n(
                index,
                counts.get(*key).copied().unwrap_or(0).try_into().unwrap_or(0),
            )
        });
        for (index, position) in each.zip(1..=n_items) {
            let values = (0..checked.len())
                .map(|column| Some(if column == index { 1.0 } else { 0.0 }))
                .collect();
            let (stratum, box_id) = (stratum.to_string(), serial.to_string());
            items.push(ItemRow {
                stratum,
                box_id,
                item_id: position.to_string(),
                values,
            });
        }
    }
    Tables {
        boxes: boxes(state, basis),
        items,
        columns,
    }
}

/// What is to be done with an item, given the answers about its box and itself.
pub(crate) fn action(about_box: &Answers, about_item: &Answers) -> &'static tape::ActionClass {
    tape::action(&tape::findings(about_box, about_item))
}

/// What is to be done with every item of a box, where the box's own answers say it: mostly they say no more than that its
/// items are to be looked at.
fn whole_box_action(about_box: &Answers) -> Option<&'static tape::ActionClass> {
    Some(action(about_box, &Answers::new())).filter(|class| class.key != tape::LOOK_AGAIN)
}

/// The same as an index of [`tape::actions`].
pub(crate) fn whole_box_class(about_box: &Answers) -> Option<usize> {
    let class = whole_box_action(about_box)?;
    tape::actions().iter().position(|other| other.key == class.key)
}

/// A stratum that no figure covers: nothing can be estimated of it before one of its boxes is counted, and that must
/// not take the other strata's figures away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The stratum.
    pub stratum: DrawStratum,
    /// Its boxes.
    pub n_boxes: usize,
}

/// The strata that the tables leave out, in order.
#[must_use]
pub fn left_out(state: &State, basis: Basis) -> Vec<LeftOut> {
    let counted: BTreeSet<DrawStratum> = state
        .sample(basis == Basis::EveryFinished)
        .into_iter()
        .filter(|(drawn, outcome)| n_items(state, drawn.serial, *outcome).is_some())
        .map(|(drawn, _)| drawn.stratum)
        .collect();
    let mut sizes: BTreeMap<DrawStratum, usize> = BTreeMap::new();
    for (stratum, _) in listed(state) {
        *sizes.entry(stratum).or_default() += 1;
    }
    let without = sizes
        .into_iter()
        .filter(|(stratum, _)| !counted.contains(stratum));
    without
        .map(|(stratum, n_boxes)| LeftOut { stratum, n_boxes })
        .collect()
}

/// Every box that could be drawn, those found after the draw in a stratum of their own; strata left out are not there.
fn boxes(state: &State, basis: Basis) -> Vec<BoxRow> {
    let without: BTreeSet<DrawStratum> = left_out(state, basis)
        .into_iter()
        .map(|left| left.stratum)
        .collect();
    let outcomes: BTreeMap<Serial, Outcome> = sampled(state, basis)
        .into_iter()
        .map(|(serial, _, outcome)| (serial, outcome))
        .collect();
    let row = |(stratum, serial): (DrawStratum, Serial)| {
        let outcome = outcomes.get(&serial).copied();
        BoxRow {
            stratum: stratum.to_string(),
            box_id: serial.to_string(),
            sampled: outcome.is_some(),
            items_in_box: outcome.and_then(|outcome| n_items(state, serial, outcome)),
            status: outcome.map_or_else(Status::default, status),
            size: state.quarters(serial).map(f64::from),
        }
    };
    listed(state)
        .into_iter()
        .filter(|(stratum, _)| !without.contains(stratum))
        .map(row)
        .collect()
}

/// Every box with the stratum it is drawn in, in order.
pub(crate) fn listed(state: &State) -> Vec<(DrawStratum, Serial)> {
    let frame = state.frame.iter().flat_map(|frame| &frame.boxes);
    let listed = frame.map(|(serial, key)| (DrawStratum::Listed(*key), *serial));
    let late = state.late_boxes().map(|serial| (DrawStratum::Late, serial));
    let mut rows: Vec<_> = listed.chain(late).collect();
    rows.sort();
    rows
}

pub(crate) fn sampled(state: &State, basis: Basis) -> Vec<(Serial, DrawStratum, Outcome)> {
    let without: BTreeSet<DrawStratum> = left_out(state, basis)
        .into_iter()
        .map(|left| left.stratum)
        .collect();
    let mut sample: Vec<_> = state
        .sample(basis == Basis::EveryFinished)
        .into_iter()
        .filter(|(drawn, _)| !without.contains(&drawn.stratum))
        .map(|(drawn, outcome)| (drawn.serial, drawn.stratum, outcome))
        .collect();
    sample.sort_by_key(|(serial, stratum, _)| (*stratum, *serial));
    sample
}

fn status(outcome: Outcome) -> Status {
    match outcome {
        Outcome::Checked => Status::Checked,
        Outcome::NotReached => Status::NotReached,
        // Nothing is assumed of what was not counted, as of what was stopped.
        Outcome::Stopped | Outcome::Uncounted => Status::Stopped,
        Outcome::OutOfScope => Status::OutOfScope,
    }
}

pub(crate) fn n_items(state: &State, serial: Serial, outcome: Outcome) -> Option<u64> {
    match outcome {
        Outcome::Checked => state.n_items(serial).map(u64::from),
        Outcome::OutOfScope => Some(0),
        Outcome::Stopped | Outcome::Uncounted => guess(state, serial),
        Outcome::NotReached => None,
    }
}

/// The number of items somebody took a stopped box to hold, judged from outside.
fn guess(state: &State, serial: Serial) -> Option<u64> {
    match state.answer(Subject::Box(serial), "count_outside_guess")? {
        Answer::Number(number) => {
            let most = f64::from(survey::progress::MAX_ITEMS_PER_BOX);
            let whole = number.round();
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "within 0 to 20,000"
            )]
            (0.0..=most).contains(&whole).then_some(whole as u64)
        }
        _ => None,
    }
}

fn item_values(about_box: &Answers, about_item: &Answers) -> Vec<Option<f64>> {
    let mut values = condition_values(about_box, about_item);
    values.extend(action_values(Some(action(about_box, about_item))));
    let playing = tape::playing(about_item);
    let hours = playing
        .as_ref()
        .map(|p| [p.content.low, p.content.likely, p.content.high, p.transfer.likely]);
    values.extend((0..QUANTITIES.len()).map(|index| hours.map(|hours| hours[index])));
    values
}

/// 1 in the class's column, 0 in the others; nothing in any where the class is not known.
fn action_values(class: Option<&tape::ActionClass>) -> Vec<Option<f64>> {
    let here = |other: &tape::ActionClass| class.map(|class| if other.key == class.key { 1.0 } else { 0.0 });
    tape::actions().iter().map(here).collect()
}

fn condition_values(about_box: &Answers, about_item: &Answers) -> Vec<Option<f64>> {
    let known = tape::condition_values(about_box, about_item);
    let value = |key: &str| {
        known
            .get(key)
            .copied()
            .flatten()
            .map(|yes| if yes { 1.0 } else { 0.0 })
    };
    tape::conditions()
        .iter()
        .map(|condition| value(condition.key))
        .collect()
}

fn column(name: &str, kind: Kind) -> Column {
    Column {
        name: name.to_owned(),
        kind,
    }
}
