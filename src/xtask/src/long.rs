//! `cargo xtask bench --browser`: how soon a long survey opens and answers in the app as it is released, and what it takes of
//! a device's memory.

use crate::site::{self, Kind};
use crate::{Outcome, check, house, run};
use std::ffi::OsStr;
use std::path::PathBuf;
use std::process::Command;

/// The surveys that are measured: where each lies, and how it is made.
const SURVEYS: [(&str, &[&str]); 2] = [
    ("entries-10000", &["--boxes", "412", "--entries", "10000"]),
    ("entries-100000", &["--boxes", "2000", "--entries", "100000"]),
];
/// 1,500 items and 600 photographs of about a megabyte.
const PHOTOGRAPHED: (&str, &[&str]) = (
    "photographs",
    &["--boxes", "412", "--surveyed", "45", "--photos", "600"],
);

pub(crate) fn command() -> Outcome {
    let long = SURVEYS.map(made).into_iter().collect::<Outcome<Vec<_>>>()?;
    let photographed = made(PHOTOGRAPHED)?;
    let files: Vec<&OsStr> = long.iter().map(|file| file.as_os_str()).collect();
    check::looked_at("measure_opening.py", &files, Kind::Release, "measuring")?;
    let files = [photographed.as_os_str(), long[0].as_os_str()];
    check::looked_at("measure_memory.py", &files, Kind::Release, "measuring memory")
}

/// A practice survey, made if it is not there yet.
fn made((name, how): (&str, &[&str])) -> Outcome<PathBuf> {
    let folder = house::target()?.join("bench").join(name);
    let file = folder.join("survey.zip");
    if !file.is_file() {
        let mut making = Command::new(site::desk(Kind::Release)?);
        making.arg("practice").args(how).arg("--out").arg(&folder);
        run::loud(&mut making, "making the practice survey")?;
    }
    Ok(file)
}
