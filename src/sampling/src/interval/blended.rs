//! The blended effective size: the interval that was first worked out for this program, and the former default's ground.
//!
//! The trouble with a rare condition that sits in few boxes is not the interval's shape but the design variance itself: a
//! sample that missed the one bad box has a low share *and* a low variance. Here the variance may only widen what the
//! correlation `r` inside boxes makes plausible. `r` is not plugged in but averaged over what the answers allow: a
//! beta-binomial likelihood of the boxes' counts, the share integrated over Jeffreys' prior, times a beta(1, 4) prior on `r`
//! (mean 0.2, the *planning correlation*). Few positive boxes leave the prior standing; many sharpen it.
//!
//! For box `i` with `M` items, `m` drawn, `k` known, `y` yes, item weight `W`, first-stage fraction `f`:
//!
//! 1. `v = V / (p (1 - p))`, `V` the linearised design variance; 0 where `p` is 0 or 1.
//! 2. The inverse effective size under correlation `r`: `c(r) = B + r (A - B)` with `A = sum (1 - f) (W k)^2 / S^2`,
//!    `B = sum (1 - f m / M) W^2 k / S^2`, `S = sum W k`. And the one that holds where no box or one box has the
//!    condition: `z(r) = B n / sum_i sum_{j < k} (1 - r) / (1 - r + j r)`, `n = sum k`.
//! 3. Weights `w` of ten values of `r` from prior and likelihood; no survey weights enter there.
//! 4. `1 / n(r) = g [ o max(c(r), v) + (1 - o) z(r) ]`, `o = q^2 / (q^2 + 2)` where `q` is the lesser of the numbers of
//!    boxes with a yes and with a no, and `g = 1 + ((t_df / z)^2 - 1) q / (q + 8)`.
//! 5. Limits: quantiles of the mixture of `Beta(p n(r) + 1/2, (1 - p) n(r) + 1/2)` with weights `w`.
//!
//! With many boxes it tends to the Jeffreys interval on the greater of design and model variance, so that a wrong model
//! costs width, not truth. Where the share rises with a box's size it covers less than it says, and where boxes are all or
//! nothing too: show [`super::hypergeometric`] limits for boxes beside it. [`super::joint`], the default, does better in width and in its
//! worst cases; [`super::coverage`] has the numbers.

use super::likelihood::Answers;
use super::mixture::Mixture;
use super::{Limits, tail};
use crate::math::{normal_quantile, t_quantile};

/// The correlations over which the rule averages.
const R: [f64; NODES] = [0.005, 0.02, 0.05, 0.1, 0.15, 0.2, 0.275, 0.375, 0.5, 0.7];
const NODES: usize = 10;

/// One box's answers.
///
/// ```
/// use sampling::interval::blended::BoxAnswers;
/// // Twelve items, all of those of one of 40 boxes out of 400, two of them with the condition.
/// let made = BoxAnswers { known: 12, yes: 2, weight: 10.0, box_fraction: 0.1, item_fraction: 1.0 };
/// assert_eq!(made.weight * made.box_fraction * made.item_fraction, 1.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxAnswers {
    /// Items whose answer is known.
    pub known: u64,
    /// Those that have the condition.
    pub yes: u64,
    /// Weight of an item: `N_h / n_h * M / m`.
    pub weight: f64,
    /// First-stage sampling fraction, `n_h / N_h`.
    pub box_fraction: f64,
    /// Second-stage sampling fraction, `m / M`.
    pub item_fraction: f64,
}

/// What the rule says of a share.
///
/// ```
/// use sampling::interval::blended::{BoxAnswers, limits};
/// let of = |known, yes| BoxAnswers { known, yes, weight: 80.0, box_fraction: 5.0 / 400.0, item_fraction: 1.0 };
/// let boxes = [of(12, 0), of(7, 2), of(15, 0), of(9, 0), of(20, 5)];
/// let made = limits(7.0 / 63.0, 0.0677651009 * 0.0677651009, 4.0, &boxes, 0.95).ok_or("no degree of freedom")?;
/// // 63 items of five boxes are worth some 15 independent ones.
/// assert!((made.effective_items - 14.578).abs() < 1e-3 && made.telling_boxes == 2);
/// assert!((made.correlation - 0.2289).abs() < 1e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blended {
    /// The limits.
    pub limits: Limits,
    /// How many independent items the sample is worth.
    pub effective_items: f64,
    /// The mean of the correlation inside boxes, given the answers.
    pub correlation: f64,
    /// The lesser of the numbers of boxes with a yes and with a no; under 3, the width rests on the planning correlation.
    pub telling_boxes: usize,
}

