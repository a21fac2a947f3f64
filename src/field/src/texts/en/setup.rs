//! Setting a survey up.

use sampling::plan::Collection;

use crate::capability::pick_file::PickError;

pub const STEP_TIME: &str = "the time you have";
pub const STEP_ABOUT: &str = "why and for whom";
pub const STEP_SCOPE: &str = "what is in scope";
pub const STEP_BEFORE: &str = "before you go";
pub const STEP_PLACES: &str = "where the boxes are";
pub const STEP_BOXES: &str = "how many there are";
pub const STEP_CLOSE: &str = "closing the list";
pub const STEP_SAMPLE: &str = "drawing the sample";

// The time you have.
pub const TIME_TITLE: &str = "How long have you got?";
pub const TIME_LEAD: &str = "Hours with your hands on boxes: half a day leaves two or three of them.";
pub const HOURS: &str = "Hours of checking";
pub const MINUTES: &str = "Minutes a box, to begin with";
pub const MINUTES_HINT: &str = "Ten is a fair guess. Your real pace is learned as you go.";
pub const FEWER_HOURS: &str = "One hour less";
pub const MORE_HOURS: &str = "One hour more";
pub const FEWER_MINUTES: &str = "One minute less";
pub const MORE_MINUTES: &str = "One minute more";

pub fn buys_boxes(boxes: u32) -> String {
    match boxes {
        0 | 1 => "That is too little for a sample: two boxes are the least.".to_owned(),
        n => format!(
            "That is about {n} boxes, in rounds of four to six. Every complete round counts, whenever you must stop."
        ),
    }
}

pub const BUYS: &str = "What that buys";
pub const BUYS_WHAT: &str =
    "How closely you would know the share of a fault that one tape in five has, and the number of tapes:";

/// "3 hours: 18 boxes, the share to within 10 percentage points, the number to within 24%".
pub fn buys(hours: u32, boxes: u64, points: f64, percent: f64) -> String {
    let hours = if hours == 1 {
        "1 hour".to_owned()
    } else {
        format!("{hours} hours")
    };
    format!(
        "{hours}: {boxes} boxes, the share to within {:.0} percentage points, the number to within {:.0}%",
        points.ceil(),
        percent.ceil()
    )
}

pub fn buys_guesses(guess: &Collection) -> String {
    format!(
        "A forecast, with 95% confidence, from guesses until the first round is in: {} boxes in all, about {:.0} tapes \
         in a box and {:.0} of them checked, tapes of a box somewhat alike.",
        guess.boxes, guess.mean_items, guess.checked_per_box
    )
}

// Why and for whom.
pub const ABOUT_TITLE: &str = "Why, and for whom?";
pub const ABOUT_LEAD: &str = "A line each. It stands at the top of everything you hand over.";
pub const NAME: &str = "What the survey is called";
pub const FOR_WHOM: &str = "Who asked for it";
pub const PURPOSE: &str = "What will be decided with it";
pub const PURPOSE_HINT: &str = "A budget, an order of work, whether to accept a gift\u{2026}";
pub const PERSON: &str = "Your name or initials";
pub const PERSON_HINT: &str = "Written beside every answer you give.";

// What is in scope.
pub const SCOPE_TITLE: &str = "What counts?";
pub const SCOPE_LEAD: &str =
    "Mark what belongs to the survey. Video and other media are tallied, not checked.";
pub const SCOPE: [(&str, &str, &str); 5] = [
    ("originals", "Originals", "The only recording there is."),
    ("copies", "Copies", "Working, safety or listening copies."),
    ("blanks", "Blank tapes", "Unused, or nobody knows."),
    ("commercial", "Commercial releases", "Bought recordings."),
    (
        "transferred",
        "Already transferred",
        "Tapes of which a good file exists.",
    ),
];

