//! A share of items that are known in full: all it takes are a few sums of each stratum.
//!
//! With `t_i = M_i y_i / m_i`, `y_i` yes of the `m_i` read items of a box of `M_i`, and `n` boxes, the squares of `z_i = t_i - r M_i`
//! about their mean are
//!
//! ```text
//! n sum (z - z_mean)^2 = a - 2 r b + r^2 c,   a = n sum t^2 - (sum t)^2,  b = n sum t M - sum t sum M,  c = n sum M^2 - (sum M)^2
//! ```
//!
//! and what the items of a box read in part add does not know r: `M (M - m) / m` times `y (m - y) / (m (m - 1))`. So one sweep over the
//! boxes serves the whole and every stratum. Of boxes read whole the sums are whole numbers, without any rounding; of yes and no the
//! rarer one is `y`. Where the difference would lose digits, or a rule asks for more, the general way is taken.

use super::share::Ratio;
use crate::column::{Column, Counts};
use crate::design::{Design, DesignStratum, Part, Read};
use crate::math::Total;
use crate::systematic::Rule;

/// What a stratum's boxes have of a condition.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Yes {
    /// `sum t`.
    yes: f64,
    /// `sum t^2`.
    squares: f64,
    /// `sum t M`.
    products: f64,
    /// `sum M (M - m) / m s^2(y)`, before the stratum's weight.
    inside: f64,
}

impl Yes {
    /// Of each of some strata; nothing of one whose boxes were not read so, or where a column is not known in full, item by item.
    pub(super) fn of(design: &Design, strata: &[DesignStratum], column: &Column) -> Vec<Option<Self>> {
        let counts = column
            .counts()
            .filter(|counts| counts.known.is_none() && column.fits(design));
        let of = |stratum: &DesignStratum| {
            let (read, counts) = (stratum.read?, counts?);
            Some(match read.in_part {
                false => Self::of_whole(design, stratum, counts),
                true => Self::of_parts(design, stratum, counts),
            })
        };
        strata.iter().map(of).collect()
    }

    fn of_whole(design: &Design, stratum: &DesignStratum, counts: &Counts) -> Self {
        let own = stratum.boxes.clone();
        let (mut sum, mut squares, mut products) = (0, 0, 0);
        for (yes, rows) in counts.yes[own.clone()].iter().zip(&design.rows_of()[own]) {
            let (yes, rows) = (u64::from(*yes), u64::from(*rows));
            sum += yes;
            squares += yes * yes;
            products += yes * rows;
        }
        Self {
            yes: sum as f64,
            squares: squares as f64,
            products: products as f64,
            inside: 0.0,
        }
    }

    fn of_parts(design: &Design, stratum: &DesignStratum, counts: &Counts) -> Self {
        let own = stratum.boxes.clone();
        let mut made = Self::default();
        let boxes = design.rows_of()[own.clone()]
            .iter()
            .zip(&design.items_of()[own.clone()]);
        for (yes, (rows, items)) in counts.yes[own].iter().zip(boxes) {
            let (yes, rows) = (f64::from(*yes), f64::from(*rows));
            // A box without rows has no items either.
            let total = items * (yes / rows.max(1.0));
            made.yes += total;
            made.squares += total * total;
            made.products += total * items;
            let below = (rows * rows * (rows - 1.0)).max(1.0);
            made.inside += items * (items - rows) * (yes * (rows - yes)) / below;
        }
        made
    }

    /// The same of the items that are not yes.
    fn opposite(self, all: Read) -> Self {
        Self {
            yes: all.items - self.yes,
            squares: all.squares + self.squares - 2.0 * self.products,
            products: all.squares - self.products,
            inside: self.inside,
        }
    }

    /// `n sum (z - z_mean)^2`; nothing where rounding would be felt.
    fn spread(self, all: Read, n: f64, r: f64) -> Option<f64> {
        let a = n * self.squares - self.yes * self.yes;
        let b = n * self.products - self.yes * all.items;
        let c = n * all.squares - all.items * all.items;
        let made = a - 2.0 * r * b + r * r * c;
        let terms = n * (self.squares + 2.0 * r * self.products + r * r * all.squares);
        (made >= 1e-5 * terms).then_some(made)
    }
}

/// The share over a part and what its errors are made of, from the sums of its strata; nothing where it takes more than they are.
pub(super) fn ratio(part: &Part<'_>, own: &[Option<Yes>]) -> Option<Ratio> {
    let (mut yes, mut no, mut items) = (Total::default(), Total::default(), Total::default());
    let mut rows = 0.0;
    for (stratum, own) in part.strata().iter().zip(own) {
        let (all, own) = (stratum.read?, (*own)?);
        if stratum.lonely() || stratum.rule() != Rule::AsRandom {
            return None;
        }
        let weight = stratum.weight();
        yes.add(weight * own.yes);
        no.add(weight * (all.items - own.yes));
        items.add(weight * all.items);
        rows += all.rows;
    }
    let (yes, no, items) = (yes.value(), no.value(), items.value());
    if items <= 0.0 {
        return None;
    }
    let (r, rarer) = (yes / items, yes.min(no) / items);
    let mut variance = Total::default();
    for (stratum, own) in part.strata().iter().zip(own) {
        let (all, own) = (stratum.read?, (*own)?);
        let own = if yes <= no { own } else { own.opposite(all) };
        let (n, weight) = (stratum.reached_f64(), stratum.weight());
        variance.add(weight * own.inside);
        if !stratum.census() {
            let squares = own.spread(all, n, rarer)?;
            variance.add(weight * weight * (1.0 - stratum.fraction()) * squares / (n - 1.0));
        }
    }
    Some(Ratio {
        r,
        v: variance.value().max(0.0) / (items * items),
        spread: (yes * (1.0 - r) * (1.0 - r) + no * r * r) / items,
        known: items,
        n: rows,
    })
}
