//! Scripts in names and notes, formulas in cells: what a survey holds is text for whoever reads it.

use handover::{Day, Parts, survey_file};
use survey::decide::BoxToList;
use survey::{Author, Command, DeviceId, Log, State, Subject, SurveyId, WriterId, decide};
use tape::Answer;

/// Texts that would run as a script in a page, or as a formula in a spreadsheet.
const SCRIPTS: [&str; 5] = [
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "</title><svg/onload=alert(1)>",
    "javascript:alert(1)//<a href='javascript:alert(1)'>",
    "&lt;script&gt;&#60;b&#62; &amp; '\" `${1}`",
];
const FORMULAS: [&str; 5] = ["=HYPERLINK(\"x\")", "+1+1", "-2+3", "@SUM(A1)", "＝1+1"];

fn log_of(text: &str) -> Log {
    let author = Author {
        writer: WriterId([1; 16]),
        device: DeviceId([1; 16]),
        device_name: text.to_owned(),
        person: text.to_owned(),
        app: text.to_owned(),
        looked: text.to_owned(),
        now_ms: 1_795_592_883_000,
    };
    let mut log = Log::new(SurveyId([2; 16]));
    let mut state = State::fold(&log);
    let mut tell = |command: &dyn Fn(&State) -> Command| {
        for entry in decide(&log, &state, &author, command(&state)).unwrap() {
            log.insert(entry).unwrap();
        }
        state = State::fold(&log);
    };
    let owned = || text.to_owned();
    tell(&|_| Command::Begin {
        title: owned(),
        practice: false,
    });
    tell(&|_| Command::AddStratum { name: owned() });
    tell(&|state| Command::AddPlace {
        stratum: *state.strata.keys().next().unwrap(),
        name: owned(),
    });
    tell(&|state| Command::AddBoxes {
        place: *state.places.keys().next().unwrap(),
        boxes: vec![
            BoxToList {
                label: owned(),
                quarters: None,
                listed_items: Some(3)
            };
            3
        ],
    });
    for question in ["title", "for_whom", text] {
        tell(&|_| Command::Answer {
            subject: Subject::Survey,
            question: question.to_owned(),
            value: Answer::Text(owned()),
        });
    }
    tell(&|_| Command::CloseFrame);
    tell(&|_| Command::Roll {
        seed: owned(),
        source: survey::entry::SeedSource::Witness,
        round_size: 4,
        items_per_box: Some(2),
    });
    log
}

fn files_of(text: &str) -> std::collections::BTreeMap<String, Vec<u8>> {
    let parts = Parts {
        date: Day::from_ms(0).unwrap(),
        app: handover::APP.to_owned(),
        organization: Some(text.to_owned()),
        contact: Some(text.to_owned()),
    };
    let file = survey_file::write(&log_of(text), &parts).unwrap();
    assert!(
        handover::verify(&file).holds(),
        "{text}: {:#?}",
        handover::verify(&file)
    );
    crate::packing::unpacked(&file).1
}

#[test]
fn a_script_in_a_name_is_text_in_the_report() {
    // What the report itself is made of, with a name that needs no escaping.
    let plain = String::from_utf8(files_of("plain name")["data/report.html"].clone()).unwrap();
    let tags = |html: &str| html.matches('<').count();
    assert!(
        plain.contains("plain name") && !plain.contains("<script"),
        "the control"
    );
    for text in SCRIPTS {
        let report = String::from_utf8(files_of(text)["data/report.html"].clone()).unwrap();
        assert_eq!(tags(&report), tags(&plain), "{text}: another number of tags");
        for part in ["<script", "<img", "<svg", "onerror=alert(1)>", "</title><"] {
            assert!(!report.contains(part), "{text}: {part}");
        }
    }
}

#[test]
fn a_formula_in_a_name_is_text_in_every_table_and_as_it_was_in_the_log() {
    for text in FORMULAS {
        let files = files_of(text);
        let log = String::from_utf8(files["data/log.ndjson"].clone()).unwrap();
        let raw = serde_json::to_string(text).unwrap();
        assert!(log.contains(&raw), "{text}: the log holds it as it was given");
        let mut guarded = 0;
        for (name, bytes) in files.iter().filter(|(name, _)| name.ends_with(".csv")) {
            let mut reader = csv::Reader::from_reader(bytes.as_slice());
            for record in reader.records() {
                for cell in &record.unwrap() {
                    let risky = cell.starts_with(['=', '+', '@', '＝', '\t']);
                    let risky = risky || cell.starts_with('-') && cell.parse::<f64>().is_err();
                    assert!(!risky, "{name}: {cell}");
                    guarded += usize::from(cell == format!("'{text}"));
                }
            }
        }
        assert!(guarded > 0, "{text}: it is in no table, so nothing was checked");
    }
}
