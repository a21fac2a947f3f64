//! `cargo xtask fuzz --long`: every importer under libFuzzer, instrumented, as many at once as there are processors.

use crate::{Outcome, house, run};
use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Counts which edges were passed and what was compared: flags of stable Rust, as LLVM's documentation of
/// `SanitizerCoverage` names them.
const INSTRUMENTED: &str = "-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
    -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
    -Cllvm-args=-sanitizer-coverage-trace-compares -Ccodegen-units=1";
/// An own target triple keeps build scripts and macros free of the counters.
const TRIPLE: &str = "x86_64-unknown-linux-gnu";
/// What is wanted of all texts and of all containers together.
const WANTED: [(&str, u64); 2] = [("Text", 10_000_000), ("Container", 1_000_000)];

/// One importer as the program lists it.
#[derive(Clone)]
struct Importer {
    name: String,
    kind: String,
    runs: u64,
}

/// What became of one.
struct Ended {
    importer: Importer,
    fed: u64,
    kept: usize,
    took: Duration,
    slowest: u64,
    fault: Option<String>,
}

/// Feeds every importer a `part`th of its long run, or only one of them.
pub(crate) fn command(part: u64, only: Option<&str>) -> Outcome {
    let program = build()?;
    let mut listed = importers(&program)?;
    listed.retain(|importer| only.is_none_or(|name| importer.name == name));
    if listed.is_empty() {
        return Err(format!("there is no importer {:?}", only.unwrap_or_default()));
    }
    for importer in &mut listed {
        importer.runs = importer.runs.div_ceil(part.max(1));
    }
    // The longest first, so that the last to end is a short one.
    listed.sort_by_key(|importer| std::cmp::Reverse(importer.runs));
    let at_once = std::thread::available_parallelism().map_or(1, usize::from);
    let waiting: Mutex<VecDeque<Importer>> = Mutex::new(listed.into());
    let ended = Mutex::new(Vec::new());
    let next = || waiting.lock().ok().and_then(|mut waiting| waiting.pop_front());
    println!("{}", heading());
    std::thread::scope(|scope| {
        for _ in 0..at_once {
            scope.spawn(|| {
                while let Some(importer) = next() {
                    let one = feed(&program, importer);
                    if let Ok(one) = &one {
                        println!("{}", line(one));
                    }
                    if let Ok(mut ended) = ended.lock() {
                        ended.push(one);
                    }
                }
            });
        }
    });
    let ended = ended.into_inner().map_err(|_| "a thread broke off".to_owned())?;
    let ended: Vec<Ended> = ended.into_iter().collect::<Outcome<_>>()?;
    for (kind, wanted) in WANTED {
        let fed: u64 = ended
            .iter()
            .filter(|one| one.importer.kind == kind)
            .map(|one| one.fed)
            .sum();
        println!("{kind} importers together: {fed} (the long run wants {wanted})");
    }
    let faults: Vec<String> = ended
        .iter()
        .filter_map(|one| Some(format!("{}: {}", one.importer.name, one.fault.as_ref()?)))
        .collect();
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n"))
    }
}

/// The instrumented program, in a target folder of its own.
fn build() -> Outcome<PathBuf> {
    let target = house::target()?.join("guided");
    let mut cargo = run::cargo()?;
    cargo
        .args(["build", "--release", "--locked", "--package", "acceptance"])
        .args(["--features", "guided", "--example", "guided", "--target", TRIPLE])
        .env("CARGO_TARGET_DIR", &target)
        .env("RUSTFLAGS", INSTRUMENTED);
    run::building(&mut cargo, "building the instrumented importers")?;
    Ok(target.join(TRIPLE).join("release/examples/guided"))
}

fn importers(program: &Path) -> Outcome<Vec<Importer>> {
    let said = run::answer(&mut Command::new(program)).ok_or("the program does not list its importers")?;
    let read = |line: &str| {
        let mut fields = line.split('\t');
        Some(Importer {
            name: fields.next()?.to_owned(),
            kind: fields.next()?.to_owned(),
            runs: fields.next()?.parse().ok()?,
        })
    };
    let listed: Option<Vec<Importer>> = said.lines().map(read).collect();
    listed
        .filter(|listed| !listed.is_empty())
        .ok_or_else(|| format!("not a list of importers:\n{said}"))
}

fn feed(program: &Path, importer: Importer) -> Outcome<Ended> {
    let short: String = importer
        .name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    // What reached something new is kept from run to run; what made a fault is kept in the repository, and fed by every test.
    let kept = folder(house::target()?.join("guided/kept").join(&short))?;
    let faults = folder(house::root()?.join("tests/fuzz/corpus").join(&short))?;
    let log = house::logs()?.join(format!("guided-{short}.log"));
    let file = std::fs::File::create(&log).map_err(|why| format!("{}: {why}", log.display()))?;
    let copy = file
        .try_clone()
        .map_err(|why| format!("{}: {why}", log.display()))?;
    let began = Instant::now();
    let status = Command::new(program)
        .args([&kept, &faults])
        .arg(format!("-runs={}", importer.runs))
        .arg(format!("-artifact_prefix={}/", faults.display()))
        // A fault is told by processor time and memory an input; these two catch what never comes to an end.
        .args([
            "-timeout=60",
            "-rss_limit_mb=2048",
            "-print_final_stats=1",
            "-seed=1",
            "-report_slow_units=60",
            "-len_control=0",
        ])
        .env("QUARTERLIGHT_FUZZ_TARGET", &importer.name)
        .env("QUARTERLIGHT_FUZZ_SEEDS", &kept)
        .stdout(file)
        .stderr(copy)
        .status()
        .map_err(|why| format!("{} cannot be started: {why}", program.display()))?;
    let said = std::fs::read(&log).map_err(|why| format!("{}: {why}", log.display()))?;
    let said = String::from_utf8_lossy(&said).into_owned();
    let number = |name: &str| {
        let line = said.lines().rev().find_map(|line| line.strip_prefix(name));
        line.and_then(|rest| rest.trim().parse::<u64>().ok())
    };
    // An empty folder is no folder to the repository.
    let _ = std::fs::remove_dir(&faults);
    let fed = number("stat::number_of_executed_units:");
    let fault = (!status.success() || fed.is_none())
        .then(|| format!("{status}; what was said is in {}", log.display()));
    Ok(Ended {
        fed: fed.unwrap_or(0),
        kept: std::fs::read_dir(&kept).map_or(0, Iterator::count),
        took: began.elapsed(),
        slowest: number("stat::slowest_unit_time_sec:").unwrap_or(0),
        fault,
        importer,
    })
}

fn folder(path: PathBuf) -> Outcome<PathBuf> {
    std::fs::create_dir_all(&path).map_err(|why| format!("{}: {why}", path.display()))?;
    Ok(path)
}

fn heading() -> String {
    format!(
        "{:<32} {:>10} {:>8} {:>12} {:>9}",
        "importer", "fed", "kept", "time", "slowest"
    )
}

fn line(one: &Ended) -> String {
    let end = if one.fault.is_some() { "  FAULT" } else { "" };
    format!(
        "{:<32} {:>10} {:>8} {:>12} {:>7} s{end}",
        one.importer.name,
        one.fed,
        one.kept,
        run::spell(one.took),
        one.slowest
    )
}
