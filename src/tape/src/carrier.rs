//! The kinds of carrier and how each is told apart.

use crate::knowledge::CARRIERS;

/// What a carrier broadly is: decides its drawing and which questions make sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Open reels.
    Reel,
    /// Closed shells with two hubs.
    Cassette,
    /// Closed shells with an endless loop.
    Cartridge,
    /// Everything else.
    Other,
}

/// A kind of carrier.
#[derive(Debug)]
pub struct Carrier {
    /// Its key in answers and tables.
    pub key: &'static str,
    /// Short enough for a phone's button.
    pub label: &'static str,
    /// The drawing's name.
    pub icon: &'static str,
    /// What it broadly is.
    pub family: Family,
    /// Whether items of this kind are drawn for a check; the others are tallied only.
    pub checked: bool,
    /// How it is told apart, by eye and ruler.
    pub told: &'static str,
    /// Its speeds and passes, in words.
    pub plays: &'static str,
    /// What it is easily mistaken for.
    pub traps: &'static str,
    /// Its term in the `PBCore` 2.1 vocabulary of physical formats, where there is one.
    pub pbcore: Option<&'static str>,
    /// Where this is known from.
    pub source: &'static str,
}

/// Every kind, in the order of the buttons.
pub fn carriers() -> &'static [Carrier] {
    CARRIERS
}

/// The kind with this key.
pub fn carrier(key: &str) -> Option<&'static Carrier> {
    CARRIERS.iter().find(|c| c.key == key)
}

/// Whether items of this kind are drawn for a check. A kind that is not known here is taken for one that is.
pub fn is_checked(key: &str) -> bool {
    carrier(key).is_none_or(|c| c.checked)
}
