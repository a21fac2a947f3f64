//! The survey that a surveyor would have brought home: every command given as the app gives it.

use handover::{APP, watchlist};
use survey::decide::BoxToList;
use survey::entry::{SeedSource, Walk};
use survey::progress::Step;
use survey::{
    Author, Command, DeviceId, EntryId, ItemId, Key, Log, PlaceKey, Serial, State, StratumKey, Subject,
    SurveyId, WriterId, decide,
};

use super::dice::Dice;
use super::photos;
use super::scenario::{self, GROUPS, PLACES};
use super::truth::Collection;

/// How the survey is made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plan {
    pub(super) rounds: u32,
    pub(super) round_size: u32,
    pub(super) items_per_box: u32,
    /// Which visit to the collection it is, from 1: a later one is a survey of its own, with a draw of its own.
    pub(super) visit: u64,
    /// The round in which the log comes to so many entries is the last.
    pub(super) entries: Option<usize>,
    /// So many photographs, of the items in the sample.
    pub(super) photos: u64,
}

/// 1 June 2026, 08:00 UTC: the practice survey has no clock, each entry is some seconds after the one before.
const START_MS: u64 = 1_780_300_800_000;
const STEP_MS: u64 = 6_000;

/// One person with one phone.
struct Surveyor {
    log: Log,
    state: State,
    author: Author,
    /// Entries that the state has not taken up yet.
    pending: Vec<EntryId>,
}

impl Surveyor {
    fn new(collection: Collection, visit: u64) -> Self {
        let mut dice = Dice::of(collection.seed, "identity", [collection.n_boxes, visit - 1]);
        let mut id = || {
            let mut bytes = [0; 16];
            for byte in &mut bytes {
                *byte = u8::try_from(dice.below(256)).unwrap_or(0);
            }
            bytes
        };
        let log = Log::new(SurveyId(id()));
        let author = Author {
            writer: WriterId(id()),
            device: DeviceId(id()),
            device_name: "Practice phone".to_owned(),
            person: scenario::SURVEYOR.to_owned(),
            app: APP.to_owned(),
            looked: String::new(),
            now_ms: START_MS,
        };
        Self {
            state: State::fold(&log),
            log,
            author,
            pending: Vec::new(),
        }
    }

    /// Gives a command; the state is brought up to date by [`Surveyor::settle`] where the next command rests on it.
    fn give(&mut self, command: Command) -> Result<(), String> {
        self.author.now_ms += STEP_MS;
        let entries =
            decide(&self.log, &self.state, &self.author, command).map_err(|refusal| refused(&refusal))?;
        for entry in entries {
            self.pending.push(entry.id);
            self.log.insert(entry).map_err(|error| refused(&error))?;
        }
        Ok(())
    }

    fn settle(&mut self) {
        let pending = std::mem::take(&mut self.pending);
        self.state.take_up(&self.log, &pending);
    }
}

fn refused(why: &dyn std::fmt::Display) -> String {
    format!("the practice survey could not be made: {why}")
}

/// Sets the survey up, draws, and checks `plan.rounds` rounds (fewer if there are no more).
pub(super) fn survey(collection: Collection, plan: Plan) -> Result<Log, String> {
    let mut surveyor = Surveyor::new(collection, plan.visit);
    surveyor.give(Command::Begin {
        title: scenario::TITLE.to_owned(),
        practice: true,
    })?;
    surveyor.settle();
    set_up(&mut surveyor, collection)?;
    let seed = (0..12).map(|_| ()).scan(
        Dice::of(collection.seed, "throws", [plan.visit - 1, 0]),
        |dice, ()| Some(dice.between(1, 6).to_string()),
    );
    surveyor.give(Command::Roll {
        seed: seed.collect::<Vec<_>>().join(" "),
        source: SeedSource::Dice,
        round_size: plan.round_size,
        items_per_box: Some(plan.items_per_box),
    })?;
    surveyor.settle();
    let n_rounds = surveyor.state.draw.as_ref().map_or(0, |draw| draw.rounds.len());
    for number in 1..=plan.rounds.min(u32::try_from(n_rounds).unwrap_or(u32::MAX)) {
        round(&mut surveyor, collection, number)?;
        if plan.entries.is_some_and(|n| surveyor.log.entries().len() >= n) {
            break;
        }
    }
    photograph(&mut surveyor, collection, plan.photos)?;
    Ok(surveyor.log)
}

