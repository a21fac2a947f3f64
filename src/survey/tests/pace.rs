//! How long a box takes, and the rule for stopping as it is kept.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use survey::decide::BoxToList;
use survey::entry::{SeedSource, Walk};
use survey::{
    Author, Command, DeviceId, Log, Serial, State, Subject, SurveyId, Way, WriterId, decide, pace, stopping,
};
use tape::Answer;

const MINUTE: u64 = 60_000;

struct Device {
    author: Author,
    log: Log,
    state: State,
}

impl Device {
    /// Thirty boxes, drawn in rounds of five; round 1 begun.
    fn drawn() -> Self {
        let log = Log::new(SurveyId([7; 16]));
        let author = Author {
            writer: WriterId([1; 16]),
            device: DeviceId([1; 16]),
            device_name: String::new(),
            person: String::new(),
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
            boxes: vec![BoxToList::default(); 30],
        });
        device.tell(Command::CloseFrame);
        device.tell(Command::Roll {
            seed: "3 1".to_owned(),
            source: SeedSource::Dice,
            round_size: 5,
            items_per_box: Some(4),
        });
        device.begin(1);
        device
    }

    fn begin(&mut self, number: u32) {
        self.tell(Command::BeginRound {
            number,
            walk: Walk::Draw,
        });
    }

    fn tell(&mut self, command: Command) {
        for entry in decide(&self.log, &self.state, &self.author, command).unwrap() {
            self.log.insert(entry).unwrap();
        }
        self.state = self.state.refold(&self.log);
    }

    fn round(&self, number: u32) -> Vec<Serial> {
        let drawn = self.state.draw.as_ref().unwrap().round(number);
        drawn.into_iter().map(|drawn| drawn.serial).collect()
    }

    /// Two taps finish a box that could not be opened; they come `minutes` after one another.
    fn finish(&mut self, serial: Serial, minutes: [u64; 2]) {
        let answers = [("outcome", "not_opened"), ("outcome_reason", "locked")];
        for ((question, key), minutes) in answers.into_iter().zip(minutes) {
            self.author.now_ms += minutes * MINUTE;
            self.tell(Command::Answer {
                subject: Subject::Box(serial),
                question: question.to_owned(),
                value: Answer::one(key),
            });
        }
    }

    fn minutes(&self) -> Vec<f64> {
        pace::minutes_a_box(&self.state).collect()
    }
}

#[test]
fn the_walk_to_a_box_is_part_of_it_and_a_pause_is_not() {
    let mut device = Device::drawn();
    let round = device.round(1);
    device.finish(round[0], [2, 3]);
    device.finish(round[1], [4, 1]);
    // Lunch, and then a clock that was put back.
    device.finish(round[2], [90, 6]);
    device.author.now_ms -= 30 * MINUTE;
    device.finish(round[3], [0, 2]);
    let mut minutes = device.minutes();
    minutes.sort_by(f64::total_cmp);
    assert_eq!(minutes, [2.0, 5.0, 5.0, 6.0]);
    assert_eq!(pace::recent_median(minutes.iter().copied()), Some(5.0));
    assert_eq!(
        pace::recent_median(minutes[..2].iter().copied()),
        None,
        "too few to say"
    );
}

#[test]
fn a_box_that_is_not_finished_and_what_is_typed_from_paper_say_nothing_of_the_pace() {
    let mut device = Device::drawn();
    let round = device.round(1);
    device.author.now_ms += MINUTE;
    device.tell(Command::Answer {
        subject: Subject::Box(round[0]),
        question: "outcome".to_owned(),
        value: Answer::one("found_opened"),
    });
    assert_eq!(device.minutes(), [] as [f64; 0]);
    device.author.now_ms += MINUTE;
    device.tell(Command::AnswerBy {
        subject: Subject::Box(round[1]),
        answers: vec![
            ("outcome".to_owned(), Answer::one("not_opened")),
            ("outcome_reason".to_owned(), Answer::one("locked")),
        ],
        way: Way::Paper("2026-11-25".to_owned()),
    });
    assert_eq!(device.minutes(), [] as [f64; 0]);
}

#[test]
fn the_pace_is_that_of_the_boxes_finished_last() {
    let slow_then_quick: Vec<f64> = (0..20).map(|n| if n < 12 { 30.0 } else { 7.0 }).collect();
    assert_eq!(pace::recent_median(slow_then_quick.into_iter()), Some(7.0));
    assert_eq!(pace::recent_median([1.0, 2.0, 3.0, 10.0].into_iter()), Some(2.5));
}

#[test]
fn a_rule_is_read_back_as_it_was_chosen_and_only_before_the_first_box() {
    let mut device = Device::drawn();
    assert!(device.state.may_choose_rule());
    assert_eq!(device.state.stopping_rule(), None);
    let rule = stopping::usual(5, 6, 412);
    assert_eq!((rule.minimum, rule.batch, rule.maximum), (24, 12, 120));
    assert_eq!(stopping::usual(10, 5, 30).looks(), [20, 30]);
    for (question, value) in [
        (stopping::RULE, stopping::to_answer(&rule)),
        (stopping::CONDITION, Answer::one("acid_odour")),
    ] {
        device.tell(Command::Answer {
            subject: Subject::Survey,
            question: question.to_owned(),
            value,
        });
    }
    assert_eq!(device.state.stopping_rule(), Some((rule, "acid_odour")));
    device.finish(device.round(1)[0], [1, 1]);
    assert!(!device.state.may_choose_rule());
}

#[test]
fn whole_rounds_are_counted_from_the_first_on_without_a_gap() {
    let mut device = Device::drawn();
    device.begin(2);
    for serial in device.round(2) {
        device.finish(serial, [1, 1]);
    }
    assert_eq!(device.state.boxes_in_whole_rounds(), 0, "round 1 is not done");
    for serial in device.round(1) {
        device.finish(serial, [1, 1]);
    }
    assert_eq!(device.state.boxes_in_whole_rounds(), 10);
}

#[test]
fn shelves_have_every_box_in_order_and_mark_those_of_the_round() {
    let mut device = Device::drawn();
    let round = device.round(1);
    device.finish(round[0], [1, 1]);
    let shelves = device.state.shelves(1);
    assert_eq!(shelves.len(), 1);
    let boxes = &shelves[0].boxes;
    assert!(boxes.iter().map(|on_shelf| on_shelf.nth).eq(1..=30));
    assert!(boxes.is_sorted_by_key(|on_shelf| on_shelf.serial));
    let marked: Vec<Serial> = boxes
        .iter()
        .filter(|b| b.drawn.is_some())
        .map(|b| b.serial)
        .collect();
    let mut drawn = round.clone();
    drawn.sort();
    assert_eq!(marked, drawn);
    let done = boxes
        .iter()
        .filter(|b| matches!(b.drawn, Some(survey::progress::BoxStatus::Finished(_))));
    assert_eq!(done.count(), 1);
}
