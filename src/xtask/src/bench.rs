//! `cargo xtask bench`: the estimators beside R's survey package and samplics, on the same data, in one run.
//!
//! Never part of a test: times belong to a machine and a moment (processor time, so that other programs count little). Figures are compared too, so that nothing is fast and wrong.

use crate::{Outcome, apt, house, run};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const SAMPLICS: &str = "samplics==0.6.1";
const SHARES: &str = "shares and errors, all and by stratum";
const SINGLY: &str = "as numbers, one column at a time";
const LIMITS: &str = "the same with default limits";
const BOOTSTRAP: &str = "bootstrap, 1000 replicates";
/// Items, and whether the boxes are read whole (one stage) or by half (two): samplics knows one stage only.
const SIZES: [(&str, bool); 6] = [
    ("1000-whole", true),
    ("10000-whole", true),
    ("100000-whole", true),
    ("1000-half", false),
    ("10000-half", false),
    ("100000-half", false),
];
/// What R's survey package 4.5 takes for shares and errors of two stages, and how many times as fast we want to be: from memory of a
/// measured run on a machine like ours, since Debian's older version is needlessly slow there.
const NEWER_R: [(&str, f64, f64); 2] = [("10000-half", 0.45, 500.0), ("100000-half", 8.3, 1000.0)];
/// Another program that takes longer than this at one size is stopped.
const PATIENCE: Duration = Duration::from_secs(300);

pub(crate) fn command() -> Outcome {
    if !run::is_there("Rscript") && run::is_there("apt-get") {
        apt::install(&["r-base-core", "r-cran-survey"], "the comparison with R")?;
    }
    let python = python()?;
    let folder = house::target()?.join("bench");
    println!("{}\n", machine(true));
    let mut build = run::cargo()?;
    build.args([
        "build",
        "--release",
        "--locked",
        "--quiet",
        "--package",
        "sampling",
        "--example",
        "bench",
    ]);
    run::loud(&mut build, "building the benchmark")?;
    let program = house::target()?.join("release/examples/bench");
    let text =
        run::answer(Command::new(program).arg(&folder)).ok_or("our own benchmark did not end well.")?;
    let ours = times(&text);
    println!(
        "{:<38} {:>13} {:>13} {:>13} {:>13} {:>9} {:>9}",
        "processor seconds", "items", "this crate", "R survey", "samplics", "R/this", "sam./this"
    );
    let mut notes = Vec::new();
    let mut r_is_slow = false;
    for (size, whole) in SIZES {
        let own = folder.join(size);
        // Where it ran out of patience with fewer items, it would again.
        let r = match r_is_slow {
            true => None,
            false => another(r(&own, false)?, &mut notes, &format!("R, {size}"))?,
        };
        r_is_slow = r.is_none();
        let samplics = match whole {
            true => another(samplics(&python, &own)?, &mut notes, &format!("samplics, {size}"))?,
            false => None,
        };
        row(SHARES, size, &ours, r, samplics);
        row(SINGLY, size, &ours, r, samplics);
        row(LIMITS, size, &ours, None, None);
        for (there, name) in [(r.is_some(), "r.csv"), (samplics.is_some(), "samplics.csv")] {
            if there {
                notes.push(format!("{size}, {}", compared(&own, name)?));
            }
        }
    }
    let r = another(r(&folder.join("10000-whole"), true)?, &mut notes, "R, bootstrap")?;
    row(BOOTSTRAP, "10000-whole", &ours, r, None);
    println!();
    for what in [SHARES, SINGLY, LIMITS] {
        for read in ["whole", "half"] {
            growth(what, read, &ours);
        }
    }
    println!();
    for (size, seconds, wanted) in NEWER_R {
        if let Some(own) = ours.get(&(SHARES.to_string(), size.to_string())) {
            println!(
                "{size}: R survey 4.5 takes {seconds} s (from memory of a measured run elsewhere), which is {:.0} times ours; \
                 wanted: {wanted}",
                seconds / own
            );
        }
    }
    notes.sort();
    notes.dedup();
    println!("\n{}", notes.join("\n"));
    Ok(())
}

/// Seconds by what was done and how many items.
fn times(text: &str) -> BTreeMap<(String, String), f64> {
    let mut found = BTreeMap::new();
    for line in text.lines() {
        if let Some((rest, seconds)) = line.rsplit_once(',')
            && let Some((what, size)) = rest.rsplit_once(',')
            && let Ok(seconds) = seconds.parse()
        {
            found.insert((what.to_string(), size.to_string()), seconds);
        }
    }
    found
}

fn row(
    what: &str,
    size: &str,
    ours: &BTreeMap<(String, String), f64>,
    r: Option<f64>,
    samplics: Option<f64>,
) {
    let own = ours.get(&(what.to_string(), size.to_string())).copied();
    let seconds = |time: Option<f64>| time.map_or("-".to_string(), |t| format!("{t:.5}"));
    let ratio = |time: Option<f64>| match (time, own) {
        (Some(time), Some(own)) => format!("{:.0}", time / own),
        _ => "-".to_string(),
    };
    println!(
        "{what:<38} {size:>13} {:>13} {:>13} {:>13} {:>9} {:>9}",
        seconds(own),
        seconds(r),
        seconds(samplics),
        ratio(r),
        ratio(samplics)
    );
}