// Before you go.
pub const BEFORE_TITLE: &str = "Before you go";
pub const BEFORE_LEAD: &str = "Mark what is done. None of it is required; each has spoilt somebody's day.";
pub const BEFORE: [(&str, &str, &str); 8] = [
    (
        "access",
        "Access",
        "Who has the key, the light switch, the lift, until when?",
    ),
    (
        "permission",
        "Permission",
        "To open boxes, to take photographs, to move things.",
    ),
    (
        "company",
        "Somebody knows",
        "Where you are, and when you will be back. There is often no signal.",
    ),
    (
        "water",
        "Damp and water",
        "Was there ever a flood or mould? Then ask a specialist before you open anything.",
    ),
    (
        "recordist",
        "The recordist",
        "Is anybody left who knows the machines, the speeds, the tracks?",
    ),
    (
        "deadline",
        "The deadline",
        "Is anything decided before your figures are there?",
    ),
    (
        "kit",
        "In the bag",
        "Lamp, pencil and slips, gloves, a mask, a tape measure, power for the phone.",
    ),
    (
        "offline",
        "The phone",
        "Open \u{201c}This device\u{201d} and see that it is ready for no signal.",
    ),
];
pub const PEOPLE_MORE: &str = "What may hurt people";
pub const PEOPLE_FIRST: &str = "People first";
pub const PEOPLE_TEXT: &str = "You look, you smell from a distance, you shine a lamp. Nothing is unwound, rubbed, wetted, heated or played.";

// Where the boxes are.
pub const PLACES_TITLE: &str = "Where are the boxes?";
pub const PLACES_LEAD: &str = "Name each shelf, bay or heap you can count in one go.";
pub const PLACE_NAME: &str = "A place";
pub const PLACE_HINT: &str =
    "As you would say it to a colleague: \u{201c}cellar, left wall, second shelf\u{201d}.";
pub const ADD_PLACE: &str = "Add this place";
pub const PLACES_SO_FAR: &str = "Places so far";
pub const NO_PLACES: &str = "None yet.";
pub const GROUPS: &str = "Groups";
pub const GROUPS_WHY: &str = "One group is enough for most collections. Make another only if a part is likely to be quite \
                              different (a second room, another owner) and you want figures for it by itself.";
pub const GROUPS_SMALL: &str = "Statisticians say stratum. Each group is sampled by itself, at least two boxes of it. \
                                Few groups are better than many.";
pub const GROUP_NAME: &str = "Another group";
pub const ADD_GROUP: &str = "Add this group";
pub const WHICH_GROUP: &str = "Group of this place";
pub const OR_LIST: &str = "There is a list already";

pub fn place_boxes(boxes: usize) -> String {
    match boxes {
        0 => "no boxes yet".to_owned(),
        1 => "1 box".to_owned(),
        n => format!("{n} boxes"),
    }
}

// How many there are.
pub const BOXES_TITLE: &str = "How many boxes?";
pub const BOXES_LEAD: &str = "Choose a place and count along it, or take in a list that somebody made.";
pub const BOXES_NO_PLACES: &str = "Name a place first.";
pub const TO_PLACES: &str = "Name places";
pub const TAKE_LIST: &str = "Paste or import a list";
pub const TOTAL: &str = "In all";
pub const COUNT_LEAD: &str =
    "Tap once for each box, in the order they stand. Pencil its number on a slip and put it in.";
pub const ONE_MORE: &str = "One more box";
pub const SEVERAL: &str = "Several at once";
pub const SEVERAL_HINT: &str = "For a long shelf: count first, then add them all.";
pub const HOW_MANY: &str = "How many boxes";
pub const FEWER: &str = "One fewer";
pub const MORE: &str = "One more";
pub const AS_FOUND: &str = "With what is written on it";
pub const LABEL: &str = "Written on the box";
pub const ADD_LABELLED: &str = "Add this box";
pub const LISTED: &str = "Boxes here";
pub const SHOW_ALL: &str = "Show all";
pub const TAKE_OFF: &str = "Take off the list";
pub const HOW_FULL: &str = "One tap says how full it looks: that sharpens every total.";
pub const PLACE_GONE: &str = "This place is not on the list";
pub const BACK_TO_PLACES: &str = "Other places";
pub const LATE: &str = "The list is closed";
pub const LATE_TEXT: &str = "Boxes you add now are kept apart as found after the list was closed. They count as a group of their own.";

