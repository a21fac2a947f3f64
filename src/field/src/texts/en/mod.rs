//! English. A file a journey, and `common` for the shell.

pub mod common;
pub mod device;
pub mod home;
pub mod setup;
