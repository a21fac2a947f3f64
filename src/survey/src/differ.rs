//! What does not agree once several devices' entries have met: worked out from the log when it is asked for, the same on
//! every device, and no part of the state.
//!
//! Nothing here decides anything. Of answers that differ the first by entry id counts until a person chooses one
//! ([`crate::Command::Choose`]); the choice is an answer like others, names what it takes the place of, and can be undone.

use std::collections::{BTreeMap, BTreeSet};

use tape::{Answer, PHOTOGRAPHED};

use crate::entry::{Content, Entry};
use crate::id::{DeviceId, EntryId, Subject};
use crate::log::Log;
use crate::origin::Way;
use crate::state::{Fault, State};

mod clocks;
pub(crate) mod draws;

pub use clocks::{Clocks, DeviceClock, clocks};
pub use draws::{RivalDraw, rival_draws};

/// One answer, with who gave it and when by the clock of the device.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Its entry.
    pub entry: EntryId,
    /// The device's clock, milliseconds since 1970 UTC.
    pub at_ms: u64,
    /// The device; none if its session has not arrived.
    pub device: Option<DeviceId>,
    /// Who looked; the device's name where no person is named; empty where neither is known.
    pub who: String,
    /// What was answered.
    pub value: Answer,
}

/// A question that independent looks answered differently, and that nobody has settled.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// About what.
    pub subject: Subject,
    /// The question.
    pub question: String,
    /// The answers that stand beside each other; the first counts, because its entry id is the smallest.
    pub looks: Vec<Look>,
}

/// A conflict that somebody settled by choosing one of the answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// About what.
    pub subject: Subject,
    /// The question.
    pub question: String,
    /// The choice: undoing this entry opens the conflict again.
    pub choice: Look,
    /// Whose answer was chosen.
    pub chosen: EntryId,
    /// The answers it took the place of.
    pub looks: Vec<Look>,
}

/// Two entries with one id: a phone that was restored from a backup and went on. Both are kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Twins {
    /// Their id.
    pub id: EntryId,
    /// Who wrote: the person, or the device's name.
    pub who: String,
    /// The one that stands: that with the smaller bytes.
    pub stands: Entry,
    /// The others.
    pub others: Vec<Entry>,
}

/// A question that two people answered about the same thing, each by themselves.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeat {
    /// About what.
    pub subject: Subject,
    /// The question.
    pub question: &'static str,
    /// One look.
    pub first: Look,
    /// The other.
    pub second: Look,
}

impl Repeat {
    /// Whether both gave the same answer.
    #[must_use]
    pub fn is_same(&self) -> bool {
        self.first.value == self.second.value
    }
}

/// Devices that bear one name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SameName {
    /// The name, as one of them writes it.
    pub name: String,
    /// The devices, and who held each.
    pub devices: BTreeMap<DeviceId, BTreeSet<String>>,
}

/// All that does not agree, and what was settled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Differences {
    /// Answers that differ.
    pub conflicts: Vec<Conflict>,
    /// Answers that differed, and that somebody chose from.
    pub settled: Vec<Settled>,
    /// Entries that share an id.
    pub twins: Vec<Twins>,
    /// Draws that stand beside each other, the one in force first; none where there is one draw.
    pub draws: Vec<RivalDraw>,
    /// Rounds that two devices began in different orders: they count as walked along the shelves.
    pub walks: Vec<u32>,
    /// Other faults of the log.
    pub faults: Vec<Fault>,
    /// Devices of the same name.
    pub names: Vec<SameName>,
    /// Clocks that cannot all be right.
    pub clocks: Option<Clocks>,
    /// What two people checked.
    pub repeats: Vec<Repeat>,
}

impl Differences {
    /// Of a log and its state.
    #[must_use]
    pub fn of(log: &Log, state: &State) -> Self {
        let has_a_place = |fault: &&Fault| !matches!(fault, Fault::Twin(_) | Fault::SeveralDraws);
        Self {
            conflicts: conflicts(log, state),
            settled: settled(log, state),
            twins: twins(log, state),
            draws: rival_draws(log, state),
            walks: draws::walks(log, state),
            faults: state.faults.iter().filter(has_a_place).cloned().collect(),
            names: same_names(state),
            clocks: clocks(log, state),
            repeats: repeats(log, state),
        }
    }

