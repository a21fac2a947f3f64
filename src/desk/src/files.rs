//! Files on a disk: read and written whole.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use handover::{FileError, MAX_FILE_BYTES, Opened, sealed};

/// The file that holds the passphrase of sealed files, if one was named.
static PASSPHRASE_FILE: OnceLock<PathBuf> = OnceLock::new();

/// Takes the passphrase of sealed files from this file from now on.
pub(crate) fn use_passphrase_file(path: PathBuf) {
    // Named once, when the program starts.
    let _ = PASSPHRASE_FILE.set(path);
}

/// The passphrase: the first line of its file.
///
/// # Errors
/// A sentence with the file's name.
pub(crate) fn passphrase() -> Result<Option<String>, String> {
    let Some(path) = PASSPHRASE_FILE.get() else {
        return Ok(None);
    };
    let text = String::from_utf8(raw_bytes(path)?).map_err(|_| format!("{} is not UTF-8", path.display()))?;
    let first = text.lines().next().unwrap_or_default();
    if first.is_empty() {
        return Err(format!(
            "the first line of {} is empty; the passphrase belongs there",
            path.display()
        ));
    }
    Ok(Some(first.to_owned()))
}

/// A file's bytes; of a sealed file, those inside.
///
/// # Errors
/// A sentence with the file's name.
pub(crate) fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let bytes = raw_bytes(path)?;
    if !sealed::is_sealed(&bytes) {
        return Ok(bytes);
    }
    let passphrase = passphrase()?.ok_or_else(|| {
        format!(
            "{} is sealed. Name the file that holds its passphrase: --passphrase-file FILE",
            path.display()
        )
    })?;
    sealed::unseal(&bytes, &passphrase, sealed::MOST_WORK)
        .map_err(|error| format!("{} cannot be opened: {error}", path.display()))
}

/// A file's bytes as they are.
///
/// # Errors
/// A sentence with the file's name.
pub(crate) fn raw_bytes(path: &Path) -> Result<Vec<u8>, String> {
    let failed = |error: std::io::Error| format!("{} cannot be read: {error}", path.display());
    let file = fs::File::open(path).map_err(failed)?;
    let mut bytes = Vec::new();
    // More than may be there, so that a larger file is refused and not cut; a seal adds a little.
    file.take(MAX_FILE_BYTES as u64 + (1 << 20))
        .read_to_end(&mut bytes)
        .map_err(failed)?;
    Ok(bytes)
}

/// A survey file that was read.
///
/// # Errors
/// A sentence with the file's name, what is wrong with it and what to do.
pub(crate) fn survey(path: &Path) -> Result<Opened, String> {
    handover::survey_file::read(&bytes(path)?)
        .map_err(|error| format!("{}: {error}. {}", path.display(), advice(&error)))
}

/// Writes a file that must not be there yet: nobody's work is overwritten.
///
/// # Errors
/// A sentence with the file's name.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let failed = |error: std::io::Error| format!("{} cannot be written: {error}", path.display());
    let mut file = fs::File::create_new(path).map_err(failed)?;
    file.write_all(bytes)
        .and_then(|()| file.sync_all())
        .map_err(failed)
}

/// What to do about a file that is refused.
pub(crate) fn advice(error: &FileError) -> &'static str {
    match error {
        FileError::TooLarge { .. } | FileError::NotAZip => {
            "Look for the file that the survey app handed over."
        }
        FileError::Truncated => "Ask for it again: the transfer broke off.",
        FileError::NotCanonical { .. } => {
            "Ask for the file as the survey app wrote it; one that was unpacked and packed again does not count."
        }
        FileError::NewerFormat { .. } => "Update this program.",
        FileError::Missing { .. }
        | FileError::Changed { .. }
        | FileError::Unlisted { .. }
        | FileError::BadTagFile { .. }
        | FileError::BadPhoto { .. }
        | FileError::BadLog { .. }
        | FileError::WrongFigure { .. } => {
            "Do not rest anything on it; ask for the file again, from where it was first handed over."
        }
        FileError::OtherSurvey { .. } => "Only files of one survey can be put together.",
    }
}
