//! `quarterlight handbook`: the knowledge as a page to print and to argue with, made from the data the app uses.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use tape::{Question, Subject};

use crate::{files, output};

/// What the app asks, concludes and warns of, as one page with its sources
#[derive(clap::Args)]
pub(crate) struct Args {
    /// As HTML (the only form so far)
    #[arg(long, required = true)]
    html: bool,
    /// The file to write; without it the page goes to standard output
    #[arg(long)]
    out: Option<PathBuf>,
}

/// Writes the page. Exit code 0, or 2 when the file cannot be written.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    debug_assert!(args.html);
    let page = page();
    match &args.out {
        Some(path) => files::write_new(path, page.as_bytes())?,
        None => output::print(&page)?,
    }
    Ok(ExitCode::SUCCESS)
}

const STYLE: &str = "body{font:11pt/1.4 serif;max-width:46em;margin:2em auto;padding:0 1em;color:#111;background:#fff}\
h1,h2,h3{font-family:sans-serif;line-height:1.2}h2{border-bottom:1px solid #999;margin-top:2em}h3{margin:1.4em 0 .3em}\
table{border-collapse:collapse;width:100%;font-size:.92em}td,th{border:1px solid #bbb;padding:.25em .5em;text-align:left;vertical-align:top}\
.source{color:#555;font-size:.85em}.people{font-weight:bold}@media print{h2{break-before:page}h3,table{break-inside:avoid}}";

fn page() -> String {
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>Handbook of the tape survey</title>\
         <meta name=\"viewport\" content=\"width=device-width\"><style>{STYLE}</style></head>\n<body>\n\
         <h1>Handbook of the tape survey</h1>\n\
         <p>Made by version {} from the same data that the app uses. Nothing here asks anybody to play, unwind, rub, \
         wet, stretch or break a tape. A field sign is evidence, not a diagnosis.</p>\n",
        env!("CARGO_PKG_VERSION")
    );
    weighing(&mut out);
    asked(&mut out, "Questions about a box", Subject::Box);
    asked(&mut out, "Questions about an item", Subject::Item);
    carriers(&mut out);
    findings(&mut out);
    contradictions(&mut out);
    cautions(&mut out);
    actions(&mut out);
    conditions(&mut out);
    amounts(&mut out);
    sources(&mut out);
    out.push_str("</body>\n</html>\n");
    out
}

/// Text made safe for a page.
fn safe(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

fn put(out: &mut String, tag: &str, text: &str) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "<{tag}>{}</{tag}>", safe(text));
}

fn source(out: &mut String, text: &str) {
    let _ = writeln!(out, "<p class=\"source\">Source: {}</p>", safe(text));
}

