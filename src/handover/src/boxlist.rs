//! A list of boxes that somebody kept in a spreadsheet: CSV with the columns `place`, `label` and, if there are any,
//! `group`, `full` and `items`, in any order.
//!
//! Commas, semicolons and tabs are all taken for delimiters (the header row decides), as are a byte-order mark and
//! the line ends of any system. Nothing is guessed: what cannot be read is named by its row and column, as they are
//! numbered in the spreadsheet.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::{Deserialize, Serialize};
use survey::State;

pub use crate::table_in::MAX_NAMED;
use crate::table_in::{NoText, Opened, Twice, short, text};

/// The most bytes that are read: 32 MiB.
pub const MAX_BYTES: usize = 32 << 20;
/// The most boxes that are read.
pub const MAX_BOXES: usize = 1_000_000;
/// The longest name of a place, a group or a box, in characters: more is a quote that was never closed.
pub const MAX_TEXT: usize = 500;

/// Every column, whether it must be there or not.
const COLUMNS: [&str; 5] = ["place", "label", "group", "full", "items"];

/// The boxes of a list, in its order.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct BoxList {
    /// The boxes.
    pub boxes: Vec<ListedBox>,
}

/// A row of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListedBox {
    /// The name of the place.
    pub place: String,
    /// What is written on the box; may be empty.
    pub label: String,
    /// The name of the group (stratum) the place belongs to, if the list says so.
    pub group: Option<String>,
    /// How full it is, in quarters (1 to 4).
    pub quarters: Option<u8>,
    /// Number of items.
    pub items: Option<u32>,
}

impl BoxList {
    /// The boxes that are not on a survey's list yet, by the names of their place and their label. A box without a label
    /// cannot be told from another, so it is one more.
    #[must_use]
    pub fn without_listed(&self, state: &State) -> Self {
        let listed: BTreeSet<(&str, &str)> = state
            .boxes
            .values()
            .filter_map(|listed| Some((state.places.get(&listed.place)?.name.trim(), listed.label.trim())))
            .collect();
        let is_new = |new: &&ListedBox| {
            new.label.is_empty() || !listed.contains(&(new.place.as_str(), new.label.as_str()))
        };
        Self {
            boxes: self.boxes.iter().filter(is_new).cloned().collect(),
        }
    }
}

/// What keeps a list from being read: the first [`MAX_NAMED`] problems and how many there are.
pub type Problems = crate::table_in::Problems<Problem>;

/// One thing that is wrong. Rows are numbered as a spreadsheet numbers them: the first line is row 1, empty lines
/// count, line ends inside a quoted field do not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum Problem {
    /// Nothing is there.
    #[error("the list is empty")]
    Empty,
    /// More than [`MAX_BYTES`].
    #[error("the list is longer than {} MiB", MAX_BYTES >> 20)]
    TooLong,
    /// More than [`MAX_BOXES`].
    #[error("the list has more than {MAX_BOXES} boxes")]
    TooManyBoxes,
    /// Not UTF-8.
    #[error("row {row}: not in UTF-8; save the list as \"CSV UTF-8\"")]
    NotUtf8 {
        /// Where it stops being UTF-8.
        row: u64,
    },
    /// A column is missing.
    #[error("there is no column {column:?}; the first row has {found}")]
    MissingColumn {
        /// The column.
        #[serde(deserialize_with = "column")]
        column: Known,
        /// What the header row says.
        found: Names,
    },
    /// A column is there twice.
    #[error("the column {column:?} is there twice")]
    SameColumn {
        /// The column.
        #[serde(deserialize_with = "column")]
        column: Known,
    },
    /// A row has another number of fields than the header.
    #[error("row {row}: {found} fields, but the first row has {expected}")]
    Fields {
        /// The row.
        row: u64,
        /// Its fields.
        found: u64,
        /// The header's.
        expected: u64,
    },
    /// A row without a place.
    #[error("row {row}, column \"place\": nothing is there")]
    NoPlace {
        /// The row.
        row: u64,
    },
    /// A character that no label has: a line end inside a field, say.
    #[error("row {row}, column {column:?}: a line end or another control character")]
    ControlCharacter {
        /// The row.
        row: u64,
        /// The column.
        #[serde(deserialize_with = "column")]
        column: Known,
    },
    /// A text that is longer than [`MAX_TEXT`].
    #[error(
        "row {row}, column {column:?}: longer than {MAX_TEXT} characters; is a quotation mark not closed?"
    )]
    LongText {
        /// The row.
        row: u64,
        /// The column.
        #[serde(deserialize_with = "column")]
        column: Known,
    },
    /// Two boxes of one place have the same label.
    #[error("row {row}, column \"label\": {place:?} has a box {label:?} already, in row {first}")]
    SameLabel {
        /// The row.
        row: u64,
        /// The row that had it first.
        first: u64,
        /// The place.
        place: String,
        /// The label.
        label: String,
    },
    /// One place in two groups.
    #[error(
        "row {row}, column \"group\": {place:?} is in group {found:?} here and in {first:?} in row {first_row}"
    )]
    TwoGroups {
        /// The row.
        row: u64,
        /// The place.
        place: String,
        /// The group here.
        found: String,
        /// The group before.
        first: String,
        /// The row before.
        first_row: u64,
    },
    /// Fullness that is none.
    #[error("row {row}, column \"full\": {found:?}; write 1, 2, 3 or 4 quarters, or 25%, 50%, 75%, 100%")]
    Full {
        /// The row.
        row: u64,
        /// What is there.
        found: String,
    },
    /// Items that are no whole number.
    #[error("row {row}, column \"items\": {found:?} is not a whole number up to 20000")]
    Items {
        /// The row.
        row: u64,
        /// What is there.
        found: String,
    },
}

