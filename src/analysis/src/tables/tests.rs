//! Good tables come through unchanged; every fault is named by table, row and column.

use super::{EstimatesError, File, Kind, Options, Tables, estimate};
use sampling::estimate::EstimateError;
use sampling::linear::{Lonely, VarianceError};

const BOXES: &str = "\
stratum,box_id,sampled,items_in_box,status,size
A,1,1,12,,1
A,2,1,7,checked,0.5
A,3,1,,stopped,1
A,4,0,,,1
A,5,1,0,,0.25
A,6,0,,,1
B,1,1,9,,1
B,2,1,,not_reached,1
B,3,1,14,,1
B,4,0,,,2
";

const ITEMS: &str = "\
stratum,box_id,item_id,mould,hours
A,1,1,0,1.5
A,1,2,0,0.5
A,1,3,1,
A,2,1,,2
A,2,2,0,1
A,3,*,1,
B,1,1,0,1
B,1,2,0,2
B,3,1,1,0.25
";

fn tables() -> Tables {
    Tables::read(BOXES, ITEMS).unwrap()
}

#[test]
fn written_and_read_again() {
    let tables = tables();
    let again = Tables::read(&tables.to_boxes_csv(), &tables.to_items_csv()).unwrap();
    assert_eq!(tables, again);
    assert_eq!(
        tables.columns.iter().map(|c| c.kind).collect::<Vec<_>>(),
        [Kind::Condition, Kind::Quantity]
    );
    let awkward = BOXES.replace("A,1,", "\"A, \"\"left\"\"\",1,");
    let items = ITEMS.replace("A,1,", "\"A, \"\"left\"\"\",1,");
    let tables = Tables::read(&awkward, &items).unwrap();
    assert_eq!(
        tables,
        Tables::read(&tables.to_boxes_csv(), &tables.to_items_csv()).unwrap()
    );
}

#[test]
fn the_forms_that_spreadsheets_write() {
    let tables = tables();
    let semicolons = |text: &str| text.replace(',', ";");
    let windows = |text: &str| format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert_eq!(
        Tables::read(&semicolons(BOXES), &semicolons(ITEMS)).unwrap(),
        tables
    );
    assert_eq!(Tables::read(&windows(BOXES), &windows(ITEMS)).unwrap(), tables);
    assert_eq!(
        Tables::read(&BOXES.replace(",12,", ",12.0,"), ITEMS).unwrap(),
        tables
    );
}

#[test]
fn the_order_of_rows_changes_no_bit() {
    let tables = tables();
    let mut turned = tables.clone();
    turned.boxes.reverse();
    turned.items.rotate_left(4);
    turned.items.swap(0, 3);
    let json =
        |tables: &Tables| serde_json::to_string(&estimate(tables, &Options::default()).unwrap()).unwrap();
    assert_eq!(json(&tables), json(&turned));
}

/// The fault of tables in which one piece of text was put for another, as (file, row, column).
fn fault(file: File, from: &str, to: &str) -> (File, usize, String, String) {
    let (boxes, items) = match file {
        File::Boxes => (BOXES.replacen(from, to, 1), ITEMS.to_owned()),
        File::Items => (BOXES.to_owned(), ITEMS.replacen(from, to, 1)),
    };
    assert!(boxes != BOXES || items != ITEMS, "{from:?} is not in the table");
    let error = Tables::read(&boxes, &items)
        .and_then(|tables| tables.sample())
        .unwrap_err();
    (error.file, error.row, error.column.clone(), error.to_string())
}

