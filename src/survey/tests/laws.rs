//! Laws of the records: merging in any order, undo, bytes kept, hostile lines.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use survey::entry::{SeedSource, Walk};
use survey::{
    Author, Command, DeviceId, Entry, EntryId, Fault, ItemId, Log, Refusal, Serial, State, Subject, SurveyId,
    WriterId, decide,
};
use tape::Answer;

const SURVEY: SurveyId = SurveyId([7; 16]);

/// One device with one tab, and what it knows.
struct Device {
    author: Author,
    log: Log,
    state: State,
}

impl Device {
    fn new(number: u8) -> Self {
        let author = Author {
            writer: WriterId([number; 16]),
            device: DeviceId([number; 16]),
            device_name: format!("phone {number}"),
            person: format!("surveyor {number}"),
            app: "test".to_owned(),
            looked: String::new(),
            now_ms: 1_000 * u64::from(number),
        };
        let log = Log::new(SURVEY);
        let state = State::fold(&log);
        Self { author, log, state }
    }

    fn tell(&mut self, command: Command) -> Result<Vec<EntryId>, Refusal> {
        let entries = decide(&self.log, &self.state, &self.author, command)?;
        let ids = entries.iter().map(|entry| entry.id).collect();
        for entry in entries {
            self.log.insert(entry).unwrap();
        }
        self.state = self.state.refold(&self.log);
        Ok(ids)
    }

    fn hear(&mut self, other: &Self) {
        self.log.merge(&other.log).unwrap();
        self.state = self.state.refold(&self.log);
    }

    fn answer(&mut self, subject: Subject, question: &str, value: &str) -> Vec<EntryId> {
        let value = Answer::One(value.to_owned());
        self.tell(Command::Answer {
            subject,
            question: question.to_owned(),
            value,
        })
        .unwrap()
    }
}

/// A founder with two strata, three places and `n` boxes a place, closed and drawn.
fn drawn(n: usize) -> Device {
    let mut device = Device::new(1);
    device
        .tell(Command::Begin {
            title: "Mill cellar".to_owned(),
            practice: true,
        })
        .unwrap();
    for name in ["reels", "cassettes"] {
        device
            .tell(Command::AddStratum {
                name: name.to_owned(),
            })
            .unwrap();
    }
    let strata: Vec<_> = device.state.strata.keys().copied().collect();
    for (name, stratum) in [("A", strata[0]), ("B", strata[0]), ("C", strata[1])] {
        device
            .tell(Command::AddPlace {
                stratum,
                name: name.to_owned(),
            })
            .unwrap();
        let place = *device.state.places.keys().next_back().unwrap();
        device
            .tell(Command::AddBoxes {
                place,
                boxes: vec![Default::default(); n],
            })
            .unwrap();
    }
    device.tell(Command::CloseFrame).unwrap();
    roll(&mut device, "4 4 2 6 1");
    device
}

fn roll(device: &mut Device, seed: &str) {
    let source = SeedSource::Dice;
    device
        .tell(Command::Roll {
            seed: seed.to_owned(),
            source,
            round_size: 5,
            items_per_box: Some(3),
        })
        .unwrap();
}

fn first_box(device: &Device) -> Serial {
    device.state.draw.as_ref().unwrap().rounds[0][0].serial
}

#[test]
fn the_draw_is_a_function_of_frame_and_seed_and_every_box_is_in_one_round() {
    let (one, other) = (drawn(8), drawn(8));
    let draw = one.state.draw.as_ref().unwrap();
    assert_eq!(Some(draw), other.state.draw.as_ref());
    let mut all: Vec<Serial> = draw.rounds.iter().flatten().map(|drawn| drawn.serial).collect();
    all.sort();
    assert_eq!(all, one.state.boxes.keys().copied().collect::<Vec<_>>());
    assert!(draw.rounds[0].len() >= 5);
}

#[test]
fn every_roll_stays_in_the_log_and_the_last_is_in_force() {
    let mut device = drawn(8);
    roll(&mut device, "6 6 6");
    assert_eq!(device.state.rolls.len(), 2);
    assert_eq!(device.state.draw.as_ref().unwrap().seed, "6 6 6");
    assert_eq!(device.state.rolls.iter().filter(|roll| roll.in_force).count(), 1);
    assert!(device.state.faults.is_empty());
}

#[test]
fn a_box_listed_after_the_draw_is_late_and_moves_nobody() {
    let mut device = drawn(8);
    let before = device.state.draw.clone().unwrap();
    let place = *device.state.places.keys().next().unwrap();
    device
        .tell(Command::AddBoxes {
            place,
            boxes: vec![Default::default(); 3],
        })
        .unwrap();
    let after = device.state.draw.as_ref().unwrap();
    assert_eq!(before.rounds, after.rounds);
    assert_eq!(after.late.len(), 3);
    assert_eq!(after.n_late_wanted(), 2);
    assert_eq!(device.state.frame.as_ref().unwrap().boxes.len(), 24);
}

