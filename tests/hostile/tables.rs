//! Lists of boxes, watch-lists and a statistician's tables: named by row and column, nothing taken.

use analysis::tables::Tables;
use handover::{boxlist, watchlist};

#[test]
fn a_hostile_list_of_boxes_is_named_and_nothing_of_it_is_taken() {
    let rows = |row: &str| format!("place,label,group,full,items\n{row}\n").into_bytes();
    assert!(
        boxlist::read(&rows("Attic,A 1,Upstairs,3,12")).is_ok(),
        "the control"
    );
    let wide = format!("place,label{}\nAttic,A 1\n", ",x".repeat(100_000));
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        (
            "more items than there are atoms",
            rows("Attic,A 1,U,3,999999999999999999999"),
            "items",
        ),
        ("items below nothing", rows("Attic,A 1,U,3,-1"), "items"),
        ("items as a formula", rows("Attic,A 1,U,3,=2+3"), "items"),
        ("items with an exponent", rows("Attic,A 1,U,3,1e9"), "items"),
        ("items that are not a number", rows("Attic,A 1,U,3,NaN"), "items"),
        ("fullness past full", rows("Attic,A 1,U,5,1"), "full"),
        ("a NUL in a label", rows("Attic,A\u{0}1,U,3,1"), "label"),
        ("a line end in a place", rows("\"At\ntic\",A 1,U,3,1"), "place"),
        ("one box twice", rows("Attic,A 1,U,3,1\nAttic,A 1,U,3,1"), "row 2"),
        ("100,002 columns", wide.into(), "row 2"),
        ("a quote that never closes", rows("Attic,\"A 1,U,3,1"), "row 2"),
        (
            "one field of a megabyte of quotes",
            [b"place,label\nAttic,".to_vec(), vec![b'"'; 1_000_001]].concat(),
            "row 2",
        ),
        ("a zip", b"PK\x03\x04\xff\xfe".to_vec(), "UTF-8"),
        ("a picture", b"\x89PNG\r\n\x1a\n".to_vec(), "UTF-8"),
        ("nothing", Vec::new(), "empty"),
        ("UTF-16", b"\xff\xfep\0l\0a\0c\0e\0".to_vec(), "UTF-8"),
        (
            "longer than is read",
            vec![b'x'; boxlist::MAX_BYTES + 1],
            "longer",
        ),
    ];
    for (what, bytes, named) in cases {
        let problems = boxlist::read(&bytes)
            .err()
            .unwrap_or_else(|| panic!("{what} was taken"));
        let said: Vec<String> = problems.named.iter().map(ToString::to_string).collect();
        assert!(said.iter().any(|line| line.contains(named)), "{what}: {said:?}");
        assert!(problems.named.len() <= boxlist::MAX_NAMED && problems.count >= problems.named.len());
        assert!(
            said.iter().all(|line| line.len() < 1_000),
            "{what}: the message repeats what it was given"
        );
    }
}

#[test]
fn a_hostile_watch_list_is_named_and_nothing_of_it_is_taken() {
    let rows = |row: &str| format!("name,behaviours,note,source\n{row}\n").into_bytes();
    assert!(
        watchlist::read(&rows("Blue tin,sticky_binder,,bench notes")).is_ok(),
        "the control"
    );
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        (
            "a name that matches everything",
            rows("***,sticky_binder,,x"),
            "name",
        ),
        (
            "a behaviour nobody knows",
            rows("Blue tin,<script>,,x"),
            "behaviours",
        ),
        (
            "not UTF-8",
            b"name,behaviours,note,source\n\xff".to_vec(),
            "UTF-8",
        ),
        ("no columns", b"\0\0\0".to_vec(), "column"),
        (
            "longer than an entry",
            rows(&format!("Blue tin,sticky_binder,{},x", "y".repeat(1 << 20))),
            "long",
        ),
    ];
    for (what, bytes, named) in cases {
        let problems = watchlist::read(&bytes)
            .err()
            .unwrap_or_else(|| panic!("{what} was taken"));
        let said: Vec<String> = problems.named.iter().map(ToString::to_string).collect();
        assert!(said.iter().any(|line| line.contains(named)), "{what}: {said:?}");
        assert!(said.iter().all(|line| line.len() < 1_000), "{what}");
    }
}

