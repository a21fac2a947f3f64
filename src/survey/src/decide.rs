//! What a person asks for, turned into entries or a refusal. Pure: time, identity and seeds are handed in.

use tape::Answer;

use crate::differ::draws;
use crate::entry::{Content, Entry, NewBox, SeedSource, Walk};
use crate::format::{MAX_BOXES_PER_ENTRY, MAX_ENTRY_BYTES};
use crate::frame;
use crate::id::{DeviceId, EntryId, Key, PlaceKey, StratumKey, Subject, WriterId};
use crate::log::Log;
use crate::origin::{Origin, Way};
use crate::photo::{self, Photo};
use crate::serial::Serial;
use crate::state::{NAME, State};

/// Who writes, on what, when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Author {
    /// The tab session.
    pub writer: WriterId,
    /// The device.
    pub device: DeviceId,
    /// Its name.
    pub device_name: String,
    /// Who holds it.
    pub person: String,
    /// Program and version.
    pub app: String,
    /// Who looks while this person taps; empty if it is the same one.
    pub looked: String,
    /// The clock, milliseconds since 1970 UTC.
    pub now_ms: u64,
}

/// Something a person asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Begin the survey.
    Begin {
        /// Its title.
        title: String,
        /// Whether the collection is invented.
        practice: bool,
    },
    /// Name a stratum.
    AddStratum {
        /// Its name.
        name: String,
    },
    /// Name a place.
    AddPlace {
        /// The stratum of its boxes.
        stratum: StratumKey,
        /// Its name.
        name: String,
    },
    /// Call a place or a stratum otherwise; its key, and so the draw, stays.
    Rename {
        /// The place or stratum.
        subject: Subject,
        /// Its new name.
        name: String,
    },
    /// List boxes. Serials are given here.
    AddBoxes {
        /// Where they stand.
        place: PlaceKey,
        /// The boxes, in shelf order.
        boxes: Vec<BoxToList>,
    },
    /// Take a box off the list, before it is closed.
    Withdraw(Serial),
    /// Close the list of boxes.
    CloseFrame,
    /// Open the list again; only before a draw.
    ReopenFrame,
    /// Draw.
    Roll {
        /// The seed as given.
        seed: String,
        /// Where it came from.
        source: SeedSource,
        /// Boxes a round, 4 to 6.
        round_size: u32,
        /// Items checked a box; all if `None`.
        items_per_box: Option<u32>,
    },
    /// Begin a round, or change how it is walked.
    BeginRound {
        /// Its number, from 1; 0 for boxes found after the draw.
        number: u32,
        /// The order of the walk.
        walk: Walk,
    },
    /// Answer a question, in place of this device's earlier answer to it.
    Answer {
        /// About what.
        subject: Subject,
        /// The question.
        question: String,
        /// The answer.
        value: Answer,
    },
    /// Several answers at once, kept or lost together: the quick look, say.
    AnswerAll {
        /// About what.
        subject: Subject,
        /// Question and answer.
        answers: Vec<(String, Answer)>,
    },
    /// Several answers at once that came to be in another way than question by question.
    AnswerBy {
        /// About what.
        subject: Subject,
        /// Question and answer.
        answers: Vec<(String, Answer)>,
        /// In what way.
        way: Way,
    },
    /// Of answers that differ, or of two entries with one id, find one right: a new answer in the place of all that
    /// count.
    Choose {
        /// About what.
        subject: Subject,
        /// The question.
        question: String,
        /// The entry of the answer that was found right.
        chosen: EntryId,
        /// What it says: two entries can have one id.
        value: Answer,
    },
    /// A photograph was taken and kept.
    AddPhoto {
        /// Of what: a box or an item.
        subject: Subject,
        /// The photograph.
        photo: Photo,
    },
    /// Undo an entry.
    Undo(EntryId),
    /// Undo this writer's last answer, or listing, that is not undone yet.
    UndoLast,
}

