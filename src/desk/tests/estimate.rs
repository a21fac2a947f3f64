//! The command `quarterlight estimate` from outside: what it prints, and what it says of bad tables.
#![allow(clippy::unwrap_used, reason = "a check that cannot be made has failed")]
#![allow(clippy::disallowed_methods, reason = "the tables of a test are files")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const BOXES: &str = "\
stratum,box_id,sampled,items_in_box,status,size
S1,1,1,4,,1
S1,2,1,3,checked,0.5
S1,3,1,0,,0.25
S1,4,0,,,1
S1,5,0,,,1
S2,1,1,5,,1
S2,2,1,2,stopped,1
S2,3,0,,,0.5
";

const ITEMS: &str = "\
stratum,box_id,item_id,mould,hours
S1,1,a,0,1.5
S1,1,b,1,0.5
S1,2,a,0,1
S1,2,b,0,
S2,1,a,1,2
S2,1,b,0,0.25
S2,2,*,1,
";

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("estimate").join(name);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn run(name: &str, boxes: &str, items: &str, further: &[&str]) -> Output {
    let folder = folder(name);
    std::fs::write(folder.join("b.csv"), boxes).unwrap();
    std::fs::write(folder.join("i.csv"), items).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_quarterlight"));
    command
        .arg("estimate")
        .arg("--boxes")
        .arg(folder.join("b.csv"))
        .arg("--items")
        .arg(folder.join("i.csv"));
    command.args(further).output().unwrap()
}

fn json(name: &str, further: &[&str]) -> serde_json::Value {
    let done = run(name, BOXES, ITEMS, &[further, &["--json"]].concat());
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    serde_json::from_slice(&done.stdout).unwrap()
}

#[test]
fn the_shape_that_was_promised() {
    let made = json("shape", &[]);
    assert_eq!(made["design"]["df"], 3.0);
    let first = &made["design"]["strata"][0];
    assert_eq!(
        (
            &first["stratum"],
            &first["boxes"],
            &first["sampled"],
            &first["items_checked"]
        ),
        (&"S1".into(), &5.into(), &3.into(), &4.into())
    );
    let has = |value: &serde_json::Value, keys: &[&str]| {
        for key in keys {
            assert!(!value[key].is_null(), "{key} is missing in {value}");
        }
    };
    let total = ["estimate", "se", "low", "high", "method"];
    let share = ["estimate", "se", "df", "deff", "low", "high", "method"];
    has(&made["items"], &total);
    let mould = &made["conditions"]["mould"];
    has(&mould["share"], &share);
    has(&mould["count"], &total);
    has(mould, &["unknown_share"]);
    has(&mould["bounds"], &["low", "high"]);
    for stratum in ["S1", "S2"] {
        has(&mould["by_stratum"][stratum]["share"], &share);
        has(&mould["by_stratum"][stratum]["count"], &total);
    }
    let hours = &made["quantities"]["hours"];
    has(&hours["total"], &total);
    has(&hours["mean"], &total);
    has(&hours["by_stratum"]["S1"]["total"], &total);
    // 5/3 of 4 + 3 + 0 items, 3/2 of 5 + 2.
    let items = made["items"]["estimate"].as_f64().unwrap();
    assert!((items - (5.0 / 3.0 * 7.0 + 1.5 * 7.0)).abs() < 1e-12);
}

#[test]
fn every_option_changes_what_it_should() {
    let plain = json("options", &[]);
    let share = |made: &serde_json::Value| made["conditions"]["mould"]["share"].clone();
    for name in ["logit", "beta", "wilson"] {
        let other = json("options", &["--interval", name]);
        assert_eq!(share(&other)["se"], share(&plain)["se"]);
        assert_ne!(share(&other)["high"], share(&plain)["high"], "{name}");
        assert_ne!(share(&other)["method"], share(&plain)["method"], "{name}");
    }
    let wide = json("options", &["--confidence", "0.99"]);
    assert!(share(&wide)["high"].as_f64() > share(&plain)["high"].as_f64());
    assert_ne!(
        json("options", &["--ratio", "size"])["items"]["estimate"],
        plain["items"]["estimate"]
    );
    for name in ["fail", "certainty", "adjust", "average"] {
        assert_eq!(
            json("options", &["--lonely", name])["items"]["se"],
            plain["items"]["se"],
            "no stratum is lonely"
        );
    }
    let table = run("options", BOXES, ITEMS, &[]);
    assert!(String::from_utf8_lossy(&table.stdout).contains("mould, share"));
}