#[test]
fn a_closed_list_stays_closed_after_a_draw() {
    let mut device = drawn(4);
    let serial = first_box(&device);
    assert_eq!(device.tell(Command::Withdraw(serial)), Err(Refusal::FrameClosed));
    assert_eq!(device.tell(Command::ReopenFrame), Err(Refusal::Drawn));
}

#[test]
fn an_answer_takes_the_place_of_the_devices_own_and_undo_brings_the_old_one_back() {
    let mut device = drawn(4);
    let serial = first_box(&device);
    let subject = Subject::Box(serial);
    device.answer(subject, "mould", "no");
    device.answer(subject, "mould", "yes");
    assert_eq!(
        device.state.answer(subject, "mould"),
        Some(&Answer::One("yes".to_owned()))
    );
    assert_eq!(device.state.heads(subject, "mould").len(), 1);
    assert!(
        device.answer(subject, "mould", "yes").is_empty(),
        "the same answer again writes nothing"
    );
    let undo = device.tell(Command::UndoLast).unwrap();
    assert_eq!(
        device.state.answer(subject, "mould"),
        Some(&Answer::One("no".to_owned()))
    );
    device.tell(Command::Undo(undo[0])).unwrap();
    assert_eq!(
        device.state.answer(subject, "mould"),
        Some(&Answer::One("yes".to_owned()))
    );
}

#[test]
fn two_peoples_answers_both_stay() {
    let mut one = drawn(4);
    let mut two = Device::new(2);
    two.hear(&one);
    let subject = Subject::Box(first_box(&one));
    one.answer(subject, "mould", "no");
    two.answer(subject, "mould", "yes");
    one.hear(&two);
    two.hear(&one);
    assert_eq!(one.state, two.state);
    assert_eq!(one.state.heads(subject, "mould").len(), 2);
    assert_eq!(one.state.disagreements().count(), 1);
    // A second thought of one of them touches only their own.
    two.answer(subject, "mould", "no");
    assert_eq!(two.state.heads(subject, "mould").len(), 2);
    assert_eq!(two.state.disagreements().count(), 0);
}

#[test]
fn a_second_device_gives_serials_of_its_own() {
    let mut one = Device::new(1);
    one.tell(Command::Begin {
        title: "t".to_owned(),
        practice: false,
    })
    .unwrap();
    one.tell(Command::AddStratum {
        name: "all".to_owned(),
    })
    .unwrap();
    let stratum = *one.state.strata.keys().next().unwrap();
    one.tell(Command::AddPlace {
        stratum,
        name: "shelf".to_owned(),
    })
    .unwrap();
    let mut two = Device::new(2);
    two.hear(&one);
    let place = *one.state.places.keys().next().unwrap();
    for device in [&mut one, &mut two] {
        device
            .tell(Command::AddBoxes {
                place,
                boxes: vec![Default::default(); 5],
            })
            .unwrap();
    }
    one.hear(&two);
    assert_eq!(one.state.boxes.len(), 10);
    assert!(one.state.faults.is_empty(), "{:?}", one.state.faults);
}

#[test]
fn a_restored_phone_is_reported_and_nothing_is_dropped() {
    let mut one = drawn(4);
    let mut twin = Device::new(1);
    twin.hear(&one);
    let subject = Subject::Box(first_box(&one));
    one.answer(subject, "mould", "no");
    let ids = twin.answer(subject, "mould", "yes");
    one.hear(&twin);
    twin.hear(&one);
    assert_eq!(one.log, twin.log);
    assert_eq!(one.log.twins().len(), 1);
    assert!(one.state.faults.contains(&Fault::Twin(ids[0])));
    assert_eq!(Log::from_lines(&one.log.to_lines()).unwrap(), one.log);
}

#[test]
fn undo_in_a_circle_ends() {
    let mut log = Log::new(SURVEY);
    let writer = WriterId([9; 16]);
    let id = |n| EntryId { writer, n };
    for (n, of) in [(0, 1), (1, 0)] {
        log.insert(Entry::write(
            SURVEY,
            id(n),
            0,
            survey::Content::Undo { of: id(of) },
        ))
        .unwrap();
    }
    let state = State::fold(&log);
    assert!(state.faults.contains(&Fault::Circle(id(0))));
}

