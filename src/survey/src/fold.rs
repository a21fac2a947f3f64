//! The fold: one pass over a log for each part of the state.

use std::collections::{BTreeMap, BTreeSet};

use tape::Answer;

use crate::differ::draws;
use crate::entry::{Content, Entry, Walk};
use crate::frame;
use crate::given::{Given, sort};
use crate::grow::Standing;
use crate::id::{EntryId, Subject};
use crate::index::Index;
use crate::listing::{Highest, Listing, undone};
use crate::log::Log;
use crate::pace::Pace;
use crate::photo::Taken;
use crate::serial::Serial;
use crate::state::{Fault, Roll, State, Writer};

/// A round's entry, its walk and the entries it takes the place of.
type Begun<'a> = (EntryId, Walk, &'a [EntryId]);

/// One pass over a log.
pub(crate) struct Fold<'a> {
    log: &'a Log,
    state: State,
}

impl<'a> Fold<'a> {
    pub(crate) fn new(log: &'a Log) -> Self {
        let (undone, faults) = undone(log.entries());
        let state = State {
            survey: log.survey(),
            title: String::new(),
            practice: false,
            writers: BTreeMap::new(),
            strata: BTreeMap::new(),
            places: BTreeMap::new(),
            boxes: BTreeMap::new(),
            frame: None,
            rolls: Vec::new(),
            draw: None,
            rounds: BTreeMap::new(),
            photos: Vec::new(),
            faults,
            answers: BTreeMap::new(),
            replaced: BTreeMap::new(),
            index: Index::default(),
            pace: Pace::default(),
            undone,
            counts: BTreeMap::new(),
            closings: Vec::new(),
            round_heads: BTreeMap::new(),
            founder: None,
            highest: Highest::default(),
            awaited: awaited(log),
            standing: Standing::default(),
        };
        Self { log, state }
    }

    pub(crate) fn finish(mut self, before: Option<&State>) -> State {
        self.writers_and_gaps();
        self.listing();
        self.answers();
        self.state.photos = self.photos();
        self.frame_and_draw(before);
        self.state
            .faults
            .extend(self.log.twins().map(|(id, _)| Fault::Twin(*id)));
        self.state.faults.sort();
        self.state.faults.dedup();
        self.state
    }

