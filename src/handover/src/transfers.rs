//! What the first transfers found, as a table: CSV with the columns `item`, `minutes` and `found`, in any order.
//!
//! An item is named as the app names it, `serial/position`, or by its box's label in the place of the serial. `found` holds
//! keys of conditions with spaces between them, `none` where there was none, and may be left out as a column.

use std::collections::{BTreeMap, BTreeSet};

use analysis::learned::{FOUND, MINUTES, NOTHING};
use survey::format::MAX_ENTRY_BYTES;
use survey::{ItemId, Serial, State};
use tape::Answer;

use crate::cells::{Cell, csv, unguarded};
pub use crate::table_in::MAX_NAMED;
use crate::table_in::{NoText, Opened, Twice, short, text};

/// The most minutes an item can hold: a week.
const MOST_MINUTES: f64 = 10_080.0;

/// What was found of one item.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// The item.
    pub item: ItemId,
    /// Minutes of sound.
    pub minutes: f64,
    /// Keys of conditions, or [`NOTHING`]; none where the table does not say.
    pub found: Option<BTreeSet<String>>,
}

impl Transfer {
    /// The answers that keep it in the log, about the item.
    #[must_use]
    pub fn answers(&self) -> Vec<(String, Answer)> {
        let minutes = (MINUTES.to_owned(), Answer::Number(self.minutes));
        let found = self
            .found
            .clone()
            .map(|keys| (FOUND.to_owned(), Answer::Many(keys)));
        [minutes].into_iter().chain(found).collect()
    }
}

/// What keeps a table from being read: the first [`MAX_NAMED`] problems and how many there are.
pub type Problems = crate::table_in::Problems<Problem>;

/// One thing that is wrong. Rows are numbered as a spreadsheet numbers them: the first line is row 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Problem {
    /// No row of an item.
    #[error("the table has no item; its first row is item,minutes,found")]
    Empty,
    /// Longer than 1 MiB.
    #[error("the table is too long: less than 1 MB is read")]
    TooLong,
    /// Not UTF-8.
    #[error("row {row}: not in UTF-8; save the table as \"CSV UTF-8\"")]
    NotUtf8 {
        /// Where it stops being UTF-8.
        row: u64,
    },
    /// A column is missing.
    #[error("there is no column {column:?}; the columns are item, minutes and, if you have it, found")]
    MissingColumn {
        /// The column.
        column: &'static str,
    },
    /// A column is there twice.
    #[error("the column {column:?} is there twice")]
    SameColumn {
        /// The column.
        column: &'static str,
    },
    /// Nothing that names an item of this survey.
    #[error("row {row}, column \"item\": {found:?} {why}")]
    Item {
        /// The row.
        row: u64,
        /// What is there, cut to 40 characters.
        found: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// An item a second time.
    #[error("row {row}, column \"item\": {found:?} is in row {first} already")]
    SameItem {
        /// The row.
        row: u64,
        /// The item.
        found: String,
        /// The row that had it first.
        first: u64,
    },
    /// Minutes that are none.
    #[error(
        "row {row}, column \"minutes\": {found:?} is not a number of minutes from 0 to 10080; write 47.5, say"
    )]
    Minutes {
        /// The row.
        row: u64,
        /// What is there, cut to 40 characters.
        found: String,
    },
    /// A condition that there is not.
    #[error("row {row}, column \"found\": {found:?} is not the key of a condition, nor \"none\"")]
    Condition {
        /// The row.
        row: u64,
        /// What is there, cut to 40 characters.
        found: String,
    },
}

/// Reads a table about the items that were looked at in a survey. Commas, semicolons and tabs are all taken for delimiters.
///
/// # Errors
/// [`Problems`]: all that is wrong is counted, the first are named. Nothing of the table is taken then.
pub fn read(bytes: &[u8], state: &State) -> Result<Vec<Transfer>, Problems> {
    let text = text(bytes, MAX_ENTRY_BYTES).map_err(|why| {
        Problems::one(match why {
            NoText::TooLong => Problem::TooLong,
            NoText::NotUtf8 { row } => Problem::NotUtf8 { row },
        })
    })?;
    let opened = Opened::of(text);
    let columns = Columns::find(&opened).map_err(Problems::one)?;
    let boxes = Boxes::of(state);
    let mut problems = Problems::default();
    let mut seen: BTreeMap<ItemId, u64> = BTreeMap::new();
    let mut transfers = Vec::new();
    for (row, record) in opened {
        match columns.row(&record, row, &boxes, &mut seen) {
            Ok(transfer) => transfers.push(transfer),
            Err(problem) => problems.add(problem),
        }
    }
    if problems.count == 0 && transfers.is_empty() {
        problems.add(Problem::Empty);
    }
    problems.or(transfers)
}

