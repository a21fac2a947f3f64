//! Planning: what a number of hours buys, and how much is enough.
//!
//! A plan is a forecast, so everything in it is a stated guess until the first round is in: the pace ([`Pace::learnt`]), the
//! boxes' sizes and the likeness of items in a box ([`cluster::correlation`]).

pub mod allocation;
pub mod cluster;
pub mod size;
pub mod stopping;

use crate::interval::Limits;
use crate::interval::joint::Rule;
use crate::interval::tail;
use crate::math::{beta_quantile, normal_quantile, t_quantile};

/// How long things take, in minutes.
///
/// ```
/// use sampling::plan::Pace;
/// let slow = Pace { per_box: 8.0, ..Pace::default() };
/// assert_eq!(slow.minutes(10, 6.0) - Pace::default().minutes(10, 6.0), 40.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Before the first box and after the last: keys, light, table, putting away.
    pub visit: f64,
    /// A box: to reach, open, count and put back.
    pub per_box: f64,
    /// A drawn item: to look at and answer for.
    pub per_item: f64,
}

impl Default for Pace {
    /// 20 minutes a visit, 4 a box, 1 an item: common practice, no source. Two and a half hours are some 15 boxes of six items.
    fn default() -> Self {
        Self {
            visit: 20.0,
            per_box: 4.0,
            per_item: 1.0,
        }
    }
}

/// How many boxes' worth of evidence the pace before counts for, when a new one is learnt.
const PRIOR_BOXES: f64 = 3.0;
/// A box that took longer than this times the forecast had something else happen: it counts as this much.
const LONGEST: f64 = 5.0;

impl Pace {
    /// Minutes that a number of boxes takes, `items` being checked in each.
    ///
    /// ```
    /// use sampling::plan::Pace;
    /// assert_eq!(Pace::default().minutes(13, 6.0), 150.0); // 20 + 13 (4 + 6)
    /// assert_eq!(Pace::default().minutes(0, 6.0), 0.0);
    /// ```
    #[must_use]
    pub fn minutes(&self, boxes: u64, items: f64) -> f64 {
        if boxes == 0 {
            0.0
        } else {
            self.visit + boxes as f64 * (self.per_box + items * self.per_item)
        }
    }

    /// The pace after some boxes, each with its checked items and the minutes it took.
    ///
    /// The forecast for a box and its items is scaled by how long the boxes took against it, the pace before counting for
    /// three boxes. A pause in a box does not ruin it: no box counts for more than five times its forecast.
    ///
    /// ```
    /// use sampling::plan::Pace;
    /// // Three boxes of six items took twice what was forecast: half of that is believed.
    /// let made = Pace::default().learnt(&[(6, 20.0), (6, 20.0), (6, 20.0)]);
    /// assert!((made.per_box - 6.0).abs() < 1e-12 && (made.per_item - 1.5).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn learnt(&self, boxes: &[(u64, f64)]) -> Self {
        let forecast = |items: u64| self.per_box + items as f64 * self.per_item;
        let (mut took, mut expected) = (0.0, 0.0);
        for (items, minutes) in boxes
            .iter()
            .filter(|(_, minutes)| minutes.is_finite() && *minutes >= 0.0)
        {
            took += minutes.min(LONGEST * forecast(*items));
            expected += forecast(*items);
        }
        let prior = if boxes.is_empty() {
            1.0
        } else {
            PRIOR_BOXES * expected / boxes.len() as f64
        };
        if expected <= 0.0 {
            return *self;
        }
        let factor = (took + prior) / (expected + prior);
        Self {
            visit: self.visit,
            per_box: self.per_box * factor,
            per_item: self.per_item * factor,
        }
    }
}

/// How many whole boxes a number of hours buys, `items` being checked in each.
///
/// ```
/// use sampling::plan::{Pace, boxes_for_hours};
/// assert_eq!(boxes_for_hours(2.5, &Pace::default(), 6.0), 13);
/// assert_eq!(boxes_for_hours(0.25, &Pace::default(), 6.0), 0);
/// ```
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held to 0 and a billion before"
)]
pub fn boxes_for_hours(hours: f64, pace: &Pace, items: f64) -> u64 {
    let each = pace.per_box + items * pace.per_item;
    let boxes = (60.0 * hours - pace.visit) / each;
    if boxes.is_finite() {
        boxes.clamp(0.0, 1e9) as u64
    } else {
        0
    }
}

