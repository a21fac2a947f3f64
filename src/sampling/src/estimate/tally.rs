//! One column counted up box by box: all that its estimates need of the rows, read once.

use super::filled::{Filled, Told};
use super::known::Yes;
use crate::column::{Cell, Column};
use crate::design::{Design, DesignBox, DesignStratum, Part, Status};
use crate::interval::blended::BoxAnswers;
use crate::linear::BoxTotal;
use crate::math::{Total, sum};

/// One box's answers to one question.
#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    /// Rows drawn; 0 where the box is answered at once, and the three numbers below count it as one.
    rows: usize,
    known: f64,
    unknown: f64,
    withheld: f64,
    /// Mean of the known values.
    mean: f64,
    /// Their squared deviations from it.
    squares: f64,
    /// Whether one of them is under 0.
    negative: bool,
}

impl Tally {
    fn answers(&self) -> f64 {
        self.known + self.unknown + self.withheld
    }

    /// The mean of a variable over the rows; 0 where there are none.
    fn mean_of(&self, z: Affine) -> f64 {
        let answers = self.answers();
        if answers <= 0.0 {
            return 0.0;
        }
        let of_known = z.slope * self.mean + z.constant;
        (self.known * of_known + self.unknown * z.unknown) / answers
    }
}

/// A column's tallies over the boxes of a part, and the sums that they make.
pub(super) struct Tallies<'a> {
    part: &'a Part<'a>,
    boxes: Vec<Tally>,
    /// Of each stratum, where the column is known in full.
    pub(super) yes: Vec<Option<Yes>>,
    /// Expansion total of known values.
    pub(super) values: f64,
    /// Estimated items whose answer is known.
    pub(super) known: f64,
    /// Estimated items known or unknown without a stop.
    pub(super) judged: f64,
    /// The same with unknown answers filled in by their strata.
    pub(super) filled: Filled,
    /// Known values of the sample, added up over boxes with a count of their own.
    pub(super) seen: f64,
    /// Known items of those less known values: for a condition, the no's.
    pub(super) seen_no: f64,
    /// Known items of the sample.
    pub(super) seen_items: f64,
    /// Rows of the sample, unknown ones too; all items of a box that is answered at once.
    pub(super) rows: f64,
}

/// A variable that is linear in a known value and fixed for an unknown one; of a stopped box's unknown answers it is 0.
#[derive(Clone, Copy, Debug)]
pub(super) struct Affine {
    /// What a known value is multiplied by.
    pub(super) slope: f64,
    /// What is added to that.
    pub(super) constant: f64,
    /// The variable of an unknown answer.
    pub(super) unknown: f64,
}

/// The value itself.
const VALUE: Affine = Affine {
    slope: 1.0,
    constant: 0.0,
    unknown: 0.0,
};
/// 1 where it is known.
const KNOWN: Affine = Affine {
    slope: 0.0,
    constant: 1.0,
    unknown: 0.0,
};
/// 1 where it is known, or unknown without a stop.
const JUDGED: Affine = Affine {
    slope: 0.0,
    constant: 1.0,
    unknown: 1.0,
};

/// The answers of the items that are known to be in a domain.
pub(super) fn members_only(part: &Part<'_>, column: &Column, domain: &Column) -> Column {
    column.combined(part.design, domain, |value, member| {
        value.filter(|_| member == Some(1.0))
    })
}

fn tally(design: &Design, column: &Column, b: usize) -> Tally {
    let sampled = &design.boxes()[b];
    let mut made = Tally::default();
    if !sampled.reached() || sampled.items <= 0.0 {
        return made;
    }
    if column.is_whole(design, b) {
        match column.cell(design, b, None) {
            Cell::Known(value) => (made.known, made.mean, made.negative) = (1.0, value, value < 0.0),
            Cell::Unknown => made.unknown = 1.0,
            Cell::Withheld => made.withheld = 1.0,
        }
        return made;
    }
    made.rows = sampled.rows.len();
    if let Some((yes, known)) = column.counted(b, made.rows) {
        let missing = made.rows as f64 - known;
        let stopped = sampled.status == Status::Stopped;
        (made.unknown, made.withheld) = if stopped { (0.0, missing) } else { (missing, 0.0) };
        made.known = known;
        if known > 0.0 {
            made.mean = yes / known;
            made.squares = yes * (known - yes) / known;
        }
        return made;
    }
    let rows = || sampled.rows.clone().map(|row| column.cell(design, b, Some(row)));
    let mut total = Total::default();
    for cell in rows() {
        match cell {
            Cell::Known(value) => {
                made.known += 1.0;
                total.add(value);
                made.negative |= value < 0.0;
            }
            Cell::Unknown => made.unknown += 1.0,
            Cell::Withheld => made.withheld += 1.0,
        }
    }
    if made.known > 0.0 {
        made.mean = total.value() / made.known;
        let mut squares = Total::default();
        for cell in rows() {
            if let Cell::Known(value) = cell {
                squares.add((value - made.mean) * (value - made.mean));
            }
        }
        made.squares = squares.value();
    }
    made
}

