//! The canonical zip: one way, and only one, of packing files.
//!
//! Stored, not compressed; entries in byte order of their names; no extra fields, comments, folders or zip64; every
//! name marked as UTF-8; every time 1980-01-01 00:00; every file a plain one, readable by all, writable by its owner.
//! The same files therefore give the same bytes, on any device and in any year, and a reader can demand exactly them:
//! [`read`] takes a file apart, packs it again and compares.
//!
//! Written out here, not left to a library, because these bytes are a stored format: an update of a dependency must not
//! change them. The record shapes are those of PKWARE's APPNOTE, sections 4.3.7, 4.3.12 and 4.3.16 (from memory, checked
//! against Python's `zipfile` and Info-ZIP's `unzip -t`).

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

use crate::FileError;
use crate::content::{Content, Elsewhere};

/// The largest file that is read or written: 1 GiB.
pub const MAX_FILE_BYTES: usize = 1 << 30;
/// The most files in one.
pub const MAX_FILES: usize = 20_000;
/// The longest name of a file, in bytes.
pub const MAX_NAME_BYTES: usize = 200;

const LOCAL: [u8; 4] = *b"PK\x03\x04";
const CENTRAL: [u8; 4] = *b"PK\x01\x02";
const END: [u8; 4] = *b"PK\x05\x06";
const LOCAL_LEN: usize = 30;
const CENTRAL_LEN: usize = 46;
/// How long the end record is, with which the file ends.
pub(crate) const END_LEN: usize = 22;
/// Version 1.0 is needed to unpack: stored files only.
const NEEDED: u16 = 10;
/// Made on a system with Unix permissions, by version 2.0.
const MADE_BY: u16 = (3 << 8) | 20;
/// Bit 11: names are UTF-8.
const UTF8: u16 = 1 << 11;
/// 1980-01-01, the first day a zip can tell.
const DATE: u16 = (1 << 5) | 1;
/// A plain file, rw-r--r--, in the upper half as Unix systems put it.
const ATTRIBUTES: u32 = 0o100_644 << 16;

/// Packs files. Names are relative, with `/`, as [`read`] demands them.
///
/// # Errors
/// [`FileError::TooLarge`] or [`FileError::NotCanonical`] when the result would be refused by [`read`].
pub fn write(files: &BTreeMap<String, Vec<u8>>) -> Result<Vec<u8>, FileError> {
    let files: Vec<(&str, Content<'_>)> = files
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.as_slice().into()))
        .collect();
    let borrowed = files.iter().map(|(name, content)| (*name, content));
    Ok(write_around(&borrowed.collect())?.concat())
}

/// Packs files, some of which lie elsewhere: the pieces before, between and behind their contents, in the order of their
/// names.
///
/// # Errors
/// As [`write`].
pub(crate) fn write_around(files: &BTreeMap<&str, &Content<'_>>) -> Result<Vec<Vec<u8>>, FileError> {
    let (mut size, mut here) = (Some(END_LEN), END_LEN);
    for (name, content) in files {
        let around = LOCAL_LEN + CENTRAL_LEN + 2 * name.len();
        size = size.and_then(|size| size.checked_add(around)?.checked_add(content.len()));
        if let Content::Here(bytes) = content {
            here = here.saturating_add(around + bytes.len());
        }
    }
    if size.is_none_or(|size| size > MAX_FILE_BYTES) {
        let bytes = size.unwrap_or(usize::MAX);
        return Err(FileError::TooLarge { bytes });
    }
    if files.len() > MAX_FILES {
        return Err(FileError::not_canonical(format!("{} files", files.len())));
    }
    files.keys().try_for_each(|name| check_name(name))?;
    let (mut pieces, mut piece) = (Vec::new(), Vec::with_capacity(here));
    pack(files, &mut |part| match part {
        Some(part) => piece.extend_from_slice(part),
        None => pieces.push(std::mem::take(&mut piece)),
    });
    pieces.push(piece);
    Ok(pieces)
}

/// Takes a canonical zip apart: names and contents.
///
/// Every size is checked against the bytes at hand before it is used, nothing is allocated by a declared size, and
/// stored contents cannot unfold into more than the file holds.
///
/// # Errors
/// [`FileError::TooLarge`], [`FileError::NotAZip`], [`FileError::Truncated`], [`FileError::NotCanonical`], or
/// [`FileError::Changed`] for contents that do not fit their CRC-32.
pub fn read(bytes: &[u8]) -> Result<BTreeMap<&str, &[u8]>, FileError> {
    let files = read_around(&[bytes], &[])?;
    let here = |(name, content)| match content {
        Content::Here(Cow::Borrowed(bytes)) => Some((name, bytes)),
        Content::Here(Cow::Owned(_)) | Content::Elsewhere(_) => None,
    };
    Ok(files.into_iter().filter_map(here).collect())
}