#[test]
fn what_cannot_be_done_is_said() {
    let said = |boxes: &str, items: &str, further: &[&str]| {
        let done = run("faults", boxes, items, further);
        assert_eq!(done.status.code(), Some(2));
        assert!(done.stdout.is_empty());
        String::from_utf8_lossy(&done.stderr).into_owned()
    };
    let negative = said(&BOXES.replace("S1,2,1,3", "S1,2,1,-3"), ITEMS, &["--json"]);
    assert!(
        negative.contains("boxes.csv, row 3, column items_in_box") && negative.contains("negative"),
        "{negative}"
    );
    let huge = said(BOXES, &ITEMS.replace("0.25", "1e308"), &["--json"]);
    assert!(
        huge.contains("items.csv, row 7, column hours") && huge.contains("1e308"),
        "{huge}"
    );
    let alone = BOXES.replace("S2,2,1,2,stopped", "S2,2,0,,");
    let lonely = said(&alone, &ITEMS.replace("S2,2,*,1,\n", ""), &["--lonely", "fail"]);
    assert!(
        lonely.contains("S2") && lonely.contains("one sampled box"),
        "{lonely}"
    );
    for wrong in ["95", "0", "1", "-0.5", "NaN"] {
        let level = said(BOXES, ITEMS, &[&format!("--confidence={wrong}")]);
        assert!(level.contains("between 0 and 1"), "{level}");
    }
    assert!(said(BOXES, ITEMS, &["--interval", "wald"]).contains("default, blended, logit, beta, wilson"));
}

