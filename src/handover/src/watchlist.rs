//! The watch-list as a table: CSV with the columns `name`, `behaviours`, `note` and `source`, in any order.
//!
//! It is kept in the log as one answer about the survey, so it travels with the survey and can be undone. A text that a
//! spreadsheet would run is guarded on its way out, as in every table, and the guard is taken off on its way in.

use survey::format::MAX_ENTRY_BYTES;
use survey::{State, Subject};
use tape::{Answer, WATCH_COLUMNS, WatchError, WatchList};

use crate::cells::{Cell, csv, unguarded};
pub use crate::table_in::MAX_NAMED;
use crate::table_in::{NoText, Opened, short, text};

/// The question it is the answer to, about the survey; a text.
pub const QUESTION: &str = "watch_list";
/// What an entry says beside the list: ids, a clock, names of earlier answers.
const ROOM_FOR_THE_REST: usize = 16 << 10;

/// What keeps a table from being read: the first [`MAX_NAMED`] problems and how many there are.
pub type Problems = crate::table_in::Problems<Problem>;

/// One thing that is wrong. Rows are numbered as a spreadsheet numbers them: the first line is row 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Problem {
    /// Nothing is there, not even a heading.
    #[error("the table is empty; its first row is name,behaviours,note,source")]
    Empty,
    /// It would not fit into one entry of the log.
    #[error("the table is too long: less than 1 MB is kept")]
    TooLong,
    /// Not UTF-8.
    #[error("row {row}: not in UTF-8; save the table as \"CSV UTF-8\"")]
    NotUtf8 {
        /// Where it stops being UTF-8.
        row: u64,
    },
    /// A column is missing.
    #[error("there is no column {column:?}; the columns are name, behaviours, note, source")]
    MissingColumn {
        /// The column.
        column: &'static str,
    },
    /// A row without a name: it would match everything.
    #[error("row {row}, column \"name\": no letter or digit is there")]
    NoName {
        /// The row.
        row: u64,
    },
    /// A behaviour that is no finding.
    #[error("row {row}, column \"behaviours\": {found:?} is not the key of a finding")]
    NoFinding {
        /// The row.
        row: u64,
        /// What is there, cut to 40 characters.
        found: String,
    },
}

/// Reads a table. Commas, semicolons and tabs are all taken for delimiters.
///
/// # Errors
/// [`Problems`]: all that is wrong is counted, the first are named. Nothing of the table is taken then.
pub fn read(bytes: &[u8]) -> Result<WatchList, Problems> {
    let text = text(bytes, MAX_ENTRY_BYTES).map_err(|why| {
        Problems::one(match why {
            NoText::TooLong => Problem::TooLong,
            NoText::NotUtf8 { row } => Problem::NotUtf8 { row },
        })
    })?;
    let (list, problems) = read_rows(text);
    if problems.count == 0 && as_written(&list).len() > MAX_ENTRY_BYTES - ROOM_FOR_THE_REST {
        return Err(Problems::one(Problem::TooLong));
    }
    problems.or(list)
}

/// The table as a file, and as it is kept in the log.
#[must_use]
pub fn write(list: &WatchList) -> Vec<u8> {
    let rows = list.to_rows();
    let cells = rows.iter().map(|row| row.iter().map(Cell::text).collect());
    csv(&WATCH_COLUMNS, cells)
}

/// The answer that keeps it in the log, to [`QUESTION`] about the survey.
#[must_use]
pub fn answer(list: &WatchList) -> Answer {
    // What is written is UTF-8: it was made of strings.
    Answer::Text(String::from_utf8_lossy(&write(list)).into_owned())
}

/// A survey's watch-list; empty if it has none. Rows that this version cannot read are left out.
#[must_use]
pub fn of(state: &State) -> WatchList {
    match state.answer(Subject::Survey, QUESTION) {
        Some(Answer::Text(table)) => read_rows(table).0,
        _ => WatchList::default(),
    }
}

/// The rows that can be read, and what is wrong with the others.
fn read_rows(text: &str) -> (WatchList, Problems) {
    let mut problems = Problems::default();
    let mut list = WatchList::default();
    // A list that is in the log already went through no opening.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        problems.add(Problem::Empty);
        return (list, problems);
    }
    let opened = Opened::of(text);
    let header = opened.header.clone();
    let heading: Vec<&str> = header.iter().collect();
    let named = |column: &str| heading.iter().any(|name| name.eq_ignore_ascii_case(column));
    for column in WATCH_COLUMNS.iter().copied().filter(|column| !named(column)) {
        problems.add(Problem::MissingColumn { column });
    }
    if WATCH_COLUMNS.iter().any(|column| !named(column)) {
        return (list, problems);
    }
    for (row, record) in opened {
        let cells: Vec<String> = record.iter().map(|cell| unguarded(cell).to_owned()).collect();
        match WatchList::from_rows(&heading, &[cells]) {
            Ok(read) => list.stocks.extend(read.stocks),
            Err(WatchError::MissingColumn(column)) => problems.add(Problem::MissingColumn { column }),
            Err(WatchError::NoName(_)) => problems.add(Problem::NoName { row }),
            Err(WatchError::NoFinding { key, .. }) => problems.add(Problem::NoFinding {
                row,
                found: short(&key),
            }),
        }
    }
    (list, problems)
}