#[test]
fn a_hostile_table_is_named_by_row_and_column() {
    let boxes = "stratum,box_id,sampled,items_in_box\nS,1,1,2\nS,2,0,\n";
    let items = "stratum,box_id,item_id,mould\nS,1,1,0\nS,1,2,1\n";
    let sample =
        |boxes: &str, items: &str| Tables::read(boxes, items).and_then(|tables| tables.sample().map(drop));
    assert!(sample(boxes, items).is_ok(), "the control");
    let cases = [
        (
            "more items than there are",
            boxes.replace(",1,2", ",1,99999999999999999999"),
            items.to_owned(),
        ),
        (
            "items below nothing",
            boxes.replace(",1,2", ",1,-2"),
            items.to_owned(),
        ),
        (
            "items past all numbers",
            boxes.replace(",1,2", ",1,1e999"),
            items.to_owned(),
        ),
        (
            "one box twice",
            boxes.replace("S,2,0,", "S,1,0,"),
            items.to_owned(),
        ),
        (
            "one item twice",
            boxes.to_owned(),
            items.replace("S,1,2", "S,1,1"),
        ),
        (
            "an item of no box",
            boxes.to_owned(),
            items.replace("S,1,2", "S,9,2"),
        ),
        (
            "a value that is no number",
            boxes.to_owned(),
            items.replace(",1\n", ",NaN\n"),
        ),
        (
            "a value past all numbers",
            boxes.to_owned(),
            items.replace(",1\n", ",1e999\n"),
        ),
        ("a formula", boxes.to_owned(), items.replace(",1\n", ",=1+1\n")),
        (
            "a quote that never closes",
            boxes.to_owned(),
            items.replace("mould", "\"mould"),
        ),
        ("nothing", String::new(), String::new()),
    ];
    for (what, boxes, items) in cases {
        let error = sample(&boxes, &items).expect_err(what).to_string();
        assert!(!error.is_empty() && error.len() < 1_000, "{what}: {error}");
    }
}

#[test]
fn a_list_taken_in_twice_is_known_by_place_and_label() {
    use survey::{Author, Command, DeviceId, Log, State, SurveyId, WriterId, decide};

    let read = |text: &str| boxlist::read(text.as_bytes()).unwrap();
    let list = read("place,label\nAttic,A 1\nAttic,A 2\nAttic,\nHall,A 1\n");
    let author = Author {
        writer: WriterId([1; 16]),
        device: DeviceId([1; 16]),
        device_name: String::new(),
        person: String::new(),
        app: "test".to_owned(),
        looked: String::new(),
        now_ms: 0,
    };
    let mut log = Log::new(SurveyId([2; 16]));
    let mut state = State::fold(&log);
    assert_eq!(list.without_listed(&state), list, "nothing is listed yet");
    let mut tell = |command: &dyn Fn(&State) -> Command| {
        for entry in decide(&log, &state, &author, command(&state)).unwrap() {
            log.insert(entry).unwrap();
        }
        state = State::fold(&log);
        state.clone()
    };
    tell(&|_| Command::Begin {
        title: "t".to_owned(),
        practice: false,
    });
    tell(&|_| Command::AddStratum {
        name: "all".to_owned(),
    });
    tell(&|state| Command::AddPlace {
        stratum: *state.strata.keys().next().unwrap(),
        name: "Attic".to_owned(),
    });
    let state = tell(&|state| Command::AddBoxes {
        place: *state.places.keys().next().unwrap(),
        boxes: ["A 1", "A 2", ""]
            .map(|label| survey::decide::BoxToList {
                label: label.to_owned(),
                ..Default::default()
            })
            .to_vec(),
    });
    // The same label elsewhere is another box, and so is one without a label.
    let left = list.without_listed(&state);
    assert_eq!(left, read("place,label\nAttic,\nHall,A 1\n"));
}
