//! What is done, and what comes next.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use tape::{Answer, Laid, Path};

use crate::at_once;
use crate::entry::Walk;
use crate::frame::Drawn;
use crate::id::{ItemId, Subject};
use crate::serial::Serial;
use crate::state::State;

/// The most items a box is taken to hold: a guard against a slip of the finger, or a hostile file.
pub const MAX_ITEMS_PER_BOX: u32 = 20_000;

/// Where a box stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum BoxStatus {
    /// Nobody was there yet.
    Untouched,
    /// Begun, with questions or items left.
    Begun,
    /// Everything asked is answered.
    Finished(Outcome),
}

/// How a finished box ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Outcome {
    /// Opened, counted, its drawn items checked.
    Checked,
    /// Not found today, or not opened: nothing is known of it.
    NotReached,
    /// Stopped for a hazard: the hazard is known, the rest is not.
    Stopped,
    /// Opened, but nobody could tell how many items are in it.
    Uncounted,
    /// Not part of the collection, or listed twice: holds nothing in scope.
    OutOfScope,
}

/// What to do next in a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Go to this box, or go on with it.
    Box(Serial),
    /// Check this item.
    Item(ItemId),
    /// The round is complete.
    RoundComplete,
}

/// How far a round is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoundProgress {
    /// Its boxes.
    pub n_boxes: usize,
    /// Those that are finished.
    pub n_finished: usize,
}

impl RoundProgress {
    /// Whether every box is finished.
    #[must_use]
    pub fn is_complete(self) -> bool {
        self.n_finished == self.n_boxes
    }
}

impl State {
    /// The questions of a box: those asked so far, the next one, whether all are answered.
    #[must_use]
    pub fn box_path(&self, serial: Serial) -> Path {
        tape::box_path(&self.answers(Subject::Box(serial)))
    }

    /// The questions of an item, those that its batch answers for it taken as answered.
    #[must_use]
    pub fn item_path(&self, item: ItemId) -> Path {
        tape::item_path_in(&self.answers(Subject::Box(item.serial)), &self.item_answers(item))
    }

    /// Items counted in a box, those that are tallied but not checked (video, say) left out; `None` before it was
    /// counted.
    #[must_use]
    pub fn n_items(&self, serial: Serial) -> Option<u32> {
        match self.answer(Subject::Box(serial), "count")? {
            Answer::Counts(counts) => {
                let checked = counts
                    .iter()
                    .filter(|(carrier, _)| tape::carrier(carrier).is_some_and(|known| known.checked));
                Some(
                    checked
                        .fold(0, |sum: u32, (_, n)| sum.saturating_add(*n))
                        .min(MAX_ITEMS_PER_BOX),
                )
            }
            _ => None,
        }
    }

    /// The positions to check in a box, ascending; empty before it was counted.
    #[must_use]
    pub fn positions(&self, serial: Serial) -> Vec<u32> {
        match (&self.draw, self.n_items(serial)) {
            (Some(draw), Some(n_items)) => draw.positions(serial, n_items),
            _ => Vec::new(),
        }
    }

    /// Where a box stands.
    #[must_use]
    pub fn box_status(&self, serial: Serial) -> BoxStatus {
        let known = self.all_standing().get(&serial).copied();
        known.unwrap_or_else(|| self.status_of(serial))
    }

    /// Where the boxes of the rounds begun stand.
    pub(crate) fn standing_of_rounds(&self) -> BTreeMap<Serial, BoxStatus> {
        let Some(draw) = &self.draw else {
            return BTreeMap::new();
        };
        let boxes = self.rounds.keys().flat_map(|number| draw.round(*number));
        let serials: Vec<Serial> = boxes.map(|drawn| drawn.serial).collect();
        let statuses = at_once::map(&serials, |serial| self.status_of(*serial));
        serials.into_iter().zip(statuses).collect()
    }

    /// Where a box stands, worked out from its answers.
    pub(crate) fn status_of(&self, serial: Serial) -> BoxStatus {
        let about = self.answers.of(Subject::Box(serial));
        if about.is_none_or(|about| !about.has("outcome")) {
            return BoxStatus::Untouched;
        }
        let laid = self.laid_box(serial);
        if !laid.is_box_done() {
            return BoxStatus::Begun;
        }
        let is_counted = || {
            matches!(
                self.answer(Subject::Box(serial), "count"),
                Some(Answer::Counts(_))
            )
        };
        let outcome = outcome(&laid, is_counted);
        let items_left = outcome == Outcome::Checked && self.next_item_of(serial, &laid).is_some();
        if items_left {
            BoxStatus::Begun
        } else {
            BoxStatus::Finished(outcome)
        }
    }

