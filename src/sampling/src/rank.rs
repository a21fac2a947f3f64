//! Ranks: the place of every box, and of every item in it, in one public random order.
//!
//! A rank is the SHA-256 (FIPS 180-4) of the seed, the purpose of the draw, the stratum and the unit's own immutable
//! identifier. It depends on nothing else, so adding, sorting or splitting a list changes nobody's rank, and anyone
//! who has the seed can draw again. Ordering units by such a permanent number and taking the first `n` is a simple
//! random sample without replacement (sequential simple random sampling with permanent random numbers; Ohlsson 1995,
//! from memory).
//!
//! The bytes hashed are exactly `"quarterlight-rank-1\n" + seed + "\n" + purpose + "\n" + stratum + "\n" + id`, in
//! UTF-8, without a final newline. In Python:
//!
//! ```text
//! hashlib.sha256("\n".join(["quarterlight-rank-1", seed, purpose, stratum, id]).encode()).hexdigest()
//! ```
//!
//! ```
//! use sampling::rank::rank;
//! // Golden vectors, made with the line of Python above.
//! let r = rank("3141", "boxes", "Room 1", "B0001").unwrap();
//! assert_eq!(r.to_string(), "ea55531ce40c14bf628d5e78d37c3c7ae66d7227217551ed4cfd81a72adb294f");
//! let r = rank("würfel 6 2 5", "items", "Bay 2/left", "B0412/7").unwrap();
//! assert_eq!(r.to_string(), "22ae6988c657e101a5d14cd08c80afe8396155a353326b1113850305f543f2a0");
//! ```

use core::fmt::{self, Write as _};
use sha2::{Digest, Sha256};
use std::collections::BinaryHeap;

/// The first field of what is hashed: which rule made the rank.
///
/// ```
/// use sha2::{Digest, Sha256};
/// use sampling::rank::{RANK_RULE, rank};
/// let hash: [u8; 32] = Sha256::digest(format!("{RANK_RULE}\n3141\nboxes\nRoom 1\nB0001")).into();
/// assert_eq!(rank("3141", "boxes", "Room 1", "B0001")?.0, hash);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub const RANK_RULE: &str = "quarterlight-rank-1";

/// A unit's place in the random order of its stratum: 256 bits, compared as a big-endian number.
///
/// ```
/// use sampling::rank::rank;
/// let made = rank("3141", "boxes", "Room 1", "B0001")?;
/// assert_eq!(made.to_string().len(), 64);
/// assert_ne!(made, rank("3141", "boxes", "Room 1", "B0002")?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rank(pub [u8; 32]);

impl fmt::Display for Rank {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for byte in self.0 {
            write!(f, "{byte:02x}")?;
        }
        Ok(())
    }
}

impl fmt::Debug for Rank {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Rank({self})")
    }
}

/// Why a rank was refused.
///
/// ```
/// use sampling::rank::{RankError, rank};
/// let why = rank("3141", "boxes", "Room 1\n", "B0001").unwrap_err();
/// assert_eq!(why, RankError::ControlCharacter { field: "stratum", code: 10, at: 6 });
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RankError {
    /// A field holds a control character; a line end among them would let two different fields hash alike.
    #[error("the {field} holds a control character (U+{code:04X}) at byte {at}")]
    ControlCharacter {
        /// Which field: `seed`, `purpose`, `stratum` or `id`.
        field: &'static str,
        /// The character's code point.
        code: u32,
        /// Its byte offset in the field.
        at: usize,
    },
}

fn refuse_controls(field: &'static str, text: &str) -> Result<(), RankError> {
    match text.char_indices().find(|(_, c)| c.is_control()) {
        Some((at, c)) => Err(RankError::ControlCharacter {
            field,
            code: u32::from(c),
            at,
        }),
        None => Ok(()),
    }
}

/// The rank of one unit.
///
/// ```
/// use sampling::rank::rank;
/// // Another seed, another order; the same one, the same for ever.
/// assert_eq!(rank("3141", "boxes", "Room 1", "B0001")?, rank("3141", "boxes", "Room 1", "B0001")?);
/// assert_ne!(rank("3141", "boxes", "Room 1", "B0001")?, rank("2718", "boxes", "Room 1", "B0001")?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`RankError::ControlCharacter`] if any field holds a control character (Unicode category Cc).
pub fn rank(seed: &str, purpose: &str, stratum: &str, id: &str) -> Result<Rank, RankError> {
    Ranks::new(seed, purpose, stratum)?.of(id)
}

/// The ranks of one stratum: what they have in common is hashed once.
///
/// ```
/// use sampling::rank::{Ranks, rank};
/// let ranks = Ranks::new("3141", "boxes", "Room 1")?;
/// assert_eq!(ranks.of("B0001")?, rank("3141", "boxes", "Room 1", "B0001")?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Ranks(Sha256);

impl Ranks {
    /// Of a seed, a purpose and a stratum.
    ///
    /// ```
    /// use sampling::rank::Ranks;
    /// assert!(Ranks::new("3141", "boxes", "Room 1").is_ok());
    /// assert!(Ranks::new("3141\n", "boxes", "Room 1").is_err());
    /// ```
    ///
    /// # Errors
    /// As [`rank`].
    pub fn new(seed: &str, purpose: &str, stratum: &str) -> Result<Self, RankError> {
        refuse_controls("seed", seed)?;
        refuse_controls("purpose", purpose)?;
        refuse_controls("stratum", stratum)?;
        let mut hash = Sha256::new();
        for field in [RANK_RULE, seed, purpose, stratum] {
            hash.update(field.as_bytes());
            hash.update(b"\n");
        }
        Ok(Self(hash))
    }

