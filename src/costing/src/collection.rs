//! The sampled collection as costing sees it: strata, sampled boxes, items read.

use crate::bootstrap::as_float;
use crate::range::Range;

/// A sampled collection.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Collection {
    /// What is to be done with items, the most pressing class first.
    pub classes: Vec<Class>,
    /// Names of the groups of items that share their unknowns; [`Playing::group`] points here.
    pub groups: Vec<String>,
    /// Strata with at least one sampled box; others are outside.
    pub strata: Vec<Stratum>,
    /// What the first transfers taught of the hours, where chance chose the items.
    pub learned: Option<LearnedHours>,
}

/// Hours of sound put right by true durations: they stand in the place of what the items' unknowns come to in all. How the
/// hours lie among classes and strata is still what the look said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LearnedHours {
    /// Hours of sound of the whole collection.
    pub hours: f64,
    /// The standard deviation that the choice of the transferred items leaves them, hours; the draw of boxes is apart.
    pub sd: f64,
    /// Items transferred.
    pub n: u64,
}

/// A class of items, by what is to be done with them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Class {
    /// Key, as in the items' records.
    pub key: String,
    /// Whether they are cleaned before anything else.
    pub clean: bool,
    /// Whether they are repaired before a transfer.
    pub repair: bool,
    /// Whether a specialist assesses them first.
    pub specialist: bool,
}

/// A stratum.
#[derive(Clone, Debug, PartialEq)]
pub struct Stratum {
    /// Key.
    pub key: String,
    /// Boxes in it, sampled or not.
    pub n_boxes: u64,
    /// Its sampled boxes: a simple random sample of them.
    pub sampled: Vec<SampledBox>,
}

/// A sampled box.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct SampledBox {
    /// Items in it; nothing where nobody could count them: then it is taken to hold what the others of its stratum hold.
    pub n_items: Option<u64>,
    /// Whether that number is somebody's judgement from outside, and not a count: then it is drawn with the assumption for such.
    pub judged: bool,
    /// Items read, a simple random sample of its items; none where it was stopped.
    pub read: Vec<Item>,
}

/// An item that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Item {
    /// Its class, an index of [`Collection::classes`].
    pub class: usize,
    /// Whether it is threaded by hand (a reel) rather than put in (a cassette).
    pub by_hand: bool,
    /// How much is on it; nothing where that cannot be said: then it is taken to hold what the others of its stratum hold.
    pub playing: Option<Playing>,
}

/// How much is on an item, taken apart into what it has for itself and what its group shares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Playing {
    /// Hours of one pass at the likely speed: the item's own unknown, its length.
    pub pass_hours: Range,
    /// The factor by which the speed changes them; 1 where it is known. Shared in the group, in steps.
    pub slower: Range,
    /// Passes to hear all of it. Shared in the group, in steps.
    pub passes: Range,
    /// Tracks in all, passes times channels at once. Shared with the passes.
    pub tracks: Range,
    /// The group it shares with, an index of [`Collection::groups`].
    pub group: usize,
}

/// Why a collection cannot be costed.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, thiserror::Error)]
pub enum CollectionError {
    /// Nothing was sampled.
    #[error("no box was checked yet: there is nothing to plan from")]
    Empty,
    /// No item was read.
    #[error("no item was read yet: hours and costs rest on items")]
    NoItem,
    /// More boxes sampled than there are.
    #[error("stratum {0}: more boxes sampled than it has")]
    TooManyBoxes(String),
    /// More items read than the box holds.
    #[error("stratum {0}: a box with more items read than it holds")]
    TooManyItems(String),
    /// Learned hours that are no number, or under 0.
    #[error("the hours learned from transfers are not sound")]
    BadLearned,
    /// An index that points nowhere, or a range that is none.
    #[error("stratum {0}: an item whose class, group or playing time is not sound")]
    BadItem(String),
}

impl SampledBox {
    /// Items in it where one that was judged stands for `judged` of them.
    pub(crate) fn items(&self, judged: f64) -> Option<f64> {
        let each = if self.judged { judged } else { 1.0 };
        self.n_items.map(|n| as_float(n) * each)
    }
}

impl Collection {
    /// Whether any box of which more than nothing was judged from outside is in it.
    #[must_use]
    pub fn rests_on_judging(&self) -> bool {
        let mut boxes = self.strata.iter().flat_map(|s| &s.sampled);
        boxes.any(|b| b.judged && b.n_items.is_some_and(|n| n > 0))
    }

    /// Whether it is sound.
    ///
    /// # Errors
    /// The first fault, with its stratum.
    pub fn check(&self) -> Result<(), CollectionError> {
        if self.strata.iter().all(|s| s.sampled.is_empty()) {
            return Err(CollectionError::Empty);
        }
        for stratum in &self.strata {
            let key = || stratum.key.clone();
            if stratum.sampled.len() as u64 > stratum.n_boxes {
                return Err(CollectionError::TooManyBoxes(key()));
            }
            for b in &stratum.sampled {
                if b.n_items.is_some_and(|n| n < b.read.len() as u64)
                    || b.n_items.is_none() && !b.read.is_empty()
                {
                    return Err(CollectionError::TooManyItems(key()));
                }
                if !b.read.iter().all(|item| self.is_sound(item)) {
                    return Err(CollectionError::BadItem(key()));
                }
            }
        }
        if self.items().next().is_none() {
            return Err(CollectionError::NoItem);
        }
        let is_sound = |learned: &LearnedHours| {
            [learned.hours, learned.sd]
                .iter()
                .all(|number| number.is_finite() && *number >= 0.0)
                && learned.n > 0
        };
        if !self.learned.as_ref().is_none_or(is_sound) {
            return Err(CollectionError::BadLearned);
        }
        Ok(())
    }

    fn is_sound(&self, item: &Item) -> bool {
        let sound = |p: &Playing| {
            p.group < self.groups.len()
                && [p.pass_hours, p.slower, p.passes, p.tracks]
                    .iter()
                    .all(|range| range.check().is_ok())
        };
        item.class < self.classes.len() && item.playing.as_ref().is_none_or(sound)
    }

    /// Every item read.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.strata
            .iter()
            .flat_map(|s| s.sampled.iter().flat_map(|b| b.read.iter()))
    }

    /// Degrees of freedom of the draw of boxes: boxes less strata, over strata that were not taken whole.
    #[must_use]
    pub fn df(&self) -> u64 {
        self.strata
            .iter()
            .filter(|s| (s.sampled.len() as u64) < s.n_boxes)
            .map(|s| (s.sampled.len() as u64).saturating_sub(1))
            .sum()
    }
}
