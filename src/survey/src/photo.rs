//! Photographs: the log names each by its SHA-256 and says what it shows; the pictures themselves lie beside the log.
//!
//! Kept are plain JPEG files without metadata: no place, no camera, no time. [`bare`] takes metadata out, [`check`] refuses
//! what still has some, what is too large and what is no JPEG. Segment names are those of ITU-T T.81 (JPEG), annex B.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::id::{EntryId, Subject};

/// The largest photograph kept: 2 MiB. At 1600 pixels and a quality of 0.8 one has a few hundred kB.
pub const MAX_BYTES: usize = 2 << 20;
/// The longest side of a photograph, pixels.
pub const MAX_SIDE: u32 = 1_600;

/// What a photograph is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Shows {
    /// Writing: a label, a box's spine, a slip of paper.
    Label,
    /// Something that is wrong with it.
    Damage,
    /// Anything else.
    Other,
}

impl Shows {
    /// Every one, in the order it is offered.
    pub const ALL: [Self; 3] = [Self::Label, Self::Damage, Self::Other];

    /// Its key, as it is stored.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Label => "label",
            Self::Damage => "damage",
            Self::Other => "other",
        }
    }

    /// The one with this key.
    #[must_use]
    pub fn read(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|shows| shows.key() == key)
    }
}

/// A photograph as the log names it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Photo {
    /// SHA-256 of its bytes, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// How many bytes it has.
    pub n_bytes: u32,
    /// What it is of.
    pub shows: Shows,
}

/// A photograph that counts, with the entry that names it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Taken {
    /// The entry.
    pub entry: EntryId,
    /// What it was taken of.
    pub subject: Subject,
    /// The photograph.
    pub photo: Photo,
}

/// Why bytes are no photograph that is kept.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize, thiserror::Error)]
pub enum PhotoError {
    /// Not a JPEG file, or a damaged one.
    #[error("not a JPEG picture")]
    NotJpeg,
    /// More than [`MAX_BYTES`].
    #[error("{0} bytes are more than a photograph may have")]
    TooManyBytes(usize),
    /// A side longer than [`MAX_SIDE`].
    #[error("{0} by {1} pixels are more than a photograph may have")]
    TooManyPixels(u16, u16),
    /// Metadata: where and with what it was taken may be in it.
    #[error("it has metadata, which may say where it was taken")]
    Metadata,
    /// Its bytes are others than its name says.
    #[error("its SHA-256 is not the one in its name")]
    OtherBytes,
}