/// The list as a string of JSON, which is how long it is in an entry.
fn as_written(list: &WatchList) -> String {
    // Text is always JSON.
    serde_json::to_string(&String::from_utf8_lossy(&write(list))).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use tape::Stock;

    use super::*;

    fn problems(table: &[u8]) -> Vec<Problem> {
        read(table).unwrap_err().named
    }

    #[test]
    fn reads_what_a_spreadsheet_saves() {
        let table = "\u{feff}Source;Name;Note;Behaviours\r\nbench notes;Blue tin, lot unknown;;sticky_binder; \r\n;;;\r\n";
        let list = read(table.as_bytes()).unwrap();
        assert_eq!(
            list.stocks,
            [Stock {
                name: "Blue tin, lot unknown".to_owned(),
                behaviours: vec!["sticky_binder".to_owned()],
                note: String::new(),
                source: "bench notes".to_owned(),
            }]
        );
        assert_eq!(
            read(b"name,behaviours,note,source\n").unwrap(),
            WatchList::default()
        );
    }

    #[test]
    fn says_row_and_column_of_everything_wrong() {
        assert_eq!(problems(b" \n"), [Problem::Empty]);
        assert_eq!(
            problems(b"name,note\nA 1,\n"),
            [
                Problem::MissingColumn { column: "behaviours" },
                Problem::MissingColumn { column: "source" }
            ]
        );
        let table =
            b"name,behaviours,note,source\nGood one,mould,,\n\n--,mould,,\n\"Two\nlines\",explodes,,\n";
        assert_eq!(
            problems(table),
            [
                Problem::NoName { row: 4 },
                Problem::NoFinding {
                    row: 5,
                    found: "explodes".to_owned()
                }
            ]
        );
        assert_eq!(
            problems(table)[1].to_string(),
            "row 5, column \"behaviours\": \"explodes\" is not the key of a finding"
        );
        assert_eq!(
            problems(b"name,behaviours,note,source\n\xff,,,\n"),
            [Problem::NotUtf8 { row: 2 }]
        );
    }

    #[test]
    fn every_problem_is_counted_and_the_first_are_named() {
        let table = format!("name,behaviours,note,source\n{}", "-,,,\n".repeat(30));
        let problems = read(table.as_bytes()).unwrap_err();
        assert_eq!((problems.count, problems.named.len()), (30, MAX_NAMED));
    }

    #[test]
    fn what_is_taken_in_fits_into_an_entry() {
        // Control characters take six bytes each in JSON.
        let table = format!("name,behaviours,note,source\nA,,x{}x,\n", "\u{1}".repeat(200_000));
        assert_eq!(problems(table.as_bytes()), [Problem::TooLong]);
        let long = format!("name,behaviours,note,source\nA,,{},\n", "x".repeat(1 << 20));
        assert_eq!(problems(long.as_bytes()), [Problem::TooLong]);
    }

    #[test]
    fn a_formula_is_guarded_on_its_way_out_only() {
        let list = read(b"name,behaviours,note,source\n=A1,,@note,-\n").unwrap();
        assert_eq!(list.stocks[0].name, "=A1");
        let out = write(&list);
        assert_eq!(out, b"name,behaviours,note,source\n'=A1,,'@note,'-\n");
        assert_eq!(read(&out), Ok(list));
    }

    fn cell() -> impl Strategy<Value = String> {
        // Spaces at the ends and a quote in front of a formula are the two things that are not kept.
        "\\PC{0,12}".prop_map(|text| text.trim().trim_start_matches('\'').trim().to_owned())
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn goes_out_and_comes_back(rows in prop::collection::vec((cell(), cell(), cell()), 0..8)) {
            let stock = |(name, note, source): (String, String, String)| Stock {
                name: format!("A{name}").trim().to_owned(), behaviours: vec!["mould".to_owned(), "sticky_binder".to_owned()], note, source,
            };
            let list = WatchList { stocks: rows.into_iter().map(stock).collect() };
            prop_assert_eq!(read(&write(&list)), Ok(list));
        }

        #[test]
        fn no_bytes_make_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..200), text in "\\PC{0,60}") {
            drop(read(&bytes));
            drop(read(format!("name,behaviours,note,source\n{text}").as_bytes()));
        }
    }
}
