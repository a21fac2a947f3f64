//! From a survey's records to the two tables that every estimate rests on.

use std::collections::{BTreeMap, BTreeSet};

use survey::frame::DrawStratum;
use survey::id::{ItemId, Subject};
use survey::progress::Outcome;
use survey::{Serial, State};
use tape::{Answer, Hours, Laid};

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
    let columns = item_columns();
    let base = Base::of(state, basis);
    let mut items = Vec::new();
    let mut hours = Hours::default();
    for (serial, stratum, outcome) in base.sample.iter().copied() {
        let laid = state.laid_box(serial);
        let row = |item_id: String, values| ItemRow {
            stratum: stratum.to_string(),
            box_id: serial.to_string(),
            item_id,
            values,
        };
        match outcome {
            Outcome::Checked => {
                for position in state.positions(serial) {
                    let item = state.laid_item(&laid, ItemId { serial, position });
                    items.push(row(position.to_string(), item_values(&item, &mut hours)));
                }
            }
            // Taken to hold nothing: no item is there to answer for.
            Outcome::Stopped if guess(state, serial) == Some(0) => {}
            Outcome::Stopped | Outcome::Uncounted => {
                let answers = laid.conditions().chain(action_answers(whole_box_action(&laid)));
                let mut values: Vec<Option<f64>> = answers.map(as_number).collect();
                values.resize(columns.len(), None);
                items.push(row(WHOLE_BOX.to_owned(), values));
            }
            Outcome::NotReached | Outcome::OutOfScope => {}
        }
    }
    Tables {
        boxes: boxes(state, &base),
        items,
        columns,
    }
}

/// The columns of [`items`].
pub(crate) fn item_columns() -> Vec<Column> {
    let conditions = tape::conditions()
        .iter()
        .map(|condition| column(condition.key, Kind::Condition));
    let actions = tape::actions()
        .iter()
        .map(|class| column(&format!("{ACTION_PREFIX}{}", class.key), Kind::Condition));
    let quantities = QUANTITIES.iter().map(|name| column(name, Kind::Quantity));
    conditions.chain(actions).chain(quantities).collect()
}

/// Boxes of the frame and every counted item of a checked box: one column a carrier, known from the count.
///
/// Carriers are counted for whole boxes, so their figures do not wait for a drawn item.
#[must_use]
pub fn carriers(state: &State, basis: Basis) -> Tables {
    let (checked, columns) = (checked_carriers(), carrier_columns());
    let base = Base::of(state, basis);
    let mut items = Vec::new();
    for (serial, stratum, outcome) in base.sample.iter().copied() {
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
        boxes: boxes(state, &base),
        items,
        columns,
    }
}

/// The kinds of carrier whose items are checked.
pub(crate) fn checked_carriers() -> Vec<&'static str> {
    let checked = tape::carriers().iter().filter(|c| c.checked);
    checked.map(|c| c.key).collect()
}

/// The columns of [`carriers`].
pub(crate) fn carrier_columns() -> Vec<Column> {
    let names = checked_carriers().into_iter();
    names
        .map(|key| column(&format!("{CARRIER_PREFIX}{key}"), Kind::Condition))
        .collect()
}

/// What is to be done with every item of a box, where the box's own answers say it, as an index of [`tape::actions`]: mostly
/// they say no more than that its items are to be looked at.
pub(crate) fn whole_box_action(about_box: &Laid) -> Option<usize> {
    let class = about_box.action();
    let is_known = tape::actions().get(class)?.key != tape::LOOK_AGAIN;
    is_known.then_some(class)
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
    Base::of(state, basis).left_out
}

/// What everything of one basis rests on, looked up once.
pub(crate) struct Base {
    /// The strata that are left out, in order.
    pub(crate) left_out: Vec<LeftOut>,
    /// Boxes of each of the others.
    pub(crate) sizes: BTreeMap<DrawStratum, usize>,
    /// Their sampled boxes, by stratum and serial.
    pub(crate) sample: Vec<(Serial, DrawStratum, Outcome)>,
}

