//! Whether every crate that goes into the app or the desk program may be shipped with it.

use crate::{Outcome, house, run, wasm};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Licences that ask for no more than their text to be kept.
const FINE: [&str; 14] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "Zlib",
    "0BSD",
    "CC0-1.0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
];

pub(crate) fn command() -> Outcome {
    let mut command = run::cargo()?;
    command.args([
        "tree",
        "--locked",
        "--workspace",
        "--prefix",
        "none",
        "--format",
        "{p}|{l}",
        "--edges",
        "normal,build",
    ]);
    command.args(["--target", "all"]);
    let tree = run::answer(&mut command).ok_or("cargo tree gives no licences: is Cargo.lock current?")?;
    let mut faults: Vec<String> = Vec::new();
    let mut count = 0;
    for line in tree.lines() {
        let Some((package, licence)) = line.split_once('|') else {
            continue;
        };
        // A package that was listed in full above is marked, and judged there.
        let licence = licence.trim_end_matches(" (*)");
        count += 1;
        if !is_fine(licence) {
            faults.push(format!(
                "{package}: {}",
                if licence.is_empty() {
                    "no licence named"
                } else {
                    licence
                }
            ));
        }
    }
    faults.sort();
    faults.dedup();
    if count == 0 {
        return Err("cargo tree named no package.".to_string());
    }
    if faults.is_empty() {
        let path = written()?;
        println!(
            "   licences: every dependency may be shipped; what they ask to be told is in {}",
            path.display()
        );
        return Ok(());
    }
    Err(format!(
        "these may not be shipped, or their licence has to be looked at:\n- {}",
        faults.join("\n- ")
    ))
}

/// Writes the notices for the site; gives their file.
pub(crate) fn written() -> Outcome<PathBuf> {
    let path = house::target()?.join("licences.txt");
    house::write(&path, notices()?.as_bytes())?;
    Ok(path)
}

/// The notices that the licences of the app's dependencies ask to be passed on with it, each text once.
fn notices() -> Outcome<String> {
    let mut command = run::cargo()?;
    command.args([
        "tree",
        "--locked",
        "--package",
        "field",
        "--prefix",
        "none",
        "--edges",
        "normal",
    ]);
    command.args(["--target", wasm::TARGET, "--format", "{p}|{l}"]);
    let tree = run::answer(&mut command).ok_or("cargo tree gives no licences: is Cargo.lock current?")?;
    let sources = sources()?;
    let mut by_text: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut without = Vec::new();
    for line in tree.lines() {
        let Some((package, licence)) = line.split_once('|') else {
            continue;
        };
        let mut words = package.split_whitespace();
        let (Some(name), Some(version)) = (words.next(), words.next()) else {
            continue;
        };
        // Our own crates have a folder as their third word.
        if words
            .next()
            .is_some_and(|word| word.contains('/') || word.contains('\\'))
        {
            continue;
        }
        let crate_name = format!("{name} {}", version.trim_start_matches('v'));
        let folder = crate_name.replace(' ', "-");
        match sources
            .iter()
            .find_map(|source| licence_text(&source.join(&folder)))
        {
            Some(text) => by_text.entry(text).or_default().extend([crate_name]),
            None => without.push(format!("{crate_name}: {}", licence.trim_end_matches(" (*)"))),
        }
    }
    let mut page = String::from(
        "Quarterlight is licensed under MIT or Apache-2.0, at your choice. It contains the Rust standard library (MIT or \
         Apache-2.0) and the crates below, used under these licences.\n",
    );
    for (text, crates) in &by_text {
        page.push_str(&format!(
            "\n---- {} ----\n\n{}\n",
            Vec::from_iter(crates.iter().map(String::as_str)).join(", "),
            text.trim()
        ));
    }
    without.sort();
    without.dedup();
    if !without.is_empty() {
        page.push_str(&format!(
            "\n---- Crates that ship no licence text, and what they declare ----\n\n{}\n",
            without.join("\n")
        ));
    }
    Ok(page)
}

/// The folders in which cargo keeps the sources of crates.
fn sources() -> Outcome<Vec<PathBuf>> {
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| std::env::home_dir().map(|folder| folder.join(".cargo")));
    let folder = home
        .ok_or("there is no home folder to find cargo's sources in.")?
        .join("registry/src");
    let entries =
        std::fs::read_dir(&folder).map_err(|why| format!("{} cannot be read: {why}", folder.display()))?;
    Ok(entries.flatten().map(|entry| entry.path()).collect())
}

/// A crate's licence files; where MIT's is there, Apache's long one is the choice not taken.
fn licence_text(folder: &Path) -> Option<String> {
    let is_licence = |name: &String| {
        let upper = name.to_uppercase();
        let starts = ["LICENSE", "LICENCE", "COPYING", "NOTICE", "UNLICENSE"];
        !name.contains('/') && starts.iter().any(|start| upper.starts_with(start))
    };
    let mut names = house::files_below(folder).ok()?;
    names.retain(is_licence);
    if names.iter().any(|name| name.to_uppercase().contains("MIT")) {
        names.retain(|name| !name.to_uppercase().contains("APACHE"));
    }
    let texts = names
        .iter()
        .filter_map(|name| std::fs::read_to_string(folder.join(name)).ok());
    let texts: Vec<String> = texts
        .map(|text| text.replace("\r\n", "\n").trim().to_string())
        .collect();
    (!texts.is_empty()).then(|| texts.join("\n\n"))
}

/// Whether a licence expression can be satisfied by licences of the list: of `OR` one side, of `AND` both.
fn is_fine(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], " ").replace('/', " OR ");
    // Brackets only ever group an OR inside an AND in practice; taking every AND part's ORs apart covers that.
    let grouped = expression.contains('(');
    let all = |text: &str, between: &str, fine: fn(&str) -> bool| text.split(between).all(fine);
    let any = |text: &str, between: &str, fine: fn(&str) -> bool| text.split(between).any(fine);
    if grouped {
        all(&plain, " AND ", |part| part.split(" OR ").any(is_listed))
    } else {
        any(&plain, " OR ", |part| part.split(" AND ").all(is_listed))
    }
}

fn is_listed(licence: &str) -> bool {
    FINE.contains(&licence.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expressions_are_judged_by_their_parts() {
        for fine in [
            "MIT",
            "MIT OR Apache-2.0",
            "MIT/Apache-2.0",
            "GPL-3.0 OR MIT",
            "(MIT OR Apache-2.0) AND Unicode-3.0",
        ] {
            assert!(is_fine(fine), "{fine}");
        }
        for foul in [
            "",
            "GPL-3.0",
            "MIT AND GPL-3.0",
            "AGPL-3.0-only OR GPL-2.0",
            "(MIT OR Apache-2.0) AND GPL-2.0",
        ] {
            assert!(!is_fine(foul), "{foul}");
        }
    }
}
