//! The long run: the same importers under libFuzzer, which keeps every input that reaches something new and goes on from it.
//!
//! `cargo xtask fuzz --long` builds it instrumented, starts it once for each importer and sums up. Alone it lists them.
#![no_main]

mod cost;
#[path = "../support/packing.rs"]
mod packing;
mod photographs;
#[path = "../support/saved.rs"]
mod saved;
mod tables;
#[allow(dead_code, reason = "how often the short run feeds one")]
mod targets;
mod transfers;

use std::cell::OnceCell;
use std::path::Path;

use targets::Target;

/// Which importer is fed; without it they are listed.
const WHICH: &str = "QUARTERLIGHT_FUZZ_TARGET";
/// The folder that takes the inputs to begin from.
const SEEDS: &str = "QUARTERLIGHT_FUZZ_SEEDS";

thread_local! {
    static CHOSEN: OnceCell<Target> = const { OnceCell::new() };
}

libfuzzer_sys::fuzz_target!(
    init: {
        choose();
    },
    |bytes: &[u8]| {
        CHOSEN.with(|chosen| {
            let target = chosen.get_or_init(chosen_target);
            let (_, cost) = cost::of(|| (target.feed)(bytes));
            if let Some(why) = cost.too_much(target.patience) {
                panic!("{why}");
            }
        });
    }
);

/// Lists the importers and ends, or writes the chosen one's first inputs.
fn choose() {
    if std::env::var_os(WHICH).is_none() {
        for target in targets::all() {
            println!("{}\t{:?}\t{}", target.name, target.kind, target.long);
        }
        std::process::exit(0);
    }
    if let Some(folder) = std::env::var_os(SEEDS) {
        for (number, seed) in chosen_target().seeds.iter().enumerate() {
            write(&Path::new(&folder).join(format!("seed-{number}")), seed);
        }
    }
}

fn write(path: &Path, bytes: &[u8]) {
    use std::io::Write;
    let written = std::fs::File::create(path).and_then(|mut file| file.write_all(bytes));
    if let Err(why) = written {
        panic!("{}: {why}", path.display());
    }
}

fn chosen_target() -> Target {
    let name = std::env::var(WHICH).unwrap_or_default();
    let found = targets::all().into_iter().find(|target| target.name == name);
    found.unwrap_or_else(|| panic!("there is no importer {name:?}"))
}