impl<'a> Tallies<'a> {
    /// Counts a column up.
    pub(super) fn new(part: &'a Part<'a>, column: &Column) -> Self {
        let boxes = part.box_indices().map(|b| tally(part.design, column, b));
        Self::of_boxes(part, boxes.collect(), Yes::of(part.design, part.strata(), column))
    }

    /// Counts a column up over the items of a domain: what is not known to be in it is no unknown answer.
    pub(super) fn within(part: &'a Part<'a>, column: &Column, domain: &Column) -> Self {
        let inside = members_only(part, column, domain);
        let members = column.combined(part.design, domain, |_, member| {
            member.filter(|_| member == Some(1.0))
        });
        let boxes = part.box_indices().map(|b| {
            let mut made = tally(part.design, &inside, b);
            let own = tally(part.design, &members, b);
            let outside = made.unknown - (own.known - made.known).max(0.0).min(made.unknown);
            made.unknown -= outside;
            made.withheld += outside;
            made
        });
        Self::of_boxes(
            part,
            boxes.collect(),
            Yes::of(part.design, part.strata(), &inside),
        )
    }

    fn of_boxes(part: &'a Part<'a>, boxes: Vec<Tally>, yes: Vec<Option<Yes>>) -> Self {
        let mut made = Self {
            part,
            boxes,
            yes,
            values: 0.0,
            known: 0.0,
            judged: 0.0,
            filled: Filled::new(&[], 0.0, 0.0),
            seen: 0.0,
            seen_no: 0.0,
            seen_items: 0.0,
            rows: 0.0,
        };
        let [values, known, judged] = [VALUE, KNOWN, JUDGED].map(|z| made.expanded(z));
        let told: Vec<Told> = (0..part.strata().len())
            .map(|h| Told {
                values: values[h],
                known: known[h],
                judged: judged[h],
                boxes: made.telling_boxes(h),
            })
            .collect();
        [made.values, made.known, made.judged] = [values, known, judged].map(sum);
        made.filled = Filled::new(&told, made.values, made.known);
        for (tally, sampled) in made.boxes.iter().zip(&part.design.boxes()[part.box_indices()]) {
            let whole = tally.rows == 0;
            let known = tally.known * if whole { sampled.items } else { 1.0 };
            // How many items an uncounted box holds was not seen.
            if !(whole && sampled.imputed) {
                made.seen += known * tally.mean;
                made.seen_no += known * (1.0 - tally.mean);
            }
            made.seen_items += known;
            made.rows += if whole { known } else { tally.rows as f64 };
        }
        made
    }

    /// The expansion total of a variable in each stratum.
    fn expanded(&self, z: Affine) -> Vec<f64> {
        let first = self.part.box_indices().start;
        let boxes = self.part.design.boxes();
        let of = |stratum: &DesignStratum| {
            let own = stratum.boxes.clone();
            stratum.weight() * sum(own.map(|b| boxes[b].items * self.boxes[b - first].mean_of(z)))
        };
        self.part.strata().iter().map(of).collect()
    }

    /// Boxes of stratum `h` of the part that were not stopped and have a known answer.
    fn telling_boxes(&self, h: usize) -> usize {
        let first = self.part.box_indices().start;
        let own = self.part.strata()[h].boxes.clone();
        own.filter(|b| {
            self.part.design.boxes()[*b].status != Status::Stopped && self.boxes[b - first].known > 0.0
        })
        .count()
    }

    /// Of a box of the part, its stratum's place in it.
    fn stratum_of(&self, sampled: &DesignBox) -> usize {
        sampled.stratum - self.part.strata.start
    }

