//! What a method's name has to say of answers and boxes that are missing.

use super::tally::Tallies;
use crate::design::{Draw, Part};
use crate::systematic::Rule;

/// The words of a method's name that speak of unknown answers.
pub(super) const ASSUMED: &str = "; unknown answers taken as missing at random";

pub(crate) const STOPPED: &str = "; nothing assumed of stopped boxes";

pub(super) const IMPUTED: &str = "; uncounted stopped boxes given the mean count of their stratum";

pub(super) const UNREACHED: &str = "; boxes not reached taken as missing at random within their stratum";

/// What the method's name has to say of missing boxes, and of strata whose variance rests on an assumption.
pub(crate) fn missing_boxes(part: &Part<'_>) -> String {
    let boxes = &part.design.boxes()[part.box_indices()];
    let mut words = String::new();
    if boxes.iter().any(|b| b.imputed) {
        words += IMPUTED;
    }
    if part.strata().iter().any(|s| s.not_reached > 0) {
        words += UNREACHED;
    }
    for (rule, name) in [
        (Rule::AsRandom, "taken as random"),
        (Rule::Differences, "by the differences of neighbours"),
        (Rule::Pairs, "by pairs of neighbours"),
    ] {
        if part.strata().iter().any(|s| s.draw == Draw::Systematic(rule)) {
            words += &format!("; boxes drawn systematically, {name}");
        }
    }
    words
}

pub(super) fn missing_answers(sums: &Tallies<'_>) -> &'static str {
    missing_answers_of(sums.any_unknown(), sums.any_withheld())
}

pub(super) fn missing_answers_of(unknown: bool, withheld: bool) -> &'static str {
    match (unknown, withheld) {
        (false, false) => "",
        (true, false) => ASSUMED,
        (false, true) => STOPPED,
        (true, true) => "; unknown answers taken as missing at random, but nothing assumed of stopped boxes",
    }
}
