//! Unknown answers taken as missing at random within their stratum.
//!
//! Of stratum h let `Y_h` be the expansion total of the known values, `K_h` the estimated items whose answer is known and `J_h` those known
//! or unknown without a stop. A stratum in which at least two boxes tell (boxes of n that were not stopped, with a known answer)
//! stands for itself: its unknown answers are like its own known ones, by the ratio `r_h = Y_h / K_h` of that stratum. The strata that
//! do not, T beside the others S, have the rest pooled:
//!
//! ```text
//! p = (sum_S r_h J_h + sum_T Y_h) / D,   D = sum_S J_h + sum_T K_h,   total = p J,   J = sum J_h
//! ```
//!
//! So an unknown answer of T is taken as like everything known, the unknown of S filled in. Where every stratum stands for itself the
//! total is `sum r_h J_h`; where none does, or there is one stratum, `p` is the combined ratio of known values to known items. The
//! linearised variables, of known values y, known items k and judged items j, are
//!
//! ```text
//! share   z = (J_h / K_h) k (y - r_h) + (r_h - p) j   in S,   k (y - p)   in T,   both over D
//! total   (J / D) z + p j
//! ```
//!
//! (a separate ratio estimator by stratum, Cochran 1977, section 6.10; strata as classes of like response, Särndal, Swensson & Wretman
//! 1992, chapter 15; both from memory).
//! A separate ratio is biased by the order of one over the boxes that it rests on, and from a single box nothing shows how its known
//! answers spread, so that one box is never let stand for a stratum. From two on the bias is small beside that of the combined ratio
//! wherever strata differ both in the condition and in what could be told of it, which `tests/reference/missing.rs` measures.

use super::tally::Affine;
use crate::math::sum;

/// From how many telling boxes on a stratum stands for itself.
const LEAST_BOXES: usize = 2;

/// What one stratum has of a column, expanded.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Told {
    /// Known values.
    pub(super) values: f64,
    /// Items whose answer is known.
    pub(super) known: f64,
    /// Items known or unknown without a stop.
    pub(super) judged: f64,
    /// Boxes that were not stopped and have a known answer.
    pub(super) boxes: usize,
}

/// The ratio of a stratum that stands for itself, and by how much its known answers are raised.
#[derive(Clone, Copy, Debug)]
pub(super) struct Own {
    r: f64,
    rise: f64,
}

/// A column over a part with the unknown answers of the strata filled in that stand for themselves.
#[derive(Clone, Debug)]
pub(super) struct Filled {
    /// Of each stratum; nothing where no answer is unknown, or where it does not stand for itself.
    own: Vec<Option<Own>>,
    /// Total of what is known or filled in.
    pub(super) values: f64,
    /// Items that it is of.
    pub(super) known: f64,
    /// Whether an unknown answer is taken as those of its stratum, and whether as those of all strata.
    pub(super) taken: (bool, bool),
}

impl Filled {
    /// From the strata of a part; `values` and `known` are their sums.
    pub(super) fn new(strata: &[Told], values: f64, known: f64) -> Self {
        let unknown = |told: &&Told| told.judged > told.known;
        // Of one stratum its own ratio and that of all are the same.
        let alone = strata.len() == 1;
        let of = |told: &Told| {
            let stands = !alone && told.boxes >= LEAST_BOXES && told.known > 0.0;
            (stands && unknown(&told)).then(|| Own {
                r: told.values / told.known,
                rise: told.judged / told.known,
            })
        };
        let own: Vec<Option<Own>> = strata.iter().map(of).collect();
        let any = own.iter().any(Option::is_some);
        let left = strata
            .iter()
            .zip(&own)
            .any(|(told, own)| own.is_none() && unknown(&told));
        let mut made = Self {
            taken: (any || (left && alone), left && !alone),
            own,
            values,
            known,
        };
        if any {
            let both = || strata.iter().zip(&made.own);
            made.values = sum(both().map(|(told, own)| own.map_or(told.values, |own| own.r * told.judged)));
            made.known = sum(both().map(|(told, own)| own.map_or(told.known, |_| told.judged)));
        }
        made
    }

