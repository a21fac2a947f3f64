//! What the other side knows of a survey, so that only news goes over.

use std::collections::BTreeMap;

use survey::{Log, SurveyId, WriterId};

use crate::ask::Known;

/// What was sent.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sent {
    survey: Option<SurveyId>,
    /// For each writer the number after its last entry.
    next: BTreeMap<WriterId, u64>,
    n_entries: usize,
    n_twins: usize,
}

impl Sent {
    /// What is to be sent so that the other side knows this log, and the lines of those entries; none if it does. From now
    /// on it counts as sent. Takes time by what is new, not by the log, unless it is another log or one that was mended.
    pub fn news(&mut self, log: &Log) -> Option<(Known, Vec<u8>)> {
        let mut lines = Vec::new();
        let mut n_new = 0;
        let mut next = self.next.clone();
        let goes_on = self.survey == Some(log.survey()) && self.n_twins == log.twins().len();
        if goes_on {
            for writer in log.writers() {
                let from = next.entry(writer).or_default();
                for entry in log.entries_from(writer, *from) {
                    lines.extend_from_slice(&entry.bytes);
                    lines.push(b'\n');
                    n_new += 1;
                    *from = entry.id.n.saturating_add(1);
                }
            }
        }
        // An entry that was missing and has come has a number below the last: then the counts differ.
        let anew = !goes_on || self.n_entries + n_new != log.entries().len();
        if anew {
            lines = log.to_lines();
            next = log.writers().map(|writer| (writer, log.next_n(writer))).collect();
        } else if n_new == 0 {
            return None;
        }
        *self = Self {
            survey: Some(log.survey()),
            next,
            n_entries: log.entries().len(),
            n_twins: log.twins().len(),
        };
        Some((Known::of(log.survey(), anew), lines))
    }
}