/// What is guessed, or known by now, of a collection and of the condition that is planned for.
///
/// ```
/// use sampling::plan::Collection;
/// let alike = Collection { correlation: 0.5, ..Collection::default() };
/// assert!(alike.effective_items(30) < Collection::default().effective_items(30));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collection {
    /// Boxes in the frame.
    pub boxes: u64,
    /// Strata, each of which costs a degree of freedom.
    pub strata: u64,
    /// Mean number of items in a box.
    pub mean_items: f64,
    /// Coefficient of variation of the number of items in a box.
    pub items_cv: f64,
    /// Most items to check in a box; boxes with no more are read whole.
    pub checked_per_box: f64,
    /// Likeness of the items of a box: the correlation of their answers.
    pub correlation: f64,
    /// The share of items that have the condition.
    pub share: f64,
}

impl Default for Collection {
    /// 200 boxes of a dozen items, six checked, correlation 0.2 as in [`crate::interval::blended`], a share of 0.2.
    fn default() -> Self {
        Self {
            boxes: 200,
            strata: 2,
            mean_items: 12.0,
            items_cv: 0.5,
            checked_per_box: 6.0,
            correlation: 0.2,
            share: 0.2,
        }
    }
}

impl Collection {
    /// Items checked in a box on average.
    ///
    /// ```
    /// use sampling::plan::Collection;
    /// assert_eq!(Collection::default().items_checked(), 6.0);
    /// assert_eq!(Collection { mean_items: 3.0, ..Collection::default() }.items_checked(), 3.0);
    /// ```
    #[must_use]
    pub fn items_checked(&self) -> f64 {
        self.checked_per_box.min(self.mean_items)
    }

    /// How many independent items `n` boxes are worth: `1 / (B + r (A - B))` as in [`crate::interval::blended`], with
    /// `A = (1 - f) (1 + cv^2) / n`, `B = (1 - f m / M) (1 + cv^2) / (n m)`, and `B = (1 - f) / (n m)` where boxes are read whole.
    ///
    /// ```
    /// use sampling::plan::Collection;
    /// // Items no more alike than any others, in equal boxes of a large frame, are as many as they are.
    /// let plain = Collection { boxes: 1_000_000, items_cv: 0.0, correlation: 0.0, ..Collection::default() };
    /// assert!((plain.effective_items(50) / 300.0 - 1.0).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn effective_items(&self, n: u64) -> f64 {
        let (boxes, n) = (self.boxes as f64, n as f64);
        let f = (n / boxes).min(1.0);
        let m = self.items_checked();
        let unequal = 1.0 + self.items_cv * self.items_cv;
        let clustered = (1.0 - f) * unequal / n;
        let single = if m < self.mean_items {
            (1.0 - f * m / self.mean_items) * unequal / (n * m)
        } else {
            (1.0 - f) / (n * m)
        };
        1.0 / (single + self.correlation * (clustered - single))
    }

    /// The limits one may expect for the share after `n` boxes: Jeffreys' on the effective items, widened for the degrees of
    /// freedom as the default interval is. `None` without a degree of freedom, unless every box is taken and read whole.
    ///
    /// ```
    /// use sampling::plan::Collection;
    /// let collection = Collection::default();
    /// let width = |n| collection.expected_limits(n, 0.95).map(|l| l.high - l.low);
    /// assert!(width(40) < width(20));
    /// assert_eq!(width(2), None); // Two boxes of two strata.
    /// ```
    #[must_use]
    pub fn expected_limits(&self, n: u64, level: f64) -> Option<Limits> {
        let n = n.min(self.boxes);
        if n == self.boxes && self.items_checked() >= self.mean_items {
            return Some(Limits {
                low: self.share,
                high: self.share,
            });
        }
        if n <= self.strata {
            return None;
        }
        let a = tail(level);
        let df = (n - self.strata) as f64;
        // Boxes that one expects to have, and to lack, the condition: a box of independent items has it with 1 - (1 - p)^m.
        let m = self.items_checked();
        let alike = 1.0 + (m - 1.0) * (1.0 - self.correlation);
        let boxes_with = |p: f64| n as f64 * (1.0 - crate::math::pow(1.0 - p, alike));
        let k = boxes_with(self.share).min(boxes_with(1.0 - self.share));
        let t = t_quantile(1.0 - a, df) / normal_quantile(1.0 - a);
        let g = 1.0 + (t * t - 1.0) * k / (k + Rule::DEFAULT.few_boxes);
        let size = self.effective_items(n) / g;
        let (with, without) = (self.share * size + 0.5, (1.0 - self.share) * size + 0.5);
        let low = if self.share <= 0.0 {
            0.0
        } else {
            beta_quantile(a, with, without)
        };
        let high = if self.share >= 1.0 {
            1.0
        } else {
            beta_quantile(1.0 - a, with, without)
        };
        Some(Limits { low, high })
    }

    /// Half the distance of a total's expected limits, as a part of the total, after `n` boxes: what one box brings to it
    /// varying by `box_cv` (for the number of items, [`Collection::items_cv`]).
    ///
    /// ```
    /// use sampling::plan::Collection;
    /// let error = |n| Collection::default().expected_total_error(n, 0.5, 0.95);
    /// assert!(error(40) < error(20));
    /// assert_eq!(error(200), Some(0.0)); // All boxes.
    /// ```
    #[must_use]
    pub fn expected_total_error(&self, n: u64, box_cv: f64, level: f64) -> Option<f64> {
        let n = n.min(self.boxes);
        if n == self.boxes {
            return Some(0.0);
        }
        if n <= self.strata {
            return None;
        }
        let f = n as f64 / self.boxes as f64;
        let t = t_quantile(1.0 - tail(level), (n - self.strata) as f64);
        Some(t * box_cv * ((1.0 - f) / n as f64).sqrt())
    }
}

