//! What the sample is drawn from, and the draw.
//!
//! The frame is the list of boxes as it stood when it was closed: boxes listed by the entries the closing names,
//! whatever is undone, added or merged later. The draw is a pure function of the frame and a seed, made anew by
//! anyone: a box's rank is a hash of seed, purpose, stratum and serial ([`sampling::rank`]).

use std::collections::BTreeMap;
use std::fmt::{self, Write as _};
use std::sync::Arc;

use sampling::rank::{Rank, Ranks};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::at_once;
use crate::entry::{Content, Entry, NewBox};
use crate::fold;
use crate::id::{EntryId, StratumKey};
use crate::listing::{self, Listing};
use crate::log::Log;
use crate::serial::Serial;

/// The purpose hashed into a box's rank.
pub const PURPOSE_BOXES: &str = "boxes";
/// The purpose hashed into an item's rank.
pub const PURPOSE_ITEMS: &str = "items";

/// A closed list of boxes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Frame {
    /// The closing.
    pub entry: EntryId,
    /// Each box and its stratum.
    pub boxes: Arc<BTreeMap<Serial, StratumKey>>,
    /// [`digest`] of the boxes.
    pub digest: String,
    /// How many entries were at hand to read it from.
    rests_on: usize,
}

/// The stratum a box is drawn in: its own, or the one of boxes found after the draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum DrawStratum {
    /// A stratum of the frame.
    Listed(StratumKey),
    /// Boxes listed after the frame was closed.
    Late,
}

impl fmt::Display for DrawStratum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Listed(key) => key.fmt(f),
            Self::Late => f.write_str("late"),
        }
    }
}

/// A box that was drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drawn {
    /// Its stratum.
    pub stratum: DrawStratum,
    /// The box.
    pub serial: Serial,
}

/// The draw in force.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Draw {
    /// The roll.
    pub roll: EntryId,
    /// The frame's closing.
    pub frame: EntryId,
    /// The seed.
    pub seed: String,
    /// Boxes a round.
    pub round_size: u32,
    /// How many items of a box are checked; all of them if `None`.
    pub items_per_box: Option<u32>,
    /// The rounds, in draw order; round 1 is `rounds[0]`. Every box of the frame is in one.
    pub rounds: Vec<Vec<Drawn>>,
    /// Boxes found after the draw, in rank order.
    pub late: Vec<Serial>,
    /// The frame's own boxes, not a copy: there may be a million.
    strata: Arc<BTreeMap<Serial, StratumKey>>,
    rests_on: usize,
}

impl Draw {
    /// How many of the boxes found after the draw are to be checked: an eighth, but at least two (or all).
    #[must_use]
    pub fn n_late_wanted(&self) -> usize {
        self.late.len().div_ceil(8).max(2).min(self.late.len())
    }

    /// The boxes of a round (from 1), in draw order; round 0 is the late boxes that are to be checked.
    #[must_use]
    pub fn round(&self, number: u32) -> Vec<Drawn> {
        match number.checked_sub(1) {
            None => {
                let late = self.late.iter().take(self.n_late_wanted());
                late.map(|serial| Drawn {
                    stratum: DrawStratum::Late,
                    serial: *serial,
                })
                .collect()
            }
            Some(index) => usize::try_from(index)
                .ok()
                .and_then(|i| self.rounds.get(i))
                .cloned()
                .unwrap_or_default(),
        }
    }

    /// The stratum a box is drawn in.
    #[must_use]
    pub fn stratum_of(&self, serial: Serial) -> Option<DrawStratum> {
        let listed = self.strata.get(&serial).map(|key| DrawStratum::Listed(*key));
        listed.or_else(|| self.late.contains(&serial).then_some(DrawStratum::Late))
    }

    /// The positions (from 1, ascending) to check in a box of `n_items` items.
    #[must_use]
    pub fn positions(&self, serial: Serial, n_items: u32) -> Vec<u32> {
        let (Some(wanted), Some(stratum)) = (self.items_per_box, self.stratum_of(serial)) else {
            return (1..=n_items).collect();
        };
        let stratum = stratum.to_string();
        // Cannot be refused: a draw exists only with a seed that was accepted, and serials have no control characters.
        sampling::rank::choose(
            &self.seed,
            PURPOSE_ITEMS,
            &stratum,
            &serial.to_string(),
            n_items,
            wanted,
        )
        .unwrap_or_else(|_| (1..=n_items).collect())
    }
}

