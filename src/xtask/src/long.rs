//! `cargo xtask bench --browser`: how soon a long survey opens and answers in the app as it is released.

use crate::site::{self, Kind};
use crate::{Outcome, check, house, run};
use std::ffi::OsStr;
use std::process::Command;

/// Boxes of the practice collection and entries of its survey.
const SURVEYS: [(&str, &str); 2] = [("412", "10000"), ("2000", "100000")];

pub(crate) fn command() -> Outcome {
    let desk = site::desk(Kind::Release)?;
    let mut files = Vec::new();
    for (boxes, entries) in SURVEYS {
        let folder = house::target()?.join("bench").join(format!("entries-{entries}"));
        let file = folder.join("survey.zip");
        if !file.is_file() {
            let mut made = Command::new(&desk);
            made.args(["practice", "--boxes", boxes, "--entries", entries, "--out"]);
            run::loud(made.arg(&folder), "making the practice survey")?;
        }
        files.push(file);
    }
    let files: Vec<&OsStr> = files.iter().map(|file| file.as_os_str()).collect();
    check::looked_at("measure_opening.py", &files, Kind::Release, "measuring")
}
