//! A small invented survey, written entry by entry through `survey::decide`, as the app writes one.
#![allow(
    clippy::unwrap_used,
    reason = "a test's own helper: what cannot be made is a failed test"
)]

use std::collections::{BTreeMap, BTreeSet};

use handover::{Day, Parts};
use survey::decide::BoxToList;
use survey::entry::{SeedSource, Walk};
use survey::progress::Step;
use survey::{Author, Command, DeviceId, Key, Log, PlaceKey, State, StratumKey, Subject, SurveyId, WriterId};
use tape::{Answer, Answers, Kind, Path, Question};

pub(crate) fn parts() -> Parts {
    Parts {
        date: Day::from_ms(1_795_592_883_000).unwrap(),
        app: handover::APP.to_owned(),
        organization: None,
        contact: None,
    }
}

/// Somebody who writes.
pub(crate) struct Surveyor {
    pub(crate) log: Log,
    pub(crate) state: State,
    pub(crate) author: Author,
}

impl Surveyor {
    pub(crate) fn new(first: u8, log: Log) -> Self {
        let author = Author {
            writer: WriterId([first; 16]),
            device: DeviceId([first; 16]),
            device_name: "=telephone".to_owned(),
            person: "@ Somebody, \"quoted\"".to_owned(),
            app: parts().app,
            looked: String::new(),
            now_ms: 1_795_592_883_000,
        };
        let state = State::fold(&log);
        Self { log, state, author }
    }

    pub(crate) fn ask(&mut self, command: Command) {
        self.author.now_ms += 7_000;
        let entries = survey::decide(&self.log, &self.state, &self.author, command).unwrap();
        for entry in entries {
            self.log.insert(entry).unwrap();
        }
        self.state = State::fold(&self.log);
    }

    /// Checks a whole round, answering by a hash of subject, question and `salt`.
    pub(crate) fn check_round(&mut self, number: u32, salt: &str) {
        self.ask(Command::BeginRound {
            number,
            walk: Walk::Shelf,
        });
        loop {
            let subject = match self.state.next_step(number) {
                Step::Box(serial) => Subject::Box(serial),
                Step::Item(item) => Subject::Item(item),
                Step::RoundComplete => break,
            };
            self.answer_all(subject, salt);
        }
    }

    fn answer_all(&mut self, subject: Subject, salt: &str) {
        let mut answers: Answers = self.state.answers(subject);
        let path = |answers: &Answers| -> Path {
            match subject {
                Subject::Item(item) => {
                    tape::item_path_in(&self.state.answers(Subject::Box(item.serial)), answers)
                }
                _ => tape::box_path(answers),
            }
        };
        let mut given = Vec::new();
        while !path(&answers).done {
            let Some(question) = path(&answers).next else {
                break;
            };
            let answer = answer(subject, question, &answers, salt);
            answers.insert(question.key.to_owned(), answer.clone());
            given.push((question.key.to_owned(), answer));
        }
        self.ask(Command::AnswerAll {
            subject,
            answers: given,
        });
    }
}

/// A number below `n` that depends on nothing but the words.
fn dice(n: u32, words: &[&str]) -> u32 {
    let rank = sampling::rank::rank("fixture", "answers", "", &words.join(" ")).unwrap();
    let [a, b, c, d, ..] = rank.0;
    u32::from_be_bytes([a, b, c, d]) % n
}

fn answer(subject: Subject, question: &'static Question, answers: &Answers, salt: &str) -> Answer {
    let at = subject.to_string();
    let dice = |n: u32, what: &str| dice(n, &[&at, question.key, what, salt]);
    if dice(12, "whether") == 0 && question.kind == Kind::One && question.key != "outcome" {
        return Answer::one(tape::CANT_TELL);
    }
    match question.kind {
        Kind::Counts => {
            let carriers = ["reel_quarter", "cassette", "video"];
            let counts = carriers.iter().map(|key| ((*key).to_owned(), dice(5, key)));
            Answer::Counts(counts.collect::<BTreeMap<_, _>>())
        }
        Kind::Number { .. } => Answer::Number(3.0),
        Kind::Text => Answer::Text("=HYPERLINK(\"x\")".to_owned()),
        Kind::One | Kind::Many => {
            let choices = tape::choices(question, answers);
            // Most boxes open and most things are as they should be: the first choice, mostly.
            let at = if dice(3, "first") > 0 {
                0
            } else {
                dice(u32::try_from(choices.len()).unwrap(), "which")
            };
            let key = choices[usize::try_from(at).unwrap()].key.to_owned();
            match question.kind {
                Kind::Many => Answer::Many(BTreeSet::from([key])),
                _ => Answer::One(key),
            }
        }
    }
}

/// A survey of 31 boxes in two strata, with four rounds checked, one re-roll, three boxes found after the draw, and
/// some texts that look like formulas.
pub(crate) fn surveyed() -> Surveyor {
    let mut it = Surveyor::new(0x11, Log::new(SurveyId([0xa7; 16])));
    set_up(&mut it);
    for number in 1..=4 {
        it.check_round(number, "first look");
    }
    let place = PlaceKey(Key { tag: 0, number: 2 });
    it.ask(Command::AddBoxes {
        place,
        boxes: vec![BoxToList::default(); 3],
    });
    it.check_round(0, "found later");
    it
}

/// 31 boxes in two strata, drawn twice.
pub(crate) fn set_up(it: &mut Surveyor) {
    it.ask(Command::Begin {
        title: "Invented cellar <1>".to_owned(),
        practice: true,
    });
    for (index, (name, n)) in [("Room & one", 20), ("+Room two", 11)].into_iter().enumerate() {
        let number = u32::try_from(index).unwrap() + 1;
        let key = Key { tag: 0, number };
        it.ask(Command::AddStratum {
            name: name.to_owned(),
        });
        it.ask(Command::AddPlace {
            stratum: StratumKey(key),
            name: format!("Shelf {number}"),
        });
        let boxes = (0..n).map(|i| BoxToList {
            label: format!("-{i}"),
            quarters: u8::try_from(i % 4 + 1).ok(),
            listed_items: None,
        });
        it.ask(Command::AddBoxes {
            place: PlaceKey(key),
            boxes: boxes.collect(),
        });
    }
    it.ask(Command::CloseFrame);
    for (seed, source) in [
        ("3 1 4 1 5", SeedSource::Dice),
        ("sechs würfel", SeedSource::Witness),
    ] {
        it.ask(Command::Roll {
            seed: seed.to_owned(),
            source,
            round_size: 5,
            items_per_box: Some(4),
        });
    }
    let note = ("note".to_owned(), Answer::Text("=1+1".to_owned()));
    it.ask(Command::AnswerAll {
        subject: Subject::Survey,
        answers: vec![note],
    });
}