/// A point of a precision curve.
///
/// ```
/// use sampling::plan::{Collection, Pace, precision_curve};
/// let point = precision_curve(&Collection::default(), &Pace::default(), 20, 20, 0.95)[0];
/// assert_eq!((point.boxes, point.hours), (20, 220.0 / 60.0));
/// assert!((point.half_width - 0.5 * (point.limits.high - point.limits.low)).abs() < 1e-15);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Boxes checked.
    pub boxes: u64,
    /// Hours that takes.
    pub hours: f64,
    /// Expected limits of the share.
    pub limits: Limits,
    /// Half their distance.
    pub half_width: f64,
    /// Expected error of the number of items, as a part of it.
    pub items_error: f64,
}

/// What more boxes would buy: points from two boxes beyond a degree of freedom on, in steps of `step` boxes, up to `most` boxes.
///
/// ```
/// use sampling::plan::{Collection, Pace, precision_curve};
/// let curve = precision_curve(&Collection::default(), &Pace::default(), 5, 40, 0.95);
/// assert!(curve.windows(2).all(|w| w[1].half_width < w[0].half_width && w[1].hours > w[0].hours));
/// ```
#[must_use]
pub fn precision_curve(
    collection: &Collection,
    pace: &Pace,
    step: u64,
    most: u64,
    level: f64,
) -> Vec<CurvePoint> {
    let step = step.max(1);
    let most = most.min(collection.boxes);
    let mut boxes = collection.strata + 1;
    boxes += (step - boxes % step) % step;
    let mut counts: Vec<u64> = Vec::new();
    while boxes < most {
        counts.push(boxes);
        boxes += step;
    }
    counts.push(most);
    let point = |n: u64| {
        let limits = collection.expected_limits(n, level)?;
        Some(CurvePoint {
            boxes: n,
            hours: pace.minutes(n, collection.items_checked()) / 60.0,
            limits,
            half_width: 0.5 * (limits.high - limits.low),
            items_error: collection.expected_total_error(n, collection.items_cv, level)?,
        })
    };
    counts.into_iter().filter_map(point).collect()
}

/// The least number of boxes after which the share is expected to be known to `half_width`; `None` if a census would not do.
///
/// ```
/// use sampling::plan::{Collection, boxes_for_half_width};
/// let wanted = |half_width| boxes_for_half_width(&Collection::default(), half_width, 0.95);
/// assert!(wanted(0.1) < wanted(0.05));
/// assert_eq!(wanted(0.0001), None); // Six items a box: not even all boxes would do.
/// ```
#[must_use]
pub fn boxes_for_half_width(collection: &Collection, half_width: f64, level: f64) -> Option<u64> {
    let enough = |n: u64| {
        collection
            .expected_limits(n, level)
            .is_some_and(|l| 0.5 * (l.high - l.low) <= half_width)
    };
    least(collection, enough)
}