/// A box to list.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BoxToList {
    /// What is written on it.
    pub label: String,
    /// How full it looks, in quarters (1 to 4).
    pub quarters: Option<u8>,
    /// Items in it by an earlier list.
    pub listed_items: Option<u32>,
}

/// Why nothing was written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The survey was begun already.
    #[error("the survey was begun already")]
    BegunAlready,
    /// Nothing was begun.
    #[error("the survey was not begun")]
    NotBegun,
    /// A name, title or seed with nothing in it.
    #[error("{0} is empty")]
    Empty(&'static str),
    /// A seed or name with a control character (a tab or a line end, say).
    #[error("{0} has a control character")]
    ControlCharacter(&'static str),
    /// No such stratum.
    #[error("no stratum {0}")]
    NoStratum(StratumKey),
    /// No such place.
    #[error("no place {0}")]
    NoPlace(PlaceKey),
    /// No such box.
    #[error("no box {0}")]
    NoBox(Serial),
    /// The list is closed.
    #[error("the list of boxes is closed")]
    FrameClosed,
    /// The list is still open.
    #[error("the list of boxes is still open")]
    FrameOpen,
    /// Nothing is on the list.
    #[error("no boxes are listed")]
    NoBoxes,
    /// The list cannot be opened again after a draw.
    #[error("a sample was drawn from the list")]
    Drawn,
    /// Nothing was drawn yet.
    #[error("no sample was drawn")]
    NotDrawn,
    /// There is no such round.
    #[error("no round {0}")]
    NoRound(u32),
    /// A round of this size, or this many items, makes no sense.
    #[error("{0} is out of range")]
    OutOfRange(&'static str),
    /// More boxes than serials.
    #[error("no serials are left")]
    NoSerials,
    /// A number that is not finite.
    #[error("not a number")]
    NotANumber,
    /// Text that would make an entry longer than any that is read: [`MAX_ENTRY_BYTES`].
    #[error("too long for one entry")]
    TooLong,
    /// Nothing of this writer's is left to undo.
    #[error("nothing to undo")]
    NothingToUndo,
    /// An entry that may not be undone this way.
    #[error("this cannot be undone")]
    NotUndoable,
    /// There is no such answer to choose.
    #[error("there is no such answer to choose")]
    NoSuchAnswer,
    /// Another window of the same device writes in this survey. Said by whoever holds the log, never by [`decide`].
    #[error("another window writes in this survey")]
    WrittenElsewhere,
}

/// Turns a command into entries. An empty list means that it would change nothing.
///
/// # Errors
/// A [`Refusal`]; nothing is to be written then.
pub fn decide(log: &Log, state: &State, author: &Author, command: Command) -> Result<Vec<Entry>, Refusal> {
    if !state.is_begun() && !matches!(command, Command::Begin { .. }) {
        return Err(Refusal::NotBegun);
    }
    let contents = contents(log, state, author, command)?;
    if contents.is_empty() {
        return Ok(Vec::new());
    }
    let first = log.next_n(author.writer);
    let session = (first == 0).then(|| Content::Session {
        device: author.device,
        device_name: author.device_name.clone(),
        person: author.person.clone(),
        app: author.app.clone(),
    });
    let all = session.into_iter().chain(contents);
    let entries: Vec<Entry> = all
        .zip(first..)
        .map(|(content, n)| {
            Entry::write(
                log.survey(),
                EntryId {
                    writer: author.writer,
                    n,
                },
                author.now_ms,
                content,
            )
        })
        .collect();
    // Written is not enough: what is longer could never be read again.
    if entries.iter().any(|entry| entry.bytes.len() > MAX_ENTRY_BYTES) {
        return Err(Refusal::TooLong);
    }
    Ok(entries)
}

fn contents(log: &Log, state: &State, author: &Author, command: Command) -> Result<Vec<Content>, Refusal> {
    let tag = if state.founder().is_none_or(|founder| founder == author.device) {
        0
    } else {
        author.device.tag()
    };
    let one = |content| Ok(vec![content]);
    match command {
        Command::Begin { title, practice } => {
            if state.is_begun() {
                return Err(Refusal::BegunAlready);
            }
            one(Content::Begin {
                title: named(&title, "the title")?,
                practice,
            })
        }
        Command::AddStratum { name } => {
            open(state)?;
            let key = StratumKey(Key {
                tag,
                number: state.next_stratum_number(tag),
            });
            one(Content::Stratum {
                key,
                name: named(&name, "the name")?,
            })
        }
        Command::AddPlace { stratum, name } => {
            if !state.strata.contains_key(&stratum) {
                return Err(Refusal::NoStratum(stratum));
            }
            let key = PlaceKey(Key {
                tag,
                number: state.next_place_number(tag),
            });
            one(Content::Place {
                key,
                stratum,
                name: named(&name, "the name")?,
            })
        }
        Command::Rename { subject, name } => {
            let name = named(&name, "the name")?;
            if state.name_of(subject) == Some(name.as_str()) {
                return Ok(Vec::new());
            }
            let answers = vec![(NAME.to_owned(), Answer::Text(name))];
            answer(state, author, subject, answers, String::new())
        }
        Command::AddBoxes { place, boxes } => list(state, tag, place, boxes),
        Command::Withdraw(serial) => {
            open(state)?;
            known(state, serial)?;
            one(Content::Withdraw { serial })
        }
        Command::CloseFrame => close(log, state),
        Command::ReopenFrame => match (state.draw.is_some(), state.closings()) {
            (true, _) => Err(Refusal::Drawn),
            (false, []) => Err(Refusal::FrameOpen),
            (false, closings) => Ok(closings.iter().map(|of| Content::Undo { of: *of }).collect()),
        },
        Command::Roll {
            seed,
            source,
            round_size,
            items_per_box,
        } => {
            let frame = state.frame.as_ref().ok_or(Refusal::FrameOpen)?.entry;
            if !(2..=50).contains(&round_size) {
                return Err(Refusal::OutOfRange("the size of a round"));
            }
            if items_per_box == Some(0) {
                return Err(Refusal::OutOfRange("the number of items a box"));
            }
            let instead = state
                .rolls
                .iter()
                .filter(|roll| !state.is_undone(roll.entry))
                .map(|roll| roll.entry);
            let seed = named(&seed, "the seed")?;
            one(Content::Roll {
                frame,
                seed,
                source,
                round_size,
                items_per_box,
                instead: instead.collect(),
            })
        }
        Command::BeginRound { number, walk } => {
            let draw = state.draw.as_ref().ok_or(Refusal::NotDrawn)?;
            if draw.round(number).is_empty() {
                return Err(Refusal::NoRound(number));
            }
            if state.rounds.get(&number) == Some(&walk) {
                return Ok(Vec::new());
            }
            one(Content::Round {
                roll: draw.roll,
                number,
                walk,
                instead: state.round_heads(number).to_vec(),
            })
        }
        Command::Answer {
            subject,
            question,
            value,
        } => answer(state, author, subject, vec![(question, value)], String::new()),
        Command::AnswerAll { subject, answers } => answer(state, author, subject, answers, String::new()),
        Command::AnswerBy {
            subject,
            answers,
            way,
        } => answer(state, author, subject, answers, way.to_string()),
        Command::Choose {
            subject,
            question,
            chosen,
            value,
        } => choose(log, state, subject, question, chosen, value),
        Command::AddPhoto { subject, photo } => {
            exists(state, subject)?;
            let n_bytes = usize::try_from(photo.n_bytes).unwrap_or(usize::MAX);
            if !photo::is_sha256(&photo.sha256) || !(1..=photo::MAX_BYTES).contains(&n_bytes) {
                return Err(Refusal::OutOfRange("the photograph"));
            }
            // The same picture of the same thing twice is a slip of the finger.
            if state
                .photos_of(subject)
                .any(|taken| taken.photo.sha256 == photo.sha256)
            {
                return Ok(Vec::new());
            }
            one(Content::Photo { subject, photo })
        }
        Command::Undo(of) => {
            let entry = log.entry(of).ok_or(Refusal::NothingToUndo)?;
            if state.is_undone(of) {
                return Ok(Vec::new());
            }
            match entry.content() {
                Content::Answer { .. }
                | Content::Photo { .. }
                | Content::Undo { .. }
                | Content::Round { .. } => one(Content::Undo { of }),
                Content::Stratum { .. }
                | Content::Place { .. }
                | Content::Boxes { .. }
                | Content::Withdraw { .. } => {
                    open(state)?;
                    one(Content::Undo { of })
                }
                // Of draws that stand beside each other one can be put aside; it stays in the log, like every roll.
                Content::Roll { .. } => {
                    let rivals = draws::heads(log.others(), |id| state.is_undone(id));
                    let is_rival = rivals.len() > 1 && rivals.iter().any(|rival| rival.id == of);
                    is_rival
                        .then(|| vec![Content::Undo { of }])
                        .ok_or(Refusal::NotUndoable)
                }
                _ => Err(Refusal::NotUndoable),
            }
        }
        Command::UndoLast => {
            let last = last_undoable(log, state, author.writer).ok_or(Refusal::NothingToUndo)?;
            one(Content::Undo { of: last })
        }
    }
}

/// The writer's last entry that [`Command::UndoLast`] would undo.
#[must_use]
pub fn last_undoable(log: &Log, state: &State, writer: WriterId) -> Option<EntryId> {
    let next = log.next_n(writer);
    let frame_open = state.frame.is_none();
    (0..next).rev().map(|n| EntryId { writer, n }).find(|id| {
        let undoable = log.entry(*id).is_some_and(|entry| match entry.content() {
            Content::Answer { .. } | Content::Photo { .. } => true,
            Content::Place { .. } | Content::Boxes { .. } | Content::Withdraw { .. } => frame_open,
            _ => false,
        });
        undoable && !state.is_undone(*id)
    })
}

fn answer(
    state: &State,
    author: &Author,
    subject: Subject,
    answers: Vec<(String, Answer)>,
    from: String,
) -> Result<Vec<Content>, Refusal> {
    exists(state, subject)?;
    // Who looked is said of what can be looked at; settings of the survey are nobody's look. The session says who held the
    // device when it began: whoever looks now, if it is another, is named beside.
    let now = match author.looked.trim() {
        "" => author.person.trim(),
        looked => looked,
    };
    let session = state.writers.get(&author.writer);
    let began = session.map_or(author.person.as_str(), |writer| writer.person.as_str());
    let is_look = matches!(subject, Subject::Box(_) | Subject::Item(_));
    let looked = if is_look && now != began.trim() { now } else { "" };
    let mut contents = Vec::new();
    for (question, value) in answers {
        if let Answer::Number(number) = value
            && !number.is_finite()
        {
            return Err(Refusal::NotANumber);
        }
        let heads = state.heads(subject, &question);
        // Settings and names have one value; about a box or an item, another device's look is a look of its own.
        let ours = |writer: WriterId| {
            state
                .writers
                .get(&writer)
                .is_some_and(|known| known.device == author.device)
        };
        let replaced: Vec<_> = heads
            .iter()
            .filter(|head| !is_look || ours(head.entry.writer))
            .collect();
        if replaced.len() == 1 && replaced[0].value == value {
            continue;
        }
        let instead = replaced.iter().map(|head| head.entry).collect();
        contents.push(Content::Answer {
            subject,
            question,
            value,
            instead,
            origin: Origin {
                looked: looked.to_owned(),
                from: from.clone(),
            },
        });
    }
    Ok(contents)
}

/// A choice among the answers that count and those of their twins.
fn choose(
    log: &Log,
    state: &State,
    subject: Subject,
    question: String,
    chosen: EntryId,
    value: Answer,
) -> Result<Vec<Content>, Refusal> {
    let heads = state.heads(subject, &question);
    let is_this = |content: &Content| {
        matches!(content, Content::Answer { subject: about, question: asked, value: said, .. }
            if *about == subject && *asked == question && *said == value)
    };
    let is_head = heads
        .iter()
        .any(|head| head.entry == chosen && head.value == value);
    // Of an id that was taken twice the entry that stands can be found right as well as the others.
    let has_twins = log.twins().any(|(id, _)| *id == chosen);
    let stands = || log.entry(chosen).is_some_and(|entry| is_this(entry.content()));
    let is_twin = || {
        let same_id = log.twins().filter(|(id, _)| *id == chosen);
        same_id
            .filter_map(|(_, bytes)| Entry::read(bytes).ok())
            .any(|twin| is_this(twin.content()))
    };
    if !(is_head || has_twins && (stands() || is_twin())) {
        return Err(Refusal::NoSuchAnswer);
    }
    if let [only] = heads
        && only.value == value
        && !(only.entry == chosen && has_twins)
    {
        return Ok(Vec::new());
    }
    Ok(vec![Content::Answer {
        subject,
        question,
        value,
        instead: heads.iter().map(|head| head.entry).collect(),
        origin: Origin {
            looked: String::new(),
            from: Way::Chosen(chosen).to_string(),
        },
    }])
}

fn exists(state: &State, subject: Subject) -> Result<(), Refusal> {
    match subject {
        Subject::Survey => Ok(()),
        Subject::Stratum(key) => state
            .strata
            .contains_key(&key)
            .then_some(())
            .ok_or(Refusal::NoStratum(key)),
        Subject::Place(key) => state
            .places
            .contains_key(&key)
            .then_some(())
            .ok_or(Refusal::NoPlace(key)),
        Subject::Box(serial) => known(state, serial),
        Subject::Item(item) => known(state, item.serial),
    }
}

fn list(state: &State, tag: u8, place: PlaceKey, boxes: Vec<BoxToList>) -> Result<Vec<Content>, Refusal> {
    if !state.places.contains_key(&place) {
        return Err(Refusal::NoPlace(place));
    }
    let first = state.next_serial_number(tag);
    let fits = u32::try_from(boxes.len())
        .ok()
        .and_then(|n| first.checked_add(n))
        .is_some_and(|end| end <= Serial::MAX_NUMBER + 1);
    if !fits {
        return Err(Refusal::NoSerials);
    }
    let numbered: Vec<NewBox> = boxes
        .into_iter()
        .zip(first..)
        .map(|(listed, number)| NewBox {
            serial: Serial { tag, number },
            label: listed.label,
            quarters: listed.quarters.filter(|quarters| (1..=4).contains(quarters)),
            listed_items: listed.listed_items,
        })
        .collect();
    Ok(numbered
        .chunks(MAX_BOXES_PER_ENTRY)
        .map(|boxes| Content::Boxes {
            place,
            boxes: boxes.to_vec(),
        })
        .collect())
}

fn close(log: &Log, state: &State) -> Result<Vec<Content>, Refusal> {
    open(state)?;
    let upto = state.counts().clone();
    let (boxes, _) = frame::boxes_upto(log, &upto);
    let n_boxes = u32::try_from(boxes.len()).map_err(|_| Refusal::NoSerials)?;
    if n_boxes == 0 {
        return Err(Refusal::NoBoxes);
    }
    Ok(vec![Content::Close {
        upto,
        n_boxes,
        digest: frame::digest(&boxes),
    }])
}

fn open(state: &State) -> Result<(), Refusal> {
    if state.frame.is_some() {
        Err(Refusal::FrameClosed)
    } else {
        Ok(())
    }
}

fn known(state: &State, serial: Serial) -> Result<(), Refusal> {
    state
        .boxes
        .contains_key(&serial)
        .then_some(())
        .ok_or(Refusal::NoBox(serial))
}

/// A name without spaces at its ends, not empty, without control characters.
fn named(text: &str, what: &'static str) -> Result<String, Refusal> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Refusal::Empty(what));
    }
    if text.chars().any(char::is_control) {
        return Err(Refusal::ControlCharacter(what));
    }
    Ok(text.to_owned())
}
