//! Batches: what one recordist, machine or habit says about many items at once.
//!
//! An item's answer [`QUESTION`] names the batch it belongs to; the answers of a batch are answers about the survey
//! under [`key`]. They complete an item's own answers where a person put the item into the batch, only for questions
//! that a batch can answer ([`tape::Question::batch`]), and never in place of an answer of the item's own.

use std::collections::BTreeMap;

use tape::{Answer, Answers, Laid, Question, Told};

use crate::id::{ItemId, Subject};
use crate::kept::Of;
use crate::log::Log;
use crate::serial::Serial;
use crate::state::State;

/// The question that an item's batch is the answer to; an empty text takes it out again.
pub const QUESTION: &str = "batch";

const PREFIX: &str = "batch/";

/// The longest name of a batch, characters.
pub const MAX_NAME_CHARS: usize = 60;

/// Under which question a batch's answer is kept.
#[must_use]
pub fn key(batch: &str, question: &str) -> String {
    format!("{PREFIX}{batch}/{question}")
}

/// The batch and the question of a [`key`]. A batch's name may have slashes, a question's key has none.
#[must_use]
pub fn read_key(key: &str) -> Option<(&str, &str)> {
    let (batch, question) = key.strip_prefix(PREFIX)?.rsplit_once('/')?;
    (!batch.is_empty()).then_some((batch, question))
}

/// A name as it is kept: one line, no spaces at its ends, at most [`MAX_NAME_CHARS`]; `None` if nothing is left.
#[must_use]
pub fn name(typed: &str) -> Option<String> {
    let plain: String = typed
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let short: String = plain.trim().chars().take(MAX_NAME_CHARS).collect();
    let short = short.trim_end();
    (!short.is_empty()).then(|| short.to_owned())
}

/// The names of batches in use, the latest by the writers' clocks first: an order to show, nothing rests on it.
#[must_use]
pub fn recent(log: &Log, state: &State) -> Vec<String> {
    let mut latest: BTreeMap<&str, u64> = state.index.texts.latest(QUESTION).collect();
    for (question, heads) in state.questions_of(Subject::Survey) {
        if let Some((name, _)) = read_key(question) {
            let at_ms = heads.iter().filter_map(|head| log.at_ms(head.entry)).max();
            let at = latest.entry(name).or_default();
            *at = at_ms.unwrap_or(0).max(*at);
        }
    }
    let mut names: Vec<(&str, u64)> = latest.into_iter().collect();
    names.sort_by_key(|(name, at)| (std::cmp::Reverse(*at), *name));
    names.into_iter().map(|(name, _)| name.to_owned()).collect()
}

impl State {
    /// The batch an item was put into.
    #[must_use]
    pub fn batch_of(&self, item: ItemId) -> Option<&str> {
        let name = self.answers.of(Subject::Item(item))?.text(QUESTION)?;
        (!name.is_empty()).then_some(name)
    }

    /// What a batch says to a question.
    #[must_use]
    pub fn batch_answer(&self, batch: &str, question: &str) -> Option<&Answer> {
        self.answer(Subject::Survey, &key(batch, question))
    }

    /// An item's own answers, completed by those of its batch. An answer of the item's own stays, "can't tell" too.
    #[must_use]
    pub fn item_answers(&self, item: ItemId) -> Answers {
        let own = self.answers(Subject::Item(item));
        let shared: Answers = self
            .shared(item, &own)
            .map(|(question, answer)| (question.key.to_owned(), answer.clone()))
            .collect();
        own.into_iter().chain(shared).collect()
    }

    /// A box's answers, laid out for the rules.
    #[must_use]
    pub fn laid_box(&self, serial: Serial) -> Laid {
        Laid::of_told(self.first_answers(Subject::Box(serial)))
    }

    /// The answers of an item of that box, those of its batch among them, laid out for the rules.
    #[must_use]
    pub fn laid_item(&self, of_box: &Laid, item: ItemId) -> Laid {
        let Some(about) = self.answers.of(Subject::Item(item)) else {
            return of_box.with_told([]);
        };
        if about.text(QUESTION).is_none_or(str::is_empty) {
            return of_box.with_told(about.firsts());
        }
        let answers = self.item_answers(item);
        let pairs = answers.iter();
        of_box.with_item(pairs.map(|(question, answer)| (question.as_str(), answer)))
    }

    /// Every answered question of a subject, as [`State::answer`] gives it.
    fn first_answers(&self, subject: Subject) -> impl Iterator<Item = Told<'_>> {
        self.answers.of(subject).into_iter().flat_map(Of::firsts)
    }

    /// Whether [`State::item_answers`] has this question's answer from the item's batch.
    #[must_use]
    pub fn is_shared(&self, item: ItemId, question: &str) -> bool {
        let own = self.answers(Subject::Item(item));
        self.shared(item, &own).any(|(shared, _)| shared.key == question)
    }

    /// What the item's batch adds to its own answers.
    fn shared<'a>(
        &'a self,
        item: ItemId,
        own: &'a Answers,
    ) -> impl Iterator<Item = (&'static Question, &'a Answer)> {
        let batch = self.batch_of(item);
        let open = tape::questions()
            .iter()
            .filter(|question| question.batch && !own.contains_key(question.key));
        open.filter_map(move |question| {
            let answer = self.batch_answer(batch?, question.key)?;
            tape::batch_fits(question, answer, own).then_some((question, answer))
        })
    }
}
