//! What some entries list, and which entries are undone: the parts that the fold and the frame share.

use std::borrow::Borrow;
use std::collections::{BTreeMap, BTreeSet};

use crate::entry::{Content, Entry, NewBox};
use crate::id::{EntryId, PlaceKey, StratumKey};
use crate::serial::Serial;
use crate::state::{Fault, ListedBox, Place};
use serde::{Deserialize, Serialize};

/// The highest running number given out, by device tag.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) struct Highest {
    pub(crate) stratum: BTreeMap<u8, u32>,
    pub(crate) place: BTreeMap<u8, u32>,
    pub(crate) serial: BTreeMap<u8, u32>,
}

/// The boxes and places that some entries list, undone ones left out; `B` is what is kept of a box.
#[derive(Debug)]
pub(crate) struct Listing<B> {
    pub(crate) strata: BTreeMap<StratumKey, String>,
    pub(crate) places: BTreeMap<PlaceKey, Place>,
    pub(crate) boxes: BTreeMap<Serial, B>,
    pub(crate) faults: Vec<Fault>,
    pub(crate) highest: Highest,
}

impl<B> Listing<B> {
    /// Reads a listing from entries in id order, each with the boxes that it lists, and of each box what `keep` makes of it, its
    /// place and its entry.
    pub(crate) fn read<'a, N: Borrow<NewBox>>(
        entries: impl Iterator<Item = (&'a Entry, impl Iterator<Item = N>)>,
        undone: &BTreeSet<EntryId>,
        keep: impl Fn(N, PlaceKey, EntryId) -> B,
    ) -> Self {
        let mut listing = Self {
            strata: BTreeMap::new(),
            places: BTreeMap::new(),
            boxes: BTreeMap::new(),
            faults: Vec::new(),
            highest: Highest::default(),
        };
        let mut withdrawn = Vec::new();
        let mut listed: Vec<(Serial, B)> = Vec::new();
        for (entry, boxes) in entries {
            let counts = !undone.contains(&entry.id);
            match entry.content() {
                Content::Stratum { key, name } => {
                    raise(&mut listing.highest.stratum, key.0.tag, key.0.number);
                    if counts {
                        listing.strata.entry(*key).or_insert_with(|| name.clone());
                    }
                }
                Content::Place { key, stratum, name } => {
                    raise(&mut listing.highest.place, key.0.tag, key.0.number);
                    if counts {
                        let place = Place {
                            name: name.clone(),
                            stratum: *stratum,
                        };
                        listing.places.entry(*key).or_insert(place);
                    }
                }
                Content::Boxes { place, .. } => {
                    for new in boxes {
                        let serial = new.borrow().serial;
                        raise(&mut listing.highest.serial, serial.tag, serial.number);
                        if counts {
                            listed.push((serial, keep(new, *place, entry.id)));
                        }
                    }
                }
                Content::Withdraw { serial } if counts => withdrawn.push((*serial, entry.id)),
                _ => {}
            }
        }
        // Sorted and put together at once; of two with one serial the first stands.
        listed.sort_by_key(|(serial, _)| *serial);
        listed.dedup_by(|(later, _), (first, _)| {
            let is_twice = later == first;
            if is_twice {
                listing.faults.push(Fault::SameSerial(*later));
            }
            is_twice
        });
        listing.boxes = listed.into_iter().collect();
        for (serial, entry) in withdrawn {
            if listing.boxes.remove(&serial).is_none() && !listing.highest.serial.contains_key(&serial.tag) {
                listing.faults.push(Fault::BadReference(entry));
            }
        }
        let Self { strata, places, .. } = &mut listing;
        for place in places
            .values()
            .filter(|place| !strata.contains_key(&place.stratum))
            .map(|p| p.stratum)
            .collect::<BTreeSet<_>>()
        {
            // A stratum whose entry has not arrived yet still has boxes: it goes by its key.
            strata.insert(place, place.to_string());
        }
        listing
    }
}

impl Listing<ListedBox> {
    /// Reads all that entries in id order say of boxes and places, and what does not fit together in it.
    pub(crate) fn whole<'a>(
        entries: impl Iterator<Item = (&'a Entry, Vec<NewBox>)>,
        undone: &BTreeSet<EntryId>,
    ) -> Self {
        let entries = entries.map(|(entry, boxes)| (entry, boxes.into_iter()));
        let mut listing = Self::read(entries, undone, |new, place, entry| ListedBox {
            place,
            label: new.label,
            quarters: new.quarters,
            listed_items: new.listed_items,
            entry,
        });
        let Self {
            places,
            boxes,
            faults,
            ..
        } = &mut listing;
        let of_no_place = boxes.values().filter(|b| !places.contains_key(&b.place));
        faults.extend(of_no_place.map(|b| Fault::BadReference(b.entry)));
        listing
    }
}

/// The entries that are undone: those with an undo that is not itself undone. Circles count as not undone.
pub(crate) fn undone<'a>(entries: impl Iterator<Item = &'a Entry>) -> (BTreeSet<EntryId>, Vec<Fault>) {
    let mut undoers: BTreeMap<EntryId, Vec<EntryId>> = BTreeMap::new();
    let mut target: BTreeMap<EntryId, EntryId> = BTreeMap::new();
    for entry in entries {
        if let Content::Undo { of } = entry.content() {
            undoers.entry(*of).or_default().push(entry.id);
            target.insert(entry.id, *of);
        }
    }
    // An entry is decided once all its undoers are; undoers that nobody undoes are decided first.
    let mut pending: BTreeMap<EntryId, usize> = undoers.iter().map(|(of, by)| (*of, by.len())).collect();
    let mut ready: Vec<EntryId> = target
        .keys()
        .filter(|id| !undoers.contains_key(id))
        .copied()
        .collect();
    let mut undone = BTreeSet::new();
    while let Some(undoer) = ready.pop() {
        let Some(of) = target.get(&undoer) else { continue };
        if !undone.contains(&undoer) {
            undone.insert(*of);
        }
        if let Some(count) = pending.get_mut(of) {
            *count -= 1;
            if *count == 0 {
                pending.remove(of);
                ready.push(*of);
            }
        }
    }
    (undone, pending.into_keys().map(Fault::Circle).collect())
}

fn raise(highest: &mut BTreeMap<u8, u32>, tag: u8, number: u32) {
    let known = highest.entry(tag).or_insert(0);
    *known = number.max(*known);
}
