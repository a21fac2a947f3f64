//! The plainest lines of version 1, spelled as this program spells them to the last byte: read without a parser, since nearly
//! every entry of a long survey is one.

use tape::Coded;

use crate::id::{EntryId, Subject, SurveyId};

/// The head of an entry that this program wrote.
pub(crate) struct Head<'a> {
    pub(crate) survey: SurveyId,
    pub(crate) id: EntryId,
    pub(crate) at_ms: u64,
    /// What stands behind it, from its kind on.
    pub(crate) tail: &'a [u8],
}

/// The head of an entry as this program spells it; `None` of any other spelling.
pub(crate) fn head(bytes: &[u8]) -> Option<Head<'_>> {
    let rest = bytes.strip_prefix(br#"{"v":1,"survey":""#)?;
    let (survey, rest) = rest.split_at_checked(32)?;
    let rest = rest.strip_prefix(br#"","writer":""#)?;
    let (writer, rest) = rest.split_at_checked(32)?;
    let (n, rest) = whole_number(rest.strip_prefix(br#"","n":"#)?)?;
    let (at_ms, rest) = whole_number(rest.strip_prefix(br#","at":"#)?)?;
    let hex = |digits| std::str::from_utf8(digits).ok();
    let writer = hex(writer)?.parse().ok()?;
    Some(Head {
        survey: hex(survey)?.parse().ok()?,
        id: EntryId { writer, n },
        at_ms,
        tail: rest.strip_prefix(b",")?,
    })
}

/// Digits as JSON has them, and what stands behind them.
fn whole_number(text: &[u8]) -> Option<(u64, &[u8])> {
    let n = text.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let (digits, rest) = text.split_at(n);
    let is_plain = digits == b"0" || digits.first().is_some_and(|first| *first != b'0');
    let number = std::str::from_utf8(digits).ok()?.parse().ok()?;
    is_plain.then_some((number, rest))
}

/// A text without an escape, and what stands behind its end.
fn plain_text(text: &[u8]) -> Option<(&str, &[u8])> {
    let end = text
        .iter()
        .position(|byte| matches!(byte, b'"' | b'\\' | ..b' '))?;
    let (text, rest) = text.split_at(end);
    Some((std::str::from_utf8(text).ok()?, rest.strip_prefix(b"\"")?))
}

/// An answer of the plainest kind, spelled as this program spells it to the last byte: of a box or an item, to a known
/// question, in known choices, with nothing else to say. It is read from the tail of a [`Head`]. `None` of all else, which
/// [`v1::answer`](super::v1::answer) reads; what both read is the same.
pub(crate) fn answer(tail: &[u8]) -> Option<(Subject, Coded)> {
    let rest = tail.strip_prefix(br#""kind":"answer","of":""#)?;
    let (subject, rest) = plain_text(rest)?;
    let (question, rest) = plain_text(rest.strip_prefix(br#","q":""#)?)?;
    let rest = rest.strip_prefix(br#","a":{""#)?;
    let number = tape::question_number(question)?;
    let (coded, rest) = if let Some(rest) = rest.strip_prefix(br#"one":""#) {
        let (key, rest) = plain_text(rest)?;
        (Coded::one(number, key)?, rest)
    } else {
        let mut rest = rest.strip_prefix(br#"many":["#)?;
        let mut next = rest.strip_prefix(b"\"");
        let keys = std::iter::from_fn(|| {
            let (key, behind) = plain_text(next.take()?)?;
            next = behind.strip_prefix(b",\"");
            rest = behind;
            Some(key)
        });
        let mut before = "";
        let in_order = keys.map(|key| {
            let follows = key > before;
            before = key;
            if follows { key } else { NO_KEY }
        });
        let coded = Coded::many(number, in_order)?;
        (coded, rest.strip_prefix(b"]")?)
    };
    (rest == b"}}").then_some(())?;
    // Boxes and items have one spelling each, but for an item's position.
    let subject = match (subject.parse().ok()?, subject.rsplit_once('/')) {
        (of @ Subject::Box(_), None) => of,
        (of @ Subject::Item(_), Some((_, position))) => {
            let first = position.as_bytes().first()?;
            (position == "0" || matches!(first, b'1'..=b'9')).then_some(of)?
        }
        _ => return None,
    };
    Some((subject, coded))
}

/// No choice is called so.
const NO_KEY: &str = "";

#[cfg(test)]
mod tests {
    use super::{answer, head};
    use crate::format::v1;

    #[test]
    fn a_plain_answer_is_what_the_shape_of_all_answers_reads() {
        let known = "0".repeat(32);
        let plain =
            |rest: &str| format!(r#"{{"v":1,"survey":"{known}","writer":"{known}","n":3,"at":5,{rest}}}"#);
        let read = [
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"one":"none"}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"shape","a":{"many":["flat"]}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"label","a":{"many":["title","tracks"]}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"shape","a":{"many":[]}"#,
        ];
        for rest in read {
            let line = plain(rest);
            let (subject, coded) = answer(head(line.as_bytes()).unwrap().tail).unwrap();
            let whole = v1::answer(line.as_bytes()).unwrap();
            assert_eq!(
                (subject, coded.question()),
                (whole.subject, whole.question.as_str())
            );
            assert_eq!(coded.answer(), whole.value);
            assert!(whole.instead.is_empty() && whole.origin.is_plain());
        }
        // Left to those who read everything, some of it as refused.
        let left = [
            r#""kind":"answer","of":"box 0001-4","q":"mould","a":{"one":"none"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"one":"none"},"looked":"A""#,
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"one":"never heard of"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"mo\u0075ld","a":{"one":"none"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"never","a":{"one":"none"}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"shape","a":{"many":["flat",]}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"label","a":{"many":["tracks","title"]}"#,
            r#""kind":"answer","of":"item 0001-3/02","q":"shape","a":{"many":["flat"]}"#,
            r#""kind":"answer","of":"stratum S1","q":"shape","a":{"many":["flat"]}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"shape","a":{"many":["flat""flat"]}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"shape","a":{"many":["flat"}"#,
            r#""kind":"answer","of":"item 0001-3/2","q":"shape","a":{"many":[,"flat"]}"#,
        ];
        for rest in left {
            assert_eq!(
                head(plain(rest).as_bytes()).and_then(|head| answer(head.tail)),
                None,
                "{rest}"
            );
        }
    }
}
