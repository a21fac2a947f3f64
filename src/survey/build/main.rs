//! Names what a state follows from besides its log: the code of the fold and the knowledge it asks. A snapshot that other
//! code made is not taken.
#![allow(clippy::disallowed_methods, reason = "a build script lives with files")]

use std::path::{Path, PathBuf};
use std::process::exit;

/// The crates a state follows from.
const SOURCES: [&str; 6] = [
    "src",
    "build",
    "../tape/src",
    "../tape/build",
    "../tape/knowledge",
    "../sampling/src",
];

fn main() {
    let mut files = Vec::new();
    for folder in SOURCES {
        println!("cargo::rerun-if-changed={folder}");
        if let Err(why) = below(Path::new(folder), &mut files) {
            println!("cargo::error={folder} cannot be read: {why}");
            exit(1);
        }
    }
    files.sort();
    let mut hash = Fnv::new();
    for file in &files {
        match std::fs::read(file) {
            Ok(bytes) => {
                hash.add(file.to_string_lossy().replace('\\', "/").as_bytes());
                hash.add(&bytes);
            }
            Err(why) => {
                println!("cargo::error={} cannot be read: {why}", file.display());
                exit(1);
            }
        }
    }
    println!("cargo::rustc-env=SURVEY_FOLD={:016x}", hash.0);
}

fn below(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            below(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}

/// FNV-1a, 64 bits (its published constants, from memory): it tells versions apart and guards nothing.
struct Fnv(u64);

impl Fnv {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn add(&mut self, bytes: &[u8]) {
        // The length keeps neighbours apart.
        for byte in bytes.iter().chain(&bytes.len().to_le_bytes()) {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}
