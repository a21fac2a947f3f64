//! `quarterlight verify`: is a survey file whole, and does everything in it follow from its log?

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use handover::{Check, Verdict, zip};

use survey::State;

use crate::{differ, files, output};

/// Check a survey file: checksums, draw, tables and every figure
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file
    file: PathBuf,
    /// Check every number of this report too: does each follow from the file's log?
    #[arg(long)]
    report: Option<PathBuf>,
    /// The survey file of the earlier visit that the report compares with
    #[arg(long, requires = "report")]
    earlier: Option<PathBuf>,
    /// The checks as JSON
    #[arg(long)]
    json: bool,
}

/// Prints each check. Exit code 0: all hold; 1: one fails; 2: the file cannot be read or is no survey file.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let bytes = files::bytes(&args.file)?;
    let mut report = handover::verify(&bytes);
    if let Some(path) = &args.report {
        report
            .checks
            .push(report_check(&bytes, path, args.earlier.as_deref())?);
    }
    if args.json {
        let json = serde_json::to_string_pretty(&report).map_err(|error| error.to_string())?;
        output::line(json)?;
    } else {
        for check in &report.checks {
            output::line(format_args!(
                "{:<9} {}: {}",
                word(check.verdict),
                what(check.name),
                check.detail
            ))?;
        }
        output::line("")?;
        output::line(conclusion(report.holds()))?;
        if let Ok(opened) = handover::survey_file::read(&bytes) {
            differ::print(&opened.log, &State::fold(&opened.log))?;
        }
    }
    if report.holds() {
        return Ok(ExitCode::SUCCESS);
    }
    if let Err(error) = handover::survey_file::read(&bytes) {
        eprintln!("{}", files::advice(&error));
        if matches!(zip::read(&bytes), Err(handover::FileError::NotAZip)) {
            return Ok(ExitCode::from(2));
        }
    }
    Ok(ExitCode::from(1))
}

/// The check of a report that lies beside the file.
fn report_check(bytes: &[u8], path: &Path, earlier: Option<&Path>) -> Result<Check, String> {
    let checked = |verdict, detail| Check {
        name: "report",
        verdict,
        detail,
    };
    let html = files::bytes(path)?;
    let html = String::from_utf8_lossy(&html);
    let Ok(opened) = handover::survey_file::read(bytes) else {
        return Ok(checked(
            Verdict::NotMade,
            "the survey file cannot be read".to_owned(),
        ));
    };
    let earlier = match earlier {
        Some(path) => Some(files::survey(path)?.log),
        None => None,
    };
    let found = match handover::report::check::check_since(&html, &opened.log, earlier.as_ref()) {
        Ok(found) => found,
        Err(why) => return Ok(checked(Verdict::Fails, format!("{}: {why}", path.display()))),
    };
    let wrong: Vec<String> = found
        .wrong
        .iter()
        .map(|wrong| format!("{} is {}, not {}", wrong.id, wrong.recomputed, wrong.said))
        .collect();
    Ok(match (wrong.as_slice(), found.line, &found.other_version) {
        ([], None, None) => checked(
            Verdict::Holds,
            format!(
                "{} numbers recomputed and every line made anew, each the same",
                found.n_figures
            ),
        ),
        ([], None, Some(version)) => checked(
            Verdict::Holds,
            format!(
                "{} numbers recomputed, each the same; its words are those of {version} and were not compared",
                found.n_figures
            ),
        ),
        ([], Some(line), _) => checked(
            Verdict::Fails,
            format!("every number is right, but line {line} is not what the program writes"),
        ),
        (wrong, _, _) => checked(Verdict::Fails, wrong.join("; ")),
    })
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "FAILS",
        Verdict::NotMade => "not made",
    }
}

fn what(check: &str) -> &'static str {
    match check {
        "packing" => "The packing is as it was written",
        "checksums" => "Every file is the one that was handed over",
        "log" => "The log fits together",
        "frame" => "The list of boxes is the one that was closed before the draw",
        "draw" => "The draw, done again, gives the same boxes and items",
        "tables" => "The tables follow from the log",
        "photos" => "Every photograph is the one the log names",
        "figures" => "Every figure follows from the log",
        "report" => "Every number of the report follows from the log",
        _ => "The report and the rest follow from the log",
    }
}

fn conclusion(holds: bool) -> &'static str {
    if holds {
        "The file checks out. That its log tells the truth no check can show: keep its SHA-256 where others see it."
    } else {
        "The file does not check out."
    }
}