/// The same of a file of which some contents lie elsewhere: the pieces before, between and behind them. What lies elsewhere
/// is taken to be what is said of it.
///
/// # Errors
/// As [`read`].
pub(crate) fn read_around<'a>(
    pieces: &[&'a [u8]],
    elsewhere: &[Elsewhere],
) -> Result<BTreeMap<&'a str, Content<'a>>, FileError> {
    let view = View { pieces, elsewhere };
    let len = view.len();
    if len > MAX_FILE_BYTES {
        return Err(FileError::TooLarge { bytes: len });
    }
    let (first, last) = match pieces {
        [first, .., last] if pieces.len() == elsewhere.len() + 1 => (*first, *last),
        [one] if elsewhere.is_empty() => (*one, *one),
        _ => return Err(FileError::NotAZip),
    };
    if first.is_empty() || !(first.starts_with(&LOCAL) || LOCAL.starts_with(first)) {
        return Err(FileError::NotAZip);
    }
    let end = find_end(last)?;
    let (listed, directory) = (u16_at(end, 10)?, u32_at(end, 16)?);
    if usize::from(listed) > MAX_FILES {
        return Err(FileError::not_canonical(format!("{listed} files")));
    }
    let directory_len = (len - END_LEN).checked_sub(directory);
    let listing = directory_len.and_then(|directory_len| view.bytes(directory, directory_len));
    let mut listing = Listing(listing.ok_or_else(|| FileError::not_canonical("the directory"))?);
    let mut files = BTreeMap::new();
    let mut at = 0;
    for _ in 0..listed {
        let Listed {
            name,
            place,
            size,
            crc32,
        } = listing.next()?;
        // Contents lie one behind the other, so their sizes add up to no more than the file.
        if place != at {
            return Err(FileError::not_canonical(format!("the place of {name}")));
        }
        let start = at + LOCAL_LEN + name.len();
        let wrong_size = || FileError::not_canonical(format!("the size of {name}"));
        at = start
            .checked_add(size)
            .filter(|at| *at <= directory)
            .ok_or_else(wrong_size)?;
        let content = view.content(start, size).ok_or_else(wrong_size)?;
        if content.crc32() != crc32 {
            return Err(FileError::Changed {
                name: without_base(name).to_owned(),
            });
        }
        if files.insert(name, content).is_some() {
            return Err(FileError::not_canonical(format!("{name} is there twice")));
        }
    }
    if at != directory || !listing.0.is_empty() {
        return Err(FileError::not_canonical("bytes that belong to no file"));
    }
    compare(&files, pieces)?;
    Ok(files)
}

/// Where the directory of a file of `len` bytes lies, which ends with these [`END_LEN`]: nothing is read but them.
///
/// # Errors
/// [`FileError::Truncated`] or [`FileError::NotCanonical`]: what is wrong is told by reading the file.
pub(crate) fn directory(end: &[u8], len: usize) -> Result<Range<usize>, FileError> {
    let end = find_end(end)?;
    let start = u32_at(end, 16)?;
    let behind = len.checked_sub(END_LEN).filter(|behind| start <= *behind);
    Ok(start..behind.ok_or_else(|| FileError::not_canonical("the directory"))?)
}

/// A file as the directory lists it.
pub(crate) struct Listed<'a> {
    pub(crate) name: &'a str,
    /// Where its header begins.
    place: usize,
    pub(crate) size: usize,
    pub(crate) crc32: u32,
}

impl Listed<'_> {
    /// Where its contents begin.
    pub(crate) fn start(&self) -> usize {
        self.place + LOCAL_LEN + self.name.len()
    }
}

/// What is left of a directory.
pub(crate) struct Listing<'a>(pub(crate) &'a [u8]);

