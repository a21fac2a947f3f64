//! A folder on a server that a team shares: immutable parts, each of one writer, each named after its own digest.
//!
//! A part's name is `<writer>-<from>-<upto>-<sha256>-<attempt>.part`: it holds the entries `from..upto` of that writer, all
//! of them, as a [`Message`], and the SHA-256 of its bytes is in its name. A part is written once and never again
//! (`If-None-Match: *`); what a cut upload left under a name is no part, since its digest differs, and the part goes
//! under the name of the next attempt. Nobody's parts are ever changed or removed.
//!
//! Nothing that a server says is trusted: names are read strictly, and fetched from the folder itself, never from where
//! a listing points; a part counts as there once its bytes were checked here, or once the server took them from here.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::str::FromStr;

use sha2::{Digest, Sha256};
use survey::{Entry, EntryId, Log, SurveyId, WriterId};

use crate::message::{Message, MessageError};

/// The most bytes of a part.
pub const MOST_PART_BYTES: usize = 4 << 20;
/// The most entries of a part: some 50 kB, so that a line that breaks off costs little.
pub const MOST_PART_ENTRIES: usize = 5_000;
/// How often a part is put anew when something else lies under its name.
pub const MOST_ATTEMPTS: u8 = 9;

/// A part's name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartName {
    /// Whose entries.
    pub writer: WriterId,
    /// The first one's number.
    pub from: u64,
    /// The number behind the last one's.
    pub upto: u64,
    digest: [u8; 32],
    attempt: u8,
}

impl fmt::Display for PartName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}-{}-", self.writer, self.from, self.upto)?;
        self.digest.iter().try_for_each(|byte| write!(f, "{byte:02x}"))?;
        write!(f, "-{}.part", self.attempt)
    }
}

/// A name that is none of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no name of a part")]
pub struct NoPart;

impl FromStr for PartName {
    type Err = NoPart;

    fn from_str(text: &str) -> Result<Self, NoPart> {
        let inner = text.strip_suffix(".part").ok_or(NoPart)?;
        let fields: Vec<&str> = inner.split('-').collect();
        let [writer, from, upto, digest, attempt] = fields[..] else {
            return Err(NoPart);
        };
        let mut bytes = [0; 32];
        if digest.len() != 64 || !digest.is_ascii() {
            return Err(NoPart);
        }
        for (index, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&digest[2 * index..2 * index + 2], 16).map_err(|_| NoPart)?;
        }
        let name = Self {
            writer: writer.parse().map_err(|_| NoPart)?,
            from: from.parse().map_err(|_| NoPart)?,
            upto: upto.parse().map_err(|_| NoPart)?,
            digest: bytes,
            attempt: attempt.parse().map_err(|_| NoPart)?,
        };
        let is_sound = name.from < name.upto && (1..=MOST_ATTEMPTS).contains(&name.attempt);
        // One spelling only: no plus signs, no leading zeros, no capitals.
        if is_sound && name.to_string() == text {
            Ok(name)
        } else {
            Err(NoPart)
        }
    }
}

impl PartName {
    /// The same part under the name of the next attempt; `None` after the last one.
    #[must_use]
    pub fn next_attempt(self) -> Option<Self> {
        let attempt = self.attempt + 1;
        (attempt <= MOST_ATTEMPTS).then_some(Self { attempt, ..self })
    }

    /// Whether both name the same bytes, at whatever attempt.
    #[must_use]
    pub fn is_same_part(&self, other: &Self) -> bool {
        Self { attempt: 1, ..*self } == Self { attempt: 1, ..*other }
    }

    /// Whether bytes are those that the name promises.
    #[must_use]
    pub fn promises(&self, bytes: &[u8]) -> bool {
        digest_of(bytes) == self.digest
    }
}

/// A part that is ready to be sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its name.
    pub name: PartName,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// How many entries it holds.
    pub n_entries: usize,
}

/// Why a part is not taken in. Nothing of it is.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PartError {
    /// Longer than [`MOST_PART_BYTES`].
    #[error("larger than a part may be")]
    TooLarge,
    /// Its digest is not the one in its name: it was cut or changed.
    #[error("cut short or changed: its digest is not the one in its name")]
    Changed,
    /// It cannot be read, though its digest holds.
    #[error("{0}")]
    Unreadable(#[from] MessageError),
    /// It holds something other than what its name says, though its digest holds.
    #[error("it holds other entries than its name says")]
    OtherEntries,
}

/// The name of a survey's folder inside the team's folder.
#[must_use]
pub fn folder_of(survey: SurveyId) -> String {
    format!("quarterlight-{survey}")
}

/// The parts of a listing that were not read yet, in order; none that was read at another attempt.
#[must_use]
pub fn to_get(listed: &BTreeSet<PartName>, read: &BTreeSet<PartName>) -> Vec<PartName> {
    let is_read = |name: &&PartName| read.iter().any(|read| read.is_same_part(name));
    listed.iter().filter(|name| !is_read(name)).copied().collect()
}

