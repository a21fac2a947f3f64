//! Reads the texts of every language from `public/text`, checks them against each other, and writes a Rust function
//! a message: the app carries no parser, and a message that is missing or used nowhere does not build.
#![allow(clippy::disallowed_methods, reason = "a build script lives with files")]

mod message;
mod write;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::exit;

use message::{Message, Parameter};

/// Where the texts are: a folder a language, a file a journey.
const TEXTS: &str = "../../public/text";

/// The language that the others are translated from.
const SOURCE: &str = "en";

/// The messages of one language, by journey and key.
type Journeys = BTreeMap<String, BTreeMap<String, Message>>;

fn main() {
    println!("cargo::rerun-if-changed={TEXTS}");
    println!("cargo::rerun-if-changed=build");
    // The finishing step cuts the module in parts, and has to know what refers to what.
    if std::env::var("CARGO_CFG_TARGET_FAMILY").is_ok_and(|family| family == "wasm") {
        println!("cargo::rustc-link-arg-bins=--emit-relocs");
    }
    if let Err(faults) = run() {
        for fault in faults {
            println!("cargo::error={fault}");
        }
        exit(1);
    }
}

fn run() -> Result<(), Vec<String>> {
    let mut languages = Vec::new();
    let mut faults = Vec::new();
    for folder in sorted(Path::new(TEXTS)).map_err(|e| vec![e])? {
        let mut journeys = Journeys::new();
        for file in sorted(&folder).map_err(|e| vec![e])? {
            match message::read(&file) {
                Ok(messages) => drop(journeys.insert(stem(&file), messages)),
                Err(wrong) => faults.extend(wrong),
            }
        }
        languages.push((stem(&folder), journeys));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let untranslated = english_meanwhile(&mut languages);
    for fault in &untranslated {
        println!("cargo::warning={fault}");
    }
    // The source comes first: it is the language a device has whose own is not there.
    languages.sort_by_key(|(code, _)| (code != SOURCE, code.clone()));
    let Some(((code, source), others)) = languages.split_first() else {
        return Err(vec![format!("{TEXTS} is empty")]);
    };
    if code != SOURCE {
        return Err(vec![format!("{TEXTS}/{SOURCE} is missing")]);
    }
    let mut parameters = BTreeMap::new();
    for (journey, messages) in source {
        for (key, message) in messages {
            let translations = others
                .iter()
                .filter_map(|(_, journeys)| journeys.get(journey)?.get(key));
            let all: Vec<&Message> = std::iter::once(message).chain(translations).collect();
            match message::parameters(&all) {
                Ok(found) => drop(parameters.insert((journey.as_str(), key.as_str()), found)),
                Err(why) => faults.push(format!("{journey}.ftl: {key}: {why}")),
            }
        }
    }
    for (code, journeys) in others {
        faults.extend(differences(code, source, journeys));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let out = std::env::var("OUT_DIR").map_err(|e| vec![e.to_string()])?;
    std::fs::write(
        Path::new(&out).join("texts.rs"),
        write::rust(&languages, &parameters, &untranslated),
    )
    .map_err(|e| vec![e.to_string()])
}

/// What a message is given, by journey and key.
type Parameters<'a> = BTreeMap<(&'a str, &'a str), Vec<Parameter>>;

/// Puts the English where a translation is missing, and says so: a sentence nobody translated yet is read all the same.
fn english_meanwhile(languages: &mut [(String, Journeys)]) -> Vec<String> {
    let source = languages.iter().find(|(code, _)| code == SOURCE);
    let Some((_, source)) = source.cloned() else {
        return Vec::new();
    };
    let mut missing = Vec::new();
    for (code, journeys) in languages {
        for (journey, messages) in &source {
            for (key, message) in messages {
                let own = journeys.entry(journey.clone()).or_default();
                if !own.contains_key(key) {
                    missing.push(format!(
                        "{code}/{journey}.ftl: {key} is missing; it is said in English"
                    ));
                    own.insert(key.clone(), message.clone());
                }
            }
        }
    }
    missing
}

/// What a language has that the source has not.
fn differences(code: &str, source: &Journeys, journeys: &Journeys) -> Vec<String> {
    let keys = |all: &Journeys| -> Vec<(String, String)> {
        let keys = all
            .iter()
            .flat_map(|(journey, messages)| messages.keys().map(move |key| (journey.clone(), key.clone())));
        keys.collect()
    };
    let (wanted, found) = (keys(source), keys(journeys));
    let unknown = found
        .iter()
        .filter(|key| wanted.binary_search(key).is_err())
        .map(|(journey, key)| format!("{code}/{journey}.ftl: {SOURCE}/{journey}.ftl has no {key}"));
    unknown.collect()
}

fn sorted(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let wrong = |e: std::io::Error| format!("{}: {e}", folder.display());
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(wrong)? {
        found.push(entry.map_err(wrong)?.path());
    }
    found.sort();
    Ok(found)
}

fn stem(path: &Path) -> String {
    path.file_stem()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}
