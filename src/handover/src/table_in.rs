//! A table that somebody hands in, opened: UTF-8 text, whichever delimiter, its header, its rows by number; and what is wrong
//! with it, counted.

use serde::{Deserialize, Serialize};

/// How many problems are named one by one.
pub const MAX_NAMED: usize = 20;

/// What keeps a table from being read: the first [`MAX_NAMED`] problems and how many there are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problems<P> {
    /// The first ones.
    pub named: Vec<P>,
    /// How many there are in all.
    pub count: usize,
}

impl<P> Default for Problems<P> {
    fn default() -> Self {
        Self {
            named: Vec::new(),
            count: 0,
        }
    }
}

impl<P> Problems<P> {
    /// One alone.
    pub(crate) fn one(problem: P) -> Self {
        Self {
            named: vec![problem],
            count: 1,
        }
    }

    /// Counts one more, and names it if there is room.
    pub(crate) fn add(&mut self, problem: P) {
        self.count += 1;
        if self.named.len() < MAX_NAMED {
            self.named.push(problem);
        }
    }

    /// What was read, unless something is wrong.
    pub(crate) fn or<T>(self, read: T) -> Result<T, Self> {
        if self.count == 0 { Ok(read) } else { Err(self) }
    }
}

/// Why bytes are no table's text.
pub(crate) enum NoText {
    /// More bytes than are read.
    TooLong,
    /// Not UTF-8 from this row on.
    NotUtf8 { row: u64 },
}

/// The text of at most so many bytes, without its byte-order mark.
pub(crate) fn text(bytes: &[u8], most: usize) -> Result<&str, NoText> {
    if bytes.len() > most {
        return Err(NoText::TooLong);
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let row = 1 + lines(before);
        NoText::NotUtf8 { row }
    })?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// The records below the header, each with the row that a spreadsheet numbers it by; rows of delimiters only, as spreadsheets
/// leave behind, are passed over.
pub(crate) struct Opened<'a> {
    /// The first row.
    pub(crate) header: csv::StringRecord,
    reader: csv::Reader<&'a [u8]>,
    rows: Rows<'a>,
}

impl<'a> Opened<'a> {
    pub(crate) fn of(text: &'a str) -> Self {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter(text))
            .trim(csv::Trim::All)
            .flexible(true)
            .from_reader(text.as_bytes());
        // The text is UTF-8, rows of any length are taken, and reading from memory cannot fail.
        let header = reader.headers().cloned().unwrap_or_default();
        let rows = Rows::new(text, &header);
        Self { header, reader, rows }
    }

    /// Where a column is: the first of that name, in whichever letters.
    ///
    /// # Errors
    /// It is there twice.
    pub(crate) fn column(&self, name: &str) -> Result<Option<usize>, Twice> {
        let named = |(_, found): &(usize, &str)| found.eq_ignore_ascii_case(name);
        let mut there = self
            .header
            .iter()
            .enumerate()
            .filter(named)
            .map(|(index, _)| index);
        match (there.next(), there.next()) {
            (Some(first), Some(_)) => Err(Twice(first)),
            (first, _) => Ok(first),
        }
    }
}

/// A column is there twice, first here.
pub(crate) struct Twice(pub(crate) usize);

impl Iterator for Opened<'_> {
    type Item = (u64, csv::StringRecord);

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let mut record = csv::StringRecord::new();
            if !self.reader.read_record(&mut record).unwrap_or(false) {
                return None;
            }
            let row = self.rows.number(&record);
            if !record.iter().all(str::is_empty) {
                return Some((row, record));
            }
        }
    }
}

/// A cell as it is repeated in a problem.
pub(crate) fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

/// Numbers records by row.
struct Rows<'a> {
    text: &'a [u8],
    counted: usize,
    line_ends: u64,
    inside_fields: u64,
}

impl<'a> Rows<'a> {
    fn new(text: &'a str, header: &csv::StringRecord) -> Self {
        Self {
            text: text.as_bytes(),
            counted: 0,
            line_ends: 0,
            inside_fields: inside_fields(header),
        }
    }

    fn number(&mut self, record: &csv::StringRecord) -> u64 {
        let start = record
            .position()
            .and_then(|at| usize::try_from(at.byte()).ok())
            .unwrap_or(self.counted);
        let rest = self.text.get(start..).unwrap_or_default();
        // The reader skips empty lines, and takes the second half of a Windows line end for the next record's start.
        let skipped = rest
            .iter()
            .take_while(|byte| matches!(byte, b'\n' | b'\r'))
            .count();
        let between = self.text.get(self.counted..start + skipped).unwrap_or_default();
        self.line_ends += lines(between);
        self.counted = start + skipped;
        let row = 1 + self.line_ends - self.inside_fields.min(self.line_ends);
        self.inside_fields += inside_fields(record);
        row
    }
}

fn inside_fields(record: &csv::StringRecord) -> u64 {
    record.iter().map(|field| lines(field.as_bytes())).sum()
}

/// The delimiter that the header row has most of, outside quotes; a comma if it has none.
fn delimiter(text: &str) -> u8 {
    let (mut counts, mut quoted) = ([0usize; 3], false);
    for byte in text.bytes() {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => break,
            b',' if !quoted => counts[0] += 1,
            b';' if !quoted => counts[1] += 1,
            b'\t' if !quoted => counts[2] += 1,
            _ => {}
        }
    }
    match counts {
        [commas, semicolons, tabs] if semicolons > commas && semicolons >= tabs => b';',
        [commas, _, tabs] if tabs > commas => b'\t',
        _ => b',',
    }
}

/// How many line ends there are, in the manner of any system.
fn lines(bytes: &[u8]) -> u64 {
    let ends = bytes.iter().zip(bytes.iter().skip(1).map(Some).chain([None]));
    let n = ends
        .filter(|(byte, next)| **byte == b'\n' || (**byte == b'\r' && *next != Some(&b'\n')))
        .count();
    // usize has at most 64 bits on every target of ours.
    u64::try_from(n).unwrap_or(u64::MAX)
}
