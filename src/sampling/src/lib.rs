//! Survey-sampling statistics: designs, draws, estimators and intervals
#![deny(missing_docs)]

pub mod agreement;
pub mod column;
pub mod contrast;
pub mod design;
pub mod estimate;
pub mod interval;
pub mod linear;
pub mod math;
pub mod misclassification;
pub mod plan;
pub mod quantile;
pub mod random;
pub mod rank;
pub mod replicate;
pub mod rounds;
pub mod unequal;
