//! The shelves of a round, and what was found that must not wait.

use survey::Serial;

pub const MAP: &str = "Along the shelves";
pub const MAP_LEAD: &str =
    "The places of this round in walking order; its boxes are marked, done ones ticked.";
pub const LIST_ORDER: &str = "Counted in the order the boxes were listed. A box that was moved since then stands elsewhere: its serial decides.";
pub const FOUND: &str = "Found today: to set apart";
pub const FOUND_LEAD: &str = "What may hurt people or other tapes, and where it is. Tell whoever looks after the collection before you go.";
pub const FOUND_NONE: &str = "Nothing of the kind was found so far. That is not proof that there is none.";
pub const FOUND_NOTE: &str =
    "Nothing is carried about that is mouldy, wet or has droppings: close it, mark it, leave it, and say so.";
pub const PRINT: &str = "Print this list";
pub const DONE: &str = "done";
pub const TO_DO: &str = "to do";
pub const BEGUN: &str = "begun";

pub fn found(n: usize) -> String {
    format!("{FOUND}: {n}")
}

pub fn shelf(place: &str, n_drawn: usize, n_boxes: usize) -> String {
    format!("{place}: {n_drawn} of {n_boxes} boxes")
}

pub fn on_shelf(serial: Serial, nth: usize, status: &str) -> String {
    format!("Box {serial}, number {nth} along the shelf: {status}")
}