    /// How many things wait for a look: what only informs is not among them.
    #[must_use]
    pub fn n_open(&self) -> usize {
        let rivals = self.draws.iter().any(|draw| !draw.same_boxes);
        let is_open = |twins: &&Twins| !self.settled.iter().any(|settled| settled.chosen == twins.id);
        let twins = self.twins.iter().filter(is_open).count();
        self.conflicts.len() + twins + self.faults.len() + usize::from(rivals)
    }

    /// Whether there is anything to say at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self == &Self::default()
    }
}

impl State {
    /// How many things do not agree, in the time that a screen has: [`Differences::n_open`] without their particulars.
    #[must_use]
    pub fn n_differences(&self) -> usize {
        let has_twins = self.faults.iter().any(|fault| matches!(fault, Fault::Twin(_)));
        let chosen = if has_twins { self.chosen() } else { BTreeSet::new() };
        let is_open = |fault: &&Fault| !matches!(fault, Fault::Twin(id) if chosen.contains(id));
        self.disagreements().count() + self.faults.iter().filter(is_open).count()
    }

    /// The entries that choices in force found right.
    fn chosen(&self) -> BTreeSet<EntryId> {
        let origins = self.answers.all().flat_map(|(_, of)| of.origins());
        origins
            .filter_map(|origin| match Way::read(&origin.from) {
                Some(Way::Chosen(chosen)) => Some(chosen),
                _ => None,
            })
            .collect()
    }
}

/// The answers that differ, by subject and question.
#[must_use]
pub fn conflicts(log: &Log, state: &State) -> Vec<Conflict> {
    let differ = state.disagreements().map(|(subject, question, heads)| Conflict {
        subject,
        question: question.to_owned(),
        looks: heads
            .iter()
            .filter_map(|head| look(log, state, head.entry))
            .collect(),
    });
    differ.collect()
}

/// The choices that count, by subject and question.
#[must_use]
pub fn settled(log: &Log, state: &State) -> Vec<Settled> {
    let mut settled = Vec::new();
    for subject in state.subjects() {
        for (question, heads) in state.questions_of(subject) {
            let choices = heads
                .iter()
                .filter_map(|head| match Way::read(&head.origin.from) {
                    Some(Way::Chosen(chosen)) => Some((head.entry, chosen)),
                    _ => None,
                });
            settled.extend(choices.filter_map(|(entry, chosen)| {
                let Content::Answer { instead, .. } = log.entry(entry)?.content() else {
                    return None;
                };
                Some(Settled {
                    subject,
                    question: question.to_owned(),
                    choice: look(log, state, entry)?,
                    chosen,
                    looks: instead.iter().filter_map(|id| look(log, state, *id)).collect(),
                })
            }));
        }
    }
    settled
}

/// The entries that share an id, by id.
#[must_use]
pub fn twins(log: &Log, state: &State) -> Vec<Twins> {
    let mut all: BTreeMap<EntryId, Twins> = BTreeMap::new();
    for (id, bytes) in log.twins() {
        let (Some(stands), Ok(other)) = (log.entry(*id), Entry::read(bytes)) else {
            continue;
        };
        let twins = all.entry(*id).or_insert_with(|| Twins {
            id: *id,
            who: writer_name(state, *id),
            stands: stands.clone(),
            others: Vec::new(),
        });
        twins.others.push(other);
    }
    all.into_values().collect()
}

