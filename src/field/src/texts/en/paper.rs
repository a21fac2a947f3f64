//! Round sheets on paper, and typing them in.

use survey::Serial;

pub const SHEETS: &str = "Sheets for a day without a phone";
pub const SHEETS_LEAD: &str = "One sheet a box, with its serial and the questions to tick. Print them, or save them as a PDF by the print dialogue.";
pub const PRINT: &str = "Print the sheets";
pub const PLACE: &str = "Place";
pub const LOOKED_BY: &str = "Looked at by";
pub const DAY: &str = "Day";
pub const POSITIONS: &str = "Which tapes, counted from the left, then front to back";
pub const NUMBER_OF_TAPE: &str = "Tape number";
pub const HOW_MANY: &str = "how many";
pub const STOP_LINE: &str =
    "Mould, droppings, water, a smell that bites: shut the box, tick it, go on with the next.";
pub const PUT_DOWN: &str = "Growing, wet or alive: tick it, put it down, leave the rest of this tape empty.";
pub const NOTES: &str = "Notes";
pub const TYPE_IN: &str = "Type in sheets from paper";
pub const TYPE_LEAD: &str = "Numbers are those beside the boxes on the sheet. Enter goes on.";
pub const SERIAL: &str = "Serial on the sheet, with its check digit";
pub const SERIAL_HINT: &str = "As 0012-3.";
pub const FILLED_BY: &str = "Who looked, as on the sheet";
pub const SHEET_DAY: &str = "Day on the sheet";
pub const SHEET_DAY_HINT: &str = "As 2026-11-25.";
pub const OPEN: &str = "Open this box";
pub const ANSWER: &str = "Number, or numbers with spaces; 0 is can\u{2019}t tell";
pub const ANSWER_NUMBER: &str = "The number written; ? is can\u{2019}t tell";
pub const ANSWER_COUNTS: &str =
    "Kind x how many, with spaces: 1x12 2x3. A minus sign is an empty box; 0 is can\u{2019}t tell";
pub const ANSWER_TEXT: &str = "As written";
pub const TAKE: &str = "Enter";
pub const BOX_DONE: &str = "This box is typed in.";
pub const NEXT_SHEET: &str = "Next sheet";
pub const BAD_SERIAL: &str = "The check digit does not fit, or it is no serial. Look again.";
pub const BAD_DAY: &str = "Write the day as 2026-11-25, or leave it empty.";
pub const NO_NUMBER: &str = "That number is not on the sheet for this question.";
pub const NOT_OFFERED: &str = "That answer does not fit what was answered before. Look at the sheet again.";
pub const ONE_ONLY: &str = "This question takes one answer.";
pub const ALONE: &str = "That answer goes with no other.";
pub const NOT_UNDERSTOOD: &str = "This is not understood.";

pub fn not_drawn(serial: Serial) -> String {
    format!("Box {serial} is not in a round that was begun.")
}

/// Which positions are checked from so many tapes on.
pub fn positions(from: u32, positions: &[u32]) -> String {
    let numbers: Vec<String> = positions.iter().map(u32::to_string).collect();
    format!("from {from} tapes: {}", numbers.join(", "))
}

pub fn all_up_to(n: u32) -> String {
    match n {
        1 => "1 tape: it".to_owned(),
        n => format!("up to {n} tapes: all"),
    }
}

pub fn tape(nth: u32) -> String {
    format!("Tape {nth} of this sheet")
}