#[test]
fn every_fault_names_its_row_and_column() {
    use File::{Boxes, Items};
    let faults = [
        (
            Boxes,
            "A,2,1,7,",
            "A,2,1,-7,",
            Boxes,
            3,
            "items_in_box",
            "negative",
        ),
        (
            Boxes,
            "A,2,1,7,",
            "A,2,1,NaN,",
            Boxes,
            3,
            "items_in_box",
            "no whole number",
        ),
        (
            Boxes,
            "A,2,1,7,",
            "A,2,1,1e308,",
            Boxes,
            3,
            "items_in_box",
            "no whole number",
        ),
        (
            Boxes,
            "A,2,1,7,",
            "A,2,1,7.5,",
            Boxes,
            3,
            "items_in_box",
            "no whole number",
        ),
        (
            Boxes,
            "A,2,1,7,",
            "A,2,1,99999999999,",
            Boxes,
            3,
            "items_in_box",
            "more than",
        ),
        (
            Boxes,
            "A,2,1,7,",
            "A,2,1,,",
            Boxes,
            3,
            "items_in_box",
            "needs its number",
        ),
        (
            Boxes,
            "A,2,1,7,",
            "A,2,yes,7,",
            Boxes,
            3,
            "sampled",
            "neither 1 nor 0",
        ),
        (Boxes, "A,2,1,7,", "A,1,1,7,", Boxes, 3, "box_id", "twice"),
        (Boxes, "A,2,1,7,", ",2,1,7,", Boxes, 3, "stratum", "no name"),
        (Boxes, "A,2,1,7,", "A,,1,7,", Boxes, 3, "box_id", "no name"),
        (Boxes, "checked", "opened", Boxes, 3, "status", "none of"),
        (Boxes, "0.5", "NaN", Boxes, 3, "size", "NaN"),
        (Boxes, "0.5", "1e308", Boxes, 3, "size", "1e308"),
        (Boxes, "0.5", "-0.5", Boxes, 3, "size", "negative"),
        (Boxes, "box_id", "box", Boxes, 1, "box", "not a column"),
        (Boxes, "status", "box_id", Boxes, 1, "box_id", "twice"),
        (
            Boxes,
            "A,4,0,,,1",
            "A,4,0,,1",
            Boxes,
            5,
            "(all)",
            "5 values under 6 columns",
        ),
        (
            Boxes,
            "B,2,1,,not_reached,1",
            "C,2,1,,not_reached,1",
            Boxes,
            9,
            "sampled",
            "nothing can be said",
        ),
        (
            Boxes,
            "B,4,0,,,2",
            "C,4,0,,,2",
            Boxes,
            11,
            "sampled",
            "nothing can be said",
        ),
        (Items, "A,2,1,,2", "A,9,1,,2", Items, 5, "box_id", "no box"),
        (Items, "A,2,1,,2", "B,2,1,,2", Items, 5, "box_id", "not reached"),
        (Items, "A,2,1,,2", "A,4,1,,2", Items, 5, "box_id", "not sampled"),
        (Items, "A,2,1,,2", "A,2,,,2", Items, 5, "item_id", "no name"),
        (Items, "A,2,1,,2", "A,2,2,,2", Items, 6, "item_id", "twice"),
        (Items, "A,2,1,,2", "A,5,1,,2", Items, 5, "item_id", "0 items"),
        (
            Items,
            "A,2,1,,2",
            "A,5,*,,2",
            Items,
            5,
            "item_id",
            "holds nothing",
        ),
        (
            Items,
            "A,2,1,,2",
            "A,3,1,,2",
            Items,
            5,
            "item_id",
            "no number of items",
        ),
        (Items, "A,2,1,,2", "A,2,1,,NaN", Items, 5, "hours", "NaN"),
        (Items, "A,2,1,,2", "A,2,1,,1e308", Items, 5, "hours", "1e308"),
        (Items, "A,2,1,,2", "A,2,1,,inf", Items, 5, "hours", "inf"),
        (Items, "A,2,1,,2", "A,2,1,,two", Items, 5, "hours", "no number"),
        (
            Items,
            "A,2,1,,2",
            "A,1,*,1,2",
            Items,
            5,
            "mould",
            "row 2 has one of its own",
        ),
        (Items, "mould,hours", "mould,", Items, 1, "5", "no name"),
        (Items, "mould,hours", "mould,mould", Items, 1, "mould", "twice"),
    ];
    for (file, from, to, wanted_file, row, column, words) in faults {
        let (found_file, found_row, found_column, said) = fault(file, from, to);
        assert_eq!(
            (found_file, found_row, found_column.as_str()),
            (wanted_file, row, column),
            "{to:?}: {said}"
        );
        assert!(said.contains(words), "{to:?}: {said}");
    }
}