/// The name of a column that this program knows. An alias, for serde takes a plain `&str` for borrowed from its input.
pub type Known = &'static str;

/// Reads the name of a column.
fn column<'de, D: serde::Deserializer<'de>>(from: D) -> Result<&'static str, D::Error> {
    let found = String::deserialize(from)?;
    let known = COLUMNS.into_iter().find(|known| *known == found);
    known.ok_or_else(|| serde::de::Error::custom("no column of a list of boxes"))
}

/// Column names as a sentence lists them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Names(pub Vec<String>);

impl fmt::Display for Names {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, name) in self.0.iter().enumerate() {
            write!(f, "{}{name:?}", if index == 0 { "" } else { ", " })?;
        }
        Ok(())
    }
}

/// Reads a list of boxes.
///
/// # Errors
/// [`Problems`]: all that is wrong is counted, the first are named. Nothing of the list is taken then.
pub fn read(bytes: &[u8]) -> Result<BoxList, Problems> {
    let text = text(bytes, MAX_BYTES).map_err(|why| {
        Problems::one(match why {
            NoText::TooLong => Problem::TooLong,
            NoText::NotUtf8 { row } => Problem::NotUtf8 { row },
        })
    })?;
    if text.trim().is_empty() {
        return Err(Problems::one(Problem::Empty));
    }
    let opened = Opened::of(text);
    let mut taking = Taking {
        columns: Columns::find(&opened)?,
        width: as_u64(opened.header.len()),
        ..Taking::default()
    };
    for (row, record) in opened {
        if taking.list.boxes.len() == MAX_BOXES {
            taking.problems.add(Problem::TooManyBoxes);
            break;
        }
        taking.take(&record, row);
    }
    taking.finish()
}

/// Where each column is.
#[derive(Debug, Default, Clone, Copy)]
struct Columns {
    place: usize,
    label: usize,
    group: Option<usize>,
    full: Option<usize>,
    items: Option<usize>,
}

impl Columns {
    fn find(opened: &Opened<'_>) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        let mut find = |column: &'static str| {
            opened.column(column).unwrap_or_else(|Twice(first)| {
                problems.add(Problem::SameColumn { column });
                Some(first)
            })
        };
        let (place, label) = (find("place"), find("label"));
        let (group, full, items) = (find("group"), find("full"), find("items"));
        for (column, found) in [("place", place), ("label", label)] {
            if found.is_none() {
                let found = Names(opened.header.iter().take(12).map(short).collect());
                problems.add(Problem::MissingColumn { column, found });
            }
        }
        match (place, label) {
            (Some(place), Some(label)) if problems.count == 0 => Ok(Self {
                place,
                label,
                group,
                full,
                items,
            }),
            _ => Err(problems),
        }
    }
}

/// The list so far, and what it may not repeat.
#[derive(Debug, Default)]
struct Taking {
    columns: Columns,
    width: u64,
    list: BoxList,
    problems: Problems,
    labels: BTreeMap<(String, String), u64>,
    groups: BTreeMap<String, (String, u64)>,
}

