//! What does not agree in a survey, after `quarterlight merge` and `quarterlight verify`.

use survey::differ::Differences;
use survey::{Log, State};

/// Prints it under a heading; nothing where everything agrees.
pub(crate) fn print(log: &Log, state: &State) {
    let lines = handover::differ::lines(&Differences::of(log, state), state);
    if lines.is_empty() {
        return;
    }
    println!();
    println!("What does not agree, and what was checked twice:");
    for line in lines {
        println!("  {line}");
    }
}
