//! The command `quarterlight pool` from outside: what it prints of invented collections, and what it says of bad files.
#![allow(clippy::unwrap_used, reason = "a check that cannot be made has failed")]
#![allow(clippy::disallowed_methods, reason = "the surveys of a test are files")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn quarterlight(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_quarterlight"))
        .args(words)
        .output()
        .unwrap()
}

/// The survey file of an invented collection.
fn survey(folder: &Path, seed: u32, rounds: u32) -> String {
    let out = folder.join(format!("{seed}"));
    let words = [
        "practice",
        "--boxes",
        "60",
        "--items",
        "4",
        "--out",
        out.to_str().unwrap(),
    ];
    let (seed, rounds) = (seed.to_string(), rounds.to_string());
    let made = quarterlight(&[&words[..], &["--seed", &seed, "--surveyed", &rounds]].concat());
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    out.join("survey.zip").to_str().unwrap().to_owned()
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pool").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn json(words: &[&str]) -> serde_json::Value {
    let done = quarterlight(&[words, &["--json"]].concat());
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    serde_json::from_slice(&done.stdout).unwrap()
}

#[test]
fn collections_add_up_or_stand_for_a_list() {
    let folder = folder("sums");
    let files: Vec<String> = (1..=3).map(|seed| survey(&folder, seed, 2)).collect();
    let named: Vec<&str> = files.iter().map(String::as_str).collect();
    let own: Vec<serde_json::Value> = named.iter().map(|file| json(&["figures", file])).collect();
    let sum = |id: &str, of: &dyn Fn(&serde_json::Value) -> f64| -> f64 {
        own.iter().map(|figures| of(&figures["headline"][id])).sum()
    };
    let near = |made: &serde_json::Value, wanted: f64| {
        let made = made.as_f64().unwrap();
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs(), "{made} {wanted}");
    };
    let all = json(&[&["pool"], &named[..]].concat());
    let items = &all["items"];
    near(
        &items["estimate"],
        sum("items.total", &|f| f["estimate"].as_f64().unwrap()),
    );
    let variance = sum("items.total", &|f| f["se"].as_f64().unwrap().powi(2));
    near(&items["se"], variance.sqrt());
    near(
        &all["carriers"]["cassette"]["count"]["estimate"],
        sum("carrier.cassette.count", &|f| f["estimate"].as_f64().unwrap()),
    );
    assert_eq!(all["collections"].as_array().unwrap().len(), 3);

    let drawn = json(&[&["pool"], &named[..], &["--of", "12"]].concat());
    near(
        &drawn["items"]["estimate"],
        4.0 * items["estimate"].as_f64().unwrap(),
    );
    assert!(drawn["items"]["se"].as_f64() > items["se"].as_f64());
    assert_eq!(
        drawn["conditions"]["mould"]["share"]["estimate"],
        all["conditions"]["mould"]["share"]["estimate"]
    );
    // All of a list are all that there are.
    assert_eq!(json(&[&["pool"], &named[..], &["--of", "3"]].concat()), all);

    let table = quarterlight(&[&["pool"], &named[..]].concat());
    let table = String::from_utf8(table.stdout).unwrap();
    assert!(
        table.contains("3 collections, all that there are") && table.contains("mould, share"),
        "{table}"
    );
}

#[test]
fn bad_files_are_named() {
    let folder = folder("faults");
    let (one, two) = (survey(&folder, 1, 1), survey(&folder, 2, 1));
    let unbegun = survey(&folder, 3, 0);
    let broken = folder.join("broken.zip");
    let mut bytes = std::fs::read(&two).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    std::fs::write(&broken, bytes).unwrap();
    let broken = broken.to_str().unwrap();
    let said = |words: &[&str]| {
        let done = quarterlight(&[&["pool"], words].concat());
        assert_eq!(done.status.code(), Some(2), "{words:?}");
        assert!(done.stdout.is_empty());
        String::from_utf8_lossy(&done.stderr).into_owned()
    };
    assert!(said(&[&one, broken]).contains("broken.zip"));
    assert!(said(&[&one, "nowhere.zip"]).contains("nowhere.zip"));
    let counted = said(&[&one, &unbegun]);
    assert!(
        counted.contains(&unbegun) && counted.contains("no box of it was counted"),
        "{counted}"
    );
    let twice = said(&[&one, &two, &one]);
    assert!(twice.contains(&one) && twice.contains("merge"), "{twice}");
    assert!(said(&[&one, &two, "--of", "1"]).contains("the list has 1"));
    assert!(said(&[&one, "--of", "5"]).contains("survey another"));
    assert!(said(&[&one, &two, "--confidence", "95"]).contains("between 0 and 1"));
}
