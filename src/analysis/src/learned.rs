//! What the first transfers showed, set against what the look at the same items had said.
//!
//! The items that were looked at are a first phase, those of them that were transferred a second
//! ([`sampling::twophase`]): the true durations put the estimate right in proportion to what had been said, the true
//! conditions by regression on it. That holds only where chance chose the transferred items; chosen on purpose they are
//! compared, and no estimate is made of them.

use std::collections::{BTreeMap, BTreeSet};

use costing::LearnedHours;
use sampling::column::{Cell, Column};
use sampling::design::Design;
use sampling::twophase::{self, Estimator, SecondPhase, TwoPhase, TwoPhaseError};
use serde::{Deserialize, Serialize};
use survey::{ItemId, State, Subject};
use tape::Answer;

use crate::figures::{Figure, Measure, options};
use crate::records::{self, Basis};
use crate::tables::{Column as Named, Kind, Tables, WHOLE_BOX};

/// The question about an item: how many minutes of sound its transfer found; a number.
pub const MINUTES: &str = "transfer_minutes";
/// The question about an item: which conditions its transfer found; keys of [`tape::conditions`], or [`NOTHING`].
pub const FOUND: &str = "transfer_found";
/// The answer to [`FOUND`] where there was none.
pub const NOTHING: &str = "none";
/// The question about the survey: how the transferred items were chosen, a text: `draw <seed>`, [`BY_CHANCE`] or [`ON_PURPOSE`].
pub const CHOSEN: &str = "transfers_chosen";
/// Somebody says that chance chose; nothing here can show it.
pub const BY_CHANCE: &str = "random";
/// They were chosen on purpose.
pub const ON_PURPOSE: &str = "purpose";
/// What the answer begins with where [`order`] chose; the seed follows.
const DRAW: &str = "draw ";
/// The figure of all hours.
const HOURS: &str = "quantity.content_hours.total";
/// The purpose of the ranks that choose items for the first transfers.
const RANKS: &str = "first transfers";

/// What the transfers showed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Learned {
    /// How the items were chosen.
    pub chosen: String,
    /// Items that were looked at, in boxes the headline rests on.
    pub n_looked: usize,
    /// Of those, transferred.
    pub n_read: usize,
    /// Why no estimate is made of them; nothing where one is.
    pub refused: Option<String>,
    /// Hours found over hours said, for the items of which both are known.
    pub hours: Option<Compared>,
    /// Of each condition: what was found where it had been said, and where not.
    pub conditions: BTreeMap<String, Crossed>,
    /// The estimates put right, by the id of the figure they put right.
    pub figures: BTreeMap<String, PutRight>,
}

/// Durations said and found.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Compared {
    /// Items of which both are known.
    pub n: usize,
    /// Hours that the look had said.
    pub said: f64,
    /// Hours that the transfer found.
    pub found: f64,
}

/// A condition said and found, in items.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Crossed {
    /// Said and found.
    pub both: usize,
    /// Said alone.
    pub said: usize,
    /// Found alone.
    pub found: usize,
    /// Neither.
    pub neither: usize,
    /// Found or not, where the look could not tell.
    pub not_said: usize,
}

/// An estimate put right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PutRight {
    /// The new estimate.
    pub figure: Figure,
    /// What it was.
    pub before: Option<f64>,
    /// The part of the variance that more boxes would take away.
    pub first: f64,
    /// The part that more transfers would take away.
    pub second: f64,
}

/// The items that were looked at, in the order in which a seed chooses them for transfer.
///
/// # Errors
/// A seed with a control character.
pub fn order(state: &State, seed: &str) -> Result<Vec<ItemId>, String> {
    let ids: Vec<String> = looked(state).iter().map(ToString::to_string).collect();
    let ranked = sampling::rank::order(seed, RANKS, "", &ids).map_err(|error| error.to_string())?;
    let by_name: BTreeMap<String, ItemId> = looked(state).iter().map(|id| (id.to_string(), *id)).collect();
    Ok(ranked
        .iter()
        .filter_map(|(_, id)| by_name.get(id).copied())
        .collect())
}

