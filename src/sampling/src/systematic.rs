//! Systematic samples: every so many boxes along the shelf, from a random start.
//!
//! Easy to carry out where boxes cannot be numbered first, and good where neighbours are alike. The price is that one start gives
//! one cluster of boxes, so that no variance can be estimated without an assumption, which [`Rule`] names. A
//! [`Design`](crate::design::Design) takes the rule of each stratum ([`Draw::Systematic`](crate::design::Draw)) and every estimate
//! follows it and says so; what rests on the draw of single boxes alone (exact limits of box counts, replicates) takes the boxes as
//! drawn at random all the same. Of a trend, [`Rule::Differences`] sees a part of what the start's chance does (in the test below
//! three quarters of the true variance, where the simple random sample's formula says more than five times of it).

use crate::math::sum;

/// What is assumed of a systematic sample's order, so that a variance can be estimated from it.
///
/// With `t_1 ... t_n` the boxes' totals along the shelf, each gives the `s^2` of `N^2 (1 - n / N) s^2 / n` (Wolter 2007, section 8.2;
/// from memory). None is right where the shelf has a period near the step.
///
/// ```
/// use sampling::systematic::Rule;
/// // Along the shelf every box has an hour more than the one before it.
/// let rise = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
/// assert!(Rule::Differences.spread(&rise) < Rule::AsRandom.spread(&rise));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rule {
    /// The order tells nothing: `sum (t_i - t)^2 / (n - 1)`, as of a simple random sample (Wolter's v1). Too large where neighbours are
    /// alike, which errs on the safe side; the default.
    #[default]
    AsRandom,
    /// Neighbours are alike: `sum (t_i - t_(i-1))^2 / (2 (n - 1))`, of all neighbours (v2). A trend adds little.
    Differences,
    /// The same of the 1st and 2nd, the 3rd and 4th...: `sum (t_2j - t_(2j-1))^2 / n` (v3), as if each two were a stratum; the last of an
    /// odd number is left out.
    Pairs,
}

impl Rule {
    /// Every rule with its name: `as-random`, `differences`, `pairs`.
    ///
    /// ```
    /// use sampling::systematic::Rule;
    /// assert!(Rule::NAMES.iter().all(|(name, rule)| Rule::named(name) == Some(*rule)));
    /// ```
    pub const NAMES: [(&'static str, Self); 3] = [
        ("as-random", Self::AsRandom),
        ("differences", Self::Differences),
        ("pairs", Self::Pairs),
    ];

    /// The rule of that name.
    ///
    /// ```
    /// use sampling::systematic::Rule;
    /// assert_eq!(Rule::named("pairs"), Some(Rule::Pairs));
    /// assert_eq!(Rule::named("triples"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::NAMES
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(_, rule)| *rule)
    }

    /// `s^2` of the totals of n boxes in the order of the shelf; `None` for fewer than two.
    ///
    /// ```
    /// use sampling::systematic::Rule;
    /// let rise = [1.0, 2.0, 3.0, 4.0, 5.0];
    /// assert_eq!(Rule::AsRandom.spread(&rise), Some(2.5));
    /// assert_eq!(Rule::Differences.spread(&rise), Some(0.5));
    /// assert_eq!(Rule::Pairs.spread(&rise), Some(0.5));
    /// ```
    #[must_use]
    pub fn spread(self, totals: &[f64]) -> Option<f64> {
        if totals.len() < 2 {
            return None;
        }
        let n = totals.len() as f64;
        let off = |pair: &[f64]| (pair[1] - pair[0]) * (pair[1] - pair[0]);
        Some(match self {
            Self::AsRandom => {
                let mean = sum(totals.iter().copied()) / n;
                sum(totals.iter().map(|t| (t - mean) * (t - mean))) / (n - 1.0)
            }
            Self::Differences => sum(totals.windows(2).map(off)) / (2.0 * (n - 1.0)),
            Self::Pairs => {
                let pairs = totals.chunks_exact(2);
                let number = pairs.len() as f64;
                sum(pairs.map(off)) / (2.0 * number)
            }
        })
    }
}

/// The places (from 0, ascending) of `n` of `frame` boxes: `floor((start + i) frame / n)`, with `start` uniform in (0, 1).
///
/// Every box has the same chance `n / frame`, also where the step is no whole number (Särndal, Swensson & Wretman 1992,
/// section 3.4.2). All of them where `n` is at least `frame`.
///
/// ```
/// use sampling::systematic::places;
/// assert_eq!(places(10, 4, 0.5), [1, 3, 6, 8]);
/// assert_eq!(places(3, 5, 0.2), [0, 1, 2]);
/// ```
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "not negative, and held below `frame`"
)]
pub fn places(frame: usize, n: usize, start: f64) -> Vec<usize> {
    if n >= frame {
        return (0..frame).collect();
    }
    let start = if start.is_finite() {
        start.clamp(0.0, 1.0)
    } else {
        0.0
    };
    let step = frame as f64 / n as f64;
    (0..n)
        .map(|i| (((start + i as f64) * step) as usize).min(frame - 1))
        .collect()
}

