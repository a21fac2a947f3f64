//! `quarterlight change`: what changed between two visits to one collection.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use analysis::change::{Change, Changed, Drawn, change};
use analysis::figures::Measure;
use survey::State;

use crate::{files, output};

/// What changed between two visits to one collection, with the interval of each change
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file of the first visit
    first: PathBuf,
    /// The survey file of the second visit
    second: PathBuf,
    /// JSON with every figure in full precision, instead of words
    #[arg(long)]
    json: bool,
}

/// Prints the changes. Exit code 1 where the two cannot be compared: that is an answer too.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let first = State::fold(&files::survey(&args.first)?.log);
    let second = State::fold(&files::survey(&args.second)?.log);
    let made = match change(&first, &second) {
        Ok(made) => made,
        Err(why) => {
            eprintln!(
                "quarterlight: {} and {} cannot be compared: {why}. List the same boxes in the same order for the second visit, \
                 under the same labels; then draw and check.",
                args.first.display(),
                args.second.display()
            );
            return Ok(ExitCode::from(1));
        }
    };
    let text = if args.json {
        serde_json::to_string_pretty(&made).map_err(|error| error.to_string())? + "\n"
    } else {
        words(&made)
    };
    output::print(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn words(made: &Change) -> String {
    let [then, now] = &made.visits;
    let how = match made.drawn {
        Drawn::Again => "by the first visit's draw",
        Drawn::Apart => "with a draw of its own",
    };
    let mut text = format!(
        "First visit: {} boxes; second: {} boxes, {how}. Boxes that both reached: {}. Limits: {:.0}%.\n",
        then.sampled,
        now.sampled,
        made.common_boxes,
        made.confidence * 100.0
    );
    // The number of items beside each share is in the JSON: the two change together.
    let sure = |sure: bool| made.told(sure);
    text.push_str("\nMore than the draw of boxes explains:\n");
    if sure(true).next().is_none() {
        text.push_str("  nothing\n");
    }
    for (id, changed) in sure(true) {
        line(&mut text, id, changed);
    }
    text.push_str("\nMay have changed or not; the limits hold no change too:\n");
    for (id, changed) in sure(false) {
        line(&mut text, id, changed);
    }
    text.push('\n');
    for note in &made.notes {
        let _ = writeln!(text, "{note}");
    }
    text
}

fn line(text: &mut String, id: &str, changed: &Changed) {
    let (times, unit, digits) = match changed.measure {
        Measure::Share => (100.0, "%", 1),
        Measure::Count => (1.0, "", 0),
        Measure::Total => (1.0, "", 1),
        Measure::Mean => (1.0, "", 3),
    };
    let points = if unit == "%" { " points" } else { "" };
    let shown = |value: f64| format!("{:.digits$}", value * times);
    let signed = |value: f64| format!("{:+.digits$}", value * times);
    let _ = write!(
        text,
        "  {id}: {}{unit} then, {}{unit} now: {}{points}",
        shown(changed.first),
        shown(changed.second),
        signed(changed.change)
    );
    match changed.low.zip(changed.high) {
        Some((low, high)) => {
            let _ = writeln!(text, " ({} to {})", signed(low), signed(high));
        }
        None => text.push_str(" (no limits)\n"),
    }
}