/// SHA-256 as 64 lower-case hexadecimal digits.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Whether a text is a SHA-256 as it is written here.
#[must_use]
pub fn is_sha256(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

/// Checks a photograph that comes in under the name of its SHA-256.
///
/// # Errors
/// [`PhotoError`].
pub fn check(name: &str, bytes: &[u8]) -> Result<(), PhotoError> {
    check_picture(bytes)?;
    if sha256(bytes) != name {
        return Err(PhotoError::OtherBytes);
    }
    Ok(())
}

/// Checks a photograph whose SHA-256 is known to be its name.
///
/// # Errors
/// [`PhotoError`], but [`PhotoError::OtherBytes`].
pub fn check_picture(bytes: &[u8]) -> Result<(), PhotoError> {
    if bytes.len() > MAX_BYTES {
        return Err(PhotoError::TooManyBytes(bytes.len()));
    }
    let jpeg = Jpeg::read(bytes).ok_or(PhotoError::NotJpeg)?;
    let (width, height) = jpeg.size;
    if u32::from(width.max(height)) > MAX_SIDE {
        return Err(PhotoError::TooManyPixels(width, height));
    }
    if !jpeg.metadata.is_empty() {
        return Err(PhotoError::Metadata);
    }
    Ok(())
}

/// The picture without metadata: every application segment and comment but those that say how to show it.
///
/// # Errors
/// [`PhotoError::NotJpeg`], or a picture that is too large.
pub fn bare(bytes: &[u8]) -> Result<Vec<u8>, PhotoError> {
    let jpeg = Jpeg::read(bytes).ok_or(PhotoError::NotJpeg)?;
    let mut plain = Vec::with_capacity(bytes.len());
    let mut at = 0;
    for (start, end) in jpeg.metadata {
        plain.extend_from_slice(&bytes[at..start]);
        at = end;
    }
    plain.extend_from_slice(&bytes[at..]);
    check(&sha256(&plain), &plain)?;
    Ok(plain)
}

/// The shape of a JPEG file: its size in pixels, and where metadata lies.
struct Jpeg {
    size: (u16, u16),
    metadata: Vec<(usize, usize)>,
}

impl Jpeg {
    /// Walks the segments, and the picture's data between them, up to the end of image.
    fn read(bytes: &[u8]) -> Option<Self> {
        if !bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            return None;
        }
        let (mut at, mut size, mut metadata) = (2, None, Vec::new());
        let mut has_data = false;
        loop {
            let [0xff, marker] = *bytes.get(at..at + 2)? else {
                return None;
            };
            if marker == 0xd9 {
                let size = size.filter(|(width, height)| has_data && *width > 0 && *height > 0)?;
                // What follows the picture is none of it.
                if at + 2 < bytes.len() {
                    metadata.push((at + 2, bytes.len()));
                }
                return Some(Self { size, metadata });
            }
            let [high, low] = *bytes.get(at + 2..at + 4)? else {
                return None;
            };
            let end = at + 2 + usize::from(u16::from_be_bytes([high, low]));
            let body = bytes.get(at + 4..end)?;
            match marker {
                // Start of frame, of any coding: precision, height, width.
                0xc0..=0xcf if !matches!(marker, 0xc4 | 0xc8 | 0xcc) => {
                    let [_, h1, h2, w1, w2, ..] = *body else {
                        return None;
                    };
                    size = Some((u16::from_be_bytes([w1, w2]), u16::from_be_bytes([h1, h2])));
                }
                // JFIF, a colour profile, and how colours are coded are needed to show it.
                0xe0 if body.starts_with(b"JFIF\0") => {}
                0xe2 if body.starts_with(b"ICC_PROFILE\0") => {}
                0xee if body.starts_with(b"Adobe") => {}
                0xe0..=0xef | 0xfe => metadata.push((at, end)),
                0xd8 => return None,
                _ => {}
            }
            at = end;
            if marker == 0xda {
                has_data = true;
                // In the data 0xff is followed by 0, by a restart marker, or by more of itself.
                let mut data = bytes.get(at..)?.windows(2);
                at += data.position(|pair| pair[0] == 0xff && !matches!(pair[1], 0 | 0xd0..=0xd7 | 0xff))?;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use proptest::prelude::*;

    use super::*;

    /// The shortest file with the shape of a JPEG: no decoder is asked here.
    fn jpeg(width: u16, height: u16, extra: &[(u8, &[u8])]) -> Vec<u8> {
        let mut bytes = vec![0xff, 0xd8];
        let segment = |bytes: &mut Vec<u8>, marker: u8, body: &[u8]| {
            let length = u16::try_from(body.len() + 2).unwrap().to_be_bytes();
            bytes.extend([0xff, marker]);
            bytes.extend(length);
            bytes.extend(body);
        };
        segment(&mut bytes, 0xe0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0");
        for (marker, body) in extra {
            segment(&mut bytes, *marker, body);
        }
        let [w, h] = [width.to_be_bytes(), height.to_be_bytes()];
        segment(&mut bytes, 0xc0, &[8, h[0], h[1], w[0], w[1], 1, 1, 0x11, 0]);
        segment(&mut bytes, 0xda, &[1, 1, 0, 0, 63, 0]);
        bytes.extend([0x12, 0xff, 0x00, 0x34, 0xff, 0xd9]);
        bytes
    }

    #[test]
    fn metadata_is_taken_out_and_what_shows_the_picture_stays() {
        let plain = jpeg(
            1600,
            1200,
            &[(0xe2, b"ICC_PROFILE\0\x01\x01profile"), (0xee, b"Adobe\0")],
        );
        assert_eq!(check(&sha256(&plain), &plain), Ok(()));
        let extra: [(u8, &[u8]); 6] = [
            (0xe1, b"Exif\0\0place"),
            (0xe2, b"ICC_PROFILE\0\x01\x01profile"),
            (0xee, b"Adobe\0"),
            (0xed, b"Photoshop"),
            (0xfe, b"a comment"),
            (0xe0, b"JFXX\0thumbnail"),
        ];
        let mut told = jpeg(1600, 1200, &extra);
        // A second picture behind the first, as some cameras write one.
        told.extend(jpeg(9, 9, &[]));
        assert_eq!(check(&sha256(&told), &told), Err(PhotoError::Metadata));
        assert_eq!(bare(&told).unwrap(), plain);
        assert_eq!(bare(&plain).unwrap(), plain);
    }

    #[test]
    fn what_is_no_photograph_is_refused_by_name() {
        let refused = |bytes: &[u8]| check(&sha256(bytes), bytes).unwrap_err();
        assert_eq!(refused(b""), PhotoError::NotJpeg);
        assert_eq!(
            refused(b"<svg xmlns='http://www.w3.org/2000/svg'/>"),
            PhotoError::NotJpeg
        );
        assert_eq!(refused(b"\x89PNG\r\n\x1a\n"), PhotoError::NotJpeg);
        assert_eq!(refused(&jpeg(0, 12, &[])), PhotoError::NotJpeg);
        assert_eq!(refused(&jpeg(1601, 12, &[])), PhotoError::TooManyPixels(1601, 12));
        assert_eq!(
            refused(&vec![0xff; MAX_BYTES + 1]),
            PhotoError::TooManyBytes(MAX_BYTES + 1)
        );
        let whole = jpeg(12, 12, &[]);
        for cut in 0..whole.len() {
            assert_eq!(refused(&whole[..cut]), PhotoError::NotJpeg, "cut at {cut}");
        }
        assert_eq!(check(&"0".repeat(64), &whole), Err(PhotoError::OtherBytes));
    }

    proptest! {
        #[test]
        fn any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..300), at in 0usize..50) {
            let mut broken = jpeg(9, 9, &[(0xe1, b"Exif")]);
            let end = broken.len().min(at + bytes.len());
            broken.splice(at..end, bytes.iter().copied());
            for bytes in [&bytes, &broken] {
                if let Ok(plain) = bare(bytes) {
                    prop_assert_eq!(check(&sha256(&plain), &plain), Ok(()));
                    prop_assert_eq!(bare(&plain), Ok(plain.clone()));
                }
            }
        }
    }
}
