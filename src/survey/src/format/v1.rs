//! Version 1 of the stored entry: one line of JSON,
//! `{"v":1,"survey":"…","writer":"…","n":0,"at":0,"kind":"…", …}`.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use tape::Answer;

use crate::about::Question;
use crate::entry::{Content, NewBox, SeedSource, Walk};
use crate::id::{EntryId, Subject, SurveyId};
use crate::origin::Origin;
use crate::photo::{self, Photo, Shows};

#[derive(Serialize)]
struct Line<'a> {
    v: u32,
    survey: String,
    writer: String,
    n: u64,
    at: u64,
    #[serde(flatten)]
    body: &'a Body,
}

#[derive(Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum Body {
    Session {
        device: String,
        device_name: String,
        person: String,
        app: String,
    },
    Begin {
        title: String,
        practice: bool,
    },
    Stratum {
        key: String,
        name: String,
    },
    Place {
        key: String,
        stratum: String,
        name: String,
    },
    Boxes {
        place: String,
        boxes: Vec<BoxLine>,
    },
    Withdraw {
        serial: String,
    },
    Close {
        upto: BTreeMap<String, u64>,
        n_boxes: u32,
        digest: String,
    },
    Roll {
        frame: String,
        seed: String,
        source: Source,
        round_size: u32,
        items_per_box: Option<u32>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        instead: Vec<String>,
    },
    Round {
        roll: String,
        number: u32,
        walk: WalkLine,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        instead: Vec<String>,
    },
    Answer {
        of: String,
        q: String,
        a: AnswerLine,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        instead: Vec<String>,
        // Where these are empty, the bytes are what they always were; a program that does not know them overlooks them.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        looked: String,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        from: String,
    },
    Photo {
        of: String,
        sha256: String,
        bytes: u32,
        shows: String,
    },
    Undo {
        of: String,
    },
}

#[derive(Serialize, Deserialize)]
struct BoxLine {
    serial: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    label: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    quarters: Option<u8>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    listed_items: Option<u32>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Source {
    Dice,
    Witness,
    Device,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum WalkLine {
    Shelf,
    Draw,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum AnswerLine {
    One(String),
    Many(BTreeSet<String>),
    Number(f64),
    Text(String),
    Counts(BTreeMap<String, u32>),
}

/// The bytes of an entry.
pub(crate) fn encode(survey: SurveyId, id: EntryId, at_ms: u64, content: &Content) -> Vec<u8> {
    let body = to_line(content);
    let line = Line {
        v: 1,
        survey: survey.to_string(),
        writer: id.writer.to_string(),
        n: id.n,
        at: at_ms,
        body: &body,
    };
    // Cannot fail: maps have string keys, and a float that JSON lacks (NaN) is written as null.
    serde_json::to_vec(&line).unwrap_or_default()
}

/// An answer, read at one go: nearly every entry of a long survey is one.
#[derive(Deserialize)]
struct AnswerEntry<'a> {
    v: u32,
    #[serde(borrow)]
    kind: Cow<'a, str>,
    #[serde(borrow)]
    of: Cow<'a, str>,
    #[serde(borrow)]
    q: Cow<'a, str>,
    a: AnswerLine,
    #[serde(default)]
    instead: Vec<String>,
    #[serde(default)]
    looked: String,
    #[serde(default)]
    from: String,
}

/// What an answer says.
pub(crate) struct Answered {
    pub(crate) subject: Subject,
    pub(crate) question: Question,
    pub(crate) value: Answer,
    pub(crate) instead: Vec<EntryId>,
    pub(crate) origin: Origin,
}

/// What an answer says; `None` of all else, and of an answer that [`decode`] would not read.
pub(crate) fn answer(bytes: &[u8]) -> Option<Answered> {
    let line: AnswerEntry<'_> = serde_json::from_slice(bytes).ok()?;
    if (line.v, &*line.kind) != (1, "answer") {
        return None;
    }
    Some(Answered {
        subject: line.of.parse().ok()?,
        question: Question::of(&line.q),
        value: value(line.a),
        instead: ids(line.instead)?,
        origin: Origin {
            looked: line.looked,
            from: line.from,
        },
    })
}

/// Boxes, read at one go: a long list has a thousand of them an entry.
#[derive(Deserialize)]
struct BoxesEntry<'a> {
    v: u32,
    #[serde(borrow)]
    kind: Cow<'a, str>,
    #[serde(borrow)]
    place: Cow<'a, str>,
    #[serde(borrow)]
    boxes: Vec<BorrowedBox<'a>>,
}

#[derive(Deserialize)]
struct BorrowedBox<'a> {
    #[serde(borrow)]
    serial: Cow<'a, str>,
    #[serde(default)]
    label: String,
    #[serde(default)]
    quarters: Option<u8>,
    #[serde(default)]
    listed_items: Option<u32>,
}

