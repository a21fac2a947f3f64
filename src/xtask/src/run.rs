//! Running other programs: loudly, quietly into a log with signs of life, or listened to; and a list of timed steps.

use crate::{Outcome, house};
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

const SIGN_OF_LIFE: Duration = Duration::from_secs(20);

/// Cargo as the person called it, without what `cargo run` put into our environment.
pub(crate) fn cargo() -> Outcome<Command> {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or("cargo".into()));
    without_own_package(&mut command);
    command.current_dir(house::root()?);
    Ok(command)
}

/// Removes the variables that describe xtask itself, so that no build script mistakes them for its own.
pub(crate) fn without_own_package(command: &mut Command) {
    for (name, _) in std::env::vars_os() {
        let name = name.to_string_lossy().into_owned();
        if name.starts_with("CARGO_PKG_") || name.starts_with("CARGO_MANIFEST_") {
            command.env_remove(name);
        }
    }
}

/// Runs to the end with its output on the screen.
pub(crate) fn loud(command: &mut Command, what: &str) -> Outcome {
    let status = command.status().map_err(|why| cannot_start(command, &why))?;
    judged(status, what)
}

/// Runs to the end, its output in a log; says every twenty seconds that it is still at it, and shows the log's end
/// when it fails.
pub(crate) fn quiet(command: &mut Command, what: &str) -> Outcome {
    let file_name: String = what
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let log = house::logs()?.join(format!("{file_name}.log"));
    let open = || File::create(&log).map_err(|why| format!("{} cannot be written: {why}", log.display()));
    let file = open()?;
    let copy = file
        .try_clone()
        .map_err(|why| format!("{} cannot be written: {why}", log.display()))?;
    command.stdin(Stdio::null()).stdout(file).stderr(copy);
    let mut child = command.spawn().map_err(|why| cannot_start(command, &why))?;
    let status = wait_with_signs(&mut child, what, &log)?;
    judged(status, what).map_err(|why| format!("{why}\n{}\n(all of it: {})", tail(&log, 25), log.display()))
}

fn wait_with_signs(child: &mut Child, what: &str, log: &Path) -> Outcome<ExitStatus> {
    let started = Instant::now();
    let mut said = started;
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return Ok(status),
            Ok(None) => std::thread::sleep(Duration::from_millis(100)),
            Err(why) => return Err(format!("{what} was lost sight of: {why}")),
        }
        if said.elapsed() >= SIGN_OF_LIFE {
            said = Instant::now();
            println!(
                "   ... {what}: {}, {}",
                spell(started.elapsed()),
                tail(log, 1).trim()
            );
        }
    }
}

/// Runs to the end, handing every line of its output (both streams, in order) to `hear`.
pub(crate) fn heard(command: &mut Command, what: &str, mut hear: impl FnMut(&str)) -> Outcome {
    let trouble = |why: std::io::Error| format!("{what} cannot be listened to: {why}");
    let (reader, writer) = std::io::pipe().map_err(trouble)?;
    command
        .stdout(writer.try_clone().map_err(trouble)?)
        .stderr(writer);
    let mut child = command.spawn().map_err(|why| cannot_start(command, &why))?;
    // The command holds our copies of the pipe's writing end: only without them does the reading end.
    command.stdout(Stdio::null()).stderr(Stdio::null());
    let mut reader = BufReader::new(reader);
    let mut line = Vec::new();
    loop {
        line.clear();
        if reader.read_until(b'\n', &mut line).map_err(trouble)? == 0 {
            break;
        }
        hear(String::from_utf8_lossy(&line).trim_end_matches(['\n', '\r']));
    }
    judged(child.wait().map_err(trouble)?, what)
}

/// Runs cargo, or what runs it, showing all but its long list of crates: of that, every fiftieth line as a sign of life.
pub(crate) fn building(command: &mut Command, what: &str) -> Outcome {
    let mut crates = 0;
    heard(command, what, |line| {
        let start = line.trim_start();
        if ["Compiling ", "Checking ", "Downloaded ", "Downloading "]
            .iter()
            .any(|word| start.starts_with(word))
        {
            crates += 1;
            if crates % 50 == 0 {
                println!("   ... {crates} crates so far");
            }
        } else {
            println!("{line}");
        }
    })
}

/// What a program writes to its output, when it ends well.
pub(crate) fn answer(command: &mut Command) -> Option<String> {
    let output = command.stdin(Stdio::null()).stderr(Stdio::null()).output().ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Whether a program of this name can be run at all.
pub(crate) fn is_there(program: &str) -> bool {
    std::env::var_os("PATH")
        .is_some_and(|path| std::env::split_paths(&path).any(|p| p.join(program).is_file()))
}

fn judged(status: ExitStatus, what: &str) -> Outcome {
    if status.success() {
        Ok(())
    } else {
        Err(format!("{what} failed ({status})."))
    }
}

fn cannot_start(command: &Command, why: &std::io::Error) -> String {
    format!(
        "{} cannot be started: {why}",
        command.get_program().to_string_lossy()
    )
}

fn tail(log: &Path, lines: usize) -> String {
    let bytes = std::fs::read(log).unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes);
    let all: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).collect();
    all[all.len().saturating_sub(lines)..].join("\n")
}

/// A duration as a person says it.
pub(crate) fn spell(time: Duration) -> String {
    let seconds = time.as_secs();
    match seconds {
        0..10 => format!("{:.1} s", time.as_secs_f64()),
        10..60 => format!("{seconds} s"),
        _ => format!("{} min {:02} s", seconds / 60, seconds % 60),
    }
}

/// The steps of a long command, each with its time.
pub(crate) struct Steps {
    began: Instant,
    done: Vec<(String, Duration)>,
}

impl Steps {
    pub(crate) fn new() -> Self {
        Self {
            began: Instant::now(),
            done: Vec::new(),
        }
    }

    /// Does one step, or says which one it was that failed.
    pub(crate) fn step<T>(&mut self, name: &str, work: impl FnOnce() -> Outcome<T>) -> Outcome<T> {
        println!("== {name}");
        let started = Instant::now();
        let result = work();
        let took = started.elapsed();
        match result {
            Ok(value) => {
                println!("== {name}: done in {}", spell(took));
                self.done.push((name.to_string(), took));
                Ok(value)
            }
            Err(why) => Err(format!("stopped at '{name}' after {}.\n{why}", spell(took))),
        }
    }

    pub(crate) fn table(&self) -> String {
        let mut text = String::new();
        for (name, took) in &self.done {
            text.push_str(&format!("  {name:<44} {:>12}\n", spell(*took)));
        }
        text.push_str(&format!(
            "  {:<44} {:>12}\n",
            "together",
            spell(self.began.elapsed())
        ));
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failing_program_is_a_failure_and_a_passing_one_is_not() {
        assert!(loud(&mut Command::new("true"), "true").is_ok());
        assert!(loud(&mut Command::new("false"), "false").is_err());
    }

    #[test]
    fn both_streams_are_heard_and_the_end_is_noticed() {
        let mut lines = Vec::new();
        let outcome = heard(
            Command::new("sh").args(["-c", "echo one; echo two >&2; exit 3"]),
            "sh",
            |line| {
                lines.push(line.to_string());
            },
        );
        assert_eq!(lines, ["one", "two"]);
        assert!(outcome.is_err());
    }
}
