//! A survey file sealed with a passphrase, in the format `age-encryption.org/v1` with one scrypt recipient (C2SP's
//! specification "The age file encryption format"): whoever has any age program and the passphrase can open it.
//!
//! Written out here over the primitives of the `RustCrypto` crates: the crate `age` brings 150 others and 273 KB of
//! WebAssembly for recipients and languages that are not used here. `tests/handover/test_sealed.py` opens what is
//! sealed here with the `age` program and the other way round.
//!
//! The passphrase is all there is: without it the file is lost, and nobody can help.

use chacha20poly1305::aead::{Aead, KeyInit};
use chacha20poly1305::{ChaCha20Poly1305, Nonce};
use hkdf::Hkdf;
use hmac::{Hmac, Mac};
use sha2::Sha256;

use crate::zip::MAX_FILE_BYTES;

/// How a sealed file begins.
pub const MAGIC: &[u8] = b"age-encryption.org/v1\n";
/// The work that is asked of whoever guesses: scrypt with N = 2^15, 32 MiB and a tenth of a second at a desk.
pub const WORK: u8 = 15;
/// The most work that is done to open a file at a desk: N = 2^20, 1 GiB. Other programs seal with what takes them a second.
pub const MOST_WORK: u8 = 20;
/// The most that a phone does: 64 MiB.
pub const MOST_WORK_OF_A_PHONE: u8 = 16;

const LABEL: &[u8] = b"age-encryption.org/v1/scrypt";
const CHUNK: usize = 64 << 10;
const TAG: usize = 16;
/// How much of the contents is sealed at a time where they are not all at hand: 4 MiB.
pub const PART: usize = 64 * CHUNK;
/// The longest header that is looked at.
const MAX_HEADER: usize = 1_024;

/// Randomness for one sealing; never used twice.
#[derive(Clone, serde::Serialize, serde::Deserialize)]
pub struct Fresh {
    /// The key of the file.
    pub key: [u8; 16],
    /// The salt of the passphrase.
    pub salt: [u8; 16],
    /// The nonce of the contents.
    pub nonce: [u8; 16],
}

/// Why a sealed file was not opened, or nothing was sealed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize, thiserror::Error)]
pub enum SealError {
    /// It does not begin as a sealed file does.
    #[error("this is no sealed file")]
    NotSealed,
    /// It is sealed for other recipients than a passphrase, or its header is damaged.
    #[error("not sealed with a passphrase, or its header was changed")]
    BadHeader,
    /// It asks for more work than is done here.
    #[error("it asks for the work of 2^{asked}; at most 2^{most} is done here")]
    TooMuchWork {
        /// What it asks, as a power of two.
        asked: u8,
        /// The most that is done.
        most: u8,
    },
    /// The passphrase does not open it.
    #[error("the passphrase does not fit")]
    WrongPassphrase,
    /// The header is right and the contents are not: cut short, or changed.
    #[error("the sealed contents are cut short or were changed")]
    Damaged,
    /// Larger than a survey file may be.
    #[error("larger than a survey file may be")]
    TooLarge,
    /// A passphrase with nothing in it.
    #[error("the passphrase is empty")]
    NoPassphrase,
}

/// Whether bytes begin as a sealed file does.
#[must_use]
pub fn is_sealed(bytes: &[u8]) -> bool {
    bytes.starts_with(MAGIC)
}

/// Seals bytes.
///
/// # Errors
/// [`SealError::NoPassphrase`], [`SealError::TooLarge`].
pub fn seal(bytes: &[u8], passphrase: &str, fresh: &Fresh) -> Result<Vec<u8>, SealError> {
    seal_with(bytes, passphrase, fresh, WORK)
}

/// Seals bytes with a work factor of `2^work`, where [`WORK`] does not fit: a weaker one is sooner guessed.
///
/// # Errors
/// [`SealError::NoPassphrase`], [`SealError::TooLarge`].
pub fn seal_with(bytes: &[u8], passphrase: &str, fresh: &Fresh, work: u8) -> Result<Vec<u8>, SealError> {
    if bytes.len() > MAX_FILE_BYTES {
        return Err(SealError::TooLarge);
    }
    let mut sealed = head_with(passphrase, fresh, work)?;
    sealed.extend_from_slice(&seal_part(bytes, 0, true, fresh)?);
    Ok(sealed)
}

/// What stands before the contents of a sealed file; [`seal_part`] makes what follows.
///
/// # Errors
/// [`SealError::NoPassphrase`].
pub fn head(passphrase: &str, fresh: &Fresh) -> Result<Vec<u8>, SealError> {
    head_with(passphrase, fresh, WORK)
}

