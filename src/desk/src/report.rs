//! `quarterlight report`: the report of a survey and its companions, made anew from the log.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use handover::Opened;
use handover::papers::{Paper, Papers};
use handover::report::{self, OPTIONAL, Options, SECTIONS};
use survey::State;

use crate::{files, output};

/// Write the report and its companions: report.html, paragraph.txt, workbook.xlsx, pbcore.xml
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file
    file: PathBuf,
    /// The folder to write into; it is made if it is not there, and nothing in it is overwritten
    #[arg(long)]
    out: PathBuf,
    /// Leave out places, names and whatever else somebody typed: a version for outsiders
    #[arg(long)]
    without_places: bool,
    /// A text of your own (UTF-8), marked as such in the report
    #[arg(long)]
    own_text: Option<PathBuf>,
    /// A text of your own at the end of a section, as SECTION=FILE (UTF-8); may be given several times
    #[arg(long, value_parser = in_section)]
    own_text_in: Vec<(String, PathBuf)>,
    /// Who answers for the report
    #[arg(long)]
    author: Option<String>,
    /// What qualifies them
    #[arg(long)]
    qualifications: Option<String>,
    /// Which version of the report it is
    #[arg(long = "report-version")]
    version: Option<String>,
    /// A section to leave out; may be given several times
    #[arg(long, value_parser = OPTIONAL.map(|(key, _)| key))]
    leave_out: Vec<String>,
    /// The survey file of an earlier visit: a section on what changed since
    #[arg(long)]
    earlier: Option<PathBuf>,
}

/// Writes the files and names them.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let opened = files::survey(&args.file)?;
    let options = options(args, &opened)?;
    let Opened { log, parts, .. } = &opened;
    let earlier = match &args.earlier {
        Some(path) => Some(files::survey(path)?.log),
        None => None,
    };
    let mut made = Vec::new();
    let state = State::fold(log);
    let papers = Papers::new(log, &state, None, &mut |_, _| {});
    for what in Paper::ALL {
        let bytes = papers
            .paper(parts, &options, what, earlier.as_ref())
            .map_err(|error| error.to_string())?;
        made.push((what.name(), bytes));
    }
    // All or nothing: a second report in the same folder would leave a mixture.
    if let Some((name, _)) = made.iter().find(|(name, _)| args.out.join(name).exists()) {
        let path = args.out.join(name);
        return Err(format!(
            "{} is there already: choose another folder",
            path.display()
        ));
    }
    std::fs::create_dir_all(&args.out)
        .map_err(|error| format!("{} cannot be made: {error}", args.out.display()))?;
    for (name, bytes) in &made {
        let path = args.out.join(name);
        files::write_new(&path, bytes)?;
        output::line(path.display())?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The survey's own options, and over them what was asked for here.
fn options(args: &Args, opened: &Opened) -> Result<Options, String> {
    let mut options = Options::of(&State::fold(&opened.log));
    options.without_places |= args.without_places;
    if let Some(path) = &args.own_text {
        options.own_text = own_text(path, report::MAX_OWN_TEXT)?;
    }
    for (section, path) in &args.own_text_in {
        let text = own_text(path, report::MAX_SECTION_TEXT)?;
        options.own.insert(section.clone(), text);
    }
    let said = [
        (&mut options.author, &args.author),
        (&mut options.qualifications, &args.qualifications),
        (&mut options.version, &args.version),
    ];
    for (option, said) in said {
        if let Some(said) = said {
            option.clone_from(said);
        }
    }
    options.leave_out.extend(args.leave_out.iter().cloned());
    Ok(options)
}

/// Reads `SECTION=FILE`.
fn in_section(text: &str) -> Result<(String, PathBuf), String> {
    let keys = SECTIONS.map(|(key, _)| key);
    let (section, file) = text.split_once('=').ok_or("SECTION=FILE is meant")?;
    if !keys.contains(&section) {
        return Err(format!(
            "there is no section {section:?}; there are {}",
            keys.join(", ")
        ));
    }
    Ok((section.to_owned(), PathBuf::from(file)))
}

fn own_text(path: &Path, most: usize) -> Result<String, String> {
    let text = String::from_utf8(files::bytes(path)?)
        .map_err(|_| format!("{} is no text in UTF-8: save it as plain text", path.display()))?;
    let n = text.chars().count();
    if n > most {
        return Err(format!(
            "{} has {n} characters; {most} are the most, so that the survey's log can hold it",
            path.display(),
        ));
    }
    Ok(text)
}
