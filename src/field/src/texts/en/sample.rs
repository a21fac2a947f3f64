//! Drawing the sample.

use survey::entry::SeedSource;

pub const CLOSE_FIRST_TITLE: &str = "First close the list";
pub const CLOSE_FIRST: &str =
    "A sample is drawn from a list that nobody changes any more. Close the list of boxes, then come back.";
pub const TO_CLOSING: &str = "To closing the list";

pub const SEED_TITLE: &str = "Give the draw its seed";
pub const SEED_LEAD: &str = "The seed decides which boxes are checked. Whoever knows it can draw the same boxes again, so nobody can say they were picked.";
pub const STEP_SEED: &str = "the seed";
pub const STEP_ROUNDS: &str = "rounds";
pub const NEXT_CHECK: &str = "the first box";
pub const SOURCE: &str = "Where does the seed come from?";
pub const SEED: &str = "The seed";
pub const SEED_DICE_HINT: &str = "Throw a die ten times or more and type the numbers.";
pub const SEED_WITNESS_HINT: &str = "Words or numbers from somebody who does not know the shelves.";
pub const SEED_DEVICE_HINT: &str = "Made by this device just now. A witness or dice convince a doubter more.";
pub const ROUND_SIZE: &str = "Boxes in a round";
pub const ROUND_SIZE_HINT: &str =
    "A complete round is a fair sample whenever time runs out. Four to six is usual.";
pub const FEWER: &str = "One less";
pub const MORE: &str = "One more";
pub const ITEMS: &str = "How many tapes of a box are checked?";
pub const ITEMS_ALL: &str = "All of them";
pub const ITEMS_ALL_HINT: &str = "Right for small boxes.";
pub const DRAW: &str = "Draw the sample";
pub const SEED_MISSING: &str = "Type the seed first.";

pub const DRAWN_TITLE: &str = "The sample is drawn";
pub const WALK: &str = "How will you walk?";
pub const BEGIN: &str = "Begin round 1";
pub const GO_ON: &str = "Go on with the check";
pub const RECORD: &str = "What is on record";
pub const FIRST_ROUND: &str = "The first round";
pub const AGAIN: &str = "Draw again with another seed";
pub const AGAIN_NOTE: &str =
    "Drawing again is possible, but every draw stays on record and stands in the report.";
pub const KEEP: &str = "Keep this draw";

pub fn source(source: SeedSource) -> (&'static str, &'static str) {
    match source {
        SeedSource::Dice => ("Dice", "Thrown here, seen by all."),
        SeedSource::Witness => ("A witness", "Somebody says a word or a number."),
        SeedSource::Device => ("This device", "Its random generator. Quick."),
    }
}

pub fn items(n: u32) -> (String, String) {
    (
        format!("{n}, drawn at random"),
        format!("In a fuller box the draw names {n} of them."),
    )
}

pub fn drawn_lead(boxes: usize, rounds: usize) -> String {
    format!(
        "All {boxes} boxes stand in a random order, cut into {rounds} rounds. You check as many rounds as time allows."
    )
}

pub fn roll(number: usize, seed: &str, source: &str, in_force: bool) -> String {
    let force = if in_force { "in force" } else { "replaced" };
    format!("Draw {number}: seed \u{201c}{seed}\u{201d}, from {source}, {force}")
}

pub fn digest(digest: &str) -> String {
    format!("Fingerprint of the closed list: {digest}")
}

pub const WALK_SHELF: (&str, &str) = (
    "Along the shelves",
    "Less walking. A half-done round stays out of the main figures.",
);
pub const WALK_DRAW: (&str, &str) = (
    "In the order drawn",
    "More walking. You may stop after any box and the figures stay fair.",
);
