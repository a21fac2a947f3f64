//! `quarterlight practice`: an invented collection with its full truth, for trials, tests and benchmarks; and the
//! survey of it that somebody would have brought home.

mod dice;
#[cfg(test)]
mod order;
mod photos;
mod scenario;
mod seen;
mod survey_log;
#[cfg(test)]
mod tests;
mod truth;
mod walk;
mod write;

use std::fs::{self, File};
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use handover::{APP, Day, Parts};

use survey_log::Plan;
use truth::Collection;

use crate::output;

/// Above so many boxes the truth of every item is not written, only its totals: it would be gigabytes.
const FULL_TRUTH_UP_TO: u64 = 20_000;

/// Make an invented collection with its full truth, and a survey of it if asked
#[derive(clap::Args)]
pub(crate) struct Args {
    /// Number of boxes
    #[arg(long, default_value_t = 412, value_parser = clap::value_parser!(u64).range(1..=9_999_999))]
    boxes: u64,
    /// Seed: the same number makes the same collection on every machine
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// Folder for boxes.csv, truth.json (up to 20,000 boxes) and truth-summary.json; made if it is not there
    #[arg(long)]
    out: PathBuf,
    /// Also survey.zip: the survey of somebody who checked so many rounds
    #[arg(long, value_name = "ROUNDS")]
    surveyed: Option<u32>,
    /// Also survey.zip: the survey of somebody who checked rounds until the log had so many entries (enough boxes given)
    #[arg(long, value_name = "N")]
    entries: Option<usize>,
    /// Boxes in a round of that survey
    #[arg(long, default_value_t = 5, value_parser = clap::value_parser!(u32).range(4..=6))]
    round_size: u32,
    /// Items checked in a box of that survey
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..))]
    items: u32,
    /// Which visit to the collection that survey is: the boxes are the same, the draw is another
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u64).range(1..=99))]
    visit: u64,
    /// Photographs in that survey, about a megabyte each, of what was checked
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u64).range(..=5_000))]
    photos: u64,
    /// Write that survey as log.ndjson, its log alone, and no survey.zip: for more entries than a survey file may hold
    #[arg(long)]
    log_only: bool,
}

/// Makes the files. Files of the same names that are there already are left alone, and it is said.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let collection = Collection {
        seed: args.seed,
        n_boxes: args.boxes,
    };
    fs::create_dir_all(&args.out).map_err(|error| format!("{}: {error}", args.out.display()))?;
    let failed = |error: std::io::Error| format!("{} cannot be written to: {error}", args.out.display());
    let mut list = create(&args.out, "boxes.csv")?;
    let mut summary = create(&args.out, "truth-summary.json")?;
    let mut truth = match args.boxes {
        ..=FULL_TRUTH_UP_TO => Some(create(&args.out, "truth.json")?),
        _ => None,
    };
    let files = write::Files {
        list: &mut list,
        truth: truth.as_mut().map(|truth| truth as &mut dyn Write),
        summary: &mut summary,
    };
    write::collection(collection, files).map_err(failed)?;
    let all = [Some(list), Some(summary), truth];
    all.into_iter()
        .flatten()
        .try_for_each(|mut file| file.flush())
        .map_err(failed)?;
    if args.surveyed.is_some() || args.entries.is_some() {
        let plan = Plan {
            rounds: args.surveyed.unwrap_or(u32::MAX),
            round_size: args.round_size,
            items_per_box: args.items,
            visit: args.visit,
            entries: args.entries,
            photos: args.photos,
        };
        if args.log_only {
            let mut file = create(&args.out, "log.ndjson")?;
            let log = survey_log::survey(collection, plan)?;
            let mut lines = log.entries().map(|entry| entry.bytes.as_slice());
            lines
                .try_for_each(|line| file.write_all(line).and_then(|()| file.write_all(b"\n")))
                .and_then(|()| file.flush())
                .map_err(failed)?;
        } else {
            let mut file = create(&args.out, "survey.zip")?;
            survey_file(collection, plan, &mut file)?;
            file.flush().map_err(failed)?;
        }
    }
    output::line(format_args!(
        "{} invented boxes in {}",
        args.boxes,
        args.out.display()
    ))?;
    Ok(ExitCode::SUCCESS)
}

/// The file of a survey, dated by its own last entry: the practice survey has no clock.
fn survey_file(collection: Collection, plan: Plan, out: &mut dyn Write) -> Result<(), String> {
    let log = survey_log::survey(collection, plan)?;
    let last_ms = log.entries().map(|entry| entry.at_ms).max().unwrap_or(0);
    let parts = Parts {
        date: Day::from_ms(last_ms).ok_or("the practice survey has no date")?,
        app: APP.to_owned(),
        organization: None,
        contact: None,
    };
    photos::write(collection, &log, &parts, plan.photos, out)
}

fn create(folder: &Path, name: &str) -> Result<BufWriter<File>, String> {
    let path = folder.join(name);
    let file =
        File::create_new(&path).map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
    Ok(BufWriter::new(file))
}
