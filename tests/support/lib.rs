//! What several checks share.
#![allow(clippy::unwrap_used, reason = "what cannot be made is a failed test")]

pub mod packing;

use std::io::Read;
use std::path::Path;

/// A saved file of these tests, by its path below `tests`.
///
/// # Panics
/// It is not there.
#[must_use]
pub fn saved(path: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let mut bytes = Vec::new();
    std::fs::File::open(&path)
        .unwrap_or_else(|why| panic!("{}: {why}", path.display()))
        .read_to_end(&mut bytes)
        .unwrap();
    bytes
}
