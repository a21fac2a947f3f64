//! Answers as a surveyor gives them: a question's key and what was chosen, counted or written.

use std::collections::{BTreeMap, BTreeSet};

/// The answer "can't tell", possible for every question.
pub const CANT_TELL: &str = "cant_tell";
/// The answer "photographed, read later", for questions that a photo can answer ([`crate::Question::photo`]).
pub const PHOTOGRAPHED: &str = "photographed";

/// One answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// The key of the one choice made, or [`CANT_TELL`] or [`PHOTOGRAPHED`].
    One(String),
    /// The keys of all choices made.
    Many(BTreeSet<String>),
    /// A number in the question's unit.
    Number(f64),
    /// Free text.
    Text(String),
    /// How many of each carrier, by its key.
    Counts(BTreeMap<String, u32>),
}

/// The answers given so far, by the question's key. Unknown keys are carried and not looked at.
pub type Answers = BTreeMap<String, Answer>;

impl Answer {
    /// A single choice.
    pub fn one(key: impl Into<String>) -> Answer {
        Answer::One(key.into())
    }

    /// Several choices.
    pub fn many<K: Into<String>>(keys: impl IntoIterator<Item = K>) -> Answer {
        Answer::Many(keys.into_iter().map(Into::into).collect())
    }

    /// Whether `key` is, or is among, what was chosen.
    pub fn has(&self, key: &str) -> bool {
        match self {
            Answer::One(k) => k == key,
            Answer::Many(keys) => keys.contains(key),
            Answer::Number(_) | Answer::Text(_) | Answer::Counts(_) => false,
        }
    }

    /// Whether any of `keys` was chosen.
    pub fn has_any(&self, keys: &[&str]) -> bool {
        keys.iter().any(|k| self.has(k))
    }

    /// The keys chosen; none for numbers, texts and counts.
    pub fn keys(&self) -> Vec<&str> {
        match self {
            Answer::One(k) => vec![k],
            Answer::Many(keys) => keys.iter().map(String::as_str).collect(),
            Answer::Number(_) | Answer::Text(_) | Answer::Counts(_) => Vec::new(),
        }
    }
}