/// The least number of boxes after which a total is expected to be known to within `error` of itself (0.15: 15%).
///
/// ```
/// use sampling::plan::{Collection, boxes_for_total};
/// let collection = Collection::default();
/// let n = boxes_for_total(&collection, 0.5, 0.15, 0.95).ok_or("not even all")?;
/// assert!(collection.expected_total_error(n, 0.5, 0.95) <= Some(0.15));
/// assert!(collection.expected_total_error(n - 1, 0.5, 0.95) > Some(0.15));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn boxes_for_total(collection: &Collection, box_cv: f64, error: f64, level: f64) -> Option<u64> {
    least(collection, |n| {
        collection
            .expected_total_error(n, box_cv, level)
            .is_some_and(|e| e <= error)
    })
}

/// Halving: more boxes never make an expectation worse.
fn least(collection: &Collection, enough: impl Fn(u64) -> bool) -> Option<u64> {
    let (mut low, mut high) = (1, collection.boxes);
    if high == 0 || !enough(high) {
        return None;
    }
    while low < high {
        let middle = low + (high - low) / 2;
        if enough(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Some(high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pace_is_learnt_and_a_pause_does_not_ruin_it() {
        let before = Pace::default();
        let slow: Vec<(u64, f64)> = (0..20).map(|_| (6, 20.0)).collect();
        let after = before.learnt(&slow);
        assert!(
            (after.per_box / before.per_box - 43.0 / 23.0).abs() < 1e-12,
            "{after:?}"
        );
        let pause = before.learnt(&[(6, 10.0), (6, 10_000.0), (6, 10.0)]);
        assert!(pause.per_box < 2.0 * before.per_box);
        assert_eq!(before.learnt(&[]), before);
        assert_eq!(before.learnt(&[(6, f64::NAN)]), before);
    }

    #[test]
    fn hours_and_minutes_agree() {
        let pace = Pace::default();
        for hours in [0.5, 1.0, 2.5, 8.0] {
            let boxes = boxes_for_hours(hours, &pace, 6.0);
            assert!(pace.minutes(boxes, 6.0) <= 60.0 * hours);
            assert!(pace.minutes(boxes + 1, 6.0) > 60.0 * hours);
        }
        assert_eq!(boxes_for_hours(f64::NAN, &pace, 6.0), 0);
        assert_eq!(
            boxes_for_hours(
                1.0,
                &Pace {
                    visit: 0.0,
                    per_box: 0.0,
                    per_item: 0.0
                },
                6.0
            ),
            0
        );
    }

    #[test]
    fn more_boxes_are_better_and_a_census_is_exact() {
        let collection = Collection {
            checked_per_box: 100.0,
            ..Collection::default()
        };
        let mut before = 1.0;
        for n in 4..=200 {
            let limits = collection.expected_limits(n, 0.95).unwrap();
            assert!(limits.low <= 0.2 && 0.2 <= limits.high);
            assert!(limits.high - limits.low < before, "{n}");
            before = limits.high - limits.low;
        }
        assert_eq!(before.to_bits(), 0.0f64.to_bits());
        assert!(collection.expected_limits(2, 0.95).is_none());
    }

    #[test]
    fn the_least_number_is_the_least() {
        let collection = Collection::default();
        let n = boxes_for_half_width(&collection, 0.1, 0.95).unwrap();
        let half = |n| {
            collection
                .expected_limits(n, 0.95)
                .map(|l| 0.5 * (l.high - l.low))
        };
        assert!(half(n).unwrap() <= 0.1 && half(n - 1).unwrap() > 0.1);
        let n = boxes_for_total(&collection, 0.5, 0.15, 0.95).unwrap();
        assert!(collection.expected_total_error(n, 0.5, 0.95).unwrap() <= 0.15);
        assert!(collection.expected_total_error(n - 1, 0.5, 0.95).unwrap() > 0.15);
        assert!(boxes_for_half_width(&collection, 0.001, 0.95).is_none());
    }

    #[test]
    fn no_clustering_and_a_large_frame_give_the_plain_sample_size() {
        let collection = Collection {
            boxes: 1_000_000,
            items_cv: 0.0,
            correlation: 0.0,
            ..Collection::default()
        };
        assert!((collection.effective_items(50) / 300.0 - 1.0).abs() < 1e-4);
    }
}
