//! A survey locked on this device.

pub(crate) use super::generated::locking::*;
use crate::capability::lock::LockError;

/// Why it stays as it is, and what to do.
pub(crate) fn error(error: &LockError) -> String {
    match error {
        LockError::NotHere => not_available().to_owned(),
        LockError::Wrong => wrong().to_owned(),
        LockError::Failed(why) => failed(why),
    }
}
