//! `quarterlight outlook`: hours, storage, people's time, weeks and money of the whole collection, given assumptions.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use analysis::outlook::{Summary, collection, summary};
use costing::{
    Assumptions, Bought, Cause, Collection, Item, Kind, Outlook, Settings, Span, catalogue, simulate,
};
use survey::State;

use crate::{beside, files, output};

/// What saving the collection takes: hours, storage, staff, weeks and money, with ranges, given assumptions
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey file
    #[arg(required_unless_present_any = ["blank", "blank_scenario"])]
    file: Option<PathBuf>,
    /// A set of assumptions (JSON); without it those in the survey's log
    #[arg(long)]
    assumptions: Option<PathBuf>,
    /// Print an empty set of assumptions to fill in, and stop
    #[arg(long)]
    blank: bool,
    /// Print a scenario that changes nothing yet, and stop
    #[arg(long)]
    blank_scenario: bool,
    /// A scenario (JSON) to tell side by side with those in the survey's log; may be given several times
    #[arg(long)]
    scenario: Vec<PathBuf>,
    /// What this much money buys, in the set's currency
    #[arg(long)]
    budget: Option<f64>,
    /// What so many weeks are enough for, with the set's machines and people
    #[arg(long)]
    weeks: Option<f64>,
    /// The seed of the simulation; without it the survey's number, which is the report's and the app's
    #[arg(long)]
    seed: Option<String>,
    /// How many draws
    #[arg(long, default_value_t = 10_000)]
    draws: usize,
    /// The level of the intervals
    #[arg(long, default_value_t = 0.9)]
    level: f64,
    /// Also write what the simulation rests on, a row a box and item, as CSV
    #[arg(long)]
    rows: Option<PathBuf>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

