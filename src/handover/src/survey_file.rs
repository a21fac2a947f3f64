//! The survey file: written from a log, and read back into one.

use std::collections::{BTreeMap, BTreeSet};

use analysis::figures;
use analysis::plan::Plan;
use survey::{Fault, Log, State, SurveyId};

use crate::bag::{self, DATA};
use crate::content::{Content, Elsewhere};
use crate::datapackage::datapackage_json;
use crate::day::Day;
use crate::draw_record::draw_json;
use crate::photos::{self, Photos};
use crate::report::Ground;
use crate::{FileError, report, short_name, tables, zip};

/// The format written here, and the newest that is read.
pub const FORMAT: u32 = 1;

/// The log.
pub const LOG: &str = "data/log.ndjson";
/// The draw record.
pub const DRAW: &str = "data/draw.json";
/// Every figure by its id.
pub const FIGURES: &str = "data/figures.json";
/// The report for people.
pub const REPORT: &str = "data/report.html";
const DATAPACKAGE: &str = "data/datapackage.json";
const RECOMPUTE: &str = "data/recompute.R";
const RECOMPUTE_R: &str = include_str!("recompute.R");

const FORMAT_LABEL: &str = "Quarterlight-Format";
const AGENT_LABEL: &str = "Bag-Software-Agent";
const DATE_LABEL: &str = "Bagging-Date";
const ORGANIZATION_LABEL: &str = "Source-Organization";
const CONTACT_LABEL: &str = "Contact-Name";
const PRACTICE: &str = "Practice: the collection is invented.";
const DESCRIPTION: &str =
    "A sample survey of boxes of magnetic audio tape: its log, its draw, its tables and figures.";

/// What a survey file says beside what its log says. Names of people and institutions only where somebody gave them.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Parts {
    /// The day it is written, UTC.
    pub date: Day,
    /// The program and its version.
    pub app: String,
    /// The institution, if it is to be named.
    pub organization: Option<String>,
    /// Whom to ask, if somebody is to be named.
    pub contact: Option<String>,
}

/// A survey file that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The record. Everything else in the file follows from it, and is made anew where it is needed.
    pub log: Log,
    /// What the file said beside its log.
    pub parts: Parts,
    /// The photographs in it, each the one that the log names. Some that it names may not have come along.
    pub photos: Photos,
    /// What does not fit together in the log. Nothing is dropped for it.
    pub problems: Vec<Fault>,
}

/// Writes a survey file without photographs. See [`write_with`].
///
/// # Errors
/// [`FileError::TooLarge`] if the file would have more than [`crate::MAX_FILE_BYTES`].
pub fn write(log: &Log, parts: &Parts) -> Result<Vec<u8>, FileError> {
    write_with(log, parts, &Photos::new())
}

/// Writes a survey file with those of `photos` that the log names. The same log, parts and photographs give the same bytes, on any device.
///
/// # Errors
/// [`FileError::TooLarge`] if the file would have more than [`crate::MAX_FILE_BYTES`].
pub fn write_with(log: &Log, parts: &Parts, photos: &Photos) -> Result<Vec<u8>, FileError> {
    let begun = Begun::of(log, &State::fold(log), parts);
    let here = photos::to_write(&begun.named, photos, |bytes| bytes.as_slice().into());
    Ok(packed(begun.inside, &begun.about, here)?.concat())
}

/// The same file in pieces, without those of `photos` that the log names: one piece before the first, one between each two in the order of their SHA-256, one behind the last.
///
/// # Errors
/// As [`write_with`].
pub fn write_around(log: &Log, parts: &Parts, photos: &[Elsewhere]) -> Result<Vec<Vec<u8>>, FileError> {
    Begun::of(log, &State::fold(log), parts).around(photos)
}

/// All of a survey file but its photographs: it can be made while they are still being looked at.
#[derive(Debug)]
pub struct Begun {
    inside: BTreeMap<String, Vec<u8>>,
    about: About,
    /// The photographs that may come along.
    named: BTreeSet<String>,
}

