//! How long a survey of a programme's size takes: `cargo xtask bench --scale` runs it on logs that `quarterlight practice
//! --log-only` made.
//!
//! `cargo run --release -p analysis --example scale -- LOG` reads a log of one entry a line, folds it (the draw is part of
//! that) and makes every figure; `-- merge LOG` writes 40 logs of 10,000 entries each out of its answers and puts them
//! together. Both print `what,value` a line: seconds by the clock and, with `processor` before what, of all processors, counts,
//! and the most memory in use, in MB.
#![allow(
    clippy::disallowed_methods,
    reason = "a program at a desk owns files and a clock"
)]

use std::hint::black_box;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

use survey::{Content, Entry, EntryId, Log, State, WriterId};

const LOGS: u8 = 40;
const ENTRIES: usize = 10_000;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let done = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["merge", log] => merge(Path::new(log)),
        [log] => figures(Path::new(log)),
        _ => Err("name a log, or merge and a log".to_owned()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("scale: {why}");
            ExitCode::FAILURE
        }
    }
}

/// Reads, folds and estimates, each by itself.
fn figures(path: &Path) -> Result<(), String> {
    let log = timed("read", || read(path))??;
    say("entries", log.entries().len());
    say("memory read MB", most_memory()?);
    // The log as it stood when it was drawn: what the list and the draw alone take.
    let mut drawn = Log::new(log.survey());
    for entry in log.entries() {
        let is_roll = matches!(entry.content(), Content::Roll { .. });
        // Cannot be refused: it is an entry of the same survey.
        drawn.insert(entry.clone()).map_err(|error| error.to_string())?;
        if is_roll {
            break;
        }
    }
    let state = timed("list and draw", || State::fold(&drawn))?;
    say("boxes", state.boxes.len());
    drop((state, drawn));
    // A fresh log: what an entry says is read when it is first asked for, and that is part of the fold.
    drop(log);
    let log = read(path)?;
    let state = timed("fold", || State::fold(&log))?;
    say("memory folded MB", most_memory()?);
    let figures = timed("figures", || analysis::figures::figures(&state))?;
    say("items", figures.sample.n_items_checked);
    say("figures made", figures.headline.len());
    say("memory MB", most_memory()?);
    black_box(figures);
    Ok(())
}

/// Puts forty people's logs of one survey together.
fn merge(path: &Path) -> Result<(), String> {
    let log = read(path)?;
    let answers: Vec<&Entry> = log
        .entries()
        .filter(|entry| matches!(entry.content(), Content::Answer { .. }))
        .collect();
    if answers.is_empty() {
        return Err("the log has no answer".to_owned());
    }
    let mut texts = Vec::new();
    for person in 0..LOGS {
        let mut own = Log::new(log.survey());
        let from = usize::from(person) * ENTRIES;
        for (n, answer) in (0..).zip(answers.iter().cycle().skip(from).take(ENTRIES)) {
            let id = EntryId {
                writer: WriterId([person; 16]),
                n,
            };
            let entry = Entry::write(log.survey(), id, answer.at_ms, answer.content().clone());
            own.insert(entry).map_err(|error| error.to_string())?;
        }
        texts.push(own.to_lines());
    }
    let bad = |(line, error)| format!("line {line}: {error}");
    let logs = timed("read 40", || {
        let logs = texts.iter().map(|text| Log::from_lines(text).map_err(bad));
        logs.collect::<Result<Vec<_>, _>>()
    })??;
    let merged = timed("merge 40", || {
        let mut merged = Log::new(log.survey());
        logs.iter().try_for_each(|log| merged.merge(log)).map(|()| merged)
    })?;
    let merged = merged.map_err(|error| error.to_string())?;
    say("merged entries", merged.entries().len());
    say("memory MB", most_memory()?);
    Ok(())
}

/// Line after line, so that the text is not held beside the log.
fn read(path: &Path) -> Result<Log, String> {
    let failed = |error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
    let file = std::fs::File::open(path).map_err(|error| failed(&error))?;
    let mut log: Option<Log> = None;
    for line in BufReader::new(file).split(b'\n') {
        let entry = line.map_err(|error| failed(&error))?;
        let entry = Entry::read(&entry).map_err(|error| failed(&error))?;
        let log = log.get_or_insert_with(|| Log::new(entry.survey));
        log.insert(entry).map_err(|error| failed(&error))?;
    }
    log.ok_or_else(|| failed(&"no entry"))
}

fn timed<T>(what: &str, run: impl FnOnce() -> T) -> Result<T, String> {
    let (start, before) = (Instant::now(), processor_seconds()?);
    let made = run();
    println!("{what},{:.3}", start.elapsed().as_secs_f64());
    println!("processor {what},{:.3}", processor_seconds()? - before);
    Ok(made)
}

fn say(what: &str, n: usize) {
    println!("{what},{n}");
}

/// The time of all threads of this process on a processor: other programs count little in it. From Linux's own account, to a
/// millionth.
fn processor_seconds() -> Result<f64, String> {
    let mut seconds = 0.0;
    for thread in std::fs::read_dir("/proc/self/task").map_err(|error| error.to_string())? {
        let account = thread
            .map_err(|error| error.to_string())?
            .path()
            .join("schedstat");
        let text = std::fs::read_to_string(account).map_err(|error| error.to_string())?;
        let nanoseconds = text.split(' ').next().and_then(|n| n.parse::<f64>().ok());
        seconds += nanoseconds.ok_or("no processor time is told")? / 1e9;
    }
    Ok(seconds)
}

/// The most memory this process ever had, in millions of bytes.
fn most_memory() -> Result<usize, String> {
    let text = std::fs::read_to_string("/proc/self/status").map_err(|error| error.to_string())?;
    let kib = text.lines().find_map(|line| {
        line.strip_prefix("VmHWM:")?
            .trim()
            .strip_suffix("kB")?
            .trim()
            .parse::<usize>()
            .ok()
    });
    Ok(kib.ok_or("no memory is told")? * 1024 / 1_000_000)
}