pub fn add_several(boxes: u32) -> String {
    if boxes == 1 {
        "Add 1 box".to_owned()
    } else {
        format!("Add {boxes} boxes")
    }
}

pub fn added(first: &str, last: &str, boxes: usize) -> String {
    if boxes == 1 {
        format!("Box {last} listed")
    } else {
        format!("{boxes} boxes listed, {first} to {last}")
    }
}

pub fn place_listed(name: &str) -> String {
    format!("Place listed: {name}")
}

pub fn taken_off(serial: &str) -> String {
    format!("Box {serial} taken off the list")
}

pub fn answered(serial: &str, answer: &str) -> String {
    format!("Box {serial}: {answer}")
}

pub fn show_all(boxes: usize) -> String {
    format!("Show {boxes} more")
}

pub fn fullness_of(serial: &str) -> String {
    format!("How full is box {serial}?")
}

pub fn take_off(serial: &str) -> String {
    format!("Take box {serial} off the list")
}

// A list that somebody made.
pub const LIST_TITLE: &str = "A list of boxes";
pub const LIST_LEAD: &str =
    "Paste it from a spreadsheet, or choose a CSV file. Nothing is taken in before all of it can be read.";
pub const LIST_COLUMNS: &str = "The first row names the columns: place and label, and if you have them group, full (1 to 4 \
                                quarters) and items. Any order; commas, semicolons or tabs.";
pub const LIST_EXAMPLE: &str =
    "place,label,full\nCellar shelf 1,Interviews A,4\nCellar shelf 1,Interviews B,2";
pub const LIST_TEXT: &str = "The list";
pub const LIST_FILE: &str = "Choose a file";
pub const LIST_TAKE: &str = "Take it in";
pub const LIST_WRONG: &str = "Nothing was taken in";
pub const LIST_EMPTY: &str = "Paste a list or choose a file first.";
pub const LIST_READING: &str = "Reading the list\u{2026}";
pub const LIST_UNDO: &str = "Take it all back";
pub const LIST_UNDONE: &str = "The list was taken back.";
pub const LIST_LONG: &str = "The file is long; its first lines are shown. All of it is taken in.";

pub fn list_problems(named: usize, count: usize) -> String {
    match count {
        1 => "One thing is wrong with the list. It stays as you pasted it:".to_owned(),
        n if n == named => format!("{n} things are wrong with the list. It stays as you pasted it:"),
        n => format!(
            "{n} things are wrong with the list, the first {named} are these. It stays as you pasted it:"
        ),
    }
}

pub fn list_progress(done: usize, all: usize) -> String {
    format!("{done} of {all} boxes listed")
}

pub fn list_done(boxes: usize, places: usize) -> String {
    let places = if places == 1 {
        "1 place".to_owned()
    } else {
        format!("{places} places")
    };
    format!("Taken in: {} in {places}.", place_boxes(boxes))
}

pub fn list_stopped(why: &str) -> String {
    format!("Taking it in stopped half-way: {why}")
}

pub fn file_trouble(error: &PickError) -> String {
    match error {
        PickError::Nothing => "No file was chosen.".to_owned(),
        PickError::TooLarge { bytes, most } => {
            format!(
                "The file has {} MB; at most {} MB are read.",
                bytes / 1_000_000,
                most / 1_000_000
            )
        }
        PickError::Unreadable(why) => format!("The device could not read the file: {why}"),
    }
}

// Closing the list.
pub const CLOSE_TITLE: &str = "Is that all of them?";
pub const CLOSED_TITLE: &str = "The list is closed";
pub const CLOSE_LEAD: &str = "The lot is drawn from this list, so it is closed first: then nobody can say that boxes were \
                              added or left out to suit the draw.";
