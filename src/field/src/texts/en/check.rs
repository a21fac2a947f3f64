//! Checking boxes and tapes.

use survey::ItemId;
use survey::Serial;
use survey::progress::Outcome;

use crate::journeys::check::About;

pub const NOT_DRAWN_TITLE: &str = "No sample yet";
pub const NOT_DRAWN: &str = "Draw the sample first; then this is where you work through it.";
pub const TO_SAMPLE: &str = "To the draw";

pub const LATE_ROUND: &str = "Boxes found after the draw";
pub const BOXES: &str = "The boxes of this round";
pub const FOUND_ONE: &str = "I found a box that is not on the list";
pub const COMPLETE_LEAD: &str = "Every box of it has its answer. Stop here with a fair sample, or go on.";
pub const SEE_RESULTS: &str = "See what the figures say";
pub const SWITCH_TO_DRAW: &str = "Time is short: walk in the order drawn";
pub const SWITCH_NOTE: &str = "From now on you may stop after any box and the figures stay fair.";
pub const ALSO: &str = "What else";
pub const CHANGE_ROUND: &str = "Other rounds";

pub const WHY: &str = "What is meant, and why";
pub const CANT_TELL: &str = "Can\u{2019}t tell";
pub const CANT_TELL_HINT: &str = "Always an answer. Never guess.";
pub const PHOTOGRAPHED: &str = "Photographed, read later";
pub const PHOTOGRAPHED_HINT: &str = "A picture was taken; somebody reads it in the evening.";
pub const DONE: &str = "Done";
pub const LEAVE_OUT: &str = "Leave this out";
pub const BACK: &str = "Back";
pub const TO_ROUND: &str = "To the round";
pub const ERASE: &str = "Erase";
pub const EMPTY_BOX: &str = "The box is empty";
pub const CANT_COUNT: &str = "Can\u{2019}t tell: it cannot be counted today";
pub const MORE_KINDS: &str = "Other kinds";
pub const ONE_LESS: &str = "One less";
pub const ONE_MORE: &str = "One more";
pub const NOTE: &str = "A note";
pub const NOTE_HINT: &str = "Anything else that somebody should know.";
pub const CAUTION: &str = "Caution";
pub const STOP: &str = "Stop and read";
pub const MIND: &str = "Before you open it";
pub const MIND_MOULD: &str =
    "Look for mould before you smell anything. Mould, droppings, water: shut the box and say so here.";
pub const GENERAL: &str = "This is general caution, not professional advice. Follow local law and your organisation\u{2019}s rules; where in doubt stop and call a licensed professional.";

pub const NEXT_BOX: &str = "Next box";
pub const NEXT_TAPE: &str = "Next tape";
pub const BOX_ENDS: &str = "Close the box and put it back";
pub const FINISH_ROUND: &str = "To the end of the round";
pub const CHANGE: &str = "Change";
pub const MAY_ADD: &str = "You may add";
pub const ANSWERS: &str = "What you answered";
pub const FINDINGS: &str = "What this points to";
pub const NOTHING_POINTS: &str = "Nothing points to trouble. That is not proof of soundness.";
pub const CANNOT_SAY: &str = "What cannot be said";
pub const SPEAKS_FOR: &str = "Points to it";
pub const SPEAKS_AGAINST: &str = "Speaks against it";
pub const NOT_LOOKED: &str = "Not looked at, or could not be told";
pub const DOES_NOT_FIT: &str = "Does not fit together";
pub const NEXT_STEP: &str = "Next step";
pub const KEYS: &str = "With a keyboard: a digit chooses that answer, Backspace goes back, Enter is Done.";
pub const THEN_SHEET: &str = "Then: what it points to";
pub const THEN_BOX: &str = "Then: the tapes that were drawn";
pub const KNOWN_FROM: &str = "Known from";
pub const HANDLING: &str = "Handling";
pub const PLAN: &str = "In the plan";
pub const PEOPLE: &str = "People";
pub const PLAYING: &str = "How much is on it";
pub const ASK_FIRST: &str = "Put aside: ask first";
pub const ASK_FIRST_HINT: &str = "For a colleague or a professional. It stays in the sample.";
pub const ASIDE: &str = "Put aside, to ask about";
pub const PILE_LEAD: &str =
    "Tapes nobody here could judge. Each has a card to send to a colleague or a professional.";
