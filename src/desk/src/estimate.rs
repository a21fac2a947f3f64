//! `quarterlight estimate`: the door for statisticians. Two tables in, every estimate out; see the project's README for
//! the columns.

use std::path::PathBuf;
use std::process::ExitCode;

use analysis::tables::{self, Options, ShareEstimate, Tables, TotalEstimate};
use sampling::interval::Kind;
use sampling::linear::Lonely;

use crate::{files, output};

/// Estimate totals, shares and means, with limits, from two tables: the boxes of the frame and the drawn items
#[derive(clap::Args)]
#[allow(clippy::doc_markdown, reason = "printed by --help as it stands")]
pub(crate) struct Args {
    /// Every box of the frame: stratum,box_id,sampled,items_in_box[,status][,size]
    #[arg(long, value_name = "CSV")]
    boxes: PathBuf,
    /// Every drawn item: stratum,box_id,item_id, and a column for each condition or quantity
    #[arg(long, value_name = "CSV")]
    items: PathBuf,
    /// The level of all limits
    #[arg(long, default_value_t = 0.95)]
    confidence: f64,
    /// The interval of a share: default (model and design joined), blended (blended effective size), logit,
    /// beta (Korn-Graubard) or wilson
    #[arg(long, value_name = "NAME", default_value = "default", value_parser = interval)]
    interval: Kind,
    /// Where one box was sampled of a stratum's several: fail, certainty, adjust or average
    #[arg(long, value_name = "NAME", default_value = "average", value_parser = lonely)]
    lonely: Lonely,
    /// Make totals ratio totals on a known measure of every box
    #[arg(long, value_name = "COLUMN", value_parser = ["size"])]
    ratio: Option<String>,
    /// JSON with every figure in full precision, instead of a table to read
    #[arg(long)]
    json: bool,
}

fn interval(name: &str) -> Result<Kind, String> {
    Kind::named(name).ok_or_else(|| names(Kind::NAMES.map(|(name, _)| name)))
}

fn lonely(name: &str) -> Result<Lonely, String> {
    Lonely::named(name).ok_or_else(|| names(Lonely::NAMES.map(|(name, _)| name)))
}

fn names<const N: usize>(names: [&str; N]) -> String {
    format!("one of {} is meant", names.join(", "))
}

/// Prints the estimates; a bad value is an error that names its table, row and column.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    if !(args.confidence > 0.0 && args.confidence < 1.0) {
        return Err(format!(
            "--confidence {} is not between 0 and 1: 0.95 is meant, say",
            args.confidence
        ));
    }
    let text = |path: &PathBuf| {
        String::from_utf8(files::bytes(path)?)
            .map_err(|_| format!("{} is not text in UTF-8: save it as CSV UTF-8", path.display()))
    };
    let tables = Tables::read(&text(&args.boxes)?, &text(&args.items)?).map_err(|error| error.to_string())?;
    let options = Options {
        level: args.confidence,
        interval: args.interval,
        lonely: args.lonely,
        ratio_to_size: args.ratio.is_some(),
    };
    let made = tables::estimate(&tables, &options).map_err(|error| error.to_string())?;
    if args.json {
        output::line(format_args!(
            "{}",
            serde_json::to_string_pretty(&made).map_err(|error| error.to_string())?
        ))?;
    } else {
        output::print(&readable(&made))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The estimates as lines to read: what, estimate, standard error, limits, method.
fn readable(made: &tables::Estimates) -> String {
    let mut lines = Vec::new();
    let mut total = |what: &str, e: &TotalEstimate| {
        lines.push(line(what, [e.estimate, e.se, e.low, e.high], 1, &e.method));
    };
    total("items", &made.items);
    for (name, condition) in &made.conditions {
        total(&format!("{name}, count"), &condition.count);
    }
    for (name, quantity) in &made.quantities {
        total(&format!("{name}, total"), &quantity.total);
    }
    let mut share = |what: &str, e: &ShareEstimate| {
        lines.push(line(what, [e.estimate, e.se, e.low, e.high], 4, &e.method));
    };
    for (name, condition) in &made.conditions {
        share(&format!("{name}, share"), &condition.share);
    }
    for (name, quantity) in &made.quantities {
        share(&format!("{name}, mean"), &quantity.mean);
    }
    let level = made.design.confidence;
    let head = format!(
        "{:<32}{:>12}{:>12}{:>12}{:>12}  method (level {level})\n",
        "", "estimate", "se", "low", "high"
    );
    head + &lines.concat()
}

fn line(what: &str, figures: [Option<f64>; 4], digits: usize, method: &str) -> String {
    let cells = figures.map(|f| f.map_or_else(|| format!("{:>12}", "-"), |f| format!("{f:>12.digits$}")));
    format!("{what:<32}{}  {method}\n", cells.concat())
}