impl Base {
    pub(crate) fn of(state: &State, basis: Basis) -> Self {
        let drawn = state.sample(basis == Basis::EveryFinished);
        // One counted box a stratum is enough to know.
        let mut counted: BTreeSet<DrawStratum> = BTreeSet::new();
        for (drawn, outcome) in &drawn {
            if !counted.contains(&drawn.stratum) && n_items(state, drawn.serial, *outcome).is_some() {
                counted.insert(drawn.stratum);
            }
        }
        let mut sizes = sizes(state);
        let without = sizes.iter().filter(|(stratum, _)| !counted.contains(stratum));
        let left_out = without.map(|(stratum, n_boxes)| LeftOut {
            stratum: *stratum,
            n_boxes: *n_boxes,
        });
        let left_out = left_out.collect();
        sizes.retain(|stratum, _| counted.contains(stratum));
        let mut sample: Vec<_> = drawn
            .into_iter()
            .filter(|(drawn, _)| counted.contains(&drawn.stratum))
            .map(|(drawn, outcome)| (drawn.serial, drawn.stratum, outcome))
            .collect();
        sample.sort_by_key(|(serial, stratum, _)| (*stratum, *serial));
        Self {
            left_out,
            sizes,
            sample,
        }
    }

    /// Boxes that could be drawn.
    pub(crate) fn n_boxes(&self) -> usize {
        self.sizes.values().sum()
    }
}

/// How many boxes could be drawn in each stratum.
fn sizes(state: &State) -> BTreeMap<DrawStratum, usize> {
    let mut sizes = BTreeMap::new();
    let frame = state.frame.iter().flat_map(|frame| frame.boxes.values());
    for key in frame {
        *sizes.entry(DrawStratum::Listed(*key)).or_default() += 1;
    }
    let n_late = state.late_boxes().count();
    if n_late > 0 {
        sizes.insert(DrawStratum::Late, n_late);
    }
    sizes
}

/// Every box that could be drawn, those found after the draw in a stratum of their own; strata left out are not there.
fn boxes(state: &State, base: &Base) -> Vec<BoxRow> {
    let outcomes: BTreeMap<Serial, Outcome> = base
        .sample
        .iter()
        .map(|(serial, _, outcome)| (*serial, *outcome))
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
        .filter(|(stratum, _)| base.sizes.contains_key(stratum))
        .map(row)
        .collect()
}

/// Every box with the stratum it is drawn in, in order.
pub(crate) fn listed(state: &State) -> Vec<(DrawStratum, Serial)> {
    let frame = state.frame.iter().flat_map(|frame| frame.boxes.iter());
    let listed = frame.map(|(serial, key)| (DrawStratum::Listed(*key), *serial));
    let late = state.late_boxes().map(|serial| (DrawStratum::Late, serial));
    let mut rows: Vec<_> = listed.chain(late).collect();
    rows.sort();
    rows
}

pub(crate) fn sampled(state: &State, basis: Basis) -> Vec<(Serial, DrawStratum, Outcome)> {
    Base::of(state, basis).sample
}

pub(crate) fn status(outcome: Outcome) -> Status {
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

fn item_values(item: &Laid, hours: &mut Hours) -> Vec<Option<f64>> {
    let answers = item.conditions().chain(action_answers(Some(item.action())));
    let quantities = quantity_values(hours, item);
    answers.map(as_number).chain(quantities).collect()
}

/// Of each of [`QUANTITIES`] an item's own.
pub(crate) fn quantity_values(hours: &mut Hours, item: &Laid) -> [Option<f64>; QUANTITIES.len()] {
    match hours.of(item) {
        Some(p) => [p.content.low, p.content.likely, p.content.high, p.transfer.likely].map(Some),
        None => [None; QUANTITIES.len()],
    }
}

/// Yes in the class's column, no in the others; nothing in any where the class is not known.
pub(crate) fn action_answers(class: Option<usize>) -> impl Iterator<Item = Option<bool>> {
    (0..tape::actions().len()).map(move |other| class.map(|class| class == other))
}

fn as_number(answer: Option<bool>) -> Option<f64> {
    answer.map(|yes| f64::from(u8::from(yes)))
}

fn column(name: &str, kind: Kind) -> Column {
    Column {
        name: name.to_owned(),
        kind,
    }
}