fn table(out: &mut String, heading: &[&str], rows: impl Iterator<Item = Vec<String>>) {
    out.push_str("<table><tr>");
    for cell in heading {
        let _ = write!(out, "<th>{}</th>", safe(cell));
    }
    out.push_str("</tr>\n");
    for row in rows {
        out.push_str("<tr>");
        for cell in row {
            let _ = write!(out, "<td>{}</td>", safe(&cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</table>\n");
}

fn weighing(out: &mut String) {
    put(out, "h2", "How firmly something is said");
    put(
        out,
        "p",
        "Each sign has a weight from 1 (weak, such as printing on a box) to 4 (as good as it gets in the field). Of one \
         question only the heaviest sign counts. A finding is possible from 2 points, likely from 3 points that are at \
         least 2 more than the heaviest sign against it. A check that was not made counts as if it had spoken against, \
         so that \u{201c}can't tell\u{201d} never makes a finding firmer. Against a hazard nothing counts. \u{201c}No \
         sign\u{201d} is said only when the checks named were made, and is no proof of absence.",
    );
}

fn asked(out: &mut String, title: &str, subject: Subject) {
    put(out, "h2", title);
    for q in tape::questions().iter().filter(|q| q.subject == subject) {
        one_question(out, q);
    }
}

fn one_question(out: &mut String, q: &Question) {
    put(out, "h3", q.short);
    put(out, "p", q.long);
    let _ = writeln!(
        out,
        "<p><b>How:</b> {}</p>\n<p><b>Why:</b> {}</p>",
        safe(q.how),
        safe(q.why)
    );
    if !q.choices.is_empty() {
        table(
            out,
            &["Answer", "Meaning"],
            q.choices
                .iter()
                .map(|c| vec![c.label.to_owned(), c.help.to_owned()]),
        );
    }
    source(out, q.source);
}

fn carriers(out: &mut String) {
    put(out, "h2", "Carriers");
    let rows = tape::carriers().iter();
    table(
        out,
        &["Carrier", "Told by", "Plays at", "Easily mistaken", "Source"],
        rows.map(|c| {
            vec![
                c.label.to_owned(),
                c.told.to_owned(),
                c.plays.to_owned(),
                c.traps.to_owned(),
                c.source.to_owned(),
            ]
        }),
    );
}

fn findings(out: &mut String) {
    put(out, "h2", "Findings");
    for rule in tape::handbook::rules() {
        put(out, "h3", rule.title);
        put(out, "p", rule.meaning);
        let pieces = rule
            .evidence_for
            .iter()
            .map(|p| ("for", p))
            .chain(rule.against.iter().map(|p| ("against", p)));
        table(
            out,
            &["", "Weight", "Answers", "What is said"],
            pieces.map(|(side, p)| {
                vec![
                    side.to_owned(),
                    p.weight.to_string(),
                    p.answers.clone(),
                    p.say.to_owned(),
                ]
            }),
        );
        if !rule.needs.is_empty() {
            let _ = writeln!(
                out,
                "<p><b>\u{201c}No sign\u{201d} needs:</b> {}</p>",
                safe(&rule.needs.join(" "))
            );
        }
        if !rule.next.is_empty() {
            let _ = writeln!(out, "<p><b>Next:</b> {}</p>", safe(&rule.next.join(" ")));
        }
        let named = rule
            .cautions
            .iter()
            .chain(rule.heat.then_some(&"no_heat"))
            .filter_map(|key| tape::caution(key));
        let titles: Vec<&str> = named.map(|c| c.title).collect();
        if !titles.is_empty() {
            let _ = writeln!(out, "<p><b>Cautions:</b> {}</p>", safe(&titles.join("; ")));
        }
        source(out, rule.source);
    }
}

fn contradictions(out: &mut String) {
    put(out, "h2", "Answers that do not fit together");
    let rows = tape::contradictions().iter();
    table(
        out,
        &["What is said", "Source"],
        rows.map(|c| vec![c.say.to_owned(), c.source.to_owned()]),
    );
}

fn cautions(out: &mut String) {
    put(out, "h2", "Cautions");
    for c in tape::cautions() {
        put(out, "h3", c.title);
        let class = if c.for_people { " class=\"people\"" } else { "" };
        let _ = writeln!(out, "<p{class}>{}</p>", safe(c.text));
        source(out, c.source);
    }
}

fn actions(out: &mut String) {
    put(out, "h2", "Action classes, the most pressing first");
    table(
        out,
        &[
            "Class",
            "An item is here if",
            "People",
            "Handling",
            "Plan",
            "Money",
            "Source",
        ],
        tape::actions().iter().map(|a| {
            [a.label, a.fits, a.people, a.handling, a.plan, a.money, a.source]
                .map(str::to_owned)
                .to_vec()
        }),
    );
}

fn conditions(out: &mut String) {
    put(out, "h2", "Columns of the statistics");
    table(
        out,
        &["Column", "Yes", "No", "Source"],
        tape::conditions().iter().map(|c| {
            vec![
                c.label.to_owned(),
                c.yes_in_words(),
                c.no_in_words(),
                c.source.to_owned(),
            ]
        }),
    );
}

fn amounts(out: &mut String) {
    put(out, "h2", "How much is on it");
    put(out, "h3", "Reels");
    let range = |x: [f64; 3]| format!("{}, {}, {}", x[0], x[1], x[2]);
    let classes: Vec<&str> = tape::classes().iter().map(|c| c.key).collect();
    let heading = [
        "Size",
        "Full pack, mm",
        "Hub, mm",
        "Feet by class",
        "Passes when not written",
        "Source",
    ];
    table(
        out,
        &heading,
        tape::reels().iter().map(|r| {
            let feet = classes
                .iter()
                .zip(r.feet)
                .filter(|(_, f)| *f > 0.0)
                .map(|(c, f)| format!("{c} {f}"));
            vec![
                choice_label("size", r.size),
                r.full_mm.to_string(),
                r.hub_mm.to_string(),
                feet.collect::<Vec<_>>().join(", "),
                range(r.passes),
                r.source.to_owned(),
            ]
        }),
    );
    put(out, "h3", "Thickness of the whole tape, µm: least, usual, most");
    table(
        out,
        &["Class", "µm", "Source"],
        tape::classes().iter().map(|c| {
            vec![
                choice_label("length_class", c.key),
                range(c.microns),
                c.source.to_owned(),
            ]
        }),
    );
    put(out, "h3", "Speeds, exact");
    table(
        out,
        &["in/s", "cm/s", "Source"],
        tape::speeds().iter().map(|s| {
            vec![
                s.inches.to_string(),
                format!("{}", s.centimetres()),
                s.source.to_owned(),
            ]
        }),
    );
    put(out, "h3", "Tracks");
    table(
        out,
        &["Layout", "Passes", "Channels at once", "Source"],
        tape::layouts().iter().map(|l| {
            vec![
                choice_label("tracks", l.key),
                l.passes.to_string(),
                l.channels.to_string(),
                l.source.to_owned(),
            ]
        }),
    );
    put(
        out,
        "h3",
        "Shells and spools: minutes of one pass, least, usual, most",
    );
    table(
        out,
        &["Carrier", "Size", "Minutes", "Passes", "Source"],
        tape::shells().iter().map(|s| {
            vec![
                tape::carrier(s.carrier).map_or(s.carrier, |c| c.label).to_owned(),
                if s.size.is_empty() {
                    "not written".to_owned()
                } else {
                    choice_label("size", s.size)
                },
                range(s.minutes),
                s.passes.to_string(),
                s.source.to_owned(),
            ]
        }),
    );
}

fn choice_label(question: &str, key: &str) -> String {
    tape::question(question)
        .and_then(|q| q.choices.iter().find(|c| c.key == key))
        .map_or(key, |c| c.label)
        .to_owned()
}

fn sources(out: &mut String) {
    put(out, "h2", "Sources");
    let mark = |m: &str| match m {
        "published" => "published, read",
        "second_hand" => "seen as quoted by another",
        "memory" => "from memory, not read again",
        "arithmetic" => "arithmetic",
        _ => "common practice, no source",
    };
    table(
        out,
        &["Source", "How well it is known"],
        tape::sources()
            .iter()
            .map(|s| vec![s.text.to_owned(), mark(s.mark).to_owned()]),
    );
}

#[cfg(test)]
mod tests {
    #[test]
    fn holds_every_text_and_is_whole() {
        let page = super::page();
        for f in tape::handbook::rules() {
            assert!(page.contains(&super::safe(f.meaning)), "{}", f.key);
            for piece in f.evidence_for.iter().chain(&f.against) {
                assert!(page.contains(&super::safe(piece.say)), "{}", piece.say);
            }
        }
        for q in tape::questions() {
            assert!(page.contains(&super::safe(q.how)), "{}", q.key);
        }
        for s in tape::sources() {
            assert!(page.contains(&super::safe(s.text)), "{}", s.key);
        }
        for tag in ["table", "tr", "td", "th", "p", "h2", "h3"] {
            let closed = page.matches(&format!("</{tag}>")).count();
            let exact = page.matches(&format!("<{tag}>")).count() + page.matches(&format!("<{tag} ")).count();
            assert_eq!(exact, closed, "{tag}");
        }
    }
}
