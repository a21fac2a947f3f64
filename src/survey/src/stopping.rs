//! The rule for stopping, chosen before the first box and kept in the log with every number it has: what a later version
//! takes for usual changes no rule that was chosen.

use std::collections::BTreeMap;

use sampling::plan::stopping::StoppingRule;
use tape::Answer;

use crate::id::Subject;
use crate::progress::BoxStatus;
use crate::state::State;

/// The question whose answer is the rule, about the survey: its numbers, or `none`.
pub const RULE: &str = "stopping_rule";
/// The question whose answer is the condition that the rule looks at, about the survey.
pub const CONDITION: &str = "stopping_condition";
/// The answer that says that no rule stops the work: time does.
pub const NONE: &str = "none";

/// The usual rule at this half width in points of a hundred, its looks at the ends of rounds.
///
/// Twenty boxes before the first look and ten between looks, rounded up to whole rounds; at most 120 boxes, or all.
#[must_use]
pub fn usual(half_width_points: u32, round_size: u32, n_boxes: u32) -> StoppingRule {
    let usual = StoppingRule::default();
    let round_size = u64::from(round_size.max(1));
    let whole_rounds = |boxes: u64| boxes.div_ceil(round_size) * round_size;
    StoppingRule {
        half_width: f64::from(half_width_points) / 100.0,
        minimum: whole_rounds(usual.minimum),
        batch: whole_rounds(usual.batch),
        maximum: whole_rounds(usual.maximum).min(u64::from(n_boxes)),
        telling_boxes: usual.telling_boxes,
    }
}

/// A rule as it is kept.
#[must_use]
pub fn to_answer(rule: &StoppingRule) -> Answer {
    let whole = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 1,000"
    )]
    let half_width = (rule.half_width * 1_000.0).round().clamp(0.0, 1_000.0) as u32;
    Answer::Counts(BTreeMap::from([
        ("half_width_per_mille".to_owned(), half_width),
        ("minimum".to_owned(), whole(rule.minimum)),
        ("batch".to_owned(), whole(rule.batch)),
        ("maximum".to_owned(), whole(rule.maximum)),
        ("telling_boxes".to_owned(), whole(rule.telling_boxes)),
    ]))
}

impl State {
    /// The rule that was chosen, with the condition it looks at; `None` where none was, or time stops the work.
    #[must_use]
    pub fn stopping_rule(&self) -> Option<(StoppingRule, &str)> {
        let Some(Answer::Counts(numbers)) = self.answer(Subject::Survey, RULE) else {
            return None;
        };
        let Some(Answer::One(condition)) = self.answer(Subject::Survey, CONDITION) else {
            return None;
        };
        let number = |key: &str| numbers.get(key).copied().map(u64::from);
        let rule = StoppingRule {
            half_width: f64::from(*numbers.get("half_width_per_mille")?) / 1_000.0,
            minimum: number("minimum")?,
            batch: number("batch")?,
            maximum: number("maximum")?,
            telling_boxes: number("telling_boxes")?,
        };
        Some((rule, condition))
    }

    /// Whether a rule may still be chosen: no box was begun.
    #[must_use]
    pub fn may_choose_rule(&self) -> bool {
        self.draw.as_ref().is_some_and(|draw| {
            let mut drawn = draw.rounds.iter().flatten();
            drawn.all(|drawn| self.box_status(drawn.serial) == BoxStatus::Untouched)
        })
    }

    /// The boxes of the rounds from the first on that are complete without a gap, those found after the draw left out:
    /// what a rule counts.
    #[must_use]
    pub fn boxes_in_whole_rounds(&self) -> u64 {
        let Some(draw) = &self.draw else { return 0 };
        let rounds = (1..).zip(&draw.rounds);
        let whole = rounds.take_while(|(number, _)| {
            self.rounds.contains_key(number) && self.round_progress(*number).is_complete()
        });
        whole.map(|(_, boxes)| boxes.len() as u64).sum()
    }
}