#[test]
fn a_newer_kind_is_carried_verbatim() {
    let line = format!(
        r#"{{"v":2,"survey":"{SURVEY}","writer":"{}","n":0,"at":5,"kind":"hologram","x":1}}"#,
        WriterId([3; 16])
    );
    let entry = Entry::read(line.as_bytes()).unwrap();
    assert_eq!(entry.bytes, line.as_bytes());
    let mut log = Log::new(SURVEY);
    log.insert(entry).unwrap();
    assert_eq!(log.to_lines(), format!("{line}\n").as_bytes());
    assert_eq!(State::fold(&log).faults.len(), 1);
}

#[test]
fn the_clock_decides_nothing() {
    let mut late = drawn(4);
    late.author.now_ms = u64::MAX / 2;
    let subject = Subject::Box(first_box(&late));
    late.answer(subject, "mould", "no");
    late.author.now_ms = 0;
    late.answer(subject, "mould", "yes");
    assert_eq!(
        late.state.answer(subject, "mould"),
        Some(&Answer::One("yes".to_owned()))
    );
}

#[test]
fn a_box_ends_as_its_answers_say() {
    use survey::progress::{BoxStatus, Outcome};
    let cases: [(&[(&str, &str)], BoxStatus); 6] = [
        (&[], BoxStatus::Untouched),
        (&[("outcome", "found_opened")], BoxStatus::Begun),
        (
            &[("outcome", "found_opened"), ("mould", "seen")],
            BoxStatus::Finished(Outcome::Stopped),
        ),
        (
            &[
                ("outcome", "found_opened"),
                ("mould", "none"),
                ("vermin", "none"),
                ("odour_box", "none"),
                ("count", "cant_tell"),
            ],
            BoxStatus::Finished(Outcome::Uncounted),
        ),
        (
            &[("outcome", "not_found"), ("outcome_reason", "missing_today")],
            BoxStatus::Finished(Outcome::NotReached),
        ),
        (
            &[("outcome", "not_found"), ("outcome_reason", "listed_twice")],
            BoxStatus::Finished(Outcome::OutOfScope),
        ),
    ];
    for (answers, expected) in cases {
        let mut device = drawn(4);
        let serial = first_box(&device);
        for (question, value) in answers {
            device.answer(Subject::Box(serial), question, value);
        }
        assert_eq!(device.state.box_status(serial), expected, "{answers:?}");
    }
}

/// What devices do at random.
#[derive(Debug, Clone)]
enum Act {
    Answer {
        device: usize,
        position: u32,
        question: u8,
        value: u8,
    },
    UndoLast {
        device: usize,
    },
    Hear {
        device: usize,
        from: usize,
    },
    Round {
        device: usize,
        number: u32,
        shelf: bool,
    },
    List {
        device: usize,
    },
    Reroll {
        device: usize,
    },
}

fn act() -> impl Strategy<Value = Act> {
    let device = 0..3usize;
    prop_oneof![
        6 => (device.clone(), 1..4u32, 0..3u8, 0..3u8)
            .prop_map(|(device, position, question, value)| Act::Answer { device, position, question, value }),
        2 => device.clone().prop_map(|device| Act::UndoLast { device }),
        2 => (device.clone(), 0..3usize).prop_map(|(device, from)| Act::Hear { device, from }),
        1 => (device.clone(), 1..4u32, any::<bool>()).prop_map(|(device, number, shelf)| Act::Round { device, number, shelf }),
        1 => device.clone().prop_map(|device| Act::List { device }),
        1 => device.prop_map(|device| Act::Reroll { device }),
    ]
}

fn play(acts: &[Act]) -> Vec<Device> {
    let founder = drawn(3);
    let serial = first_box(&founder);
    let mut devices: Vec<Device> = vec![founder, Device::new(2), Device::new(3)];
    let (first, others) = devices.split_at_mut(1);
    others.iter_mut().for_each(|device| device.hear(&first[0]));
    for act in acts.iter().cloned() {
        match act {
            Act::Answer {
                device,
                position,
                question,
                value,
            } => {
                let subject = Subject::Item(ItemId { serial, position });
                devices[device].answer(subject, &format!("q{question}"), &format!("v{value}"));
            }
            Act::UndoLast { device } => drop(devices[device].tell(Command::UndoLast)),
            Act::Hear { device, from } if device != from => {
                let log = devices[from].log.clone();
                devices[device].log.merge(&log).unwrap();
                devices[device].state = devices[device].state.refold(&devices[device].log);
            }
            Act::Hear { .. } => {}
            Act::Round {
                device,
                number,
                shelf,
            } => {
                let walk = if shelf { Walk::Shelf } else { Walk::Draw };
                drop(devices[device].tell(Command::BeginRound { number, walk }));
            }
            Act::List { device } => {
                let place = *devices[device].state.places.keys().next().unwrap();
                devices[device]
                    .tell(Command::AddBoxes {
                        place,
                        boxes: vec![Default::default()],
                    })
                    .unwrap();
            }
            Act::Reroll { device } => roll(&mut devices[device], "again"),
        }
    }
    devices
}