/// The variance of the expansion total of a systematic sample, from the differences of neighbours:
/// `N^2 (1 - n / N) / n * sum (t_i - t_(i-1))^2 / (2 (n - 1))` (Wolter 2007, section 8.2, estimator v2; from memory).
///
/// `totals` are the sampled boxes' totals in the order of the shelf, `frame` the boxes on it. `None` for fewer than two boxes of
/// several, or more than there are.
///
/// ```
/// use sampling::systematic::variance_of_total;
/// // A steady rise: only its steps count. A simple random sample's formula says 4,320 here, this 360.
/// let made = variance_of_total(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0], 80).ok_or("too few")?;
/// assert_eq!(made, 80.0 * 80.0 * 0.9 / 8.0 * 0.5);
/// # Ok::<(), &str>(())
/// ```
#[must_use]
pub fn variance_of_total(totals: &[f64], frame: u64) -> Option<f64> {
    let (n, boxes) = (totals.len() as f64, frame as f64);
    if totals.len() as u64 == frame {
        return Some(0.0);
    }
    if totals.len() < 2 || n > boxes {
        return None;
    }
    let spread = Rule::Differences.spread(totals)?;
    Some(boxes * boxes * (1.0 - n / boxes) / n * spread)
}

/// The expansion total of a systematic sample: `N / n` times the sum of its boxes' totals.
///
/// ```
/// assert_eq!(sampling::systematic::total(&[3.0, 5.0, 4.0], 30), 120.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn total(totals: &[f64], frame: u64) -> f64 {
    if totals.is_empty() {
        return 0.0;
    }
    frame as f64 / totals.len() as f64 * sum(totals.iter().copied())
}

#[cfg(test)]
mod tests {
    use super::{places, total, variance_of_total};
    use crate::random::Stream;

    #[test]
    fn every_box_has_the_same_chance() {
        for (frame, n) in [(10, 4), (17, 5), (60, 7), (9, 8)] {
            let starts = 20_000;
            let mut drawn = vec![0u32; frame];
            for s in 0..starts {
                let made = places(frame, n, (f64::from(s) + 0.5) / f64::from(starts));
                assert!(made.len() == n && made.windows(2).all(|w| w[0] < w[1]));
                made.iter().for_each(|place| drawn[*place] += 1);
            }
            // Starts are spread evenly, so that only the rounding at a step's ends is left.
            let wanted = n as f64 / frame as f64 * f64::from(starts);
            assert!(
                drawn.iter().all(|d| (f64::from(*d) - wanted).abs() <= 4.0),
                "{drawn:?}"
            );
        }
    }

    /// On a shelf in random order the estimated variance is right on average. On one with a trend, its differences of 10 from
    /// place to place add 50 a box where the start's chance adds 100, to a noise of 133: it is nearer than the formula of a
    /// simple random sample, and too small.
    #[test]
    fn the_variance_is_right_without_a_trend_and_nearer_than_the_other_with_one() {
        let mut stream = Stream::new("1", "systematic");
        let (frame, n, rounds) = (120usize, 12, 4000);
        for trend in [0.0, 1.0] {
            let (mut errors, mut estimated, mut simple) = (0.0, 0.0, 0.0);
            for _ in 0..rounds {
                let shelf: Vec<f64> = (0..frame)
                    .map(|i| 40.0 * stream.unit() + trend * i as f64)
                    .collect();
                let truth: f64 = shelf.iter().sum();
                let own: Vec<f64> = places(frame, n, stream.unit())
                    .iter()
                    .map(|i| shelf[*i])
                    .collect();
                let off = total(&own, frame as u64) - truth;
                errors += off * off;
                estimated += variance_of_total(&own, frame as u64).unwrap();
                let mean = own.iter().sum::<f64>() / n as f64;
                let squares: f64 = own.iter().map(|t| (t - mean) * (t - mean)).sum();
                let (boxes, drawn) = (frame as f64, n as f64);
                simple += boxes * boxes * (1.0 - drawn / boxes) / drawn * squares / (drawn - 1.0);
            }
            let ratio = estimated / errors;
            if trend > 0.5 {
                assert!((0.7..0.8).contains(&ratio), "{ratio}");
                assert!((5.0..6.0).contains(&(simple / errors)), "{}", simple / errors);
            } else {
                assert!((0.95..1.05).contains(&ratio), "{ratio}");
            }
        }
        assert_eq!(variance_of_total(&[1.0], 1), Some(0.0));
        assert_eq!(variance_of_total(&[1.0], 2), None);
        assert_eq!(variance_of_total(&[1.0, 2.0], 1), None);
    }
}
