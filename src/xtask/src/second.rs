//! The second module: what takes long, built for the worker, with a script that is no module, since workers of older
//! browsers take no other.

use crate::site::Kind;
use crate::{Outcome, house, run, wasm};
use std::path::Path;
use std::process::Command;

/// The worker's script as the page names it before it is named after its content.
pub(crate) const SCRIPT: &str = "labour.js";
/// The module as wasm-bindgen names it.
const MODULE: &str = "labour_bg.wasm";

/// Builds it and puts its script and module beside Trunk's output.
pub(crate) fn build(kind: Kind, staged: &Path) -> Outcome {
    let profile = kind.profile_of_second();
    println!("   building the second module (profile {profile})");
    let mut command = Command::new("cargo");
    wasm::prepare(&mut command, wasm::ready()?)?;
    command.current_dir(house::root()?);
    // The page is named as well, so that where both have one profile they are made of the same crates, built once.
    command.args([
        "build",
        "--locked",
        "--target",
        wasm::TARGET,
        "--profile",
        profile,
    ]);
    command.args(["--package", "labour", "--package", "field", "--bin", "labour"]);
    run::building(&mut command, "cargo build of the second module")?;
    let built = house::target()?
        .join("wasm")
        .join(wasm::TARGET)
        .join(profile)
        .join("labour.wasm");
    let bound = house::target()?.join("second").join(profile);
    let mut command = Command::new(house::tools()?.join("bin/wasm-bindgen"));
    command.args([
        "--target",
        "no-modules",
        "--no-typescript",
        "--out-name",
        "labour",
        "--out-dir",
    ]);
    command.arg(&bound).arg(&built);
    run::quiet(&mut command, "wasm-bindgen of the second module")?;
    let script = format!(
        "{}\n{}",
        house::read(&bound.join(SCRIPT))?,
        house::read(&house::root()?.join("public").join(SCRIPT))?
    );
    house::write(&staged.join(SCRIPT), script.as_bytes())?;
    std::fs::copy(bound.join(MODULE), staged.join(MODULE))
        .map_err(|why| format!("{MODULE} cannot be copied: {why}"))?;
    Ok(())
}
