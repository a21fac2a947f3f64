//! What a file in a survey file holds: bytes at hand, or bytes that lie elsewhere and are put in by whoever has them. A
//! hundred photographs need not be in memory at once for their zip to be written.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use crate::bag;

/// Bytes that lie elsewhere, and all that a bag and a zip say of them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Elsewhere {
    /// SHA-256, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// How many bytes.
    pub n_bytes: u32,
    /// CRC-32 as zips have it.
    pub crc32: u32,
}

impl Elsewhere {
    /// What is said of bytes whose SHA-256 is known.
    #[must_use]
    pub fn of(sha256: String, bytes: &[u8]) -> Self {
        Self {
            sha256,
            // What is longer is longer than any survey file, and refused for that.
            n_bytes: u32::try_from(bytes.len()).unwrap_or(u32::MAX),
            crc32: crc32fast::hash(bytes),
        }
    }
}

/// The contents of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Content<'a> {
    Here(Cow<'a, [u8]>),
    Elsewhere(Elsewhere),
}

impl Content<'_> {
    pub(crate) fn len(&self) -> usize {
        match self {
            Self::Here(bytes) => bytes.len(),
            // A phone's addresses have 32 bits: this is exact everywhere.
            Self::Elsewhere(bytes) => usize::try_from(bytes.n_bytes).unwrap_or(usize::MAX),
        }
    }

    pub(crate) fn sha256(&self) -> String {
        match self {
            Self::Here(bytes) => bag::sha256(bytes),
            Self::Elsewhere(bytes) => bytes.sha256.clone(),
        }
    }

    pub(crate) fn crc32(&self) -> u32 {
        match self {
            Self::Here(bytes) => crc32fast::hash(bytes),
            Self::Elsewhere(bytes) => bytes.crc32,
        }
    }
}

impl From<Vec<u8>> for Content<'_> {
    fn from(bytes: Vec<u8>) -> Self {
        Self::Here(Cow::Owned(bytes))
    }
}

impl<'a> From<&'a [u8]> for Content<'a> {
    fn from(bytes: &'a [u8]) -> Self {
        Self::Here(Cow::Borrowed(bytes))
    }
}