#[test]
fn more_rows_than_items() {
    let boxes = BOXES.replace("A,1,1,12,", "A,1,1,2,");
    let error = Tables::read(&boxes, ITEMS).unwrap().sample().unwrap_err();
    assert_eq!(
        (error.file, error.row, error.column.as_str()),
        (File::Items, 4, "item_id"),
        "{error}"
    );
}

#[test]
fn tables_with_nothing_in_them() {
    let header = BOXES.lines().next().unwrap();
    assert!(Tables::read(header, ITEMS).unwrap().sample().is_err());
    assert!(Tables::read("", "").is_err());
    // No items at all is a sample too: what the boxes hold is known, what the items are is not.
    let tables = Tables::read(BOXES, ITEMS.lines().next().unwrap()).unwrap();
    let made = estimate(&tables, &Options::default()).unwrap();
    assert!(made.items.estimate.is_some());
    assert_eq!(made.conditions["mould"].share.estimate, None);
    assert_eq!(made.conditions["mould"].bounds.high, Some(1.0));
}

#[test]
fn stops_are_bounds_and_never_guesses() {
    let made = estimate(&tables(), &Options::default()).unwrap();
    // Rows of the stopped box are known for mould only; of hours nothing is assumed for it.
    assert!(
        made.quantities["hours"]
            .total
            .method
            .contains("nothing assumed of stopped boxes")
    );
    assert!(made.items.method.contains("not reached"));
    let bounds = &made.conditions["mould"].bounds;
    assert!(bounds.low < made.conditions["mould"].share.estimate);
    assert!(bounds.high > made.conditions["mould"].share.estimate);
}

#[test]
fn lonely_strata_by_name() {
    let boxes = BOXES
        .replace("B,1,1,9,,1", "B,1,0,,,1")
        .replace("B,2,1,,not_reached", "B,2,0,,");
    let items = ITEMS.replace("B,1,1,0,1\nB,1,2,0,2\n", "");
    let tables = Tables::read(&boxes, &items).unwrap();
    let with = |lonely| {
        estimate(
            &tables,
            &Options {
                lonely,
                ..Options::default()
            },
        )
    };
    let failed = with(Lonely::Fail);
    let Err(EstimatesError::Estimate {
        error: EstimateError::Variance(VarianceError::LonelyBox(stratum)),
        ..
    }) = failed
    else {
        panic!("{failed:?}")
    };
    assert_eq!(stratum, "B");
    let certain = with(Lonely::Certainty).unwrap().items.se.unwrap();
    assert!(with(Lonely::Average).unwrap().items.se.unwrap() > certain);
    assert!(with(Lonely::Adjust).unwrap().items.se.unwrap() > certain);
    // One box says nothing of its stratum's error, whatever the rule.
    let alone = &with(Lonely::Certainty).unwrap().items_by_stratum["B"];
    assert_eq!((alone.se, alone.low, alone.high), (None, None, None));
}

#[test]
fn a_ratio_to_size_needs_sizes() {
    let ratio = Options {
        ratio_to_size: true,
        ..Options::default()
    };
    let sized = estimate(&tables(), &ratio).unwrap();
    assert!(sized.items.method.starts_with("ratio total on size"));
    let without = BOXES
        .lines()
        .map(|line| format!("{}\n", line.rsplit_once(',').unwrap().0))
        .collect::<String>();
    let error = estimate(&Tables::read(&without, ITEMS).unwrap(), &ratio).unwrap_err();
    let said = error.to_string();
    assert!(
        said.starts_with("boxes.csv, row 2, column size") && said.contains("ratio total"),
        "{said}"
    );
}
