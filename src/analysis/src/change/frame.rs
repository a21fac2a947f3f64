//! Whether two surveys are of one frame: the same boxes under the same serials, labels and strata.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use survey::State;

use crate::records;

/// How many differences of two frames are named one by one.
const MOST_NAMED: usize = 5;

/// One of the two surveys.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Which {
    /// The earlier.
    First,
    /// The later.
    Second,
}

impl std::fmt::Display for Which {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::First => "first",
            Self::Second => "second",
        })
    }
}

/// Why two surveys cannot be compared; each says what differs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum ChangeError {
    /// One has no draw yet.
    #[error("the {0} survey has no sample yet: no box was drawn in it")]
    NoDraw(Which),
    /// Nothing of one was counted.
    #[error("the {0} survey has no figure yet: no box was counted in a round that counts")]
    NoFigure(Which),
    /// An invented collection and a real one.
    #[error("one of the two is an invented collection to practise on, and the other is not")]
    Practice,
    /// Another list of boxes.
    #[error(
        "the two lists of boxes differ, so a change of figures would mix what changed with what was listed: {}{}",
        said(.named),
        if *.count > .named.len() { format!("; and {} more", .count - .named.len()) } else { String::new() }
    )]
    Frame {
        /// The first differences.
        named: Vec<Unlike>,
        /// How many there are.
        count: usize,
    },
    /// The same file, or one without anything new.
    #[error("both files have the same entries: there is nothing to compare")]
    Same,
}

/// A box that two lists do not have alike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum Unlike {
    /// In another stratum: its serial.
    #[error("box {0} is in another stratum")]
    Stratum(String),
    /// Under another label: its serial, then both labels.
    #[error("box {0} is labelled {1:?} and {2:?}")]
    Label(String, String, String),
    /// In one list alone: its serial, and whose list.
    #[error("box {0} is in the {1} list alone")]
    Alone(String, Which),
}

fn said(unlike: &[Unlike]) -> String {
    unlike
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}

/// Refuses two surveys that cannot be compared.
pub(super) fn comparable(first: &State, second: &State) -> Result<(), ChangeError> {
    if first.practice != second.practice {
        return Err(ChangeError::Practice);
    }
    if first.survey == second.survey && first.counts() == second.counts() {
        return Err(ChangeError::Same);
    }
    for (name, state) in [(Which::First, first), (Which::Second, second)] {
        if state.draw.is_none() {
            return Err(ChangeError::NoDraw(name));
        }
    }
    let [then, now] = [first, second].map(listed);
    let serials: BTreeSet<&String> = then.keys().chain(now.keys()).collect();
    let differences: Vec<Unlike> = serials
        .into_iter()
        .filter_map(|serial| match (then.get(serial), now.get(serial)) {
            (Some(a), Some(b)) if a == b => None,
            (Some((_, a)), Some((_, b))) if a == b => Some(Unlike::Stratum(serial.clone())),
            (Some((_, a)), Some((_, b))) => Some(Unlike::Label(serial.clone(), a.clone(), b.clone())),
            (Some(_), None) => Some(Unlike::Alone(serial.clone(), Which::First)),
            _ => Some(Unlike::Alone(serial.clone(), Which::Second)),
        })
        .collect();
    if differences.is_empty() {
        return Ok(());
    }
    Err(ChangeError::Frame {
        count: differences.len(),
        named: differences.into_iter().take(MOST_NAMED).collect(),
    })
}

/// Every box that could be drawn: the name of its stratum, and its label.
fn listed(state: &State) -> BTreeMap<String, (String, String)> {
    let of = |(stratum, serial): (survey::frame::DrawStratum, survey::Serial)| {
        let name = match stratum {
            survey::frame::DrawStratum::Listed(key) => state.strata.get(&key).cloned().unwrap_or_default(),
            survey::frame::DrawStratum::Late => "late".to_owned(),
        };
        let label = state
            .boxes
            .get(&serial)
            .map(|b| b.label.clone())
            .unwrap_or_default();
        (serial.to_string(), (name, label))
    };
    records::listed(state).into_iter().map(of).collect()
}
