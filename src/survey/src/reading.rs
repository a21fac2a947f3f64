//! Reading photographs: what was put off in the day is read in the evening, and a random part of it again by somebody who
//! does not see the first reading.
//!
//! A reading's answers are answers like others, with [`Way::Photo`] as their origin. The second reading's answers stand
//! under questions of their own ([`second_key`]), so that no figure rests on them and neither takes the other's place.

use std::collections::{BTreeMap, BTreeSet};

use sampling::rank::rank;
use tape::{Answer, Answers, PHOTOGRAPHED, Question};

use crate::id::Subject;
use crate::origin::Way;
use crate::photo::Shows;
use crate::state::State;

/// The question whose answer says that a subject's photographs are read.
pub const READ: &str = "photos_read";
/// The seed by which photographs are chosen for a second reading, about the survey.
pub const SEED: &str = "second_reading_seed";
/// How many of a hundred are chosen, about the survey.
pub const PERCENT: &str = "second_reading_percent";
/// What is copied from a label, in the order asked.
pub const WRITTEN: [&str; 4] = [
    "written_title",
    "written_date",
    "written_speed",
    "written_recordist",
];

const SECOND: &str = "second/";
const PURPOSE: &str = "second reading";

/// Under which question the second reading's answer is kept.
#[must_use]
pub fn second_key(question: &str) -> String {
    format!("{SECOND}{question}")
}

/// The question itself, of a [`second_key`]; any other key as it is.
#[must_use]
pub fn first_key(key: &str) -> &str {
    key.strip_prefix(SECOND).unwrap_or(key)
}

/// Texts given to a question of [`WRITTEN`] before, the latest by the writers' clocks first: to tap instead of typing.
#[must_use]
pub fn recent_texts(state: &State, question: &str, most: usize) -> Vec<String> {
    let latest = state.index.texts.latest(question).take(most);
    latest.map(|(text, _)| text.to_owned()).collect()
}

/// How many are read a second time, and by what seed they are chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan<'a> {
    /// The seed.
    pub seed: &'a str,
    /// Of a hundred, 1 to 100.
    pub percent: u32,
}

impl Plan<'_> {
    /// Whether a subject is chosen: each by itself, by its rank, so that a photograph taken later changes nobody's lot.
    #[must_use]
    pub fn chooses(&self, subject: Subject) -> bool {
        let Ok(rank) = rank(self.seed, PURPOSE, "", &subject.to_string()) else {
            return false;
        };
        let [a, b, c, d, ..] = rank.0;
        u64::from(u32::from_be_bytes([a, b, c, d])) * 100 < u64::from(self.percent) << 32
    }
}

/// A question that was read twice of one subject. `None`: the reading did not come to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Of what.
    pub subject: Subject,
    /// The first reading.
    pub first: Option<Answer>,
    /// The second.
    pub second: Option<Answer>,
}

