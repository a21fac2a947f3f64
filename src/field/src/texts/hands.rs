//! Two at one box: one looks, one taps.

use super::generated::hands as words;
pub(crate) use super::generated::hands::*;

pub(crate) fn line(looker: &str) -> String {
    if looker.is_empty() {
        title().to_owned()
    } else {
        words::line(looker)
    }
}