/// What an entry that lists boxes says; `None` of all else, and of one that [`decode`] would not read.
pub(crate) fn boxes(bytes: &[u8]) -> Option<Content> {
    // As a text it is looked at once; as bytes every label and serial would be by itself.
    let line: BoxesEntry<'_> = serde_json::from_str(std::str::from_utf8(bytes).ok()?).ok()?;
    if (line.v, &*line.kind) != (1, "boxes") {
        return None;
    }
    let listed = |line: BorrowedBox<'_>| {
        Some(NewBox {
            serial: line.serial.parse().ok()?,
            label: line.label,
            quarters: whole_quarters(line.quarters),
            listed_items: line.listed_items,
        })
    };
    Some(Content::Boxes {
        place: line.place.parse().ok()?,
        boxes: line.boxes.into_iter().map(listed).collect::<Option<_>>()?,
    })
}

fn whole_quarters(quarters: Option<u8>) -> Option<u8> {
    quarters.filter(|quarters| (1..=4).contains(quarters))
}

fn ids(ids: Vec<String>) -> Option<Vec<EntryId>> {
    ids.iter().map(|id| id.parse().ok()).collect()
}

fn value(line: AnswerLine) -> Answer {
    match line {
        AnswerLine::One(key) => Answer::One(key),
        AnswerLine::Many(keys) => Answer::Many(keys),
        AnswerLine::Number(number) => Answer::Number(number),
        AnswerLine::Text(text) => Answer::Text(text),
        AnswerLine::Counts(counts) => Answer::Counts(counts),
    }
}

/// What a version 1 entry says; `None` if the kind or its shape is not known here.
pub(crate) fn decode(bytes: &[u8]) -> Option<Content> {
    from_line(serde_json::from_slice(bytes).ok()?)
}

fn to_line(content: &Content) -> Body {
    let ids = |ids: &[EntryId]| ids.iter().map(ToString::to_string).collect();
    match content.clone() {
        Content::Session {
            device,
            device_name,
            person,
            app,
        } => Body::Session {
            device: device.to_string(),
            device_name,
            person,
            app,
        },
        Content::Begin { title, practice } => Body::Begin { title, practice },
        Content::Stratum { key, name } => Body::Stratum {
            key: key.to_string(),
            name,
        },
        Content::Place { key, stratum, name } => Body::Place {
            key: key.to_string(),
            stratum: stratum.to_string(),
            name,
        },
        Content::Boxes { place, boxes } => Body::Boxes {
            place: place.to_string(),
            boxes: boxes.into_iter().map(box_to_line).collect(),
        },
        Content::Withdraw { serial } => Body::Withdraw {
            serial: serial.to_string(),
        },
        Content::Close {
            upto,
            n_boxes,
            digest,
        } => Body::Close {
            upto: upto.into_iter().map(|(w, n)| (w.to_string(), n)).collect(),
            n_boxes,
            digest,
        },
        Content::Roll {
            frame,
            seed,
            source,
            round_size,
            items_per_box,
            instead,
        } => Body::Roll {
            frame: frame.to_string(),
            seed,
            source: match source {
                SeedSource::Dice => Source::Dice,
                SeedSource::Witness => Source::Witness,
                SeedSource::Device => Source::Device,
            },
            round_size,
            items_per_box,
            instead: ids(&instead),
        },
        Content::Round {
            roll,
            number,
            walk,
            instead,
        } => Body::Round {
            roll: roll.to_string(),
            number,
            walk: match walk {
                Walk::Shelf => WalkLine::Shelf,
                Walk::Draw => WalkLine::Draw,
            },
            instead: ids(&instead),
        },
        Content::Answer {
            subject,
            question,
            value,
            instead,
            origin,
        } => Body::Answer {
            of: subject.to_string(),
            q: question,
            a: match value {
                Answer::One(key) => AnswerLine::One(key),
                Answer::Many(keys) => AnswerLine::Many(keys),
                Answer::Number(number) => AnswerLine::Number(number),
                Answer::Text(text) => AnswerLine::Text(text),
                Answer::Counts(counts) => AnswerLine::Counts(counts),
            },
            instead: ids(&instead),
            looked: origin.looked,
            from: origin.from,
        },
        Content::Photo { subject, photo } => Body::Photo {
            of: subject.to_string(),
            sha256: photo.sha256,
            bytes: photo.n_bytes,
            shows: photo.shows.key().to_owned(),
        },
        Content::Undo { of } => Body::Undo { of: of.to_string() },
        // Never written: an entry that was not understood keeps the bytes it came with.
        Content::NotUnderstood { kind } => Body::Answer {
            of: "survey".to_owned(),
            q: "not_understood".to_owned(),
            a: AnswerLine::Text(kind),
            instead: Vec::new(),
            looked: String::new(),
            from: String::new(),
        },
    }
}

