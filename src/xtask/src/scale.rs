//! `cargo xtask bench --scale`: a programme's survey at a desk: the draw, the fold, every figure and a merge, in seconds by
//! the clock and of all processors, and in memory.
//!
//! Never part of a test: times belong to a machine and a moment.

use crate::site::{self, Kind};
use crate::{Outcome, bench, house, run};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Boxes listed, and rounds of six checked: some 1,000, 10,000, 100,000 and 250,000 items, four boxes listed an item.
const SIZES: [(u32, u32); 4] = [(4_000, 21), (40_000, 211), (400_000, 2_110), (1_000_000, 5_300)];
/// The answers of this many rounds are dealt to forty people for the merge.
const MERGED: usize = 2;
/// What a line of the table is, and the names of what the program says that it adds up.
const LINES: [(&str, &[&str]); 6] = [
    ("reading the log", &["read"]),
    ("listing and the draw, of the fold", &["list and draw"]),
    ("the fold", &["fold"]),
    ("every figure", &["figures"]),
    ("draw, fold and every figure", ALL),
    (
        "the same, of all processors",
        &["processor fold", "processor figures"],
    ),
];
const ALL: &[&str] = &["fold", "figures"];

/// What the program said: a number by its name.
type Said = BTreeMap<String, f64>;

pub(crate) fn command() -> Outcome {
    println!("{}\n", bench::machine(false));
    let desk = site::desk(Kind::Release)?;
    let mut build = run::cargo()?;
    build.args([
        "build",
        "--release",
        "--locked",
        "--quiet",
        "--package",
        "analysis",
        "--example",
        "scale",
    ]);
    run::loud(&mut build, "building the benchmark")?;
    let program = house::target()?.join("release/examples/scale");
    let mut logs = Vec::new();
    for (boxes, rounds) in SIZES {
        logs.push(log(&desk, boxes, rounds)?);
    }
    let mut columns = Vec::new();
    for log in &logs {
        columns.push(said(Command::new(&program).arg(log), "the benchmark")?);
    }
    let merged = said(
        Command::new(&program).arg("merge").arg(&logs[MERGED]),
        "the merge",
    )?;
    print!("{}", table(&columns));
    println!(
        "\nmerging 40 logs of 10,000 entries: {:.2} s (reading them before: {:.2} s), {} entries, {} MB at most",
        number(&merged, "merge 40"),
        number(&merged, "read 40"),
        number(&merged, "merged entries"),
        number(&merged, "memory MB")
    );
    Ok(())
}

/// The log of a survey of so many rounds, made once.
fn log(desk: &Path, boxes: u32, rounds: u32) -> Outcome<PathBuf> {
    let folder = house::target()?
        .join("bench")
        .join(format!("scale-{boxes}-{rounds}"));
    let file = folder.join("log.ndjson");
    if !folder.join("truth-summary.json").is_file() || !file.is_file() {
        // What an interrupted run left is half a log.
        let _ = std::fs::remove_dir_all(&folder);
        let mut made = Command::new(desk);
        made.args(["practice", "--log-only", "--round-size", "6"]);
        made.args([
            "--boxes",
            &boxes.to_string(),
            "--surveyed",
            &rounds.to_string(),
            "--out",
        ]);
        if let Err(why) = run::loud(made.arg(&folder), "making the practice survey") {
            let _ = std::fs::remove_dir_all(&folder);
            return Err(why);
        }
    }
    Ok(file)
}

fn said(command: &mut Command, what: &str) -> Outcome<Said> {
    let text = run::answer(command).ok_or(format!("{what} did not end well."))?;
    let pairs = text.lines().filter_map(|line| {
        let (what, value) = line.split_once(',')?;
        Some((what.to_string(), value.parse().ok()?))
    });
    Ok(pairs.collect())
}

fn number(said: &Said, what: &str) -> f64 {
    said.get(what).copied().unwrap_or(f64::NAN)
}

fn sum(said: &Said, of: &[&str]) -> f64 {
    of.iter().map(|what| number(said, what)).sum()
}

/// A column a size.
fn table(columns: &[Said]) -> String {
    let mut text = String::new();
    let mut line = |what: &str, digits: usize, value: &dyn Fn(&Said) -> f64| {
        text += &format!("{what:<40}");
        for said in columns {
            text += &format!("{:>12.digits$}", value(said));
        }
        text.push('\n');
    };
    line("items checked", 0, &|said| number(said, "items"));
    line("boxes listed", 0, &|said| number(said, "boxes"));
    line("entries of the log", 0, &|said| number(said, "entries"));
    for (what, of) in LINES {
        line(&format!("{what}, s"), 3, &|said| sum(said, of));
    }
    line("draw to figures, microseconds an item", 1, &|said| {
        sum(said, ALL) * 1e6 / number(said, "items")
    });
    line("most memory when the log is read, MB", 0, &|said| {
        number(said, "memory read MB")
    });
    line("most memory in all, MB", 0, &|said| number(said, "memory MB"));
    text
}

#[cfg(test)]
mod tests {
    use super::{Said, table};

    #[test]
    fn an_item_costs_what_the_fold_and_the_figures_take() {
        let said: Said = [
            ("items", 1000.0),
            ("fold", 0.002),
            ("figures", 0.001),
            ("read", 9.0),
        ]
        .map(|(what, value)| (what.to_string(), value))
        .into();
        let text = table(&[said]);
        let line = text
            .lines()
            .find(|line| line.contains("microseconds an item"))
            .unwrap_or_default();
        assert!(line.ends_with(" 3.0"), "{text}");
    }
}