impl<'a> Listing<'a> {
    /// The next file that it lists.
    pub(crate) fn next(&mut self) -> Result<Listed<'a>, FileError> {
        let header = slice(self.0, 0, CENTRAL_LEN, "the directory")?;
        if !header.starts_with(&CENTRAL) {
            return Err(FileError::not_canonical("the directory"));
        }
        let name_len = usize::from(u16_at(header, 28)?);
        let name = slice(self.0, CENTRAL_LEN, name_len, "the directory")?;
        let name = std::str::from_utf8(name).map_err(|_| FileError::not_canonical("a name is not UTF-8"))?;
        check_name(name)?;
        if u16_at(header, 10)? != 0 {
            return Err(FileError::not_canonical(format!("{name} is compressed")));
        }
        self.0 = &self.0[CENTRAL_LEN + name_len..];
        Ok(Listed {
            name,
            place: u32_at(header, 42)?,
            size: u32_at(header, 24)?,
            crc32: u32::from_le_bytes([header[16], header[17], header[18], header[19]]),
        })
    }
}

/// A file of which some contents lie elsewhere: one between each two pieces.
struct View<'a, 'b> {
    pieces: &'b [&'a [u8]],
    elsewhere: &'b [Elsewhere],
}

impl<'a> View<'a, '_> {
    fn len(&self) -> usize {
        let here = self.pieces.iter().map(|piece| piece.len());
        let elsewhere = self.elsewhere.iter().map(|gap| gap.n_bytes as usize);
        here.chain(elsewhere).fold(0, usize::saturating_add)
    }

    /// Each piece, where it begins, and what lies elsewhere behind it.
    fn laid(&self) -> impl Iterator<Item = (usize, &'a [u8], Option<&Elsewhere>)> {
        let gaps = self.elsewhere.iter().map(Some).chain([None]);
        self.pieces.iter().zip(gaps).scan(0_usize, |at, (piece, gap)| {
            let start = *at;
            *at = at.saturating_add(piece.len() + gap.map_or(0, |gap| gap.n_bytes as usize));
            Some((start, *piece, gap))
        })
    }

    /// Bytes that are at hand in one piece.
    fn bytes(&self, at: usize, len: usize) -> Option<&'a [u8]> {
        self.laid().find_map(|(start, piece, _)| {
            let from = at.checked_sub(start)?;
            piece.get(from..from.checked_add(len)?)
        })
    }

    /// Contents that are at hand, or all that lies elsewhere between two pieces.
    fn content(&self, at: usize, len: usize) -> Option<Content<'a>> {
        let gap = self.laid().find_map(|(start, piece, gap)| {
            let gap = gap.filter(|gap| gap.n_bytes as usize == len)?;
            (start + piece.len() == at).then(|| Content::Elsewhere(gap.clone()))
        });
        gap.or_else(|| Some(self.bytes(at, len)?.into()))
    }
}

/// The end record. A file that begins as a zip and does not end as one is cut short, or has something after its end.
fn find_end(bytes: &[u8]) -> Result<&[u8], FileError> {
    let tail = bytes.len().saturating_sub(END_LEN);
    let end = &bytes[tail..];
    if end.starts_with(&END) {
        return Ok(end);
    }
    // A whole end record further up: a comment of up to 65,535 bytes, or something else, follows it.
    let searched = &bytes[tail.saturating_sub(usize::from(u16::MAX))..bytes.len().min(tail + END.len() - 1)];
    let elsewhere = searched.windows(END.len()).any(|window| window == END);
    Err(if elsewhere {
        FileError::not_canonical("bytes after its end")
    } else {
        FileError::Truncated
    })
}

/// Packs again and compares, so that no byte is free to differ.
fn compare(files: &BTreeMap<&str, Content<'_>>, pieces: &[&[u8]]) -> Result<(), FileError> {
    let borrowed = files.iter().map(|(name, content)| (*name, content));
    let mut pieces = pieces.iter();
    let mut rest = pieces.next().copied();
    pack(&borrowed.collect(), &mut |part| {
        rest = match (part, rest) {
            (Some(part), Some(rest)) => rest.strip_prefix(part),
            (None, Some([])) => pieces.next().copied(),
            _ => None,
        };
    });
    match (rest, pieces.next()) {
        (Some([]), None) => Ok(()),
        _ => Err(FileError::not_canonical("a header, or the order of the files")),
    }
}

