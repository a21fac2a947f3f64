//! The statics written from the folder `knowledge` when the crate was built.

use crate::action::{ActionClass, FindingAtom, Work};
use crate::amounts::{Class, Layout, Reel, Shell, Speed};
use crate::carrier::{Carrier, Family};
use crate::caution::{AtOnce, Caution};
use crate::condition::Condition;
use crate::finding::{Contradiction, Evidence, FindingRule, Strength};
use crate::question::{Choice, Kind, Question, Subject};
use crate::rule::{Atom, When};

include!(concat!(env!("OUT_DIR"), "/knowledge.rs"));

/// Where something is known from.
#[derive(Debug)]
pub struct Source {
    /// Its key in the knowledge files.
    pub key: &'static str,
    /// The source as it is cited.
    pub text: &'static str,
    /// How well it is known: `published`, `second_hand`, `memory`, `practice` or `arithmetic`.
    pub mark: &'static str,
}

/// Every source, by key.
pub fn sources() -> &'static [Source] {
    SOURCES
}
