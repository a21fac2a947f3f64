//! Entries of helpers, as the app would write them.
#![allow(dead_code, reason = "each test uses a part of it")]

use survey::{Content, Entry, EntryId, ItemId, Log, Origin, Serial, Subject, SurveyId, WriterId};
use tape::Answer;

/// The survey of every test.
pub(crate) const SURVEY: SurveyId = SurveyId([0xa7; 16]);

/// `SplitMix64` (Steele, Lea and Flood 2014): small, and the same everywhere.
pub(crate) struct Dice(pub u64);

impl Dice {
    /// 64 random bits.
    pub(crate) fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// One of the numbers below `n`.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.roll() % n as u64).unwrap()
    }
}

/// A writer's name that looks like chance, as in the app.
pub(crate) fn writer(number: u64) -> WriterId {
    let mut dice = Dice(number);
    let mut name = [0; 16];
    name[..8].copy_from_slice(&dice.roll().to_be_bytes());
    name[8..].copy_from_slice(&dice.roll().to_be_bytes());
    WriterId(name)
}

/// An entry of a writer.
pub(crate) fn entry(
    writer: WriterId,
    n: u64,
    at_ms: u64,
    question: &str,
    choice: &str,
    place: (u32, u32),
) -> Entry {
    let item = ItemId {
        serial: Serial {
            tag: 0,
            number: place.0,
        },
        position: place.1,
    };
    let content = Content::Answer {
        subject: Subject::Item(item),
        question: question.to_owned(),
        value: Answer::one(choice),
        instead: Vec::new(),
        origin: Origin::default(),
    };
    Entry::write(SURVEY, EntryId { writer, n }, at_ms, content)
}

/// What one helper writes in a day, in `sessions` sittings: ten answers a tape, some of them with one tap.
pub(crate) fn a_day(n_entries: usize, sessions: usize, seed: u64) -> Log {
    const QUESTIONS: [(&str, &[&str]); 10] = [
        ("hazard", &["none"]),
        ("carrier", &["reel_quarter", "cassette", "dat"]),
        ("size", &["r7", "r5", "r10"]),
        ("light", &["glows", "dark"]),
        ("back", &["glossy", "matt"]),
        ("wind", &["even", "steps", "loose"]),
        ("shape", &["flat", "flat", "flat", "cupped"]),
        ("free_end", &["lies", "lies", "clings"]),
        ("residue", &["none", "none", "none", "brown"]),
        ("speed", &["s7_5", "s3_75", "cant_tell"]),
    ];
    let mut dice = Dice(seed);
    let mut log = Log::new(SURVEY);
    let mut now = 1_795_592_890_000;
    let a_session = n_entries.div_ceil(sessions);
    for index in 0..n_entries {
        let (question, choices) = QUESTIONS[index % 10];
        if ![6, 7, 8].contains(&(index % 10)) {
            now += 900 + dice.roll() % 8_000;
        }
        let number = u32::try_from(index / 40).unwrap() + 1;
        let position = u32::try_from(index % 40 / 10).unwrap() + 1;
        let who = writer(seed * 1_000 + (index / a_session) as u64);
        let n = (index % a_session) as u64;
        let choice = choices[dice.below(choices.len())];
        log.insert(entry(who, n, now, question, choice, (number, position)))
            .unwrap();
    }
    log
}
