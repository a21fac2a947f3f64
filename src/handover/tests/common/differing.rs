//! An invented survey of two helpers who did not always see the same: one of every kind of thing that can disagree.
#![allow(
    clippy::unwrap_used,
    reason = "a test's own helper: what cannot be made is a failed test"
)]

use survey::decide::BoxToList;
use survey::differ::Differences;
use survey::entry::{SeedSource, Walk};
use survey::{Author, Command, DeviceId, ItemId, Log, Serial, State, Subject, SurveyId, WriterId, decide};
use tape::Answer;

const MORNING: u64 = 1_795_592_883_000;

#[derive(Clone)]
pub(crate) struct Helper {
    pub(crate) author: Author,
    pub(crate) log: Log,
    pub(crate) state: State,
}

impl Helper {
    fn new(number: u8, person: &str, now_ms: u64) -> Self {
        let log = Log::new(SurveyId([0xd1; 16]));
        let author = Author {
            writer: WriterId([number; 16]),
            device: DeviceId([number; 16]),
            device_name: "Club telephone".to_owned(),
            person: person.to_owned(),
            app: handover::APP.to_owned(),
            looked: String::new(),
            now_ms,
        };
        let state = State::fold(&log);
        Self { author, log, state }
    }

    fn tell(&mut self, command: Command) {
        self.author.now_ms += 9_000;
        for entry in decide(&self.log, &self.state, &self.author, command).unwrap() {
            self.log.insert(entry).unwrap();
        }
        self.state = State::fold(&self.log);
    }

    pub(crate) fn hear(&mut self, other: &Self) {
        self.log.merge(&other.log).unwrap();
        self.state = State::fold(&self.log);
    }

    fn say(&mut self, subject: Subject, answers: &[(&str, &str)]) {
        let one =
            |(question, value): &(&str, &str)| ((*question).to_owned(), Answer::One((*value).to_owned()));
        self.tell(Command::AnswerAll {
            subject,
            answers: answers.iter().map(one).collect(),
        });
    }
}

/// Both helpers after they met.
pub(crate) fn differing() -> (Helper, Helper) {
    let mut ash = Helper::new(1, "Ash", MORNING);
    ash.tell(Command::Begin {
        title: "The mill by the weir".to_owned(),
        practice: true,
    });
    ash.tell(Command::AddStratum {
        name: "Cellar".to_owned(),
    });
    ash.tell(Command::AddPlace {
        stratum: *ash.state.strata.keys().next().unwrap(),
        name: "Rack by the door".to_owned(),
    });
    let boxes = (1..=12).map(|number| BoxToList {
        label: format!("crate {number}"),
        quarters: Some(2),
        listed_items: None,
    });
    ash.tell(Command::AddBoxes {
        place: *ash.state.places.keys().next().unwrap(),
        boxes: boxes.collect(),
    });
    // The second telephone's clock was never set.
    let mut robin = Helper::new(2, "Robin", 946_684_800_000);
    robin.hear(&ash);
    for helper in [&mut ash, &mut robin] {
        helper.tell(Command::CloseFrame);
        helper.tell(Command::Roll {
            seed: "6 2 5 1".to_owned(),
            source: SeedSource::Dice,
            round_size: 4,
            items_per_box: Some(3),
        });
    }
    ash.tell(Command::BeginRound {
        number: 1,
        walk: Walk::Draw,
    });
    let drawn: Vec<Serial> = ash.state.draw.as_ref().unwrap().rounds[0]
        .iter()
        .map(|drawn| drawn.serial)
        .collect();
    for (index, serial) in drawn.iter().enumerate() {
        let subject = Subject::Box(*serial);
        let clean = [
            ("outcome", "found_opened"),
            ("mould", "none"),
            ("vermin", "none"),
            ("odour_box", "none"),
        ];
        ash.say(subject, &clean);
        let odour = if index == 1 { "vinegar" } else { "none" };
        let mould = if index == 0 { "suspected" } else { "none" };
        let seen = [
            ("outcome", "found_opened"),
            ("mould", mould),
            ("vermin", "none"),
            ("odour_box", odour),
        ];
        robin.say(subject, &seen);
    }
    let item = Subject::Item(ItemId {
        serial: drawn[2],
        position: 1,
    });
    ash.say(item, &[("carrier", "reel_quarter"), ("back", "glossy")]);
    robin.say(item, &[("carrier", "reel_quarter"), ("back", "matt")]);
    // Robin's telephone is restored from a backup after Ash has heard of its last answer.
    let mut restored = robin.clone();
    robin.say(Subject::Box(drawn[3]), &[("fullness", "half")]);
    restored.say(Subject::Box(drawn[3]), &[("fullness", "full")]);
    robin.hear(&restored);
    ash.hear(&robin);
    // One of the differences is settled.
    let told = Differences::of(&ash.log, &ash.state);
    let conflict = told
        .conflicts
        .iter()
        .find(|conflict| conflict.question == "odour_box")
        .unwrap();
    ash.tell(Command::Choose {
        subject: conflict.subject,
        question: conflict.question.clone(),
        chosen: conflict.looks[1].entry,
        value: conflict.looks[1].value.clone(),
    });
    robin.hear(&ash);
    (ash, robin)
}
