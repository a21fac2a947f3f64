//! What saving the collection takes: the survey's records as the costing crate sees them.

use std::collections::BTreeMap;

use costing::{
    Assumptions, Class, Collection, Driving, Item, Outlook, Playing, Range, SampledBox, Settings,
    SimulationError, Span, Stratum,
};
use serde::{Deserialize, Serialize};
use survey::State;
use survey::frame::DrawStratum;
use survey::id::{ItemId, Subject};
use survey::progress::Outcome;
use tape::{Answer, Answers};

use crate::records::{self, Basis};

/// The collection as costing sees it, on the headline's boxes.
///
/// Items of a batch share their unknowns; those of no batch share them with the others of their kind in their stratum, for
/// what nobody told apart may all have come from one machine. Where chance chose the first transfers, the hours they showed
/// stand in the place of such unknowns.
#[must_use]
pub fn collection(state: &State) -> Collection {
    let mut made = Collection {
        classes: tape::actions().iter().map(class).collect(),
        ..Collection::default()
    };
    let mut groups = BTreeMap::new();
    let mut strata: BTreeMap<DrawStratum, Stratum> = BTreeMap::new();
    let mut answered = Vec::new();
    let base = records::Base::of(state, Basis::Headline);
    for (stratum, n_boxes) in &base.sizes {
        let own = Stratum {
            key: stratum.to_string(),
            n_boxes: *n_boxes as u64,
            sampled: Vec::new(),
        };
        strata.insert(*stratum, own);
    }
    for (serial, stratum, outcome) in base.sample {
        let Some(into) = strata.get_mut(&stratum) else {
            continue;
        };
        // Boxes that were not reached are not in n, as in every other figure.
        if outcome == Outcome::NotReached {
            continue;
        }
        let about_box = state.laid_box(serial);
        let read = if outcome == Outcome::Checked {
            state
                .positions(serial)
                .into_iter()
                .map(|position| {
                    let id = ItemId { serial, position };
                    let answers = state.item_answers(id);
                    let batch = state.batch_of(id).map(str::to_owned);
                    let group = batch.unwrap_or_else(|| unnamed(state, stratum, &answers));
                    let class = state.laid_item(&about_box, id).action();
                    item(class, &answers, || {
                        let next = groups.len();
                        *groups.entry(group).or_insert(next)
                    })
                })
                .collect()
        } else {
            Vec::new()
        };
        let n_items = records::n_items(state, serial, outcome);
        let whole = match outcome {
            Outcome::Stopped | Outcome::Uncounted if n_items != Some(0) => {
                records::whole_box_action(&about_box)
            }
            _ => None,
        };
        into.sampled.push(SampledBox {
            n_items,
            judged: n_items.is_some() && matches!(outcome, Outcome::Stopped | Outcome::Uncounted),
            read,
        });
        let at = into.sampled.len() - 1;
        answered.extend(whole.map(|class| (stratum, at, class)));
    }
    for (stratum, at, class) in answered {
        if let Some(into) = strata.get_mut(&stratum) {
            answer_for_all(into, at, class);
        }
    }
    let mut named: Vec<(String, usize)> = groups.into_iter().collect();
    named.sort_by_key(|(_, index)| *index);
    made.learned = crate::learned::hours_learned(state);
    made.groups = named.into_iter().map(|(name, _)| name).collect();
    made.strata = strata.into_values().filter(|s| !s.sampled.is_empty()).collect();
    made
}

/// A stopped box whose own answers say what is to be done with all it holds (mould, say): one item stands for them, of the
/// kind that most of its stratum are, with nothing known of its playing time. Where nobody could judge how many there are,
/// it is taken to hold what the others of its stratum hold.
fn answer_for_all(stratum: &mut Stratum, at: usize, class: usize) {
    let counts: Vec<u64> = stratum.sampled.iter().filter_map(|b| b.n_items).collect();
    let by_hand = stratum
        .sampled
        .iter()
        .flat_map(|b| &b.read)
        .filter(|item| item.by_hand);
    let (n_by_hand, n_read) = (
        by_hand.count(),
        stratum.sampled.iter().map(|b| b.read.len()).sum::<usize>(),
    );
    let mean = counts.iter().sum::<u64>().checked_div(counts.len() as u64);
    let Some(n_items) = stratum.sampled[at].n_items.or(mean).filter(|n| *n > 0) else {
        return;
    };
    stratum.sampled[at] = SampledBox {
        n_items: Some(n_items),
        judged: stratum.sampled[at].judged,
        read: vec![Item {
            class,
            by_hand: n_by_hand * 2 >= n_read,
            playing: None,
        }],
    };
}

/// The name of the group of items that are in no batch.
fn unnamed(state: &State, stratum: DrawStratum, answers: &Answers) -> String {
    let carrier = match answers.get("carrier") {
        Some(Answer::One(key)) => tape::carrier(key),
        _ => None,
    };
    InNoBatch { carrier, stratum }.name(state)
}

/// Items of one kind of one stratum that are in no batch, which share their unknowns.
#[derive(Debug, Clone, Copy)]
pub struct InNoBatch {
    /// Their kind, where it is known.
    pub carrier: Option<&'static tape::Carrier>,
    /// Their stratum.
    pub stratum: DrawStratum,
}