fn head_with(passphrase: &str, fresh: &Fresh, work: u8) -> Result<Vec<u8>, SealError> {
    if passphrase.is_empty() {
        return Err(SealError::NoPassphrase);
    }
    let wrapping = cipher(&stretched(passphrase, &fresh.salt, work).ok_or(SealError::BadHeader)?);
    let wrapped = wrapping
        .encrypt(&Nonce::default(), fresh.key.as_slice())
        .map_err(|_| SealError::BadHeader)?;
    let mut head = MAGIC.to_vec();
    head.extend_from_slice(
        format!(
            "-> scrypt {} {work}\n{}\n---",
            base64(&fresh.salt),
            base64(&wrapped)
        )
        .as_bytes(),
    );
    let code = base64(&header_code(&fresh.key, &head).finalize().into_bytes());
    head.extend_from_slice(format!(" {code}\n").as_bytes());
    head.extend_from_slice(&fresh.nonce);
    Ok(head)
}

/// Seals the `number`th part of the contents, counted from 0: each but the last has [`PART`] bytes.
///
/// # Errors
/// [`SealError::TooLarge`].
pub fn seal_part(part: &[u8], number: u64, is_last: bool, fresh: &Fresh) -> Result<Vec<u8>, SealError> {
    let contents = cipher(&derived(&fresh.key, &fresh.nonce, b"payload"));
    let mut sealed = Vec::with_capacity(part.len() + (part.len() / CHUNK + 1) * TAG);
    let mut chunks = part.chunks(CHUNK);
    let mut chunk_number = number * (PART / CHUNK) as u64;
    // The contents' last chunk may be empty only where they have nothing else.
    let mut chunk = chunks.next().unwrap_or_default();
    loop {
        let next = chunks.next();
        let done = contents
            .encrypt(&nonce(chunk_number, is_last && next.is_none()), chunk)
            .map_err(|_| SealError::TooLarge)?;
        sealed.extend_from_slice(&done);
        chunk_number += 1;
        match next {
            Some(next) => chunk = next,
            None => return Ok(sealed),
        }
    }
}

/// Opens a sealed file, doing at most the work of `2^most_work`.
///
/// # Errors
/// [`SealError`]; nothing of the contents is given out then.
pub fn unseal(bytes: &[u8], passphrase: &str, most_work: u8) -> Result<Vec<u8>, SealError> {
    let header = Header::read(bytes)?;
    if header.work > most_work {
        let (asked, most) = (header.work, most_work);
        return Err(SealError::TooMuchWork { asked, most });
    }
    let body = bytes.get(header.length..).ok_or(SealError::Damaged)?;
    if body.len() > MAX_FILE_BYTES + MAX_FILE_BYTES / CHUNK * TAG + CHUNK {
        return Err(SealError::TooLarge);
    }
    let stretched = stretched(passphrase, &header.salt, header.work).ok_or(SealError::BadHeader)?;
    let key = cipher(&stretched)
        .decrypt(&Nonce::default(), header.wrapped.as_slice())
        .map_err(|_| SealError::WrongPassphrase)?;
    let key: [u8; 16] = key.try_into().map_err(|_| SealError::BadHeader)?;
    header_code(&key, &bytes[..header.coded])
        .verify_slice(&header.code)
        .map_err(|_| SealError::BadHeader)?;
    let (first, mut rest) = body.split_at_checked(16).ok_or(SealError::Damaged)?;
    let contents = cipher(&derived(&key, first, b"payload"));
    let mut opened = Vec::with_capacity(rest.len());
    let mut number = 0;
    loop {
        let (chunk, behind) = rest.split_at(rest.len().min(CHUNK + TAG));
        let is_last = behind.is_empty();
        let piece = contents
            .decrypt(&nonce(number, is_last), chunk)
            .map_err(|_| SealError::Damaged)?;
        // An empty piece is the whole of an empty file, and nothing else.
        if piece.is_empty() && number > 0 {
            return Err(SealError::Damaged);
        }
        opened.extend_from_slice(&piece);
        if is_last {
            return Ok(opened);
        }
        (rest, number) = (behind, number + 1);
    }
}

struct Header {
    salt: [u8; 16],
    work: u8,
    wrapped: Vec<u8>,
    code: Vec<u8>,
    /// Up to and with `---`: what the code is of.
    coded: usize,
    /// Where the contents begin.
    length: usize,
}

