//! Whether the tables are what they say, and the sampling design they hold.

use super::{BoxRow, Kind, Status, Tables, WHOLE_BOX};
use sampling::column::{Column, GREATEST_VALUE};
use sampling::design::{BoxSample, Design, DesignError, Draw, StratumSample};
use std::collections::{BTreeMap, BTreeSet};

/// The most items a box, and the most boxes a stratum, may be said to hold.
pub const GREATEST_COUNT: u64 = 1_000_000_000;

/// The file a fault is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    /// The table of boxes.
    Boxes,
    /// The table of items.
    Items,
}

impl core::fmt::Display for File {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(match self {
            Self::Boxes => "boxes.csv",
            Self::Items => "items.csv",
        })
    }
}

/// A fault of a table: where it is, and what is wrong. Rows are counted as a spreadsheet does, the header being row 1.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}, row {row}, column {column}: {problem}")]
pub struct TableError {
    /// Which table.
    pub file: File,
    /// Which row; 1 is the header.
    pub row: usize,
    /// Which column, by its name.
    pub column: String,
    /// What is wrong with the value.
    pub problem: String,
}

pub(super) fn fault(file: File, row: usize, column: &str, problem: impl Into<String>) -> TableError {
    TableError {
        file,
        row,
        column: column.to_owned(),
        problem: problem.into(),
    }
}

/// The design the tables hold and its columns, laid out in a canonical order: strata by key, boxes and items by identifier.
///
/// The order of the tables' rows therefore changes no figure, down to the last bit.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// The design.
    pub design: Design,
    /// The columns of [`Tables::columns`], in that order.
    pub columns: Vec<Column>,
}

/// The sheet row of the record at `index`.
fn sheet(index: usize) -> usize {
    index + 2
}

impl Tables {
    /// Checks that every box has a size, as a ratio total needs.
    ///
    /// # Errors
    /// A [`TableError`] that names the first box without one.
    pub fn check_sizes(&self) -> Result<(), TableError> {
        match self.boxes.iter().position(|row| row.size.is_none()) {
            Some(i) => {
                let problem = format!(
                    "box {:?} has no size: a ratio total needs every box's",
                    self.boxes[i].box_id
                );
                Err(fault(File::Boxes, sheet(i), "size", problem))
            }
            None => Ok(()),
        }
    }

    /// Checks both tables and builds the sampling design.
    ///
    /// # Errors
    /// A [`TableError`] that names the row and the column of the first bad value.
    pub fn sample(&self) -> Result<Sample, TableError> {
        let boxes = check_boxes(&self.boxes)?;
        let items = check_items(self, &boxes)?;
        let design = build_design(self, &items)?;
        // The records of each box of the design: the one for the whole box, and those of its items.
        let mut layout = Vec::with_capacity(design.boxes().len());
        for sampled in design.boxes() {
            let key = (design.strata()[sampled.stratum].key.as_str(), sampled.id.as_str());
            let own = items.get(&key).map_or(&[][..], Vec::as_slice);
            // "*" may stand anywhere among the identifiers.
            let whole = own.iter().copied().find(|i| self.items[*i].item_id == WHOLE_BOX);
            layout.push((
                whole,
                own.iter()
                    .copied()
                    .filter(|i| Some(*i) != whole)
                    .collect::<Vec<_>>(),
            ));
        }
        let columns = (0..self.columns.len()).map(|at| self.column(at, &design, &layout));
        let columns = columns.collect::<Result<Vec<_>, _>>()?;
        Ok(Sample { design, columns })
    }

    fn column(
        &self,
        at: usize,
        design: &Design,
        layout: &[(Option<usize>, Vec<usize>)],
    ) -> Result<Column, TableError> {
        let mut rows = Vec::with_capacity(design.rows());
        let mut whole = Vec::with_capacity(design.boxes().len());
        let name = &self.columns[at].name;
        for ((of_box, of_items), sampled) in layout.iter().zip(design.boxes()) {
            let start = rows.len();
            rows.extend(of_items.iter().map(|i| self.items[*i].values[at]));
            let answer = of_box.and_then(|i| self.items[i].values[at]);
            let answered = rows[start..]
                .iter()
                .position(Option::is_some)
                .map(|at| of_items[at]);
            if let (Some(index), Some(_), Some(other)) = (of_box, answer, answered) {
                let problem = format!(
                    "box {:?} has an answer for every item, and row {} has one of its own",
                    sampled.id,
                    sheet(other)
                );
                return Err(fault(File::Items, sheet(*index), name, problem));
            }
            whole.push(answer);
        }
        // Everything that a column is refused for was looked for above and in check_items.
        Column::new(design, rows, whole).map_err(|error| fault(File::Items, 1, name, error.to_string()))
    }
}

