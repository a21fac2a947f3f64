//! What does not agree after devices met: told with both values, the same everywhere, settled by a choice that can be
//! undone.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use survey::differ::{self, Differences};
use survey::entry::{SeedSource, Walk};
use survey::{
    Author, Command, Content, DeviceId, EntryId, Fault, ItemId, Log, Refusal, State, Subject, SurveyId,
    WriterId, decide,
};
use tape::Answer;

const SURVEY: SurveyId = SurveyId([7; 16]);
const DAY_MS: u64 = 86_400_000;
const NOON: u64 = 20_000 * DAY_MS;

#[derive(Clone)]
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
            now_ms: NOON,
        };
        let log = Log::new(SURVEY);
        let state = State::fold(&log);
        Self { author, log, state }
    }

    fn tell(&mut self, command: Command) -> Result<Vec<EntryId>, Refusal> {
        let entries = decide(&self.log, &self.state, &self.author, command)?;
        let ids: Vec<EntryId> = entries.iter().map(|entry| entry.id).collect();
        for entry in entries {
            self.log.insert(entry).unwrap();
        }
        self.state.take_up(&self.log, &ids);
        assert_eq!(self.state, State::fold(&self.log), "taken up is folded");
        Ok(ids)
    }

    fn hear(&mut self, other: &Self) {
        self.log.merge(&other.log).unwrap();
        self.state = self.state.refold(&self.log);
    }

    fn answer(&mut self, subject: Subject, question: &str, value: &str) -> EntryId {
        let value = one(value);
        let question = question.to_owned();
        let ids = self.tell(Command::Answer {
            subject,
            question,
            value,
        });
        *ids.unwrap().last().unwrap()
    }

    fn list(&mut self, n: usize) {
        let place = *self.state.places.keys().next().unwrap();
        let boxes = vec![Default::default(); n];
        self.tell(Command::AddBoxes { place, boxes }).unwrap();
    }

    fn draw(&mut self, seed: &str) {
        self.tell(Command::CloseFrame).unwrap();
        self.tell(Command::Roll {
            seed: seed.to_owned(),
            source: SeedSource::Dice,
            round_size: 4,
            items_per_box: Some(3),
        })
        .unwrap();
    }

    fn differences(&self) -> Differences {
        Differences::of(&self.log, &self.state)
    }

    fn choose(&mut self, at: usize) -> Vec<EntryId> {
        let conflict = self.differences().conflicts.remove(0);
        let look = &conflict.looks[at];
        self.tell(Command::Choose {
            subject: conflict.subject,
            question: conflict.question,
            chosen: look.entry,
            value: look.value.clone(),
        })
        .unwrap()
    }
}

fn one(value: &str) -> Answer {
    Answer::One(value.to_owned())
}

/// A founder with eight boxes on an open list, and a helper who has heard of it.
fn two() -> (Device, Device) {
    let mut founder = Device::new(1);
    let title = "Mill cellar".to_owned();
    founder
        .tell(Command::Begin {
            title,
            practice: true,
        })
        .unwrap();
    let name = "all".to_owned();
    founder.tell(Command::AddStratum { name: name.clone() }).unwrap();
    let stratum = *founder.state.strata.keys().next().unwrap();
    founder.tell(Command::AddPlace { stratum, name }).unwrap();
    founder.list(8);
    let mut helper = Device::new(2);
    helper.hear(&founder);
    (founder, helper)
}

fn meet(one: &mut Device, other: &mut Device) {
    one.hear(other);
    other.hear(one);
    assert_eq!(one.state, other.state);
    assert_eq!(one.differences(), other.differences());
}

fn a_box(device: &Device) -> Subject {
    Subject::Box(*device.state.boxes.keys().next().unwrap())
}

