//! What a method's name has to say of answers and boxes that are missing.

use super::tally::Tallies;
use crate::column::Column;
use crate::design::{Design, Draw, Part};
use crate::systematic::Rule;

/// The words of a method's name that speak of unknown answers.
const WITHIN: &str = "; unknown answers taken as missing at random within their stratum";

/// The same of strata that do not stand for themselves, see [`super::filled`].
const POOLED: &str = "; unknown answers of strata in which fewer than two boxes tell taken as missing at random over all strata";

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

/// What it has to say of missing answers.
pub(super) fn missing_answers(sums: &Tallies<'_>) -> String {
    missing_answers_of(sums.filled.taken, sums.any_withheld())
}

/// The same of a domain, where what is outside is withheld too.
pub(super) fn missing_in_domain(sums: &Tallies<'_>) -> String {
    missing_answers_of(sums.filled.taken, false)
}

/// The same of several samples together.
pub(crate) fn missing_in_all<'a>(samples: impl Iterator<Item = (&'a Design, &'a Column)>) -> String {
    let (mut within, mut pooled, mut withheld) = (false, false, false);
    for (design, column) in samples {
        let part = design.whole();
        let sums = Tallies::new(&part, column);
        within |= sums.filled.taken.0;
        pooled |= sums.filled.taken.1;
        withheld |= sums.any_withheld();
    }
    missing_answers_of((within, pooled), withheld)
}

/// The same, from whether unknown answers are taken as those of their stratum, or of all strata, and whether any is withheld.
pub(super) fn missing_answers_of((within, pooled): (bool, bool), withheld: bool) -> String {
    let said = [(within, WITHIN), (pooled, POOLED), (withheld, STOPPED)];
    said.into_iter()
        .filter(|(is, _)| *is)
        .map(|(_, words)| words)
        .collect()
}
