//! When a round may be over, and when the work is.

use analysis::stopping::Look;
use sampling::plan::stopping::Decision;

use super::generated::pace as words;
pub(crate) use super::generated::pace::*;

/// The pace in words, and when it may be over.
pub(crate) fn pace(minutes: f64, n_left: usize, end: &str) -> String {
    #[allow(clippy::cast_precision_loss, reason = "a number of boxes")]
    let hours = minutes * n_left as f64 / 60.0;
    words::pace(
        super::check::duration(minutes / 60.0),
        super::check::duration(hours),
        end,
    )
}

pub(crate) fn look_title(look: &Look) -> String {
    words::look_title(look.number, look.n_looks, look.n_boxes)
}

pub(crate) fn look_width(look: &Look, label: &str) -> String {
    let wanted = (200.0 * look.rule.half_width).round();
    match look.limits {
        Some(limits) => words::look_width(label, (100.0 * (limits.high - limits.low)).round(), wanted),
        None => look_no_width(label, wanted),
    }
}

pub(crate) fn look_says(look: &Look) -> String {
    match look.decision {
        Decision::Next(_) if look.number == 0 && look.n_boxes < look.rule.minimum => {
            look_says_first(look.rule.minimum)
        }
        Decision::Next(next) if look.telling < look.rule.telling_boxes => {
            look_says_few(look.telling, look.rule.telling_boxes, next)
        }
        Decision::Next(next) => look_says_next(next),
        Decision::Reached => look_says_reached().to_owned(),
        Decision::Exhausted => look_says_exhausted().to_owned(),
    }
}