/// Limits for the share `p` with design variance `variance`; `None` without a degree of freedom or a known answer.
///
/// Where every item of every box was read the share is known and both limits are `p`.
///
/// ```
/// use sampling::interval::blended::{BoxAnswers, limits};
/// let of = |known, yes| BoxAnswers { known, yes, weight: 80.0, box_fraction: 5.0 / 400.0, item_fraction: 1.0 };
/// let boxes = [of(12, 0), of(7, 2), of(15, 0), of(9, 0), of(20, 5)];
/// let made = limits(7.0 / 63.0, 0.0677651009 * 0.0677651009, 4.0, &boxes, 0.95).ok_or("no degree of freedom")?;
/// assert!((made.limits.low - 0.0201).abs() < 1e-4 && (made.limits.high - 0.3425).abs() < 1e-4);
/// assert!(limits(7.0 / 63.0, 0.0046, 0.0, &boxes, 0.95).is_none()); // No degree of freedom.
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn limits(p: f64, variance: f64, df: f64, boxes: &[BoxAnswers], level: f64) -> Option<Blended> {
    let sum = |f: &dyn Fn(&BoxAnswers) -> f64| crate::math::sum(boxes.iter().map(f));
    let known = sum(&|b| b.known as f64);
    if known <= 0.0 || !p.is_finite() {
        return None;
    }
    let s = sum(&|b| b.weight * b.known as f64);
    let clustered = sum(&|b| (1.0 - b.box_fraction) * square(b.weight * b.known as f64)) / square(s);
    let single =
        sum(&|b| (1.0 - b.box_fraction * b.item_fraction) * square(b.weight) * b.known as f64) / square(s);
    let telling_boxes = boxes
        .iter()
        .filter(|b| b.yes > 0)
        .count()
        .min(boxes.iter().filter(|b| b.yes < b.known).count());
    if single <= 0.0 {
        let limits = Limits { low: p, high: p };
        return Some(Blended {
            limits,
            effective_items: f64::INFINITY,
            correlation: 0.0,
            telling_boxes,
        });
    }
    if df <= 0.0 {
        return None;
    }
    let inside = 0.0 < p && p < 1.0;
    let v = if inside { variance / (p * (1.0 - p)) } else { 0.0 };
    let q = telling_boxes as f64;
    let a = tail(level);
    let o = q * q / (q * q + 2.0);
    let g = 1.0 + (square(t_quantile(1.0 - a, df) / normal_quantile(1.0 - a)) - 1.0) * q / (q + 8.0);

    let answers = Answers::new(boxes);
    let weights = answers.weights(&R, prior());
    let mut sizes = [0.0; NODES];
    for (size, &r) in sizes.iter_mut().zip(&R) {
        let model = (single + r * (clustered - single)).max(v);
        let slope = single * known / answers.independent_items(r);
        *size = 1.0 / (g * (o * model + (1.0 - o) * slope));
    }
    let mixture: Mixture<NODES> = Mixture::new(core::array::from_fn(|j| (weights[j], p, sizes[j])));
    let low = if p <= 0.0 { 0.0 } else { mixture.quantile(a).min(p) };
    let high = if p >= 1.0 {
        1.0
    } else {
        mixture.quantile(1.0 - a).max(p)
    };
    let inverse = crate::math::sum(weights.iter().zip(&sizes).map(|(w, n)| w / n));
    let correlation = crate::math::sum(weights.iter().zip(&R).map(|(w, r)| w * r));
    Some(Blended {
        limits: Limits { low, high },
        effective_items: 1.0 / inverse,
        correlation,
        telling_boxes,
    })
}

pub(super) fn square(x: f64) -> f64 {
    x * x
}

/// Prior weights of the correlations: beta(1, 4) between the midpoints of the nodes.
fn prior() -> [f64; NODES] {
    let above = |e: f64| square(square(1.0 - e));
    let middle = |j: usize| 0.5 * (R[j - 1] + R[j]);
    core::array::from_fn(|j| {
        let low = if j == 0 { 0.0 } else { middle(j) };
        let high = if j + 1 == NODES { 1.0 } else { middle(j + 1) };
        above(low) - above(high)
    })
}

#[cfg(test)]
mod tests {
    use super::{BoxAnswers, limits};

    #[test]
    fn a_billion_items_in_a_box_are_no_work() {
        let boxes = [1_000_000_000, 3, 900_000_000].map(|known| BoxAnswers {
            known,
            yes: known / 3,
            weight: 10.0,
            box_fraction: 0.1,
            item_fraction: 1.0,
        });
        let made = limits(1.0 / 3.0, 1e-4, 2.0, &boxes, 0.95).unwrap();
        assert!(made.limits.low < 1.0 / 3.0 && made.limits.high > 1.0 / 3.0);
    }
}