impl Header {
    /// Four lines: the version, the recipient, the wrapped key, the code.
    fn read(bytes: &[u8]) -> Result<Self, SealError> {
        if !is_sealed(bytes) {
            return Err(SealError::NotSealed);
        }
        let bad = SealError::BadHeader;
        let looked_at = &bytes[..bytes.len().min(MAX_HEADER)];
        let ends: Vec<usize> = (0..looked_at.len())
            .filter(|at| looked_at[*at] == b'\n')
            .take(4)
            .collect();
        let [first, second, third, fourth] = ends[..] else {
            return Err(bad);
        };
        let line = |from: usize, to: usize| std::str::from_utf8(&bytes[from + 1..to]).map_err(|_| bad);
        let (recipient, wrapped, last) = (line(first, second)?, line(second, third)?, line(third, fourth)?);
        let (salt, work) = recipient
            .strip_prefix("-> scrypt ")
            .and_then(|words| words.split_once(' '))
            .ok_or(bad)?;
        let work: u8 = match work.as_bytes() {
            [b'1'..=b'9'] | [b'1'..=b'9', b'0'..=b'9'] => work.parse().map_err(|_| bad)?,
            _ => return Err(bad),
        };
        let wrapped = unbase64(wrapped)
            .filter(|wrapped| wrapped.len() == 16 + TAG)
            .ok_or(bad)?;
        let code = last
            .strip_prefix("--- ")
            .and_then(unbase64)
            .filter(|code| code.len() == 32);
        Ok(Self {
            salt: unbase64(salt).and_then(|salt| salt.try_into().ok()).ok_or(bad)?,
            work,
            wrapped,
            code: code.ok_or(bad)?,
            coded: third + 1 + 3,
            length: fourth + 1,
        })
    }
}

fn cipher(key: &[u8; 32]) -> ChaCha20Poly1305 {
    ChaCha20Poly1305::new(&(*key).into())
}

/// The passphrase made slow to guess; `None` for work that scrypt has no parameters for.
fn stretched(passphrase: &str, salt: &[u8; 16], work: u8) -> Option<[u8; 32]> {
    let parameters = scrypt::Params::new(work, 8, 1).ok()?;
    let mut key = [0; 32];
    let salt = [LABEL, salt].concat();
    scrypt::scrypt(passphrase.as_bytes(), &salt, &parameters, &mut key).ok()?;
    Some(key)
}

fn derived(key: &[u8; 16], salt: &[u8], what: &[u8]) -> [u8; 32] {
    let mut made = [0; 32];
    // 32 bytes are far below what HKDF can give.
    let _ = Hkdf::<Sha256>::new(Some(salt), key).expand(what, &mut made);
    made
}

fn header_code(key: &[u8; 16], header: &[u8]) -> Hmac<Sha256> {
    let mut code = <Hmac<Sha256> as hmac::KeyInit>::new_from_slice(&derived(key, &[], b"header"))
        .unwrap_or_else(|_| <Hmac<Sha256> as hmac::KeyInit>::new(&Default::default()));
    code.update(header);
    code
}

/// Eleven bytes of a counter, and one that says whether it is the last piece.
fn nonce(number: u64, is_last: bool) -> Nonce {
    let mut nonce = [0; 12];
    nonce[3..11].copy_from_slice(&number.to_be_bytes());
    nonce[11] = u8::from(is_last);
    nonce.into()
}

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Base64 of RFC 4648 without padding.
fn base64(bytes: &[u8]) -> String {
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let bits = (0..3).fold(0, |bits, at| {
            bits << 8 | u32::from(three.get(at).copied().unwrap_or(0))
        });
        for at in 0..=three.len() {
            let six = (bits >> (18 - 6 * at)) & 63;
            text.push(char::from(ALPHABET[six as usize]));
        }
    }
    text
}

/// The bytes of a text that [`base64`] wrote; of no other spelling.
fn unbase64(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    for four in text.as_bytes().chunks(4) {
        let mut bits = 0u32;
        for at in 0..4 {
            let six = match four.get(at) {
                Some(byte) => ALPHABET.iter().position(|known| known == byte)?,
                None => 0,
            };
            bits = bits << 6 | u32::try_from(six).ok()?;
        }
        bytes.extend_from_slice(&bits.to_be_bytes()[1..four.len()]);
    }
    (base64(&bytes) == text).then_some(bytes)
}

/// Sounds of a passphrase that is made here: told apart by ear and by eye.
const CONSONANTS: &[u8; 16] = b"bdfghjklmnprstvz";
const VOWELS: &[u8; 4] = b"aeio";
/// Words of two sounds each; six bits a sound, 84 bits in all.
const WORDS: usize = 7;

