//! Devices that write as surveyors do, by numbers at random.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(unreachable_pub, reason = "shared by several tests")]

use proptest::collection::vec;
use proptest::prelude::*;
use survey::entry::{SeedSource, Walk};
use survey::photo::{Photo, Shows};
use survey::{
    Author, Command, DeviceId, Entry, EntryId, ItemId, Log, Serial, State, Subject, SurveyId, WriterId,
    batch, decide,
};
use tape::Answer;

pub const SURVEY: SurveyId = SurveyId([3; 16]);

/// One device that writes, and its state as it grows.
pub struct Device {
    pub author: Author,
    pub log: Log,
    pub state: State,
    /// Looks at the state after each command.
    check: fn(&State, &Log),
}

impl Device {
    pub fn new(number: u8, check: fn(&State, &Log)) -> Self {
        let author = Author {
            writer: WriterId([number; 16]),
            device: DeviceId([number; 16]),
            device_name: String::new(),
            person: format!("surveyor {number}"),
            app: "test".to_owned(),
            looked: String::new(),
            now_ms: 1,
        };
        Self {
            author,
            log: Log::new(SURVEY),
            state: State::empty(SURVEY),
            check,
        }
    }

    /// Writes what makes sense, and checks what came of it.
    pub fn tell(&mut self, command: Command) {
        let Ok(entries) = decide(&self.log, &self.state, &self.author, command) else {
            return;
        };
        let ids: Vec<EntryId> = entries.iter().map(|entry| entry.id).collect();
        for entry in entries {
            self.log.insert(entry).unwrap();
        }
        self.state.take_up(&self.log, &ids);
        (self.check)(&self.state, &self.log);
    }

    pub fn merge(&mut self, other: &Log) {
        self.log.merge(other).unwrap();
        self.state = State::fold(&self.log);
    }
}

/// A device that has drawn from six boxes and begun a round.
pub fn drawn(check: fn(&State, &Log)) -> Device {
    let mut device = Device::new(1, check);
    device.tell(Command::Begin {
        title: "The mill".to_owned(),
        practice: true,
    });
    device.tell(Command::AddStratum {
        name: "all".to_owned(),
    });
    let stratum = *device.state.strata.keys().next().unwrap();
    device.tell(Command::AddPlace {
        stratum,
        name: "shelf".to_owned(),
    });
    let place = *device.state.places.keys().next().unwrap();
    device.tell(Command::AddBoxes {
        place,
        boxes: vec![Default::default(); 6],
    });
    device.tell(Command::CloseFrame);
    device.tell(Command::Roll {
        seed: "4 4 2".to_owned(),
        source: SeedSource::Dice,
        round_size: 4,
        items_per_box: Some(2),
    });
    device.tell(Command::BeginRound {
        number: 1,
        walk: Walk::Draw,
    });
    device
}

/// What a surveyor does, by two numbers.
pub fn act(device: &mut Device, what: u8, which: usize) {
    device.author.now_ms += 1_000 * u64::from(what);
    let serials: Vec<Serial> = device.state.boxes.keys().copied().collect();
    let serial = serials[which % serials.len()];
    let item = ItemId {
        serial,
        position: u32::try_from(1 + which % 2).unwrap(),
    };
    // Half of the time the questions as they come, so that boxes are begun, finished and reopened.
    let path = if what < 90 {
        Some((Subject::Box(serial), device.state.box_path(serial)))
    } else if what < 150 {
        Some((Subject::Item(item), device.state.item_path(item)))
    } else {
        None
    };
    let answer = |subject, question: &str, value| Command::Answer {
        subject,
        question: question.to_owned(),
        value,
    };
    if let Some((subject, path)) = path {
        let question = path.next.or(path.asked.last().copied());
        let Some(question) = question else { return };
        let value = match question.choices.get(which % question.choices.len().max(1)) {
            Some(choice) => Answer::One(choice.key.to_owned()),
            None => Answer::Counts([("reel_quarter".to_owned(), 2)].into()),
        };
        return device.tell(answer(subject, question.key, value));
    }
    let text = |text: &str| Answer::Text(text.to_owned());
    let photo = Photo {
        sha256: format!("{which:064x}"),
        n_bytes: 9,
        shows: Shows::Label,
    };
    device.tell(match what {
        150..165 => answer(Subject::Item(item), batch::QUESTION, text("grey")),
        165..185 => answer(Subject::Survey, &batch::key("grey", "carrier"), text("x")),
        185..190 => answer(Subject::Survey, "title", text(&format!("mill {which}"))),
        190..195 => Command::Rename {
            subject: match which % 2 {
                0 => Subject::Place(*device.state.places.keys().next().unwrap()),
                _ => Subject::Stratum(*device.state.strata.keys().next().unwrap()),
            },
            name: format!("shelf {which}"),
        },
        195..210 => Command::AddPhoto {
            subject: Subject::Item(item),
            photo,
        },
        210..225 => Command::UndoLast,
        225..235 => Command::BeginRound {
            number: u32::try_from(which % 3).unwrap(),
            walk: Walk::Shelf,
        },
        235..245 => Command::AddBoxes {
            place: *device.state.places.keys().next().unwrap(),
            boxes: vec![Default::default()],
        },
        // Copied from labels, and each now and then again.
        245..248 => answer(
            Subject::Item(item),
            "written_title",
            text(&format!(" {} ", which % 3)),
        ),
        248..253 => {
            let all: Vec<EntryId> = device.log.entries().map(|entry| entry.id).collect();
            Command::Undo(all[which * 7 % all.len()])
        }
        _ => answer(Subject::Box(serial), "note", text(&which.to_string())),
    });
}

/// What three devices write that meet now and then, in the order in which it comes to a fourth: mostly that of each
/// writer, now and then far out of it, so that entries that others name come after them.
pub fn of_three(check: fn(&State, &Log)) -> impl Strategy<Value = Vec<Entry>> {
    let acts = vec((0usize..3, any::<u8>(), 0usize..60), 1..50);
    (acts, vec(any::<u16>(), 100)).prop_map(move |(acts, order)| {
        let mut devices = [drawn(check), Device::new(2, check), Device::new(3, check)];
        let start = devices[0].log.clone();
        devices[1].merge(&start);
        devices[2].merge(&start);
        for (index, (who, what, which)) in acts.into_iter().enumerate() {
            act(&mut devices[who], what, which);
            if index % 7 == 0 {
                let log = devices[who].log.clone();
                devices[(who + 1) % 3].merge(&log);
            }
        }
        let mut all = devices[0].log.clone();
        all.merge(&devices[1].log).unwrap();
        all.merge(&devices[2].log).unwrap();
        let entries = all.entries().cloned().zip(order.into_iter().cycle());
        let mut entries: Vec<_> = entries.enumerate().collect();
        entries.sort_by_key(|(index, (_, key))| {
            if key % 4 == 0 {
                usize::from(*key) % 64
            } else {
                *index
            }
        });
        entries.into_iter().map(|(_, (entry, _))| entry).collect()
    })
}
