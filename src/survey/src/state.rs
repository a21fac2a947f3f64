//! A survey's state: a fold over its log, the same for the same entries in any order.
//!
//! What counts follows references: an undone entry does not count, and an answer does not count when one that
//! counts names it in `instead`. Two answers that do not name each other both stay: two looks at the same thing.

use std::collections::{BTreeMap, BTreeSet};

use tape::{Answer, Answers};

use crate::entry::{Content, Entry, NewBox, SeedSource, Walk};
use crate::frame::{self, Draw, Frame};
use crate::id::{DeviceId, EntryId, ItemId, PlaceKey, StratumKey, Subject, SurveyId, WriterId};
use crate::log::Log;
use crate::serial::Serial;

/// What a survey's entries add up to.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The survey.
    pub survey: SurveyId,
    /// Its title; empty before it was begun.
    pub title: String,
    /// Whether it is an invented collection to practise on.
    pub practice: bool,
    /// Who wrote.
    pub writers: BTreeMap<WriterId, Writer>,
    /// The strata, by key.
    pub strata: BTreeMap<StratumKey, String>,
    /// The places, by key.
    pub places: BTreeMap<PlaceKey, Place>,
    /// The boxes that are on the list now, those found after the draw included.
    pub boxes: BTreeMap<Serial, ListedBox>,
    /// The closed frame the draw in force rests on, or the one closed last if nothing is drawn.
    pub frame: Option<Frame>,
    /// Every roll, undone ones too, by entry.
    pub rolls: Vec<Roll>,
    /// The draw in force.
    pub draw: Option<Draw>,
    /// The rounds begun, and how each is walked.
    pub rounds: BTreeMap<u32, Walk>,
    /// What does not fit together. Nothing is dropped for it.
    pub faults: Vec<Fault>,
    answers: BTreeMap<Subject, BTreeMap<String, Vec<Head>>>,
    undone: BTreeSet<EntryId>,
    counts: BTreeMap<WriterId, u64>,
    closings: Vec<EntryId>,
    round_heads: BTreeMap<u32, Vec<EntryId>>,
    founder: Option<DeviceId>,
    highest: Highest,
}

/// A writer as it introduced itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Writer {
    /// Its device.
    pub device: DeviceId,
    /// The device's name.
    pub device_name: String,
    /// Who held it.
    pub person: String,
    /// The program and its version.
    pub app: String,
}

/// A place where boxes stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Its name.
    pub name: String,
    /// The stratum of its boxes.
    pub stratum: StratumKey,
}

/// A box on the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListedBox {
    /// Where it stands.
    pub place: PlaceKey,
    /// What is written on it.
    pub label: String,
    /// How full it looks, in quarters, as listed; an answer to `fullness` counts more.
    pub quarters: Option<u8>,
    /// Items in it by an earlier list.
    pub listed_items: Option<u32>,
    /// The entry that listed it.
    pub entry: EntryId,
}

/// An answer that counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// Its entry.
    pub entry: EntryId,
    /// What was answered.
    pub value: Answer,
}

/// A roll, as the report lists it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Roll {
    /// Its entry.
    pub entry: EntryId,
    /// The writer's clock.
    pub at_ms: u64,
    /// The seed.
    pub seed: String,
    /// Where the seed came from.
    pub source: SeedSource,
    /// Whether this is the roll in force.
    pub in_force: bool,
}

/// Something that does not fit together.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// Two entries have this id. The one with the smaller bytes stands.
    Twin(EntryId),
    /// A writer's entry is missing: the file or the transfer was incomplete.
    Gap {
        /// The writer.
        writer: WriterId,
        /// The first number that is missing.
        missing: u64,
    },
    /// An entry of a kind or shape that this version does not understand.
    NotUnderstood(EntryId),
    /// An entry names one that is not there, or that is of the wrong kind.
    BadReference(EntryId),
    /// Two boxes were listed with this serial; the first by entry id stands.
    SameSerial(Serial),
    /// The frame's digest is not that of the boxes it names.
    FrameDigest(EntryId),
    /// Several closed frames or rolls count; the one with the smallest entry id is in force.
    SeveralDraws,
    /// Undo entries or answers that name each other in a circle.
    Circle(EntryId),
}

