//! What does not agree in a survey, after `quarterlight merge` and `quarterlight verify`.

use survey::differ::Differences;
use survey::{Log, State};

use crate::output;

/// Prints it under a heading; nothing where everything agrees.
///
/// # Errors
/// What cannot be written.
pub(crate) fn print(log: &Log, state: &State) -> Result<(), String> {
    let lines = handover::differ::lines(&Differences::of(log, state), state);
    if lines.is_empty() {
        return Ok(());
    }
    output::line("")?;
    output::line("What does not agree, and what was checked twice:")?;
    for line in lines {
        output::line(format_args!("  {line}"))?;
    }
    Ok(())
}