fn from_line(body: Body) -> Option<Content> {
    Some(match body {
        Body::Session {
            device,
            device_name,
            person,
            app,
        } => Content::Session {
            device: device.parse().ok()?,
            device_name,
            person,
            app,
        },
        Body::Begin { title, practice } => Content::Begin { title, practice },
        Body::Stratum { key, name } => Content::Stratum {
            key: key.parse().ok()?,
            name,
        },
        Body::Place { key, stratum, name } => Content::Place {
            key: key.parse().ok()?,
            stratum: stratum.parse().ok()?,
            name,
        },
        Body::Boxes { place, boxes } => Content::Boxes {
            place: place.parse().ok()?,
            boxes: boxes.into_iter().map(box_from_line).collect::<Option<_>>()?,
        },
        Body::Withdraw { serial } => Content::Withdraw {
            serial: serial.parse().ok()?,
        },
        Body::Close {
            upto,
            n_boxes,
            digest,
        } => Content::Close {
            upto: upto
                .into_iter()
                .map(|(w, n)| Some((w.parse().ok()?, n)))
                .collect::<Option<_>>()?,
            n_boxes,
            digest,
        },
        Body::Roll {
            frame,
            seed,
            source,
            round_size,
            items_per_box,
            instead,
        } => Content::Roll {
            frame: frame.parse().ok()?,
            seed,
            source: match source {
                Source::Dice => SeedSource::Dice,
                Source::Witness => SeedSource::Witness,
                Source::Device => SeedSource::Device,
            },
            round_size,
            items_per_box,
            instead: ids(instead)?,
        },
        Body::Round {
            roll,
            number,
            walk,
            instead,
        } => Content::Round {
            roll: roll.parse().ok()?,
            number,
            walk: match walk {
                WalkLine::Shelf => Walk::Shelf,
                WalkLine::Draw => Walk::Draw,
            },
            instead: ids(instead)?,
        },
        Body::Answer {
            of,
            q,
            a,
            instead,
            looked,
            from,
        } => Content::Answer {
            subject: of.parse().ok()?,
            question: q,
            value: value(a),
            instead: ids(instead)?,
            origin: Origin { looked, from },
        },
        Body::Photo {
            of,
            sha256,
            bytes,
            shows,
        } => Content::Photo {
            subject: of.parse().ok()?,
            photo: Photo {
                sha256: Some(sha256).filter(|text| photo::is_sha256(text))?,
                n_bytes: bytes,
                // A later version may show other things: the picture is kept all the same.
                shows: Shows::read(&shows).unwrap_or(Shows::Other),
            },
        },
        Body::Undo { of } => Content::Undo { of: of.parse().ok()? },
    })
}

fn box_to_line(listed: NewBox) -> BoxLine {
    BoxLine {
        serial: listed.serial.to_string(),
        label: listed.label,
        quarters: listed.quarters,
        listed_items: listed.listed_items,
    }
}

fn box_from_line(line: BoxLine) -> Option<NewBox> {
    Some(NewBox {
        serial: line.serial.parse().ok()?,
        label: line.label,
        quarters: whole_quarters(line.quarters),
        listed_items: line.listed_items,
    })
}

#[cfg(test)]
mod tests {
    use super::{answer, boxes, decode};
    use crate::entry::Content;

