//! Packages of the system, asked for by name, on machines that have apt.

use crate::{Outcome, run};
use std::process::Command;
use std::sync::Mutex;

/// Two threads may want packages; apt takes one at a time.
static ONE_AT_A_TIME: Mutex<bool> = Mutex::new(false);

/// Installs those of `packages` that are not there yet, after one `apt-get update` for the whole run.
pub(crate) fn install(packages: &[&str], why_wanted: &str) -> Outcome {
    let mut updated = match ONE_AT_A_TIME.lock() {
        Ok(guard) => guard,
        Err(poisoned) => poisoned.into_inner(),
    };
    let missing: Vec<&str> = packages
        .iter()
        .copied()
        .filter(|package| !is_installed(package))
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    let by_hand = format!("apt-get install --no-install-recommends {}", missing.join(" "));
    if !run::is_there("apt-get") {
        return Err(format!(
            "{why_wanted} needs programs that this computer lacks, and it has no apt to fetch them with. On Debian they \
             are: {}. Install their equals, then run this again.",
            missing.join(", ")
        ));
    }
    println!("   installing for {why_wanted}: {}", missing.join(" "));
    if !*updated {
        let what = "apt-get update";
        let refused = |why| format!("{why}\nTry it by hand: apt-get update && {by_hand}");
        run::quiet(as_root("apt-get")?.args(["update", "-q"]), what).map_err(refused)?;
        *updated = true;
    }
    let mut command = as_root("apt-get")?;
    command.args([
        "install",
        "-q",
        "-y",
        "--no-install-recommends",
        "-o",
        "DPkg::Lock::Timeout=600",
    ]);
    command.args(&missing).env("DEBIAN_FRONTEND", "noninteractive");
    run::quiet(&mut command, &format!("apt-get install for {why_wanted}"))
        .map_err(|why| format!("{why}\nTry it by hand: {by_hand}"))
}

pub(crate) fn is_installed(package: &str) -> bool {
    let mut query = Command::new("dpkg-query");
    run::answer(query.args(["-W", "-f", "${Status}", package])).is_some_and(|s| s == "install ok installed")
}

fn as_root(program: &str) -> Outcome<Command> {
    let is_root = run::answer(Command::new("id").arg("-u")).is_some_and(|id| id.trim() == "0");
    if is_root {
        return Ok(Command::new(program));
    }
    if run::is_there("sudo") {
        let mut command = Command::new("sudo");
        command.args(["--preserve-env=DEBIAN_FRONTEND", program]);
        return Ok(command);
    }
    Err(format!(
        "{program} needs an administrator, and there is no sudo. Run this as one who may install packages."
    ))
}
