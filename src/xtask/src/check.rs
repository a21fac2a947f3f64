//! `cargo xtask test`: everything that belongs to a change, in the order that finds the cheapest faults first.

use crate::run::Steps;
use crate::site::{self, Kind};
use crate::{Outcome, arrows, house, licences, run, same_bits, tools};
use std::process::Command;
use std::thread::JoinHandle;

/// What one run of `cargo test` counted.
#[derive(Default, PartialEq, Eq, Debug)]
struct Counts {
    passed: u32,
    failed: u32,
    ignored: u32,
}

pub(crate) fn test(long: bool) -> Outcome {
    let mut steps = Steps::new();
    // Packages of the system come over the network while the processor formats, lints and builds.
    let system = std::thread::spawn(tools::for_testing);
    let python = std::thread::spawn(|| tools::python().and_then(|_| tools::axe()));

    steps.step("form (cargo fmt --check)", || {
        run::loud(
            run::cargo()?.args(["fmt", "--all", "--check"]),
            "cargo fmt (cargo fmt --all mends it)",
        )
    })?;
    steps.step("the house's arrows", arrows::command)?;
    steps.step("licences", licences::command)?;
    steps.step("tools for the build", tools::setup)?;
    steps.step("lints (cargo clippy)", || {
        let words = [
            "clippy",
            "--workspace",
            "--all-targets",
            "--locked",
            "--",
            "-D",
            "warnings",
        ];
        run::building(run::cargo()?.args(words), "cargo clippy")
    })?;
    steps.step("tools for the tests", || {
        joined(system)?;
        joined(python)
    })?;
    let mut counts = Vec::new();
    steps.step("tests of the crates (cargo test)", || {
        cargo_test(long, &mut counts)
    })?;
    steps.step("the site and the desk program", || site::build(Kind::Test))?;
    steps.step("the same bits in Wasm", same_bits::command)?;
    println!("\nTimes so far:\n{}", steps.table());
    print_counts(&counts);
    // Last, so that the test runner's own closing lines close the whole run.
    println!("== browsers and validators (pytest)");
    if long {
        println!("   first the site as it is released");
        site::build(Kind::Release)?;
        let command = pytest(&["tests/browser/test_shell.py"], Kind::Release)?;
        tested(command, long)?;
    }
    tested(pytest(&["tests"], Kind::Test)?, long)
}

/// Every screen in every view and scheme, in a language.
pub(crate) fn pictures(language: &str) -> Outcome {
    let folder = house::target()?.join("pictures");
    looked_at(
        "pictures.py",
        &[folder.as_os_str(), "--language".as_ref(), language.as_ref()],
        Kind::Test,
        "making the pictures",
    )?;
    println!("The pictures are in {}.", folder.display());
    Ok(())
}

/// Taps and seconds of a tape and a box, counted on the app itself.
pub(crate) fn effort() -> Outcome {
    looked_at("effort.py", &[], Kind::Test, "counting the taps")
}

/// Runs a script of `tests/browser` on a freshly built site.
pub(crate) fn looked_at(script: &str, words: &[&std::ffi::OsStr], kind: Kind, what: &str) -> Outcome {
    tools::for_testing()?;
    tools::axe()?;
    tools::setup()?;
    site::build(kind)?;
    let mut command = Command::new(tools::python()?);
    command
        .current_dir(house::root()?)
        .arg(house::root()?.join("tests/browser").join(script))
        .args(words)
        .env("QUARTERLIGHT_DIST", kind.dist()?)
        .env("QUARTERLIGHT", site::desk(kind)?);
    run::loud(&mut command, what)
}

fn joined(thread: JoinHandle<Outcome>) -> Outcome {
    thread
        .join()
        .unwrap_or_else(|_| Err("an installation ended in a panic.".to_string()))
}