#[test]
fn a_survey_of_one_device_and_one_split_in_two_halves_agree_with_themselves() {
    let (mut founder, mut helper) = two();
    founder.draw("4 4 2");
    helper.hear(&founder);
    let serials: Vec<_> = founder.state.boxes.keys().copied().collect();
    for (index, serial) in serials.into_iter().enumerate() {
        let device = if index % 2 == 0 { &mut founder } else { &mut helper };
        device.answer(Subject::Box(serial), "mould", "none");
    }
    meet(&mut founder, &mut helper);
    assert!(founder.differences().is_empty(), "{:#?}", founder.differences());
    assert_eq!(founder.state.n_differences(), 0);
}

#[test]
fn a_conflict_shows_both_and_a_choice_settles_it_until_it_is_undone() {
    let (mut founder, mut helper) = two();
    let subject = a_box(&founder);
    founder.answer(subject, "mould", "none");
    helper.answer(subject, "mould", "seen");
    meet(&mut founder, &mut helper);
    let before = founder.differences();
    let conflict = &before.conflicts[0];
    assert_eq!((before.conflicts.len(), before.n_open()), (1, 1));
    assert_eq!(
        conflict
            .looks
            .iter()
            .map(|look| (look.who.as_str(), &look.value))
            .collect::<Vec<_>>(),
        [("surveyor 1", &one("none")), ("surveyor 2", &one("seen"))]
    );
    assert_eq!(
        founder.state.answer(subject, "mould"),
        Some(&conflict.looks[0].value),
        "the first counts"
    );

    let choice = founder.choose(1)[0];
    meet(&mut founder, &mut helper);
    let after = helper.differences();
    assert_eq!(helper.state.answer(subject, "mould"), Some(&one("seen")));
    assert!(after.conflicts.is_empty());
    assert_eq!(after.settled[0].choice.entry, choice);
    assert_eq!(after.settled[0].chosen, conflict.looks[1].entry);
    assert_eq!(after.settled[0].looks, conflict.looks);
    assert_eq!(after.repeats, before.repeats, "a choice is nobody's look");
    // Anybody can take it back.
    helper.tell(Command::Undo(choice)).unwrap();
    assert_eq!(helper.differences(), before);
}

#[test]
fn what_is_not_there_cannot_be_chosen() {
    let (mut founder, _) = two();
    let subject = a_box(&founder);
    let chosen = founder.answer(subject, "mould", "none");
    let mut choose = |chosen, value| {
        let question = "mould".to_owned();
        founder.tell(Command::Choose {
            subject,
            question,
            chosen,
            value: one(value),
        })
    };
    assert_eq!(choose(chosen, "seen"), Err(Refusal::NoSuchAnswer));
    let other = EntryId { n: 99, ..chosen };
    assert_eq!(choose(other, "none"), Err(Refusal::NoSuchAnswer));
    assert_eq!(choose(chosen, "none"), Ok(Vec::new()), "it stands alone already");
}

#[test]
fn boxes_checked_twice_are_paired_once_for_two_people() {
    let (mut founder, mut helper) = two();
    let subject = a_box(&founder);
    for (question, first, second) in [("mould", "none", "none"), ("vermin", "none", "traces")] {
        founder.answer(subject, question, "cant_tell");
        founder.answer(subject, question, first);
        helper.answer(subject, question, second);
    }
    founder.answer(subject, "odour_box", "none");
    // A second phone in the same hands is no second person.
    let mut second_phone = Device::new(3);
    second_phone.author.person = "Surveyor 1 ".to_owned();
    second_phone.hear(&founder);
    second_phone.answer(subject, "odour_box", "none");
    founder.hear(&second_phone);
    meet(&mut founder, &mut helper);
    let repeats = founder.differences().repeats;
    let told: Vec<_> = repeats
        .iter()
        .map(|repeat| (repeat.question, repeat.is_same()))
        .collect();
    assert_eq!(told, [("mould", true), ("vermin", false)]);
    assert_eq!(repeats[1].first.value, one("none"));
    assert_eq!(repeats[1].second.who, "surveyor 2");
    // One who taps for another: the look is the other's.
    helper.author.looked = "surveyor 1".to_owned();
    helper.answer(subject, "vermin", "cant_tell");
    meet(&mut founder, &mut helper);
    let left = founder.differences().repeats;
    assert_eq!(
        left.iter().map(|repeat| repeat.question).collect::<Vec<_>>(),
        ["mould"]
    );
}