/// Every bad value is named with its table, its row as a spreadsheet counts, and its column.
#[test]
fn bad_values_are_named_by_row_and_column() {
    let more = |row: &str| (BOXES.to_owned(), format!("{ITEMS}{row}\n"));
    let frame = |row: &str| (format!("{BOXES}{row}\n"), ITEMS.to_owned());
    let boxes = |from: &str, to: &str| (BOXES.replacen(from, to, 1), ITEMS.to_owned());
    let items = |from: &str, to: &str| (BOXES.to_owned(), ITEMS.replacen(from, to, 1));
    let table = [
        (
            "negative count",
            boxes("S1,2,1,3", "S1,2,1,-3"),
            "boxes.csv, row 3, column items_in_box",
            "negative",
        ),
        (
            "broken count",
            boxes("S1,2,1,3", "S1,2,1,3.5"),
            "boxes.csv, row 3, column items_in_box",
            "whole number",
        ),
        (
            "count of 1e308",
            boxes("S1,2,1,3", "S1,2,1,1e308"),
            "boxes.csv, row 3, column items_in_box",
            "1e308",
        ),
        (
            "no count",
            boxes("S1,2,1,3", "S1,2,1,"),
            "boxes.csv, row 3, column items_in_box",
            "needs its number",
        ),
        (
            "item without a box",
            more("S1,9,a,0,1"),
            "items.csv, row 9, column box_id",
            "there is no box",
        ),
        (
            "item of no stratum",
            more("S7,1,a,0,1"),
            "items.csv, row 9, column box_id",
            "stratum \"S7\"",
        ),
        (
            "more rows than items",
            more("S1,2,c,0,1\nS1,2,d,0,1"),
            "items.csv, row 10, column item_id",
            "3 items",
        ),
        (
            "items of an unsampled box",
            more("S1,4,a,0,1"),
            "items.csv, row 9, column box_id",
            "not sampled",
        ),
        (
            "a count of an unsampled box",
            boxes("S1,4,0,,", "S1,4,0,7,"),
            "boxes.csv, row 5, column items_in_box",
            "not sampled",
        ),
        (
            "a status of an unsampled box",
            boxes("S1,4,0,,", "S1,4,0,,stopped"),
            "boxes.csv, row 5, column status",
            "not sampled",
        ),
        (
            "items of a box not reached",
            boxes("3,checked", "3,not_reached"),
            "items.csv, row 4, column box_id",
            "not reached",
        ),
        (
            "not a number",
            items("0.25", "NaN"),
            "items.csv, row 7, column hours",
            "NaN",
        ),
        (
            "no end",
            items("0.25", "inf"),
            "items.csv, row 7, column hours",
            "inf",
        ),
        (
            "1e308",
            items("0.25", "-1e308"),
            "items.csv, row 7, column hours",
            "1e308",
        ),
        (
            "a word",
            items("0.25", "long"),
            "items.csv, row 7, column hours",
            "long",
        ),
        (
            "size not a number",
            boxes("0.25", "NaN"),
            "boxes.csv, row 4, column size",
            "NaN",
        ),
        (
            "size under 0",
            boxes("0.25", "-1"),
            "boxes.csv, row 4, column size",
            "negative",
        ),
        (
            "stratum without a sampled box",
            frame("S3,1,0,,,1"),
            "boxes.csv, row 10, column sampled",
            "\"S3\"",
        ),
        (
            "stratum that nobody reached",
            frame("S3,1,1,,not_reached,1"),
            "boxes.csv, row 10, column sampled",
            "\"S3\"",
        ),
        (
            "stratum without a name",
            frame(",1,0,,,1"),
            "boxes.csv, row 10, column stratum",
            "no name",
        ),
        (
            "box twice",
            frame("S1,1,0,,,1"),
            "boxes.csv, row 10, column box_id",
            "twice",
        ),
        (
            "item twice",
            more("S1,1,a,0,1"),
            "items.csv, row 9, column item_id",
            "twice",
        ),
        (
            "neither 0 nor 1",
            boxes("S1,2,1", "S1,2,yes"),
            "boxes.csv, row 3, column sampled",
            "yes",
        ),
        (
            "an unknown status",
            boxes("checked", "open"),
            "boxes.csv, row 3, column status",
            "open",
        ),
    ];
    for (what, (boxes, items), place, word) in table {
        let done = run("named", &boxes, &items, &["--json"]);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(2), "{what}: {said}");
        assert!(done.stdout.is_empty(), "{what}");
        assert!(said.contains(place) && said.contains(word), "{what}: {said}");
    }
    let (unsized_box, items) = boxes("0.25", "");
    let done = run("named", &unsized_box, &items, &["--ratio", "size"]);
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(said.contains("boxes.csv, row 4, column size"), "{said}");
    assert!(run("named", &unsized_box, &items, &[]).status.success());
}

/// A stratum that holds nothing, and a survey of which nothing is known, are answers, and no figure is a NaN.
#[test]
fn nothing_is_an_answer_too() {
    let empty =
        "stratum,box_id,sampled,items_in_box\nS1,1,1,2\nS1,2,1,3\nS1,3,0,\nS2,1,1,0\nS2,2,1,0\nS2,3,0,\n";
    let some = "stratum,box_id,item_id,mould,hours\nS1,1,a,1,2\nS1,1,b,0,\nS1,2,a,,1\nS1,2,b,,1\nS1,2,c,,1\n";
    let none = "stratum,box_id,item_id,mould,hours\nS1,1,a,,\n";
    for items in [some, none, "stratum,box_id,item_id\n"] {
        for lonely in ["fail", "certainty", "adjust", "average"] {
            let done = run("nothing", empty, items, &["--json", "--lonely", lonely]);
            // One item read of a box's two has no variance of its own.
            if items == none && !done.status.success() {
                assert!(lonely == "fail" && String::from_utf8_lossy(&done.stderr).contains("one drawn item"));
                continue;
            }
            assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
            let made: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
            assert_eq!(made["items"]["estimate"], 7.5);
            // serde writes a NaN as null: a figure that has an estimate has its error too.
            let figure = &made["conditions"]["mould"]["share"];
            assert_eq!(figure["estimate"].is_null(), figure["se"].is_null());
            if items == some {
                assert_eq!(
                    made["conditions"]["mould"]["by_stratum"]["S2"]["share"]["estimate"],
                    serde_json::Value::Null
                );
                assert_eq!(
                    made["quantities"]["hours"]["by_stratum"]["S2"]["total"]["estimate"],
                    serde_json::Value::Null
                );
            }
        }
    }
}
