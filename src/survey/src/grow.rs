//! Taking up what was just written: the same state as the fold of the whole log, in time that does not grow with the
//! survey, so that a tap on the thousandth box paints as soon as one on the first.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use tape::Answer;

use crate::batch;
use crate::entry::{Content, Entry};
use crate::given::{self, Given};
use crate::id::{EntryId, Subject};
use crate::log::Log;
use crate::photo::Taken;
use crate::progress::BoxStatus;
use crate::serial::Serial;
use crate::state::{Fault, NAME, State, Writer};

/// Where the boxes of the rounds begun stand, worked out when it is first asked for. It follows from the rest of a state
/// and is no part of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Standing(OnceLock<BTreeMap<Serial, BoxStatus>>);

impl PartialEq for Standing {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Standing {
    fn all(&self, all: impl FnOnce() -> BTreeMap<Serial, BoxStatus>) -> &BTreeMap<Serial, BoxStatus> {
        self.0.get_or_init(all)
    }

    /// Adds boxes that were not among them.
    fn add(&mut self, boxes: impl FnOnce() -> Vec<(Serial, BoxStatus)>) {
        if let Some(known) = self.0.get_mut() {
            known.extend(boxes());
        }
    }

    fn change(&mut self, serial: Serial, status: impl FnOnce() -> BoxStatus) {
        if let Some(known) = self.0.get_mut().and_then(|all| all.get_mut(&serial)) {
            *known = status();
        }
    }
}

/// What happens to the answers of one question.
enum Change<'a> {
    Given(&'a Entry),
    TakenBack(EntryId),
}

impl State {
    /// Where the boxes of the rounds begun stand.
    pub(crate) fn all_standing(&self) -> &BTreeMap<Serial, BoxStatus> {
        self.standing.all(|| self.standing_of_rounds())
    }

    /// The same state, with what was worked out of it before.
    pub(crate) fn standing_as(mut self, known: BTreeMap<Serial, BoxStatus>) -> Self {
        self.standing = Standing(OnceLock::from(known));
        self
    }

    /// Takes up entries that were just added to the log this state was folded from: the same result as [`State::fold`].
    /// Answers, photographs, undoing one of these, and new rounds take time by what they are about; all else is folded anew.
    pub fn take_up(&mut self, log: &Log, added: &[EntryId]) {
        let mut touched = BTreeSet::new();
        for id in added {
            if log
                .entry(*id)
                .is_none_or(|entry| !self.follows_on(log, entry, &mut touched))
            {
                *self = self.refold(log);
                return;
            }
        }
        // Once a box, however many of the entries are about it.
        for serial in touched {
            self.stands_anew(serial);
        }
    }

    /// Takes up one entry; `false`, and whatever was done is to be folded anew, if more than its subject could change. Boxes that
    /// may stand otherwise now are added to `touched`.
    fn follows_on(&mut self, log: &Log, entry: &Entry, touched: &mut BTreeSet<Serial>) -> bool {
        let id = entry.id;
        let is_next = self.counts.get(&id.writer).copied().unwrap_or(0) == id.n;
        let is_awaited = self.undone.contains(&id) || self.awaited.contains(&id);
        let is_round = self.faults.iter().any(|fault| matches!(fault, Fault::Circle(_)));
        if !is_next || is_awaited || is_round || self.frame_waits_for(log, id) {
            return false;
        }
        match entry.content() {
            Content::Session {
                device,
                device_name,
                person,
                app,
            } => {
                self.writers.entry(id.writer).or_insert_with(|| Writer {
                    device: *device,
                    device_name: device_name.clone(),
                    person: person.clone(),
                    app: app.clone(),
                });
            }
            Content::Answer {
                subject,
                question,
                instead,
                ..
            } => {
                // What has not come, or not been taken up yet, is waited for.
                if !instead.iter().all(|id| self.has_taken_up(log, *id)) {
                    return false;
                }
                if !self.give_anew(log, *subject, question, Change::Given(entry), touched) {
                    return false;
                }
            }
            Content::Undo { of } => {
                if !self.take_back(log, *of, touched) {
                    return false;
                }
            }
            Content::Photo { subject, photo } => {
                let at = self.photos.partition_point(|taken| taken.entry < id);
                let taken = Taken {
                    entry: id,
                    subject: *subject,
                    photo: photo.clone(),
                };
                self.photos.insert(at, taken);
            }
            Content::Round {
                roll,
                number,
                walk,
                instead,
            } => {
                let is_first = instead.is_empty() && !self.rounds.contains_key(number);
                if !is_first || self.draw.as_ref().is_none_or(|draw| draw.roll != *roll) {
                    return false;
                }
                self.rounds.insert(*number, *walk);
                self.round_heads.insert(*number, vec![id]);
                self.round_stands(*number);
            }
            _ => return false,
        }
        self.pace.take(entry, log.before(id));
        self.counts.insert(id.writer, id.n.saturating_add(1));
        true
    }

