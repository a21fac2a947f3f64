//! The checks a stranger makes: is the file whole, and does everything in it follow from its log?

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use survey::{Fault, Log, State};

use crate::survey_file::{self, Bag, DRAW, FIGURES, LOG, Parts, REPORT};
use crate::{APP, FileError, photos, zip};

/// What a check came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It holds.
    Holds,
    /// It does not.
    Fails,
    /// It could not be made, and the detail says why.
    NotMade,
}

/// The name of a check. An alias, for serde takes a plain `&str` for borrowed from its input.
pub type Key = &'static str;

/// One check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// A fixed key: `packing`, `checksums`, `log`, `frame`, `draw`, `tables`, `figures`, `photos`, `rest`.
    #[serde(deserialize_with = "name")]
    pub name: Key,
    /// What it came to.
    pub verdict: Verdict,
    /// What was compared, or what differs.
    pub detail: String,
}

/// All checks, in the order they were made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Report {
    /// The checks. When the file cannot be read, those after the failing one are [`Verdict::NotMade`].
    pub checks: Vec<Check>,
}

impl Report {
    /// Whether no check failed and the file could be read; a check that was not made for the difference of two
    /// versions does not count against it.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.checks.iter().all(|check| check.verdict != Verdict::Fails)
    }
}

const NAMES: [&str; 9] = [
    "packing",
    "checksums",
    "log",
    "frame",
    "draw",
    "tables",
    "figures",
    "photos",
    "rest",
];

/// Reads the name of a check that this program makes.
fn name<'de, D: serde::Deserializer<'de>>(from: D) -> Result<&'static str, D::Error> {
    let found = String::deserialize(from)?;
    let known = NAMES.into_iter().find(|known| *known == found);
    known.ok_or_else(|| serde::de::Error::custom("no check of this program"))
}

/// Checks a survey file. Whatever the bytes are, there is a report.
///
/// What another version would word differently (the report, the script) is compared if the file was written by this one.
#[must_use]
pub fn verify(bytes: &[u8]) -> Report {
    let mut checks = Checks(Vec::new());
    // A failure ends the reading; the checks that could not be made are listed as such.
    let _ = checks.all(bytes);
    let made = checks.0.len();
    for name in NAMES.iter().skip(made) {
        checks.note(name, Verdict::NotMade, "an earlier check failed".to_owned());
    }
    Report { checks: checks.0 }
}

/// A check failed and those after it make no sense.
struct Ended;

struct Checks(Vec<Check>);

impl Checks {
    fn note(&mut self, name: &'static str, verdict: Verdict, detail: String) {
        self.0.push(Check {
            name,
            verdict,
            detail,
        });
    }

    fn holds(&mut self, name: &'static str, detail: String) {
        self.note(name, Verdict::Holds, detail);
    }

    /// What was read, or the end of all checks.
    fn read<T>(&mut self, name: &'static str, read: Result<T, FileError>) -> Result<T, Ended> {
        read.map_err(|error| {
            self.note(name, Verdict::Fails, error.to_string());
            Ended
        })
    }

    fn all(&mut self, bytes: &[u8]) -> Result<(), Ended> {
        let files = self.read("packing", zip::read_around(&[bytes], &[]))?;
        self.holds("packing", format!("canonical zip, {} files", files.len()));
        let bag = self.read("checksums", survey_file::open_bag(&files))?;
        self.holds(
            "checksums",
            format!(
                "SHA-256 of every file, written by {} on {}",
                bag.parts.app, bag.parts.date
            ),
        );
        let log = self.read("log", bag.file(LOG).and_then(survey_file::read_log))?;
        self.read("log", bag.check_base(&log))?;
        let state = State::fold(&log);
        self.log(&log, &state);
        self.frame(&state);
        let parts = bag.parts.clone();
        let anew = survey_file::payload(&log, &state, &parts);
        self.same("draw", &[DRAW], &bag, &anew, "every rank, round and drawn item");
        let tables: Vec<&str> = anew
            .keys()
            .map(String::as_str)
            .filter(|name| is_table(name))
            .collect();
        self.same("tables", &tables, &bag, &anew, "every cell made anew");
        self.figures(&bag, &anew);
        self.photos(&bag, &state);
        self.rest(&bag, &anew, &parts);
        Ok(())
    }

