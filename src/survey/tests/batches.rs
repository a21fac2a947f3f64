//! Answers that the items of a batch share.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use survey::decide::BoxToList;
use survey::{
    Author, Command, DeviceId, EntryId, ItemId, Log, Refusal, Serial, State, Subject, SurveyId, WriterId,
    batch, decide,
};
use tape::Answer;

const SURVEY: SurveyId = SurveyId([7; 16]);
const SERIAL: Serial = Serial { tag: 0, number: 1 };

fn of_item(position: u32, question: &str, value: Answer) -> Command {
    Command::Answer {
        subject: Subject::Item(at(position)),
        question: question.to_owned(),
        value,
    }
}

struct Device {
    author: Author,
    log: Log,
    state: State,
}

impl Device {
    fn new(number: u8) -> Self {
        let log = Log::new(SURVEY);
        Self {
            author: Author {
                writer: WriterId([number; 16]),
                device: DeviceId([number; 16]),
                device_name: String::new(),
                person: String::new(),
                app: "test".to_owned(),
                looked: String::new(),
                now_ms: 1_000 * u64::from(number),
            },
            state: State::fold(&log),
            log,
        }
    }

    fn tell(&mut self, command: Command) -> Result<Vec<EntryId>, Refusal> {
        self.author.now_ms += 10;
        let entries = decide(&self.log, &self.state, &self.author, command)?;
        let ids = entries.iter().map(|entry| entry.id).collect();
        for entry in entries {
            self.log.insert(entry).unwrap();
        }
        self.state = self.state.refold(&self.log);
        Ok(ids)
    }

    fn hear(&mut self, log: &Log) {
        self.log.merge(log).unwrap();
        self.state = self.state.refold(&self.log);
    }

    fn about_item(&mut self, position: u32, question: &str, value: Answer) -> Vec<EntryId> {
        self.tell(of_item(position, question, value)).unwrap()
    }

    fn about_batch(&mut self, name: &str, question: &str, value: Answer) -> Vec<EntryId> {
        let command = Command::Answer {
            subject: Subject::Survey,
            question: batch::key(name, question),
            value,
        };
        self.tell(command).unwrap()
    }

    /// The item is a reel of this batch.
    fn reel_of(&mut self, position: u32, name: &str) {
        self.about_item(position, "carrier", Answer::one("reel_quarter"));
        self.about_item(position, batch::QUESTION, Answer::Text(name.to_owned()));
    }

    fn says(&self, position: u32, question: &str) -> Option<Answer> {
        self.state.item_answers(at(position)).get(question).cloned()
    }
}

fn at(position: u32) -> ItemId {
    ItemId {
        serial: SERIAL,
        position,
    }
}

/// One box is listed.
fn begun() -> Device {
    let mut device = Device::new(1);
    device
        .tell(Command::Begin {
            title: "t".to_owned(),
            practice: true,
        })
        .unwrap();
    device
        .tell(Command::AddStratum {
            name: "all".to_owned(),
        })
        .unwrap();
    let stratum = *device.state.strata.keys().next().unwrap();
    device
        .tell(Command::AddPlace {
            stratum,
            name: "shelf".to_owned(),
        })
        .unwrap();
    let place = *device.state.places.keys().next().unwrap();
    device
        .tell(Command::AddBoxes {
            place,
            boxes: vec![BoxToList::default()],
        })
        .unwrap();
    device
}

#[test]
fn a_batch_answers_for_its_items_and_only_for_them() {
    let mut device = begun();
    device.about_batch("choir", "speed", Answer::one("s7_5"));
    device.reel_of(1, "choir");
    device.reel_of(2, "lectures");
    device.about_item(3, "carrier", Answer::one("reel_quarter"));
    assert_eq!(device.says(1, "speed"), Some(Answer::one("s7_5")));
    assert!(device.state.is_shared(at(1), "speed"));
    assert_eq!(device.says(2, "speed"), None);
    assert_eq!(device.says(3, "speed"), None);
    // Taken out again.
    device.about_item(1, batch::QUESTION, Answer::Text(String::new()));
    assert_eq!(device.says(1, "speed"), None);
    assert_eq!(device.state.batch_of(at(1)), None);
}

#[test]
fn an_items_own_answer_stays_and_its_undo_lets_the_batch_answer() {
    let mut device = begun();
    device.about_batch("choir", "speed", Answer::one("s7_5"));
    device.reel_of(1, "choir");
    for own in [Answer::one("s3_75"), Answer::one(tape::CANT_TELL)] {
        let ids = device.about_item(1, "speed", own.clone());
        assert_eq!(device.says(1, "speed"), Some(own));
        assert!(!device.state.is_shared(at(1), "speed"));
        device.tell(Command::Undo(ids[0])).unwrap();
        assert_eq!(device.says(1, "speed"), Some(Answer::one("s7_5")));
        assert!(device.state.is_shared(at(1), "speed"));
    }
}