    /// By how much the known answers of stratum `h` of the part are raised; 1 where nothing of it is filled in.
    pub(super) fn rise(&self, h: usize) -> f64 {
        self.own[h].map_or(1.0, |own| own.rise)
    }

    /// Whether anything is filled in by a stratum's own ratio.
    pub(super) fn any(&self) -> bool {
        self.own.iter().any(Option::is_some)
    }

    /// The share's (or mean's) variable in stratum `h`, times D, about `p`.
    pub(super) fn about(&self, h: usize, p: f64) -> Affine {
        match self.own[h] {
            Some(Own { r, rise }) => Affine {
                slope: rise,
                constant: r - rise * r - p,
                unknown: r - p,
            },
            None => Affine {
                slope: 1.0,
                constant: -p,
                unknown: 0.0,
            },
        }
    }

    /// The total's variable in stratum `h`: `p` of all, raised by `rise = J / D`.
    pub(super) fn raised(&self, h: usize, p: f64, rise: f64) -> Affine {
        if self.own[h].is_some() {
            let z = self.about(h, p);
            return Affine {
                slope: rise * z.slope,
                constant: rise * z.constant + p,
                unknown: rise * z.unknown + p,
            };
        }
        Affine {
            slope: rise,
            constant: p - rise * p,
            unknown: p,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Filled, Told};

    fn told(values: f64, known: f64, judged: f64, boxes: usize) -> Told {
        Told {
            values,
            known,
            judged,
            boxes,
        }
    }

    #[test]
    fn a_stratum_of_two_telling_boxes_stands_for_itself() {
        // 10 of 20 known in one, 10 of 100 in the other, of 100 items each: shares of 0.5 and 0.1, and not of 20 / 120.
        let made = Filled::new(
            &[told(10.0, 20.0, 100.0, 2), told(10.0, 100.0, 100.0, 9)],
            20.0,
            120.0,
        );
        assert!((made.values - 60.0).abs() < 1e-12 && (made.known - 200.0).abs() < 1e-12);
        assert_eq!(
            (made.rise(0), made.rise(1), made.taken),
            (5.0, 1.0, (true, false))
        );
        // A known answer stands for five; the others keep what they are.
        assert!((made.about(1, 0.3).slope - 1.0).abs() < f64::EPSILON);
        let z = made.about(0, 0.3);
        assert!(
            (z.slope - 5.0).abs() < 1e-12
                && (z.constant + 2.3).abs() < 1e-12
                && (z.unknown - 0.2).abs() < 1e-12
        );
    }

    #[test]
    fn one_telling_box_is_pooled_with_all_that_is_known() {
        let strata = [
            told(2.0, 4.0, 50.0, 1),
            told(10.0, 20.0, 100.0, 2),
            told(0.0, 0.0, 30.0, 0),
        ];
        let made = Filled::new(&strata, 12.0, 24.0);
        // The second filled in, 50 of 100, and the first's 2 of 4.
        assert!((made.values - 52.0).abs() < 1e-12 && (made.known - 104.0).abs() < 1e-12);
        assert_eq!(made.taken, (true, true));
        assert_eq!((made.rise(0), made.about(0, 0.5).unknown), (1.0, 0.0));
        // Where none stands for itself it is the combined ratio, and of one stratum its own.
        let none = Filled::new(&[strata[0], strata[2]], 2.0, 4.0);
        assert_eq!(
            (none.values, none.known, none.taken, none.any()),
            (2.0, 4.0, (false, true), false)
        );
        let alone = Filled::new(&strata[..1], 2.0, 4.0);
        assert_eq!(
            (alone.values, alone.known, alone.taken, alone.any()),
            (2.0, 4.0, (true, false), false)
        );
    }
}
