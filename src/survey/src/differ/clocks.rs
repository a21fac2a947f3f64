//! Clocks that cannot all be right. Nothing rests on a clock: this is for whoever reads the times.

use std::collections::BTreeMap;

use crate::entry::{Content, Entry};
use crate::id::{DeviceId, EntryId};
use crate::log::Log;
use crate::state::State;

const DAY_MS: u64 = 24 * 60 * 60 * 1_000;
/// Days of one survey that lie further apart than this are told, with none between them.
const APART_MS: u64 = 365 * DAY_MS;

/// From when to when a device wrote, by its own clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceClock {
    /// The device.
    pub device: DeviceId,
    /// Its name.
    pub name: String,
    /// The earliest time, milliseconds since 1970 UTC.
    pub first_ms: u64,
    /// The latest.
    pub last_ms: u64,
}

/// Why the clocks cannot all be right, and what each shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clocks {
    /// The devices, the earliest first.
    pub devices: Vec<DeviceClock>,
    /// Whether more than a year lies between two entries, with none between them.
    pub apart: bool,
    /// Entries that are, by the clocks, more than a day older than one they rest on.
    pub n_backwards: usize,
}

/// The clocks, if they cannot all be right.
#[must_use]
pub fn clocks(log: &Log, state: &State) -> Option<Clocks> {
    let mut by_device: BTreeMap<DeviceId, DeviceClock> = BTreeMap::new();
    let mut times = Vec::new();
    let mut n_backwards = 0;
    for entry in log.entries() {
        let is_backwards = rests_on(entry)
            .filter_map(|id| log.at_ms(id))
            .any(|earlier| earlier.saturating_sub(entry.at_ms) > DAY_MS);
        n_backwards += usize::from(is_backwards);
        times.push(entry.at_ms);
        let Some(writer) = state.writers.get(&entry.id.writer) else {
            continue;
        };
        let clock = by_device.entry(writer.device).or_insert_with(|| DeviceClock {
            device: writer.device,
            name: writer.device_name.trim().to_owned(),
            first_ms: entry.at_ms,
            last_ms: entry.at_ms,
        });
        clock.first_ms = clock.first_ms.min(entry.at_ms);
        clock.last_ms = clock.last_ms.max(entry.at_ms);
    }
    let mut devices: Vec<DeviceClock> = by_device.into_values().collect();
    devices.sort_by_key(|clock| (clock.first_ms, clock.device));
    times.sort_unstable();
    let apart = times
        .windows(2)
        .any(|pair| matches!(pair, [before, after] if after - before > APART_MS));
    (apart || n_backwards > 0).then_some(Clocks {
        devices,
        apart,
        n_backwards,
    })
}

/// The entries that must have been there before an entry was written.
fn rests_on(entry: &Entry) -> impl Iterator<Item = EntryId> {
    let mut named: Vec<EntryId> = match entry.content() {
        Content::Undo { of } => vec![*of],
        Content::Answer { instead, .. } => instead.clone(),
        Content::Round { roll, instead, .. } => {
            let roll = [*roll];
            instead.iter().chain(&roll).copied().collect()
        }
        Content::Roll { frame, instead, .. } => {
            let frame = [*frame];
            instead.iter().chain(&frame).copied().collect()
        }
        Content::Close { upto, .. } => {
            let last = |(writer, n): (&_, &u64)| {
                Some(EntryId {
                    writer: *writer,
                    n: n.checked_sub(1)?,
                })
            };
            upto.iter().filter_map(last).collect()
        }
        _ => Vec::new(),
    };
    // The writer's own entry before it.
    named.extend(entry.id.n.checked_sub(1).map(|n| EntryId { n, ..entry.id }));
    named.into_iter()
}
