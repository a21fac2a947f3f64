//! Exact limits for a count in a finite population, from a simple random sample without replacement.
//!
//! They assume nothing but the draw, so they are what one can say of the number of *boxes* with a condition.

use super::tail;
use crate::math::{exp, ln_gamma, sum};

/// A term this small beside the largest ends a sum: the rest adds less than the last digit.
const NOTHING: f64 = 1e-40;

/// `ln C(n, k)`.
fn ln_choose(n: u64, k: u64) -> f64 {
    let (n, k) = (n as f64, k as f64);
    ln_gamma(n + 1.0) - ln_gamma(k + 1.0) - ln_gamma(n - k + 1.0)
}

/// `P(X <= x)` and `P(X > x)` for `X` the number of marked units in a sample of `n` from `population`, of which `marked`
/// are marked; each to about 1e-11 relative, or better.
///
/// ```
/// use sampling::interval::hypergeometric::tails;
/// // Two of four, two of them marked: one marked or none in five of six samples.
/// let (lower, upper) = tails(1, 4, 2, 2);
/// assert!((lower - 5.0 / 6.0).abs() < 1e-12 && (upper - 1.0 / 6.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn tails(x: u64, population: u64, marked: u64, n: u64) -> (f64, f64) {
    let least = (n + marked).saturating_sub(population);
    let most = n.min(marked);
    if x >= most {
        return (1.0, 0.0);
    }
    if x < least {
        return (0.0, 1.0);
    }
    let whole = ln_choose(population, n);
    let term = |k: u64| exp(ln_choose(marked, k) + ln_choose(population - marked, n - k) - whole);
    // The smaller tail is summed, so that neither loses its digits to the other.
    let mode = (n + 1) as f64 * (marked + 1) as f64 / (population + 2) as f64;
    if (x as f64) < mode {
        // Below here all terms together are nothing beside the last: they fall faster and faster.
        let step = |k: u64| {
            k as f64 * (population + k - marked - n) as f64 / ((marked - k + 1) as f64 * (n - k + 1) as f64)
        };
        let (mut from, mut part) = (x, 1.0);
        while from > least && part > NOTHING {
            part *= step(from);
            from -= 1;
        }
        let lower = sum((from..=x).map(term)).min(1.0);
        (lower, 1.0 - lower)
    } else {
        let step = |k: u64| {
            (marked - k) as f64 * (n - k) as f64 / ((k + 1) as f64 * (population + k + 1 - marked - n) as f64)
        };
        let (mut upto, mut part) = (x + 1, 1.0);
        while upto < most && part > NOTHING {
            part *= step(upto);
            upto += 1;
        }
        let upper = sum((x + 1..=upto).map(term)).min(1.0);
        (1.0 - upper, upper)
    }
}

/// Whether a probability is above the size of a test. A probability that equals it is a rational number which rounding may
/// have put on either side, and is not above.
fn above(probability: f64, size: f64) -> bool {
    probability > size * (1.0 + 1e-9)
}

/// Limits for the number of marked units, `least <= M <= most`.
///
/// ```
/// use sampling::interval::hypergeometric::{CountLimits, limits};
/// // All ten of ten were looked at: nothing is left to guess.
/// assert_eq!(limits(3, 10, 10, 0.95), Some(CountLimits { least: 3, most: 3 }));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountLimits {
    /// The least number that the sample does not speak against.
    pub least: u64,
    /// The greatest.
    pub most: u64,
}

/// Exact limits for the number of marked units of `population`, `x` of a sample of `n` being marked.
///
/// The numbers `M` that neither one-sided test of size `(1 - level) / 2` rejects: `P(X >= x | M)` and `P(X <= x | M)`
/// both above it (Konijn 1973; Buonaccorsi 1987). `None` unless `x <= n <= population`.
///
/// ```
/// use sampling::interval::hypergeometric::limits;
/// let l = limits(45, 100, 300, 0.95).unwrap();
/// assert_eq!((l.least, l.most), (111, 160));
/// ```
#[must_use]
pub fn limits(x: u64, n: u64, population: u64, level: f64) -> Option<CountLimits> {
    if x > n || n > population {
        return None;
    }
    let a = tail(level);
    let (bottom, top) = (x, population - n + x);
    // P(X >= x | M) grows with M and P(X <= x | M) falls, so each limit is found by halving.
    let reaches = |m: u64| x == 0 || above(tails(x - 1, population, m, n).1, a);
    let allows = |m: u64| above(tails(x, population, m, n).0, a);
    let (mut low, mut high) = (bottom, top);
    while low < high {
        let middle = low + (high - low) / 2;
        if reaches(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    let least = low;
    let (mut low, mut high) = (bottom, top);
    while low < high {
        let middle = low + (high - low).div_ceil(2);
        if allows(middle) {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    Some(CountLimits {
        least,
        most: low.max(least),
    })
}

/// The one-sided upper limit of level `level` for the number of marked units.
///
/// ```
/// use sampling::interval::hypergeometric::{tails, upper_limit};
/// // None of 20 boxes of 100: the most that a sample would not find in one case of 20.
/// let most = upper_limit(0, 20, 100, 0.95).ok_or("no sample")?;
/// assert!(tails(0, 100, most, 20).0 > 0.05 && tails(0, 100, most + 1, 20).0 <= 0.05);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn upper_limit(x: u64, n: u64, population: u64, level: f64) -> Option<u64> {
    limits(x, n, population, super::two_sided_level(level)).map(|l| l.most)
}