/// The highest running number given out, by device tag.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Highest {
    stratum: BTreeMap<u8, u32>,
    place: BTreeMap<u8, u32>,
    serial: BTreeMap<u8, u32>,
}

impl State {
    /// The state of a survey that nobody has written to.
    #[must_use]
    pub fn empty(survey: SurveyId) -> Self {
        Self::fold(&Log::new(survey))
    }

    /// Folds a log.
    #[must_use]
    pub fn fold(log: &Log) -> Self {
        Fold::new(log).finish(None)
    }

    /// Folds a log that has grown since this state was folded: the same result as [`State::fold`], sooner.
    #[must_use]
    pub fn refold(&self, log: &Log) -> Self {
        Fold::new(log).finish(Some(self))
    }

    /// Whether the survey was begun.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.founder.is_some()
    }

    /// The device that began the survey; its serials bear no tag.
    #[must_use]
    pub fn founder(&self) -> Option<DeviceId> {
        self.founder
    }

    /// The answers that count for a subject and question: none, one, or one from each independent look.
    #[must_use]
    pub fn heads(&self, subject: Subject, question: &str) -> &[Head] {
        self.answers
            .get(&subject)
            .and_then(|all| all.get(question))
            .map_or(&[], Vec::as_slice)
    }

    /// The answer that figures rest on: the first by entry id where several count.
    #[must_use]
    pub fn answer(&self, subject: Subject, question: &str) -> Option<&Answer> {
        self.heads(subject, question).first().map(|head| &head.value)
    }

    /// Every answered question of a subject, as [`State::answer`] gives it.
    #[must_use]
    pub fn answers(&self, subject: Subject) -> Answers {
        let all = self.answers.get(&subject).into_iter().flatten();
        all.filter_map(|(question, heads)| Some((question.clone(), heads.first()?.value.clone())))
            .collect()
    }

    /// The subjects that have answers, in order.
    pub fn subjects(&self) -> impl Iterator<Item = Subject> {
        self.answers.keys().copied()
    }

    /// Questions that independent looks answered differently.
    pub fn disagreements(&self) -> impl Iterator<Item = (Subject, &str, &[Head])> {
        self.answers.iter().flat_map(|(subject, questions)| {
            questions
                .iter()
                .filter(|(_, heads)| heads.windows(2).any(|pair| pair[0].value != pair[1].value))
                .map(|(question, heads)| (*subject, question.as_str(), heads.as_slice()))
        })
    }

    /// Whether an entry is undone.
    #[must_use]
    pub fn is_undone(&self, entry: EntryId) -> bool {
        self.undone.contains(&entry)
    }

    /// How many entries of each writer are known: the number of its next one.
    #[must_use]
    pub fn counts(&self) -> &BTreeMap<WriterId, u64> {
        &self.counts
    }

    /// The stratum a listed box belongs to, by its place.
    #[must_use]
    pub fn stratum_of(&self, serial: Serial) -> Option<StratumKey> {
        Some(self.places.get(&self.boxes.get(&serial)?.place)?.stratum)
    }

    /// How full a box looks, in quarters: as answered, else as listed.
    #[must_use]
    pub fn quarters(&self, serial: Serial) -> Option<u8> {
        let answered = match self.answer(Subject::Box(serial), "fullness") {
            Some(Answer::One(key)) => ["quarter_1", "quarter_2", "quarter_3", "quarter_4"]
                .iter()
                .position(|step| step == key)
                .and_then(|step| u8::try_from(step + 1).ok()),
            _ => None,
        };
        answered.or_else(|| self.boxes.get(&serial)?.quarters)
    }

    /// Boxes that were listed after the frame was closed, in serial order; none while it is open.
    pub fn late_boxes(&self) -> impl Iterator<Item = Serial> {
        let frame = self.frame.as_ref();
        self.boxes
            .keys()
            .copied()
            .filter(move |serial| frame.is_some_and(|f| !f.boxes.contains_key(serial)))
    }

    /// Closings that count, smallest entry id first.
    pub(crate) fn closings(&self) -> &[EntryId] {
        &self.closings
    }

    /// Entries on a round that count.
    pub(crate) fn round_heads(&self, number: u32) -> &[EntryId] {
        self.round_heads.get(&number).map_or(&[], Vec::as_slice)
    }

    pub(crate) fn next_stratum_number(&self, tag: u8) -> u32 {
        next(&self.highest.stratum, tag)
    }

    pub(crate) fn next_place_number(&self, tag: u8) -> u32 {
        next(&self.highest.place, tag)
    }

    pub(crate) fn next_serial_number(&self, tag: u8) -> u32 {
        next(&self.highest.serial, tag)
    }
}

