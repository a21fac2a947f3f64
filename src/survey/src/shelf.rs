//! The shelves as one walks along them: place by place, with the boxes of a round marked.

use crate::id::PlaceKey;
use crate::progress::BoxStatus;
use crate::serial::Serial;
use crate::state::State;

/// A place with boxes of a round.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shelf {
    /// The place.
    pub place: PlaceKey,
    /// Its boxes in the order they were listed: along the shelf.
    pub boxes: Vec<OnShelf>,
}

/// A box where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnShelf {
    /// Its serial.
    pub serial: Serial,
    /// Its place along the shelf, from 1.
    pub nth: usize,
    /// Where it stands with its checking, if the round has it; `None` for a box to walk past.
    pub drawn: Option<BoxStatus>,
}

impl State {
    /// The places of a round's boxes in walking order, each with all of its boxes.
    #[must_use]
    pub fn shelves(&self, round: u32) -> Vec<Shelf> {
        let drawn: std::collections::BTreeSet<Serial> =
            self.walk(round).into_iter().map(|drawn| drawn.serial).collect();
        let mut shelves: std::collections::BTreeMap<PlaceKey, Vec<OnShelf>> =
            std::collections::BTreeMap::new();
        for (serial, listed) in &self.boxes {
            let shelf = shelves.entry(listed.place).or_default();
            shelf.push(OnShelf {
                serial: *serial,
                nth: shelf.len() + 1,
                drawn: drawn.contains(serial).then(|| self.box_status(*serial)),
            });
        }
        let with_drawn = shelves
            .into_iter()
            .filter(|(_, boxes)| boxes.iter().any(|on_shelf| on_shelf.drawn.is_some()));
        with_drawn.map(|(place, boxes)| Shelf { place, boxes }).collect()
    }
}
