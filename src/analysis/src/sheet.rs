//! A survey's sample laid out for the estimators at once, without the text of its tables: the same figures as from
//! [`records::items`] and [`records::carriers`], in a small part of the time and memory.

use std::collections::BTreeMap;

use sampling::column::Column;
use sampling::design::{BoxSample, Design, Draw, StratumSample};
use survey::progress::Outcome;
use survey::{ItemId, Serial, State, Subject, at_once};
use tape::{Answer, Hours};

use crate::figures::Seen;
use crate::records::{self, Base};
use crate::tables::{self, Kind, Sample};

/// A sample with what was seen in it.
pub(crate) struct Sheet {
    pub(crate) sample: Sample,
    pub(crate) columns: Vec<tables::Column>,
    /// Items that were looked at one by one.
    pub(crate) n_items: usize,
    /// Of each column that is a condition, by its name: all of it, and by stratum.
    pub(crate) seen: BTreeMap<String, (Seen, BTreeMap<String, Seen>)>,
}

/// One sampled box, under the names it has in a table.
pub(crate) struct Named {
    stratum: String,
    id: String,
    serial: Serial,
    outcome: Outcome,
    n_items: Option<u64>,
}

impl Named {
    /// Its items, where they were counted.
    pub(crate) fn n_counted(&self) -> Option<u64> {
        self.n_items.filter(|_| self.outcome == Outcome::Checked)
    }
}

/// Answers by column as they are gathered, box after box.
#[derive(Default)]
struct Gathered {
    conditions: Vec<Vec<Option<bool>>>,
    quantities: Vec<Vec<Option<f64>>>,
    /// Of each box what answers for all its items, by column; empty where nothing does.
    whole: Vec<Vec<Option<f64>>>,
    /// Of each box its rows.
    rows: Vec<usize>,
}

/// The drawn items of the [`named`] boxes, as [`records::items`] has them. `None` of a sample that the tables refuse, or might: they
/// name the row.
pub(crate) fn items(state: &State, base: &Base, boxes: &[Named]) -> Option<Sheet> {
    let columns = records::item_columns();
    let is_condition = |column: &&tables::Column| column.kind == Kind::Condition;
    let n_conditions = columns.iter().filter(is_condition).count();
    let empty = || Gathered {
        conditions: vec![Vec::new(); n_conditions],
        quantities: vec![Vec::new(); columns.len() - n_conditions],
        ..Gathered::default()
    };
    let parts: Vec<&[Named]> = boxes.chunks(AT_ONCE).collect();
    let mut made = empty();
    for part in at_once::map(&parts, |boxes| gathered(state, boxes, empty())) {
        made.append(part?);
    }
    made.laid(columns, boxes, base)
}

/// How many boxes are gathered in one piece: a small survey has several, too.
const AT_ONCE: usize = 16;

/// The drawn items of some boxes, added to what is empty yet.
fn gathered(state: &State, boxes: &[Named], mut made: Gathered) -> Option<Gathered> {
    let mut hours = Hours::default();
    for of in boxes {
        let laid = state.laid_box(of.serial);
        let (mut rows, mut whole) = (0, Vec::new());
        match of.outcome {
            Outcome::Checked => {
                let mut positions = state.positions(of.serial);
                // As the identifiers sort, which decides in what order numbers are added up.
                positions.sort_by_cached_key(ToString::to_string);
                rows = positions.len();
                for position in positions {
                    let item = state.laid_item(
                        &laid,
                        ItemId {
                            serial: of.serial,
                            position,
                        },
                    );
                    let conditions = item
                        .conditions()
                        .chain(records::action_answers(Some(item.action())));
                    for (column, answer) in made.conditions.iter_mut().zip(conditions) {
                        column.push(answer);
                    }
                    let quantities = records::quantity_values(&mut hours, &item);
                    for (column, value) in made.quantities.iter_mut().zip(quantities) {
                        column.push(value);
                    }
                }
            }
            Outcome::Stopped | Outcome::Uncounted if of.n_items != Some(0) => {
                let class = records::whole_box_action(&laid);
                let answers = laid.conditions().chain(records::action_answers(class));
                whole = answers
                    .map(|answer| answer.map(|yes| f64::from(u8::from(yes))))
                    .collect();
            }
            Outcome::Stopped | Outcome::NotReached | Outcome::OutOfScope => {}
            // An answer for no items: the tables say what is wrong with it.
            Outcome::Uncounted => return None,
        }
        made.rows.push(rows);
        made.whole.push(whole);
    }
    Some(made)
}