/// The boxes and places that some entries list, undone ones left out.
#[derive(Debug, Default)]
pub(crate) struct Listing {
    pub(crate) strata: BTreeMap<StratumKey, String>,
    pub(crate) places: BTreeMap<PlaceKey, Place>,
    pub(crate) boxes: BTreeMap<Serial, ListedBox>,
    faults: Vec<Fault>,
    highest: Highest,
}

impl Listing {
    /// Reads a listing from entries in id order.
    pub(crate) fn read<'a>(entries: impl Iterator<Item = &'a Entry>, undone: &BTreeSet<EntryId>) -> Self {
        let mut listing = Self::default();
        let mut withdrawn = Vec::new();
        for entry in entries {
            let counts = !undone.contains(&entry.id);
            match &entry.content {
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
                Content::Boxes { place, boxes } => {
                    for new in boxes {
                        raise(&mut listing.highest.serial, new.serial.tag, new.serial.number);
                        if counts {
                            listing.list(new, *place, entry.id);
                        }
                    }
                }
                Content::Withdraw { serial } if counts => withdrawn.push((*serial, entry.id)),
                _ => {}
            }
        }
        for (serial, entry) in withdrawn {
            if listing.boxes.remove(&serial).is_none() && !listing.highest.serial.contains_key(&serial.tag) {
                listing.faults.push(Fault::BadReference(entry));
            }
        }
        let Self {
            strata,
            places,
            boxes,
            faults,
            ..
        } = &mut listing;
        for place in places
            .values()
            .filter(|place| !strata.contains_key(&place.stratum))
            .map(|p| p.stratum)
            .collect::<BTreeSet<_>>()
        {
            // A stratum whose entry has not arrived yet still has boxes: it goes by its key.
            strata.insert(place, place.to_string());
        }
        faults.extend(
            boxes
                .values()
                .filter(|b| !places.contains_key(&b.place))
                .map(|b| Fault::BadReference(b.entry)),
        );
        listing
    }

    fn list(&mut self, new: &NewBox, place: PlaceKey, entry: EntryId) {
        let listed = ListedBox {
            place,
            label: new.label.clone(),
            quarters: new.quarters,
            listed_items: new.listed_items,
            entry,
        };
        if self.boxes.contains_key(&new.serial) {
            self.faults.push(Fault::SameSerial(new.serial));
        } else {
            self.boxes.insert(new.serial, listed);
        }
    }
}

