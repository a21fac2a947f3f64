//! A worksheet written from top to bottom.

use rust_xlsxwriter::{Format, Formula, Workbook, Worksheet, XlsxError};

/// A sheet in the making; rows and columns count from 0, as the library's do.
pub(super) struct Sheet {
    inner: Worksheet,
    row: u32,
    name: String,
    widths: Vec<f64>,
}

impl Sheet {
    /// A sheet with its columns' widths, in characters.
    pub(super) fn new(name: &str, widths: &[f64]) -> Self {
        Self {
            inner: Worksheet::new(),
            row: 0,
            name: name.to_owned(),
            widths: widths.to_vec(),
        }
    }

    /// The number of the row being written, as formulas name it: from 1.
    pub(super) fn here(&self) -> u32 {
        self.row + 1
    }

    pub(super) fn next(&mut self) {
        self.row += 1;
    }

    /// A text, never a formula; empty ones leave the cell empty.
    pub(super) fn text(&mut self, column: usize, text: &str) -> Result<(), XlsxError> {
        if !text.is_empty() {
            self.inner.write_string(self.row, place(column), text)?;
        }
        Ok(())
    }

    pub(super) fn number(&mut self, column: usize, number: f64) -> Result<(), XlsxError> {
        if number.is_finite() {
            self.inner.write_number(self.row, place(column), number)?;
        }
        Ok(())
    }

    /// A number that a reader may change.
    pub(super) fn open_number(&mut self, column: usize, number: Option<f64>) -> Result<(), XlsxError> {
        let format = Format::new()
            .set_background_color(0x00FF_F4C2)
            .set_border(rust_xlsxwriter::FormatBorder::Thin);
        match number {
            Some(number) => self
                .inner
                .write_number_with_format(self.row, place(column), number, &format)?,
            None => self.inner.write_blank(self.row, place(column), &format)?,
        };
        Ok(())
    }

    /// A formula of ours with what it comes to, for programs that do not compute.
    pub(super) fn formula(&mut self, column: usize, formula: &str, result: f64) -> Result<(), XlsxError> {
        self.formula_shown(column, formula, result, "#,##0.00")
    }

    /// The same of a price that nobody gave: a nought is shown as words, and sums stay sums of numbers.
    pub(super) fn formula_unpriced(&mut self, column: usize, formula: &str) -> Result<(), XlsxError> {
        self.formula_shown(column, formula, 0.0, "#,##0.00;-#,##0.00;\"no price\"")
    }

    fn formula_shown(
        &mut self,
        column: usize,
        formula: &str,
        result: f64,
        shown: &str,
    ) -> Result<(), XlsxError> {
        let formula = Formula::new(formula).set_result(result.to_string());
        let format = Format::new().set_num_format(shown);
        self.inner
            .write_formula_with_format(self.row, place(column), formula, &format)?;
        Ok(())
    }

    pub(super) fn heading(&mut self, text: &str) -> Result<(), XlsxError> {
        let format = Format::new().set_bold().set_font_size(14);
        self.inner.write_string_with_format(self.row, 0, text, &format)?;
        self.next();
        Ok(())
    }

    /// Names of columns.
    pub(super) fn header(&mut self, names: &[&str]) -> Result<(), XlsxError> {
        let format = Format::new().set_bold().set_text_wrap();
        for (column, name) in names.iter().enumerate() {
            self.inner
                .write_string_with_format(self.row, place(column), *name, &format)?;
        }
        self.next();
        Ok(())
    }

    /// A row of texts.
    pub(super) fn row<T: AsRef<str>>(&mut self, texts: &[T]) -> Result<(), XlsxError> {
        for (column, text) in texts.iter().enumerate() {
            self.text(column, text.as_ref())?;
        }
        self.next();
        Ok(())
    }

    /// A text and numbers behind it.
    pub(super) fn named_numbers(&mut self, name: &str, numbers: &[f64]) -> Result<(), XlsxError> {
        self.text(0, name)?;
        for (at, number) in numbers.iter().enumerate() {
            self.number(at + 1, *number)?;
        }
        self.next();
        Ok(())
    }

    /// Rows above this one stay in sight.
    pub(super) fn freeze(&mut self) -> Result<(), XlsxError> {
        self.inner.set_freeze_panes(self.row, 0)?;
        Ok(())
    }

    /// Puts the sheet into the book.
    pub(super) fn done(mut self, book: &mut Workbook) -> Result<(), XlsxError> {
        self.inner.set_name(&self.name)?;
        for (column, width) in self.widths.iter().enumerate() {
            self.inner.set_column_width(place(column), *width)?;
        }
        book.push_worksheet(self.inner);
        Ok(())
    }
}

/// A column of the library; more than a sheet has gives its error.
fn place(column: usize) -> u16 {
    u16::try_from(column).unwrap_or(u16::MAX)
}
