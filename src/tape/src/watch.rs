//! The watch-list: the user's own table of tapes known to behave in a certain way.
//!
//! It is compared loosely with what a label says and weighed as evidence, more where the make is written on the tape or
//! its reel than where only the box says so. No list comes with the app.

use thiserror::Error;

use crate::finding::is_finding;

/// The columns of the table.
pub const WATCH_COLUMNS: [&str; 4] = ["name", "behaviours", "note", "source"];

/// One tape to watch for.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Its make and type, as the user writes it.
    pub name: String,
    /// The keys of the findings it is known for.
    pub behaviours: Vec<String>,
    /// The user's note.
    pub note: String,
    /// Where the user knows it from.
    pub source: String,
}

/// The user's table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WatchList {
    /// Its rows, in the user's order.
    pub stocks: Vec<Stock>,
}

/// What is wrong with a table that was to be read.
#[derive(Debug, Error, PartialEq)]
pub enum WatchError {
    /// A column is missing.
    #[error("the watch-list has no column '{0}'; its columns are name, behaviours, note, source")]
    MissingColumn(&'static str),
    /// A row has no name, or one without a letter or digit: it would match everything.
    #[error("row {0} of the watch-list has no name")]
    NoName(usize),
    /// A behaviour is no finding.
    #[error("row {row} of the watch-list: '{key}' is no finding")]
    NoFinding {
        /// The row, the first after the heading being 1.
        row: usize,
        /// What was written.
        key: String,
    },
}

impl WatchList {
    /// Reads the rows of a table, the heading first. Behaviours are keys of findings, separated by `;`.
    pub fn from_rows<R: AsRef<str>>(heading: &[R], rows: &[Vec<String>]) -> Result<WatchList, WatchError> {
        let at = |name: &'static str| {
            heading
                .iter()
                .position(|h| h.as_ref().trim().eq_ignore_ascii_case(name))
                .ok_or(WatchError::MissingColumn(name))
        };
        let columns = [at("name")?, at("behaviours")?, at("note")?, at("source")?];
        let mut stocks = Vec::new();
        for (i, row) in rows.iter().enumerate() {
            let [name, behaviours, note, source] =
                columns.map(|c| row.get(c).map(|cell| cell.trim().to_owned()).unwrap_or_default());
            if words(&name).is_empty() {
                return Err(WatchError::NoName(i + 1));
            }
            let behaviours: Vec<String> = behaviours
                .split(';')
                .map(|b| b.trim().to_owned())
                .filter(|b| !b.is_empty())
                .collect();
            if let Some(key) = behaviours.iter().find(|b| !is_finding(b)) {
                return Err(WatchError::NoFinding {
                    row: i + 1,
                    key: key.clone(),
                });
            }
            stocks.push(Stock {
                name,
                behaviours,
                note,
                source,
            });
        }
        Ok(WatchList { stocks })
    }

    /// The table's rows, without the heading [`WATCH_COLUMNS`].
    pub fn to_rows(&self) -> Vec<[String; 4]> {
        self.stocks
            .iter()
            .map(|s| {
                [
                    s.name.clone(),
                    s.behaviours.join(";"),
                    s.note.clone(),
                    s.source.clone(),
                ]
            })
            .collect()
    }

    /// The stocks that what is written may name: every word and number of the stock's name is there, letters within one
    /// slip of the pen, numbers exactly.
    pub fn matching(&self, written: &str) -> Vec<&Stock> {
        let there = words(written);
        self.stocks
            .iter()
            .filter(|stock| {
                words(&stock.name)
                    .iter()
                    .all(|w| there.iter().any(|t| alike(w, t)))
            })
            .collect()
    }
}

/// Small letters and digits, cut wherever anything else stands between them or letters meet digits.
fn words(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut last: Option<bool> = None;
    for c in text.to_lowercase().chars() {
        let kind = c.is_alphanumeric().then(|| c.is_numeric());
        match kind {
            Some(_) if kind == last => {
                if let Some(word) = out.last_mut() {
                    word.push(c);
                }
            }
            Some(_) => out.push(c.to_string()),
            None => {}
        }
        last = kind;
    }
    out
}

