//! Survey files taken apart and packed again with right checksums, as somebody who knows the format could.

use std::collections::BTreeMap;
use std::fmt::Write;

use sha2::{Digest, Sha256};

/// The files of a survey file, by their names in its base folder, and the name of that folder.
///
/// # Panics
/// It is no zip that the program reads.
pub(crate) fn unpacked(file: &[u8]) -> (String, BTreeMap<String, Vec<u8>>) {
    let mut base = String::new();
    let mut files = BTreeMap::new();
    for (name, bytes) in handover::zip::read(file).unwrap() {
        let (folder, inside) = name.split_once('/').unwrap();
        folder.clone_into(&mut base);
        files.insert(inside.to_owned(), bytes.to_vec());
    }
    (base, files)
}

/// Packs files into a bag whose every checksum holds; `None` if a name or a size is refused.
pub(crate) fn packed(base: &str, mut files: BTreeMap<String, Vec<u8>>) -> Option<Vec<u8>> {
    let payload = |name: &str| name.starts_with("data/");
    let octets: usize = files
        .iter()
        .filter(|(name, _)| payload(name))
        .map(|(_, bytes)| bytes.len())
        .sum();
    let count = files.keys().filter(|name| payload(name)).count();
    let info = files.get("bag-info.txt").cloned().unwrap_or_default();
    let info: String = String::from_utf8_lossy(&info)
        .lines()
        .map(|line| match line.split_once(": ") {
            Some(("Payload-Oxum", _)) => format!("Payload-Oxum: {octets}.{count}\n"),
            _ => format!("{line}\n"),
        })
        .collect();
    files.insert("bag-info.txt".to_owned(), info.into_bytes());
    files.remove("manifest-sha256.txt");
    files.remove("tagmanifest-sha256.txt");
    let manifest = sums(files.iter().filter(|(name, _)| payload(name)));
    files.insert("manifest-sha256.txt".to_owned(), manifest);
    let tags = sums(files.iter().filter(|(name, _)| !payload(name)));
    files.insert("tagmanifest-sha256.txt".to_owned(), tags);
    let placed = files
        .into_iter()
        .map(|(name, bytes)| (format!("{base}/{name}"), bytes));
    handover::zip::write(&placed.collect()).ok()
}

fn sums<'a>(files: impl Iterator<Item = (&'a String, &'a Vec<u8>)>) -> Vec<u8> {
    let mut text = String::new();
    for (name, bytes) in files {
        for byte in Sha256::digest(bytes) {
            let _ = write!(text, "{byte:02x}");
        }
        let _ = writeln!(text, "  {name}");
    }
    text.into_bytes()
}