    /// The box totals of a variable of each stratum, by its place in the part.
    pub(super) fn totals(&self, z: impl Fn(usize) -> Affine) -> Vec<BoxTotal> {
        let boxes = &self.part.design.boxes()[self.part.box_indices()];
        let total = |(tally, sampled): (&Tally, &DesignBox)| {
            let (z, items) = (z(self.stratum_of(sampled)), sampled.items);
            if tally.answers() <= 0.0 {
                return BoxTotal::default();
            }
            let mean = tally.mean_of(z);
            let of_known = z.slope * tally.mean + z.constant;
            let off = |value: f64| (value - mean) * (value - mean);
            let between =
                tally.known * off(of_known) + tally.unknown * off(z.unknown) + tally.withheld * mean * mean;
            let squares = if tally.rows > 0 {
                z.slope * z.slope * tally.squares + between
            } else {
                0.0
            };
            BoxTotal {
                total: items * mean,
                mean,
                squares,
                rows: tally.rows,
            }
        };
        self.boxes.iter().zip(boxes).map(total).collect()
    }

    /// The total with what is unknown without a stop; nothing where nothing is known.
    pub(super) fn raised_total(&self) -> Option<f64> {
        let all = match self.judged > self.known {
            true => self.filled.values / self.filled.known * self.judged,
            false => self.values,
        };
        (self.known > 0.0).then_some(all)
    }

    /// The variable of that total in stratum `h` of the part.
    pub(super) fn raising(&self, h: usize) -> Affine {
        if self.known > 0.0 && self.judged > self.known {
            let p = self.filled.values / self.filled.known;
            self.filled.raised(h, p, self.judged / self.filled.known)
        } else {
            VALUE
        }
    }

    /// The estimated variance among the items about `center`: the squared deviations of the known ones, each raised to what it
    /// stands for, over their number.
    pub(super) fn spread(&self, center: f64) -> f64 {
        let boxes = &self.part.design.boxes()[self.part.box_indices()];
        let squares = self.boxes.iter().zip(boxes).map(|(tally, sampled)| {
            let own = tally.squares + tally.known * (tally.mean - center) * (tally.mean - center);
            let each = sampled.items / tally.rows.max(1) as f64;
            let rise = self.filled.rise(self.stratum_of(sampled));
            self.part.design.strata()[sampled.stratum].weight() * each * rise * own
        });
        sum(squares) / self.filled.known
    }

    /// Whether any known value is under 0.
    pub(super) fn negative(&self) -> bool {
        self.boxes.iter().any(|tally| tally.negative)
    }

    /// Whether any answer was withheld by a stop.
    pub(super) fn any_withheld(&self) -> bool {
        self.boxes.iter().any(|tally| tally.withheld > 0.0)
    }

    /// Of each box: whether a yes was seen in it, and whether there may be one that was not.
    pub(super) fn boxes_with(&self) -> Vec<(bool, bool)> {
        let boxes = &self.part.design.boxes()[self.part.box_indices()];
        let of = |(tally, sampled): (&Tally, &DesignBox)| {
            let seen = tally.known > 0.0 && tally.mean > 0.0;
            let read = if tally.rows == 0 {
                sampled.items * tally.known
            } else {
                tally.known
            };
            (seen, !seen && sampled.reached() && read < sampled.items)
        };
        self.boxes.iter().zip(boxes).map(of).collect()
    }

    /// A condition's boxes, as the blended interval wants them.
    pub(super) fn answers(&self) -> Vec<BoxAnswers> {
        let boxes = &self.part.design.boxes()[self.part.box_indices()];
        let answers = |(tally, sampled): (&Tally, &DesignBox)| {
            let stratum = &self.part.design.strata()[sampled.stratum];
            let whole = tally.rows == 0;
            // An imputed count may be broken; its answers are of whole items.
            let known = count(
                tally.known
                    * if whole {
                        sampled.items.round().max(1.0)
                    } else {
                        1.0
                    },
            );
            let yes = count((known as f64 * tally.mean).round());
            let rows = if whole { known as f64 } else { tally.rows as f64 };
            (known > 0).then(|| BoxAnswers {
                known,
                yes,
                weight: self.filled.rise(self.stratum_of(sampled)) * stratum.weight() * sampled.items / rows,
                box_fraction: stratum.fraction(),
                item_fraction: if whole { 1.0 } else { rows / sampled.items },
            })
        };
        self.boxes.iter().zip(boxes).filter_map(answers).collect()
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts are whole, positive and below 2^53"
)]
fn count(count: f64) -> u64 {
    count as u64
}