    /// The first drawn item of a box with a question left.
    #[must_use]
    pub fn next_item(&self, serial: Serial) -> Option<ItemId> {
        self.next_item_of(serial, &self.laid_box(serial))
    }

    /// The same of a box that was laid out before.
    fn next_item_of(&self, serial: Serial, laid: &Laid) -> Option<ItemId> {
        let items = self.positions(serial).into_iter();
        items
            .map(|position| ItemId { serial, position })
            .find(|item| !self.laid_item(laid, *item).is_item_done())
    }

    /// The boxes of a round in the order they are visited.
    #[must_use]
    pub fn walk(&self, number: u32) -> Vec<Drawn> {
        let Some(draw) = &self.draw else { return Vec::new() };
        let mut boxes = draw.round(number);
        if self.rounds.get(&number) == Some(&Walk::Shelf) {
            boxes.sort_by_key(|drawn| {
                (
                    self.boxes.get(&drawn.serial).map(|listed| listed.place),
                    drawn.serial,
                )
            });
        }
        boxes
    }

    /// How far a round is.
    #[must_use]
    pub fn round_progress(&self, number: u32) -> RoundProgress {
        let boxes = self.walk(number);
        let finished = |drawn: &&Drawn| matches!(self.box_status(drawn.serial), BoxStatus::Finished(_));
        RoundProgress {
            n_boxes: boxes.len(),
            n_finished: boxes.iter().filter(finished).count(),
        }
    }

    /// The round to work on: the first begun one that is not complete, else the last begun one.
    #[must_use]
    pub fn current_round(&self) -> Option<u32> {
        let open = self
            .rounds
            .keys()
            .find(|number| !self.round_progress(**number).is_complete());
        open.or_else(|| self.rounds.keys().next_back()).copied()
    }

    /// What to do next in a round.
    #[must_use]
    pub fn next_step(&self, number: u32) -> Step {
        for drawn in self.walk(number) {
            match self.box_status(drawn.serial) {
                BoxStatus::Finished(_) => {}
                BoxStatus::Untouched => return Step::Box(drawn.serial),
                BoxStatus::Begun if !self.box_path(drawn.serial).done => return Step::Box(drawn.serial),
                BoxStatus::Begun => {
                    return self
                        .next_item(drawn.serial)
                        .map_or(Step::Box(drawn.serial), Step::Item);
                }
            }
        }
        Step::RoundComplete
    }

    /// The boxes that estimates may rest on, with their draw: those of complete rounds, and of a round walked in draw
    /// order the finished boxes before the first unfinished one. `all_finished` takes every finished box of a begun
    /// round instead, for the second figure that is shown beside the headline.
    #[must_use]
    pub fn sample(&self, all_finished: bool) -> Vec<(Drawn, Outcome)> {
        let Some(draw) = &self.draw else { return Vec::new() };
        let mut sample = Vec::new();
        for number in self.rounds.keys() {
            let statuses: Vec<(Drawn, BoxStatus)> = draw
                .round(*number)
                .into_iter()
                .map(|drawn| (drawn, self.box_status(drawn.serial)))
                .collect();
            let finished = |(_, status): &&(Drawn, BoxStatus)| matches!(status, BoxStatus::Finished(_));
            let complete = statuses.iter().all(|pair| finished(&pair));
            let usable: Vec<&(Drawn, BoxStatus)> = if complete || all_finished {
                statuses.iter().filter(finished).collect()
            } else if self.rounds.get(number) == Some(&Walk::Draw) {
                statuses.iter().take_while(finished).collect()
            } else {
                Vec::new()
            };
            sample.extend(usable.into_iter().filter_map(|(drawn, status)| match status {
                BoxStatus::Finished(outcome) => Some((*drawn, *outcome)),
                BoxStatus::Untouched | BoxStatus::Begun => None,
            }));
        }
        sample
    }
}

fn outcome(laid: &Laid, is_counted: impl FnOnce() -> bool) -> Outcome {
    let is = |question, key| laid.is_one(question, key);
    match () {
        // Opened, and then a hazard: its questions end before the count.
        () if is("outcome", "found_opened") && !laid.asks("count") => Outcome::Stopped,
        () if is("outcome", "found_opened") && !is_counted() => Outcome::Uncounted,
        () if is("outcome", "found_opened") => Outcome::Checked,
        () if is("outcome", "stopped") => Outcome::Stopped,
        () if is("outcome_reason", "listed_twice") || is("outcome_reason", "not_in_scope") => {
            Outcome::OutOfScope
        }
        () => Outcome::NotReached,
    }
}