#[test]
fn two_draws_of_one_seed_and_list_are_one_draw_and_its_rounds_are_everybodys() {
    let (mut founder, mut helper) = two();
    founder.draw("6 2 5");
    helper.draw("6 2 5");
    helper
        .tell(Command::BeginRound {
            number: 1,
            walk: Walk::Draw,
        })
        .unwrap();
    meet(&mut founder, &mut helper);
    let told = founder.differences();
    assert_eq!(
        told.draws
            .iter()
            .map(|draw| (draw.in_force, draw.same_boxes))
            .collect::<Vec<_>>(),
        [(true, true), (false, true)]
    );
    assert_eq!(told.draws[1].who, "surveyor 2");
    assert!(!founder.state.faults.contains(&Fault::SeveralDraws));
    assert_eq!(told.n_open(), 0, "it is told, and nothing is to be done");
    assert_eq!(
        founder.state.rounds.get(&1),
        Some(&Walk::Draw),
        "the helper's round is begun"
    );
    // The same round walked in two ways is the careful one of them.
    founder
        .tell(Command::BeginRound {
            number: 1,
            walk: Walk::Shelf,
        })
        .unwrap();
    helper
        .tell(Command::BeginRound {
            number: 2,
            walk: Walk::Draw,
        })
        .unwrap();
    let mut third = Device::new(3);
    third.hear(&helper);
    founder
        .tell(Command::BeginRound {
            number: 2,
            walk: Walk::Shelf,
        })
        .unwrap();
    meet(&mut founder, &mut helper);
    assert_eq!(founder.differences().walks, [2]);
    assert_eq!(founder.state.rounds.get(&2), Some(&Walk::Shelf));
}

#[test]
fn two_draws_of_one_seed_and_two_lists_differ_and_one_can_be_put_aside() {
    let (mut founder, mut helper) = two();
    helper.list(3);
    founder.draw("6 2 5");
    helper.draw("6 2 5");
    assert_eq!(
        founder.tell(Command::Undo(founder.state.rolls[0].entry)),
        Err(Refusal::NotUndoable),
        "a draw that stands alone stays"
    );
    meet(&mut founder, &mut helper);
    let told = founder.differences();
    assert_eq!(
        told.draws
            .iter()
            .map(|draw| (draw.n_boxes, draw.same_boxes))
            .collect::<Vec<_>>(),
        [(8, true), (11, false)]
    );
    assert!(founder.state.faults.contains(&Fault::SeveralDraws));
    assert_eq!(told.n_open(), 1);
    let aside = founder.tell(Command::Undo(told.draws[0].roll)).unwrap();
    assert_eq!(founder.state.draw.as_ref().unwrap().roll, told.draws[1].roll);
    assert!(founder.differences().draws.is_empty() && founder.state.faults.is_empty());
    assert_eq!(founder.state.rolls.len(), 2, "every roll stays in the log");
    founder.tell(Command::Undo(aside[0])).unwrap();
    assert_eq!(founder.differences(), told);
}

