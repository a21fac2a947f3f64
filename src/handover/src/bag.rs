//! `BagIt` 1.0 (RFC 8493): which files there are, and that each is the one that was handed over.

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest, Sha256};

use crate::FileError;
use crate::content::Content;

/// The declaration of a bag: exactly these two lines.
pub(crate) const BAGIT_TXT: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
/// Checksums of the payload.
pub(crate) const MANIFEST: &str = "manifest-sha256.txt";
/// Checksums of everything beside the payload.
pub(crate) const TAG_MANIFEST: &str = "tagmanifest-sha256.txt";
/// What the bag says of itself.
pub(crate) const BAG_INFO: &str = "bag-info.txt";
/// The payload's folder.
pub(crate) const DATA: &str = "data/";

/// SHA-256 as 64 lower-case hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Makes a bag of payload files (names starting `data/`) and labels for `bag-info.txt`, in this order;
/// `Payload-Oxum` is added.
pub(crate) fn pack<'a>(
    mut files: BTreeMap<String, Content<'a>>,
    labels: &[(&str, &str)],
) -> BTreeMap<String, Content<'a>> {
    let octets: usize = files.values().map(Content::len).sum();
    let manifest = manifest(&files);
    let mut info: String = labels.iter().map(|(label, value)| line(label, value)).collect();
    info.push_str(&line("Payload-Oxum", &format!("{octets}.{}", files.len())));
    let tags = BTreeMap::from([
        ("bagit.txt".to_owned(), BAGIT_TXT.as_bytes().into()),
        (BAG_INFO.to_owned(), info.into_bytes().into()),
        (MANIFEST.to_owned(), manifest.into()),
    ]);
    files.insert(TAG_MANIFEST.to_owned(), self::manifest(&tags).into());
    files.extend(tags);
    files
}

fn manifest(files: &BTreeMap<String, Content<'_>>) -> Vec<u8> {
    let lines = files
        .iter()
        .map(|(name, content)| format!("{}  {name}\n", content.sha256()));
    lines.collect::<String>().into_bytes()
}

/// One label. Line ends inside a value become spaces, for a value is one line here.
fn line(label: &str, value: &str) -> String {
    let value: Vec<&str> = value.split_whitespace().collect();
    format!("{label}: {}\n", value.join(" "))
}

/// Checks a bag and gives the labels of its `bag-info.txt`.
///
/// Each payload file is named once in the manifest and has its checksum; each tag file is named once in the tag
/// manifest and has its checksum; nothing else is there.
///
/// # Errors
/// [`FileError::Missing`], [`FileError::Changed`], [`FileError::Unlisted`], [`FileError::BadTagFile`].
pub(crate) fn check(files: &BTreeMap<&str, Content<'_>>) -> Result<BTreeMap<String, String>, FileError> {
    if *required(files, "bagit.txt")? != *BAGIT_TXT.as_bytes() {
        return Err(FileError::Changed {
            name: "bagit.txt".to_owned(),
        });
    }
    // The tag manifest first: it says whether the payload's manifest can be trusted.
    let tags = listed(files, TAG_MANIFEST, |name| !name.starts_with(DATA))?;
    for name in ["bagit.txt", BAG_INFO, MANIFEST] {
        required(files, name)?;
        if !tags.contains(name) {
            return Err(FileError::Unlisted {
                name: name.to_owned(),
            });
        }
    }
    let payload = listed(files, MANIFEST, |name| name.starts_with(DATA))?;
    for name in files.keys() {
        if *name != TAG_MANIFEST && !tags.contains(*name) && !payload.contains(*name) {
            return Err(FileError::Unlisted {
                name: (*name).to_owned(),
            });
        }
    }
    let labels = labels(required(files, BAG_INFO)?)?;
    let octets: usize = payload
        .iter()
        .filter_map(|name| files.get(name))
        .map(Content::len)
        .sum();
    if labels.get("Payload-Oxum") != Some(&format!("{octets}.{}", payload.len())) {
        return Err(bad(BAG_INFO, "its Payload-Oxum is not that of the files"));
    }
    Ok(labels)
}

/// The contents of a file that must be there.
pub(crate) fn required<'b>(
    files: &'b BTreeMap<&str, Content<'_>>,
    name: &str,
) -> Result<&'b [u8], FileError> {
    match files.get(name) {
        Some(Content::Here(bytes)) => Ok(bytes),
        Some(Content::Elsewhere(_)) | None => Err(missing(name)),
    }
}

fn missing(name: &str) -> FileError {
    FileError::Missing {
        name: name.to_owned(),
    }
}

/// The names in a manifest, after checking that each is there with its checksum.
fn listed<'b>(
    files: &'b BTreeMap<&str, Content<'_>>,
    manifest: &str,
    belongs: impl Fn(&str) -> bool,
) -> Result<BTreeSet<&'b str>, FileError> {
    let mut names = BTreeSet::new();
    for line in text(manifest, required(files, manifest)?)?.lines() {
        let (sum, name) = line
            .split_once("  ")
            .ok_or_else(|| bad(manifest, "a line without checksum and name"))?;
        if !belongs(name) || name == TAG_MANIFEST {
            return Err(bad(manifest, &format!("it may not name {name:?}")));
        }
        if files.get(name).ok_or_else(|| missing(name))?.sha256() != sum {
            return Err(FileError::Changed {
                name: name.to_owned(),
            });
        }
        if !names.insert(name) {
            return Err(bad(manifest, &format!("it names {name:?} twice")));
        }
    }
    Ok(names)
}

fn labels(info: &[u8]) -> Result<BTreeMap<String, String>, FileError> {
    let mut labels = BTreeMap::new();
    for line in text(BAG_INFO, info)?.lines() {
        let (label, value) = line
            .split_once(": ")
            .ok_or_else(|| bad(BAG_INFO, "a line without a label"))?;
        if labels.insert(label.to_owned(), value.to_owned()).is_some() {
            return Err(bad(BAG_INFO, &format!("{label} twice")));
        }
    }
    Ok(labels)
}

fn text<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, FileError> {
    std::str::from_utf8(bytes).map_err(|_| bad(name, "it is not UTF-8"))
}

fn bad(name: &str, why: &str) -> FileError {
    let why = why.chars().take(200).collect();
    FileError::BadTagFile {
        name: name.to_owned(),
        why,
    }
}
