//! How answers came to be: kept with the answer, read back, and no reason for one to count more than another.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use survey::decide::BoxToList;
use survey::origin::item_before;
use survey::{
    Author, Command, Content, DeviceId, Entry, ItemId, Log, Origin, Serial, State, Subject, SurveyId, Way,
    WriterId, decide,
};
use tape::Answer;

const SERIAL: Serial = Serial { tag: 0, number: 1 };

fn at(position: u32) -> ItemId {
    ItemId {
        serial: SERIAL,
        position,
    }
}

struct Device {
    author: Author,
    log: Log,
    state: State,
}

impl Device {
    /// A survey of one place with one box.
    fn with_a_box() -> Self {
        let log = Log::new(SurveyId([7; 16]));
        let author = Author {
            writer: WriterId([1; 16]),
            device: DeviceId([1; 16]),
            device_name: String::new(),
            person: "Rowan".to_owned(),
            app: "test".to_owned(),
            looked: String::new(),
            now_ms: 0,
        };
        let state = State::fold(&log);
        let mut device = Self { author, log, state };
        device.tell(Command::Begin {
            title: "Loft".to_owned(),
            practice: false,
        });
        device.tell(Command::AddStratum {
            name: "All".to_owned(),
        });
        let stratum = *device.state.strata.keys().next().unwrap();
        device.tell(Command::AddPlace {
            stratum,
            name: "Loft".to_owned(),
        });
        let place = *device.state.places.keys().next().unwrap();
        device.tell(Command::AddBoxes {
            place,
            boxes: vec![BoxToList::default()],
        });
        device
    }

    fn tell(&mut self, command: Command) -> Vec<Entry> {
        let entries = decide(&self.log, &self.state, &self.author, command).unwrap();
        for entry in &entries {
            self.log.insert(entry.clone()).unwrap();
        }
        self.state = self.state.refold(&self.log);
        entries
    }

    fn answer_by(&mut self, position: u32, value: &str, way: Way) -> Entry {
        let answers = vec![("carrier".to_owned(), Answer::one(value))];
        let subject = Subject::Item(at(position));
        self.tell(Command::AnswerBy {
            subject,
            answers,
            way,
        })
        .remove(0)
    }

    fn answer(&mut self, position: u32, value: &str) -> Entry {
        let command = Command::Answer {
            subject: Subject::Item(at(position)),
            question: "carrier".to_owned(),
            value: Answer::one(value),
        };
        self.tell(command).remove(0)
    }
}

fn origin(entry: &Entry) -> Origin {
    match entry.content() {
        Content::Answer { origin, .. } => origin.clone(),
        other => panic!("no answer: {other:?}"),
    }
}

#[test]
fn a_way_is_read_back_from_the_bytes_and_an_unknown_one_is_kept_as_it_stands() {
    let mut device = Device::with_a_box();
    let ways = [
        Way::QuickLook,
        Way::SameAs(at(4)),
        Way::Photo("ab".repeat(32)),
        Way::Paper("2026-11-25".to_owned()),
        Way::Paper(String::new()),
    ];
    for (position, way) in (1..).zip(ways) {
        let written = device.answer_by(position, "cassette", way.clone());
        let read = Entry::read(&written.bytes).unwrap();
        assert_eq!(read, written);
        assert_eq!(Way::read(&origin(&read).from), Some(way));
    }
    let line = String::from_utf8(device.answer_by(9, "dat", Way::QuickLook).bytes).unwrap();
    let later = line.replace("quick look", "seen by a machine");
    let read = Entry::read(later.as_bytes()).unwrap();
    assert_eq!(origin(&read).from, "seen by a machine");
    assert_eq!(Way::read(&origin(&read).from), None);
}

#[test]
fn a_plain_answer_has_the_bytes_it_always_had() {
    let mut device = Device::with_a_box();
    let line = String::from_utf8(device.answer(1, "dat").bytes).unwrap();
    assert!(
        line.ends_with(r#""kind":"answer","of":"item 0001-3/1","q":"carrier","a":{"one":"dat"}}"#),
        "{line}"
    );
}

#[test]
fn who_looked_is_kept_beside_who_tapped_and_only_of_what_can_be_looked_at() {
    let mut device = Device::with_a_box();
    device.author.looked = " Ash ".to_owned();
    assert_eq!(origin(&device.answer(1, "dat")).looked, "Ash");
    let setting = device.tell(Command::Answer {
        subject: Subject::Survey,
        question: "title".to_owned(),
        value: Answer::Text("Loft 2".to_owned()),
    });
    assert!(origin(&setting[0]).is_plain());
    device.author.looked = "Rowan".to_owned();
    assert!(
        origin(&device.answer(2, "dat")).is_plain(),
        "the same person did both"
    );
}

#[test]
fn what_was_taken_over_counts_like_any_answer_and_a_look_of_ones_own_takes_its_place() {
    let mut device = Device::with_a_box();
    device.answer_by(2, "cassette", Way::SameAs(at(1)));
    let carrier = |device: &Device| device.state.answer(Subject::Item(at(2)), "carrier").cloned();
    assert_eq!(carrier(&device), Some(Answer::one("cassette")));
    device.answer(2, "dat");
    assert_eq!(carrier(&device), Some(Answer::one("dat")));
    assert_eq!(device.state.heads(Subject::Item(at(2)), "carrier").len(), 1);
}

#[test]
fn the_item_before_is_the_one_looked_at_last() {
    let mut device = Device::with_a_box();
    let before = |device: &Device, item| item_before(&device.log, &device.state, device.author.writer, item);
    assert_eq!(before(&device, at(1)), None);
    device.answer(1, "dat");
    assert_eq!(before(&device, at(1)), None, "never itself");
    device.answer(5, "dat");
    assert_eq!(before(&device, at(3)), Some(at(5)));
    device.tell(Command::UndoLast);
    assert_eq!(before(&device, at(3)), Some(at(1)));
}
