//! English. A file a journey, and `common` for the shell.

pub mod alike;
pub mod check;
pub mod common;
pub mod device;
pub mod handover;
pub mod hands;
pub mod home;
pub mod pace;
pub mod paper;
pub mod photos;
pub mod reading;
pub mod results;
pub mod sample;
pub mod setup;
pub mod shelf;
pub mod takes;
