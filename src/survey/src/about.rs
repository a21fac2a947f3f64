//! The answers that count about one thing, by question: kept close together, since a long survey has millions of them.

use std::borrow::Cow;
use std::fmt;
use std::sync::OnceLock;

use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::state::Head;

/// What was answered about one subject, in the order of the questions' keys.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub(crate) struct About(Vec<Asked>);

/// One question and its answers that count; there is at least one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Asked {
    question: Question,
    heads: Heads,
}

/// A question's key; those of the knowledge of tape take no memory of their own.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(crate) struct Question(Cow<'static, str>);

/// One answer mostly: then without a list.
#[derive(Debug, Clone, PartialEq)]
enum Heads {
    One(Head),
    Several(Vec<Head>),
}

impl Question {
    /// A key that was read.
    pub(crate) fn of(key: &str) -> Self {
        static KNOWN: OnceLock<Vec<&'static str>> = OnceLock::new();
        let known = KNOWN.get_or_init(|| {
            let mut keys: Vec<&'static str> = tape::questions().iter().map(|q| q.key).collect();
            keys.sort_unstable();
            keys
        });
        Self(match known.binary_search(&key) {
            Ok(at) => Cow::Borrowed(known[at]),
            Err(_) => Cow::Owned(key.to_owned()),
        })
    }

    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether the knowledge of tape asks it.
    pub(crate) fn is_known(&self) -> bool {
        matches!(self.0, Cow::Borrowed(_))
    }
}

impl<'de> Deserialize<'de> for Question {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Ok(Self::of(<&str>::deserialize(from)?))
    }
}

impl Heads {
    fn of(mut heads: Vec<Head>) -> Self {
        match heads.pop() {
            Some(only) if heads.is_empty() => Self::One(only),
            last => {
                heads.extend(last);
                Self::Several(heads)
            }
        }
    }

    fn as_slice(&self) -> &[Head] {
        match self {
            Self::One(head) => std::slice::from_ref(head),
            Self::Several(heads) => heads,
        }
    }

    fn into_vec(self) -> Vec<Head> {
        match self {
            Self::One(head) => vec![head],
            Self::Several(heads) => heads,
        }
    }
}

impl Serialize for Heads {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        self.as_slice().serialize(into)
    }
}

impl<'de> Deserialize<'de> for Heads {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_seq(InOrder)
    }
}

/// Reads the answers of a question, one mostly, without a list for the one.
struct InOrder;

impl<'de> Visitor<'de> for InOrder {
    type Value = Heads;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("answers")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut answers: A) -> Result<Heads, A::Error> {
        let nothing = || serde::de::Error::invalid_length(0, &self);
        let first = answers.next_element()?.ok_or_else(nothing)?;
        let Some(second) = answers.next_element()? else {
            return Ok(Heads::One(first));
        };
        let mut all = vec![first, second];
        while let Some(next) = answers.next_element()? {
            all.push(next);
        }
        Ok(Heads::Several(all))
    }
}

impl About {
    /// The answers to a question; none where it was not asked.
    pub(crate) fn get(&self, question: &str) -> &[Head] {
        match self.at(question) {
            Ok(at) => self.0[at].heads.as_slice(),
            Err(_) => &[],
        }
    }

    fn at(&self, question: &str) -> Result<usize, usize> {
        self.0
            .binary_search_by(|asked| asked.question.as_str().cmp(question))
    }

    /// Adds an answer after those that the question has.
    pub(crate) fn push(&mut self, question: Question, head: Head) {
        match self.at(question.as_str()) {
            Ok(at) => {
                let heads = &mut self.0[at].heads;
                let mut all = std::mem::replace(heads, Heads::Several(Vec::new())).into_vec();
                all.push(head);
                *heads = Heads::of(all);
            }
            Err(at) => {
                let heads = Heads::One(head);
                self.0.insert(at, Asked { question, heads });
            }
        }
    }

    /// Questions and answers, to keep elsewhere.
    pub(crate) fn into_questions(self) -> impl Iterator<Item = (Question, Vec<Head>)> {
        let asked = self.0.into_iter();
        asked.map(|asked| (asked.question, asked.heads.into_vec()))
    }

    /// Adds a question that comes after all that are there.
    pub(crate) fn add_last(&mut self, question: Question, heads: Vec<Head>) {
        let heads = Heads::of(heads);
        self.0.push(Asked { question, heads });
    }

    /// Sets a question's answers and gives those before; none takes the question away.
    pub(crate) fn set(&mut self, question: &str, heads: Vec<Head>) -> Vec<Head> {
        match (self.at(question), heads.is_empty()) {
            (Ok(at), true) => self.0.remove(at).heads.into_vec(),
            (Ok(at), false) => std::mem::replace(&mut self.0[at].heads, Heads::of(heads)).into_vec(),
            (Err(_), true) => Vec::new(),
            (Err(at), false) => {
                let question = Question::of(question);
                let heads = Heads::of(heads);
                self.0.insert(at, Asked { question, heads });
                Vec::new()
            }
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Questions and answers, in the order of the questions' keys.
    pub(crate) fn questions(&self) -> impl Iterator<Item = (&Question, &[Head])> {
        self.0
            .iter()
            .map(|asked| (&asked.question, asked.heads.as_slice()))
    }

    /// The same with the questions' keys as text.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&str, &[Head])> {
        let questions = self.questions();
        questions.map(|(question, heads)| (question.as_str(), heads))
    }

    /// Gives back the memory that nothing is kept in.
    pub(crate) fn shrink(&mut self) {
        self.0.shrink_to_fit();
    }
}
