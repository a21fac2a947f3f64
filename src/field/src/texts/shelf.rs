//! The shelves of a round, and what was found that must not wait.

pub(crate) use super::generated::shelf::*;