type Index<'t> = BTreeMap<(&'t str, &'t str), &'t BoxRow>;

fn check_boxes(boxes: &[BoxRow]) -> Result<Index<'_>, TableError> {
    let bad =
        |index: usize, column: &str, problem: String| Err(fault(File::Boxes, sheet(index), column, problem));
    if boxes.is_empty() {
        return bad(0, "box_id", "there is no box".to_owned());
    }
    let mut index: Index<'_> = BTreeMap::new();
    let mut reached: BTreeMap<&str, (usize, bool)> = BTreeMap::new();
    for (i, row) in boxes.iter().enumerate() {
        if row.stratum.trim().is_empty() {
            return bad(i, "stratum", "the stratum has no name".to_owned());
        }
        if row.box_id.trim().is_empty() {
            return bad(i, "box_id", "the box has no name".to_owned());
        }
        if index.insert((&row.stratum, &row.box_id), row).is_some() {
            return bad(
                i,
                "box_id",
                format!("box {:?} of stratum {:?} is there twice", row.box_id, row.stratum),
            );
        }
        // A count of 0 is what some programs write where there is none.
        if !row.sampled && row.items_in_box.is_some_and(|count| count > 0) {
            return bad(
                i,
                "items_in_box",
                format!(
                    "box {:?} was not sampled, and has a number of items: only sampled boxes have one here",
                    row.box_id
                ),
            );
        }
        if !row.sampled && row.status != Status::Checked {
            let problem = format!(
                "box {:?} was not sampled, and is {}",
                row.box_id,
                row.status.name()
            );
            return bad(i, "status", problem);
        }
        if row.items_in_box.is_some_and(|count| count > GREATEST_COUNT) {
            return bad(i, "items_in_box", format!("more than {GREATEST_COUNT} items"));
        }
        if row.sampled && row.status == Status::Checked && row.items_in_box.is_none() {
            return bad(
                i,
                "items_in_box",
                "a checked box needs its number of items (0 if it is empty)".to_owned(),
            );
        }
        if let Some(size) = row
            .size
            .filter(|size| !size.is_finite() || *size < 0.0 || *size > GREATEST_VALUE)
        {
            return bad(
                i,
                "size",
                format!("{size} is no size: a number from 0 on is meant"),
            );
        }
        let entry = reached.entry(&row.stratum).or_insert((i, false));
        entry.1 |= row.sampled && row.status != Status::NotReached;
    }
    match reached.iter().find(|(_, (_, reached))| !reached) {
        Some((stratum, (i, _))) => {
            let problem = format!(
                "no box of stratum {stratum:?} was sampled and reached, so nothing can be said of it"
            );
            bad(*i, "sampled", problem)
        }
        None => Ok(index),
    }
}

/// The records of each box, by item; every record belongs to a box that can have it.
fn check_items<'t>(
    tables: &'t Tables,
    boxes: &Index<'t>,
) -> Result<BTreeMap<(&'t str, &'t str), Vec<usize>>, TableError> {
    let mut names = BTreeSet::new();
    for column in &tables.columns {
        if !names.insert(column.name.as_str()) {
            return Err(fault(File::Items, 1, &column.name, "the column is there twice"));
        }
    }
    let mut records: BTreeMap<(&str, &str), Vec<usize>> = BTreeMap::new();
    for (i, row) in tables.items.iter().enumerate() {
        let bad = |column: &str, problem: String| Err(fault(File::Items, sheet(i), column, problem));
        let Some(owner) = boxes.get(&(row.stratum.as_str(), row.box_id.as_str())) else {
            return bad(
                "box_id",
                format!("there is no box {:?} in stratum {:?}", row.box_id, row.stratum),
            );
        };
        if row.item_id.trim().is_empty() {
            return bad("item_id", "the item has no name".to_owned());
        }
        let cannot = match owner.status {
            _ if !owner.sampled => Some("was not sampled"),
            Status::NotReached => Some("was not reached"),
            Status::OutOfScope => Some("is out of scope"),
            Status::Checked | Status::Stopped => None,
        };
        if let Some(why) = cannot {
            return bad("box_id", format!("box {:?} {why}, and has an item", row.box_id));
        }
        if row.values.len() != tables.columns.len() {
            return bad(
                "item_id",
                format!("{} values for {} columns", row.values.len(), tables.columns.len()),
            );
        }
        for (value, column) in row.values.iter().zip(&tables.columns) {
            let Some(value) = value else { continue };
            if !value.is_finite() || value.abs() > GREATEST_VALUE {
                return bad(
                    &column.name,
                    format!("{value:?} is no number that can be computed with"),
                );
            }
            let yes_or_no = value.to_bits() == 0.0f64.to_bits() || value.to_bits() == 1.0f64.to_bits();
            if column.kind == Kind::Condition && !yes_or_no {
                return bad(&column.name, format!("a condition is 0 or 1, not {value}"));
            }
        }
        records.entry((&row.stratum, &row.box_id)).or_default().push(i);
    }
    for (key, records) in &mut records {
        records.sort_by(|a, b| {
            tables.items[*a]
                .item_id
                .cmp(&tables.items[*b].item_id)
                .then(a.cmp(b))
        });
        if let Some(pair) = records
            .windows(2)
            .find(|pair| tables.items[pair[0]].item_id == tables.items[pair[1]].item_id)
        {
            let problem = format!(
                "item {:?} of box {:?} is there twice",
                tables.items[pair[1]].item_id, key.1
            );
            return Err(fault(File::Items, sheet(pair[1]), "item_id", problem));
        }
        check_count(tables, boxes, *key, records)?;
    }
    Ok(records)
}

