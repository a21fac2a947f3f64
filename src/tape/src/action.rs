//! The few action classes, and which of them a set of findings calls for.

use crate::finding::{Finding, Strength};
use crate::knowledge::ACTIONS;

/// What is to be done with an item: one of a few classes, the most pressing first.
#[derive(Debug, PartialEq)]
pub struct ActionClass {
    /// Its key, as in tables.
    pub key: &'static str,
    /// A few words.
    pub label: &'static str,
    /// When an item is in it, if it is in none before it: its rule in plain words.
    pub fits: &'static str,
    /// What it means for people.
    pub people: &'static str,
    /// What it means for handling.
    pub handling: &'static str,
    /// What it means for the plan.
    pub plan: &'static str,
    /// What it means for money.
    pub money: &'static str,
    /// What comes before a transfer.
    pub work: Work,
    /// Where this is known from.
    pub source: &'static str,
    pub(crate) when: &'static [&'static [FindingAtom]],
}

/// What is done to items of a class before a transfer, and is costed apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work {
    /// Cleaned by people who are equipped for it.
    pub clean: bool,
    /// Splices, shells and the like mended.
    pub repair: bool,
    /// Assessed by a specialist.
    pub specialist: bool,
}

/// One part of an action's rule.
#[derive(Debug, PartialEq)]
pub(crate) struct FindingAtom {
    pub(crate) finding: &'static str,
    pub(crate) at_least: bool,
    pub(crate) strength: Strength,
}

/// Key of the last class: too little was looked at to say more. The build checks that it is there.
pub const LOOK_AGAIN: &str = "look_again";

/// Every class, the most pressing first.
pub fn actions() -> &'static [ActionClass] {
    ACTIONS
}

/// The most pressing class that the findings call for; "look again" when too little was looked at.
pub fn action(findings: &[Finding]) -> &'static ActionClass {
    let holds = |line: &[FindingAtom]| {
        line.iter().all(|atom| {
            // A finding that does not apply to this carrier is not among them.
            let strength = findings
                .iter()
                .find(|f| f.key == atom.finding)
                .map_or(Strength::NoSign, |f| f.strength);
            if atom.at_least {
                strength >= atom.strength
            } else {
                strength == atom.strength
            }
        })
    };
    ACTIONS
        .iter()
        .find(|a| a.when.is_empty() || a.when.iter().any(|line| holds(line)))
        // The build check makes sure that the last class has no rule, so one is always found.
        .unwrap_or(&ACTIONS[ACTIONS.len() - 1])
}
