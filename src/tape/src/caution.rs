//! What not to do, and what may hurt a person.

use crate::answer::Answers;
use crate::knowledge::{BOX_CAUTIONS, CAUTIONS, ITEM_CAUTIONS};
use crate::rule::When;

/// A caution as it is shown.
#[derive(Debug, PartialEq)]
pub struct Caution {
    /// Its key.
    pub key: &'static str,
    /// A few words.
    pub title: &'static str,
    /// What to do and what to leave.
    pub text: &'static str,
    /// Whether it is about people rather than tapes.
    pub for_people: bool,
    /// Where it is known from.
    pub source: &'static str,
}

/// Answers that call for cautions at once.
#[derive(Debug)]
pub(crate) struct AtOnce {
    pub(crate) when: When,
    pub(crate) cautions: &'static [&'static str],
}

/// Every caution.
pub fn cautions() -> &'static [Caution] {
    CAUTIONS
}

/// The caution with this key.
pub fn caution(key: &str) -> Option<&'static Caution> {
    CAUTIONS.iter().find(|c| c.key == key)
}

/// What a box's answers call for at once, cautions for people first. A hazard's caution also means: stop here.
pub fn cautions_for_box(box_answers: &Answers) -> Vec<&'static Caution> {
    called_for(BOX_CAUTIONS, box_answers)
}

/// What an item's answers call for at once, cautions for people first.
pub fn cautions_for_item(item: &Answers) -> Vec<&'static Caution> {
    called_for(ITEM_CAUTIONS, item)
}

fn called_for(rules: &'static [AtOnce], answers: &Answers) -> Vec<&'static Caution> {
    let keys = rules
        .iter()
        .filter(|r| r.when.holds(answers))
        .flat_map(|r| r.cautions.iter().copied());
    in_order(keys)
}

/// The cautions named, each once, those for people first.
pub(crate) fn in_order(keys: impl Iterator<Item = &'static str>) -> Vec<&'static Caution> {
    let mut out: Vec<&'static Caution> = Vec::new();
    for found in keys.filter_map(caution) {
        if !out.contains(&found) {
            out.push(found);
        }
    }
    out.sort_by_key(|c| !c.for_people);
    out
}
