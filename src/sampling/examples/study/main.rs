//! The coverage study: how often limits that promise 95% hold the truth, on made-up collections of many kinds.
//!
//! `cargo run --release -p sampling --example study -- OUT [--long] [--draws N] [--threads N] [--tried]`, or `cargo xtask study`. A cell is a kind of
//! collection and sample; its draws are spread over many collections of the kind, ten draws each, so that none speaks for all.
//! Every cell leaves a file under OUT, and is not made again by the same program, so that the study can be interrupted and taken
//! up again. `--tried` sets the default's constants beside others instead, on the same samples.
#![allow(
    clippy::disallowed_methods,
    reason = "a program at a desk owns files, a clock and threads"
)]

mod cells;
mod methods;
mod picture;
mod population;
mod record;
mod report;
mod tried;

use cells::Cell;
use population::Population;
use record::Record;
use sampling::plan::stopping::StoppingRule;
use sampling::random::Stream;
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// What all random numbers of the study start from.
const SEED: &str = "1";
/// Draws from each collection.
const DRAWS: usize = 10;
const SHORT: usize = 300;
const LONG: usize = 10_000;

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("study: {why}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let Some(out) = words.first().filter(|word| !word.starts_with("--")) else {
        return Err(
            "name a folder for the results; then --long, --draws N, --threads N, --tried.".to_owned(),
        );
    };
    let long = words.iter().any(|word| word == "--long");
    let number = |name: &str| match words.iter().position(|word| word == name) {
        None => Ok(None),
        Some(at) => words
            .get(at + 1)
            .and_then(|word| word.parse::<usize>().ok())
            .filter(|n| *n > 0)
            .map(Some)
            .ok_or(format!("{name} wants a number after it.")),
    };
    let processors = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let threads = number("--threads")?.unwrap_or(processors);
    let asked = number("--draws")?;
    let draws = asked.unwrap_or(if long { LONG } else { SHORT });
    let name = asked.map_or(if long { "long" } else { "short" }.to_owned(), |draws| {
        draws.to_string()
    });
    if words.iter().any(|word| word == "--tried") {
        return tried::print(&cells::all(), draws, threads);
    }
    let folder = PathBuf::from(out).join(name);
    std::fs::create_dir_all(&folder).map_err(|why| format!("{}: {why}", folder.display()))?;
    let cells = cells::all();
    let began = Instant::now();
    let program = fingerprint()?;
    let records = all_records(&cells, draws, threads, &folder, &program)?;
    println!(
        "{} cells of {draws} draws in {:.0} s",
        cells.len(),
        began.elapsed().as_secs_f64()
    );
    report::write(&folder, &cells, &records, draws)
}

/// Every cell's record, made by as many threads as are wanted; the order of work decides nothing.
fn all_records(
    cells: &[Cell],
    draws: usize,
    threads: usize,
    folder: &Path,
    program: &str,
) -> Result<Vec<Record>, String> {
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<Option<Result<Record, String>>>> = Mutex::new(vec![None; cells.len()]);
    let began = Instant::now();
    let work = || {
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(cell) = cells.get(i) else { return };
            let made = record(cell, draws, folder, program);
            let Ok(mut all) = done.lock() else { return };
            all[i] = Some(made);
            let finished = all.iter().flatten().count();
            progress(finished, cells.len(), began.elapsed(), &cell.name());
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(work);
        }
    });
    let all = done
        .into_inner()
        .map_err(|_| "a thread ended in a panic.".to_owned())?;
    all.into_iter()
        .map(|made| made.unwrap_or_else(|| Err("a cell was not made.".to_owned())))
        .collect()
}

fn progress(finished: usize, all: usize, took: Duration, name: &str) {
    let left = took.as_secs_f64() * (all - finished) as f64 / finished as f64;
    println!("[{finished:>3}/{all}] {name}; about {left:.0} s left");
}

/// A mark of this very program: a cell made by another may rest on another method.
fn fingerprint() -> Result<String, String> {
    let unreadable = |why: std::io::Error| format!("the program cannot read itself: {why}");
    let bytes = std::fs::read(std::env::current_exe().map_err(unreadable)?).map_err(unreadable)?;
    let digest = Sha256::digest(&bytes);
    Ok(digest.iter().take(8).map(|byte| format!("{byte:02x}")).collect())
}

/// A cell's record: the one in its file if this program made it, or a new one.
fn record(cell: &Cell, draws: usize, folder: &Path, program: &str) -> Result<Record, String> {
    let about = format!("# {}; {draws} draws, seed {SEED}, program {program}", cell.name());
    let file: String = cell
        .name()
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '.' {
                c
            } else {
                '-'
            }
        })
        .collect();
    let path = folder.join(format!("cell-{:?}-{file}.csv", cell.set));
    if let Some(old) = std::fs::read_to_string(&path)
        .ok()
        .and_then(|text| Record::read(&text, &about))
    {
        return Ok(old);
    }
    let mut made = Record::default();
    for k in 0..draws.div_ceil(DRAWS) {
        collection(cell, k, &mut made)?;
    }
    // Written beside and then renamed, so that an interruption leaves no half a file.
    let beside = path.with_extension("part");
    std::fs::write(&beside, made.write(&about))
        .and_then(|()| std::fs::rename(&beside, &path))
        .map_err(|why| format!("{}: {why}", path.display()))?;
    Ok(made)
}

/// Adds collection `k` of a cell, and the draws from it.
fn collection(cell: &Cell, k: usize, record: &mut Record) -> Result<(), String> {
    let mut stream = Stream::new(SEED, &format!("{}, collection {k}", cell.name()));
    let population = Population::new(cell, &mut stream);
    let mut answers = Vec::with_capacity(DRAWS);
    for _ in 0..DRAWS {
        let drawn = population.draw(cell, &mut stream);
        let look = |first| {
            let (design, column) = population.told(cell, &drawn, first)?;
            methods::answer(&design, &column)
        };
        answers.push(match cell.half_width {
            None => look(None),
            Some(half_width) => {
                let rule = StoppingRule {
                    half_width,
                    maximum: cell.drawn as u64,
                    ..StoppingRule::default()
                };
                methods::answer_by_rule(&rule, |boxes| look(usize::try_from(boxes).ok()))
            }
        });
    }
    record.add(population.share, &answers);
    Ok(())
}
