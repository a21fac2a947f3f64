//! The fold: one pass over a log for each part of the state.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use tape::Answer;

use crate::about::Question;
use crate::at_once;
use crate::differ::draws;
use crate::entry::{Content, Entry, NewBox, Walk};
use crate::format::v1;
use crate::frame;
use crate::given::{Given, sort};
use crate::grow::Standing;
use crate::id::{EntryId, Subject, SurveyId, WriterId};
use crate::index::Index;
use crate::kept::{Gathered, Kept};
use crate::listing::{Highest, Listing, undone};
use crate::log::Log;
use crate::origin::Origin;
use crate::pace::{self, Moment, Pace, Spent};
use crate::photo::Taken;
use crate::row::Body;
use crate::serial::Serial;
use crate::state::{Fault, Head, Roll, State, Writer};

/// A round's entry, its walk and the entries it takes the place of.
type Begun<'a> = (EntryId, Walk, &'a [EntryId]);

/// An answer's subject and question, and the answers it takes the place of.
type Replacing = (Subject, String, Vec<EntryId>);

/// Folds a log; `before` is the state of an earlier one.
pub(crate) fn fold(log: &Log, before: Option<&State>) -> State {
    let mut others = others(log);
    // What an entry says is read when it is first asked for: a list of boxes takes long.
    at_once::map(&others, |entry| {
        let _ = entry.content();
    });
    // A million boxes have one place in memory, and no second one beside it.
    let boxes = others.iter_mut().map(Entry::take_boxes).collect();
    Fold::new(log, &others).finish(boxes, before)
}

/// The entries of a log that are not spelled as answers, for whoever needs them once: kept in the log, every box that was listed
/// would be there twice more.
pub(crate) fn others(log: &Log) -> Vec<Entry> {
    let rows = log.rows().filter(|(_, row)| !row.is_answer());
    rows.map(|(writer, row)| row.entry(log.survey(), writer))
        .collect()
}

/// The state of a survey of which there is no entry: the same as the fold of an empty log.
pub(crate) fn nothing(survey: SurveyId) -> State {
    State {
        survey,
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
        faults: Vec::new(),
        answers: Kept::default(),
        replaced: BTreeMap::new(),
        index: Index::default(),
        pace: Pace::default(),
        undone: BTreeSet::new(),
        counts: BTreeMap::new(),
        closings: Vec::new(),
        round_heads: BTreeMap::new(),
        founder: None,
        highest: Highest::default(),
        awaited: BTreeSet::new(),
        standing: Standing::default(),
    }
}

/// The state of one log, from what was read of its list and of its answers.
fn put_together(list: State, answered: State, more: impl Iterator<Item = Fault>) -> State {
    let State {
        strata,
        places,
        boxes,
        frame,
        rolls,
        draw,
        rounds,
        faults,
        closings,
        round_heads,
        highest,
        ..
    } = list;
    let mut state = State {
        strata,
        places,
        boxes,
        frame,
        rolls,
        draw,
        rounds,
        closings,
        round_heads,
        highest,
        ..answered
    };
    let is_named = |subject: &Subject| matches!(subject, Subject::Stratum(_) | Subject::Place(_));
    for subject in state.subjects().filter(is_named).collect::<Vec<_>>() {
        state.call_as_answered(subject);
    }
    state.faults.extend(faults);
    state.faults.extend(more);
    state.faults.sort();
    state.faults.dedup();
    state
}

/// A log on its way to its state.
struct Fold<'a> {
    log: &'a Log,
    /// The entries that are not spelled as answers, in order: few.
    others: &'a [Entry],
    /// Of answers that take others' places these, and what they answer.
    instead: BTreeMap<EntryId, Replacing>,
    state: State,
}

impl<'a> Fold<'a> {
    fn new(log: &'a Log, others: &'a [Entry]) -> Self {
        let state = nothing(log.survey());
        Self {
            log,
            others,
            instead: BTreeMap::new(),
            state,
        }
    }

