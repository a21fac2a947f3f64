//! What somebody who wishes ill could hand to each importer: refused and named, or harmless. A table an importer.
#![allow(clippy::unwrap_used, reason = "what cannot be made is a failed test")]

mod files;
mod lines;
mod names;
#[path = "../support/packing.rs"]
mod packing;
#[path = "../support/saved.rs"]
mod saved;
mod tables;
