//! Survey-sampling statistics: designs, draws, estimators and intervals
#![deny(missing_docs)]
