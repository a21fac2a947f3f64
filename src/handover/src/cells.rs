//! CSV for spreadsheets: a text that a spreadsheet would run as a formula is written so that it does not.
//!
//! A text cell that begins with `=`, `+`, `-`, `@` (or their full-width forms), a tab or a line end gets a single quote
//! in front. That is done to text columns only, here only, and undone only where a watch-list comes back: the log beside
//! the tables holds the text as it was given. Number columns hold what this program wrote and nothing else. UTF-8, commas, LF, RFC 4180 quoting.

use std::borrow::Cow;

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Cell<'a> {
    /// A text, guarded.
    Text(Cow<'a, str>),
    /// A whole number.
    Whole(u64),
    /// A number, in the fewest digits that give the same double again; one that is not finite is not known.
    Number(f64),
    /// Not known.
    Nothing,
}

impl<'a> Cell<'a> {
    pub(crate) fn text(text: impl Into<Cow<'a, str>>) -> Self {
        Self::Text(text.into())
    }

    pub(crate) fn number(number: Option<f64>) -> Self {
        number.map_or(Self::Nothing, Self::Number)
    }

    pub(crate) fn whole(number: Option<u64>) -> Self {
        number.map_or(Self::Nothing, Self::Whole)
    }

    fn written(&self) -> Cow<'_, str> {
        match self {
            Self::Text(text) => guarded(text),
            Self::Whole(number) => number.to_string().into(),
            Self::Number(number) if number.is_finite() => number.to_string().into(),
            Self::Number(_) | Self::Nothing => "".into(),
        }
    }
}

/// What makes a spreadsheet take a text for a formula.
const RISKY: [char; 11] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];

/// The text with a single quote in front if a spreadsheet could take it for a formula.
pub(crate) fn guarded(text: &str) -> Cow<'_, str> {
    if text.starts_with(RISKY) {
        format!("'{text}").into()
    } else {
        text.into()
    }
}

/// The text without the guard that [`guarded`] put in front.
pub(crate) fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(bare) if bare.starts_with(RISKY) => bare,
        _ => text,
    }
}

/// A table: a header of our own names, then rows as long as it.
pub(crate) fn csv<'a>(header: &[&str], rows: impl Iterator<Item = Vec<Cell<'a>>>) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory cannot fail, and every row is as long as the header; a row that were not would be left out,
    // which the checks of the tables would show.
    let _ = writer.write_record(header);
    for row in rows {
        let cells: Vec<Cow<'_, str>> = row.iter().map(Cell::written).collect();
        let _ = writer.write_record(cells.iter().map(AsRef::as_ref));
    }
    writer.into_inner().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_guarded_and_numbers_stay_numbers() {
        let row = |text: &'static str, number| vec![Cell::text(text), Cell::Number(number), Cell::Nothing];
        let rows = [
            row("=1+1", -5.0),
            row("a=b", 0.1),
            row("\tx", f64::NAN),
            row("－1", 1e21),
        ];
        let written = String::from_utf8(csv(&["text", "number", "none"], rows.into_iter())).unwrap();
        assert_eq!(
            written,
            "text,number,none\n'=1+1,-5,\na=b,0.1,\n'\tx,,\n'－1,1000000000000000000000,\n"
        );
    }

    #[test]
    fn quotes_commas_and_line_ends_survive() {
        let given = "say \"a, b\"\nand c";
        let written = csv(&["text"], std::iter::once(vec![Cell::text(given)]));
        let mut reader = csv::Reader::from_reader(written.as_slice());
        assert_eq!(&reader.records().next().unwrap().unwrap()[0], given);
    }
}
