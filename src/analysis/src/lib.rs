//! Where records meet statistics: every figure that anyone shows
#![deny(missing_docs)]

pub mod tables;
