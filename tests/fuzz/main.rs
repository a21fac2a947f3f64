//! Spoilt inputs, by the thousand, for every importer: no panic, no hang, no flood.
//!
//! `cargo xtask fuzz` runs it optimised and prints what was fed; `cargo xtask test` a short run of the same. The long run
//! (`--long`) is `guided.rs`: the same importers under libFuzzer, which looks for new paths through the program.
//! Inputs are made from the seeds in `targets.rs` by a generator with a fixed seed, so a fault comes again; the input
//! of a fault is kept in `corpus`, and everything there is fed first, for ever.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod cost;
mod mutate;
#[path = "../support/packing.rs"]
mod packing;
mod photographs;
#[path = "../support/saved.rs"]
mod saved;
mod tables;
mod targets;
mod transfers;

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use cost::Cost;
use mutate::{Dice, mutated};
use targets::{Kind, Target};

/// What is being fed, for the watcher: since when, and where it would be kept.
static FED: Mutex<Option<(Instant, PathBuf, Vec<u8>)>> = Mutex::new(None);

#[test]
fn no_importer_panics_hangs_or_floods() {
    let times = std::env::var("QUARTERLIGHT_FUZZ_TIMES").map_or(1, |times| times.parse().unwrap());
    let done = AtomicBool::new(false);
    #[allow(clippy::disallowed_methods, reason = "a test may watch its own work")]
    std::thread::scope(|scope| {
        scope.spawn(|| watch(&done));
        let _ended = Ended(&done);
        println!(
            "{:<32} {:>8} {:>8} {:>10} {:>10}",
            "importer", "fed", "taken", "slowest", "memory"
        );
        let faults: Vec<String> = targets::all()
            .iter()
            .filter_map(|target| feed(target, times))
            .collect();
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    });
}

#[test]
fn the_long_run_feeds_ten_million_texts_and_a_million_containers() {
    let together = |kind: Kind| -> usize {
        let of_kind = targets::all().into_iter().filter(|target| target.kind == kind);
        of_kind.map(|target| target.long).sum()
    };
    assert!(together(Kind::Text) >= 10_000_000, "{}", together(Kind::Text));
    assert!(
        together(Kind::Container) >= 1_000_000,
        "{}",
        together(Kind::Container)
    );
}

/// Ends the watcher, however the work ends.
struct Ended<'a>(&'a AtomicBool);

impl Drop for Ended<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// Feeds one importer; the first fault ends it.
fn feed(target: &Target, times: usize) -> Option<String> {
    let dice = &mut Dice(0x5eed);
    let corpus = corpus(target);
    let kept: Vec<Vec<u8>> = files_in(&corpus);
    let all: Vec<Vec<u8>> = target.seeds.iter().chain(&kept).cloned().collect();
    for seed in &target.seeds {
        assert!(
            (target.feed)(seed),
            "{}: a seed is not taken, so its mutants reach nothing",
            target.name
        );
    }
    let (mut taken, mut slowest, mut memory) = (0, Duration::ZERO, 0);
    let n = target.cases * times;
    for number in 0..kept.len() + n {
        let input = match kept.get(number) {
            Some(input) => input.clone(),
            None => mutated(&all[dice.below(all.len())], &all[dice.below(all.len())], dice),
        };
        let fed = feed_one(target, &corpus, input);
        match fed {
            Ok(fed) => {
                taken += usize::from(fed.taken);
                slowest = slowest.max(fed.cost.took);
                memory = memory.max(fed.cost.memory);
            }
            Err(why) => return Some(format!("{}: {why}", target.name)),
        }
    }
    let (ms, mib) = (slowest.as_millis(), memory >> 20);
    println!(
        "{:<32} {:>8} {taken:>8} {ms:>7} ms {mib:>6} MiB",
        target.name,
        kept.len() + n
    );
    None
}

struct Fed {
    taken: bool,
    cost: Cost,
}

fn feed_one(target: &Target, corpus: &Path, input: Vec<u8>) -> Result<Fed, String> {
    #[allow(clippy::disallowed_methods, reason = "a test may time its own work")]
    let start = Instant::now();
    *FED.lock().unwrap() = Some((start, corpus.to_owned(), input.clone()));
    let (ended, cost) = cost::of(|| catch_unwind(AssertUnwindSafe(|| (target.feed)(&input))));
    *FED.lock().unwrap() = None;
    let Ok(taken) = ended else {
        return Err(format!("a panic; its input is {}", keep(corpus, &input)));
    };
    match cost.too_much(target.patience) {
        Some(why) => Err(format!("{why}, which is {}", keep(corpus, &input))),
        None => Ok(Fed { taken, cost }),
    }
}

/// Ends the whole run if one input never comes to an end: it could not be ended otherwise.
fn watch(done: &AtomicBool) {
    while !done.load(Ordering::Relaxed) {
        std::thread::sleep(Duration::from_millis(200));
        if let Some((since, corpus, input)) = &*FED.lock().unwrap()
            && since.elapsed() > 60 * cost::LONGEST
        {
            eprintln!("an input never came to an end: {}", keep(corpus, input));
            std::process::exit(1);
        }
    }
}

fn corpus(target: &Target) -> PathBuf {
    let name: String = target
        .name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fuzz/corpus")
        .join(name)
}

fn files_in(folder: &Path) -> Vec<Vec<u8>> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let bytes = |path: &PathBuf| {
        use std::io::Read;
        let mut bytes = Vec::new();
        fs::File::open(path).unwrap().read_to_end(&mut bytes).unwrap();
        bytes
    };
    paths.iter().map(bytes).collect()
}

/// Keeps an input that made a fault, and says where.
fn keep(corpus: &Path, input: &[u8]) -> String {
    use std::io::Write;
    let path = corpus.join(format!("{:08x}", crc32fast::hash(input)));
    let kept = fs::create_dir_all(corpus)
        .and_then(|()| fs::File::create(&path))
        .and_then(|mut file| file.write_all(input));
    match kept {
        Ok(()) => path.display().to_string(),
        Err(why) => format!("not kept: {why}"),
    }
}