impl Taking {
    fn take(&mut self, record: &csv::StringRecord, row: u64) {
        if as_u64(record.len()) != self.width {
            self.problems.add(Problem::Fields {
                row,
                found: as_u64(record.len()),
                expected: self.width,
            });
            return;
        }
        let before = self.problems.count;
        let columns = self.columns;
        let field = |column: Option<usize>| column.and_then(|column| record.get(column)).unwrap_or_default();
        let (place, label, group) = (
            field(Some(columns.place)),
            field(Some(columns.label)),
            field(columns.group),
        );
        if place.is_empty() {
            self.problems.add(Problem::NoPlace { row });
        }
        for (column, text) in [("place", place), ("label", label), ("group", group)] {
            if text.chars().nth(MAX_TEXT).is_some() {
                self.problems.add(Problem::LongText { row, column });
            }
            if text.chars().any(char::is_control) {
                self.problems.add(Problem::ControlCharacter { row, column });
            }
        }
        if self.problems.count > before {
            // What cannot be a name is not repeated in further problems.
            return;
        }
        self.label(row, place, label);
        self.group(row, place, group);
        let quarters = self.quarters(row, field(columns.full));
        let items = self.items(row, field(columns.items));
        if self.problems.count == before {
            let group = (!group.is_empty()).then(|| group.to_owned());
            let listed = ListedBox {
                place: place.to_owned(),
                label: label.to_owned(),
                group,
                quarters,
                items,
            };
            self.list.boxes.push(listed);
        }
    }

    fn label(&mut self, row: u64, place: &str, label: &str) {
        if label.is_empty() {
            return;
        }
        let key = (place.to_owned(), label.to_owned());
        if let Some(first) = self.labels.get(&key).copied() {
            let (place, label) = key;
            self.problems.add(Problem::SameLabel {
                row,
                first,
                place,
                label,
            });
        } else {
            self.labels.insert(key, row);
        }
    }

    fn group(&mut self, row: u64, place: &str, group: &str) {
        if self.columns.group.is_none() {
            return;
        }
        match self.groups.get(place).cloned() {
            None => {
                self.groups.insert(place.to_owned(), (group.to_owned(), row));
            }
            Some((first, first_row)) if first != group => {
                let (place, found) = (place.to_owned(), group.to_owned());
                self.problems.add(Problem::TwoGroups {
                    row,
                    place,
                    found,
                    first,
                    first_row,
                });
            }
            Some(_) => {}
        }
    }

    fn quarters(&mut self, row: u64, text: &str) -> Option<u8> {
        match text {
            "" => None,
            "1" | "25%" | "25 %" => Some(1),
            "2" | "50%" | "50 %" => Some(2),
            "3" | "75%" | "75 %" => Some(3),
            "4" | "100%" | "100 %" => Some(4),
            _ => {
                self.problems.add(Problem::Full {
                    row,
                    found: short(text),
                });
                None
            }
        }
    }

    fn items(&mut self, row: u64, text: &str) -> Option<u32> {
        if text.is_empty() {
            return None;
        }
        let digits = text.bytes().all(|byte| byte.is_ascii_digit());
        let number = text.parse().ok().filter(|number| digits && *number <= 20_000);
        if number.is_none() {
            self.problems.add(Problem::Items {
                row,
                found: short(text),
            });
        }
        number
    }

    fn finish(mut self) -> Result<BoxList, Problems> {
        if self.problems.count == 0 && self.list.boxes.is_empty() {
            self.problems.add(Problem::Empty);
        }
        self.problems.or(self.list)
    }
}