    /// The state; `boxes` are those that each of the entries lists.
    fn finish(mut self, boxes: Vec<Vec<NewBox>>, before: Option<&State>) -> State {
        let (undone, faults) = undone(self.others.iter());
        self.state.undone = undone;
        self.state.faults.extend(faults);
        self.writers();
        // The list with the draw, and what was answered, know nothing of each other.
        let log = self.log;
        let mut listed = Fold::new(log, self.others);
        listed.state.undone.clone_from(&self.state.undone);
        let list = || {
            listed.listing(boxes);
            listed.frame_and_draw(before);
            listed.state
        };
        let answer = || {
            self.read();
            self.answers();
            self.state.photos = self.photos();
            self.state
        };
        let (list, answered) = at_once::both(list, answer);
        let twins = log.twins().map(|(id, _)| Fault::Twin(*id));
        put_together(list, answered, twins)
    }

    /// The entries that count and are no answers.
    fn counting(&self) -> impl Iterator<Item = &'a Entry> {
        self.others
            .iter()
            .filter(|entry| !self.state.undone.contains(&entry.id))
    }

    /// Reads every entry once. What an answer says goes straight to its place, undone ones too, and is not kept beside its
    /// bytes: a survey has millions of them.
    fn read(&mut self) {
        let mut before: Option<Moment> = None;
        let mut gathered = Gathered::default();
        let plain = Origin::default();
        let mut spent: Vec<(Serial, Spent)> = Vec::new();
        let mut spend = |serial: Option<Serial>, now: Moment, before: Option<Moment>| {
            let Some(serial) = serial else { return };
            let more = Spent::on(now, before);
            match spent.last_mut() {
                Some((last, sum)) if *last == serial => *sum = sum.and(more),
                _ => spent.push((serial, more)),
            }
        };
        let mut others = self.others.iter();
        let mut bytes = Vec::new();
        let mut same: Option<WriterId> = None;
        let mut next = 0;
        for (writer, row) in self.log.rows() {
            let id = EntryId { writer, n: row.n };
            let now = (id, row.at_ms);
            if same != Some(writer) {
                self.state.counts.extend(same.map(|writer| (writer, next)));
                (same, next) = (Some(writer), 0);
            }
            if id.n != next {
                self.state.faults.push(Fault::Gap {
                    writer,
                    missing: next,
                });
            }
            next = id.n.saturating_add(1);
            let answered = match &row.body {
                Body::Plain(subject, coded) => {
                    let worked_at = pace::answered_box(*subject, coded.question(), &plain);
                    spend(worked_at, now, before);
                    before = Some(now);
                    gathered.take_coded(*subject, *coded, id, &plain);
                    continue;
                }
                Body::Tail(_) if row.is_answer() => {
                    bytes.clear();
                    row.write(self.log.survey(), writer, &mut bytes);
                    let answered = v1::answer(&bytes);
                    if answered.is_none() {
                        self.state.faults.push(Fault::NotUnderstood(id));
                    }
                    answered
                }
                Body::Tail(_) | Body::Whole(_) => others.next().and_then(|entry| {
                    match entry.content() {
                        Content::Undo { of } => self.await_each(std::slice::from_ref(of)),
                        Content::Round { instead, .. } => self.await_each(instead),
                        _ => {}
                    }
                    let answered = answered_in(entry.content());
                    if answered.is_none() {
                        spend(pace::worked_at(entry.content()), now, before);
                    }
                    answered
                }),
            };
            if let Some(answered) = answered {
                let question = answered.question.as_str();
                let worked_at = pace::answered_box(answered.subject, question, &answered.origin);
                spend(worked_at, now, before);
                self.await_each(&answered.instead);
                if !answered.instead.is_empty() {
                    let replacing = (answered.subject, question.to_owned(), answered.instead);
                    self.instead.insert(id, replacing);
                }
                let head = Head {
                    entry: id,
                    value: answered.value,
                    origin: answered.origin,
                };
                gathered.take(answered.subject, answered.question, head);
            }
            before = Some(now);
        }
        self.state.counts.extend(same.map(|writer| (writer, next)));
        self.state.answers = gathered.kept();
        self.state.pace = Pace::of_all(spent.into_iter());
    }

    /// The entries that others name and that have not come.
    fn await_each(&mut self, named: &[EntryId]) {
        let missing = named.iter().filter(|id| !self.log.has(**id));
        self.state.awaited.extend(missing);
    }

    fn writers(&mut self) {
        let state = &mut self.state;
        for entry in self.others {
            let id = entry.id;
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
                Content::Undo { of } if !self.log.has(*of) => {
                    state.faults.push(Fault::BadReference(id));
                }
                _ => {}
            }
        }
    }

    fn listing(&mut self, boxes: Vec<Vec<NewBox>>) {
        let entries = self.others.iter().zip(boxes);
        let listing = Listing::whole(entries, &self.state.undone);
        let state = &mut self.state;
        state.strata = listing.strata;
        state.places = listing.places;
        state.boxes = listing.boxes;
        state.highest = listing.highest;
        state.faults.extend(listing.faults);
    }

    fn answers(&mut self) {
        self.take_back();
        let log = self.log;
        let at = |id: EntryId| log.at_ms(id).unwrap_or(0);
        // Where one takes another's place: few, as people seldom say the same thing twice.
        let replacing = self.instead.iter();
        let counting = replacing.filter(|(id, _)| !self.state.undone.contains(id));
        let sorted: BTreeSet<(Subject, &str)> = counting
            .map(|(_, (subject, question, _))| (*subject, question.as_str()))
            .collect();
        // Of answers in few bits the index keeps nothing: see `Index::passes_over`.
        for (subject, of) in self.state.answers.all() {
            for (question, heads) in of.rest() {
                let key = question.as_str();
                if !Index::passes_over(question, heads) && !sorted.contains(&(subject, key)) {
                    self.state.index.change(subject, key, &[], heads, at);
                }
            }
        }
        for (subject, question) in sorted {
            let heads = self
                .state
                .answers
                .change(subject, |about| about.set(question, Vec::new()));
            let given = heads.into_iter().map(|head| {
                let instead = self.instead.get(&head.entry);
                let instead = Cow::Borrowed(instead.map_or(&[][..], |(.., instead)| instead.as_slice()));
                Given { head, instead }
            });
            let told_apart = sort(given.collect());
            if told_apart.in_a_circle {
                let heads = told_apart.heads.iter();
                self.state
                    .faults
                    .extend(heads.map(|head| Fault::Circle(head.entry)));
            }
            self.state.set_given(log, subject, question, told_apart);
        }
        self.state.count_kinds();
        if let Some(Answer::Text(title)) = self.state.answer(Subject::Survey, "title") {
            self.state.title = title.clone();
        }
    }

    /// Takes the answers that are undone out again.
    fn take_back(&mut self) {
        for id in &self.state.undone {
            let undone = self.log.entry(*id).map(Entry::content);
            let Some(Content::Answer {
                subject, question, ..
            }) = undone
            else {
                continue;
            };
            self.state.answers.change(*subject, |about| {
                let mut heads = about.set(question, Vec::new());
                heads.retain(|head| head.entry != *id);
                about.set(question, heads);
            });
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
        let rolls = draws::heads(self.others.iter(), |id| self.state.undone.contains(&id));
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
        let State { places, boxes, .. } = &self.state;
        let listed = || {
            let boxes = boxes.iter();
            boxes
                .filter_map(|(serial, listed)| Some((*serial, places.get(&listed.place)?.stratum)))
                .collect()
        };
        let known = before.and_then(|state| state.frame.as_ref());
        let (frame, digest_holds) = frame::read(self.log, self.others, listed, close, known);
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
        let rolls = self.others.iter().filter_map(|entry| match entry.content() {
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

/// What an answer says that was read before.
fn answered_in(content: &Content) -> Option<v1::Answered> {
    let Content::Answer {
        subject,
        question,
        value,
        instead,
        origin,
    } = content
    else {
        return None;
    };
    Some(v1::Answered {
        subject: *subject,
        question: Question::of(question),
        value: value.clone(),
        instead: instead.clone(),
        origin: origin.clone(),
    })
}
