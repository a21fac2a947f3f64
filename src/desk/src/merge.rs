//! `quarterlight merge`: colleagues' files of one survey put together.

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::{SystemTime, UNIX_EPOCH};

use handover::{Day, Parts, Photos, survey_file};
use survey::{Log, State};

use crate::{APP, differ, files, output};

/// Put several people's files of one survey together
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey files, in any order
    #[arg(required = true)]
    from: Vec<PathBuf>,
    /// The file to write; it must not be there yet
    #[arg(short, long)]
    out: PathBuf,
}

/// Writes the merged file and says what it holds.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let mut logs: Vec<Log> = Vec::new();
    let mut photos = Photos::new();
    for path in &args.from {
        let opened = files::survey(path)?;
        logs.push(opened.log);
        photos.extend(opened.photos);
    }
    let merged = handover::merge(&logs).map_err(|error| format!("{error}. {}", files::advice(&error)))?;
    let Some(log) = merged else {
        return Err("no files were named".to_owned());
    };
    let parts = Parts {
        date: today()?,
        app: APP.to_owned(),
        organization: None,
        contact: None,
    };
    let bytes = survey_file::write_with(&log, &parts, &photos).map_err(|error| error.to_string())?;
    files::write_new(&args.out, &bytes)?;
    let state = State::fold(&log);
    output::line(format_args!(
        "{}: {} entries of {} writers",
        args.out.display(),
        log.entries().len(),
        state.counts().len()
    ))?;
    differ::print(&log, &state)?;
    Ok(ExitCode::SUCCESS)
}

/// Today, UTC.
pub(crate) fn today() -> Result<Day, String> {
    #[allow(clippy::disallowed_methods, reason = "the desk is where the clock is read")]
    let now = SystemTime::now();
    let ms = now
        .duration_since(UNIX_EPOCH)
        .map_err(|error| error.to_string())?
        .as_millis();
    u64::try_from(ms)
        .ok()
        .and_then(Day::from_ms)
        .ok_or_else(|| "the clock of this computer shows no usable date".to_owned())
}