fn as_u64(n: usize) -> u64 {
    // usize has at most 64 bits on every target of ours.
    u64::try_from(n).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(text: &str) -> Vec<String> {
        read(text.as_bytes())
            .unwrap_err()
            .named
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    fn labels(text: &str) -> Vec<(String, String)> {
        let list = read(text.as_bytes()).unwrap();
        list.boxes
            .into_iter()
            .map(|listed| (listed.place, listed.label))
            .collect()
    }

    #[test]
    fn every_column_is_read_in_any_order() {
        let list =
            read(b"items,LABEL,full,group,Place\n12,A 1,75%,North,Shelf 1\n,\"A, 2\",,North,Shelf 1\n")
                .unwrap();
        let first = &list.boxes[0];
        assert_eq!((first.place.as_str(), first.label.as_str()), ("Shelf 1", "A 1"));
        assert_eq!(
            (first.group.as_deref(), first.quarters, first.items),
            (Some("North"), Some(3), Some(12))
        );
        let second = &list.boxes[1];
        assert_eq!(
            (second.label.as_str(), second.quarters, second.items),
            ("A, 2", None, None)
        );
    }

    #[test]
    fn delimiters_line_ends_and_a_byte_order_mark_make_no_difference() {
        let plain = labels("place,label\nShelf 1,A\nShelf 1,B\n");
        assert_eq!(plain.len(), 2);
        for text in [
            "place;label\nShelf 1;A\nShelf 1;B\n",
            "place\tlabel\nShelf 1\tA\nShelf 1\tB",
            "place,label\r\nShelf 1,A\r\nShelf 1,B\r\n",
            "place,label\rShelf 1,A\rShelf 1,B",
            "\u{feff}place,label\nShelf 1,A\n\nShelf 1,B\n,\n",
            "\u{feff}\"place\";\"label\"\r\n\"Shelf 1\";\"A\"\r\n Shelf 1 ;B",
        ] {
            assert_eq!(labels(text), plain, "{text:?}");
        }
    }

    #[test]
    fn a_missing_column_is_named_beside_what_is_there() {
        assert_eq!(
            problems("room,label\nA,1\n"),
            [r#"there is no column "place"; the first row has "room", "label""#]
        );
        assert_eq!(
            problems("place,place,label\nA,A,1\n"),
            [r#"the column "place" is there twice"#]
        );
    }

    #[test]
    fn a_problem_is_named_by_row_and_column() {
        let text =
            "place,label,full,items\nS,1,,\nS,1,,\n,2,,\nS,3,5,\nS,4,,many\nS,5\nS,\"6\n7\",,\nS,8,,99999\n";
        assert_eq!(
            problems(text),
            [
                r#"row 3, column "label": "S" has a box "1" already, in row 2"#,
                r#"row 4, column "place": nothing is there"#,
                r#"row 5, column "full": "5"; write 1, 2, 3 or 4 quarters, or 25%, 50%, 75%, 100%"#,
                r#"row 6, column "items": "many" is not a whole number up to 20000"#,
                "row 7: 2 fields, but the first row has 4",
                r#"row 8, column "label": a line end or another control character"#,
                r#"row 9, column "items": "99999" is not a whole number up to 20000"#,
            ]
        );
        assert_eq!(
            problems("place,label,group\nS,1,North\nS,2,South\n"),
            [r#"row 3, column "group": "S" is in group "South" here and in "North" in row 2"#]
        );
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_does() {
        for end in ["\n", "\r\n", "\r"] {
            let text = "note,place,label|x,S,1||\"a|b\",S,2|x,,3|||x,S,1".replace('|', end);
            assert_eq!(
                problems(&text),
                [
                    r#"row 5, column "place": nothing is there"#,
                    r#"row 8, column "label": "S" has a box "1" already, in row 2"#,
                ],
                "{end:?}"
            );
        }
    }

    #[test]
    fn the_same_label_in_two_places_is_no_duplicate_and_boxes_may_have_none() {
        assert_eq!(labels("place,label\nS1,1\nS2,1\nS2,\nS2,\n").len(), 4);
    }

    #[test]
    fn a_hundred_thousand_rows_are_taken_and_as_many_problems_counted() {
        let mut text = "place,label\n".to_owned();
        (0..100_000).for_each(|n| text.push_str(&format!("Shelf {},{n}\n", n % 100)));
        assert_eq!(read(text.as_bytes()).unwrap().boxes.len(), 100_000);
        let wrong = read(text.replace("Shelf", ",").as_bytes()).unwrap_err();
        assert_eq!((wrong.count, wrong.named.len()), (100_000, MAX_NAMED));
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert_eq!(read(b"").unwrap_err().named, [Problem::Empty]);
        assert_eq!(read(b"place,label\n").unwrap_err().named, [Problem::Empty]);
        assert_eq!(
            read(b"place,label\r\nS,caf\xe9\r\n").unwrap_err().named,
            [Problem::NotUtf8 { row: 2 }]
        );
    }
}
