//! Names of things: surveys, writers, entries, strata, places, boxes and items.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::serial::Serial;

/// What is wrong with a written name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what} expected, found {found:?}")]
pub struct IdError {
    /// What should have stood there.
    pub what: &'static str,
    /// What stood there, cut to 80 characters.
    pub found: String,
}

impl IdError {
    pub(crate) fn new(what: &'static str, found: &str) -> Self {
        Self {
            what,
            found: found.chars().take(80).collect(),
        }
    }
}

/// Sixteen bytes as one piece: a snapshot has one for each answer, and singly they take most of the time it is read in.
mod in_one_piece {
    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(bytes: &[u8; 16], into: S) -> Result<S::Ok, S::Error> {
        into.serialize_bytes(bytes)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<[u8; 16], D::Error> {
        let bytes = <&[u8]>::deserialize(from)?;
        bytes
            .try_into()
            .map_err(|_| serde::de::Error::invalid_length(bytes.len(), &"16 bytes"))
    }
}

macro_rules! random_id {
    ($(#[$doc:meta])* $name:ident, $what:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        pub struct $name(#[serde(with = "in_one_piece")] pub [u8; 16]);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
            }
        }

        impl FromStr for $name {
            type Err = IdError;

            fn from_str(text: &str) -> Result<Self, IdError> {
                hex16(text).map(Self).ok_or_else(|| IdError::new($what, text))
            }
        }
    };
}

random_id!(
    /// One survey: 128 random bits, written as 32 lower-case hexadecimal digits.
    SurveyId,
    "a survey's 32 hexadecimal digits"
);
random_id!(
    /// One tab session that writes entries: 128 random bits. Two tabs of one phone are two writers.
    WriterId,
    "a writer's 32 hexadecimal digits"
);
random_id!(
    /// One device: 128 random bits kept in its preferences. An attribute of a writer, never part of an entry's id.
    DeviceId,
    "a device's 32 hexadecimal digits"
);

impl DeviceId {
    /// The two digits that keep this device's serials apart from the founding device's: 10 to 99.
    #[must_use]
    pub fn tag(&self) -> u8 {
        let wide = u16::from_be_bytes([self.0[0], self.0[1]]) % 90;
        10 + wide.to_be_bytes()[1]
    }
}

/// One entry: its writer and its number, dense from 0 for each writer. Written `writer.n`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct EntryId {
    /// Who wrote it.
    pub writer: WriterId,
    /// The writer's count, from 0 without a gap.
    pub n: u64,
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.writer, self.n)
    }
}

impl FromStr for EntryId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let wrong = || IdError::new("writer.number of an entry", text);
        let (writer, n) = text.split_once('.').ok_or_else(wrong)?;
        Ok(Self {
            writer: writer.parse()?,
            n: n.parse().map_err(|_| wrong())?,
        })
    }
}

/// A short number that survives two devices counting at once: the founding device has tag 0, others 10 to 99.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Key {
    /// 0, or [`DeviceId::tag`] of a later device.
    pub tag: u8,
    /// The device's running number, from 1.
    pub number: u32,
}

macro_rules! short_key {
    ($(#[$doc:meta])* $name:ident, $letter:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        pub struct $name(pub Key);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match self.0.tag {
                    0 => write!(f, "{}{}", $letter, self.0.number),
                    tag => write!(f, "{}{}-{}", $letter, tag, self.0.number),
                }
            }
        }

        impl FromStr for $name {
            type Err = IdError;

            fn from_str(text: &str) -> Result<Self, IdError> {
                text.strip_prefix($letter)
                    .and_then(|rest| match rest.split_once('-') {
                        None => Some(Key { tag: 0, number: rest.parse().ok()? }),
                        Some((tag, number)) => Some(Key { tag: tag.parse().ok()?, number: number.parse().ok()? }),
                    })
                    .map(Self)
                    .ok_or_else(|| IdError::new($what, text))
            }
        }
    };
}

short_key!(
    /// A stratum, written `S1`.
    StratumKey,
    'S',
    "a stratum such as S1"
);
short_key!(
    /// A place where boxes stand, written `P1`.
    PlaceKey,
    'P',
    "a place such as P1"
);

/// One item of a box: the box and the item's position in it, counted from 1. Written `0007-2/3`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct ItemId {
    /// The box.
    pub serial: Serial,
    /// The place in the box, from 1, left to right, then front to back.
    pub position: u32,
}

impl fmt::Display for ItemId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.serial, self.position)
    }
}

/// What an answer is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Subject {
    /// The survey itself: its title, hours, scope.
    Survey,
    /// A stratum.
    Stratum(StratumKey),
    /// A place.
    Place(PlaceKey),
    /// A box.
    Box(Serial),
    /// An item of a box.
    Item(ItemId),
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Survey => f.write_str("survey"),
            Self::Stratum(key) => write!(f, "stratum {key}"),
            Self::Place(key) => write!(f, "place {key}"),
            Self::Box(serial) => write!(f, "box {serial}"),
            Self::Item(item) => write!(f, "item {item}"),
        }
    }
}

impl FromStr for Subject {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let wrong = || IdError::new("the subject of an answer", text);
        if text == "survey" {
            return Ok(Self::Survey);
        }
        let (kind, name) = text.split_once(' ').ok_or_else(wrong)?;
        match kind {
            "stratum" => Ok(Self::Stratum(name.parse()?)),
            "place" => Ok(Self::Place(name.parse()?)),
            "box" => Ok(Self::Box(name.parse()?)),
            "item" => {
                let (serial, position) = name.split_once('/').ok_or_else(wrong)?;
                let position = position.parse().map_err(|_| wrong())?;
                Ok(Self::Item(ItemId {
                    serial: serial.parse()?,
                    position,
                }))
            }
            _ => Err(wrong()),
        }
    }
}

fn hex16(text: &str) -> Option<[u8; 16]> {
    let digits = text.as_bytes();
    if digits.len() != 32 {
        return None;
    }
    let mut bytes = [0; 16];
    for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
        *byte = nibble(pair[0])? << 4 | nibble(pair[1])?;
    }
    Some(bytes)
}

fn nibble(digit: u8) -> Option<u8> {
    match digit {
        b'0'..=b'9' => Some(digit - b'0'),
        b'a'..=b'f' => Some(digit - b'a' + 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_survive_being_written_and_read() {
        let writer = WriterId([0xab; 16]);
        let entry = EntryId { writer, n: 7 };
        assert_eq!(entry.to_string().parse(), Ok(entry));
        for text in [
            "survey",
            "stratum S1",
            "place P83-2",
            "box 0001-3",
            "item 0001-3/12",
        ] {
            let subject: Subject = text.parse().unwrap();
            assert_eq!(subject.to_string(), text);
        }
    }

    #[test]
    fn wrong_names_are_refused() {
        for text in [
            "",
            "box",
            "box 0001-2",
            "item 0001-3",
            "item 0001-3/x",
            "shelf 3",
            "place P",
        ] {
            assert!(text.parse::<Subject>().is_err(), "{text}");
        }
        assert!(
            "AB".repeat(16).parse::<WriterId>().is_err(),
            "upper case is another spelling"
        );
    }

    #[test]
    fn a_device_tag_has_two_digits() {
        for first in 0..=255 {
            let tag = DeviceId([first; 16]).tag();
            assert!((10..=99).contains(&tag));
        }
    }
}