    fn log(&mut self, log: &Log, state: &State) {
        let faults: Vec<String> = state.faults.iter().map(fault).collect();
        if faults.is_empty() {
            let (entries, writers) = (log.entries().len(), state.counts().len());
            self.holds(
                "log",
                format!("{entries} entries of {writers} writers, no gap and no contradiction"),
            );
        } else {
            self.note("log", Verdict::Fails, faults.join("; "));
        }
    }

    fn frame(&mut self, state: &State) {
        let Some(frame) = &state.frame else {
            let detail = "the list of boxes is still open".to_owned();
            return self.note("frame", Verdict::NotMade, detail);
        };
        if state.faults.contains(&Fault::FrameDigest(frame.entry)) {
            let detail = "the boxes are not those whose digest was logged when the list was closed";
            self.note("frame", Verdict::Fails, detail.to_owned());
        } else {
            let (n, digest) = (frame.boxes.len(), &frame.digest);
            self.holds("frame", format!("{n} boxes, digest {digest}"));
        }
    }

    /// Files that are there and byte for byte what follows from the log.
    fn same(
        &mut self,
        check: &'static str,
        names: &[&str],
        bag: &Bag<'_>,
        anew: &BTreeMap<String, Vec<u8>>,
        detail: &str,
    ) {
        let wrong: Vec<String> = names
            .iter()
            .filter_map(|name| difference(name, bag, anew))
            .collect();
        if wrong.is_empty() {
            self.holds(check, format!("{detail}: {}", names.join(", ")));
        } else {
            self.note(check, Verdict::Fails, wrong.join("; "));
        }
    }

    fn figures(&mut self, bag: &Bag<'_>, anew: &BTreeMap<String, Vec<u8>>) {
        let said = bag
            .file(FIGURES)
            .ok()
            .and_then(|bytes| serde_json::from_slice(bytes).ok());
        let recomputed = anew
            .get(FIGURES)
            .and_then(|bytes| serde_json::from_slice(bytes).ok());
        let (Some(said), Some(recomputed)) = (said, recomputed) else {
            let detail = format!("{FIGURES} is missing or no JSON");
            return self.note("figures", Verdict::Fails, detail);
        };
        let wrong = wrong_figures(&said, &recomputed);
        if let Some(first) = wrong.first() {
            let others = match wrong.len() {
                1 => String::new(),
                n => format!("; and {} more", n - 1),
            };
            return self.note("figures", Verdict::Fails, format!("{first}{others}"));
        }
        // The same numbers in other bytes could still mislead who reads the bytes: a key twice, say.
        if let Some(why) = difference(FIGURES, bag, anew) {
            return self.note("figures", Verdict::Fails, why);
        }
        self.holds(
            "figures",
            format!("{} figures recomputed, each the same", leaves(&recomputed).len()),
        );
    }

    /// Each photograph is a plain picture, the one the log names; those that did not come along are counted.
    fn photos(&mut self, bag: &Bag<'_>, state: &State) {
        let there = match photos::read(&bag.files, state) {
            Ok(there) => there.len(),
            Err(error) => return self.note("photos", Verdict::Fails, error.to_string()),
        };
        let named = photos::named(state).len();
        if there == named {
            self.holds(
                "photos",
                format!("photographs: {there}, each the one that the log names"),
            );
        } else {
            let missing = named - there;
            let detail =
                format!("photographs that hold: {there}; not in the file, but named by the log: {missing}");
            self.note("photos", Verdict::NotMade, detail);
        }
    }

