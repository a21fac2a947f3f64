//! `cargo xtask study`: the coverage study of the intervals, which is a program of the crate `sampling` itself.

use crate::{Outcome, house, run};

/// Runs the short form (300 draws a cell, about a minute on two cores) or the long one (10,000, under half an hour); or, on the same
/// samples, other constants of the default interval beside it.
pub(crate) fn command(long: bool, tried: bool) -> Outcome {
    let mut command = run::cargo()?;
    command.args([
        "run",
        "--release",
        "--locked",
        "--quiet",
        "--package",
        "sampling",
        "--example",
        "study",
        "--",
    ]);
    command.arg(house::target()?.join("study"));
    if long {
        command.arg("--long");
    }
    if tried {
        command.arg("--tried");
    }
    run::loud(&mut command, "the study")
}
