//! Every public item of the crate shows how it is used, in an example that asserts something.
//!
//! The sources are walked line by line: `pub` items of public or private modules alike, since what a module hides is `pub(crate)` or less
//! (a lint holds that). Not asked for: modules (their items have examples), fields, variants and implementations of traits.
#![allow(clippy::disallowed_methods, reason = "reads the crate's own sources")]

use std::fs;
use std::path::{Path, PathBuf};

const KINDS: [&str; 8] = [
    "fn", "const fn", "struct", "enum", "trait", "type", "const", "static",
];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The name of the item that a line declares.
fn declared(line: &str) -> Option<&str> {
    let rest = line.strip_prefix("pub ")?;
    let after = KINDS
        .iter()
        .find_map(|kind| rest.strip_prefix(kind)?.strip_prefix(' '))?;
    after.split(|c: char| !c.is_alphanumeric() && c != '_').next()
}

/// Lines that declare a public item without an example before them, and how many there are of all.
fn lacking(text: &str) -> (Vec<String>, usize) {
    let (mut lacking, mut all) = (Vec::new(), 0);
    let mut docs = String::new();
    let mut attribute = false;
    for (at, line) in text.lines().enumerate() {
        let line = line.trim();
        if line == "#[cfg(test)]" {
            break;
        }
        if let Some(doc) = line.strip_prefix("///") {
            docs.push_str(doc);
            docs.push('\n');
            continue;
        }
        // An attribute may go on for lines.
        if attribute || line.starts_with("#[") {
            attribute = !line.ends_with(']');
            continue;
        }
        if let Some(name) = declared(line) {
            all += 1;
            let examples: String = docs.split("```").skip(1).step_by(2).collect();
            if !examples.contains("assert") {
                lacking.push(format!("line {}: {name}", at + 1));
            }
        }
        docs.clear();
    }
    (lacking, all)
}

#[test]
fn every_public_item_has_an_example() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let (mut missing, mut all) = (Vec::new(), 0);
    for path in sources(&folder) {
        let (own, items) = lacking(&fs::read_to_string(&path).expect("a source"));
        all += items;
        missing.extend(own.into_iter().map(|item| format!("{}, {item}", path.display())));
    }
    assert!(
        all > 200,
        "only {all} public items were found: does the walk still read them?"
    );
    assert!(
        missing.is_empty(),
        "without an example that asserts:\n{}",
        missing.join("\n")
    );
}

#[test]
fn the_walk_sees_what_is_missing() {
    let text = "/// Doubles.\n///\n/// ```\n/// assert_eq!(twice(2), 4);\n/// ```\n#[must_use]\n#[allow(\n    unused\n)]\n\
                pub fn twice() {}\n/// Halves: `assert` nothing.\n///\n/// ```text\n/// x / 2\n/// ```\npub const fn half() {}\n\
                pub(crate) fn hidden() {}\n";
    assert_eq!(lacking(text), (vec!["line 16: half".to_owned()], 2));
}
