//! Photographs.

use crate::store::NotKept;
use survey::photo::{PhotoError, Shows};
use survey::store::StoreError;

use super::generated::photos as words;
pub(crate) use super::generated::photos::*;

pub(crate) fn shows(shows: Shows) -> &'static str {
    match shows {
        Shows::Label => shows_label(),
        Shows::Damage => shows_damage(),
        Shows::Other => shows_other(),
    }
}

pub(crate) fn one(number: usize, what: Shows) -> String {
    words::one(number, shows(what))
}

pub(crate) fn not_kept(why: &NotKept) -> String {
    match why {
        NotKept::Store(StoreError::Full(_)) => not_kept_full().to_owned(),
        NotKept::Store(error) => not_kept_store(error),
        NotKept::Picture(PhotoError::TooManyBytes(_)) => not_kept_too_many_bytes().to_owned(),
        NotKept::Picture(error) => not_kept_picture(error),
        NotKept::Refused(refusal) => not_kept_refused(refusal),
        NotKept::Elsewhere => not_kept_elsewhere().to_owned(),
    }
}
