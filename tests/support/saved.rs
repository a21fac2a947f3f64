//! Files that are kept beside the tests.

use std::io::Read;
use std::path::Path;

/// A saved file of these tests, by its path below `tests`.
///
/// # Panics
/// It is not there.
pub(crate) fn saved(path: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let mut bytes = Vec::new();
    std::fs::File::open(&path)
        .unwrap_or_else(|why| panic!("{}: {why}", path.display()))
        .read_to_end(&mut bytes)
        .unwrap();
    bytes
}
