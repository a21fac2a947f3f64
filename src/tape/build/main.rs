//! Reads the folder `knowledge`, checks it, and writes it as Rust statics: the app carries no parser.
#![allow(clippy::disallowed_methods, reason = "a build script lives with files")]

mod amounts;
mod check;
mod schema;
mod translation;
mod words;
mod write;

use std::path::Path;
use std::process::exit;

fn main() {
    println!("cargo::rerun-if-changed=knowledge");
    println!("cargo::rerun-if-changed=build");
    if let Err(faults) = run() {
        for fault in faults {
            println!("cargo::error={fault}");
        }
        exit(1);
    }
}

fn run() -> Result<(), Vec<String>> {
    let knowledge = schema::Knowledge::read(Path::new("knowledge")).map_err(|e| vec![e])?;
    let faults = check::faults(&knowledge);
    if !faults.is_empty() {
        return Err(faults);
    }
    let out = std::env::var("OUT_DIR").map_err(|e| vec![e.to_string()])?;
    let german = translation::read(&knowledge, Path::new("knowledge/de"))?;
    let written = write::statics(&knowledge) + &translation::statics("GERMAN", &german);
    std::fs::write(Path::new(&out).join("knowledge.rs"), written).map_err(|e| vec![e.to_string()])
}