/// The answer to [`CHOSEN`] for items that [`order`] chose.
#[must_use]
pub fn by_draw(seed: &str) -> String {
    format!("{DRAW}{seed}")
}

fn looked(state: &State) -> Vec<ItemId> {
    records::items(state, Basis::Headline)
        .items
        .iter()
        .filter_map(|row| id(&row.box_id, &row.item_id))
        .collect()
}

fn id(serial: &str, position: &str) -> Option<ItemId> {
    if position == WHOLE_BOX {
        return None;
    }
    Some(ItemId {
        serial: serial.parse().ok()?,
        position: position.parse().ok()?,
    })
}

/// What a transfer found of an item.
#[derive(Debug, Clone, Default)]
struct Transfer {
    hours: Option<f64>,
    found: Option<BTreeSet<String>>,
}

fn transfer(state: &State, item: ItemId) -> Option<Transfer> {
    let subject = Subject::Item(item);
    let hours = match state.answer(subject, MINUTES) {
        Some(Answer::Number(minutes)) if minutes.is_finite() && *minutes >= 0.0 => Some(minutes / 60.0),
        _ => None,
    };
    let found = match state.answer(subject, FOUND) {
        Some(Answer::Many(keys)) => Some(keys.clone()),
        _ => None,
    };
    (hours.is_some() || found.is_some()).then_some(Transfer { hours, found })
}

fn transfers(state: &State) -> BTreeMap<ItemId, Transfer> {
    looked(state)
        .into_iter()
        .filter_map(|item| Some((item, transfer(state, item)?)))
        .collect()
}

/// Whether anything says of any item what its transfer found.
fn is_any_transferred(state: &State) -> bool {
    let told = [MINUTES, FOUND].into_iter();
    told.flat_map(|question| state.answered_beside(question))
        .next()
        .is_some()
}

/// How the transferred items were chosen: on purpose, as long as nothing else was said.
fn chosen(state: &State) -> String {
    match state.answer(Subject::Survey, CHOSEN) {
        Some(Answer::Text(text)) => text.clone(),
        _ => ON_PURPOSE.to_owned(),
    }
}

/// What the transfers in the log showed; nothing where there are none.
#[must_use]
pub fn learned(state: &State, before: &BTreeMap<String, Figure>) -> Option<Learned> {
    if !is_any_transferred(state) {
        return None;
    }
    let tables = records::items(state, Basis::Headline);
    let transfers = transfers(state);
    if transfers.is_empty() {
        return None;
    }
    let chosen = chosen(state);
    let refused = refused(state, &chosen, &transfers);
    let mut made = Learned {
        n_looked: looked(state).len(),
        n_read: transfers.len(),
        hours: hours(&tables, &transfers),
        conditions: conditions(&tables, &transfers),
        figures: BTreeMap::new(),
        refused,
        chosen,
    };
    if made.refused.is_none() {
        made.refused = put_right(&tables, &transfers, before, &mut made.figures).err();
    }
    Some(made)
}

/// Why chance cannot be taken to have chosen.
fn refused(state: &State, chosen: &str, transfers: &BTreeMap<ItemId, Transfer>) -> Option<String> {
    if chosen == BY_CHANCE {
        return None;
    }
    let Some(seed) = chosen.strip_prefix(DRAW) else {
        return Some(
            "the items were not chosen by chance, so they stand for themselves alone: no estimate is made of them".to_owned(),
        );
    };
    let order = match order(state, seed) {
        Ok(order) => order,
        Err(why) => return Some(why),
    };
    let first = order.get(..transfers.len()).unwrap_or(&order);
    let missing: Vec<String> = first
        .iter()
        .filter(|item| !transfers.contains_key(item))
        .take(5)
        .map(ToString::to_string)
        .collect();
    (!missing.is_empty()).then(|| {
        format!(
            "the draw chose {} before others that were transferred: what is missing is not missing by chance, so no estimate is \
             made; transfer these too, or leave out those behind them",
            missing.join(", ")
        )
    })
}