/// SHA-256 of the frame as text, 64 hexadecimal digits: `quarterlight-frame-1`, then for each box in serial order
/// its stratum, a tab and its serial, each line with a line feed.
#[must_use]
pub fn digest(boxes: &BTreeMap<Serial, StratumKey>) -> String {
    let lines = |boxes: &&[(&Serial, &StratumKey)]| {
        let mut lines = String::new();
        for own in boxes.chunk_by(|(_, one), (_, next)| one == next) {
            let stratum = own
                .first()
                .map(|(_, stratum)| stratum.to_string())
                .unwrap_or_default();
            for (serial, _) in own {
                // Cannot fail: a text takes what is written to it.
                let _ = writeln!(lines, "{stratum}\t{serial}");
            }
        }
        lines
    };
    let mut hash = Sha256::new();
    hash.update(b"quarterlight-frame-1\n");
    let mut boxes = boxes.iter();
    loop {
        // Some at a time: the lines of a million boxes are large.
        let some: Vec<(&Serial, &StratumKey)> = boxes.by_ref().take(8 * AT_ONCE).collect();
        if some.is_empty() {
            break;
        }
        let parts: Vec<&[_]> = some.chunks(AT_ONCE).collect();
        at_once::map(&parts, lines)
            .into_iter()
            .for_each(|lines| hash.update(lines));
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The boxes of a frame that rests on the first `upto` entries of each writer, and how many of those are at hand.
pub(crate) fn boxes_upto(
    log: &Log,
    upto: &BTreeMap<crate::id::WriterId, u64>,
) -> (BTreeMap<Serial, StratumKey>, usize) {
    (boxes_of(log.others(), upto), at_hand(log, upto))
}

/// How many of the entries that a frame rests on are at hand.
fn at_hand(log: &Log, upto: &BTreeMap<crate::id::WriterId, u64>) -> usize {
    let of_writer =
        |(writer, n): (&crate::id::WriterId, &u64)| log.rows_of(*writer).take_while(|row| row.n < *n).count();
    upto.iter().map(of_writer).sum()
}

/// Whether an entry could change what boxes are listed, and in which stratum.
fn lists(content: &Content) -> bool {
    matches!(
        content,
        Content::Stratum { .. }
            | Content::Place { .. }
            | Content::Boxes { .. }
            | Content::Withdraw { .. }
            | Content::Undo { .. }
    )
}

/// The boxes of a frame, from entries that are not answers.
fn boxes_of<'a>(
    others: impl Iterator<Item = &'a Entry>,
    upto: &BTreeMap<crate::id::WriterId, u64>,
) -> BTreeMap<Serial, StratumKey> {
    let within = |entry: &&Entry| upto.get(&entry.id.writer).is_some_and(|n| entry.id.n < *n);
    let others: Vec<&Entry> = others.filter(within).collect();
    let (undone, _) = listing::undone(others.iter().copied());
    fn listed(entry: &Entry) -> std::slice::Iter<'_, NewBox> {
        match entry.content() {
            Content::Boxes { boxes, .. } => boxes.iter(),
            _ => [].iter(),
        }
    }
    let entries = others.into_iter().map(|entry| (entry, listed(entry)));
    let listing = Listing::read(entries, &undone, |_, place, _| place);
    let boxes = listing.boxes.iter();
    let boxes = boxes.filter_map(|(serial, place)| Some((*serial, listing.places.get(place)?.stratum)));
    boxes.collect()
}

/// Reads the frame a closing names, and whether its digest holds.
/// The `others` are those of the log, their boxes taken out, and `listed` the boxes that they list in all.
pub(crate) fn read(
    log: &Log,
    others: &[Entry],
    listed: impl FnOnce() -> BTreeMap<Serial, StratumKey>,
    close: &Entry,
    before: Option<&Frame>,
) -> (Frame, bool) {
    let Content::Close {
        upto, digest: said, ..
    } = close.content()
    else {
        let frame = Frame {
            entry: close.id,
            boxes: Arc::default(),
            digest: String::new(),
            rests_on: 0,
        };
        return (frame, false);
    };
    let rests_on = at_hand(log, upto);
    let known = before.filter(|frame| frame.entry == close.id);
    if let Some(known) = known.filter(|frame| frame.rests_on == rests_on) {
        return (known.clone(), known.digest == *said);
    }
    // Mostly nothing was listed later.
    let is_later = |entry: &Entry| upto.get(&entry.id.writer).is_none_or(|n| entry.id.n >= *n);
    let mut later = others.iter().filter(|entry| is_later(entry));
    let boxes = if later.any(|entry| lists(entry.content())) {
        boxes_of(fold::others(log).iter(), upto)
    } else {
        listed()
    };
    let digest = digest(&boxes);
    let holds = digest == *said;
    (
        Frame {
            entry: close.id,
            boxes: Arc::new(boxes),
            digest,
            rests_on,
        },
        holds,
    )
}

