//! What leaves the device and what comes in: the survey file, its tables, its checks
#![deny(missing_docs)]

pub mod boxlist;