/// The hours that simulated figures are put right by: only where chance chose the items, and their minutes are known.
#[must_use]
pub fn hours_learned(state: &State) -> Option<LearnedHours> {
    if !is_any_transferred(state) {
        return None;
    }
    let tables = records::items(state, Basis::Headline);
    let transfers = transfers(state);
    if transfers.is_empty() || refused(state, &chosen(state), &transfers).is_some() {
        return None;
    }
    let mut made = BTreeMap::new();
    hours_right(&tables, &transfers, &BTreeMap::new(), &mut made).ok()?;
    let right = made.remove(HOURS)?;
    Some(LearnedHours {
        hours: right.figure.estimate,
        sd: sampling::math::sqrt(right.second.max(0.0)),
        n: transfers.len() as u64,
    })
}

fn said(tables: &Tables, column: &str) -> Option<usize> {
    tables.columns.iter().position(|known| known.name == column)
}

fn hours(tables: &Tables, transfers: &BTreeMap<ItemId, Transfer>) -> Option<Compared> {
    let at = said(tables, "content_hours")?;
    let mut made = Compared {
        n: 0,
        said: 0.0,
        found: 0.0,
    };
    for row in &tables.items {
        let found = id(&row.box_id, &row.item_id)
            .and_then(|item| transfers.get(&item))
            .and_then(|transfer| transfer.hours);
        if let (Some(said), Some(found)) = (row.values[at], found) {
            made.n += 1;
            made.said += said;
            made.found += found;
        }
    }
    (made.n > 0).then_some(made)
}

fn conditions(tables: &Tables, transfers: &BTreeMap<ItemId, Transfer>) -> BTreeMap<String, Crossed> {
    let mut made: BTreeMap<String, Crossed> = BTreeMap::new();
    for condition in tape::conditions() {
        let Some(at) = said(tables, condition.key) else {
            continue;
        };
        let mut crossed = Crossed::default();
        for row in &tables.items {
            let found = id(&row.box_id, &row.item_id)
                .and_then(|item| transfers.get(&item))
                .and_then(|transfer| transfer.found.as_ref())
                .map(|keys| keys.contains(condition.key));
            let Some(found) = found else { continue };
            match (row.values[at].map(|value| value > 0.5), found) {
                (Some(true), true) => crossed.both += 1,
                (Some(true), false) => crossed.said += 1,
                (Some(false), true) => crossed.found += 1,
                (Some(false), false) => crossed.neither += 1,
                (None, _) => crossed.not_said += 1,
            }
        }
        // A condition that neither looked for nor found says nothing.
        if crossed.both + crossed.said + crossed.found > 0 {
            made.insert(condition.key.to_owned(), crossed);
        }
    }
    made
}

/// The two phases of one quantity or condition: what was said of every item, what was found of some.
struct Phases {
    design: Design,
    said: Column,
    found: Column,
    read: Vec<bool>,
}

fn phases(tables: &Tables, at: usize, found: impl Fn(ItemId) -> Option<f64>) -> Result<Phases, String> {
    let known: Vec<f64> = tables
        .items
        .iter()
        .filter(|row| row.item_id != WHOLE_BOX)
        .filter_map(|row| row.values[at])
        .collect();
    #[allow(clippy::cast_precision_loss, reason = "items of a sample")]
    let mean = known.iter().sum::<f64>() / known.len().max(1) as f64;
    let mut two = Tables {
        boxes: tables.boxes.clone(),
        items: tables.items.clone(),
        columns: ["said", "found"]
            .map(|name| Named {
                name: name.to_owned(),
                kind: Kind::Quantity,
            })
            .to_vec(),
    };
    for row in &mut two.items {
        row.values = match id(&row.box_id, &row.item_id) {
            // What was not said helps nothing and does no harm: any value will do, as long as no finding is behind it.
            Some(item) => vec![Some(row.values[at].unwrap_or(mean)), found(item)],
            None => vec![None, None],
        };
    }
    let sample = two.sample().map_err(|error| error.to_string())?;
    let mut read = vec![false; sample.design.rows()];
    let found = sample.columns[1].clone();
    for (b, sampled) in sample.design.boxes().iter().enumerate() {
        for row in sampled.rows.clone() {
            read[row] = matches!(found.cell(&sample.design, b, Some(row)), Cell::Known(_));
        }
    }
    Ok(Phases {
        said: sample.columns[0].clone(),
        found,
        read,
        design: sample.design,
    })
}