/// What two people checked, by subject and question. A choice between answers is nobody's look; what was put off by a
/// photograph is no answer yet. One person with two phones is one person.
#[must_use]
pub fn repeats(log: &Log, state: &State) -> Vec<Repeat> {
    let mut given: BTreeMap<(Subject, &'static str), Vec<&Entry>> = BTreeMap::new();
    let mut choices: BTreeMap<EntryId, &[EntryId]> = BTreeMap::new();
    let mut replacing: Vec<(&Entry, &[EntryId])> = Vec::new();
    for entry in log.entries().filter(|entry| !state.is_undone(entry.id)) {
        let Content::Answer {
            subject: subject @ (Subject::Box(_) | Subject::Item(_)),
            question,
            value,
            instead,
            origin,
        } = entry.content()
        else {
            continue;
        };
        if matches!(Way::read(&origin.from), Some(Way::Chosen(_))) {
            choices.insert(entry.id, instead);
            continue;
        }
        replacing.push((entry, instead));
        if let Some(known) = tape::question(question).filter(|_| !value.has(PHOTOGRAPHED)) {
            given.entry((*subject, known.key)).or_default().push(entry);
        }
    }
    let device = |id: &EntryId| state.writers.get(&id.writer).map(|writer| writer.device);
    let mut replaced = BTreeSet::new();
    for (entry, instead) in replacing {
        // Whoever answers anew after a choice takes the place of their own earlier look, not of the other's.
        let mut named: Vec<EntryId> = instead.to_vec();
        while let Some(id) = named.pop() {
            match choices.remove(&id) {
                Some(chosen_from) => named.extend(
                    chosen_from
                        .iter()
                        .filter(|id| choices.contains_key(id) || device(id) == device(&entry.id)),
                ),
                None => drop(replaced.insert(id)),
            }
        }
    }
    let mut repeats = Vec::new();
    for ((subject, question), entries) in given {
        let mut looks: Vec<Look> = Vec::new();
        for entry in entries.into_iter().filter(|entry| !replaced.contains(&entry.id)) {
            let Some(look) = look(log, state, entry.id) else {
                continue;
            };
            let is_another =
                |known: &Look| known.device != look.device && name_key(&known.who) != name_key(&look.who);
            if looks.iter().all(is_another) {
                looks.push(look);
            }
        }
        let mut looks = looks.into_iter();
        if let (Some(first), Some(second)) = (looks.next(), looks.next()) {
            repeats.push(Repeat {
                subject,
                question,
                first,
                second,
            });
        }
    }
    repeats
}

/// Devices that bear one name, whatever its case; a device without a name is none of them.
#[must_use]
pub fn same_names(state: &State) -> Vec<SameName> {
    let mut by_name: BTreeMap<String, SameName> = BTreeMap::new();
    for writer in state.writers.values() {
        let key = name_key(&writer.device_name);
        if key.is_empty() {
            continue;
        }
        let named = by_name.entry(key).or_insert_with(|| SameName {
            name: writer.device_name.trim().to_owned(),
            devices: BTreeMap::new(),
        });
        let held = named.devices.entry(writer.device).or_default();
        if !writer.person.trim().is_empty() {
            held.insert(writer.person.trim().to_owned());
        }
    }
    let several = by_name.into_values().filter(|named| named.devices.len() > 1);
    several.collect()
}

fn name_key(name: &str) -> String {
    name.trim().to_lowercase()
}

/// An answer's entry as a look; none of another entry.
fn look(log: &Log, state: &State, id: EntryId) -> Option<Look> {
    let entry = log.entry(id)?;
    let Content::Answer { value, origin, .. } = entry.content() else {
        return None;
    };
    let who = match origin.looked.trim() {
        "" => writer_name(state, id),
        looked => looked.to_owned(),
    };
    Some(Look {
        entry: id,
        at_ms: entry.at_ms,
        device: state.writers.get(&id.writer).map(|writer| writer.device),
        who,
        value: value.clone(),
    })
}

/// Who wrote an entry: the person, else the device's name, else nobody known.
fn writer_name(state: &State, id: EntryId) -> String {
    let Some(writer) = state.writers.get(&id.writer) else {
        return String::new();
    };
    let names = [&writer.person, &writer.device_name];
    let known = names
        .into_iter()
        .map(|name| name.trim())
        .find(|name| !name.is_empty());
    known.unwrap_or_default().to_owned()
}
