//! What is hard on the program: spoilt inputs by the thousand, and a browser killed over and over.

use crate::site::{self, Kind};
use crate::{Outcome, check, run, tools};

/// How many times the short run's inputs: a few minutes.
const TIMES: &str = "10";

/// `cargo xtask fuzz`: spoilt inputs for every importer, optimised, with what was fed.
pub(crate) fn fuzz() -> Outcome {
    let mut command = run::cargo()?;
    command.args([
        "test",
        "--release",
        "--locked",
        "--quiet",
        "--package",
        "acceptance",
        "--test",
        "fuzz",
    ]);
    command.args(["--", "--nocapture"]);
    command.env("QUARTERLIGHT_FUZZ_TIMES", TIMES);
    run::loud(&mut command, "the spoilt inputs")
}

/// `cargo xtask torture`: the browser killed this many times in the middle of checking.
pub(crate) fn torture(kills: &str) -> Outcome {
    if kills.parse::<u32>().is_err() {
        return Err(format!("--kills wants a number, not {kills:?}."));
    }
    tools::setup()?;
    tools::for_testing()?;
    site::build(Kind::Test)?;
    let mut command = check::pytest(&["tests/browser/test_torture.py", "-s"], Kind::Test)?;
    command.env("QUARTERLIGHT_KILLS", kills);
    run::loud(&mut command, "the torture")
}