/// The Python tests of these paths, against the site of this kind.
pub(crate) fn pytest(paths: &[&str], kind: Kind) -> Outcome<Command> {
    let mut command = Command::new(tools::python()?);
    command
        .current_dir(house::root()?)
        .args(["-m", "pytest", "--dist", "loadgroup", "-n"])
        .arg(side_by_side().to_string())
        .args(paths);
    command
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .env("QUARTERLIGHT_DIST", kind.dist()?)
        .env("QUARTERLIGHT", site::desk(kind)?);
    Ok(command)
}

/// How many tests wait for their browsers at once: a browser takes about a core, and memory for more than a few is not
/// everywhere.
fn side_by_side() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from).min(4)
}

fn tested(mut command: Command, long: bool) -> Outcome {
    if long {
        command.arg("--long");
    }
    run::loud(&mut command, "pytest")
}

fn cargo_test(long: bool, counts: &mut Vec<(String, Counts)>) -> Outcome {
    let mut command = run::cargo()?;
    command.args(["test", "--workspace", "--locked", "--no-fail-fast"]);
    if long {
        // Simulations are only bearable optimised.
        command.args(["--release", "--", "--include-ignored"]);
    }
    let mut current = String::new();
    run::heard(&mut command, "cargo test", |line| {
        let noise =
            line.is_empty() || line.starts_with("running ") || line.trim_start().starts_with("Compiling ");
        if !(noise || line.ends_with(" ... ok")) {
            println!("{line}");
        }
        if let Some(name) = suite_of(line) {
            current = name;
        } else if let Some(found) = counts_of(line) {
            counts.push((current.clone(), found));
        }
    })
}

/// The crate or test file that the next counts belong to.
fn suite_of(line: &str) -> Option<String> {
    let line = line.trim_start();
    if let Some(name) = line.strip_prefix("Doc-tests ") {
        return Some(format!("{name} (documentation)"));
    }
    let (_, path) = line.strip_prefix("Running ")?.rsplit_once('/')?;
    let (name, _) = path.rsplit_once('-')?;
    Some(name.to_string())
}

/// Reads `test result: ok. 3 passed; 0 failed; 1 ignored; ...`.
fn counts_of(line: &str) -> Option<Counts> {
    let (_, rest) = line.strip_prefix("test result: ")?.split_once(". ")?;
    let mut counts = Counts::default();
    for part in rest.split("; ") {
        let (number, word) = part.split_once(' ')?;
        match word {
            "passed" => counts.passed = number.parse().ok()?,
            "failed" => counts.failed = number.parse().ok()?,
            "ignored" => counts.ignored = number.parse().ok()?,
            _ => {}
        }
    }
    Some(counts)
}

fn print_counts(counts: &[(String, Counts)]) {
    println!(
        "  {:<44} {:>7} {:>7} {:>7}",
        "tests of the crates", "passed", "failed", "ignored"
    );
    let mut sum = Counts::default();
    for (name, found) in counts {
        if found.passed + found.failed + found.ignored > 0 {
            println!(
                "  {name:<44} {:>7} {:>7} {:>7}",
                found.passed, found.failed, found.ignored
            );
        }
        sum.passed += found.passed;
        sum.failed += found.failed;
        sum.ignored += found.ignored;
    }
    println!(
        "  {:<44} {:>7} {:>7} {:>7}\n",
        "together", sum.passed, sum.failed, sum.ignored
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_read_from_the_runner_s_own_line() {
        let line =
            "test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.02s";
        assert_eq!(
            counts_of(line),
            Some(Counts {
                passed: 12,
                failed: 0,
                ignored: 1
            })
        );
        let line = "test result: FAILED. 1 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out";
        assert_eq!(
            counts_of(line),
            Some(Counts {
                passed: 1,
                failed: 2,
                ignored: 0
            })
        );
        assert_eq!(counts_of("running 12 tests"), None);
    }

    #[test]
    fn suites_are_named_by_their_crate_or_file() {
        let line = "     Running unittests src/lib.rs (target/debug/deps/sampling-1f2e3d4c5b6a7988)";
        assert_eq!(suite_of(line).as_deref(), Some("sampling"));
        assert_eq!(
            suite_of("   Doc-tests tape").as_deref(),
            Some("tape (documentation)")
        );
    }
}