/// The hours in all and an item, by what the look had said.
fn hours_right(
    tables: &Tables,
    transfers: &BTreeMap<ItemId, Transfer>,
    before: &BTreeMap<String, Figure>,
    into: &mut BTreeMap<String, PutRight>,
) -> Result<(), String> {
    if let Some((item, _)) = transfers.iter().find(|(_, transfer)| transfer.hours.is_none()) {
        return Err(format!(
            "item {item} was transferred without its minutes: give them, or no estimate of hours can be made"
        ));
    }
    let at = said(tables, "content_hours").ok_or("there is no column of hours")?;
    let made = phases(tables, at, |item| transfers.get(&item)?.hours)?;
    let second = SecondPhase::new(&made.design, &made.read).map_err(|error| error.to_string())?;
    let by = Estimator::Ratio(&made.said);
    let figures: [(&str, Measure, Result<TwoPhase, TwoPhaseError>); 2] = [
        (
            HOURS,
            Measure::Total,
            twophase::total(&second, &made.found, by, &options()),
        ),
        (
            "quantity.content_hours.mean",
            Measure::Mean,
            twophase::mean(&second, &made.found, by, &options()),
        ),
    ];
    for (id, measure, two_phase) in figures {
        let two_phase = two_phase.map_err(|error| error.to_string())?;
        into.insert(id.to_owned(), right(measure, two_phase, before.get(id)));
    }
    Ok(())
}

fn put_right(
    tables: &Tables,
    transfers: &BTreeMap<ItemId, Transfer>,
    before: &BTreeMap<String, Figure>,
    into: &mut BTreeMap<String, PutRight>,
) -> Result<(), String> {
    hours_right(tables, transfers, before, into)?;
    if transfers.values().any(|transfer| transfer.found.is_none()) {
        return Ok(());
    }
    for condition in tape::conditions() {
        let Some(at) = said(tables, condition.key) else {
            continue;
        };
        let found = |item: ItemId| {
            let keys = transfers.get(&item)?.found.as_ref()?;
            Some(f64::from(u8::from(keys.contains(condition.key))))
        };
        let made = phases(tables, at, found)?;
        let Ok(second) = SecondPhase::new(&made.design, &made.read) else {
            continue;
        };
        let by = [&made.said];
        let by_look = twophase::mean(&second, &made.found, Estimator::Regression(&by), &options());
        // What was said alike of all that were transferred cannot help.
        let share =
            by_look.or_else(|_| twophase::mean(&second, &made.found, Estimator::Expansion, &options()));
        // An error of 0 is not known to be 0: nothing was found, or the look was right each time.
        if let Some(share) = share.ok().filter(|share| share.estimate.se > 0.0) {
            let id = format!("condition.{}.share", condition.key);
            let made = right(Measure::Share, share, before.get(&id));
            into.insert(id, made);
        }
    }
    Ok(())
}

fn right(measure: Measure, made: TwoPhase, before: Option<&Figure>) -> PutRight {
    let TwoPhase {
        estimate,
        first,
        second,
    } = made;
    let most = if measure == Measure::Share {
        1.0
    } else {
        f64::INFINITY
    };
    let held = |limit: f64| limit.clamp(0.0, most);
    PutRight {
        before: before.map(|figure| figure.estimate),
        figure: Figure {
            measure,
            estimate: estimate.estimate,
            se: Some(estimate.se),
            low: estimate.limits.map(|limits| held(limits.low)),
            high: estimate.limits.map(|limits| held(limits.high)),
            df: Some(estimate.df),
            deff: None,
            method: estimate.method,
            n_seen: None,
            n_known: None,
            n_boxes: None,
            cautions: Vec::new(),
            unknown_share: None,
            bounds: None,
        },
        first,
        second,
    }
}
