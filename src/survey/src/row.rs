//! An entry as a log keeps it: without what every line repeats, the plainest answers in a few words. Its bytes come out as
//! they went in, to the last one: what would not is kept as it came.

use std::io::Write as _;

use tape::{Coded, Form};

use crate::entry::Entry;
use crate::format::v1;
use crate::id::{EntryId, Subject, SurveyId, WriterId};

/// One entry of a writer that is known from where it is kept.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row {
    pub(crate) n: u64,
    pub(crate) at_ms: u64,
    pub(crate) body: Body,
}

/// What its bytes say besides survey, writer, number and time.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Body {
    /// An answer that [`v1::plain_answer`] reads, spelled as this program spells it.
    Plain(Subject, Coded),
    /// What stands behind the head that this program writes.
    Tail(Box<[u8]>),
    /// All of it.
    Whole(Box<[u8]>),
}

/// How the tail of an answer begins.
const ANSWER: &[u8] = br#""kind":"answer","#;

impl Row {
    /// Of an entry.
    pub(crate) fn of(entry: &Entry) -> Self {
        let mut room = Vec::with_capacity(entry.bytes.len());
        head(&mut room, entry.survey, entry.id, entry.at_ms);
        let body = match entry.bytes.strip_prefix(&room[..]) {
            None => Body::Whole(entry.bytes.as_slice().into()),
            Some(tail) => {
                let plain = v1::plain_answer(tail).filter(|(subject, coded)| {
                    room.clear();
                    plain_tail(&mut room, *subject, *coded);
                    room == tail
                });
                match plain {
                    Some((subject, coded)) => Body::Plain(subject, coded),
                    None => Body::Tail(tail.into()),
                }
            }
        };
        Self {
            n: entry.id.n,
            at_ms: entry.at_ms,
            body,
        }
    }

    /// Adds its bytes to others.
    pub(crate) fn write(&self, survey: SurveyId, writer: WriterId, into: &mut Vec<u8>) {
        let id = EntryId { writer, n: self.n };
        match &self.body {
            Body::Plain(subject, coded) => {
                head(into, survey, id, self.at_ms);
                plain_tail(into, *subject, *coded);
            }
            Body::Tail(tail) => {
                head(into, survey, id, self.at_ms);
                into.extend_from_slice(tail);
            }
            Body::Whole(bytes) => into.extend_from_slice(bytes),
        }
    }

    /// The entry.
    pub(crate) fn entry(&self, survey: SurveyId, writer: WriterId) -> Entry {
        let mut bytes = Vec::with_capacity(256);
        self.write(survey, writer, &mut bytes);
        bytes.shrink_to_fit();
        Entry::known(survey, EntryId { writer, n: self.n }, self.at_ms, bytes)
    }

    /// Whether it is spelled as an answer: it is one then, or not understood.
    pub(crate) fn is_answer(&self) -> bool {
        match &self.body {
            Body::Plain(..) => true,
            Body::Tail(tail) => tail.starts_with(ANSWER),
            Body::Whole(_) => false,
        }
    }
}

/// What this program writes before the kind of an entry.
fn head(into: &mut Vec<u8>, survey: SurveyId, id: EntryId, at_ms: u64) {
    into.extend_from_slice(br#"{"v":1,"survey":""#);
    hex(into, &survey.0);
    into.extend_from_slice(br#"","writer":""#);
    hex(into, &id.writer.0);
    // Cannot fail: a list of bytes takes what is written to it.
    let _ = write!(into, r#"","n":{},"at":{at_ms},"#, id.n);
}

fn hex(into: &mut Vec<u8>, bytes: &[u8; 16]) {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let digits = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    into.extend(digits.map(|digit| DIGITS[usize::from(digit)]));
}

fn plain_tail(into: &mut Vec<u8>, subject: Subject, coded: Coded) {
    into.extend_from_slice(ANSWER);
    // Cannot fail, as above.
    let _ = write!(into, r#""of":"{subject}","q":"{}","a":{{"#, coded.question());
    let (_, form, _) = coded.parts();
    if form == Form::One {
        into.extend_from_slice(br#""one":""#);
        into.extend_from_slice(coded.keys().next().unwrap_or_default().as_bytes());
        into.push(b'"');
    } else {
        into.extend_from_slice(br#""many":["#);
        for (at, key) in coded.keys().enumerate() {
            into.extend_from_slice(if at == 0 { b"\"" } else { b",\"" });
            into.extend_from_slice(key.as_bytes());
            into.push(b'"');
        }
        into.push(b']');
    }
    into.extend_from_slice(b"}}");
}