pub const CLOSED_LEAD: &str = "The sample can be drawn now.";
pub const CLOSE_UNDO_WHY: &str = "You can open it again until a sample is drawn. Boxes that turn up later are not lost: they \
                                  become a group of their own.";
pub const CLOSE: &str = "Close the list";
pub const REOPEN: &str = "Open it again";
pub const TO_SAMPLE: &str = "Draw the sample";
pub const SEAL: &str = "Its seal";
pub const SEAL_WHY: &str = "A fingerprint of the closed list. Read its first letters to a witness or note them down: another \
                            list would have another.";
pub const DRAWN_ALREADY: &str = "A sample was drawn from it, so it stays closed.";
pub const SMALL_GROUP: &str = "A group with a single box";
pub const NOTHING_LISTED: &str = "No boxes are listed yet.";
pub const BACK_TO_BOXES: &str = "List boxes";

pub fn small_group(names: &str) -> String {
    format!(
        "{names}: with one box, nothing can be said about how boxes differ there. Better put it into another group."
    )
}

pub fn group_counts(group: &str, boxes: usize, places: usize) -> String {
    let places = if places == 1 {
        "1 place".to_owned()
    } else {
        format!("{places} places")
    };
    format!("{group}: {} in {places}", place_boxes(boxes))
}

// The watch-list.
pub const WATCH_LINK: &str = "Your watch-list";
pub const WATCH_LINK_WHY: &str =
    "Do you know tapes that turned sticky, or sour? Keep a list of them; the check then looks out for them.";
pub const WATCH_TITLE: &str = "Your watch-list";
pub const WATCH_LEAD: &str = "Tapes you know, or were told of, that behave in a certain way. It is your own list and travels with this survey.";
pub const WATCH_ENTRIES: &str = "On the list";
pub const WATCH_NONE: &str = "Nothing is on it yet";
pub const WATCH_NONE_TEXT: &str = "You can do without. If you keep one, take it in here as a table: where the make written on a \
                                   tape is like a name on your list, the tape\u{2019}s sheet says so and counts it as one sign among \
                                   others, a weaker one where only the box says it, for a box may be another tape\u{2019}s. \
                                   No list comes with the app.";
pub const WATCH_MAKE: &str = "Take in a table";
pub const WATCH_COLUMNS: &str = "The first row names the columns: name, behaviours, note and source. Behaviours are keys from the \
                                 list below, with semicolons between them; note and source are your own words.";
pub const WATCH_EXAMPLE: &str =
    "name,behaviours,note,source\n\"blue tin, lot unknown\",sticky_binder;oxide_loss,clings,own bench notes";
pub const WATCH_TEXT: &str = "The table, pasted";
pub const WATCH_REPLACES: &str =
    "It takes the place of the list above. Nothing is taken in before all of it can be read.";
pub const WATCH_KEYS: &str = "Keys for behaviours";
pub const WATCH_FILE_NAME: &str = "watch-list.csv";
pub const WATCH_UNDONE: &str = "It was taken back; the list is as it was before.";

pub fn watch_save(entries: usize) -> String {
    match entries {
        0 => "Save an empty table to fill in".to_owned(),
        n => format!("Save as a table ({})", watch_entries(n)),
    }
}

pub fn watch_done(entries: usize) -> String {
    format!("Taken in: {}", watch_entries(entries))
}

pub fn watch_problems(named: usize, count: usize) -> String {
    match count {
        1 => "One thing is wrong with the table. The list is as it was:".to_owned(),
        n if n == named => format!("{n} things are wrong with the table. The list is as it was:"),
        n => format!(
            "{n} things are wrong with the table, the first {named} are these. The list is as it was:"
        ),
    }
}

pub fn watch_source(source: &str) -> String {
    if source.is_empty() {
        "No source".to_owned()
    } else {
        format!("Known from: {source}")
    }
}

pub fn watch_hidden(entries: usize) -> String {
    format!("And {entries} more, in the table you save.")
}

fn watch_entries(entries: usize) -> String {
    if entries == 1 {
        "1 entry".to_owned()
    } else {
        format!("{entries} entries")
    }
}
