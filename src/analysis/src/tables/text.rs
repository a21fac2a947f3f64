//! The tables as text: reading and writing CSV (RFC 4180; commas, or semicolons throughout; a byte-order mark is skipped).

use super::check::{File, GREATEST_COUNT, TableError, fault};
use super::{BoxRow, Column, ItemRow, Kind, Status, Tables};

impl Status {
    /// Every status with its name in `boxes.csv`.
    pub const NAMES: [(&'static str, Self); 4] = [
        ("checked", Self::Checked),
        ("not_reached", Self::NotReached),
        ("stopped", Self::Stopped),
        ("out_of_scope", Self::OutOfScope),
    ];

    /// Its name in `boxes.csv`.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::NAMES
            .iter()
            .find(|(_, status)| *status == self)
            .map_or("checked", |(name, _)| name)
    }
}

/// A file read into its header and its records, all of one length.
struct Sheet {
    file: File,
    header: Vec<String>,
    records: Vec<csv::StringRecord>,
}

impl Sheet {
    fn read(file: File, text: &str) -> Result<Self, TableError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let first = text.lines().next().unwrap_or("");
        let delimiter = if first.contains(';') && !first.contains(',') {
            b';'
        } else {
            b','
        };
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let broken = |row: usize, error: &csv::Error| match error.kind() {
            csv::ErrorKind::UnequalLengths {
                expected_len, len, ..
            } => fault(
                file,
                row,
                "(all)",
                format!("{len} values under {expected_len} columns"),
            ),
            _ => fault(file, row, "(all)", error.to_string()),
        };
        let header: Vec<String> = match reader.headers() {
            Ok(header) => header.iter().map(ToOwned::to_owned).collect(),
            Err(error) => return Err(broken(1, &error)),
        };
        let mut records = Vec::new();
        for record in reader.records() {
            records.push(record.map_err(|error| broken(records.len() + 2, &error))?);
        }
        for (i, name) in header.iter().enumerate() {
            if name.chars().any(char::is_control) {
                let shown: String = name.chars().filter(|c| !c.is_control()).take(40).collect();
                let why = "a line end in the name of a column; is a quotation mark not closed?";
                return Err(fault(file, 1, &shown, why));
            }
            if header[..i].contains(name) {
                return Err(fault(file, 1, name, "the column is there twice"));
            }
        }
        Ok(Self {
            file,
            header,
            records,
        })
    }

    fn at(&self, name: &str) -> Result<usize, TableError> {
        self.header.iter().position(|h| h == name).ok_or_else(|| {
            fault(
                self.file,
                1,
                name,
                format!("the column is missing (there are: {})", self.header.join(", ")),
            )
        })
    }

    fn maybe(&self, name: &str) -> Option<usize> {
        self.header.iter().position(|h| h == name)
    }
}

/// A whole number from 0 on; spreadsheets that know only broken numbers write `12.0`.
fn count(text: &str) -> Result<Option<u64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let whole = text.split_once('.').map_or(text, |(whole, rest)| {
        if !rest.is_empty() && rest.bytes().all(|b| b == b'0') {
            whole
        } else {
            text
        }
    });
    match whole.parse::<u64>() {
        Ok(count) if count <= GREATEST_COUNT && !whole.starts_with('+') => Ok(Some(count)),
        Ok(_) => Err(format!("{text:?} is more than {GREATEST_COUNT}")),
        Err(_) if whole.starts_with('-') && whole[1..].parse::<u64>().is_ok() => {
            Err(format!("{text:?} is negative; a number of items is meant"))
        }
        Err(_) => Err(format!("{text:?} is no whole number; a number of items is meant")),
    }
}

fn number(text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    // f64's own reading takes "NaN" and "inf" too: neither is an answer.
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value.abs() <= sampling::column::GREATEST_VALUE => {
            // -0.0 is the number 0.
            Ok(Some(value + 0.0))
        }
        Ok(_) => Err(format!(
            "{text:?} is no number that can be computed with (nothing at all means: not known)"
        )),
        Err(_) => Err(format!("{text:?} is no number (nothing at all means: not known)")),
    }
}

fn read_boxes(text: &str) -> Result<Vec<BoxRow>, TableError> {
    let sheet = Sheet::read(File::Boxes, text)?;
    let known = ["stratum", "box_id", "sampled", "items_in_box", "status", "size"];
    if let Some(other) = sheet.header.iter().find(|h| !known.contains(&h.as_str())) {
        return Err(fault(
            File::Boxes,
            1,
            other,
            format!("not a column of this table ({} are)", known.join(", ")),
        ));
    }
    let (stratum, box_id) = (sheet.at("stratum")?, sheet.at("box_id")?);
    let (sampled, items) = (sheet.at("sampled")?, sheet.at("items_in_box")?);
    let (status, size) = (sheet.maybe("status"), sheet.maybe("size"));
    let mut rows = Vec::with_capacity(sheet.records.len());
    for (i, record) in sheet.records.iter().enumerate() {
        let bad = |column: &str, problem: String| fault(File::Boxes, i + 2, column, problem);
        let text = |at: Option<usize>| at.and_then(|at| record.get(at)).unwrap_or("");
        let drawn = match text(Some(sampled)) {
            "1" => true,
            "0" => false,
            other => return Err(bad("sampled", format!("{other:?} is neither 1 nor 0"))),
        };
        let was = text(status);
        let named = || {
            Status::NAMES
                .iter()
                .find(|(name, _)| *name == was)
                .map(|(_, status)| *status)
        };
        let status = match named() {
            Some(status) => status,
            None if was.is_empty() => Status::Checked,
            None => {
                let names: Vec<&str> = Status::NAMES.iter().map(|(name, _)| *name).collect();
                return Err(bad("status", format!("{was:?} is none of {}", names.join(", "))));
            }
        };
        let size = number(text(size)).map_err(|problem| bad("size", problem))?;
        if size.is_some_and(|size| size < 0.0) {
            return Err(bad("size", "a size is not negative".to_owned()));
        }
        rows.push(BoxRow {
            stratum: text(Some(stratum)).to_owned(),
            box_id: text(Some(box_id)).to_owned(),
            sampled: drawn,
            items_in_box: count(text(Some(items))).map_err(|problem| bad("items_in_box", problem))?,
            status,
            size,
        });
    }
    Ok(rows)
}

