//! The start of the day.

pub(crate) use super::generated::home::*;