/// Prints the outlook.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    if args.blank {
        output::print(&blank()?)?;
        return Ok(ExitCode::SUCCESS);
    }
    if args.blank_scenario {
        output::print(&beside::blank()?)?;
        return Ok(ExitCode::SUCCESS);
    }
    let Some(file) = &args.file else {
        return Err("a survey file is needed".to_owned());
    };
    let state = State::fold(&files::survey(file)?.log);
    let assumptions = match &args.assumptions {
        Some(path) => read(path)?,
        None => analysis::outlook::assumptions(&state),
    };
    let settings = Settings {
        seed: args.seed.clone().unwrap_or_else(|| state.survey.to_string()),
        draws: args.draws,
        level: args.level,
    };
    let collection = collection(&state);
    let outlook = simulate(&collection, &assumptions, &settings).map_err(|error| error.to_string())?;
    if let Some(path) = &args.rows {
        files::write_new(path, rows(&collection)?.as_slice())?;
    }
    let bought = args.budget.map(|budget| outlook.buys(budget));
    let done = args
        .weeks
        .map(|weeks| outlook.done_in(weeks, &assumptions.capacity));
    let summary = summary(&outlook, &assumptions);
    let saved = beside::saved(&state, &assumptions, &args.scenario)?;
    let side_by_side = beside::told(&outlook, &collection, &assumptions, &saved)?;
    let text = if args.json {
        #[derive(serde::Serialize)]
        struct Whole<'a> {
            #[serde(flatten)]
            summary: &'a Summary,
            #[serde(skip_serializing_if = "Option::is_none")]
            budget: Option<Vec<Bought>>,
            #[serde(skip_serializing_if = "Option::is_none")]
            in_weeks: Option<Vec<Bought>>,
            #[serde(skip_serializing_if = "Option::is_none")]
            side_by_side: Option<&'a costing::SideBySide>,
        }
        let whole = Whole {
            summary: &summary,
            budget: bought,
            in_weeks: done,
            side_by_side: side_by_side.as_ref(),
        };
        serde_json::to_string_pretty(&whole).map_err(|error| error.to_string())? + "\n"
    } else {
        let mut text = words(&outlook, &summary);
        text += &in_turn("For the budget", bought.as_deref());
        text += &in_turn("In the weeks", done.as_deref());
        text += &beside::words(side_by_side.as_ref(), &summary.currency);
        for (name, why) in &saved.unused {
            let _ = writeln!(text, "Saved, but not told: {name}: {why}");
        }
        text
    };
    output::print(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// One row an item that was read; a box of which none was read has one row without an item.
fn rows(collection: &Collection) -> Result<Vec<u8>, String> {
    let mut out = csv::Writer::from_writer(Vec::new());
    let failed = |error: csv::Error| error.to_string();
    let mut header: Vec<String> = [
        "stratum",
        "boxes",
        "box",
        "items_in_box",
        "judged",
        "class",
        "by_hand",
        "group",
    ]
    .map(str::to_owned)
    .to_vec();
    for name in ["own", "slower", "passes", "tracks"] {
        header.extend(["low", "likely", "high"].map(|end| format!("{name}_{end}")));
    }
    out.write_record(&header).map_err(failed)?;
    for stratum in &collection.strata {
        for (number, b) in stratum.sampled.iter().enumerate() {
            let of_box = [
                stratum.key.clone(),
                stratum.n_boxes.to_string(),
                (number + 1).to_string(),
                b.n_items.map(|n| n.to_string()).unwrap_or_default(),
                u8::from(b.judged).to_string(),
            ];
            let mut write = |item: Option<&Item>| {
                let mut row = of_box.to_vec();
                let class = item.map(|item| collection.classes[item.class].key.clone());
                let by_hand = item.map(|item| u8::from(item.by_hand).to_string());
                row.extend([class.unwrap_or_default(), by_hand.unwrap_or_default()]);
                let playing = item.and_then(|item| item.playing);
                row.push(playing.map(|p| p.group.to_string()).unwrap_or_default());
                let ranges = playing.map(|p| [p.pass_hours, p.slower, p.passes, p.tracks]);
                for at in 0..4 {
                    let ends = ranges.map(|ranges| ranges[at]);
                    for end in [ends.map(|r| r.low), ends.map(|r| r.likely), ends.map(|r| r.high)] {
                        row.push(end.map(|value| value.to_string()).unwrap_or_default());
                    }
                }
                out.write_record(&row).map_err(failed)
            };
            if b.read.is_empty() {
                write(None)?;
            }
            b.read.iter().try_for_each(|item| write(Some(item)))?;
        }
    }
    out.into_inner().map_err(|error| error.to_string())
}

fn read(path: &Path) -> Result<Assumptions, String> {
    let bytes = files::bytes(path)?;
    let text = String::from_utf8_lossy(&bytes);
    analysis::outlook::read(&text).map_err(|error| format!("{}: {error}", path.display()))
}

/// A set with the defaults written out, and every price waiting for its value.
fn blank() -> Result<String, String> {
    let mut set = serde_json::to_value(Assumptions::default()).map_err(|error| error.to_string())?;
    let mut values = serde_json::Map::new();
    for entry in catalogue() {
        if let Some(range) = entry.default {
            let value = costing::Value {
                range,
                source: entry.source.to_owned(),
                date: String::new(),
            };
            let value = serde_json::to_value(value).map_err(|error| error.to_string())?;
            values.insert(entry.key.to_owned(), value);
        }
    }
    set["values"] = values.into();
    let mut text = serde_json::to_string_pretty(&set).map_err(|error| error.to_string())?;
    text.push('\n');
    eprintln!(
        "Prices are yours to add to \"values\", each as {{\"low\":…, \"likely\":…, \"high\":…, \"source\":…, \"date\":…}}:"
    );
    for entry in catalogue().iter().filter(|entry| entry.kind == Kind::Money) {
        eprintln!("  {:24} {}", entry.key, entry.label);
    }
    Ok(text)
}

fn words(outlook: &Outlook, summary: &Summary) -> String {
    let mut text = format!(
        "Given these assumptions ({} draws, seed {:?}; {:.0}% intervals):\n",
        summary.draws,
        summary.seed,
        summary.level * 100.0
    );
    for (id, name) in QUANTITIES {
        if let Some(span) = outlook.range(id) {
            line(&mut text, name, span);
        }
    }
    if let Some(n) = summary.learned {
        let _ = writeln!(
            text,
            "  Learned: hours, and what hangs on them, are put right by the transfer of {n} items."
        );
    }
    if summary.quantities.contains_key("cost.total") {
        if let Some(span) = outlook.range("cost.total") {
            line(&mut text, &format!("Cost, {}", summary.currency), span);
        }
        let _ = writeln!(text, "  Not priced: {}.", summary.not_priced.join(", "));
    } else {
        text.push_str("  No cost: no price was given (see --blank).\n");
    }
    let _ = writeln!(text, "What moves {} most, if it were known:", summary.drivers_of);
    for driving in summary.drivers.iter().take(6) {
        let _ = writeln!(
            text,
            "  {}: {:.0}% of the variance; the interval would be about {:.0}% narrower",
            cause(&driving.cause),
            driving.share * 100.0,
            (1.0 - driving.width_then) * 100.0
        );
    }
    text.push_str("  not ranked, for errors of reading are in no range: a repeat check of some boxes by a second person\n");
    text
}

/// What is done class after class; nothing where it was not asked.
fn in_turn(with: &str, bought: Option<&[Bought]>) -> String {
    let Some(bought) = bought else {
        return String::new();
    };
    let mut text = format!("{with}, the most pressing first:\n");
    for bought in bought {
        let label = tape::actions()
            .iter()
            .find(|a| a.key == bought.class)
            .map_or("", |a| a.label);
        let _ = writeln!(
            text,
            "  {label}: {:.0} items done ({:.0} to {:.0}); all of them with a chance of {:.0}%",
            bought.items.mean,
            bought.items.low,
            bought.items.high,
            bought.chance_of_all * 100.0
        );
    }
    text
}

pub(crate) const QUANTITIES: [(&str, &str); 7] = [
    ("items", "Items"),
    ("content_hours", "Hours of sound"),
    ("machine_hours", "Machine hours"),
    ("staff_hours", "Staff hours"),
    ("weeks", "Weeks"),
    ("gigabytes_masters", "Gigabytes (GB), one copy of the masters"),
    ("gigabytes", "Gigabytes (GB), all copies"),
];

fn line(text: &mut String, name: &str, span: Span) {
    let [mean, low, high] = [span.mean, span.low, span.high].map(rounded);
    let _ = writeln!(text, "  {name}: {mean} ({low} to {high})");
}

/// To three figures: more would claim more than ranges of assumptions can carry.
pub(crate) fn rounded(value: f64) -> String {
    let digits = format!("{:.0}", value.abs()).len();
    let places = digits.saturating_sub(3);
    let unit = format!("1{}", "0".repeat(places)).parse::<f64>().unwrap_or(1.0);
    format!("{:.0}", (value / unit).round() * unit)
}

fn cause(cause: &Cause) -> String {
    match cause {
        Cause::Sample(stratum) => format!("ten more boxes of {stratum}"),
        Cause::Speed(group) => format!("the speed of: {group}"),
        Cause::Tracks(group) => format!("the tracks of: {group}"),
        Cause::Transfers => "more of the items transferred".to_owned(),
        Cause::Assumption(key) => catalogue()
            .iter()
            .find(|entry| entry.key == key)
            .map_or_else(|| key.clone(), |entry| format!("the assumption: {}", entry.label)),
    }
}
