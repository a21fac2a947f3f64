//! English. A file a journey, and `common` for the shell.

pub mod alike;
pub mod check;
pub mod common;
pub mod device;
pub mod handover;
pub mod home;
pub mod results;
pub mod sample;
pub mod setup;
pub mod takes;