pub const PILE_EMPTY: &str = "Nothing is put aside. A tape\u{2019}s sheet has the mark for it.";
pub const TO_CARD: &str = "Its card";
pub const TO_CARD_LONG: &str = "Its card, to send or print";
pub const CARD_LEAD: &str = "What was seen and what is asked, on one page that opens anywhere.";
pub const CARD_QUESTION: &str = "What do you want to know?";
pub const CARD_QUESTION_HINT: &str = "In your own words; it stands first on the page.";
pub const CARD_SEEN: &str = "What was seen";
pub const CARD_PHOTOS: &str = "Photographs are not in the page: send them beside it.";
pub const CARD_SAVE: &str = "Save the page";
pub const CARD_PRINT: &str = "Print";
pub const CARD_SAVED: &str = "The page is among your downloads";
pub const CARD_NOT_SAVED: &str = "The page was not saved";
pub const BACK_TO_TAPE: &str = "Back to the tape";

pub const KINDS_BEFORE: &str = "As before, kind and size in one tap:";
pub const CANT_READ: &str = "Written, but can\u{2019}t be read";
pub const PHOTOGRAPHED_SHORT: &str = "Photographed";
pub const ALONE: &str = "Answer this one by itself";

pub const BATCH_HINT: &str = "A batch is what one person recorded on one machine in one way. What holds for all of it is answered \
                              once; a tape\u{2019}s own answer counts more.";
pub const BATCH_CHOOSE: &str = "Which batch is it in?";
pub const NO_BATCH: &str = "In no batch";
pub const BATCH_NEW: &str = "A new batch";
pub const BATCH_NEW_HINT: &str = "A name you will know again: the recordist, the machine, the series.";
pub const BATCH_BEGIN: &str = "Put it into this new batch";
pub const BATCH_OPEN: &str = "Not answered yet";
pub const BATCH_INSTEAD: &str = "Take the batch\u{2019}s answer for this tape";
pub const BATCH_FOR_ALL: &str = "Answer for every tape of this batch, as the recordist or the papers say.";
pub const BATCH_TAKES_ALL: &str = "The tape is then in that batch and shares all it says.";
pub const NOTHING: &str = "taken out";
pub const NOT_IN_ROUND: &str = "This box is not in the sample";
pub const NOT_IN_ROUND_WHY: &str = "Checking it would bend the figures. Go back to the round.";
pub const UNDO: &str = "Undo";

/// What is asked after this.
pub fn then(question: &str) -> String {
    format!("Then: {question}")
}

pub fn round(number: u32) -> String {
    if number == 0 {
        LATE_ROUND.to_owned()
    } else {
        format!("Round {number}")
    }
}

pub fn begin_round(number: u32) -> String {
    if number == 0 {
        "Begin the boxes found later".to_owned()
    } else {
        format!("Begin round {number}")
    }
}

pub fn complete(number: u32) -> String {
    format!("{} is complete", round(number))
}

pub fn boxes_done(done: usize, all: usize) -> String {
    format!("{done} of {all} boxes")
}

pub fn go_to(serial: Serial, place: &str) -> String {
    format!("Go to box {serial}, {place}")
}

pub fn go_on_with(serial: Serial) -> String {
    format!("Go on with box {serial}")
}

pub fn box_title(serial: Serial) -> String {
    format!("Box {serial}")
}

pub fn box_here(round: &str, serial: Serial, place: &str) -> String {
    format!("{round} \u{b7} Box {serial} \u{b7} {place}")
}

pub fn item_here(item: ItemId, nth: usize, of: usize) -> String {
    format!(
        "Box {} \u{b7} Tape {nth} of {of}, number {} from the left",
        item.serial, item.position
    )
}

pub fn item_title(item: ItemId) -> String {
    format!("Tape {} of box {}", item.position, item.serial)
}

pub fn take_out(position: u32) -> String {
    format!("Take number {position}, counted from the left, then front to back")
}

pub fn outcome(outcome: Outcome, items: u32) -> String {
    match outcome {
        Outcome::Checked if items == 0 => "Checked: empty".to_owned(),
        Outcome::Checked => format!("Checked: {items} counted"),
        Outcome::NotReached => "Not reached".to_owned(),
        Outcome::Stopped => "Stopped for a hazard".to_owned(),
        Outcome::Uncounted => "Opened, not counted".to_owned(),
        Outcome::OutOfScope => "Holds nothing in scope".to_owned(),
    }
}

pub const UNTOUCHED: &str = "Not visited yet";
pub const BEGUN: &str = "Begun";

pub fn tapes_left(done: usize, all: usize) -> String {
    format!("{done} of {all} tapes checked")
}