/// What a survey file says of itself.
#[derive(Debug)]
struct About {
    survey: SurveyId,
    is_practice: bool,
    parts: Parts,
}

impl Begun {
    /// Begins the file of a log and of its fold.
    #[must_use]
    pub fn of(log: &Log, state: &State, parts: &Parts) -> Self {
        Self {
            inside: payload(log, state, parts),
            about: About {
                survey: log.survey(),
                is_practice: state.practice,
                parts: parts.clone(),
            },
            named: photos::named(state).into_iter().map(str::to_owned).collect(),
        }
    }

    /// What it says beside its log.
    #[must_use]
    pub fn parts(&self) -> &Parts {
        &self.about.parts
    }

    /// The pieces around those of `photos` that the log names, as [`write_around`] has them.
    ///
    /// # Errors
    /// As [`write_with`].
    pub fn around(self, photos: &[Elsewhere]) -> Result<Vec<Vec<u8>>, FileError> {
        let photos = photos.iter().map(|photo| (photo.sha256.clone(), photo));
        let photos = photos.collect();
        let elsewhere = photos::to_write(&self.named, &photos, |photo| Content::Elsewhere((*photo).clone()));
        packed(self.inside, &self.about, elsewhere)
    }
}

fn packed<'a>(
    inside: BTreeMap<String, Vec<u8>>,
    about: &About,
    photos: BTreeMap<String, Content<'a>>,
) -> Result<Vec<Vec<u8>>, FileError> {
    let mut payload: BTreeMap<String, Content<'a>> = inside
        .into_iter()
        .map(|(name, bytes)| (name, bytes.into()))
        .collect();
    payload.extend(photos);
    let parts = &about.parts;
    let date = parts.date.to_string();
    let survey = about.survey.to_string();
    let format = FORMAT.to_string();
    let mut labels = vec![
        (FORMAT_LABEL, format.as_str()),
        (AGENT_LABEL, &parts.app),
        (DATE_LABEL, &date),
        ("External-Identifier", &survey),
        (
            "External-Description",
            if about.is_practice { PRACTICE } else { DESCRIPTION },
        ),
    ];
    let optional = [
        (ORGANIZATION_LABEL, &parts.organization),
        (CONTACT_LABEL, &parts.contact),
    ];
    labels.extend(
        optional
            .iter()
            .filter_map(|(label, value)| Some((*label, value.as_deref()?))),
    );
    let base = short_name(about.survey);
    let files = bag::pack(payload, &labels);
    let placed: Vec<(String, Content<'a>)> = files
        .into_iter()
        .map(|(name, content)| (format!("{base}/{name}"), content))
        .collect();
    let placed = placed.iter().map(|(name, content)| (name.as_str(), content));
    zip::write_around(&placed.collect())
}

/// Every payload file that follows from the log, by name.
pub(crate) fn payload(log: &Log, state: &State, parts: &Parts) -> BTreeMap<String, Vec<u8>> {
    let figures = figures::figures(state);
    let tables = tables::all(log, state, &figures);
    let ground = Ground {
        log,
        state,
        figures: &figures,
        plan: &Plan::whole(state, None, &mut |_, _| {}),
    };
    let mut files = BTreeMap::from([
        (LOG.to_owned(), log.to_lines()),
        (DRAW.to_owned(), draw_json(state)),
        (FIGURES.to_owned(), crate::json(&figures)),
        (DATAPACKAGE.to_owned(), datapackage_json(state, &tables)),
        (RECOMPUTE.to_owned(), RECOMPUTE_R.as_bytes().to_vec()),
        (
            REPORT.to_owned(),
            report::page_with(ground, &tables, parts, &report::Options::of(state), None).into_bytes(),
        ),
    ]);
    let tables = tables
        .into_iter()
        .map(|table| (format!("{DATA}{}", table.path()), table.bytes));
    files.extend(tables);
    files
}

/// Reads a survey file into its log, if no byte of it differs from what was written.
///
/// The figures, tables and report in it are not taken in; [`crate::verify()`] says whether they follow from the log.
///
/// # Errors
/// Any [`FileError`] but [`FileError::WrongFigure`] and [`FileError::OtherSurvey`].
pub fn read(bytes: &[u8]) -> Result<Opened, FileError> {
    read_around(&[bytes], &[])
}

/// The same of a file whose photographs were left where they lie (`photos::lying`): the pieces before, between and behind
/// them. The bytes of each are still to be checked: its SHA-256, and `survey::photo::check`.
///
/// # Errors
/// As [`read`].
pub fn read_around(pieces: &[&[u8]], photos: &[Elsewhere]) -> Result<Opened, FileError> {
    let bag = open_bag(&zip::read_around(pieces, photos)?)?;
    let log = read_log(bag.file(LOG)?)?;
    bag.check_base(&log)?;
    let state = State::fold(&log);
    Ok(Opened {
        photos: photos::read(&bag.files, &state)?,
        log,
        parts: bag.parts,
        problems: state.faults,
    })
}

/// A bag that was checked.
pub(crate) struct Bag<'a> {
    /// Its files, by their names inside the base folder.
    pub(crate) files: BTreeMap<&'a str, Content<'a>>,
    pub(crate) parts: Parts,
    base: &'a str,
}

