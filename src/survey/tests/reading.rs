//! Reading photographs once, and a part of them again by somebody else.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use survey::decide::BoxToList;
use survey::photo::{Photo, Shows};
use survey::reading::{self, READ, second_key};
use survey::{
    Author, Command, DeviceId, ItemId, Log, Serial, State, Subject, SurveyId, Way, WriterId, decide,
};
use tape::Answer;

struct Device {
    author: Author,
    log: Log,
    state: State,
}

fn tape(position: u32) -> Subject {
    Subject::Item(ItemId {
        serial: Serial { tag: 0, number: 1 },
        position,
    })
}

fn sha(position: u32) -> String {
    format!("{position:064x}")
}

impl Device {
    fn new() -> Self {
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

    fn tell(&mut self, command: Command) {
        self.author.now_ms += 1;
        for entry in decide(&self.log, &self.state, &self.author, command).unwrap() {
            self.log.insert(entry).unwrap();
        }
        self.state = self.state.refold(&self.log);
    }

    fn say(&mut self, subject: Subject, question: &str, value: Answer) {
        let question = question.to_owned();
        self.tell(Command::Answer {
            subject,
            question,
            value,
        });
    }

    fn read(&mut self, subject: Subject, position: u32, question: &str, value: Answer) {
        self.tell(Command::AnswerBy {
            subject,
            answers: vec![(question.to_owned(), value)],
            way: Way::Photo(sha(position)),
        });
    }

    /// A cassette whose label was photographed and put off.
    fn photographed(&mut self, position: u32) {
        let subject = tape(position);
        self.say(subject, "hazard", Answer::many(["none"]));
        self.say(subject, "carrier", Answer::one("cassette"));
        self.tell(Command::AddPhoto {
            subject,
            photo: Photo {
                sha256: sha(position),
                n_bytes: 9,
                shows: Shows::Label,
            },
        });
        self.say(subject, "label", Answer::many([tape::PHOTOGRAPHED]));
    }
}

#[test]
fn what_was_put_off_is_to_read_until_it_is_read() {
    let mut device = Device::new();
    device.photographed(1);
    device.photographed(4);
    assert_eq!(device.state.to_read(), [tape(1), tape(4)]);
    device.read(tape(1), 1, "label", Answer::many(["date"]));
    assert_eq!(
        device.state.to_read(),
        [tape(1), tape(4)],
        "not said to be read yet"
    );
    device.read(tape(1), 1, READ, Answer::one("yes"));
    assert_eq!(device.state.to_read(), [tape(4)]);
    device.tell(Command::UndoLast);
    assert_eq!(device.state.to_read(), [tape(1), tape(4)]);
}

#[test]
fn recent_texts_are_the_latest_first_and_each_once() {
    let mut device = Device::new();
    for (position, text) in [(1, "Brass band"), (2, "Choir"), (3, " Brass band "), (4, " ")] {
        device.say(tape(position), "written_title", Answer::Text(text.to_owned()));
    }
    let recent = |device: &Device, most| reading::recent_texts(&device.state, "written_title", most);
    assert_eq!(recent(&device, 9), ["Brass band", "Choir"]);
    assert_eq!(recent(&device, 1), ["Brass band"]);
    device.say(tape(2), "written_title", Answer::Text("Quartet".to_owned()));
    assert_eq!(
        recent(&device, 9),
        ["Quartet", "Brass band"],
        "a replaced text is gone"
    );
}

#[test]
fn the_second_reading_is_blind_and_leaves_the_first_alone() {
    let mut device = Device::new();
    device.photographed(1);
    device.read(tape(1), 1, "label", Answer::many(["date"]));
    device.read(tape(1), 1, "date_decade", Answer::one("d1970"));
    device.say(Subject::Survey, reading::SEED, Answer::Text("3 1 4".to_owned()));
    assert_eq!(device.state.chosen_again(), [], "no plan yet");
    device.say(Subject::Survey, reading::PERCENT, Answer::Number(100.0));
    assert_eq!(device.state.to_read_again(), [tape(1)]);
    assert_eq!(
        device
            .state
            .first_readers(tape(1))
            .into_iter()
            .collect::<Vec<_>>(),
        ["Rowan"]
    );

    let keys = |device: &Device| -> Vec<&str> {
        device
            .state
            .second_path(tape(1))
            .0
            .iter()
            .map(|q| q.key)
            .collect()
    };
    let asked = keys(&device);
    assert!(
        asked.contains(&"label") && !asked.contains(&"carrier"),
        "{asked:?}"
    );
    assert!(
        !asked.contains(&"date_decade"),
        "that a date was found would tell of the first reading"
    );
    let before = device.state.answers(tape(1));
    for question in asked {
        let value = match question {
            "label" => Answer::many(["date"]),
            _ => Answer::one(tape::CANT_TELL),
        };
        device.read(tape(1), 1, &second_key(question), value);
    }
    assert!(
        keys(&device).contains(&"date_decade"),
        "now the second reader found one too"
    );
    assert!(!device.state.second_path(tape(1)).1);
    device.read(tape(1), 1, &second_key("date_decade"), Answer::one("d1960"));
    assert!(device.state.second_path(tape(1)).1);
    device.read(tape(1), 1, &second_key(READ), Answer::one("yes"));
    assert_eq!(device.state.to_read_again(), []);

    let mut after = device.state.answers(tape(1));
    after.retain(|key, _| !key.starts_with("second/"));
    assert_eq!(after, before);
    let pairs = device.state.read_twice();
    let decade = &pairs["date_decade"][0];
    assert_eq!(decade.first, Some(Answer::one("d1970")));
    assert_eq!(decade.second, Some(Answer::one("d1960")));
    assert_eq!(pairs["label"][0].first, pairs["label"][0].second);
}

#[test]
fn about_so_many_of_a_hundred_are_chosen_and_a_larger_part_holds_the_smaller() {
    let chosen = |percent| -> Vec<u32> {
        let plan = reading::Plan {
            seed: "6 2 5",
            percent,
        };
        (1..=2_000)
            .filter(|position| plan.chooses(tape(*position)))
            .collect()
    };
    let (some, more) = (chosen(20), chosen(50));
    // Binomial: 400 of 2,000, four standard deviations of 17.9 either way.
    assert!((329..=471).contains(&some.len()), "{}", some.len());
    assert!(some.iter().all(|position| more.contains(position)));
    assert_eq!(chosen(100).len(), 2_000);
}
