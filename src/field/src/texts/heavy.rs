//! Work that takes long: how far it is, stopping it, and where it cannot be done.

use crate::capability::heavy::Fault;

pub(crate) use super::generated::heavy::*;

/// Why a piece of work has no result, in words.
pub(crate) fn fault<E>(fault: Fault<E>, said: impl FnOnce(E) -> String) -> String {
    match fault {
        Fault::Said(error) => said(error),
        Fault::Stopped => stopped().to_owned(),
        Fault::NoWorker(why) => unable(why),
    }
}
