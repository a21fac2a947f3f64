//! The yes-or-no columns of the statistics.

use std::collections::BTreeMap;

use crate::answer::Answers;
use crate::handbook::in_words;
use crate::knowledge::CONDITIONS;
use crate::question::merged;
use crate::rule::When;

/// One column of the statistics.
#[derive(Debug)]
pub struct Condition {
    /// Its key, the column's name.
    pub key: &'static str,
    /// A few words.
    pub label: &'static str,
    /// Where this is known from.
    pub source: &'static str,
    pub(crate) yes: When,
    pub(crate) no: When,
}

impl Condition {
    /// When the column is yes, in a surveyor's words.
    pub fn yes_in_words(&self) -> String {
        in_words(&self.yes)
    }

    /// When the column is no, in a surveyor's words.
    pub fn no_in_words(&self) -> String {
        in_words(&self.no)
    }
}

/// Every column, in order.
pub fn conditions() -> &'static [Condition] {
    CONDITIONS
}

/// The columns for one item: yes, no, or not known (can't tell, photographed, not asked, or answers that do not fit).
/// For what holds of every item of a stopped box, give the box's answers and no item's.
pub fn condition_values(box_answers: &Answers, item: &Answers) -> BTreeMap<&'static str, Option<bool>> {
    let all = merged(box_answers, item);
    CONDITIONS
        .iter()
        .map(|c| {
            let value = match (c.yes.holds(&all), c.no.holds(&all)) {
                (true, false) => Some(true),
                (false, true) => Some(false),
                (true, true) | (false, false) => None,
            };
            (c.key, value)
        })
        .collect()
}
