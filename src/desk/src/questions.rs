//! `quarterlight questions`: every question with its answers: the heading of the table that `findings` reads.

use std::process::ExitCode;

use serde_json::{Value, json};
use tape::{Kind, Question, Subject, questions};

use crate::output;

/// Every question with its possible answers
#[derive(clap::Args)]
pub(crate) struct Args {
    /// As JSON
    #[arg(long)]
    json: bool,
    /// Only the heading of an empty answers table
    #[arg(long, conflicts_with = "json")]
    heading: bool,
}

/// Prints them.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let text = if args.heading {
        let keys: Vec<&str> = std::iter::once("item")
            .chain(questions().iter().map(|q| q.key))
            .collect();
        keys.join(",") + "\n"
    } else if args.json {
        let all: Vec<Value> = questions().iter().map(as_json).collect();
        serde_json::to_string_pretty(&all).map_err(|e| e.to_string())? + "\n"
    } else {
        HOW.to_owned() + &questions().iter().map(as_text).collect::<String>()
    };
    output::print(&text)?;
    Ok(ExitCode::SUCCESS)
}

const HOW: &str = "\
A column a question, a row an item; a column item, id or name may name the row. An empty cell: not asked.
Every question also takes cant_tell; those marked (photo) also photographed.
Where several answers are possible, join them with |.
";

fn subject(q: &Question) -> &'static str {
    match q.subject {
        Subject::Box => "box",
        Subject::Item => "item",
    }
}

fn kind(q: &Question) -> String {
    match q.kind {
        Kind::One => "one answer".to_owned(),
        Kind::Many => "several answers".to_owned(),
        Kind::Number { unit, min, max } => format!("a number of {unit}, {min} to {max}"),
        Kind::Text => "free text".to_owned(),
        Kind::Counts => "carrier:number, separated by spaces".to_owned(),
    }
}

fn as_text(q: &Question) -> String {
    let photo = if q.photo { " (photo)" } else { "" };
    let choices: String = q
        .choices
        .iter()
        .map(|c| format!("    {:<18} {}: {}\n", c.key, c.label, c.help))
        .collect();
    format!(
        "\n{} [{}; {}]{photo}: {}\n{choices}",
        q.key,
        subject(q),
        kind(q),
        q.short
    )
}

fn as_json(q: &Question) -> Value {
    json!({
        "key": q.key,
        "subject": subject(q),
        "kind": match q.kind {
            Kind::One => "one",
            Kind::Many => "many",
            Kind::Number { .. } => "number",
            Kind::Text => "text",
            Kind::Counts => "counts",
        },
        "short": q.short,
        "long": q.long,
        "why": q.why,
        "how": q.how,
        "photo": q.photo,
        "optional": q.optional,
        "batch": q.batch,
        "source": q.source,
        "choices": q.choices.iter().map(|c| json!({ "key": c.key, "label": c.label, "help": c.help })).collect::<Vec<_>>(),
    })
}