fn read_items(text: &str) -> Result<(Vec<ItemRow>, Vec<Column>), TableError> {
    let sheet = Sheet::read(File::Items, text)?;
    let own = [sheet.at("stratum")?, sheet.at("box_id")?, sheet.at("item_id")?];
    let further: Vec<usize> = (0..sheet.header.len()).filter(|at| !own.contains(at)).collect();
    if let Some(at) = further.iter().find(|at| sheet.header[**at].is_empty()) {
        return Err(fault(
            File::Items,
            1,
            &format!("{}", at + 1),
            "the column has no name",
        ));
    }
    let mut conditions = vec![true; further.len()];
    let mut rows = Vec::with_capacity(sheet.records.len());
    for (i, record) in sheet.records.iter().enumerate() {
        let mut values = Vec::with_capacity(further.len());
        for (j, at) in further.iter().enumerate() {
            let bad = |problem: String| fault(File::Items, i + 2, &sheet.header[*at], problem);
            let value = number(record.get(*at).unwrap_or("")).map_err(bad)?;
            conditions[j] &=
                value.is_none_or(|v| v.to_bits() == 0.0f64.to_bits() || v.to_bits() == 1.0f64.to_bits());
            values.push(value);
        }
        let [stratum, box_id, item_id] = own.map(|at| record.get(at).unwrap_or("").to_owned());
        rows.push(ItemRow {
            stratum,
            box_id,
            item_id,
            values,
        });
    }
    let kinds = conditions.into_iter().map(|condition| {
        if condition {
            Kind::Condition
        } else {
            Kind::Quantity
        }
    });
    let columns = further.iter().zip(kinds).map(|(at, kind)| Column {
        name: sheet.header[*at].clone(),
        kind,
    });
    Ok((rows, columns.collect()))
}

impl Tables {
    /// Reads both tables from the text of their files. [`Tables::sample`] checks what they say together.
    ///
    /// # Errors
    /// A [`TableError`] that names the row and the column of the first value that cannot be read.
    pub fn read(boxes: &str, items: &str) -> Result<Self, TableError> {
        let boxes = read_boxes(boxes)?;
        let (items, columns) = read_items(items)?;
        Ok(Self {
            boxes,
            items,
            columns,
        })
    }

    /// The table of boxes as CSV: commas, LF, a header; a status for sampled boxes, a size column where any box has one.
    #[must_use]
    pub fn to_boxes_csv(&self) -> String {
        let sized = self.boxes.iter().any(|row| row.size.is_some());
        let mut header = vec!["stratum", "box_id", "sampled", "items_in_box", "status"];
        if sized {
            header.push("size");
        }
        let mut out = Writer::new(&header);
        for row in &self.boxes {
            let mut record = vec![
                row.stratum.clone(),
                row.box_id.clone(),
                if row.sampled { "1" } else { "0" }.to_owned(),
                row.items_in_box
                    .map(|count| count.to_string())
                    .unwrap_or_default(),
                if row.sampled { row.status.name() } else { "" }.to_owned(),
            ];
            if sized {
                record.push(shown(row.size));
            }
            out.write(&record);
        }
        out.text
    }

    /// The table of items as CSV: commas, LF, a header; numbers in their shortest form that reads back the same.
    #[must_use]
    pub fn to_items_csv(&self) -> String {
        let names = self.columns.iter().map(|column| column.name.as_str());
        let header: Vec<&str> = ["stratum", "box_id", "item_id"]
            .into_iter()
            .chain(names)
            .collect();
        let mut out = Writer::new(&header);
        for row in &self.items {
            let own = [row.stratum.clone(), row.box_id.clone(), row.item_id.clone()];
            let record: Vec<String> = own
                .into_iter()
                .chain(row.values.iter().map(|v| shown(*v)))
                .collect();
            out.write(&record);
        }
        out.text
    }
}

fn shown(value: Option<f64>) -> String {
    value.map(|v| v.to_string()).unwrap_or_default()
}

/// Writes records, quoting only where a value needs it.
struct Writer {
    text: String,
}

impl Writer {
    fn new<S: AsRef<str>>(header: &[S]) -> Self {
        let mut made = Self { text: String::new() };
        made.write(header);
        made
    }

    fn write<S: AsRef<str>>(&mut self, record: &[S]) {
        for (i, value) in record.iter().enumerate() {
            if i > 0 {
                self.text.push(',');
            }
            let value = value.as_ref();
            let plain = !value.contains([',', '"', '\n', '\r', ';']) && value.trim() == value;
            if plain {
                self.text.push_str(value);
            } else {
                self.text.push('"');
                self.text.push_str(&value.replace('"', "\"\""));
                self.text.push('"');
            }
        }
        self.text.push('\n');
    }
}
