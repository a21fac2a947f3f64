//! A look of the rule for stopping, as it goes over.

use analysis::stopping::Look;
use sampling::interval::Limits;
use sampling::plan::stopping::{Decision, StoppingRule};
use serde::{Deserialize, Serialize};

/// A [`Look`] in plain data, since the statistics know no format.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SaidLook {
    half_width: f64,
    minimum: u64,
    batch: u64,
    maximum: u64,
    telling_boxes: u64,
    condition: String,
    n_boxes: u64,
    number: usize,
    n_looks: usize,
    limits: Option<(f64, f64)>,
    telling: u64,
    decision: Said,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
enum Said {
    Next(u64),
    Reached,
    Exhausted,
}

impl From<Look> for SaidLook {
    fn from(look: Look) -> Self {
        Self {
            half_width: look.rule.half_width,
            minimum: look.rule.minimum,
            batch: look.rule.batch,
            maximum: look.rule.maximum,
            telling_boxes: look.rule.telling_boxes,
            condition: look.condition,
            n_boxes: look.n_boxes,
            number: look.number,
            n_looks: look.n_looks,
            limits: look.limits.map(|limits| (limits.low, limits.high)),
            telling: look.telling,
            decision: match look.decision {
                Decision::Next(boxes) => Said::Next(boxes),
                Decision::Reached => Said::Reached,
                Decision::Exhausted => Said::Exhausted,
            },
        }
    }
}

impl From<SaidLook> for Look {
    fn from(said: SaidLook) -> Self {
        Self {
            rule: StoppingRule {
                half_width: said.half_width,
                minimum: said.minimum,
                batch: said.batch,
                maximum: said.maximum,
                telling_boxes: said.telling_boxes,
            },
            condition: said.condition,
            n_boxes: said.n_boxes,
            number: said.number,
            n_looks: said.n_looks,
            limits: said.limits.map(|(low, high)| Limits { low, high }),
            telling: said.telling,
            decision: match said.decision {
                Said::Next(boxes) => Decision::Next(boxes),
                Said::Reached => Decision::Reached,
                Said::Exhausted => Decision::Exhausted,
            },
        }
    }
}