impl InNoBatch {
    /// The items that a group's name means; none if it is a batch's own name.
    #[must_use]
    pub fn of(state: &State, group: &str) -> Option<Self> {
        let listed = state.strata.keys().copied().map(DrawStratum::Listed);
        let strata: Vec<_> = listed.chain([DrawStratum::Late]).collect();
        let kinds = tape::carriers().iter().map(Some).chain([None]);
        kinds
            .flat_map(|carrier| {
                strata.iter().map(move |stratum| Self {
                    carrier,
                    stratum: *stratum,
                })
            })
            .find(|items| items.name(state) == group)
    }

    fn name(&self, state: &State) -> String {
        let place = match self.stratum {
            DrawStratum::Listed(key) => state.strata.get(&key).map_or("", String::as_str),
            DrawStratum::Late => "late",
        };
        let kind = self.carrier.map_or("", |carrier| carrier.label);
        format!("{kind} ({place}), in no batch")
    }
}

fn item(class: usize, answers: &Answers, group: impl FnOnce() -> usize) -> Item {
    let by_hand = matches!(answers.get("carrier"), Some(Answer::One(key)) if key.starts_with("reel"));
    Item {
        class,
        by_hand,
        playing: tape::playing(answers).map(|playing| Playing {
            pass_hours: range(playing.own_hours),
            slower: range(playing.slower),
            passes: range(playing.passes),
            tracks: range(playing.tracks),
            group: group(),
        }),
    }
}

/// In order, whatever a rounding did to two equal ends.
fn range(amount: tape::Amount) -> Range {
    Range::of(
        amount.low.min(amount.likely),
        amount.likely,
        amount.high.max(amount.likely),
    )
}

fn class(action: &tape::ActionClass) -> Class {
    Class {
        key: action.key.to_owned(),
        clean: action.work.clean,
        repair: action.work.repair,
        specialist: action.work.specialist,
    }
}

/// The question, about the survey as a whole, whose answer is the planner's set of assumptions as JSON.
pub const ASSUMPTIONS: &str = "assumptions";

/// The set in the log; the defaults where there is none, or none that this program reads.
#[must_use]
pub fn assumptions(state: &State) -> Assumptions {
    match state.answer(Subject::Survey, ASSUMPTIONS) {
        Some(Answer::Text(json)) => read(json).unwrap_or_default(),
        _ => Assumptions::default(),
    }
}

/// Reads a set of assumptions from JSON.
///
/// # Errors
/// A sentence that says what is wrong with it.
pub fn read(json: &str) -> Result<Assumptions, String> {
    let set: Assumptions = serde_json::from_str(json).map_err(|error| error.to_string())?;
    set.check().map_err(|error| error.to_string())?;
    Ok(set)
}

/// Writes a set as JSON.
///
/// # Errors
/// A number in it that JSON cannot hold; sets that pass their check have none.
pub fn write(set: &Assumptions) -> Result<String, String> {
    serde_json::to_string(set).map_err(|error| error.to_string())
}

/// What the collection takes, given the assumptions.
///
/// # Errors
/// See [`costing::SimulationError`].
pub fn outlook(
    state: &State,
    assumptions: &Assumptions,
    settings: &Settings,
) -> Result<Outlook, SimulationError> {
    costing::simulate(&collection(state), assumptions, settings)
}

/// An outlook as it is shown and saved: every quantity by its id, with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// The seed of the draws.
    pub seed: String,
    /// How many draws.
    pub draws: usize,
    /// The level of the intervals.
    pub level: f64,
    /// The currency of all money.
    pub currency: String,
    /// Every quantity by its id; costs only where a price was given.
    pub quantities: BTreeMap<String, Span>,
    /// Prices nobody gave: what the costs leave out.
    pub not_priced: Vec<String>,
    /// What moves the total cost, or without prices the hours of sound, the strongest first.
    pub drivers: Vec<Driving>,
    /// The quantity that the drivers are of.
    pub drivers_of: String,
    /// Items transferred, where hours and what hangs on them were put right by what that taught.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub learned: Option<u64>,
}

/// Sums an outlook up.
#[must_use]
pub fn summary(outlook: &Outlook, assumptions: &Assumptions) -> Summary {
    let priced = assumptions.has_prices();
    let quantities = outlook
        .ids()
        .filter(|id| priced || !id.contains("cost"))
        .filter_map(|id| Some((id.to_owned(), outlook.range(id)?)))
        .collect();
    let drivers_of = if priced { "cost.total" } else { "content_hours" };
    let missing = costing::catalogue()
        .iter()
        .filter(|entry| entry.kind == costing::Kind::Money && assumptions.range(entry.key).is_none());
    Summary {
        seed: outlook.settings().seed.clone(),
        draws: outlook.n_draws(),
        level: outlook.settings().level,
        currency: assumptions.currency.clone(),
        quantities,
        not_priced: missing.map(|entry| entry.label.to_owned()).collect(),
        drivers: outlook.drivers(drivers_of),
        drivers_of: drivers_of.to_owned(),
        learned: outlook.learned(),
    }
}

#[cfg(test)]
mod tests {
    use super::range;
    use tape::Amount;

    #[test]
    fn a_rounding_does_not_turn_a_range_round() {
        let amount = Amount {
            low: 1.000_000_000_000_000_2,
            likely: 1.0,
            high: 0.999_999_999_999_999_9,
        };
        assert_eq!(range(amount).check(), Ok(()));
    }
}
