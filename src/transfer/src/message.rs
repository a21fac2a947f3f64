//! What one device says to another: entries, or what it has. One letter, then the rest as raw DEFLATE (RFC 1951).

use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
use survey::Log;

use crate::known::Known;

/// The most that is unpacked, bytes: some 150,000 entries.
pub const MOST_UNPACKED: usize = 32 << 20;
/// How hard it is packed, of 1 to 10: what takes longer than this saves next to nothing.
const LEVEL: u8 = 9;

const ENTRIES: u8 = b'E';
const KNOWN: u8 = b'K';

/// What one device says to another.
#[derive(Debug, Clone, PartialEq)]
pub enum Message {
    /// Entries.
    Entries(Log),
    /// What the device has, so that it is shown the rest alone.
    Known(Known),
}

/// Why bytes are no message.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MessageError {
    /// A kind of message of a later version of this program.
    #[error("a message of a newer kind")]
    Newer,
    /// It does not unpack.
    #[error("it does not unpack")]
    Damaged,
    /// It unpacks to more than [`MOST_UNPACKED`].
    #[error("it is larger than any survey")]
    TooLarge,
    /// A line in it is no entry.
    #[error("line {line} is no entry: {why}")]
    BadEntry {
        /// The line, from 1.
        line: usize,
        /// What is wrong.
        why: String,
    },
}

impl Message {
    /// Its bytes. The same entries give the same bytes with the same version of this program.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let (kind, inside) = match self {
            Self::Entries(log) => (ENTRIES, log.to_lines()),
            Self::Known(known) => (KNOWN, known.to_bytes()),
        };
        let mut bytes = vec![kind];
        bytes.extend(compress_to_vec(&inside, LEVEL));
        bytes
    }

    /// Reads a message.
    ///
    /// # Errors
    /// [`MessageError`]; nothing of it is given then.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, MessageError> {
        let (kind, packed) = bytes.split_first().ok_or(MessageError::Damaged)?;
        if ![ENTRIES, KNOWN].contains(kind) {
            return Err(MessageError::Newer);
        }
        let inside =
            decompress_to_vec_with_limit(packed, MOST_UNPACKED).map_err(|error| match error.status {
                TINFLStatus::HasMoreOutput => MessageError::TooLarge,
                _ => MessageError::Damaged,
            })?;
        if *kind == KNOWN {
            return Known::from_bytes(&inside)
                .map(Self::Known)
                .ok_or(MessageError::Damaged);
        }
        let log = Log::from_lines(&inside).map_err(|(line, error)| MessageError::BadEntry {
            line,
            why: error.to_string(),
        })?;
        Ok(Self::Entries(log))
    }
}