pub fn said(question: &str, answer: &str) -> String {
    format!("{question} \u{2013} {answer}")
}

pub fn strength(title: &str, word: &str) -> String {
    format!("{title}: {word}")
}

pub fn hours(low: f64, likely: f64, high: f64) -> String {
    if (high - low).abs() < 0.005 {
        format!("About {} of content.", duration(likely))
    } else {
        format!(
            "About {} of content; between {} and {}.",
            duration(likely),
            duration(low),
            duration(high)
        )
    }
}

/// Hours as hours and minutes.
pub fn duration(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    if minutes < 120.0 {
        format!("{minutes} min")
    } else {
        format!("{} h {} min", (minutes / 60.0).floor(), minutes % 60.0)
    }
}

pub fn selected(n: usize) -> String {
    match n {
        0 => "Nothing marked yet".to_owned(),
        1 => "One marked".to_owned(),
        n => format!("{n} marked"),
    }
}

pub fn counted(n: u32) -> String {
    if n == 1 {
        "1 carrier".to_owned()
    } else {
        format!("{n} carriers")
    }
}

pub fn out_of_range(least: f64, most: f64, unit: &str) -> String {
    format!("Between {least} and {most} {unit}, please. If it cannot be measured: can\u{2019}t tell.")
}

/// The title and the lead of a screen that takes several questions together.
pub fn together(about: About) -> (&'static str, &'static str) {
    match about {
        About::Danger => (
            "Any mould or animals?",
            "Only look, lamp from the side. Mark what is there: mould seen or suspected, shut the box.",
        ),
        About::Signs => (
            "What is there to see?",
            "Mark what is there. What you leave unmarked, you looked for and did not find.",
        ),
        About::Label => (
            "What do label and box tell?",
            "Mark what is written. Papers stay where they are; the box may not be the tape\u{2019}s own.",
        ),
    }
}

pub fn together_done(is_label: bool, n: usize) -> String {
    match (is_label, n) {
        (false, 0) => "I looked: nothing of this".to_owned(),
        (true, 0) => "Nothing is written".to_owned(),
        (_, 1) => "One marked, nothing else".to_owned(),
        (_, n) => format!("{n} marked, nothing else"),
    }
}

pub fn explain(is_on: bool) -> &'static str {
    if is_on {
        "Hide the explanations"
    } else {
        "Explain each of them"
    }
}

pub fn pile(n: usize) -> String {
    format!("{ASIDE}: {n}")
}

pub fn card_title(item: ItemId) -> String {
    format!("Ask first: tape {} of box {}", item.position, item.serial)
}

pub fn found_at(place: &str, more: &str) -> String {
    match (place, more) {
        (place, "") => place.to_owned(),
        ("", more) => more.to_owned(),
        (place, more) => format!("{place} \u{b7} {more}"),
    }
}

pub fn batch_is(name: Option<&str>) -> String {
    match name {
        Some(name) => format!("Batch: {name}"),
        None => "Batch: none".to_owned(),
    }
}

pub fn batch_says(name: &str) -> String {
    format!("For every tape of {name}")
}

/// What a batch is asked, in a word.
pub fn batch_question<'a>(key: &str, short: &'a str) -> &'a str {
    match key {
        "speed" => "Speed",
        "tracks" => "Tracks",
        "machine" => "Machine",
        _ => short,
    }
}

pub fn batch_title(name: &str, question: &str) -> String {
    format!("Batch {name}: {question}")
}

pub fn batch_and_own(batch: &str, own: &str) -> String {
    format!("{batch}; this tape\u{2019}s own: {own}")
}

pub fn batch_does_not_fit(batch: &str) -> String {
    format!("{batch}; tells nothing of this carrier")
}

pub fn batch_as_here(own: &str) -> String {
    format!("As on this tape: {own}")
}

pub fn as_in_batch(name: &str, answer: &str) -> String {
    format!("As in batch {name}: {answer}")
}

pub fn shared_by(answer: &str, name: &str) -> String {
    format!("{answer}, shared by batch {name}")
}

/// What is recorded of a tape beside the questions.
pub fn own_question(key: &str) -> &str {
    match key {
        "aside" => ASIDE,
        "note" => NOTE,
        "ask" => CARD_QUESTION,
        "batch" => "Batch",
        "photos_read" => "Photographs read",
        written if written.starts_with("written_") => super::reading::written(written),
        "photo" => super::photos::TAKEN,
        "rest_alike" => super::alike::REST_SHORT,
        other => other,
    }
}
