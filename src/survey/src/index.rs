//! What screens ask for again and again, kept beside the answers so that nobody walks all of them for it.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use tape::Answer;

use crate::about::Question;
use crate::batch;
use crate::id::{EntryId, Subject};
use crate::kept::Of;
use crate::reading::WRITTEN;
use crate::serial::Serial;
use crate::state::{Head, State};

/// What follows from the answers that count.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) struct Index {
    pub(crate) texts: Texts,
    /// Questions that independent looks answered differently.
    pub(crate) differing: BTreeSet<(Subject, String)>,
    /// Boxes and items with an answer to a question that is on nobody's path: a remark, say.
    beside: BTreeMap<String, BTreeSet<Subject>>,
    /// How many items are of a kind.
    kinds: BTreeMap<Kind, usize>,
}

/// What an item is, and its size.
pub type Kind = (String, String);

/// The texts in use, by question: to offer them without a walk over the log, and to know the items of a batch. Kept for
/// the questions whose texts are offered again.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) struct Texts(BTreeMap<String, Used>);

#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
struct Used {
    /// The answers that gave a text, each with its clock.
    by_text: BTreeMap<String, BTreeSet<(u64, EntryId)>>,
    /// The latest of each text by the writers' clocks, then by text.
    latest: BTreeSet<(Reverse<u64>, String)>,
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
        let latest = |given: &BTreeSet<(u64, EntryId)>| given.last().map(|(at, _)| Reverse(*at));
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

impl Index {
    /// Whether [`Index::change`] keeps nothing of such answers: one answer without a text to a question of the knowledge of tape.
    pub(crate) fn passes_over(question: &Question, heads: &[Head]) -> bool {
        question.is_known() && matches!(heads, [head] if !matches!(head.value, Answer::Text(_)))
    }

    /// Takes up what counts of a question now; `at` gives an entry's clock.
    pub(crate) fn change(
        &mut self,
        subject: Subject,
        question: &str,
        before: &[Head],
        now: &[Head],
        at: impl Fn(EntryId) -> u64,
    ) {
        for (heads, counts) in [(before, false), (now, true)] {
            for head in heads {
                if let Some(text) = offered(subject, question, &head.value) {
                    let given = (at(head.entry), head.entry);
                    self.texts.change(question, text, |all| {
                        if counts {
                            all.insert(given);
                        } else {
                            all.remove(&given);
                        }
                    });
                }
            }
        }
        let differ = |heads: &[Head]| heads.windows(2).any(|pair| pair[0].value != pair[1].value);
        match (differ(before), differ(now)) {
            (false, true) => {
                self.differing.insert((subject, question.to_owned()));
            }
            (true, false) => {
                self.differing.remove(&(subject, question.to_owned()));
            }
            _ => {}
        }
        let is_beside =
            matches!(subject, Subject::Box(_) | Subject::Item(_)) && tape::question(question).is_none();
        if is_beside && before.is_empty() != now.is_empty() {
            let subjects = self.beside.entry(question.to_owned()).or_default();
            if now.is_empty() {
                subjects.remove(&subject);
            } else {
                subjects.insert(subject);
            }
            if subjects.is_empty() {
                self.beside.remove(question);
            }
        }
    }

    /// Takes up that an item is of another kind now.
    pub(crate) fn change_kind(&mut self, before: Option<Kind>, now: Option<Kind>) {
        if before == now {
            return;
        }
        if let Some(kind) = before
            && let Some(n) = self.kinds.get_mut(&kind)
        {
            *n -= 1;
            if *n == 0 {
                self.kinds.remove(&kind);
            }
        }
        if let Some(kind) = now {
            *self.kinds.entry(kind).or_default() += 1;
        }
    }
}

/// What an item is and its size, where both were told.
fn kind_told(about: Of<'_>) -> Option<(&str, &str)> {
    let told = |question| {
        let key = about.first_key(question)?;
        (!matches!(key, tape::CANT_TELL | tape::PHOTOGRAPHED | "not_said")).then_some(key)
    };
    Some((told("carrier")?, told("size")?))
}

impl State {
    /// The boxes and items with an answer that counts to a question that the knowledge of tape does not ask, in order.
    pub fn answered_beside(&self, question: &str) -> impl Iterator<Item = Subject> {
        self.index.beside.get(question).into_iter().flatten().copied()
    }

    /// How many items are of each kind, where both what they are and their size are known.
    pub fn kinds(&self) -> impl Iterator<Item = (&Kind, usize)> {
        self.index.kinds.iter().map(|(kind, n)| (kind, *n))
    }

    /// The same among the items of a box.
    #[must_use]
    pub fn kinds_in(&self, serial: Serial) -> BTreeMap<Kind, usize> {
        let mut kinds = BTreeMap::new();
        for (carrier, size) in self.answers.items(serial).filter_map(kind_told) {
            *kinds.entry((carrier.to_owned(), size.to_owned())).or_default() += 1;
        }
        kinds
    }

    /// Counts the kinds of items anew.
    pub(crate) fn count_kinds(&mut self) {
        let mut kinds: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        let items = self
            .answers
            .all()
            .filter(|(subject, _)| matches!(subject, Subject::Item(_)));
        for kind in items.filter_map(|(_, about)| kind_told(about)) {
            *kinds.entry(kind).or_default() += 1;
        }
        let owned = |((carrier, size), n): ((&str, &str), usize)| ((carrier.to_owned(), size.to_owned()), n);
        self.index.kinds = kinds.into_iter().map(owned).collect();
    }

    fn kind_of(&self, subject: Subject) -> Option<Kind> {
        let (carrier, size) = kind_told(self.answers.of(subject)?)?;
        Some((carrier.to_owned(), size.to_owned()))
    }

    /// The kind of a subject, if the question is one that it follows from.
    pub(crate) fn kind_for(&self, subject: Subject, question: &str) -> Option<Kind> {
        let asks = matches!(subject, Subject::Item(_)) && matches!(question, "carrier" | "size");
        asks.then(|| self.kind_of(subject)).flatten()
    }
}
