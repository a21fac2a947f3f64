//! Stored shapes, a module a version. New code reads every old version; types here never leave the crate's edge.

pub(crate) mod plain;
pub mod v1;

use std::borrow::Cow;

use serde::Deserialize;

use crate::entry::{Content, Entry, EntryError};
use crate::id::EntryId;

/// The most boxes one [`Content::Boxes`] entry lists.
pub const MAX_BOXES_PER_ENTRY: usize = 1_000;

/// The longest entry that is read: 1 MiB.
pub const MAX_ENTRY_BYTES: usize = 1 << 20;

/// The deepest nesting of an entry that is read: ours have five levels, and other programs that read the log recurse.
pub const MAX_DEPTH: usize = 64;

/// What every version has in common.
#[derive(Deserialize)]
struct Head<'a> {
    /// Every version has one.
    #[serde(rename = "v")]
    _version: u32,
    /// And a kind is a text, where there is one.
    #[serde(borrow, default, rename = "kind")]
    _kind: Cow<'a, str>,
    #[serde(borrow)]
    survey: Cow<'a, str>,
    #[serde(borrow)]
    writer: Cow<'a, str>,
    n: u64,
    #[serde(default)]
    at: u64,
}

/// What tells how the rest is to be read.
#[derive(Deserialize)]
struct Shape {
    v: u32,
    #[serde(default)]
    kind: String,
}

/// Reads an entry of any version. See [`Entry::read`].
pub(crate) fn decode(bytes: &[u8]) -> Result<Entry, EntryError> {
    if bytes.len() > MAX_ENTRY_BYTES {
        return Err(EntryError::TooLong(bytes.len()));
    }
    // Read without a parser where nothing about it is unusual: such a line is a whole entry.
    if let Some(head) = plain::head(bytes)
        && plain::answer(head.tail).is_some()
    {
        return Ok(Entry::known(head.survey, head.id, head.at_ms, bytes.to_vec()));
    }
    if bytes.contains(&b'\n') || bytes.contains(&b'\r') {
        return Err(EntryError::Unreadable("a line end inside an entry".to_owned()));
    }
    if depth(bytes) > MAX_DEPTH {
        return Err(EntryError::Unreadable("nested too deeply".to_owned()));
    }
    let unreadable = |error: &dyn std::fmt::Display| EntryError::Unreadable(error.to_string());
    let head: Head<'_> = serde_json::from_slice(bytes).map_err(|e| unreadable(&e))?;
    let survey = head.survey.parse().map_err(|e| unreadable(&e))?;
    let writer = head.writer.parse().map_err(|e| unreadable(&e))?;
    let id = EntryId { writer, n: head.n };
    Ok(Entry::known(survey, id, head.at, bytes.to_vec()))
}

/// What the bytes of an entry say, of any version.
pub(crate) fn content(bytes: &[u8]) -> Content {
    let is_list = plain::head(bytes).is_some_and(|head| head.tail.starts_with(br#""kind":"boxes""#));
    if let Some(boxes) = is_list.then(|| v1::boxes(bytes)).flatten() {
        return boxes;
    }
    if let Some(answered) = v1::answer(bytes) {
        let v1::Answered {
            subject,
            question,
            value,
            instead,
            origin,
        } = answered;
        return Content::Answer {
            subject,
            question: question.as_str().to_owned(),
            value,
            instead,
            origin,
        };
    }
    let (v, kind) = serde_json::from_slice(bytes)
        .map_or_else(|_| (0, String::new()), |shape: Shape| (shape.v, shape.kind));
    let content = match v {
        1 => v1::decode(bytes),
        _ => None,
    };
    content.unwrap_or(Content::NotUnderstood { kind })
}

/// How deep brackets are nested, outside texts.
fn depth(bytes: &[u8]) -> usize {
    let (mut depth, mut deepest) = (0usize, 0);
    let (mut in_text, mut escaped) = (false, false);
    for byte in bytes {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if in_text => escaped = true,
            b'"' => in_text = !in_text,
            b'[' | b'{' if !in_text => {
                depth += 1;
                deepest = deepest.max(depth);
            }
            b']' | b'}' if !in_text => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}
