//! Standard output, closed early by whoever reads it or not.

use std::fmt::Display;
use std::io::{ErrorKind, Write};

/// Writes the text. A reader that has seen enough is no fault.
///
/// # Errors
/// A sentence when the text cannot be written for another reason.
pub(crate) fn print(text: &str) -> Result<(), String> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(format!("cannot write: {error}")),
        _ => Ok(()),
    }
}

/// Writes the text and a line end.
///
/// # Errors
/// As for [`print`].
pub(crate) fn line(text: impl Display) -> Result<(), String> {
    print(&format!("{text}\n"))
}