    fn counting(&self) -> impl Iterator<Item = &'a Entry> + use<'a, '_> {
        self.log
            .entries()
            .filter(|entry| !self.state.undone.contains(&entry.id))
    }

    fn writers_and_gaps(&mut self) {
        let state = &mut self.state;
        let mut before: Option<&Entry> = None;
        for entry in self.log.entries() {
            let id = entry.id;
            state.pace.take(entry, before);
            before = Some(entry);
            let expected = state.counts.get(&id.writer).copied().unwrap_or(0);
            if id.n != expected {
                state.faults.push(Fault::Gap {
                    writer: id.writer,
                    missing: expected,
                });
            }
            state.counts.insert(id.writer, id.n.saturating_add(1));
            match entry.content() {
                Content::Session {
                    device,
                    device_name,
                    person,
                    app,
                } => {
                    let writer = Writer {
                        device: *device,
                        device_name: device_name.clone(),
                        person: person.clone(),
                        app: app.clone(),
                    };
                    state.writers.entry(id.writer).or_insert(writer);
                }
                Content::Begin { title, practice } if state.title.is_empty() => {
                    state.title.clone_from(title);
                    state.practice = *practice;
                    state.founder = state.writers.get(&id.writer).map(|writer| writer.device);
                }
                Content::NotUnderstood { .. } => state.faults.push(Fault::NotUnderstood(id)),
                Content::Undo { of } if self.log.entry(*of).is_none() => {
                    state.faults.push(Fault::BadReference(id));
                }
                _ => {}
            }
        }
    }

    fn listing(&mut self) {
        let listing = Listing::read(self.log.entries(), &self.state.undone);
        let state = &mut self.state;
        state.strata = listing.strata;
        state.places = listing.places;
        state.boxes = listing.boxes;
        state.highest = listing.highest;
        state.faults.extend(listing.faults);
    }

    fn answers(&mut self) {
        let mut all: BTreeMap<(Subject, &str), Vec<Given<'_>>> = BTreeMap::new();
        for entry in self.counting() {
            if let Some((subject, question, given)) = Given::read(entry) {
                all.entry((subject, question)).or_default().push(given);
            }
        }
        for ((subject, question), given) in all {
            let sorted = sort(given);
            if sorted.in_a_circle {
                let heads = sorted.heads.iter();
                self.state
                    .faults
                    .extend(heads.map(|head| Fault::Circle(head.entry)));
            }
            self.state.set_given(self.log, subject, question, sorted);
        }
        if let Some(Answer::Text(title)) = self.state.answer(Subject::Survey, "title") {
            self.state.title = title.clone();
        }
        let is_named = |subject: &Subject| matches!(subject, Subject::Stratum(_) | Subject::Place(_));
        for subject in self.state.subjects().filter(is_named).collect::<Vec<_>>() {
            self.state.call_as_answered(subject);
        }
    }

    fn photos(&self) -> Vec<Taken> {
        let taken = self.counting().filter_map(|entry| match entry.content() {
            Content::Photo { subject, photo } => Some(Taken {
                entry: entry.id,
                subject: *subject,
                photo: photo.clone(),
            }),
            _ => None,
        });
        taken.collect()
    }

    fn frame_and_draw(&mut self, before: Option<&State>) {
        let mut closings = Vec::new();
        let mut first_roll = None;
        for entry in self.counting() {
            match entry.content() {
                Content::Close { .. } => closings.push(entry.id),
                Content::Roll { .. } => first_roll = first_roll.or(Some(entry)),
                _ => {}
            }
        }
        let rolls = draws::heads(self.log, |id| self.state.undone.contains(&id));
        // Rolls that name each other in a circle: the first is in force.
        let roll = rolls.first().copied().or(first_roll);
        let differ = match roll {
            Some(in_force) => rolls
                .iter()
                .any(|roll| !draws::is_same_draw(self.log, roll, in_force)),
            None => !self.is_one_list(&closings),
        };
        if differ {
            self.state.faults.push(Fault::SeveralDraws);
        }
        let close = match roll.map(|roll| (roll.content(), roll.id)) {
            Some((Content::Roll { frame, .. }, id)) => {
                let found = self
                    .log
                    .entry(*frame)
                    .filter(|entry| matches!(entry.content(), Content::Close { .. }));
                if found.is_none() {
                    self.state.faults.push(Fault::BadReference(id));
                }
                found
            }
            _ => closings.first().and_then(|id| self.log.entry(*id)),
        };
        self.state.closings = closings;
        self.state.rolls = self.all_rolls(roll.map(|roll| roll.id));
        let Some(close) = close else { return };
        let (frame, digest_holds) =
            frame::read(self.log, close, before.and_then(|state| state.frame.as_ref()));
        if !digest_holds {
            self.state.faults.push(Fault::FrameDigest(close.id));
        }
        self.state.frame = Some(frame);
        let Some(roll) = roll else { return };
        let late: Vec<Serial> = self.state.late_boxes().collect();
        let known = before.and_then(|state| state.draw.as_ref());
        if let Some(frame) = &self.state.frame {
            self.state.draw = frame::draw(roll, frame, &late, known);
        }
        if self.state.draw.is_none() {
            self.state.faults.push(Fault::BadReference(roll.id));
        }
        self.begun_rounds(roll);
    }

    /// Whether closings name the same boxes.
    fn is_one_list(&self, closings: &[EntryId]) -> bool {
        let digests = closings.iter().map(|id| match self.log.entry(*id)?.content() {
            Content::Close { n_boxes, digest, .. } => Some((*n_boxes, digest)),
            _ => None,
        });
        digests.collect::<BTreeSet<_>>().len() < 2
    }

    /// Whether a roll is the one in force, or another device's that gives the same boxes.
    fn is_of_draw(&self, roll: EntryId, in_force: &Entry) -> bool {
        let other = || {
            self.log
                .entry(roll)
                .filter(|_| !self.state.undone.contains(&roll))
        };
        roll == in_force.id || other().is_some_and(|other| draws::is_same_draw(self.log, other, in_force))
    }

    fn all_rolls(&self, in_force: Option<EntryId>) -> Vec<Roll> {
        let rolls = self.log.entries().filter_map(|entry| match entry.content() {
            Content::Roll { seed, source, .. } => Some(Roll {
                entry: entry.id,
                at_ms: entry.at_ms,
                seed: seed.clone(),
                source: *source,
                in_force: in_force == Some(entry.id),
            }),
            _ => None,
        });
        rolls.collect()
    }

    fn begun_rounds(&mut self, in_force: &Entry) {
        let mut begun: BTreeMap<u32, Vec<Begun<'_>>> = BTreeMap::new();
        for entry in self.counting() {
            if let Content::Round {
                roll,
                number,
                walk,
                instead,
            } = entry.content()
                && self.is_of_draw(*roll, in_force)
            {
                begun.entry(*number).or_default().push((entry.id, *walk, instead));
            }
        }
        for (number, entries) in begun {
            let replaced: BTreeSet<EntryId> = entries
                .iter()
                .flat_map(|(.., instead)| instead.iter().copied())
                .collect();
            let heads: Vec<_> = entries.iter().filter(|(id, ..)| !replaced.contains(id)).collect();
            // Two phones that walk one round differently: the careful reading is the shelf walk.
            let shelf = heads.is_empty() || heads.iter().any(|(_, walk, _)| *walk == Walk::Shelf);
            let walk = if shelf { Walk::Shelf } else { Walk::Draw };
            self.state.rounds.insert(number, walk);
            self.state
                .round_heads
                .insert(number, heads.into_iter().map(|(id, ..)| *id).collect());
        }
    }
}

/// The entries that others name and that have not come.
fn awaited(log: &Log) -> BTreeSet<EntryId> {
    let mut awaited = BTreeSet::new();
    for entry in log.entries() {
        let named: &[EntryId] = match entry.content() {
            Content::Undo { of } => std::slice::from_ref(of),
            Content::Answer { instead, .. } | Content::Round { instead, .. } => instead,
            _ => &[],
        };
        awaited.extend(named.iter().filter(|id| log.entry(**id).is_none()));
    }
    awaited
}
