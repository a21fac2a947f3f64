//! When a round may be over, and when the work is.

use analysis::stopping::Look;
use sampling::plan::stopping::Decision;

pub const RULE: &str = "When will you stop?";
pub const RULE_LEAD: &str = "Choose now, before the first box. Whoever stops when a figure happens to look good stops too early; a rule chosen beforehand does not.";
pub const BY_TIME: &str = "When the time is over";
pub const BY_TIME_HINT: &str = "At the end of a round, or after any box if you walk in the order drawn.";
pub const BY_TEN: &str = "When a share is known to ten points either way";
pub const BY_FIVE: &str = "When a share is known to five points either way";
pub const WHICH: &str = "The share of what?";
pub const NOT_CHOSEN: &str = "No rule for stopping was chosen beforehand: time decides.";
pub const AGREED: &str = "The rule for stopping";
pub const FIXED: &str = "It was chosen before the first box and stays as it is.";
pub const WIDTH_ALONE: &str =
    "The rule looks at how far apart the limits are, never at what the figure says.";
pub const LOOKING: &str = "Working out how close the figures are\u{2026}";

pub fn looks(minimum: u64, batch: u64, maximum: u64) -> String {
    format!("First look after {minimum} boxes, then every {batch}, at most {maximum} boxes.")
}

pub fn left(n: usize) -> String {
    match n {
        1 => "1 box left in this round.".to_owned(),
        n => format!("{n} boxes left in this round."),
    }
}

/// The pace in words, and when it may be over.
pub fn pace(minutes: f64, n_left: usize, end: &str) -> String {
    #[allow(clippy::cast_precision_loss, reason = "a number of boxes")]
    let hours = minutes * n_left as f64 / 60.0;
    format!(
        "About {} a box lately, so {} of work; without a break that is {end}.",
        super::check::duration(minutes / 60.0),
        super::check::duration(hours)
    )
}

pub fn look_title(look: &Look) -> String {
    match look.number {
        0 => format!("Before the first look: {} boxes", look.n_boxes),
        number => format!(
            "Look {number} of at most {}: {} boxes",
            look.n_looks, look.n_boxes
        ),
    }
}

pub fn look_width(look: &Look, label: &str) -> String {
    let wanted = 200.0 * look.rule.half_width;
    match look.limits {
        Some(limits) => format!(
            "{label}: the limits are {:.0} points of a hundred apart; wanted are {wanted:.0} or fewer.",
            100.0 * (limits.high - limits.low)
        ),
        None => {
            format!("{label}: there are no limits yet; wanted are {wanted:.0} points or fewer between them.")
        }
    }
}

pub fn look_says(look: &Look) -> String {
    match look.decision {
        Decision::Next(_) if look.number == 0 && look.n_boxes < look.rule.minimum => {
            format!("Go on: the first look comes after {} boxes.", look.rule.minimum)
        }
        Decision::Next(next) if look.telling < look.rule.telling_boxes => format!(
            "Go on: only {} boxes tell one way or the other, and {} are wanted before the width is believed. Next look after {next} boxes.",
            look.telling, look.rule.telling_boxes
        ),
        Decision::Next(next) => format!("Go on: the next look comes after {next} boxes."),
        Decision::Reached => "Stop here: the share is as close as you wanted it.".to_owned(),
        Decision::Exhausted => {
            "Stop here: that is as many boxes as you agreed on, and the limits are what they are.".to_owned()
        }
    }
}