#[test]
fn undoing_a_batchs_answer_takes_it_from_every_item() {
    let mut device = begun();
    device.reel_of(1, "choir");
    device.reel_of(2, "choir");
    let ids = device.about_batch("choir", "tracks", Answer::one("half_mono"));
    assert!((1..=2).all(|position| device.says(position, "tracks").is_some()));
    device.tell(Command::Undo(ids[0])).unwrap();
    assert!((1..=2).all(|position| device.says(position, "tracks").is_none()));
}

#[test]
fn a_batch_narrows_the_hours_of_its_items() {
    let mut device = begun();
    device.reel_of(1, "choir");
    let spread = |device: &Device| {
        let hours = tape::playing(&device.state.item_answers(at(1))).unwrap();
        (hours.content.high / hours.content.low, hours.shared)
    };
    let (open, unknown) = spread(&device);
    assert_eq!(unknown, ["speed", "tracks"]);
    device.about_batch("choir", "speed", Answer::one("s7_5"));
    device.about_batch("choir", "tracks", Answer::one("half_mono"));
    let (told, unknown) = spread(&device);
    assert!(unknown.is_empty() && told < open, "{told} {open}");
}

#[test]
fn what_the_label_says_is_not_asked_again_where_the_batch_says_it() {
    let mut device = begun();
    device.reel_of(1, "choir");
    device.about_item(1, "label", Answer::many(["speed"]));
    let open = |device: &Device| {
        let path = device.state.item_path(at(1));
        assert!(path.asked.iter().any(|question| question.key == "speed"));
        let mut given = device.state.item_answers(at(1));
        let mut asked = Vec::new();
        while let Some(question) = tape::item_path(&given).next {
            asked.push(question.key);
            given.insert(question.key.to_owned(), Answer::one(tape::CANT_TELL));
        }
        asked.contains(&"speed")
    };
    assert!(open(&device));
    device.about_batch("choir", "speed", Answer::one("s7_5"));
    assert!(!open(&device));
}

#[test]
fn names_are_one_line_and_keys_come_back() {
    assert_eq!(batch::name("  Choir\n1962 "), Some("Choir 1962".to_owned()));
    assert_eq!(batch::name(" \t "), None);
    for name in ["choir", "a/b", "batch/x", "é 2"] {
        assert_eq!(batch::read_key(&batch::key(name, "speed")), Some((name, "speed")));
    }
    assert_eq!(batch::read_key("batch"), None);
    assert_eq!(batch::read_key("batch//speed"), None);
    assert_eq!(batch::read_key("watch_list"), None);
}

#[test]
fn the_batch_used_last_is_offered_first_and_an_undone_one_is_not() {
    let mut device = begun();
    device.reel_of(1, "choir");
    device.about_batch("lectures", "speed", Answer::one("s7_5"));
    device.reel_of(2, "club");
    assert_eq!(
        batch::recent(&device.log, &device.state),
        ["club", "lectures", "choir"]
    );
    device.tell(Command::UndoLast).unwrap();
    assert_eq!(batch::recent(&device.log, &device.state), ["lectures", "choir"]);
}

#[test]
fn a_text_that_could_not_be_read_back_is_refused() {
    let mut device = begun();
    let long = Command::Answer {
        subject: Subject::Survey,
        question: "purpose".to_owned(),
        value: Answer::Text("x".repeat(1 << 20)),
    };
    assert_eq!(device.tell(long), Err(Refusal::TooLong));
    let fits = Command::Answer {
        subject: Subject::Survey,
        question: "purpose".to_owned(),
        value: Answer::Text("x".repeat((1 << 20) - 1_000)),
    };
    device.tell(fits).unwrap();
    assert_eq!(Log::from_lines(&device.log.to_lines()).unwrap(), device.log);
}

/// Something one of two devices does.
#[derive(Debug, Clone)]
enum Act {
    Batch {
        device: usize,
        name: &'static str,
        question: &'static str,
        value: &'static str,
    },
    Own {
        device: usize,
        position: u32,
        question: &'static str,
        value: &'static str,
    },
    Join {
        device: usize,
        position: u32,
        name: &'static str,
    },
    Undo {
        device: usize,
    },
    Hear {
        device: usize,
    },
}