#[test]
fn a_phone_from_a_backup_is_told_with_both_entries_and_either_can_be_chosen() {
    let (mut founder, _) = two();
    let mut backup = founder.clone();
    let subject = a_box(&founder);
    let id = founder.answer(subject, "mould", "none");
    assert_eq!(backup.answer(subject, "mould", "seen"), id);
    meet(&mut founder, &mut backup);
    let told = founder.differences();
    let twins = &told.twins[0];
    assert_eq!(
        (twins.id, twins.who.as_str(), twins.others.len()),
        (id, "surveyor 1", 1)
    );
    let value = |content: &Content| match content {
        Content::Answer { value, .. } => value.clone(),
        other => panic!("{other:?}"),
    };
    let (stands, other) = (value(twins.stands.content()), value(twins.others[0].content()));
    assert_eq!(founder.state.answer(subject, "mould"), Some(&stands));
    assert_ne!(stands, other);
    let question = "mould".to_owned();
    let choice = founder
        .tell(Command::Choose {
            subject,
            question,
            chosen: id,
            value: other.clone(),
        })
        .unwrap();
    assert_eq!(founder.state.answer(subject, "mould"), Some(&other));
    assert_eq!(founder.differences().twins, told.twins, "it stays told");
    assert_eq!((told.n_open(), founder.differences().n_open()), (1, 0));
    assert_eq!(founder.state.n_differences(), 0);
    founder.tell(Command::Undo(choice[0])).unwrap();
    assert_eq!(founder.state.answer(subject, "mould"), Some(&stands));
    assert_eq!(founder.state.n_differences(), 1);
    let this_one = Command::Choose {
        subject,
        question: "mould".to_owned(),
        chosen: id,
        value: stands.clone(),
    };
    assert_eq!(founder.tell(this_one.clone()).unwrap().len(), 1);
    assert_eq!(founder.state.answer(subject, "mould"), Some(&stands));
    assert_eq!(founder.state.n_differences(), 0);
    assert_eq!(founder.tell(this_one).unwrap(), [], "once is enough");
}

#[test]
fn devices_of_one_name_are_told_apart() {
    let (mut founder, _) = two();
    let mut other = Device::new(2);
    other.author.device_name = "Phone 1".to_owned();
    other.hear(&founder);
    let subject = a_box(&founder);
    other.answer(subject, "mould", "none");
    // A second window of the first phone is the same device.
    let mut window = Device::new(3);
    window.author.device = founder.author.device;
    window.author.device_name.clone_from(&founder.author.device_name);
    window.hear(&founder);
    window.answer(subject, "vermin", "none");
    founder.hear(&window);
    assert!(founder.differences().names.is_empty());
    meet(&mut founder, &mut other);
    let names = founder.differences().names;
    assert_eq!(names.len(), 1);
    assert_eq!(names[0].name, "phone 1");
    let held: Vec<Vec<&String>> = names[0]
        .devices
        .values()
        .map(|held| held.iter().collect())
        .collect();
    assert_eq!(
        held,
        [["surveyor 1", "surveyor 3"].to_vec(), ["surveyor 2"].to_vec()]
    );
}

#[test]
fn clocks_years_apart_and_clocks_set_back_are_told() {
    let (mut founder, mut helper) = two();
    let subject = a_box(&founder);
    helper.author.now_ms = NOON + 300 * DAY_MS;
    helper.answer(subject, "mould", "none");
    meet(&mut founder, &mut helper);
    assert_eq!(
        founder.differences().clocks,
        None,
        "a second visit within the year"
    );
    helper.author.now_ms = NOON + 1_000;
    helper.answer(subject, "mould", "seen");
    let told = differ::clocks(&helper.log, &helper.state).unwrap();
    assert_eq!(
        (told.apart, told.n_backwards),
        (false, 1),
        "it rests on an entry 300 days later"
    );

    let (mut founder, mut helper) = two();
    helper.author.now_ms = 0;
    helper.answer(subject, "mould", "none");
    meet(&mut founder, &mut helper);
    let told = founder.differences().clocks.unwrap();
    assert!(told.apart);
    assert_eq!(
        told.devices
            .iter()
            .map(|clock| (clock.name.as_str(), clock.first_ms))
            .collect::<Vec<_>>(),
        [("phone 2", 0), ("phone 1", NOON)]
    );
    helper.author.now_ms = u64::MAX;
    helper.answer(subject, "mould", "seen");
    assert!(helper.differences().clocks.is_some(), "the end of time is a time");
}

#[derive(Debug, Clone)]
enum Act {
    Answer {
        device: usize,
        position: u32,
        question: usize,
        value: usize,
    },
    Undo {
        device: usize,
    },
    Hear {
        device: usize,
        from: usize,
    },
    Choose {
        device: usize,
        at: usize,
    },
    Draw {
        device: usize,
        seed: bool,
    },
}