/// Reads a part.
///
/// # Errors
/// [`PartError`].
pub fn read_part(survey: SurveyId, name: &PartName, bytes: &[u8]) -> Result<Log, PartError> {
    if bytes.len() > MOST_PART_BYTES {
        return Err(PartError::TooLarge);
    }
    if !name.promises(bytes) {
        return Err(PartError::Changed);
    }
    let Message::Entries(log) = Message::from_bytes(bytes)? else {
        return Err(PartError::OtherEntries);
    };
    let range = name.from..name.upto;
    let n_entries = u64::try_from(log.entries().len()).unwrap_or(u64::MAX);
    let is_its = |entry: &Entry| entry.id.writer == name.writer && range.contains(&entry.id.n);
    // Numbers in the range, none of them twice, as many as the range has: all of them.
    if log.survey() != survey || n_entries != name.upto - name.from || !log.entries().all(is_its) {
        return Err(PartError::OtherEntries);
    }
    Ok(log)
}

/// The parts to put so that all of a log is in the folder, given the parts that are known to lie there whole.
///
/// Entries with a twin are put with both contents, unless that very part is there.
#[must_use]
pub fn to_put(log: &Log, there: &BTreeSet<PartName>) -> Vec<Part> {
    let twins: BTreeMap<EntryId, Vec<&[u8]>> = log.twins().fold(BTreeMap::new(), |mut all, (id, bytes)| {
        all.entry(*id).or_insert_with(Vec::new).push(bytes);
        all
    });
    let is_there = |id: EntryId| {
        let covers = |name: &PartName| name.writer == id.writer && (name.from..name.upto).contains(&id.n);
        !twins.contains_key(&id) && there.iter().any(covers)
    };
    let mut parts = Vec::new();
    let mut run: Vec<&Entry> = Vec::new();
    for entry in log.entries().filter(|entry| !is_there(entry.id)) {
        let follows = run.last().is_some_and(|last| {
            last.id.writer == entry.id.writer
                && last.id.n + 1 == entry.id.n
                && twins.contains_key(&last.id) == twins.contains_key(&entry.id)
        });
        if !follows || run.len() == MOST_PART_ENTRIES {
            pack(&run, &twins, &mut parts);
            run.clear();
        }
        run.push(entry);
    }
    pack(&run, &twins, &mut parts);
    let is_listed = |part: &Part| there.iter().any(|name| name.is_same_part(&part.name));
    parts.retain(|part| !is_listed(part));
    parts
}

/// Packs entries that follow each other, in halves where they are too large.
fn pack(run: &[&Entry], twins: &BTreeMap<EntryId, Vec<&[u8]>>, parts: &mut Vec<Part>) {
    let (Some(first), Some(last)) = (run.first(), run.last()) else {
        return;
    };
    let mut log = Log::new(first.survey);
    for entry in run {
        // All are entries of one log.
        let _ = log.insert((*entry).clone());
        for twin in twins.get(&entry.id).into_iter().flatten() {
            if let Ok(twin) = Entry::read(twin) {
                let _ = log.insert(twin);
            }
        }
    }
    let bytes = Message::Entries(log).to_bytes();
    if bytes.len() > MOST_PART_BYTES && run.len() > 1 {
        let (left, right) = run.split_at(run.len() / 2);
        pack(left, twins, parts);
        pack(right, twins, parts);
        return;
    }
    let name = PartName {
        writer: first.id.writer,
        from: first.id.n,
        upto: last.id.n + 1,
        digest: digest_of(&bytes),
        attempt: 1,
    };
    parts.push(Part {
        name,
        bytes,
        n_entries: run.len(),
    });
}

fn digest_of(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// Why an address is none of a folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AddressError {
    /// Neither `https://` nor this computer itself.
    #[error("https:// is needed")]
    NotSecure,
    /// A name or password in it, a query, a blank, or no host.
    #[error("not a plain address of a folder")]
    NotPlain,
}

/// An address as it is used: `https`, or `http` on this computer itself, with a slash at its end.
///
/// # Errors
/// [`AddressError`].
pub fn address(typed: &str) -> Result<String, AddressError> {
    let typed = typed.trim();
    let (scheme, rest) = typed.split_once("://").ok_or(AddressError::NotSecure)?;
    let (host, _) = rest.split_once('/').unwrap_or((rest, ""));
    let name = match host.strip_prefix('[') {
        Some(six) => six.split_once(']').map_or("", |(name, _)| name),
        None => host.split_once(':').map_or(host, |(name, _)| name),
    };
    match scheme.to_ascii_lowercase().as_str() {
        "https" => {}
        "http" if ["localhost", "127.0.0.1", "::1"].contains(&name) => {}
        _ => return Err(AddressError::NotSecure),
    }
    let is_plain = |c: char| c.is_ascii_graphic() && !"@?#\\<>\"`{}|^".contains(c);
    if name.is_empty() || !rest.chars().all(is_plain) || rest.split('/').any(|part| part == "..") {
        return Err(AddressError::NotPlain);
    }
    Ok(format!("{}/", typed.trim_end_matches('/')))
}