/// The entries that are undone: those with an undo that is not itself undone. Circles count as not undone.
pub(crate) fn undone<'a>(entries: impl Iterator<Item = &'a Entry>) -> (BTreeSet<EntryId>, Vec<Fault>) {
    let mut undoers: BTreeMap<EntryId, Vec<EntryId>> = BTreeMap::new();
    let mut target: BTreeMap<EntryId, EntryId> = BTreeMap::new();
    for entry in entries {
        if let Content::Undo { of } = entry.content {
            undoers.entry(of).or_default().push(entry.id);
            target.insert(entry.id, of);
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

/// One pass over a log.
struct Fold<'a> {
    log: &'a Log,
    state: State,
}

impl<'a> Fold<'a> {
    fn new(log: &'a Log) -> Self {
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
            faults,
            answers: BTreeMap::new(),
            undone,
            counts: BTreeMap::new(),
            closings: Vec::new(),
            round_heads: BTreeMap::new(),
            founder: None,
            highest: Highest::default(),
        };
        Self { log, state }
    }

    fn finish(mut self, before: Option<&State>) -> State {
        self.writers_and_gaps();
        self.listing();
        self.answers();
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
        for entry in self.log.entries() {
            let id = entry.id;
            let expected = state.counts.get(&id.writer).copied().unwrap_or(0);
            if id.n != expected {
                state.faults.push(Fault::Gap {
                    writer: id.writer,
                    missing: expected,
                });
            }
            state.counts.insert(id.writer, id.n.saturating_add(1));
            match &entry.content {
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
        let mut all: BTreeMap<Subject, BTreeMap<String, Vec<(Head, &[EntryId])>>> = BTreeMap::new();
        for entry in self.counting() {
            if let Content::Answer {
                subject,
                question,
                value,
                instead,
            } = &entry.content
            {
                let head = Head {
                    entry: entry.id,
                    value: value.clone(),
                };
                all.entry(*subject)
                    .or_default()
                    .entry(question.clone())
                    .or_default()
                    .push((head, instead));
            }
        }
        for (subject, questions) in all {
            for (question, given) in questions {
                let replaced: BTreeSet<EntryId> = given
                    .iter()
                    .flat_map(|(_, instead)| instead.iter().copied())
                    .collect();
                let mut heads: Vec<Head> = given
                    .iter()
                    .filter(|(head, _)| !replaced.contains(&head.entry))
                    .map(|(head, _)| head.clone())
                    .collect();
                if heads.is_empty() {
                    // Answers that name each other in a circle: all stay, and it is said.
                    self.state
                        .faults
                        .extend(given.iter().map(|(head, _)| Fault::Circle(head.entry)));
                    heads = given.into_iter().map(|(head, _)| head).collect();
                }
                self.state
                    .answers
                    .entry(subject)
                    .or_default()
                    .insert(question, heads);
            }
        }
        if let Some(Answer::Text(title)) = self.state.answer(Subject::Survey, "title") {
            self.state.title = title.clone();
        }
    }

    fn frame_and_draw(&mut self, before: Option<&State>) {
        let mut closings = Vec::new();
        let mut rolls: Vec<(&Entry, &[EntryId])> = Vec::new();
        for entry in self.counting() {
            match &entry.content {
                Content::Close { .. } => closings.push(entry.id),
                Content::Roll { instead, .. } => rolls.push((entry, instead)),
                _ => {}
            }
        }
        let replaced: BTreeSet<EntryId> = rolls
            .iter()
            .flat_map(|(_, instead)| instead.iter().copied())
            .collect();
        let mut in_force = rolls
            .iter()
            .filter(|(roll, _)| !replaced.contains(&roll.id))
            .map(|(roll, _)| *roll);
        let roll = in_force.next().or_else(|| rolls.first().map(|(roll, _)| *roll));
        if in_force.next().is_some() || (roll.is_none() && closings.len() > 1) {
            self.state.faults.push(Fault::SeveralDraws);
        }
        let close = match roll.map(|roll| (&roll.content, roll.id)) {
            Some((Content::Roll { frame, .. }, id)) => {
                let found = self
                    .log
                    .entry(*frame)
                    .filter(|entry| matches!(entry.content, Content::Close { .. }));
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
        self.begun_rounds(roll.id);
    }

    fn all_rolls(&self, in_force: Option<EntryId>) -> Vec<Roll> {
        let rolls = self.log.entries().filter_map(|entry| match &entry.content {
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

    fn begun_rounds(&mut self, in_force: EntryId) {
        let mut begun: BTreeMap<u32, Vec<(EntryId, Walk, &[EntryId])>> = BTreeMap::new();
        for entry in self.counting() {
            if let Content::Round {
                roll,
                number,
                walk,
                instead,
            } = &entry.content
                && *roll == in_force
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

fn next(highest: &BTreeMap<u8, u32>, tag: u8) -> u32 {
    highest.get(&tag).map_or(1, |number| number.saturating_add(1))
}

fn raise(highest: &mut BTreeMap<u8, u32>, tag: u8, number: u32) {
    let known = highest.entry(tag).or_insert(0);
    *known = number.max(*known);
}

/// An item's subject.
#[must_use]
pub fn item(serial: Serial, position: u32) -> Subject {
    Subject::Item(ItemId { serial, position })
}
