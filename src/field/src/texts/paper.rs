//! Round sheets on paper, and typing them in.

use super::generated::paper as words;
pub(crate) use super::generated::paper::*;

/// Which positions are checked from so many tapes on.
pub(crate) fn positions(from: u32, positions: &[u32]) -> String {
    let numbers: Vec<String> = positions.iter().map(u32::to_string).collect();
    words::positions(from, numbers.join(", "))
}
