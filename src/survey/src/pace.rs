//! How long a box takes, from the log's own clock: to say when a round may be over, never to hurry anybody.
//!
//! Clocks decide nothing that counts: a wrong clock gives a wrong forecast and no other harm.

use std::collections::BTreeMap;

use crate::entry::{Content, Entry};
use crate::id::{Subject, WriterId};
use crate::log::Log;
use crate::origin::Way;
use crate::progress::BoxStatus;
use crate::serial::Serial;
use crate::state::State;

/// A gap longer than this is a pause and no work: 10 minutes (from memory of a working day, no source).
pub const PAUSE_MS: u64 = 10 * 60 * 1_000;
/// The median is that of so many boxes finished last: the pace of now, not of the first hour.
pub const RECENT: usize = 8;
/// With fewer finished boxes nothing is forecast.
pub const LEAST: usize = 3;

/// Minutes that each finished box took, in the order they were finished.
///
/// The time from an entry to the next of the same writer belongs to the box of the next: the walk to a box is part of
/// it. Pauses, what was read from photographs later and what was typed from paper are left out.
#[must_use]
pub fn minutes_a_box(log: &Log, state: &State) -> Vec<f64> {
    // Milliseconds and the last moment, by box.
    let mut spent: BTreeMap<Serial, (u64, u64)> = BTreeMap::new();
    let mut before: Option<(WriterId, u64)> = None;
    for entry in log.entries() {
        let last = before.filter(|(writer, _)| *writer == entry.id.writer);
        before = Some((entry.id.writer, entry.at_ms));
        let Some(serial) = box_of(entry) else { continue };
        let gap = last.and_then(|(_, at)| entry.at_ms.checked_sub(at));
        let (sum, end) = spent.entry(serial).or_default();
        *sum += gap.filter(|gap| *gap <= PAUSE_MS).unwrap_or(0);
        *end = entry.at_ms.max(*end);
    }
    let mut finished: Vec<(u64, u64)> = spent
        .into_iter()
        .filter(|(serial, _)| matches!(state.box_status(*serial), BoxStatus::Finished(_)))
        .map(|(_, (sum, end))| (end, sum))
        .collect();
    finished.sort_unstable();
    #[allow(clippy::cast_precision_loss, reason = "minutes to show")]
    finished
        .into_iter()
        .map(|(_, sum)| sum as f64 / 60_000.0)
        .collect()
}

/// The median of the last [`RECENT`] of these; `None` for fewer than [`LEAST`].
#[must_use]
pub fn recent_median(minutes: &[f64]) -> Option<f64> {
    if minutes.len() < LEAST {
        return None;
    }
    let mut recent = minutes[minutes.len().saturating_sub(RECENT)..].to_vec();
    recent.sort_by(f64::total_cmp);
    let middle = recent.len() / 2;
    Some(if recent.len() % 2 == 1 {
        recent[middle]
    } else {
        f64::midpoint(recent[middle - 1], recent[middle])
    })
}

/// The box that an entry was work at.
fn box_of(entry: &Entry) -> Option<Serial> {
    let subject = match &entry.content {
        Content::Answer {
            subject,
            question,
            origin,
            ..
        } => {
            let later = matches!(
                Way::read(&origin.from),
                Some(Way::Photo(_) | Way::Paper(_) | Way::Chosen(_))
            );
            if later || question == "fullness" {
                return None;
            }
            *subject
        }
        Content::Photo { subject, .. } => *subject,
        _ => return None,
    };
    match subject {
        Subject::Box(serial) => Some(serial),
        Subject::Item(item) => Some(item.serial),
        Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => None,
    }
}
