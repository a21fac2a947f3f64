//! An entry as a log keeps it: without what every line repeats, the plainest answers in a few words. Its bytes come out as
//! they went in, to the last one: what would not is kept as it came.

use std::io::Write as _;

use tape::{Coded, Form};

use crate::entry::Entry;
use crate::format::plain;
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
    /// An answer that [`plain::answer`] reads, spelled as this program spells it.
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
        let as_written = plain::head(&entry.bytes).filter(|head| {
            let same = (head.survey, head.id, head.at_ms);
            same == (entry.survey, entry.id, entry.at_ms)
        });
        let body = match as_written.map(|head| head.tail) {
            None => Body::Whole(entry.bytes.as_slice().into()),
            Some(tail) => match plain::answer(tail) {
                Some((subject, coded)) => Body::Plain(subject, coded),
                None => Body::Tail(tail.into()),
            },
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

#[cfg(test)]
mod tests {
    use super::*;

    /// However an entry is spelled, its bytes are given back.
    #[test]
    fn what_went_in_comes_out() {
        let (survey, writer) = ("ab".repeat(16), "0f".repeat(16));
        let line = |head: &str, rest: &str| {
            format!(r#"{{"v":1,"survey":"{survey}","writer":"{writer}",{head},"kind":"answer",{rest}}}"#)
        };
        let heads = [
            r#""n":3,"at":5"#,
            r#""n":0,"at":0"#,
            r#""n": 3,"at":5"#,
            r#""n":3,"at":5,"v2":1"#,
            r#""at":5,"n":3"#,
            r#""n":18446744073709551615,"at":18446744073709551615"#,
        ];
        let rests = [
            r#""of":"box 0001-3","q":"mould","a":{"one":"none"}"#,
            r#""of":"box 83-0007-3","q":"mould","a":{"one":"none"}"#,
            r#""of":"box 0001-4","q":"mould","a":{"one":"none"}"#,
            r#""of":"item 0001-3/2","q":"label","a":{"many":["title","tracks"]}"#,
            r#""of":"item 0001-3/2","q":"label","a":{"many":["tracks","title"]}"#,
            r#""of":"item 0001-3/2","q":"label","a":{"many":["title","title"]}"#,
            r#""of":"item 0001-3/2","q":"label","a":{"many":[]}"#,
            r#""of":"item 0001-3/02","q":"label","a":{"many":[]}"#,
            r#""of":"item 0001-3/+2","q":"label","a":{"many":[]}"#,
            r#""of":"item 0001-3/0","q":"label","a":{"many":[]}"#,
            r#""of":"place P01","q":"mould","a":{"one":"none"}"#,
            r#""of":"box 0001-3","q":"mould","a":{"one":"none"},"looked":"A""#,
            r#""of":"box 0001-3", "q":"mould","a":{"one":"none"}"#,
        ];
        let mut n_plain = 0;
        for (head, rest) in heads.iter().flat_map(|head| rests.map(|rest| (head, rest))) {
            let line = line(head, rest);
            let Ok(entry) = Entry::read(line.as_bytes()) else {
                panic!("{line}")
            };
            let row = Row::of(&entry);
            n_plain += usize::from(matches!(row.body, Body::Plain(..)));
            let back = row.entry(entry.survey, entry.id.writer);
            assert_eq!(String::from_utf8_lossy(&back.bytes), line);
            assert_eq!((back.id, back.at_ms), (entry.id, entry.at_ms));
            assert_eq!(back.content(), entry.content());
        }
        assert!(n_plain > 10);
    }

    /// Lines as they are written, each with a byte or two put elsewhere, doubled or replaced by one that might be overlooked.
    #[test]
    fn what_is_spelled_otherwise_comes_out_as_it_went_in() {
        let (survey, writer) = ("ab".repeat(16), "0f".repeat(16));
        let whole = |of: &str, q: &str, a: &str| {
            format!(
                r#"{{"v":1,"survey":"{survey}","writer":"{writer}","n":30,"at":1500,"kind":"answer","of":"{of}","q":"{q}","a":{a}}}"#
            )
        };
        let lines = [
            whole("box 0001-3", "mould", r#"{"one":"none"}"#),
            whole("box 83-0007-3", "mould", r#"{"one":"suspected"}"#),
            whole("item 0001-3/12", "label", r#"{"many":["title","tracks"]}"#),
        ];
        let replacements = br#"0139aAfFxX+-. ,:"{}[]/\eE"#;
        let (mut n_read, mut n_plain) = (0, 0);
        let mut check = |bytes: &[u8]| {
            let Ok(entry) = Entry::read(bytes) else { return };
            let row = Row::of(&entry);
            n_read += 1;
            n_plain += usize::from(matches!(row.body, Body::Plain(..)));
            let back = row.entry(entry.survey, entry.id.writer);
            assert_eq!(
                String::from_utf8_lossy(&back.bytes),
                String::from_utf8_lossy(&entry.bytes)
            );
            assert_eq!(back.content(), entry.content());
        };
        for line in &lines {
            for at in 0..line.len() {
                for with in replacements {
                    let mut changed = line.as_bytes().to_vec();
                    changed[at] = *with;
                    check(&changed);
                    changed.insert(at, line.as_bytes()[at]);
                    check(&changed);
                    let mut put = line.as_bytes().to_vec();
                    put.insert(at, *with);
                    check(&put);
                }
                let mut less = line.as_bytes().to_vec();
                less.remove(at);
                check(&less);
            }
        }
        assert!(n_read > 1_000 && n_plain > 100, "{n_read} {n_plain}");
    }
}
