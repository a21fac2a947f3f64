//! Survey-sampling statistics: designs, draws, estimators and intervals
#![deny(missing_docs)]

pub mod math;
pub mod rank;
pub mod rounds;
