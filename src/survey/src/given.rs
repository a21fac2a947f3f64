//! The answers given to one question of one subject: which of them count. Shared by the fold and by what takes up one
//! entry more.

use std::collections::{BTreeMap, BTreeSet};

use tape::Answer;

use crate::batch;
use crate::entry::{Content, Entry};
use crate::id::{EntryId, Subject};
use crate::log::Log;
use crate::reading::WRITTEN;
use crate::state::{Head, State};

/// An answer that is not undone, and the answers it takes the place of.
pub(crate) struct Given<'a> {
    pub(crate) head: Head,
    pub(crate) instead: &'a [EntryId],
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
        Some((*subject, question, Self { head, instead }))
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

/// The texts in use, by question: to offer them without a walk over the log, and to know the items of a batch. Kept for
/// the questions whose texts are offered again.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Texts(BTreeMap<String, Used>);

#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Used {
    /// The answers that gave a text, each with its clock.
    by_text: BTreeMap<String, BTreeSet<(u64, EntryId)>>,
    /// The latest of each text by the writers' clocks, then by text.
    latest: BTreeSet<(std::cmp::Reverse<u64>, String)>,
}

impl Texts {
    /// The texts in use, the latest by the writers' clocks first, and when by them.
    pub(crate) fn latest(&self, question: &str) -> impl Iterator<Item = (&str, u64)> {
        let used = self.0.get(question).into_iter();
        used.flat_map(|used| used.latest.iter().map(|(at, text)| (text.as_str(), at.0)))
    }

    /// The answers that gave a text.
    pub(crate) fn of(&self, question: &str, text: &str) -> impl Iterator<Item = EntryId> {
        let given = self.0.get(question).and_then(|used| used.by_text.get(text));
        given.into_iter().flatten().map(|(_, entry)| *entry)
    }

    fn change(&mut self, question: &str, text: &str, change: impl FnOnce(&mut BTreeSet<(u64, EntryId)>)) {
        let used = self.0.entry(question.to_owned()).or_default();
        let given = used.by_text.entry(text.to_owned()).or_default();
        let latest = |given: &BTreeSet<(u64, EntryId)>| given.last().map(|(at, _)| std::cmp::Reverse(*at));
        let before = latest(given);
        change(given);
        let now = latest(given);
        if now != before {
            if let Some(at) = before {
                used.latest.remove(&(at, text.to_owned()));
            }
            if let Some(at) = now {
                used.latest.insert((at, text.to_owned()));
            }
        }
        if now.is_none() {
            used.by_text.remove(text);
        }
        if used.by_text.is_empty() {
            self.0.remove(question);
        }
    }
}

/// The text of an answer that is offered again.
fn offered<'a>(subject: Subject, question: &str, value: &'a Answer) -> Option<&'a str> {
    let Answer::Text(text) = value else { return None };
    let text = match subject {
        Subject::Item(_) if question == batch::QUESTION => text.as_str(),
        _ if WRITTEN.contains(&question) => text.trim(),
        _ => return None,
    };
    (!text.is_empty()).then_some(text)
}

impl State {
    /// Sets what counts of a question, and what follows from it.
    pub(crate) fn set_given(&mut self, log: &Log, subject: Subject, question: &str, sorted: Sorted) {
        let about = self.answers.entry(subject).or_default();
        let before = about.remove(question).unwrap_or_default();
        let at = |id: EntryId| log.entry(id).map_or(0, |entry| entry.at_ms);
        for head in before {
            if let Some(text) = offered(subject, question, &head.value) {
                let known = (at(head.entry), head.entry);
                self.texts.change(question, text, |given| {
                    given.remove(&known);
                });
            }
        }
        for head in &sorted.heads {
            if let Some(text) = offered(subject, question, &head.value) {
                let known = (at(head.entry), head.entry);
                self.texts.change(question, text, |given| {
                    given.insert(known);
                });
            }
        }
        if sorted.heads.is_empty() {
            if about.is_empty() {
                self.answers.remove(&subject);
            }
        } else {
            about.insert(question.to_owned(), sorted.heads);
        }
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
