//! `quarterlight figures`: a survey file's figures, made anew from its log.

use std::path::PathBuf;
use std::process::ExitCode;

use survey::State;

use crate::{files, output};

/// Recompute the figures of a survey file and print them as JSON
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file
    file: PathBuf,
    /// JSON, the only form there is
    #[arg(long)]
    json: bool,
}

/// Prints the figures, as `figures.json` in a survey file has them.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let _ = args.json;
    let state = State::fold(&files::survey(&args.file)?.log);
    let figures = analysis::figures::figures(&state);
    let json = serde_json::to_string_pretty(&figures).map_err(|error| error.to_string())?;
    output::line(json)?;
    Ok(ExitCode::SUCCESS)
}