/// A passphrase of seven words that mean nothing, from randomness that is handed in: 84 bits of it are used.
#[must_use]
pub fn passphrase(random: [u8; 16]) -> String {
    let sound = |byte: u8| {
        let consonant = CONSONANTS[usize::from(byte >> 2 & 15)];
        [char::from(consonant), char::from(VOWELS[usize::from(byte & 3)])]
    };
    let words = random.chunks(2).take(WORDS);
    let words: Vec<String> = words
        .map(|two| two.iter().flat_map(|byte| sound(*byte)).collect())
        .collect();
    words.join("-")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn fresh() -> Fresh {
        Fresh {
            key: [1; 16],
            salt: [2; 16],
            nonce: [3; 16],
        }
    }

    /// With little work: what is done without optimisation takes long enough.
    fn sealed(bytes: &[u8], passphrase: &str) -> Result<Vec<u8>, SealError> {
        seal_with(bytes, passphrase, &fresh(), 10)
    }

    #[test]
    fn what_is_sealed_opens_with_its_passphrase_and_no_other() {
        for length in [0, 1, CHUNK - 1, CHUNK, CHUNK + 1, 2 * CHUNK] {
            let bytes: Vec<u8> = (0..length).map(|at| at.to_le_bytes()[0]).collect();
            let sealed = sealed(&bytes, "bako-timi").unwrap();
            assert!(is_sealed(&sealed));
            assert_eq!(unseal(&sealed, "bako-timi", WORK), Ok(bytes));
            assert_eq!(
                unseal(&sealed, "bako-timo", WORK),
                Err(SealError::WrongPassphrase)
            );
        }
        assert_eq!(seal(b"x", "", &fresh()), Err(SealError::NoPassphrase));
    }

    #[test]
    fn every_cut_and_a_change_of_any_part_is_refused() {
        let bytes = vec![7; CHUNK + 100];
        let sealed = sealed(&bytes, "p").unwrap();
        let header = sealed.windows(4).position(|part| part == b"--- ").unwrap() + 48;
        for length in [
            0,
            5,
            22,
            40,
            header - 1,
            header,
            header + 15,
            header + 16,
            header + 16 + CHUNK + TAG,
            sealed.len() - 1,
        ] {
            assert!(unseal(&sealed[..length], "p", WORK).is_err(), "cut at {length}");
        }
        for at in [
            0,
            25,
            35,
            60,
            80,
            110,
            140,
            header,
            header + 20,
            header + 16 + CHUNK,
            sealed.len() - 1,
        ] {
            let mut changed = sealed.clone();
            changed[at] ^= 1;
            assert!(unseal(&changed, "p", WORK).is_err(), "changed at {at}");
        }
        let longer = [sealed.as_slice(), b"x"].concat();
        assert_eq!(unseal(&longer, "p", WORK), Err(SealError::Damaged));
    }

    #[test]
    fn a_header_that_asks_too_much_or_is_spelt_otherwise_is_refused_before_any_work() {
        let sealed = String::from_utf8_lossy(&sealed(b"", "p").unwrap()[..150]).into_owned();
        let with = |from: &str, to: &str| unseal(sealed.replace(from, to).as_bytes(), "p", WORK);
        let (asked, most) = (30, WORK);
        assert_eq!(
            with(" 10\n", " 30\n"),
            Err(SealError::TooMuchWork { asked, most })
        );
        for work in [" 010\n", " +10\n", " 0\n", " 999\n", " 10 \n", " -1\n", "\n"] {
            assert_eq!(with(" 10\n", work), Err(SealError::BadHeader), "{work:?}");
        }
        assert_eq!(with("scrypt", "X25519"), Err(SealError::BadHeader));
        assert_eq!(
            with("age-encryption.org/v1", "age-encryption.org/v2"),
            Err(SealError::NotSealed)
        );
    }

    #[test]
    fn base64_is_that_of_the_rfc() {
        // RFC 4648, section 10, without padding.
        for (bytes, text) in [
            ("", ""),
            ("f", "Zg"),
            ("fo", "Zm8"),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg"),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(bytes.as_bytes()), text);
            assert_eq!(unbase64(text).as_deref(), Some(bytes.as_bytes()));
        }
        for text in ["Zh", "Z", "Zg==", "Zm9", "Zm 8"] {
            assert_eq!(unbase64(text), None, "{text}");
        }
    }

    #[test]
    fn a_passphrase_has_eighty_four_bits_and_each_of_them_counts() {
        assert_eq!(passphrase([0; 16]), "baba-baba-baba-baba-baba-baba-baba");
        let mut all = std::collections::BTreeSet::new();
        for bit in 0..14 * 6 {
            let mut random = [0; 16];
            random[bit / 6] = 1 << (bit % 6);
            all.insert(passphrase(random));
        }
        assert_eq!(all.len(), 84);
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..200), cut in 0..200usize) {
            drop(unseal(&bytes, "p", 1));
            let sealed = sealed(&bytes, "p").unwrap();
            drop(unseal(&sealed[..cut.min(sealed.len())], "p", 1));
            drop(unseal(&[MAGIC, &bytes].concat(), "p", 1));
        }
    }
}
