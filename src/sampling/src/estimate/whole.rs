//! A share of boxes that were read whole and are known in full: all it takes are a few whole numbers of each stratum.
//!
//! With `y_i` yes of `m_i` items, `z_i = y_i - r m_i` and `n` boxes, the boxes' squares about their mean are
//!
//! ```text
//! n sum (z - z_mean)^2 = a - 2 r b + r^2 c,   a = n sum y^2 - (sum y)^2,  b = n sum y m - sum y sum m,  c = n sum m^2 - (sum m)^2
//! ```
//!
//! where a, b and c are whole numbers, made without any rounding; of yes and no the rarer one is `y`. There is no second stage. One
//! sweep over the boxes serves the whole and every stratum, whatever r is.

use super::share::Ratio;
use crate::column::{Column, Counts};
use crate::design::{Design, DesignStratum, Part, ReadWhole};
use crate::math::Total;
use crate::systematic::Rule;

/// What a stratum's boxes have of a condition.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Yes {
    /// `sum y`.
    yes: u64,
    /// `sum y^2`.
    squares: u64,
    /// `sum y m`.
    products: u64,
}

impl Yes {
    /// Of each of some strata; nothing of one whose boxes were not read whole, or where a column is not known in full, item by item.
    pub(super) fn of(design: &Design, strata: &[DesignStratum], column: &Column) -> Vec<Option<Self>> {
        let counts = column
            .counts()
            .filter(|counts| counts.known.is_none() && column.fits(design));
        let of = |stratum: &DesignStratum| {
            stratum.read_whole?;
            Some(Self::of_stratum(design, stratum, counts?))
        };
        strata.iter().map(of).collect()
    }

    fn of_stratum(design: &Design, stratum: &DesignStratum, counts: &Counts) -> Self {
        let own = stratum.boxes.clone();
        let mut made = Self::default();
        for (yes, rows) in counts.yes[own.clone()].iter().zip(&design.rows_of()[own]) {
            let (yes, rows) = (u64::from(*yes), u64::from(*rows));
            made.yes += yes;
            made.squares += yes * yes;
            made.products += yes * rows;
        }
        made
    }

    /// The same of the items that are not yes.
    fn opposite(self, all: ReadWhole) -> Self {
        Self {
            yes: all.items - self.yes,
            squares: all.squares + self.squares - 2 * self.products,
            products: all.squares - self.products,
        }
    }

    /// `n sum (z - z_mean)^2`; nothing where rounding would be felt, `z` being nearly nothing in every box.
    fn spread(self, all: ReadWhole, n: u64, r: f64) -> Option<f64> {
        let centred = |products: u64, x: u64, y: u64| {
            // Never below 0 by Cauchy and Schwarz, but for the products of two.
            let (above, below) = (
                u128::from(n) * u128::from(products),
                u128::from(x) * u128::from(y),
            );
            if above >= below {
                (above - below) as f64
            } else {
                -((below - above) as f64)
            }
        };
        let a = centred(self.squares, self.yes, self.yes);
        let b = centred(self.products, self.yes, all.items);
        let c = centred(all.squares, all.items, all.items);
        let made = a - 2.0 * r * b + r * r * c;
        let terms = a + (2.0 * r * b).abs() + r * r * c;
        (made >= 1e-4 * terms).then_some(made)
    }
}

/// The share over a part and what its errors are made of, from the sums of its strata; nothing where it takes more than they are.
pub(super) fn ratio(part: &Part<'_>, own: &[Option<Yes>]) -> Option<Ratio> {
    let (mut yes, mut no, mut items) = (Total::default(), Total::default(), Total::default());
    let mut seen = 0;
    let mut strata = Vec::with_capacity(own.len());
    for (stratum, own) in part.strata().iter().zip(own) {
        let (all, own) = (stratum.read_whole?, (*own)?);
        if stratum.lonely() || stratum.rule() != Rule::AsRandom {
            return None;
        }
        let weight = stratum.weight();
        yes.add(weight * own.yes as f64);
        no.add(weight * (all.items - own.yes) as f64);
        items.add(weight * all.items as f64);
        seen += all.items;
        strata.push((stratum, own, all));
    }
    let (yes, no, items) = (yes.value(), no.value(), items.value());
    if items <= 0.0 {
        return None;
    }
    let (r, rarer) = (yes / items, yes.min(no) / items);
    let mut variance = Total::default();
    for (stratum, own, all) in strata {
        if stratum.census() {
            continue;
        }
        let own = if yes <= no { own } else { own.opposite(all) };
        let (n, weight) = (stratum.reached_f64(), stratum.weight());
        let squares = own.spread(all, stratum.reached as u64, rarer)?;
        variance.add(weight * weight * (1.0 - stratum.fraction()) * squares / (n - 1.0));
    }
    Some(Ratio {
        r,
        v: variance.value().max(0.0) / (items * items),
        spread: (yes * (1.0 - r) * (1.0 - r) + no * r * r) / items,
        known: items,
        n: seen as f64,
    })
}