/// A table to fill in: these items, nothing found yet.
#[must_use]
pub fn blank(items: &[ItemId]) -> Vec<u8> {
    let rows = items
        .iter()
        .map(|item| vec![Cell::text(item.to_string()), Cell::Nothing, Cell::Nothing]);
    csv(&["item", "minutes", "found"], rows)
}

struct Columns {
    item: usize,
    minutes: usize,
    found: Option<usize>,
}

impl Columns {
    fn find(opened: &Opened<'_>) -> Result<Self, Problem> {
        let find = |column: &'static str| {
            let found = opened.column(column);
            found.map_err(|Twice(_)| Problem::SameColumn { column })
        };
        let needed = |column| find(column)?.ok_or(Problem::MissingColumn { column });
        Ok(Self {
            item: needed("item")?,
            minutes: needed("minutes")?,
            found: find("found")?,
        })
    }

    fn row(
        &self,
        record: &csv::StringRecord,
        row: u64,
        boxes: &Boxes,
        seen: &mut BTreeMap<ItemId, u64>,
    ) -> Result<Transfer, Problem> {
        let cell = |at: usize| unguarded(record.get(at).unwrap_or_default());
        let named = cell(self.item);
        let item = boxes.item(named).map_err(|why| Problem::Item {
            row,
            found: short(named),
            why,
        })?;
        if let Some(first) = seen.insert(item, row) {
            return Err(Problem::SameItem {
                row,
                found: short(named),
                first,
            });
        }
        let said = cell(self.minutes);
        // A comma is what many spreadsheets write for the point.
        let minutes = said.replace(',', ".").parse::<f64>().ok();
        let minutes = minutes
            .filter(|minutes| (0.0..=MOST_MINUTES).contains(minutes))
            .ok_or_else(|| Problem::Minutes {
                row,
                found: short(said),
            })?;
        let found = match self.found.map(cell) {
            None | Some("") => None,
            Some(text) => Some(keys(text).map_err(|key| Problem::Condition {
                row,
                found: short(key),
            })?),
        };
        Ok(Transfer { item, minutes, found })
    }
}

fn keys(text: &str) -> Result<BTreeSet<String>, &str> {
    let mut made = BTreeSet::new();
    for key in text.split_whitespace() {
        let known = key == NOTHING || tape::conditions().iter().any(|condition| condition.key == key);
        if !known {
            return Err(key);
        }
        made.insert(key.to_owned());
    }
    if made.len() > 1 && made.contains(NOTHING) {
        return Err("none beside something");
    }
    Ok(made)
}

/// The items that were looked at, and boxes by their labels.
struct Boxes {
    looked: BTreeMap<Serial, BTreeSet<u32>>,
    by_label: BTreeMap<String, Vec<Serial>>,
}

impl Boxes {
    fn of(state: &State) -> Self {
        let mut made = Self {
            looked: BTreeMap::new(),
            by_label: BTreeMap::new(),
        };
        for (drawn, _) in state.sample(true) {
            made.looked
                .insert(drawn.serial, state.positions(drawn.serial).into_iter().collect());
        }
        for (serial, listed) in &state.boxes {
            made.by_label
                .entry(listed.label.trim().to_owned())
                .or_default()
                .push(*serial);
        }
        made
    }

    fn item(&self, text: &str) -> Result<ItemId, &'static str> {
        let (of_box, position) = text
            .rsplit_once('/')
            .ok_or("names no item: write the box's serial, a slash and the item's place in the box")?;
        let position = position
            .trim()
            .parse()
            .map_err(|_| "names no item: behind the slash comes the item's place in the box, from 1")?;
        let of_box = of_box.trim();
        let serial = match (
            of_box.parse::<Serial>(),
            self.by_label.get(of_box).map(Vec::as_slice),
        ) {
            (Ok(serial), _) => serial,
            (_, Some([serial])) if !of_box.is_empty() => *serial,
            (_, Some([_, _, ..])) => return Err("names a label that several boxes have: use the serial"),
            _ => return Err("names no box of this survey"),
        };
        let looked = self
            .looked
            .get(&serial)
            .ok_or("is of a box that was not looked at: only items of checked boxes can be compared")?;
        if !looked.contains(&position) {
            return Err("was not among the items looked at in its box");
        }
        Ok(ItemId { serial, position })
    }
}