fn act() -> impl Strategy<Value = Act> {
    let device = 0..3usize;
    prop_oneof![
        8 => (device.clone(), 1..3u32, 0..2usize, 0..3usize)
            .prop_map(|(device, position, question, value)| Act::Answer { device, position, question, value }),
        1 => device.clone().prop_map(|device| Act::Undo { device }),
        3 => (device.clone(), 0..3usize).prop_map(|(device, from)| Act::Hear { device, from }),
        2 => (device.clone(), 0..2usize).prop_map(|(device, at)| Act::Choose { device, at }),
        1 => (device, any::<bool>()).prop_map(|(device, seed)| Act::Draw { device, seed }),
    ]
}

fn play(acts: &[Act]) -> Vec<Device> {
    let (founder, helper) = two();
    let mut third = Device::new(3);
    third.hear(&founder);
    let Subject::Box(serial) = a_box(&founder) else {
        panic!()
    };
    let mut devices = vec![founder, helper, third];
    for act in acts {
        match *act {
            Act::Answer {
                device,
                position,
                question,
                value,
            } => {
                let subject = Subject::Item(ItemId { serial, position });
                let question = ["light", "wind"][question].to_owned();
                let value = one(["a", "b", "cant_tell"][value]);
                // Refused where the list was undone.
                drop(devices[device].tell(Command::Answer {
                    subject,
                    question,
                    value,
                }));
            }
            Act::Undo { device } => drop(devices[device].tell(Command::UndoLast)),
            Act::Hear { device, from } => {
                let log = devices[from].log.clone();
                devices[device].log.merge(&log).unwrap();
                devices[device].state = devices[device].state.refold(&devices[device].log);
            }
            Act::Choose { device, at } => {
                if !devices[device].differences().conflicts.is_empty() {
                    devices[device].choose(at);
                }
            }
            Act::Draw { device, seed } => {
                if devices[device].state.frame.is_none() && !devices[device].state.boxes.is_empty() {
                    devices[device].draw(if seed { "1 2 3" } else { "3 2 1" });
                }
            }
        }
    }
    devices
}

fn laws(acts: &[Act], order: &[usize]) -> Result<(), TestCaseError> {
    let devices = play(acts);
    let mut met = devices[order[0]].clone();
    for device in order {
        met.hear(&devices[*device]);
    }
    let mut other = devices[0].clone();
    other.hear(&devices[1]);
    other.hear(&devices[2]);
    let before = met.differences();
    prop_assert_eq!(&before, &other.differences());
    prop_assert_eq!(before.conflicts.len(), met.state.disagreements().count());
    for conflict in &before.conflicts {
        prop_assert!(conflict.looks.len() > 1);
        let counts = met.state.answer(conflict.subject, &conflict.question);
        prop_assert_eq!(counts, Some(&conflict.looks[0].value));
    }
    // Each is settled by one choice, which is one entry; then all are undone, the last first.
    let mut choices = Vec::new();
    while !met.differences().conflicts.is_empty() {
        let made = met.choose(1);
        prop_assert!(!made.is_empty());
        choices.extend(made.last().copied());
        prop_assert!(choices.len() <= before.conflicts.len());
    }
    let after = met.differences();
    prop_assert_eq!(choices.len(), before.conflicts.len());
    prop_assert_eq!(&after.repeats, &before.repeats);
    prop_assert_eq!(after.n_open() + before.conflicts.len(), before.n_open());
    for choice in choices.into_iter().rev() {
        met.tell(Command::Undo(choice)).unwrap();
    }
    prop_assert_eq!(met.differences(), before);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    #[ignore = "minutes: cargo xtask test --long runs it"]
    fn differences_follow_from_the_entries_and_choices_are_undone_a_hundred_thousand_times(acts in prop::collection::vec(act(), 0..25), order in Just(vec![0usize, 1, 2]).prop_shuffle()) {
        laws(&acts, &order)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn differences_follow_from_the_entries_and_choices_are_undone(acts in prop::collection::vec(act(), 0..40), order in Just(vec![0usize, 1, 2]).prop_shuffle()) {
        laws(&acts, &order)?;
    }
}
