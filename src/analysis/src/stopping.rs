//! What the rule for stopping says at the end of a round: it looks at how far apart the limits are, and at nothing else.

use sampling::interval::Limits;
use sampling::plan::stopping::{Decision, StoppingRule};
use survey::State;

use crate::figures::Figures;
use crate::records::{self, Basis};
use crate::tables::WHOLE_BOX;

/// A look.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// The rule.
    pub rule: StoppingRule,
    /// The condition it looks at.
    pub condition: String,
    /// Boxes of whole rounds.
    pub n_boxes: u64,
    /// Which look this is, from 1; 0 before the first.
    pub number: usize,
    /// How many looks there are at most.
    pub n_looks: usize,
    /// The limits of the condition's share; none where there are none yet.
    pub limits: Option<Limits>,
    /// The lesser of the numbers of boxes with and without the condition.
    pub telling: u64,
    /// What follows.
    pub decision: Decision,
}

/// What the rule says now; `None` where none was chosen.
///
/// The figures rest on whole rounds as the rule does; where a round is half done, or boxes found after the draw are among
/// them, they may rest on a few boxes more, and the rule still looks only when whole rounds reach one of its looks.
#[must_use]
pub fn look(state: &State, figures: &Figures) -> Option<Look> {
    let (rule, condition) = state.stopping_rule()?;
    let n_boxes = state.boxes_in_whole_rounds();
    let share = figures.headline.get(&format!("condition.{condition}.share"));
    let limits = share.and_then(|share| {
        Some(Limits {
            low: share.low?,
            high: share.high?,
        })
    });
    let telling = telling_boxes(state, condition);
    let looks = rule.looks();
    Some(Look {
        condition: condition.to_owned(),
        n_boxes,
        number: looks.iter().filter(|look| **look <= n_boxes).count(),
        n_looks: looks.len(),
        limits,
        telling,
        decision: rule.decide(n_boxes, limits, telling),
        rule,
    })
}

/// The lesser of the numbers of boxes in which the condition was seen, and in which it was not and something is known.
fn telling_boxes(state: &State, condition: &str) -> u64 {
    let rows = records::items(state, Basis::Headline);
    let Some(column) = rows.columns.iter().position(|column| column.name == condition) else {
        return 0;
    };
    let mut boxes = std::collections::BTreeMap::<&str, bool>::new();
    for row in rows.items.iter().filter(|row| row.item_id != WHOLE_BOX) {
        if let Some(value) = row.values.get(column).copied().flatten() {
            *boxes.entry(&row.box_id).or_default() |= value > 0.5;
        }
    }
    let with = boxes.values().filter(|has| **has).count();
    with.min(boxes.len() - with) as u64
}
