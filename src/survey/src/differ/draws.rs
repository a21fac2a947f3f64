//! Draws that stand beside each other: two devices drew, and neither knew of the other's.

use std::collections::BTreeSet;

use crate::entry::{Content, Entry, Walk};
use crate::id::EntryId;
use crate::log::Log;
use crate::state::State;

/// A draw that nobody took the place of, where there are several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RivalDraw {
    /// Its entry.
    pub roll: EntryId,
    /// The device's clock, milliseconds since 1970 UTC.
    pub at_ms: u64,
    /// Who drew: the person, or the device's name.
    pub who: String,
    /// The seed.
    pub seed: String,
    /// Number of boxes in the list it was drawn from, as that list's closing says.
    pub n_boxes: u32,
    /// Whether it is the one that counts.
    pub in_force: bool,
    /// Whether it gives the very boxes and items of the one that counts: the same list, seed and sizes.
    pub same_boxes: bool,
}

/// The draws that nobody took the place of, the one in force first; none where there is one or none.
#[must_use]
pub fn rival_draws(log: &Log, state: &State) -> Vec<RivalDraw> {
    let rolls = heads(log.others(), |id| state.is_undone(id));
    let Some(in_force) = rolls.first().copied().filter(|_| rolls.len() > 1) else {
        return Vec::new();
    };
    let rival = |roll: &Entry| {
        let Content::Roll { frame, seed, .. } = roll.content() else {
            return None;
        };
        let n_boxes = match log.entry(*frame).map(Entry::content) {
            Some(Content::Close { n_boxes, .. }) => *n_boxes,
            _ => 0,
        };
        Some(RivalDraw {
            roll: roll.id,
            at_ms: roll.at_ms,
            who: super::writer_name(state, roll.id),
            seed: seed.clone(),
            n_boxes,
            in_force: roll.id == in_force.id,
            same_boxes: is_same_draw(log, roll, in_force),
        })
    };
    rolls.into_iter().filter_map(rival).collect()
}

/// The rolls that count and that no other takes the place of, by entry id: the first is in force.
pub(crate) fn heads<'a>(
    entries: impl Iterator<Item = &'a Entry>,
    is_undone: impl Fn(EntryId) -> bool,
) -> Vec<&'a Entry> {
    let mut rolls = Vec::new();
    let mut replaced = BTreeSet::new();
    for entry in entries {
        if let Content::Roll { instead, .. } = entry.content()
            && !is_undone(entry.id)
        {
            rolls.push(entry);
            replaced.extend(instead.iter().copied());
        }
    }
    rolls.retain(|roll| !replaced.contains(&roll.id));
    rolls
}

/// Whether two rolls give the same boxes and items: one seed, one size, one list by its digest.
pub(crate) fn is_same_draw(log: &Log, one: &Entry, other: &Entry) -> bool {
    one.id == other.id || (key(log, one).is_some() && key(log, one) == key(log, other))
}

/// What a draw is a function of.
fn key<'a>(log: &'a Log, roll: &'a Entry) -> Option<(&'a str, u32, &'a str, u32, Option<u32>)> {
    let Content::Roll {
        frame,
        seed,
        round_size,
        items_per_box,
        ..
    } = roll.content()
    else {
        return None;
    };
    match log.entry(*frame)?.content() {
        Content::Close { n_boxes, digest, .. } => Some((digest, *n_boxes, seed, *round_size, *items_per_box)),
        _ => None,
    }
}

/// The rounds of the draw in force whose entries that count differ in how they are walked.
pub(super) fn walks(log: &Log, state: &State) -> Vec<u32> {
    let differ = |number: &u32| {
        let walks: Vec<Walk> = state
            .round_heads(*number)
            .iter()
            .filter_map(|id| match log.entry(*id)?.content() {
                Content::Round { walk, .. } => Some(*walk),
                _ => None,
            })
            .collect();
        walks.windows(2).any(|pair| pair[0] != pair[1])
    };
    state.rounds.keys().copied().filter(differ).collect()
}
