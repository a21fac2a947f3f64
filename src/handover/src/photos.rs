//! Photographs in a survey file: `data/photos/<sha256>.jpg`, each named by the log.

use std::collections::{BTreeMap, BTreeSet};

use survey::{State, photo};

use crate::FileError;
use crate::content::Content;

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

/// Those of `photos` that go into the file: named by the log, taken back by nobody.
pub(crate) fn to_write<'a, T>(
    state: &State,
    photos: &'a BTreeMap<String, T>,
    content: impl Fn(&'a T) -> Content<'a>,
) -> BTreeMap<String, Content<'a>> {
    let named = named(state).into_iter();
    named
        .filter_map(|sha256| Some((path(sha256), content(photos.get(sha256)?))))
        .collect()
}

/// The photographs of a file, each checked: a JPEG without metadata, of a size this program writes, under its own
/// SHA-256, named by the log.
///
/// # Errors
/// [`FileError::BadPhoto`] for the first that is not.
pub(crate) fn read(files: &BTreeMap<&str, &[u8]>, state: &State) -> Result<Photos, FileError> {
    let named = named(state);
    let mut photos = Photos::new();
    for (name, bytes) in files.iter().filter(|(name, _)| is_photo(name)) {
        let bad = |why: String| FileError::BadPhoto {
            name: (*name).to_owned(),
            why,
        };
        let sha256 = name
            .strip_prefix(FOLDER)
            .and_then(|rest| rest.strip_suffix(ENDING))
            .filter(|sha256| named.contains(sha256))
            .ok_or_else(|| bad("the log names no such photograph".to_owned()))?;
        photo::check(sha256, bytes).map_err(|error| bad(error.to_string()))?;
        photos.insert(sha256.to_owned(), bytes.to_vec());
    }
    Ok(photos)
}
