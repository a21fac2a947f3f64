//! `quarterlight findings`: what the rules make of described tapes, for trying cases at a desk.

use std::path::PathBuf;
use std::process::ExitCode;

use serde_json::{Value, json};
use tape::{Amount, Caution, Finding, Strength, WatchList, action, cautions_for_box, cautions_for_item};

use crate::answers::{self, Row};
use crate::{files, output};

/// Findings, cautions, action and playing time for a table of described tapes
#[derive(clap::Args)]
pub(crate) struct Args {
    /// A CSV table, a row an item, a column a question (see `quarterlight questions`)
    #[arg(long)]
    answers: PathBuf,
    /// Your watch-list as CSV: name, behaviours, note, source
    #[arg(long)]
    watch: Option<PathBuf>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

/// Prints what follows for each row. Exit code 0, or 2 when the table cannot be read.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let watch = match &args.watch {
        Some(path) => {
            let (heading, rows) =
                answers::table(&files::bytes(path)?).map_err(|e| format!("{}: {e}", path.display()))?;
            WatchList::from_rows(&heading, &rows).map_err(|e| e.to_string())?
        }
        None => WatchList::default(),
    };
    let rows = answers::read(&args.answers)?;
    if args.json {
        let all: Vec<Value> = rows.iter().map(|row| as_json(row, &watch)).collect();
        output::line(format_args!(
            "{}",
            serde_json::to_string_pretty(&all).map_err(|e| e.to_string())?
        ))?;
    } else {
        output::print(&rows.iter().map(|row| as_text(row, &watch)).collect::<String>())?;
    }
    Ok(ExitCode::SUCCESS)
}

fn found(row: &Row, watch: &WatchList) -> Vec<Finding> {
    tape::findings_watching(&row.boxed, &row.item, watch)
}

/// The cautions of the answers and of the findings, each once.
fn all_cautions(row: &Row, found: &[Finding]) -> Vec<&'static Caution> {
    let mut out: Vec<&'static Caution> = Vec::new();
    let at_once = cautions_for_box(&row.boxed)
        .into_iter()
        .chain(cautions_for_item(&row.item));
    for caution in at_once.chain(found.iter().flat_map(|f| f.cautions.iter().copied())) {
        if !out.contains(&caution) {
            out.push(caution);
        }
    }
    out
}

fn as_json(row: &Row, watch: &WatchList) -> Value {
    let found = found(row, watch);
    let class = action(&found);
    let amount = |a: Amount| json!({ "low": a.low, "likely": a.likely, "high": a.high });
    let playing = tape::playing(&row.item).map(|p| {
        json!({
            "content_hours": amount(p.content),
            "transfer_hours": amount(p.transfer),
            "channel_hours": amount(p.channel_hours),
            "passes": amount(p.passes),
            "shared": p.shared,
            "reasons": p.reasons,
        })
    });
    let findings: Vec<Value> = found
        .iter()
        .map(|f| {
            json!({
                "key": f.key,
                "title": f.title,
                "strength": f.strength.word(),
                "for": f.evidence_for,
                "against": f.against,
                "not_looked": f.not_looked,
                "contradictions": f.contradictions,
                "cautions": f.cautions.iter().map(|c| c.key).collect::<Vec<_>>(),
                "next": f.next,
                "source": f.source,
            })
        })
        .collect();
    json!({
        "item": row.name,
        "action": { "key": class.key, "label": class.label },
        "findings": findings,
        "cautions": all_cautions(row, &found).iter().map(|c| c.key).collect::<Vec<_>>(),
        "conditions": tape::condition_values(&row.boxed, &row.item),
        "playing": playing,
    })
}

fn as_text(row: &Row, watch: &WatchList) -> String {
    use std::fmt::Write as _;
    let found = found(row, watch);
    let class = action(&found);
    let mut out = format!(
        "{}: {}\n  {} {}\n",
        row.name, class.label, class.handling, class.plan
    );
    let mut line = |text: String| {
        // Writing to a string cannot fail.
        let _ = writeln!(out, "{text}");
    };
    for f in found.iter().filter(|f| f.strength >= Strength::Possible) {
        line(format!("  {}: {}", f.title, f.strength.word()));
        for (sign, lines) in [
            ("+", &f.evidence_for),
            ("-", &f.against),
            ("!", &f.contradictions),
            ("?", &f.not_looked),
        ] {
            for text in lines {
                line(format!("    {sign} {text}"));
            }
        }
        for step in &f.next {
            line(format!("    > {step}"));
        }
    }
    let names = |strength: Strength| {
        found
            .iter()
            .filter(|f| f.strength == strength)
            .map(|f| f.title)
            .collect::<Vec<_>>()
            .join(", ")
    };
    for (word, titles) in [
        ("cannot tell", names(Strength::CannotTell)),
        ("no sign", names(Strength::NoSign)),
    ] {
        if !titles.is_empty() {
            line(format!("  {word}: {titles}"));
        }
    }
    for caution in all_cautions(row, &found) {
        line(format!("  CAUTION {}: {}", caution.title, caution.text));
    }
    if let Some(p) = tape::playing(&row.item) {
        let hours = |a: Amount| format!("{:.2} h ({:.2} to {:.2})", a.likely, a.low, a.high);
        line(format!(
            "  content {}, transfer {}",
            hours(p.content),
            hours(p.transfer)
        ));
        for reason in p.reasons {
            line(format!("    {reason}"));
        }
    }
    line(String::new());
    out
}