/// Every counted item of a checked box, as [`records::carriers`] has them.
pub(crate) fn carriers(state: &State, base: &Base, boxes: &[Named]) -> Option<Sheet> {
    let columns = records::carrier_columns();
    let checked = records::checked_carriers();
    let mut made = Gathered {
        conditions: vec![Vec::new(); columns.len()],
        ..Gathered::default()
    };
    for of in boxes {
        let counts = match state.answer(Subject::Box(of.serial), "count") {
            Some(Answer::Counts(counts)) if of.outcome == Outcome::Checked => Some(counts),
            _ => None,
        };
        let n_items = counts.and(of.n_items).unwrap_or(0);
        let mut left = usize::try_from(n_items).unwrap_or(usize::MAX);
        let before = left;
        for (at, key) in checked.iter().enumerate() {
            let counted = counts.and_then(|counts| counts.get(*key)).copied().unwrap_or(0);
            let own = usize::try_from(counted).unwrap_or(usize::MAX).min(left);
            left -= own;
            for (column, answers) in made.conditions.iter_mut().enumerate() {
                answers.extend(std::iter::repeat_n(Some(column == at), own));
            }
        }
        made.rows.push(before - left);
        made.whole.push(Vec::new());
    }
    made.laid(columns, boxes, base)
}

/// The sampled boxes in the order in which tables lay them out: by the text of stratum and serial.
pub(crate) fn named(state: &State, base: &Base) -> Vec<Named> {
    let of = |(serial, stratum, outcome): &(Serial, _, Outcome)| Named {
        stratum: ToString::to_string(stratum),
        id: serial.to_string(),
        serial: *serial,
        outcome: *outcome,
        n_items: records::n_items(state, *serial, *outcome),
    };
    let mut named: Vec<Named> = at_once::map(&base.sample, of);
    named.sort_by(|a, b| (&a.stratum, &a.id).cmp(&(&b.stratum, &b.id)));
    named
}

impl Gathered {
    /// Adds what was gathered of the boxes that follow.
    fn append(&mut self, mut next: Self) {
        for (column, more) in self.conditions.iter_mut().zip(next.conditions) {
            column.extend(more);
        }
        for (column, more) in self.quantities.iter_mut().zip(next.quantities) {
            column.extend(more);
        }
        self.whole.append(&mut next.whole);
        self.rows.append(&mut next.rows);
    }

    fn laid(self, columns: Vec<tables::Column>, boxes: &[Named], base: &Base) -> Option<Sheet> {
        let seen = self.seen(&columns, boxes);
        let mut strata = Vec::new();
        let mut rows = self.rows.iter();
        for own in boxes.chunk_by(|a, b| a.stratum == b.stratum) {
            let key = own.first()?.stratum.clone();
            let frame_boxes = base
                .sizes
                .iter()
                .find(|(stratum, _)| stratum.to_string() == key)?
                .1;
            let sample = own.iter().zip(&mut rows).map(|(of, rows)| BoxSample {
                id: of.id.clone(),
                status: records::status(of.outcome).into(),
                items: of.n_items,
                rows: *rows,
                size: None,
            });
            strata.push(StratumSample {
                key,
                frame_boxes: *frame_boxes as u64,
                // Only ratio totals ask for it, and figures are none.
                frame_size: None,
                draw: Draw::Random,
                sample: sample.collect(),
            });
        }
        if strata.len() != base.sizes.len() {
            return None;
        }
        let design = Design::new(strata).ok()?;
        let n_items = design.rows();
        let whole_of = |at: usize| -> Vec<Option<f64>> {
            let whole = self.whole.iter();
            whole.map(|own| own.get(at).copied().flatten()).collect()
        };
        let (mut conditions, mut quantities) = (self.conditions.into_iter(), self.quantities.into_iter());
        let mut made = Vec::with_capacity(columns.len());
        for (at, column) in columns.iter().enumerate() {
            let column = match column.kind {
                Kind::Condition => Column::of_answers_and_boxes(&design, conditions.next()?, whole_of(at)),
                Kind::Quantity => Column::new(&design, quantities.next()?, whole_of(at)),
            };
            made.push(column.ok()?);
        }
        Some(Sheet {
            sample: Sample {
                design,
                columns: made,
            },
            columns,
            n_items,
            seen,
        })
    }

    fn seen(
        &self,
        columns: &[tables::Column],
        boxes: &[Named],
    ) -> BTreeMap<String, (Seen, BTreeMap<String, Seen>)> {
        let conditions = columns.iter().filter(|column| column.kind == Kind::Condition);
        let mut seen = BTreeMap::new();
        for (column, answers) in conditions.zip(&self.conditions) {
            let (mut all, mut by_stratum) = (Seen::default(), BTreeMap::new());
            let mut start = 0;
            let mut rows = self.rows.iter();
            for own in boxes.chunk_by(|a, b| a.stratum == b.stratum) {
                let mut here = Seen::default();
                for rows in rows.by_ref().take(own.len()) {
                    here.take(&answers[start..start + rows]);
                    start += rows;
                }
                all = all.and(here);
                by_stratum.extend(own.first().map(|of| (of.stratum.clone(), here)));
            }
            seen.insert(column.name.clone(), (all, by_stratum));
        }
        seen
    }
}