impl Bag<'_> {
    pub(crate) fn file(&self, name: &str) -> Result<&[u8], FileError> {
        bag::required(&self.files, name)
    }

    /// The base folder is named after the survey.
    pub(crate) fn check_base(&self, log: &Log) -> Result<(), FileError> {
        if self.base == short_name(log.survey()) {
            Ok(())
        } else {
            Err(FileError::not_canonical("the name of its base folder"))
        }
    }
}

/// Checks the bag in a zip: one base folder, checksums, format, and what `bag-info.txt` must say.
pub(crate) fn open_bag<'a>(files: &BTreeMap<&'a str, Content<'a>>) -> Result<Bag<'a>, FileError> {
    let mut base = None;
    let mut inside = BTreeMap::new();
    for (name, content) in files {
        let (folder, file) = name
            .split_once('/')
            .ok_or_else(|| FileError::not_canonical(format!("{name} is outside its base folder")))?;
        if *base.get_or_insert(folder) != folder {
            return Err(FileError::not_canonical("more than one base folder"));
        }
        inside.insert(file, content.clone());
    }
    let labels = bag::check(&inside)?;
    let label = |name: &str| labels.get(name).map(String::as_str);
    let bad = |why: String| FileError::BadTagFile {
        name: bag::BAG_INFO.to_owned(),
        why,
    };
    let missing = |label: &str| bad(format!("{label} is missing or cannot be read"));
    let found = label(FORMAT_LABEL)
        .and_then(|format| format.parse().ok())
        .ok_or_else(|| missing(FORMAT_LABEL))?;
    if found > FORMAT {
        let known = FORMAT;
        return Err(FileError::NewerFormat { found, known });
    }
    let parts = Parts {
        date: label(DATE_LABEL)
            .and_then(|date| date.parse().ok())
            .ok_or_else(|| missing(DATE_LABEL))?,
        app: label(AGENT_LABEL).ok_or_else(|| missing(AGENT_LABEL))?.to_owned(),
        organization: label(ORGANIZATION_LABEL).map(str::to_owned),
        contact: label(CONTACT_LABEL).map(str::to_owned),
    };
    Ok(Bag {
        files: inside,
        parts,
        base: base.unwrap_or_default(),
    })
}

/// Reads the log, which has one spelling: one entry a line, in order, nothing between.
pub(crate) fn read_log(lines: &[u8]) -> Result<Log, FileError> {
    let log = Log::from_lines(lines).map_err(|(line, error)| FileError::BadLog {
        line,
        why: error.to_string(),
    })?;
    if log.to_lines() == lines {
        Ok(log)
    } else {
        Err(FileError::not_canonical("the order of the log's lines"))
    }
}
