//! `cargo xtask bench --browser`: how soon a long survey opens and answers in the app as it is released, what it takes of
//! a device's memory, and how its estimates compare with a desk's.

use crate::site::{self, Kind};
use crate::{Outcome, check, house, run};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
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
    check::looked_at("measure_memory.py", &files, Kind::Release, "measuring memory")?;
    let times = at_a_desk(&long[0])?;
    let files = [long[0].as_os_str(), times.as_os_str()];
    check::looked_at(
        "measure_estimates.py",
        &files,
        Kind::Release,
        "measuring estimates",
    )
}

/// What the questions that take longest take at a desk, asked of the log of a survey file: a table of milliseconds.
fn at_a_desk(file: &Path) -> Outcome<PathBuf> {
    let mut build = run::cargo()?;
    build.args(["build", "--release", "--locked", "--quiet"]);
    build.args(["--package", "labour", "--example", "speed"]);
    run::loud(&mut build, "building the benchmark")?;
    let folder = house::target()?.join("bench");
    let mut asked = Command::new(house::target()?.join("release/examples/speed"));
    let said = run::answer(asked.arg(file)).ok_or("the benchmark did not end well.")?;
    let times = folder.join("speed.tsv");
    std::fs::write(&times, said).map_err(|why| format!("{}: {why}", times.display()))?;
    Ok(times)
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
