//! What leaves the device and what comes in: the survey file, its tables, its checks.
//!
//! A survey file is one canonical zip ([`zip`]) of one `BagIt` bag. Its payload is the log, which is the record, and
//! what follows from the log: the draw record, the tables as a Data Package, the figures, a script for R and a report.
//! [`survey_file::read`] takes in nothing but the log, and only from a file in which no byte differs from what was
//! written; [`verify::verify`] makes everything else anew and compares.
//!
//! What the checks cannot show: that the log is true. Whoever has the file can write another log and pack it again,
//! with new checksums; only a checksum that was published at the time tells the two apart.
//!
//! Reading order: [`survey_file`], [`verify`], [`merge`], then the parts of the file: [`zip`], `bag`, `tables`,
//! `datapackage`, `draw_record`, [`report`], [`photos`]; beside it [`mod@differ`] (what does not agree, in words), [`boxlist`] and
//! [`watchlist`], [`transfers`] (tables that come in), [`ask_first`] (one item as a page to send), [`pbcore`] (catalogue records) and, with the
//! feature `workbook`, a spreadsheet whose sums are live and all papers by one door (`papers`).
//!
//! Not here: estimates (the analysis crate), screens, files on a disk, the clock.
#![deny(missing_docs)]

pub mod ask_first;
mod bag;
pub mod boxlist;
mod cells;
pub mod columns;
mod content;
mod datapackage;
pub mod day;
pub mod differ;
mod draw_record;
mod error;
pub mod merge;
#[cfg(feature = "workbook")]
pub mod papers;
pub mod pbcore;
pub mod photos;
pub mod report;
pub mod sealed;
pub mod survey_file;
mod table_in;
mod tables;
pub mod transfers;
pub mod verify;
pub mod watchlist;
#[cfg(feature = "workbook")]
mod workbook;
pub mod zip;

pub use content::Elsewhere;
pub use day::Day;
pub use error::FileError;
pub use merge::merge;
pub use photos::Photos;
pub use survey_file::{Opened, Parts};
pub use verify::{Check, Report, Verdict, verify};
#[cfg(feature = "workbook")]
pub use workbook::WorkbookError;
pub use zip::MAX_FILE_BYTES;

/// This program and its version, as it is written into files.
pub const APP: &str = concat!("quarterlight ", env!("CARGO_PKG_VERSION"));

/// JSON for people and programs: indented, ended by a line feed.
fn json<T: serde::Serialize>(value: &T) -> Vec<u8> {
    // Cannot fail: our types have string keys and no serializers that refuse; a NaN is written as null.
    let mut bytes = serde_json::to_vec_pretty(value).unwrap_or_default();
    bytes.push(b'\n');
    bytes
}

/// The name of a survey's file and base folder: `quarterlight-` and the first 8 digits of the survey's id.
#[must_use]
pub fn short_name(survey: survey::SurveyId) -> String {
    let id = survey.to_string();
    format!("quarterlight-{}", id.get(..8).unwrap_or_default())
}