fn union_law(acts: &[Act], order: &[usize]) -> Result<(), TestCaseError> {
    let devices = play(acts);
    let merged = |order: &[usize]| {
        let mut log = Log::new(SURVEY);
        for device in order {
            log.merge(&devices[*device].log).unwrap();
            log.merge(&devices[*device].log).unwrap();
        }
        log
    };
    let (one, other) = (merged(&[0, 1, 2]), merged(order));
    prop_assert_eq!(&one, &other);
    prop_assert_eq!(State::fold(&one), State::fold(&other));
    prop_assert_eq!(Log::from_lines(&one.to_lines()).unwrap(), one);
    Ok(())
}

#[test]
fn a_place_called_otherwise_is_the_same_place_and_the_draw_stays() {
    let mut device = drawn(6);
    let subject = Subject::Place(*device.state.places.keys().next().unwrap());
    let call = |device: &mut Device, name: &str| {
        let name = name.to_owned();
        device.tell(Command::Rename { subject, name })
    };
    let draw = device.state.draw.clone();
    let boxes = device.state.boxes.clone();
    assert_eq!(call(&mut device, "left wall").unwrap().len(), 1);
    assert_eq!(device.state.name_of(subject), Some("left wall"));
    assert_eq!((&device.state.draw, &device.state.boxes), (&draw, &boxes));
    assert_eq!(call(&mut device, "left wall").unwrap(), []);
    assert!(matches!(call(&mut device, "  "), Err(Refusal::Empty(_))));
    // Another device's name takes the place of it, and nobody is asked which of the two is true.
    let mut other = Device::new(2);
    other.hear(&device);
    call(&mut other, "north wall").unwrap();
    device.hear(&other);
    assert_eq!(device.state.name_of(subject), Some("north wall"));
    assert_eq!(device.state.n_differences(), 0);
    other.tell(Command::UndoLast).unwrap();
    device.hear(&other);
    assert_eq!(device.state.name_of(subject), Some("left wall"));
    device.tell(Command::UndoLast).unwrap();
    assert_eq!(device.state.name_of(subject), Some("A"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100_000))]

    #[test]
    #[ignore = "minutes: cargo xtask test --long runs it"]
    fn merging_in_any_order_a_hundred_thousand_times(acts in prop::collection::vec(act(), 0..20), order in Just(vec![0usize, 1, 2]).prop_shuffle()) {
        union_law(&acts, &order)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn merging_in_any_order_gives_the_same_log_and_state(acts in prop::collection::vec(act(), 0..40), order in Just(vec![0usize, 1, 2]).prop_shuffle()) {
        union_law(&acts, &order)?;
    }

    #[test]
    fn folding_as_the_log_grows_equals_folding_it_whole(acts in prop::collection::vec(act(), 0..40)) {
        for device in play(&acts) {
            prop_assert_eq!(&device.state, &State::fold(&device.log));
        }
    }

    #[test]
    fn undo_undoes(acts in prop::collection::vec(act(), 0..20), value in 0..3u8) {
        let mut device = play(&acts).remove(0);
        let before = device.state.clone();
        let subject = Subject::Item(ItemId { serial: first_box(&device), position: 1 });
        if !device.answer(subject, "q0", &format!("v{value}")).is_empty() {
            device.tell(Command::UndoLast).unwrap();
        }
        for question in ["q0", "q1", "q2"] {
            prop_assert_eq!(device.state.heads(subject, question), before.heads(subject, question));
        }
    }

    #[test]
    fn no_line_makes_the_reader_panic(line in "\\PC{0,200}") {
        drop(Entry::read(line.as_bytes()));
        let line = format!(r#"{{"v":1,"survey":"{SURVEY}","writer":"{}","n":0,"kind":"{line}"}}"#, WriterId([1; 16]));
        drop(Entry::read(line.as_bytes()));
    }

    #[test]
    fn an_entry_keeps_its_bytes(position in 0..u32::MAX, number in any::<f64>(), text in ".{0,30}") {
        let id = EntryId { writer: WriterId([1; 16]), n: 3 };
        let subject = Subject::Item(ItemId { serial: Serial { tag: 0, number: 1 }, position });
        for value in [Answer::Number(if number.is_finite() { number } else { 0.0 }), Answer::Text(text)] {
            let content = survey::Content::Answer { subject, question: "q".to_owned(), value, instead: vec![id], origin: survey::Origin::default() };
            let entry = Entry::write(SURVEY, id, 9, content);
            prop_assert_eq!(Entry::read(&entry.bytes).unwrap(), entry);
        }
    }
}
