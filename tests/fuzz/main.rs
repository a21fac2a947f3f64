//! Spoilt inputs, by the thousand, for every importer: no panic, no hang, no flood.
//!
//! `cargo xtask fuzz [--long]` runs it optimised and prints what was fed; `cargo xtask test` a short run of the same.
//! Inputs are made from the seeds in `targets.rs` by a generator with a fixed seed, so a fault comes again; the input
//! of a fault is kept in `corpus`, and everything there is fed first, for ever.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod mutate;
#[path = "../support/packing.rs"]
mod packing;
#[path = "../support/saved.rs"]
mod saved;
mod targets;
mod transfers;

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use mutate::{Dice, mutated};
use targets::Target;

/// The longest one input may take, optimised; without optimisation ten times that.
const LONGEST: Duration = Duration::from_millis(if cfg!(debug_assertions) { 10_000 } else { 1_000 });
/// The most memory that the process may have while an input is fed, bytes.
const MOST_MEMORY: u64 = 256 << 20;

/// What is being fed, for the watcher: since when, and where it would be kept.
static FED: Mutex<Option<(Instant, PathBuf, Vec<u8>)>> = Mutex::new(None);

#[test]
fn no_importer_panics_hangs_or_floods() {
    let times = std::env::var("QUARTERLIGHT_FUZZ_TIMES").map_or(1, |times| times.parse().unwrap());
    let done = AtomicBool::new(false);
    #[allow(clippy::disallowed_methods, reason = "a test may watch its own work")]
    std::thread::scope(|scope| {
        scope.spawn(|| watch(&done));
        println!(
            "{:<32} {:>8} {:>8} {:>10} {:>10}",
            "importer", "fed", "taken", "slowest", "memory"
        );
        let faults: Vec<String> = targets::all()
            .iter()
            .filter_map(|target| feed(target, times))
            .collect();
        done.store(true, Ordering::Relaxed);
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    });
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
                slowest = slowest.max(fed.took);
                memory = memory.max(fed.memory);
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
    took: Duration,
    memory: u64,
}

fn feed_one(target: &Target, corpus: &Path, input: Vec<u8>) -> Result<Fed, String> {
    forget_peak();
    #[allow(clippy::disallowed_methods, reason = "a test may time its own work")]
    let start = Instant::now();
    let busy_before = processor_time();
    *FED.lock().unwrap() = Some((start, corpus.to_owned(), input.clone()));
    let ended = catch_unwind(AssertUnwindSafe(|| (target.feed)(&input)));
    *FED.lock().unwrap() = None;
    // On a busy machine the clock on the wall counts the others' work too.
    let took = match (busy_before, processor_time()) {
        (Some(before), Some(after)) => after.saturating_sub(before),
        _ => start.elapsed(),
    };
    let memory = peak();
    let Ok(taken) = ended else {
        return Err(format!("a panic; its input is {}", keep(corpus, &input)));
    };
    if took > LONGEST {
        return Err(format!(
            "{took:?} for one input, which is {}",
            keep(corpus, &input)
        ));
    }
    if memory > MOST_MEMORY {
        return Err(format!(
            "{} MiB in use for one input, which is {}",
            memory >> 20,
            keep(corpus, &input)
        ));
    }
    Ok(Fed { taken, took, memory })
}

/// Ends the whole run if one input never comes to an end: it could not be ended otherwise.
fn watch(done: &AtomicBool) {
    while !done.load(Ordering::Relaxed) {
        std::thread::sleep(Duration::from_millis(200));
        if let Some((since, corpus, input)) = &*FED.lock().unwrap()
            && since.elapsed() > 60 * LONGEST
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

/// Has the system forget this process's peak of memory; Linux does so when asked in this way.
fn forget_peak() {
    use std::io::Write;
    let forgotten = fs::File::create("/proc/self/clear_refs").and_then(|mut file| file.write_all(b"5"));
    drop(forgotten);
}

/// The peak of this process's memory since, bytes; 0 where the system does not say.
fn peak() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|rest| rest.trim().trim_end_matches(" kB").parse::<u64>().ok());
    kilobytes.unwrap_or(0) << 10
}

/// The processor time of this process, in ticks of a hundredth of a second, where the system says.
fn processor_time() -> Option<Duration> {
    let stat = fs::read_to_string("/proc/self/stat").ok()?;
    // The name in brackets may hold anything; time in user mode and in the system's are the 12th and 13th behind it.
    let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks: u64 = fields.get(11)?.parse::<u64>().ok()? + fields.get(12)?.parse::<u64>().ok()?;
    Some(Duration::from_millis(ticks * 10))
}