fn check_count(
    tables: &Tables,
    boxes: &Index<'_>,
    key: (&str, &str),
    records: &[usize],
) -> Result<(), TableError> {
    let Some(owner) = boxes.get(&key) else {
        return Ok(());
    };
    let mut own: Vec<usize> = records
        .iter()
        .copied()
        .filter(|i| tables.items[*i].item_id != WHOLE_BOX)
        .collect();
    own.sort_unstable();
    let bad = |i: usize, problem: String| Err(fault(File::Items, sheet(i), "item_id", problem));
    match owner.items_in_box {
        Some(items) => {
            let over = usize::try_from(items)
                .ok()
                .and_then(|items| own.get(items).map(|i| (items, *i)));
            if let Some((items, i)) = over {
                return bad(
                    i,
                    format!(
                        "box {:?} has {items} items, and here is row {} of it",
                        key.1,
                        items + 1
                    ),
                );
            }
            if let (0, Some(i)) = (items, records.first()) {
                return bad(*i, format!("box {:?} holds nothing, and has an answer", key.1));
            }
            Ok(())
        }
        None => own.first().map_or(Ok(()), |i| {
            bad(
                *i,
                format!(
                    "box {:?} has rows of items and no number of items in boxes.csv",
                    key.1
                ),
            )
        }),
    }
}

fn build_design(tables: &Tables, records: &BTreeMap<(&str, &str), Vec<usize>>) -> Result<Design, TableError> {
    let boxes = &tables.boxes;
    let mut strata: BTreeMap<&str, BTreeMap<&str, &BoxRow>> = BTreeMap::new();
    for row in boxes {
        strata.entry(&row.stratum).or_default().insert(&row.box_id, row);
    }
    let mut made = Vec::with_capacity(strata.len());
    for (key, boxes) in strata {
        let size: Option<f64> = boxes.values().map(|row| row.size).sum();
        let sample = boxes.iter().filter(|(_, row)| row.sampled).map(|(id, row)| {
            let of_items = |index: &&usize| tables.items[**index].item_id != WHOLE_BOX;
            let own = records
                .get(&(key, *id))
                .map_or(0, |own| own.iter().filter(of_items).count());
            BoxSample {
                id: (*id).to_owned(),
                status: row.status.into(),
                items: row.items_in_box,
                rows: own,
                size: row.size,
            }
        });
        made.push(StratumSample {
            key: key.to_owned(),
            frame_boxes: boxes.len() as u64,
            frame_size: size,
            draw: Draw::Random,
            sample: sample.collect(),
        });
    }
    Design::new(made).map_err(|error| {
        let row = match &error {
            DesignError::NothingReached(stratum) | DesignError::NoCounts(stratum) => {
                boxes.iter().position(|row| &row.stratum == stratum)
            }
            _ => None,
        };
        fault(
            File::Boxes,
            row.map_or(1, sheet),
            "items_in_box",
            error.to_string(),
        )
    })
}

impl From<Status> for sampling::design::Status {
    fn from(status: Status) -> Self {
        match status {
            Status::Checked => Self::Checked,
            Status::NotReached => Self::NotReached,
            Status::Stopped => Self::Stopped,
            Status::OutOfScope => Self::OutOfScope,
        }
    }
}