    /// The rank of one unit.
    ///
    /// ```
    /// # use sampling::rank::Ranks;
    /// let ranks = Ranks::new("3141", "boxes", "Room 1")?;
    /// assert_ne!(ranks.of("B0001")?, ranks.of("B0002")?);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`rank`].
    pub fn of(&self, id: &str) -> Result<Rank, RankError> {
        refuse_controls("id", id)?;
        Ok(Rank(self.0.clone().chain_update(id).finalize().into()))
    }
}

/// The ranks of many units of one stratum, in rank order; equal ranks (the same identifier twice) in order of identifier.
///
/// ```
/// use sampling::rank::order;
/// let few = order("3141", "boxes", "Room 1", &["B1", "B2", "B3"])?;
/// let more = order("3141", "boxes", "Room 1", &["B1", "B2", "B3", "B4"])?;
/// // A fourth box moves none of the others.
/// let kept: Vec<_> = more.into_iter().filter(|(_, id)| id != "B4").collect();
/// assert_eq!(few, kept);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`rank`].
pub fn order<S: AsRef<str>>(
    seed: &str,
    purpose: &str,
    stratum: &str,
    ids: &[S],
) -> Result<Vec<(Rank, String)>, RankError> {
    if ids.is_empty() {
        return Ok(Vec::new());
    }
    let ranks = Ranks::new(seed, purpose, stratum)?;
    let mut ranked = Vec::with_capacity(ids.len());
    for id in ids {
        let id = id.as_ref();
        ranked.push((ranks.of(id)?, id.to_owned()));
    }
    ranked.sort_unstable();
    Ok(ranked)
}

/// Which items of a box are drawn: positions counted from 1, ascending.
///
/// Position `j` is ranked by the identifier `"{box_id}/{j}"`; the `k` lowest ranks are drawn, all when `k >= items`.
/// The draw of a box depends on nothing but the seed, its stratum, its identifier and its number of items, and a larger
/// `k` draws a superset. It takes one hash an item: numbers of items want a limit before they come here.
///
/// ```
/// use sampling::rank::choose;
/// let four = choose("3141", "items", "Room 1", "B0001", 20, 4).unwrap();
/// let six = choose("3141", "items", "Room 1", "B0001", 20, 6).unwrap();
/// assert!(four.iter().all(|position| six.contains(position)));
/// assert_eq!(choose("3141", "items", "Room 1", "B0001", 3, 6).unwrap(), [1, 2, 3]);
/// ```
///
/// # Errors
/// As [`rank`].
pub fn choose(
    seed: &str,
    purpose: &str,
    stratum: &str,
    box_id: &str,
    items: u32,
    k: u32,
) -> Result<Vec<u32>, RankError> {
    refuse_controls("id", box_id)?;
    if k >= items {
        return Ok((1..=items).collect());
    }
    let ranks = Ranks::new(seed, purpose, stratum)?;
    let mut id = format!("{box_id}/");
    // The k lowest so far, the highest of them on top: memory for k, however many items a box is said to hold.
    let mut lowest = BinaryHeap::with_capacity(k.min(4096) as usize + 1);
    for position in 1..=items {
        id.truncate(box_id.len() + 1);
        // Cannot fail: a text takes what is written to it.
        let _ = write!(id, "{position}");
        lowest.push((ranks.of(&id)?, position));
        if lowest.len() > k as usize {
            lowest.pop();
        }
    }
    let mut drawn: Vec<u32> = lowest.into_iter().map(|(_, position)| position).collect();
    drawn.sort_unstable();
    Ok(drawn)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_end_in_any_field_is_refused() {
        for (field, made) in [
            ("seed", rank("1\n2", "p", "s", "i")),
            ("purpose", rank("1", "p\r", "s", "i")),
            ("stratum", rank("1", "p", "s\t", "i")),
            ("id", rank("1", "p", "s", "i\u{85}")),
        ] {
            let Err(RankError::ControlCharacter { field: named, .. }) = made else {
                panic!("{field} accepted")
            };
            assert_eq!(named, field);
        }
        assert!(choose("1", "p", "s", "b\n", 1, 1).is_err());
    }

    #[test]
    fn no_unit_moves_another() {
        let few = order("7", "boxes", "A", &["B2", "B1", "B3"]).unwrap();
        let many = order("7", "boxes", "A", &["B9", "B3", "B1", "B2", "B8"]).unwrap();
        let kept: Vec<_> = many
            .into_iter()
            .filter(|(_, id)| ["B1", "B2", "B3"].contains(&id.as_str()))
            .collect();
        assert_eq!(few, kept);
    }

    #[test]
    fn choose_draws_the_lowest_ranks() {
        let all = order(
            "7",
            "items",
            "A",
            &(1..=12).map(|j| format!("B1/{j}")).collect::<Vec<_>>(),
        )
        .unwrap();
        let mut lowest: Vec<u32> = all[..5].iter().map(|(_, id)| id[3..].parse().unwrap()).collect();
        lowest.sort_unstable();
        assert_eq!(choose("7", "items", "A", "B1", 12, 5).unwrap(), lowest);
    }
}