    /// What is read at one go, however it is spelled, is what the shape of all kinds reads.
    #[test]
    fn an_answer_read_at_one_go_is_the_same_answer() {
        let entry = |rest: &str| format!(r#"{{"v":1,"survey":"s","writer":"w","n":3,"at":5,{rest}}}"#);
        let id = "0".repeat(32) + ".7";
        let read = [
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"one":"seen"}"#.to_owned(),
            r#""q":"mould", "a" : {"many":["b","a","a"]},"of":"item 0001-3/2","kind":"answer""#.to_owned(),
            r#""kind":"answ\u0065r","of":"surv\u0065y","q":"ti\ttle","a":{"text":"\u00e9\""},"new":[{}]"#
                .to_owned(),
            r#""kind":"answer","of":"survey","q":"n","a":{"number":3}"#.to_owned(),
            r#""kind":"answer","of":"survey","q":"n","a":{"number":-1.5e3},"looked":"A","from":"paper""#
                .to_owned(),
            r#""kind":"answer","of":"box 0001-3","q":"count","a":{"counts":{"dat":2,"cassette":1}}"#
                .to_owned(),
            format!(r#""kind":"answer","of":"survey","q":"n","a":{{"text":""}},"instead":["{id}"]"#),
        ];
        let refused = [
            r#""kind":"undo","of":"box 0001-3","q":"mould","a":{"one":"seen"}"#,
            r#""kind":"answer","of":"box 0001-4","q":"mould","a":{"one":"seen"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"mould"#,
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"one":1}"#,
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"two":"seen"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"mould","a":{"one":"seen","many":[]}"#,
            r#""kind":"answer","of":"box 0001-3","q":null,"a":{"one":"seen"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"n","a":{"counts":{"dat":-1}}"#,
            r#""kind":"answer","of":"box 0001-3","q":"n","q":"m","a":{"one":"seen"}"#,
            r#""kind":"answer","kind":"answer","of":"box 0001-3","q":"n","a":{"one":"seen"}"#,
            r#""kind":"answer","of":"box 0001-3","q":"n","a":{"one":"seen"},"instead":["x"]"#,
            r#""kind":"answer","of":"box 0001-3","q":"n","a":{"one":"seen"},"looked":null"#,
        ];
        let at_once = |line: &str| {
            answer(line.as_bytes()).map(|read| Content::Answer {
                subject: read.subject,
                question: read.question.as_str().to_owned(),
                value: read.value,
                instead: read.instead,
                origin: read.origin,
            })
        };
        for rest in read {
            let line = entry(&rest);
            let found = at_once(&line);
            assert!(found.is_some(), "{line}");
            assert_eq!(found, decode(line.as_bytes()), "{line}");
        }
        for rest in refused {
            let line = entry(rest);
            let is_answer = |content: &Content| matches!(content, Content::Answer { .. });
            assert_eq!(at_once(&line), None, "{line}");
            assert_eq!(decode(line.as_bytes()).filter(is_answer), None, "{line}");
        }
        let newer = r#"{"v":2,"kind":"answer","of":"box 0001-3","q":"mould","a":{"one":"seen"}}"#;
        assert_eq!(at_once(newer), None);
    }

    /// A list of boxes, too.
    #[test]
    fn boxes_read_at_one_go_are_the_same_boxes() {
        let entry = |rest: &str| format!(r#"{{"v":1,"survey":"s","writer":"w","n":3,"at":5,{rest}}}"#);
        let at_once = |rest: &str| boxes(entry(rest).as_bytes());
        let whole = |rest: &str| decode(entry(rest).as_bytes());
        for rest in [
            r#""kind":"boxes","place":"P1","boxes":[{"serial":"0001-3","label":"a\u00e9","quarters":4},{"serial":"0002-1"}]"#,
            r#""boxes":[{"serial":"0001-3","quarters":9,"listed_items":2,"new":[1]}],"kind":"boxes","place":"P1","new":{}"#,
            r#""kind":"boxes","place":"P1","boxes":[]"#,
        ] {
            assert!(at_once(rest).is_some(), "{rest}");
            assert_eq!(at_once(rest), whole(rest), "{rest}");
        }
        for rest in [
            r#""kind":"boxes","place":"P1","boxes":[{"serial":"0001-4"}]"#,
            r#""kind":"boxes","place":"P1","boxes":[{"label":"x"}]"#,
            r#""kind":"boxes","place":"P1","boxes":[{"serial":"0001-3","serial":"0001-3"}]"#,
            r#""kind":"boxes","place":"P1","boxes":[{"serial":"0001-3","quarters":999}]"#,
            r#""kind":"boxes","place":"P1""#,
            r#""kind":"place","place":"P1","boxes":[]"#,
        ] {
            assert_eq!(at_once(rest), None, "{rest}");
            assert!(!matches!(whole(rest), Some(Content::Boxes { .. })), "{rest}");
        }
    }
}
