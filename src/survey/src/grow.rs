//! Taking up what was just written: the same state as the fold of the whole log, in time that does not grow with the
//! survey, so that a tap on the thousandth box paints as soon as one on the first.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use tape::Answer;

use crate::batch;
use crate::entry::{Content, Entry};
use crate::id::{EntryId, Subject};
use crate::log::Log;
use crate::photo::Taken;
use crate::progress::BoxStatus;
use crate::serial::Serial;
use crate::state::{Fault, Head, State, Writer};

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
    pub(crate) fn of(
        &self,
        serial: Serial,
        all: impl FnOnce() -> BTreeMap<Serial, BoxStatus>,
    ) -> Option<BoxStatus> {
        self.0.get_or_init(all).get(&serial).copied()
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

impl State {
    /// Takes up entries that were just added to the log this state was folded from: the same result as [`State::fold`].
    /// Answers, photographs and new rounds that follow on take time by what they are about; all else is folded anew.
    pub fn take_up(&mut self, log: &Log, added: &[EntryId]) {
        for id in added {
            if log.entry(*id).is_none_or(|entry| !self.follows_on(log, entry)) {
                *self = self.refold(log);
                return;
            }
        }
    }

    /// Takes up one entry; `false`, and whatever was done is to be folded anew, if more than its subject could change.
    fn follows_on(&mut self, log: &Log, entry: &Entry) -> bool {
        let id = entry.id;
        let is_next = self.counts.get(&id.writer).copied().unwrap_or(0) == id.n;
        let is_awaited = self.undone.contains(&id) || self.awaited.contains(&id);
        let is_round = self.faults.iter().any(|fault| matches!(fault, Fault::Circle(_)));
        if !is_next || is_awaited || is_round || self.frame_waits_for(log, id) {
            return false;
        }
        match &entry.content {
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
                value,
                instead,
                origin,
            } => {
                let head = Head {
                    entry: id,
                    value: value.clone(),
                    origin: origin.clone(),
                };
                if !self.take_answer(*subject, question, head, instead) {
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
        self.counts.insert(id.writer, id.n.saturating_add(1));
        true
    }

    /// Whether the closed frame rests on an entry that had not come yet.
    fn frame_waits_for(&self, log: &Log, id: EntryId) -> bool {
        let close = self.frame.as_ref().and_then(|frame| log.entry(frame.entry));
        match close.map(|close| &close.content) {
            Some(Content::Close { upto, .. }) => upto.get(&id.writer).is_some_and(|n| id.n < *n),
            _ => false,
        }
    }

    fn take_answer(&mut self, subject: Subject, question: &str, head: Head, instead: &[EntryId]) -> bool {
        let about = self.answers.entry(subject).or_default();
        let heads = about.entry(question.to_owned()).or_default();
        // What it replaces must be what counts: the fate of other answers cannot be told from here.
        if !instead
            .iter()
            .all(|id| heads.iter().any(|head| head.entry == *id))
        {
            return false;
        }
        heads.retain(|head| !instead.contains(&head.entry));
        let at = heads.partition_point(|known| known.entry < head.entry);
        heads.insert(at, head);
        match subject {
            Subject::Box(serial) => self.stands_anew(serial),
            Subject::Item(item) => self.stands_anew(item.serial),
            Subject::Survey if question == "title" => {
                if let Some(Answer::Text(title)) = self.answer(Subject::Survey, question) {
                    self.title = title.clone();
                }
            }
            // What a batch says may finish, or reopen, any box with an item of it.
            Subject::Survey if batch::read_key(question).is_some() => self.standing = Standing::default(),
            _ => {}
        }
        true
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