    /// What people read: the report and the script. Another version may word them differently.
    fn rest(&mut self, bag: &Bag<'_>, anew: &BTreeMap<String, Vec<u8>>, parts: &Parts) {
        let checked = |name: &str| name == DRAW || name == FIGURES || name == LOG || is_table(name);
        let ours = anew.keys().map(String::as_str).filter(|name| !checked(name));
        let ours: Vec<&str> = ours.collect();
        let is_payload = |name: &&str| name.starts_with(crate::bag::DATA);
        let unknown = bag
            .files
            .keys()
            .copied()
            .filter(|name| is_payload(name) && !photos::is_photo(name))
            .find(|name| !anew.contains_key(*name));
        if let Some(name) = unknown {
            self.note(
                "rest",
                Verdict::Fails,
                format!("{name} does not follow from the log"),
            );
        } else if parts.app == APP {
            self.same("rest", &ours, bag, anew, "made anew");
        } else {
            let detail = format!(
                "written by {}, checked by {APP}: {REPORT} and the like are not compared, so read them with care",
                parts.app
            );
            self.note("rest", Verdict::NotMade, detail);
        }
    }
}

fn is_table(name: &str) -> bool {
    name.starts_with("data/tables/")
}

fn difference(name: &str, bag: &Bag<'_>, anew: &BTreeMap<String, Vec<u8>>) -> Option<String> {
    let Ok(said) = bag.file(name) else {
        return Some(format!("{name} is missing"));
    };
    let made = anew.get(name)?;
    if made == said {
        return None;
    }
    let mut lines = made.split(|b| *b == b'\n').zip(said.split(|b| *b == b'\n'));
    let line = lines.position(|(made, said)| made != said).map_or(0, |at| at + 1);
    Some(match line {
        0 => format!("{name} has another number of lines than follow from the log"),
        line => format!("{name} does not follow from the log: line {line} differs"),
    })
}

/// Figures that differ, one error each. A figure is compared as JSON, so to the last digit.
fn wrong_figures(said: &Value, recomputed: &Value) -> Vec<FileError> {
    let (said, recomputed) = (leaves(said), leaves(recomputed));
    let ids: std::collections::BTreeSet<&String> = said.keys().chain(recomputed.keys()).collect();
    let shown = |value: Option<&&Value>| value.map_or_else(|| "nothing".to_owned(), ToString::to_string);
    let differing = ids.into_iter().filter(|id| said.get(*id) != recomputed.get(*id));
    differing
        .map(|id| FileError::WrongFigure {
            id: id.clone(),
            said: shown(said.get(id)),
            recomputed: shown(recomputed.get(id)),
        })
        .collect()
}

/// The figures by id, those of the second basis prefixed `every_finished/`, and whatever else there is by its key.
fn leaves(figures: &Value) -> BTreeMap<String, &Value> {
    let mut leaves = BTreeMap::new();
    for (key, value) in figures.as_object().into_iter().flatten() {
        match (key.as_str(), value.as_object()) {
            ("headline", Some(figures)) => {
                leaves.extend(figures.iter().map(|(id, figure)| (id.clone(), figure)));
            }
            ("sample" | "every_finished", Some(figures)) => {
                leaves.extend(figures.iter().map(|(id, figure)| (format!("{key}/{id}"), figure)));
            }
            ("learned", Some(parts)) => {
                for (part, value) in parts {
                    match (part.as_str(), value.as_object()) {
                        ("figures", Some(figures)) => {
                            leaves.extend(figures.iter().map(|(id, right)| (format!("learned.{id}"), right)));
                        }
                        _ => {
                            leaves.insert(format!("learned/{part}"), value);
                        }
                    }
                }
            }
            _ => {
                leaves.insert(key.clone(), value);
            }
        }
    }
    leaves
}

/// A fault in words.
#[must_use]
pub fn fault(fault: &Fault) -> String {
    match fault {
        Fault::Twin(id) => format!("two different entries are called {id}"),
        Fault::Gap { writer, missing } => format!("entry {missing} of writer {writer} is missing"),
        Fault::NotUnderstood(id) => format!("entry {id} is of a kind this version does not understand"),
        Fault::BadReference(id) => format!("entry {id} names something that is not there"),
        Fault::SameSerial(serial) => format!("two boxes were listed as {serial}"),
        Fault::FrameDigest(id) => format!("the digest logged by {id} is not that of the boxes"),
        Fault::SeveralDraws => "several draws count, and their boxes differ".to_owned(),
        Fault::Circle(id) => format!("entry {id} is part of a circle"),
    }
}
