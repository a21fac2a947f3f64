//! `quarterlight plan`: puts a set of assumptions and a writer's options for the report into a survey's log.
//!
//! They are answers like any other: the file that is written is the same survey, with a desk as one more writer.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{SystemTime, UNIX_EPOCH};

use analysis::{outlook, scenarios};
use handover::report::{self, Options};
use handover::survey_file;
use sha2::{Digest, Sha256};
use survey::{Author, Command, DeviceId, State, Subject, WriterId, decide};
use tape::Answer;

use crate::{APP, files, merge, output};

/// What the file of options may hold.
const OPTION_NAMES: &str = "leave_out, own_text, author, qualifications, version, without_places";

/// Put assumptions, and what the report says beside its figures, into a survey file
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file
    file: PathBuf,
    /// A set of assumptions (JSON, see `quarterlight outlook --blank`)
    #[arg(long)]
    assumptions: Option<PathBuf>,
    /// The report's options (JSON; every part may be left out)
    #[arg(long)]
    report_options: Option<PathBuf>,
    /// A scenario to be told side by side (JSON, see `quarterlight outlook --blank-scenario`); may be given several times
    #[arg(long)]
    scenario: Vec<PathBuf>,
    /// The name of a scenario to take away again; may be given several times
    #[arg(long)]
    drop_scenario: Vec<String>,
    /// Who asked for the survey
    #[arg(long)]
    for_whom: Option<String>,
    /// What will be decided with it
    #[arg(long)]
    purpose: Option<String>,
    /// Who says so; stands beside the assumptions in the report
    #[arg(long)]
    person: String,
    /// The file to write; it must not be there yet
    #[arg(short, long)]
    out: PathBuf,
}

/// Writes the file with the answers added.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let opened = files::survey(&args.file)?;
    let mut answers = answers(args)?;
    answers.extend(scenarios(args, &State::fold(&opened.log), &answers)?);
    if answers.is_empty() {
        return Err(
            "nothing to put in: name --assumptions, --scenario, --report-options, --for-whom or --purpose"
                .to_owned(),
        );
    }
    let mut log = opened.log;
    let state = State::fold(&log);
    let author = author(&args.person, &log.to_lines())?;
    let command = Command::AnswerAll {
        subject: Subject::Survey,
        answers,
    };
    let entries = decide(&log, &state, &author, command).map_err(|refusal| refusal.to_string())?;
    for entry in entries {
        log.insert(entry).map_err(|error| error.to_string())?;
    }
    let mut parts = opened.parts;
    parts.date = merge::today()?;
    APP.clone_into(&mut parts.app);
    let bytes = survey_file::write_with(&log, &parts, &opened.photos).map_err(|error| error.to_string())?;
    files::write_new(&args.out, &bytes)?;
    output::line(args.out.display())?;
    Ok(ExitCode::SUCCESS)
}

fn answers(args: &Args) -> Result<Vec<(String, Answer)>, String> {
    let mut answers = Vec::new();
    if let Some(path) = &args.assumptions {
        let set = outlook::read(&text(path)?).map_err(|error| format!("{}: {error}", path.display()))?;
        answers.push((
            outlook::ASSUMPTIONS.to_owned(),
            Answer::Text(outlook::write(&set)?),
        ));
    }
    if let Some(path) = &args.report_options {
        let options: Options = serde_json::from_str(&text(path)?)
            .map_err(|error| format!("{}: {error}. Its parts: {OPTION_NAMES}.", path.display()))?;
        answers.push((report::QUESTION.to_owned(), options.answer()));
    }
    for (question, said) in [("for_whom", &args.for_whom), ("purpose", &args.purpose)] {
        if let Some(said) = said {
            answers.push((question.to_owned(), Answer::Text(said.clone())));
        }
    }
    Ok(answers)
}

/// Scenarios are checked beside the assumptions that the file will hold.
fn scenarios(
    args: &Args,
    state: &State,
    answers: &[(String, Answer)],
) -> Result<Vec<(String, Answer)>, String> {
    let planned = match answers
        .iter()
        .find(|(question, _)| question == outlook::ASSUMPTIONS)
    {
        Some((_, Answer::Text(json))) => outlook::read(json)?,
        _ => outlook::assumptions(state),
    };
    let mut made = Vec::new();
    for path in &args.scenario {
        let scenario = scenarios::read(&text(path)?, &planned)
            .map_err(|error| format!("{}: {error}", path.display()))?;
        made.push((scenarios::question(&scenario.name), scenarios::answer(&scenario)?));
    }
    for name in &args.drop_scenario {
        let question = scenarios::question(name);
        if state.answer(Subject::Survey, &question).is_none() {
            return Err(format!(
                "there is no scenario called {name:?} in {}",
                args.file.display()
            ));
        }
        made.push((question, Answer::Text(String::new())));
    }
    Ok(made)
}

fn text(path: &Path) -> Result<String, String> {
    String::from_utf8(files::bytes(path)?).map_err(|_| format!("{} is no text in UTF-8", path.display()))
}

/// A writer of this minute: its number is made of the log and the clock, so that no two are alike.
pub(crate) fn author(person: &str, log: &[u8]) -> Result<Author, String> {
    #[allow(clippy::disallowed_methods, reason = "the desk is where the clock is read")]
    let now = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_err(|error| error.to_string())?;
    let id = |what: &str| {
        let digest = Sha256::new()
            .chain_update(what)
            .chain_update(now.as_nanos().to_be_bytes())
            .chain_update(std::process::id().to_be_bytes())
            .chain_update(log)
            .finalize();
        let mut bytes = [0; 16];
        bytes
            .iter_mut()
            .zip(digest.iter())
            .for_each(|(to, from)| *to = *from);
        bytes
    };
    Ok(Author {
        writer: WriterId(id("writer")),
        device: DeviceId(id("device")),
        device_name: "a desk".to_owned(),
        person: person.to_owned(),
        app: APP.to_owned(),
        looked: String::new(),
        now_ms: u64::try_from(now.as_millis()).map_err(|error| error.to_string())?,
    })
}
