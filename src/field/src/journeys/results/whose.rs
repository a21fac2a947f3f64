//! Whose values are looked at and changed: the plan's, or those of one way beside it.

use analysis::outlook;
use costing::{Assumptions, Value};
use leptos::prelude::WithUntracked;
use survey::{Command, Subject};
use tape::Answer;

use super::{scenarios, to};
use crate::store::Store;
use crate::texts::takes as text;

/// Whose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Whose {
    /// What the survey is planned with.
    Plan,
    /// The way of this name.
    Way(String),
}

impl Whose {
    /// The address of a screen of its values.
    pub(super) fn at(&self, rest: &[&str]) -> String {
        match self {
            Self::Plan => to(&[&["assume"], rest].concat()),
            Self::Way(name) => {
                let name = scenarios::in_address(name);
                to(&[&["scenarios", &name, "assume"], rest].concat())
            }
        }
    }

    /// The set in force.
    pub(super) fn in_force(&self, store: Store) -> Assumptions {
        let plan = plan(store);
        match self {
            Self::Plan => plan,
            Self::Way(name) => {
                let way = store.state.with_untracked(|state| scenarios::named(state, name));
                way.map_or_else(|| plan.clone(), |way| way.applied(&plan))
            }
        }
    }

    /// The value that was set for a key here.
    pub(super) fn own(&self, store: Store, key: &str) -> Option<Value> {
        match self {
            Self::Plan => plan(store).values.get(key).cloned(),
            Self::Way(name) => {
                let way = store
                    .state
                    .with_untracked(|state| scenarios::named(state, name))?;
                way.values.get(key).cloned()
            }
        }
    }

    /// Sets the value of a key, or takes it out; what is not sound is given back in words.
    pub(super) fn set(&self, store: Store, key: &str, value: Option<Value>) -> Result<(), String> {
        let put = |values: &mut std::collections::BTreeMap<String, Value>| match value {
            Some(value) => drop(values.insert(key.to_owned(), value)),
            None => drop(values.remove(key)),
        };
        match self {
            Self::Plan => {
                let mut set = plan(store);
                put(&mut set.values);
                keep_plan(store, &set)
            }
            Self::Way(name) => {
                let way = store.state.with_untracked(|state| scenarios::named(state, name));
                let mut way = way.unwrap_or_else(|| costing::Scenario::new(name));
                put(&mut way.values);
                scenarios::keep(store, &way)
            }
        }
    }
}

/// The survey's own set.
pub(super) fn plan(store: Store) -> Assumptions {
    store.state.with_untracked(|state| outlook::assumptions(state))
}

/// Keeps a set as the survey's answer; one that is not sound is given back in words.
pub(super) fn keep_plan(store: Store, set: &Assumptions) -> Result<(), String> {
    set.check().map_err(|error| text::refused(&error))?;
    let json = outlook::write(set)?;
    store.send(Command::Answer {
        subject: Subject::Survey,
        question: outlook::ASSUMPTIONS.to_owned(),
        value: Answer::Text(json),
    });
    Ok(())
}
