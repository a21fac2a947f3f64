//! Photographs in a survey file: `data/photos/<sha256>.jpg`, each named by the log.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use survey::{State, photo};

use crate::content::{Content, Elsewhere};
use crate::{FileError, zip};

/// Photographs by their SHA-256 (64 hexadecimal digits).
pub type Photos = BTreeMap<String, Vec<u8>>;

const FOLDER: &str = "data/photos/";
const ENDING: &str = ".jpg";

/// The name of a photograph's file inside the base folder.
pub(crate) fn path(sha256: &str) -> String {
    format!("{FOLDER}{sha256}{ENDING}")
}

/// Whether a payload file lies where photographs do.
pub(crate) fn is_photo(name: &str) -> bool {
    name.starts_with(FOLDER)
}

/// The photographs that the log names and nobody has taken back.
#[must_use]
pub fn named(state: &State) -> BTreeSet<&str> {
    state
        .photos
        .iter()
        .map(|taken| taken.photo.sha256.as_str())
        .collect()
}

/// Those of `photos` that go into the file: those that [`named`] gives.
pub(crate) fn to_write<'a, T>(
    named: &BTreeSet<String>,
    photos: &'a BTreeMap<String, T>,
    content: impl Fn(&'a T) -> Content<'a>,
) -> BTreeMap<String, Content<'a>> {
    named
        .iter()
        .filter_map(|sha256| Some((path(sha256), content(photos.get(sha256)?))))
        .collect()
}

/// The photographs of a file that are at hand, each checked: a JPEG without metadata, of a size this program writes, under
/// its own SHA-256, named by the log. Of what lies elsewhere the name is checked.
///
/// # Errors
/// [`FileError::BadPhoto`] for the first that is not.
pub(crate) fn read(files: &BTreeMap<&str, Content<'_>>, state: &State) -> Result<Photos, FileError> {
    let named = named(state);
    let mut photos = Photos::new();
    for (name, content) in files.iter().filter(|(name, _)| is_photo(name)) {
        let bad = |why: String| FileError::BadPhoto {
            name: (*name).to_owned(),
            why,
        };
        let sha256 = sha256_of(name)
            .filter(|sha256| named.contains(sha256))
            .ok_or_else(|| bad("the log names no such photograph".to_owned()))?;
        match content {
            Content::Here(bytes) => {
                photo::check(sha256, bytes).map_err(|error| bad(error.to_string()))?;
                photos.insert(sha256.to_owned(), bytes.to_vec());
            }
            Content::Elsewhere(elsewhere) if elsewhere.sha256 == sha256 => {}
            Content::Elsewhere(_) => return Err(bad(photo::PhotoError::OtherBytes.to_string())),
        }
    }
    Ok(photos)
}

/// The SHA-256 that is a photograph's name.
fn sha256_of(name: &str) -> Option<&str> {
    name.strip_prefix(FOLDER)?.strip_suffix(ENDING)
}

/// A photograph in a file that has not been read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lying {
    /// What the file says of it.
    pub photo: Elsewhere,
    /// Where in the file its bytes begin.
    pub start: u64,
}

/// The bytes at the end of a file that say where its directory lies.
pub const END_BYTES: u64 = zip::END_LEN as u64;

/// Where the directory of a file of `len` bytes lies, by its last [`END_BYTES`]; nothing if that is not to be seen.
#[must_use]
pub fn directory(end: &[u8], len: u64) -> Option<Range<u64>> {
    let found = zip::directory(end, usize::try_from(len).ok()?).ok()?;
    Some(found.start as u64..found.end as u64)
}

/// The photographs that a directory lists, in the order they lie. Nothing of it is to be trusted before
/// [`crate::survey_file::read_around`] has read what lies around them; nothing at all if it is no directory.
#[must_use]
pub fn lying(directory: &[u8]) -> Option<Vec<Lying>> {
    let mut listing = zip::Listing(directory);
    let (mut found, mut end) = (Vec::new(), 0);
    while !listing.0.is_empty() {
        let listed = listing.next().ok()?;
        let Some(sha256) = sha256_of(zip::without_base(listed.name)) else {
            continue;
        };
        let start = listed.start();
        if listed.size > photo::MAX_BYTES || start < end {
            return None;
        }
        end = start + listed.size;
        found.push(Lying {
            photo: Elsewhere {
                sha256: sha256.to_owned(),
                n_bytes: u32::try_from(listed.size).ok()?,
                crc32: listed.crc32,
            },
            start: start as u64,
        });
    }
    Some(found)
}