    fn has_taken_up(&self, log: &Log, id: EntryId) -> bool {
        self.counts.get(&id.writer).is_some_and(|next| id.n < *next) && log.has(id)
    }

    /// Undoes an answer or a photograph; `false` for all else.
    fn take_back(&mut self, log: &Log, of: EntryId, touched: &mut BTreeSet<Serial>) -> bool {
        if !self.has_taken_up(log, of) {
            return false;
        }
        if self.undone.contains(&of) {
            return true;
        }
        match log.entry(of).map(Entry::content) {
            Some(Content::Answer {
                subject, question, ..
            }) => {
                if !self.give_anew(log, *subject, question, Change::TakenBack(of), touched) {
                    return false;
                }
            }
            Some(Content::Photo { .. }) => {
                if let Ok(at) = self.photos.binary_search_by_key(&of, |taken| taken.entry) {
                    self.photos.remove(at);
                }
            }
            _ => return false,
        }
        self.undone.insert(of);
        true
    }

    /// Whether the closed frame rests on an entry that had not come yet.
    fn frame_waits_for(&self, log: &Log, id: EntryId) -> bool {
        let close = self.frame.as_ref().and_then(|frame| log.entry(frame.entry));
        match close.map(Entry::content) {
            Some(Content::Close { upto, .. }) => upto.get(&id.writer).is_some_and(|n| id.n < *n),
            _ => false,
        }
    }

    /// Works out what counts of one question, with an answer more or one less.
    fn give_anew(
        &mut self,
        log: &Log,
        subject: Subject,
        question: &str,
        change: Change<'_>,
        touched: &mut BTreeSet<Serial>,
    ) -> bool {
        let Some(mut given) = self.given(log, subject, question) else {
            return false;
        };
        match change {
            Change::Given(entry) => given.extend(Given::read(entry).map(|(.., given)| given)),
            Change::TakenBack(of) => given.retain(|given| given.head.entry != of),
        }
        given.sort_by_key(|given| given.head.entry);
        let sorted = given::sort(given);
        if sorted.in_a_circle {
            return false;
        }
        self.set_given(log, subject, question, sorted);
        match subject {
            Subject::Box(serial) => drop(touched.insert(serial)),
            Subject::Item(item) => drop(touched.insert(item.serial)),
            Subject::Survey if question == "title" => match self.answer(Subject::Survey, question) {
                Some(Answer::Text(title)) => self.title = title.clone(),
                // Then it is called what it was called when it was begun.
                _ => return false,
            },
            // What a batch says may finish, or reopen, any box with an item of it.
            Subject::Survey => {
                if let Some((name, _)) = batch::read_key(question) {
                    touched.extend(self.boxes_of_batch(log, name));
                }
            }
            Subject::Stratum(_) | Subject::Place(_) if question == NAME => {
                self.call_as_answered(subject);
                // Without such an answer it is called as it was listed, which the log says.
                return matches!(self.answer(subject, NAME), Some(Answer::Text(_)));
            }
            Subject::Stratum(_) | Subject::Place(_) => {}
        }
        true
    }

    fn boxes_of_batch(&self, log: &Log, name: &str) -> BTreeSet<Serial> {
        let box_of = |id| match log.entry(id)?.content() {
            Content::Answer {
                subject: Subject::Item(item),
                ..
            } => Some(item.serial),
            _ => None,
        };
        let items = self.index.texts.of(batch::QUESTION, name);
        items.filter_map(box_of).collect()
    }

    fn round_stands(&mut self, number: u32) {
        let mut standing = std::mem::take(&mut self.standing);
        standing.add(|| {
            let boxes = self.draw.as_ref().map_or(Vec::new(), |draw| draw.round(number));
            boxes
                .into_iter()
                .map(|drawn| (drawn.serial, self.status_of(drawn.serial)))
                .collect()
        });
        self.standing = standing;
    }

    fn stands_anew(&mut self, serial: Serial) {
        let mut standing = std::mem::take(&mut self.standing);
        standing.change(serial, || self.status_of(serial));
        self.standing = standing;
    }
}