/// The same, or words of five letters and more that differ by one letter changed, missing or too many.
fn alike(a: &str, b: &str) -> bool {
    if a == b {
        return true;
    }
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let letters = |w: &[char]| w.len() >= 5 && w.iter().all(|c| c.is_alphabetic());
    if !letters(&a) || !letters(&b) || a.len().abs_diff(b.len()) > 1 {
        return false;
    }
    let same = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let (rest_a, rest_b) = (&a[same..], &b[same..]);
    let after = |w: &[char]| w.get(1..).unwrap_or_default().to_vec();
    after(rest_a) == after(rest_b) || after(rest_a) == rest_b || rest_a == after(rest_b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list() -> WatchList {
        let rows: Vec<Vec<String>> = [
            [
                "Lampyra 406",
                "sticky_binder;back_coat_loss",
                "batches of the 1970s",
                "own bench notes",
            ],
            ["Moorhen LP", "acid_decay", "", "a colleague"],
        ]
        .iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect();
        WatchList::from_rows(&WATCH_COLUMNS, &rows).unwrap()
    }

    fn names(written: &str) -> Vec<String> {
        list()
            .matching(written)
            .into_iter()
            .map(|s| s.name.clone())
            .collect()
    }

    #[test]
    fn matches_loosely_but_numbers_exactly() {
        assert_eq!(names("LAMPYRA-406, 7 in."), ["Lampyra 406"]);
        assert_eq!(names("lampyra406"), ["Lampyra 406"]);
        assert_eq!(names("Lampira 406"), ["Lampyra 406"]);
        assert_eq!(names("Lamyra type 406"), ["Lampyra 406"]);
        assert_eq!(names("Lampyra 407"), [""; 0]);
        assert_eq!(names("406"), [""; 0]);
        assert_eq!(names("moorhen"), [""; 0]);
        assert_eq!(names("Moorhens LP"), ["Moorhen LP"]);
        assert_eq!(names(""), [""; 0]);
    }

    #[test]
    fn goes_out_and_comes_back() {
        let rows: Vec<Vec<String>> = list().to_rows().into_iter().map(|r| r.to_vec()).collect();
        assert_eq!(WatchList::from_rows(&WATCH_COLUMNS, &rows), Ok(list()));
    }

    #[test]
    fn faults_are_named() {
        let row = |cells: [&str; 4]| vec![cells.iter().map(|c| (*c).to_owned()).collect::<Vec<String>>()];
        assert_eq!(
            WatchList::from_rows(&["name", "note", "source"], &[]),
            Err(WatchError::MissingColumn("behaviours"))
        );
        assert_eq!(
            WatchList::from_rows(&WATCH_COLUMNS, &row([" - ", "", "", ""])),
            Err(WatchError::NoName(1))
        );
        assert_eq!(
            WatchList::from_rows(&WATCH_COLUMNS, &row(["Lampyra", "explodes", "", ""])),
            Err(WatchError::NoFinding {
                row: 1,
                key: "explodes".to_owned()
            })
        );
        assert_eq!(
            WatchList::from_rows(&WATCH_COLUMNS, &[vec!["Lampyra".to_owned()]])
                .unwrap()
                .stocks
                .len(),
            1
        );
    }

    /// The make alone: on the tape itself it makes a finding possible, on a box that may be another tape's it does not.
    #[test]
    fn weighs_as_evidence_by_where_it_is_written() {
        use crate::{Answer, Answers, Strength, findings_watching};
        let strength = |place: &str, watch: &WatchList| {
            let item: Answers = [
                ("stock".to_owned(), Answer::Text("Lampyra 406".to_owned())),
                ("stock_where".to_owned(), Answer::one(place)),
            ]
            .into();
            let all = findings_watching(&Answers::new(), &item, watch);
            let sticky = all.into_iter().find(|f| f.key == "sticky_binder").unwrap();
            (sticky.strength, sticky.evidence_for.len())
        };
        assert_eq!(strength("on_tape", &list()), (Strength::Possible, 1));
        assert_eq!(strength("on_box", &list()), (Strength::CannotTell, 1));
        assert_eq!(strength("cant_tell", &list()), (Strength::CannotTell, 1));
        assert_eq!(
            strength("on_tape", &WatchList::default()),
            (Strength::CannotTell, 0)
        );
    }
}