fn photograph(surveyor: &mut Surveyor, collection: Collection, n_photos: u64) -> Result<(), String> {
    if n_photos == 0 {
        return Ok(());
    }
    let checked = surveyor.state.sample(false).into_iter();
    let subjects: Vec<Subject> = checked.map(|(drawn, ..)| Subject::Box(drawn.serial)).collect();
    for (subject, photo) in photos::named(collection, &subjects, n_photos)? {
        surveyor.give(Command::AddPhoto { subject, photo })?;
    }
    surveyor.settle();
    Ok(())
}

fn set_up(surveyor: &mut Surveyor, collection: Collection) -> Result<(), String> {
    let list = watchlist::read(scenario::WATCH_LIST.as_bytes())
        .map_err(|problems| refused(&format!("{:?}", problems.named)))?;
    surveyor.give(Command::Answer {
        subject: Subject::Survey,
        question: watchlist::QUESTION.to_owned(),
        value: watchlist::answer(&list),
    })?;
    surveyor.settle();
    for group in GROUPS {
        surveyor.give(Command::AddStratum {
            name: group.to_owned(),
        })?;
        surveyor.settle();
    }
    let mut row = 1;
    for (index, n_boxes) in scenario::apportion(collection.n_boxes).into_iter().enumerate() {
        let place = &PLACES[index];
        let stratum = StratumKey(Key {
            tag: 0,
            number: u32::try_from(place.group + 1).unwrap_or(1),
        });
        surveyor.give(Command::AddPlace {
            stratum,
            name: place.name.to_owned(),
        })?;
        surveyor.settle();
        let boxes = (row..row + n_boxes).map(|row| {
            let made = collection.make(row);
            BoxToList {
                label: made.label,
                quarters: Some(made.quarters),
                listed_items: made.listed_items,
            }
        });
        let key = PlaceKey(Key {
            tag: 0,
            number: u32::try_from(index + 1).unwrap_or(1),
        });
        surveyor.give(Command::AddBoxes {
            place: key,
            boxes: boxes.collect(),
        })?;
        surveyor.settle();
        row += n_boxes;
    }
    surveyor.give(Command::CloseFrame)?;
    surveyor.settle();
    Ok(())
}

fn round(surveyor: &mut Surveyor, collection: Collection, number: u32) -> Result<(), String> {
    surveyor.give(Command::BeginRound {
        number,
        walk: Walk::Draw,
    })?;
    surveyor.settle();
    for drawn in surveyor.state.walk(number) {
        check(surveyor, collection, drawn.serial)?;
    }
    surveyor.settle();
    match surveyor.state.next_step(number) {
        Step::RoundComplete => Ok(()),
        step => Err(refused(&format!("round {number} is left at {step:?}"))),
    }
}

fn check(surveyor: &mut Surveyor, collection: Collection, serial: Serial) -> Result<(), String> {
    let of = collection.make(u64::from(serial.number));
    let n_items = u32::try_from(of.items.len()).unwrap_or(u32::MAX);
    let positions = surveyor
        .state
        .draw
        .as_ref()
        .map_or(Vec::new(), |draw| draw.positions(serial, n_items));
    let visit = collection.visit(&of, |position| positions.contains(&position));
    for (question, value) in visit.answers {
        surveyor.give(Command::Answer {
            subject: Subject::Box(serial),
            question: question.to_owned(),
            value,
        })?;
    }
    for (position, answers) in (1..).zip(visit.items) {
        let subject = Subject::Item(ItemId { serial, position });
        for (question, value) in answers {
            surveyor.give(Command::Answer {
                subject,
                question: question.to_owned(),
                value,
            })?;
        }
    }
    Ok(())
}
