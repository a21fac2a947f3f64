//! `quarterlight learn`: what the first transfers found, put into a survey's log; and the draw of items for them.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use analysis::figures::{Measure, figures};
use analysis::learned::{self, Learned};
use handover::{survey_file, transfers};
use survey::{Command, State, Subject, decide};
use tape::Answer;

use crate::{APP, files, merge, output, plan};

/// Put true durations and conditions from the first transfers into a survey file, or choose items for them by chance
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file
    file: PathBuf,
    /// Choose so many of the items that were looked at, by chance, and print a table to fill in
    #[arg(long, requires = "seed", conflicts_with_all = ["transfers", "out"])]
    choose: Option<usize>,
    /// The seed of that choice: thrown dice, say; give it again with --transfers
    #[arg(long)]
    seed: Option<String>,
    /// A table of what was found: CSV with the columns item, minutes and found
    #[arg(long)]
    transfers: Option<PathBuf>,
    /// Chance chose the items in another way; without this and --seed they count as chosen on purpose
    #[arg(long, conflicts_with = "seed")]
    chosen_at_random: bool,
    /// Who says so
    #[arg(long, default_value = "")]
    person: String,
    /// The file to write; it must not be there yet
    #[arg(short, long, requires = "transfers")]
    out: Option<PathBuf>,
}

/// Prints what was learned, of the table given or of what the log holds already.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let opened = files::survey(&args.file)?;
    let mut log = opened.log;
    let state = State::fold(&log);
    if let (Some(n), Some(seed)) = (args.choose, &args.seed) {
        let order = learned::order(&state, seed)?;
        if order.is_empty() {
            return Err("no item was looked at yet, so there is none to choose".to_owned());
        }
        let chosen = order.get(..n).unwrap_or(&order);
        output::print(&String::from_utf8_lossy(&transfers::blank(chosen)))?;
        return Ok(ExitCode::SUCCESS);
    }
    if let Some(path) = &args.transfers {
        let found = transfers::read(&files::bytes(path)?, &state).map_err(|problems| {
            let mut text = format!("{}: nothing of it was taken.", path.display());
            for problem in &problems.named {
                let _ = write!(text, "\n  {problem}");
            }
            let more = problems.count - problems.named.len();
            if more > 0 {
                let _ = write!(text, "\n  and {more} more");
            }
            text
        })?;
        let chosen = match &args.seed {
            Some(seed) => learned::by_draw(seed),
            None if args.chosen_at_random => learned::BY_CHANCE.to_owned(),
            None => learned::ON_PURPOSE.to_owned(),
        };
        let mut commands: Vec<(Subject, Vec<(String, Answer)>)> = found
            .iter()
            .map(|transfer| (Subject::Item(transfer.item), transfer.answers()))
            .collect();
        commands.push((
            Subject::Survey,
            vec![(learned::CHOSEN.to_owned(), Answer::Text(chosen))],
        ));
        let author = plan::author(&args.person, &log.to_lines())?;
        for (subject, answers) in commands {
            // One state serves all: each command is about a subject of its own.
            let entries = decide(&log, &state, &author, Command::AnswerAll { subject, answers })
                .map_err(|refusal| refusal.to_string())?;
            for entry in entries {
                log.insert(entry).map_err(|error| error.to_string())?;
            }
        }
    }
    let state = State::fold(&log);
    let Some(made) = figures(&state).learned else {
        return Err(
            "the survey holds no transfers yet: name a table with --transfers, or choose items with --choose and --seed"
                .to_owned(),
        );
    };
    if let Some(out) = &args.out {
        let mut parts = opened.parts;
        parts.date = merge::today()?;
        APP.clone_into(&mut parts.app);
        let bytes =
            survey_file::write_with(&log, &parts, &opened.photos).map_err(|error| error.to_string())?;
        files::write_new(out, &bytes)?;
    }
    output::print(&words(&made))?;
    Ok(ExitCode::SUCCESS)
}

fn words(made: &Learned) -> String {
    let mut text = format!(
        "Transferred: {} of the {} items that were looked at; chosen: {}.\n",
        made.n_read,
        made.n_looked,
        how(&made.chosen)
    );
    if let Some(hours) = made.hours {
        let _ = writeln!(
            text,
            "Hours of sound, of the {} items of which both are known: {:.2} said, {:.2} found.",
            hours.n, hours.said, hours.found
        );
    }
    for (key, c) in &made.conditions {
        let _ = writeln!(
            text,
            "{key}: {} said and found, {} said alone, {} found alone, {} neither, {} not said",
            c.both, c.said, c.found, c.neither, c.not_said
        );
    }
    if let Some(why) = &made.refused {
        let _ = writeln!(text, "No estimate is put right: {why}.");
    }
    for (id, right) in &made.figures {
        let figure = &right.figure;
        let (times, digits) = match figure.measure {
            Measure::Share => (100.0, 1),
            _ => (1.0, 2),
        };
        let shown = |value: Option<f64>| {
            value.map_or_else(|| "-".to_owned(), |value| format!("{:.digits$}", value * times))
        };
        let _ = writeln!(
            text,
            "{id}, put right: {} ({} to {}); before: {}",
            shown(Some(figure.estimate)),
            shown(figure.low),
            shown(figure.high),
            shown(right.before)
        );
    }
    text
}

fn how(chosen: &str) -> String {
    match chosen {
        learned::BY_CHANCE => "by chance, as was said; nothing here can show it".to_owned(),
        learned::ON_PURPOSE => "on purpose".to_owned(),
        draw => format!("by the {draw}"),
    }
}