/// Hands the canonical bytes to `out`, part by part; nothing for contents that lie elsewhere. Sizes were checked to fit 32
/// bits, and the count 16.
fn pack(files: &BTreeMap<&str, &Content<'_>>, out: &mut impl FnMut(Option<&[u8]>)) {
    let mut directory = Vec::new();
    let mut at = 0;
    for (name, content) in files {
        let mut shared = Vec::with_capacity(26);
        for field in [NEEDED, UTF8, 0, 0, DATE] {
            shared.extend_from_slice(&field.to_le_bytes());
        }
        for field in [content.crc32(), narrow(content.len()), narrow(content.len())] {
            shared.extend_from_slice(&field.to_le_bytes());
        }
        shared.extend_from_slice(&narrow16(name.len()).to_le_bytes());
        shared.extend_from_slice(&[0; 2]); // no extra field
        for part in [&LOCAL, shared.as_slice(), name.as_bytes()] {
            out(Some(part));
        }
        out(match content {
            Content::Here(bytes) => Some(bytes),
            Content::Elsewhere(_) => None,
        });
        directory.extend_from_slice(&CENTRAL);
        directory.extend_from_slice(&MADE_BY.to_le_bytes());
        directory.extend_from_slice(&shared);
        directory.extend_from_slice(&[0; 6]); // no comment, first disk, contents not marked as text
        directory.extend_from_slice(&ATTRIBUTES.to_le_bytes());
        directory.extend_from_slice(&narrow(at).to_le_bytes());
        directory.extend_from_slice(name.as_bytes());
        at += LOCAL_LEN + name.len() + content.len();
    }
    out(Some(&directory));
    let count = narrow16(files.len()).to_le_bytes();
    let (size, start) = (narrow(directory.len()).to_le_bytes(), narrow(at).to_le_bytes());
    for part in [&END, &[0; 4][..], &count, &count, &size, &start, &[0; 2]] {
        out(Some(part));
    }
}

/// Relative, `/` between plain parts, nothing that a file system or a manifest could read in two ways.
fn check_name(name: &str) -> Result<(), FileError> {
    let plain = |part: &str| {
        !part.is_empty()
            && part != "."
            && part != ".."
            && !part.contains(['\\', ':', '%', '*', '?', '"', '<', '>', '|'])
            && !part.chars().any(char::is_control)
    };
    if name.len() <= MAX_NAME_BYTES && name.split('/').all(plain) {
        Ok(())
    } else {
        let shown: String = name.chars().take(80).collect();
        Err(FileError::not_canonical(format!(
            "{shown:?} is no name for a file in it"
        )))
    }
}

/// The name inside the base folder, which is how files are called everywhere else.
pub(crate) fn without_base(name: &str) -> &str {
    name.split_once('/').map_or(name, |(_, inside)| inside)
}

fn slice<'a>(bytes: &'a [u8], at: usize, len: usize, what: &str) -> Result<&'a [u8], FileError> {
    let end = at.checked_add(len);
    end.and_then(|end| bytes.get(at..end))
        .ok_or_else(|| FileError::not_canonical(format!("the size of {what}")))
}

fn u16_at(bytes: &[u8], at: usize) -> Result<u16, FileError> {
    let field = slice(bytes, at, 2, "a header")?;
    Ok(u16::from_le_bytes([field[0], field[1]]))
}

fn u32_at(bytes: &[u8], at: usize) -> Result<usize, FileError> {
    let field = slice(bytes, at, 4, "a header")?;
    let number = u32::from_le_bytes([field[0], field[1], field[2], field[3]]);
    usize::try_from(number).map_err(|_| FileError::not_canonical("the size of a header"))
}

