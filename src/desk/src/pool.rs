//! `quarterlight pool`: the surveys of several collections put together.

use std::path::PathBuf;
use std::process::ExitCode;

use analysis::pool::{self, Pool, PoolError};
use analysis::tables::{Options, TotalEstimate};
use survey::State;

use crate::{files, output};

/// Estimate over several collections, each with a survey of its own: all that there are, or a sample of them
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey files, one a collection
    #[arg(required = true)]
    from: Vec<PathBuf>,
    /// The collections are a random sample of a list of so many; without it they are all that there are
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..=1_000_000_000))]
    of: Option<u64>,
    /// The level of all limits
    #[arg(long, default_value_t = 0.95)]
    confidence: f64,
    /// JSON with every figure in full precision, instead of a table to read
    #[arg(long)]
    json: bool,
}

/// Prints the estimates; whatever is wrong with a file is said with its name.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    if !(args.confidence > 0.0 && args.confidence < 1.0) {
        return Err(format!(
            "the level {} is not between 0 and 1: 0.95 is meant, say",
            args.confidence
        ));
    }
    let mut states = Vec::new();
    for path in &args.from {
        states.push((path.display().to_string(), State::fold(&files::survey(path)?.log)));
    }
    let named: Vec<(&str, &State)> = states
        .iter()
        .map(|(name, state)| (name.as_str(), state))
        .collect();
    let options = Options {
        level: args.confidence,
        ..Options::default()
    };
    let made = pool::pool(&named, args.of, &options).map_err(|error| said(&error))?;
    let text = if args.json {
        serde_json::to_string_pretty(&made).map_err(|error| error.to_string())? + "\n"
    } else {
        readable(&made)
    };
    output::print(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn said(error: &PoolError) -> String {
    match error {
        PoolError::NothingCounted(_) => {
            format!(
                "{error}. Check some of its boxes first, or leave the collection out of what you want to say."
            )
        }
        _ => error.to_string(),
    }
}

fn readable(made: &Pool) -> String {
    let mut text = format!("{}\n", made.design);
    for c in &made.collections {
        text += &format!("  {} ({}): {} of {} boxes\n", c.name, c.title, c.sampled, c.boxes);
        for left in &c.left_out {
            text += &format!("    outside these figures: {left}\n");
        }
    }
    let level = made.confidence;
    text += &format!(
        "\n{:<44}{:>12}{:>12}{:>12}{:>12}  method (level {level})\n",
        "", "estimate", "se", "low", "high"
    );
    let mut line = |what: &str, e: &TotalEstimate, digits: usize| {
        let cells = [e.estimate, e.se, e.low, e.high]
            .map(|f| f.map_or_else(|| format!("{:>12}", "-"), |f| format!("{f:>12.digits$}")));
        text += &format!("{what:<44}{}  {}\n", cells.concat(), e.method);
    };
    line("items", &made.items, 1);
    let shares = [("", &made.conditions), ("carrier ", &made.carriers)];
    for (kind, figures) in shares {
        for (name, figure) in figures {
            line(&format!("{kind}{name}, share"), &figure.share, 4);
            line(&format!("{kind}{name}, count"), &figure.count, 1);
        }
    }
    for (name, figure) in &made.quantities {
        line(&format!("{name}, total"), &figure.total, 1);
        line(&format!("{name}, mean"), &figure.mean, 3);
    }
    text
}
