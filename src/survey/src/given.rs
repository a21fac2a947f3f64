//! The answers given to one question of one subject: which of them count. Shared by the fold and by what takes up one
//! entry more.

use std::borrow::Cow;
use std::collections::BTreeSet;

use crate::entry::{Content, Entry};
use crate::id::{EntryId, Subject};
use crate::log::Log;
use crate::state::{Head, State};

/// An answer that is not undone, and the answers it takes the place of.
pub(crate) struct Given<'a> {
    pub(crate) head: Head,
    pub(crate) instead: Cow<'a, [EntryId]>,
}

impl<'a> Given<'a> {
    /// An entry's answer, about what, and to which question; none of other entries.
    pub(crate) fn read(entry: &'a Entry) -> Option<(Subject, &'a str, Self)> {
        let Content::Answer {
            subject,
            question,
            value,
            instead,
            origin,
        } = entry.content()
        else {
            return None;
        };
        let head = Head {
            entry: entry.id,
            value: value.clone(),
            origin: origin.clone(),
        };
        Some((
            *subject,
            question,
            Self {
                head,
                instead: Cow::Borrowed(instead),
            },
        ))
    }
}

/// Answers to one question, told apart.
pub(crate) struct Sorted {
    /// Those that count, by entry id.
    pub(crate) heads: Vec<Head>,
    /// Those that another takes the place of.
    pub(crate) replaced: Vec<EntryId>,
    /// Whether they name each other in a circle: then all count, and it is said.
    pub(crate) in_a_circle: bool,
}

/// Tells answers to one question apart. They come by entry id.
pub(crate) fn sort(given: Vec<Given<'_>>) -> Sorted {
    let named: BTreeSet<EntryId> = given.iter().flat_map(|one| one.instead.iter().copied()).collect();
    let in_a_circle = !given.is_empty() && given.iter().all(|one| named.contains(&one.head.entry));
    let (mut heads, mut replaced) = (Vec::new(), Vec::new());
    for Given { head, .. } in given {
        if in_a_circle || !named.contains(&head.entry) {
            heads.push(head);
        } else {
            replaced.push(head.entry);
        }
    }
    Sorted {
        heads,
        replaced,
        in_a_circle,
    }
}

impl State {
    /// Sets what counts of a question, and what follows from it.
    pub(crate) fn set_given(&mut self, log: &Log, subject: Subject, question: &str, sorted: Sorted) {
        let kind = self.kind_for(subject, question);
        let at = |id: EntryId| log.at_ms(id).unwrap_or(0);
        let Self { answers, index, .. } = self;
        answers.change(subject, |about| {
            let before = about.set(question, sorted.heads);
            index.change(subject, question, &before, about.get(question), at);
        });
        let now = self.kind_for(subject, question);
        self.index.change_kind(kind, now);
        let key = (subject, question.to_owned());
        if sorted.replaced.is_empty() {
            self.replaced.remove(&key);
        } else {
            self.replaced.insert(key, sorted.replaced);
        }
    }

    /// The answers to a question that are not undone, by entry id; `None` if the log lacks one.
    pub(crate) fn given<'a>(&self, log: &'a Log, subject: Subject, question: &str) -> Option<Vec<Given<'a>>> {
        let heads = self.heads(subject, question).iter().map(|head| head.entry);
        let replaced = self.replaced.get(&(subject, question.to_owned()));
        let all: BTreeSet<EntryId> = heads.chain(replaced.into_iter().flatten().copied()).collect();
        let given = all
            .into_iter()
            .map(|id| Given::read(log.entry(id)?).map(|(.., given)| given));
        given.collect()
    }
}