fn act() -> impl Strategy<Value = Act> {
    let questions = || prop::sample::select(tape::questions().iter().map(|q| q.key).collect::<Vec<_>>());
    let pair = questions().prop_flat_map(|key| {
        let mut values: Vec<&'static str> = tape::question(key)
            .map_or(&[][..], |q| q.choices)
            .iter()
            .map(|choice| choice.key)
            .collect();
        values.push(tape::CANT_TELL);
        (Just(key), prop::sample::select(values))
    });
    // The batch's own questions often enough.
    let shared = prop::sample::select(vec![
        ("speed", "s7_5"),
        ("speed", "s3_75"),
        ("tracks", "half_mono"),
        ("tracks", "cassette_stereo"),
    ]);
    let said = prop_oneof![pair, shared];
    let name = prop::sample::select(vec!["choir", "a/b", ""]);
    let device = 0..2usize;
    prop_oneof![
        4 => (device.clone(), name.clone(), said.clone())
            .prop_map(|(device, name, (question, value))| Act::Batch { device, name, question, value }),
        3 => (device.clone(), 1..4u32, said)
            .prop_map(|(device, position, (question, value))| Act::Own { device, position, question, value }),
        3 => (device.clone(), 1..4u32, name).prop_map(|(device, position, name)| Act::Join { device, position, name }),
        1 => device.clone().prop_map(|device| Act::Undo { device }),
        1 => device.prop_map(|device| Act::Hear { device }),
    ]
}

fn play(acts: &[Act]) -> Vec<Device> {
    let mut founder = begun();
    for (position, carrier) in [(1, "reel_quarter"), (2, "cassette"), (3, "dat")] {
        founder.about_item(position, "carrier", Answer::one(carrier));
    }
    let mut devices = vec![founder, Device::new(2)];
    let log = devices[0].log.clone();
    devices[1].hear(&log);
    // Enough undone and the box itself is gone: what is then said of its items is refused, and that is right.
    let refused_at_most_without_a_box = |said: Result<Vec<EntryId>, Refusal>| match said {
        Ok(_) | Err(Refusal::NoBox(_)) => {}
        Err(refusal) => panic!("{refusal:?}"),
    };
    for act in acts.iter().cloned() {
        match act {
            Act::Batch {
                device,
                name,
                question,
                value,
            } => drop(devices[device].about_batch(name, question, Answer::one(value))),
            Act::Own {
                device,
                position,
                question,
                value,
            } => refused_at_most_without_a_box(devices[device].tell(of_item(
                position,
                question,
                Answer::one(value),
            ))),
            Act::Join {
                device,
                position,
                name,
            } => refused_at_most_without_a_box(devices[device].tell(of_item(
                position,
                batch::QUESTION,
                Answer::Text(name.to_owned()),
            ))),
            Act::Undo { device } => drop(devices[device].tell(Command::UndoLast)),
            Act::Hear { device } => {
                let log = devices[1 - device].log.clone();
                devices[device].hear(&log);
            }
        }
    }
    devices
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Own answers are never touched; what is added belongs to a batch's questions and to a batch the item is in.
    #[test]
    fn a_batch_only_completes(acts in prop::collection::vec(act(), 0..30)) {
        for device in play(&acts) {
            for position in 1..4 {
                let own = device.state.answers(Subject::Item(at(position)));
                let whole = device.state.item_answers(at(position));
                for (question, answer) in &whole {
                    match own.get(question) {
                        Some(own) => {
                            prop_assert_eq!(own, answer);
                            prop_assert!(!device.state.is_shared(at(position), question));
                        }
                        None => {
                            prop_assert!(tape::question(question).is_some_and(|q| q.batch), "{}", question);
                            let name = device.state.batch_of(at(position)).unwrap();
                            prop_assert_eq!(device.state.batch_answer(name, question), Some(answer));
                            prop_assert!(device.state.is_shared(at(position), question));
                        }
                    }
                }
                prop_assert!(own.keys().all(|question| whole.contains_key(question)));
                // Nothing is said of what was not looked at.
                let (a, b) = (device.state.item_path(at(position)).asked, tape::item_path_in(&device.state.answers(Subject::Box(SERIAL)), &own).asked);
                let keys = |path: Vec<&'static tape::Question>| path.iter().map(|q| q.key).collect::<Vec<_>>();
                prop_assert_eq!(keys(a), keys(b));
            }
        }
    }

    #[test]
    fn in_whatever_order_logs_are_merged_a_batch_says_the_same(acts in prop::collection::vec(act(), 0..30)) {
        let devices = play(&acts);
        let merged = |order: [usize; 2]| {
            let mut log = Log::new(SURVEY);
            order.iter().for_each(|device| log.merge(&devices[*device].log).unwrap());
            State::fold(&log)
        };
        let (one, other) = (merged([0, 1]), merged([1, 0]));
        for position in 1..4 {
            prop_assert_eq!(one.item_answers(at(position)), other.item_answers(at(position)));
        }
    }

    #[test]
    fn undo_brings_the_batch_back_as_it_was(acts in prop::collection::vec(act(), 0..20), value in prop::sample::select(vec!["s7_5", "s15"])) {
        let mut device = play(&acts).remove(0);
        let before: Vec<_> = (1..4).map(|position| device.state.item_answers(at(position))).collect();
        let ids = device.about_batch("choir", "speed", Answer::one(value));
        if let [.., id] = ids[..] {
            device.tell(Command::Undo(id)).unwrap();
        }
        let after: Vec<_> = (1..4).map(|position| device.state.item_answers(at(position))).collect();
        prop_assert_eq!(before, after);
    }
}