/// Makes the draw of a roll; `None` if the entry is no roll or its seed is refused.
pub(crate) fn draw(roll: &Entry, frame: &Frame, late: &[Serial], before: Option<&Draw>) -> Option<Draw> {
    let Content::Roll {
        seed,
        round_size,
        items_per_box,
        ..
    } = roll.content()
    else {
        return None;
    };
    let known = before
        .filter(|draw| draw.roll == roll.id && draw.frame == frame.entry && draw.rests_on == frame.rests_on);
    let rounds = match known {
        Some(draw) => draw.rounds.clone(),
        None => rounds(seed, frame, *round_size)?,
    };
    let late = match known {
        Some(draw)
            if draw.late.len() == late.len() && late.iter().all(|serial| draw.late.contains(serial)) =>
        {
            draw.late.clone()
        }
        _ => ranked(seed, DrawStratum::Late, late)?,
    };
    Some(Draw {
        roll: roll.id,
        frame: frame.entry,
        seed: seed.clone(),
        round_size: *round_size,
        items_per_box: *items_per_box,
        rounds,
        late,
        strata: Arc::clone(&frame.boxes),
        rests_on: frame.rests_on,
    })
}

fn rounds(seed: &str, frame: &Frame, round_size: u32) -> Option<Vec<Vec<Drawn>>> {
    let mut strata: BTreeMap<StratumKey, Vec<Serial>> = BTreeMap::new();
    for (serial, stratum) in frame.boxes.iter() {
        strata.entry(*stratum).or_default().push(*serial);
    }
    let mut orders = Vec::new();
    for (key, serials) in &strata {
        let stratum = DrawStratum::Listed(*key);
        let order = ranked(seed, stratum, serials)?;
        orders.push((stratum, key.to_string(), order.into_iter()));
    }
    let sizes: Vec<(&str, usize)> = orders
        .iter()
        .map(|(_, key, order)| (key.as_str(), order.len()))
        .collect();
    let turns = sampling::rounds::turns(&sizes, usize::try_from(round_size).ok()?);
    let mut next = |stratum: usize| {
        let (stratum, _, order) = &mut orders[stratum];
        let serial = order.next()?;
        Some(Drawn {
            stratum: *stratum,
            serial,
        })
    };
    turns
        .into_iter()
        .map(|round| round.into_iter().map(&mut next).collect())
        .collect()
}

/// How many boxes are ranked, or written down, in one piece.
const AT_ONCE: usize = 1 << 14;

/// Serials in the order of their ranks. No two ranks are the same, since no two serials are.
fn ranked(seed: &str, stratum: DrawStratum, serials: &[Serial]) -> Option<Vec<Serial>> {
    if serials.is_empty() {
        return Some(Vec::new());
    }
    let ranks = Ranks::new(seed, PURPOSE_BOXES, &stratum.to_string()).ok()?;
    let ranked = |serials: &&[Serial]| {
        let mut text = String::new();
        let rank = |serial: &Serial| {
            text.clear();
            // Cannot fail: a text takes what is written to it.
            let _ = write!(text, "{serial}");
            Some((ranks.of(&text).ok()?, *serial))
        };
        serials.iter().map(rank).collect::<Option<Vec<_>>>()
    };
    let parts: Vec<&[Serial]> = serials.chunks(AT_ONCE).collect();
    let mut all: Vec<(Rank, Serial)> = Vec::with_capacity(serials.len());
    for part in at_once::map(&parts, ranked) {
        all.extend(part?);
    }
    // Its first bytes as a number tell nearly any two apart, and sooner.
    at_once::sort(&mut all, |(rank, serial)| (first_bytes(rank), *rank, *serial));
    Some(all.into_iter().map(|(_, serial)| serial).collect())
}

/// A rank's first bytes, as a number in the same order.
fn first_bytes(Rank(bytes): &Rank) -> u64 {
    let [a, b, c, d, e, f, g, h, ..] = *bytes;
    u64::from_be_bytes([a, b, c, d, e, f, g, h])
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::id::Key;

    fn boxes() -> BTreeMap<Serial, StratumKey> {
        // More than one piece has, in the two strata by turns.
        (1..=u32::try_from(9 * AT_ONCE + 5).unwrap())
            .map(|number| {
                (
                    Serial { tag: 0, number },
                    StratumKey(Key {
                        tag: 0,
                        number: 1 + number % 2,
                    }),
                )
            })
            .collect()
    }

    #[test]
    fn the_digest_of_many_boxes_is_that_of_their_lines() {
        let boxes = boxes();
        let lines = boxes
            .iter()
            .map(|(serial, stratum)| format!("{stratum}\t{serial}\n"));
        let text = "quarterlight-frame-1\n".to_owned() + &lines.collect::<String>();
        let whole: String = Sha256::digest(text)
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect();
        assert_eq!(digest(&boxes), whole);
    }

    #[test]
    fn many_boxes_are_in_the_order_of_their_ranks() {
        let serials: Vec<Serial> = boxes().into_keys().collect();
        let stratum = DrawStratum::Late;
        let mut whole = serials.clone();
        whole.sort_by_cached_key(|serial| {
            sampling::rank::rank("3141", PURPOSE_BOXES, &stratum.to_string(), &serial.to_string()).unwrap()
        });
        assert_eq!(ranked("3141", stratum, &serials), Some(whole));
    }
}