impl State {
    /// The questions of a subject that were put off: photographed, to be read later.
    #[must_use]
    pub fn put_off(&self, subject: Subject) -> Vec<&'static Question> {
        let answers = self.answers(subject);
        tape::questions()
            .iter()
            .filter(|question| {
                answers
                    .get(question.key)
                    .is_some_and(|answer| answer.has(PHOTOGRAPHED))
            })
            .collect()
    }

    /// What is still to read: questions put off, and photographs of writing that nobody has read, in order.
    #[must_use]
    pub fn to_read(&self) -> Vec<Subject> {
        let labels = self
            .photos
            .iter()
            .filter(|taken| taken.photo.shows == Shows::Label);
        let unread = labels
            .map(|taken| taken.subject)
            .filter(|subject| self.answer(*subject, READ).is_none());
        let put_off = self
            .subjects()
            .filter(|subject| !self.put_off(*subject).is_empty());
        let all: BTreeSet<Subject> = unread.chain(put_off).collect();
        all.into_iter().collect()
    }

    /// The plan of the second reading, once it was made.
    #[must_use]
    pub fn second_plan(&self) -> Option<Plan<'_>> {
        match (
            self.answer(Subject::Survey, SEED)?,
            self.answer(Subject::Survey, PERCENT)?,
        ) {
            (Answer::Text(seed), Answer::Number(percent)) if (1.0..=100.0).contains(percent) => Some(Plan {
                seed,
                #[allow(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "between 1 and 100"
                )]
                percent: percent.round() as u32,
            }),
            _ => None,
        }
    }

    /// What was chosen for a second reading: of the subjects that were read from a photograph, in order.
    #[must_use]
    pub fn chosen_again(&self) -> Vec<Subject> {
        let Some(plan) = self.second_plan() else {
            return Vec::new();
        };
        let read = self.subjects().filter(|subject| {
            self.photos_of(*subject).next().is_some() && !self.read_from_photo(*subject).is_empty()
        });
        read.filter(|subject| plan.chooses(*subject)).collect()
    }

    /// What is still to be read a second time.
    #[must_use]
    pub fn to_read_again(&self) -> Vec<Subject> {
        let chosen = self.chosen_again().into_iter();
        chosen.filter(|subject| !self.is_read_again(*subject)).collect()
    }

    /// Whether the second reading of a subject is complete.
    #[must_use]
    pub fn is_read_again(&self, subject: Subject) -> bool {
        self.answer(subject, &second_key(READ)).is_some()
    }

    /// Who read a subject first: they may not read it again.
    #[must_use]
    pub fn first_readers(&self, subject: Subject) -> BTreeSet<String> {
        let heads = self.read_from_photo(subject).into_iter();
        heads
            .flat_map(|question| self.heads(subject, question.key))
            .filter_map(|head| {
                if head.origin.looked.is_empty() {
                    let writer = self.writers.get(&head.entry.writer)?;
                    Some(writer.person.trim().to_owned())
                } else {
                    Some(head.origin.looked.clone())
                }
            })
            .collect()
    }

    /// The questions that the second reading asks, in order, and whether all are answered. They follow from what was
    /// known without the first reading and from the second's own answers, so they tell nothing of the first.
    #[must_use]
    pub fn second_path(&self, subject: Subject) -> (Vec<&'static Question>, bool) {
        let mut known = self.answers(subject);
        for question in self.read_from_photo(subject) {
            known.remove(question.key);
        }
        known.retain(|_, answer| !answer.has(PHOTOGRAPHED));
        let base: BTreeSet<String> = known.keys().cloned().collect();
        let second = self.second_answers(subject);
        known.extend(second.clone());
        let path = match subject {
            Subject::Item(item) => tape::item_path_in(&self.answers(Subject::Box(item.serial)), &known),
            _ => tape::box_path(&known),
        };
        let asked: Vec<&'static Question> = path
            .asked
            .into_iter()
            .filter(|question| question.photo && !question.optional && !base.contains(question.key))
            .collect();
        let done = asked.iter().all(|question| second.contains_key(question.key));
        (asked, done)
    }

    /// The second reading's answers by question.
    #[must_use]
    pub fn second_answers(&self, subject: Subject) -> Answers {
        let all = self.answers(subject).into_iter();
        all.filter_map(|(key, answer)| {
            let question = key.strip_prefix(SECOND)?;
            (question != READ).then(|| (question.to_owned(), answer))
        })
        .collect()
    }

    /// Every question that either reading came to, of subjects whose second reading is complete.
    #[must_use]
    pub fn read_twice(&self) -> BTreeMap<&'static str, Vec<Pair>> {
        let mut pairs: BTreeMap<&'static str, Vec<Pair>> = BTreeMap::new();
        for subject in self.chosen_again() {
            if !self.is_read_again(subject) {
                continue;
            }
            let first: Vec<&str> = self.read_from_photo(subject).iter().map(|q| q.key).collect();
            let second = self.second_answers(subject);
            for question in tape::questions() {
                let by_first = first.contains(&question.key);
                if by_first || second.contains_key(question.key) {
                    pairs.entry(question.key).or_default().push(Pair {
                        subject,
                        first: self.answer(subject, question.key).filter(|_| by_first).cloned(),
                        second: second.get(question.key).cloned(),
                    });
                }
            }
        }
        pairs
    }

    /// The questions of a subject whose answer that counts was read from a photograph.
    fn read_from_photo(&self, subject: Subject) -> Vec<&'static Question> {
        let is_read = |question: &&Question| {
            self.heads(subject, question.key)
                .first()
                .is_some_and(|head| matches!(Way::read(&head.origin.from), Some(Way::Photo(_))))
        };
        tape::questions().iter().filter(is_read).collect()
    }
}