/// How our time grows when there is ten times as much.
fn growth(what: &str, read: &str, ours: &BTreeMap<(String, String), f64>) {
    let time = |items: u32| ours.get(&(what.to_string(), format!("{items}-{read}")));
    if let (Some(least), Some(middle), Some(most)) = (time(1000), time(10_000), time(100_000)) {
        println!(
            "{what}, {read}: {:.1} times as long for 10,000 items as for 1,000, {:.1} times for 100,000 as for 10,000",
            middle / least,
            most / middle
        );
    }
}

fn r(folder: &Path, bootstrap: bool) -> Outcome<Command> {
    let mut command = Command::new("Rscript");
    command
        .arg(house::root()?.join("tests/bench/survey.R"))
        .arg(folder);
    if bootstrap {
        command.arg("bootstrap");
    }
    Ok(command)
}

fn samplics(python: &Path, folder: &Path) -> Outcome<Command> {
    let mut command = Command::new(python);
    command
        .arg(house::root()?.join("tests/bench/samplics_side.py"))
        .arg(folder);
    Ok(command)
}

/// Runs another program and gives the seconds that it says; nothing where it ran out of patience.
fn another(mut command: Command, notes: &mut Vec<String>, who: &str) -> Outcome<Option<f64>> {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    let mut child = command
        .spawn()
        .map_err(|why| format!("{who} cannot be started: {why}"))?;
    let began = Instant::now();
    // What it says fits into a pipe, so that it can be read when it has ended.
    loop {
        match child.try_wait() {
            Ok(Some(_)) => break,
            Ok(None) if began.elapsed() > PATIENCE => {
                let _ = child.kill();
                let _ = child.wait();
                notes.push(format!("{who}: stopped after {}", run::spell(PATIENCE)));
                return Ok(None);
            }
            Ok(None) => std::thread::sleep(Duration::from_millis(50)),
            Err(why) => return Err(format!("{who} was lost sight of: {why}")),
        }
    }
    let output = child.wait_with_output().map_err(|why| format!("{who}: {why}"))?;
    if !output.status.success() {
        notes.push(format!("{who}: did not end well ({})", output.status));
        return Ok(None);
    }
    let mut seconds = None;
    for line in String::from_utf8_lossy(&output.stdout).lines() {
        match line.split_once(',') {
            Some(("version", version)) => notes.push(format!(
                "{}: version {version}",
                who.split(',').next().unwrap_or(who)
            )),
            Some(("note", note)) => notes.push(format!("{who}: {note}")),
            _ => {
                seconds = line
                    .rsplit_once(',')
                    .and_then(|(_, s)| s.parse().ok())
                    .or(seconds);
            }
        }
    }
    Ok(seconds)
}

/// The greatest relative difference between our estimates and errors and another program's.
fn compared(folder: &Path, name: &str) -> Outcome<String> {
    let numbers = |name: &str| -> Outcome<Vec<f64>> {
        let text = house::read(&folder.join(name))?;
        Ok(text
            .lines()
            .skip(1)
            .flat_map(|l| l.split(',').skip(1))
            .filter_map(|n| n.parse().ok())
            .collect())
    };
    let (ours, theirs) = (numbers("crate.csv")?, numbers(name)?);
    if ours.len() != theirs.len() || ours.is_empty() {
        return Err(format!(
            "{name} has {} figures, and we have {}.",
            theirs.len(),
            ours.len()
        ));
    }
    let off = ours
        .iter()
        .zip(&theirs)
        .map(|(a, b)| ((a - b) / b).abs())
        .fold(0.0, f64::max);
    if off > 1e-9 {
        return Err(format!("{name} and our figures differ by as much as {off:.1e}."));
    }
    Ok(format!(
        "{}: its estimates and standard errors and ours agree to {off:.0e}",
        name.trim_end_matches(".csv")
    ))
}

/// A Python of its own, so that the tests' has no more than they need.
fn python() -> Outcome<PathBuf> {
    let folder = house::target()?.join("bench-venv");
    let python = folder.join("bin/python");
    if run::answer(Command::new(&python).args(["-c", "import samplics"])).is_some() {
        return Ok(python);
    }
    println!("   making a Python environment with samplics in target/bench-venv");
    run::quiet(
        Command::new("python3")
            .args(["-m", "venv", "--clear"])
            .arg(&folder),
        "python3 -m venv",
    )?;
    let mut pip = Command::new(&python);
    pip.args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        SAMPLICS,
    ]);
    run::quiet(&mut pip, "pip install samplics")?;
    Ok(python)
}

/// The machine and the moment; with R's version where it is set beside ours.
pub(crate) fn machine(with_r: bool) -> String {
    let about = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = about
        .lines()
        .find_map(|line| line.strip_prefix("model name")?.split_once(':'))
        .map_or("processor unknown", |(_, name)| name.trim());
    let processors = std::thread::available_parallelism().map_or(0, std::num::NonZero::get);
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let load = load.split(' ').next().unwrap_or("unknown");
    let rustc = run::answer(Command::new("rustc").arg("--version")).unwrap_or_default();
    let r = match with_r {
        true => {
            run::answer(Command::new("Rscript").args(["-e", "cat(R.version.string)"])).unwrap_or_default()
        }
        false => String::new(),
    };
    let about = format!(
        "{model}, {processors} processors, load {load} before the start; {}; {}",
        rustc.trim(),
        r.trim()
    );
    about.trim_end_matches("; ").to_string()
}

#[cfg(test)]
mod tests {
    use super::times;

    #[test]
    fn a_time_is_known_by_what_and_how_many() {
        let found = times("shares, all,1000,0.5\nnonsense\n");
        assert_eq!(
            found.get(&("shares, all".to_string(), "1000".to_string())),
            Some(&0.5)
        );
        assert_eq!(found.len(), 1);
    }
}
