//! A team's folder on a server of its own.

use transfer::folder::AddressError;

use crate::journeys::folder::{Broke, Came};

use super::generated::folder as words;
pub(crate) use super::generated::folder::*;

pub(crate) fn lines() -> [&'static str; 4] {
    [line_photos(), line_never(), line_checked(), line_readers()]
}

pub(crate) fn address_error(error: AddressError) -> String {
    match error {
        AddressError::NotSecure => address_not_secure().to_owned(),
        AddressError::NotPlain => address_not_plain().to_owned(),
    }
}

/// Which part is on its way, of so many.
pub(crate) fn working(done: usize, all: usize) -> String {
    words::working(done + 1, all)
}

pub(crate) fn came(came: &Came) -> String {
    match came.n_left {
        0 => came_all(came.n_taken, came.n_gone),
        left => came_left(came.n_taken, came.n_gone, left),
    }
}

pub(crate) fn broke(broke: &Broke) -> String {
    match broke {
        Broke::NoLine(why) => broke_no_line(why),
        Broke::Password => broke_password().to_owned(),
        Broke::NoFolder(status) => broke_no_folder(status),
        Broke::Full => broke_full().to_owned(),
        Broke::Odd(status) => broke_odd(status),
        Broke::Store(why) => broke_store(why),
    }
}