/// Exact for all that [`write`] and [`read`] let through; anything larger is caught by the comparison.
fn narrow(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn narrow16(number: usize) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some() -> BTreeMap<String, Vec<u8>> {
        let files = [
            ("base/data/b.txt", "second"),
            ("base/data/a.txt", "first"),
            ("base/ü.txt", ""),
        ];
        files
            .iter()
            .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
            .collect()
    }

    #[test]
    fn what_is_written_is_read() {
        let packed = write(&some()).unwrap();
        let read = read(&packed).unwrap();
        assert_eq!(
            read.keys().copied().collect::<Vec<_>>(),
            ["base/data/a.txt", "base/data/b.txt", "base/ü.txt"]
        );
        assert_eq!(read["base/data/b.txt"], b"second");
    }

    #[test]
    fn contents_that_lie_elsewhere_fit_between_the_pieces() {
        let files = some();
        let whole = write(&files).unwrap();
        let elsewhere = |name: &str| name.ends_with("b.txt") || name.ends_with("ü.txt");
        let around = files.iter().map(|(name, bytes)| {
            let content = match elsewhere(name) {
                true => Content::Elsewhere(Elsewhere::of(String::new(), bytes)),
                false => bytes.as_slice().into(),
            };
            (name.as_str(), content)
        });
        let around: Vec<_> = around.collect();
        let borrowed = around.iter().map(|(name, content)| (*name, content));
        let pieces = write_around(&borrowed.collect()).unwrap();
        assert_eq!(pieces.len(), 3);
        let joined = [&pieces[0], &b"second"[..], &pieces[1], b"", &pieces[2]].concat();
        assert_eq!(joined, whole);

        let pieces: Vec<&[u8]> = pieces.iter().map(Vec::as_slice).collect();
        let gaps = [b"second".as_slice(), b""].map(|bytes| Elsewhere::of(String::new(), bytes));
        let read = read_around(&pieces, &gaps).unwrap();
        assert_eq!(read.into_iter().collect::<Vec<_>>(), around);
        // Whatever else is said of what lies elsewhere is refused.
        let others = [b"Second".as_slice(), b"secon", b""].map(|bytes| Elsewhere::of(String::new(), bytes));
        for other in others {
            assert!(read_around(&pieces, &[other, gaps[1].clone()]).is_err());
        }
        for gaps in [&gaps[..1], &[]] {
            assert!(read_around(&pieces, gaps).is_err());
        }
        for at in 0..pieces[1].len() {
            let mut changed = pieces[1].to_vec();
            changed[at] ^= 1;
            assert!(
                read_around(&[pieces[0], &changed, pieces[2]], &gaps).is_err(),
                "byte {at}"
            );
        }
    }

    #[test]
    fn what_lies_elsewhere_counts_for_the_largest_size() {
        let most = u32::try_from(MAX_FILE_BYTES).unwrap();
        let large = Elsewhere {
            n_bytes: most,
            ..Elsewhere::of(String::new(), b"")
        };
        let large = Content::Elsewhere(large);
        let files = BTreeMap::from([("base/large", &large)]);
        assert!(matches!(write_around(&files), Err(FileError::TooLarge { .. })));
    }

    #[test]
    fn every_changed_byte_is_refused() {
        let packed = write(&some()).unwrap();
        for at in 0..packed.len() {
            for change in [1, 0x20, 0x80, 0xff] {
                let mut changed = packed.clone();
                changed[at] ^= change;
                assert!(read(&changed).is_err(), "byte {at} xor {change}");
            }
        }
    }

    #[test]
    fn a_changed_byte_of_a_file_names_it() {
        let packed = write(&some()).unwrap();
        let at = packed.windows(6).position(|window| window == b"second").unwrap();
        let mut changed = packed;
        changed[at] = b'S';
        let name = "data/b.txt".to_owned();
        assert_eq!(read(&changed), Err(FileError::Changed { name }));
    }

    #[test]
    fn every_truncation_and_every_tail_is_refused() {
        let packed = write(&some()).unwrap();
        for len in 1..packed.len() {
            let error = read(&packed[..len]).unwrap_err();
            assert_eq!(error, FileError::Truncated, "{len}");
        }
        assert_eq!(read(&[]), Err(FileError::NotAZip));
        let longer = [packed.as_slice(), b"\0"].concat();
        assert!(matches!(read(&longer), Err(FileError::NotCanonical { .. })));
    }

    #[test]
    fn names_that_climb_or_confuse_are_refused() {
        for name in [
            "/etc/x", "a/../b", "a//b", "a\\b", "c:x", "a/", "", ".", "a\nb", "a%0Ab",
        ] {
            let files = BTreeMap::from([(name.to_owned(), Vec::new())]);
            assert!(
                matches!(write(&files), Err(FileError::NotCanonical { .. })),
                "{name:?}"
            );
        }
    }

    #[test]
    fn entries_that_share_their_bytes_are_refused() {
        // A directory that names the same contents many times is how stored zips grow when unpacked.
        let one = write(&BTreeMap::from([("b/a".to_owned(), vec![7; 100])])).unwrap();
        let directory = &one[LOCAL_LEN + 3 + 100..one.len() - END_LEN];
        let mut bomb = one[..LOCAL_LEN + 3 + 100].to_vec();
        for _ in 0..5 {
            bomb.extend_from_slice(directory);
        }
        let mut end = one[one.len() - END_LEN..].to_vec();
        end[8] = 5;
        end[10] = 5;
        bomb.extend_from_slice(&end);
        assert!(matches!(read(&bomb), Err(FileError::NotCanonical { .. })));
    }
}
