//! The default interval for a share, and what it is made from: the blended effective size.
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
//! The default ([`Rule::DEFAULT`]) adds an eleventh correlation, 1, that of boxes which are all or nothing, and holds the
//! limits of the unseen part of the frame too.
//!
//! With many boxes it tends to the Jeffreys interval on the greater of design and model variance, so that a wrong model
//! costs width, not truth. Where the share rises with a box's size it covers less than it says, and where boxes are all or
//! nothing too: show [`super::hypergeometric`] limits for boxes beside it. [`super::coverage`] has the numbers.

use super::{Limits, tail};
use crate::math::{Beta, exp, ln, ln_gamma, normal_quantile, sin, t_quantile};

/// The correlations over which the rule averages; the last, that of boxes that are all or nothing, only where it is asked for.
const R: [f64; NODES] = [0.005, 0.02, 0.05, 0.1, 0.15, 0.2, 0.275, 0.375, 0.5, 0.7, 1.0];
const NODES: usize = 11;
/// How many of them are under 1.
const MIXED: usize = NODES - 1;
/// Nodes of the share, at `sin^2(pi / 2 (k - 1/2) / P_NODES)`: equally likely under Jeffreys' prior.
const P_NODES: usize = 48;

/// One box's answers.
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

/// What may be added to the rule as it was first worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// The prior probability, 0 to under 1, that every box has the condition in all its items or in none: an eleventh
    /// correlation, 1. One box with some and not all of its items takes it away again; several that have it wholly make the
    /// boxes, not the items, what the sample is worth.
    pub all_or_nothing: f64,
    /// The same where none or all were seen, and nothing tells of it.
    pub all_or_nothing_unseen: f64,
    /// Whether the limits must also hold those of the unseen part of the frame, what was seen being known: with `f` the part of
    /// the items that was seen, `f p + (1 - f) u`, `u` the limits of a share on `(1 - f)^2 n(r)` items. The variance is the same,
    /// but of a frame that was seen to a large part `n(r)` items are too many for the tail of a rare condition.
    pub unseen_too: bool,
}

impl Rule {
    /// The rule as it was first worked out: [`limits`].
    pub const ORIGINAL: Self = Self {
        all_or_nothing: 0.0,
        all_or_nothing_unseen: 0.0,
        unseen_too: false,
    };
    /// The default, as the study chose it. Of the prior probabilities tried (0.01 to 0.5) the least that does what the others do.
    pub const DEFAULT: Self = Self {
        all_or_nothing: 0.05,
        all_or_nothing_unseen: 0.05,
        unseen_too: true,
    };
}

/// Limits for the share `p` with design variance `variance`, by the rule as it was first worked out; `None` without a degree of
/// freedom or a known answer.
///
/// Where every item of every box was read the share is known and both limits are `p`.
#[must_use]
pub fn limits(p: f64, variance: f64, df: f64, boxes: &[BoxAnswers], level: f64) -> Option<Blended> {
    limits_by(&Rule::ORIGINAL, p, variance, df, boxes, level)
}

/// As [`limits`], by a rule of one's choice; [`Rule::DEFAULT`] makes the default limits of a share.
#[must_use]
pub fn limits_by(
    rule: &Rule,
    p: f64,
    variance: f64,
    df: f64,
    boxes: &[BoxAnswers],
    level: f64,
) -> Option<Blended> {
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
    let all_or_nothing = if inside {
        rule.all_or_nothing
    } else {
        rule.all_or_nothing_unseen
    };
    let weights = weights(&answers, all_or_nothing);
    let mut sizes = [0.0; NODES];
    for (size, &r) in sizes.iter_mut().zip(&R) {
        let model = (single + r * (clustered - single)).max(v);
        let slope = single * known / answers.independent_items(r);
        *size = 1.0 / (g * (o * model + (1.0 - o) * slope));
    }
    let mixture = Mixture::new(p, &weights, &sizes);
    // What was seen is known; the rest is as uncertain as a share of fewer items is.
    let seen = (known / s).min(1.0);
    let rest = (rule.unseen_too && seen < 1.0)
        .then(|| Mixture::new(p, &weights, &sizes.map(|n| n * square(1.0 - seen))));
    let of_rest = |tail| {
        rest.as_ref()
            .map_or(p, |rest| seen * p + (1.0 - seen) * rest.quantile(tail))
    };
    let low = if p <= 0.0 {
        0.0
    } else {
        mixture.quantile(a).min(of_rest(a)).min(p)
    };
    let high = if p >= 1.0 {
        1.0
    } else {
        mixture.quantile(1.0 - a).max(of_rest(1.0 - a)).max(p)
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

fn square(x: f64) -> f64 {
    x * x
}

/// Prior weights of the correlations: beta(1, 4) between the midpoints of the nodes under 1, and what 1 is given.
fn prior(all_or_nothing: f64) -> [f64; NODES] {
    let above = |e: f64| square(square(1.0 - e));
    let middle = |j: usize| 0.5 * (R[j - 1] + R[j]);
    let mut prior = [all_or_nothing; NODES];
    for (j, weight) in prior.iter_mut().enumerate().take(MIXED) {
        let low = if j == 0 { 0.0 } else { middle(j) };
        let high = if j + 1 == MIXED { 1.0 } else { middle(j + 1) };
        *weight = (1.0 - all_or_nothing) * (above(low) - above(high));
    }
    prior
}

/// The boxes' counts, laid out for the beta-binomial likelihood.
struct Answers {
    /// `(value, boxes that have it)`, ascending, of the numbers of yes, of no, and of known answers.
    yes: Vec<(u64, f64)>,
    no: Vec<(u64, f64)>,
    known: Vec<(u64, f64)>,
    /// Boxes with all and with none, where there are no others.
    all_or_nothing: Option<(f64, f64)>,
}

impl Answers {
    fn new(boxes: &[BoxAnswers]) -> Self {
        let tally = |f: fn(&BoxAnswers) -> u64| {
            let mut counts = std::collections::BTreeMap::new();
            for b in boxes {
                *counts.entry(f(b)).or_insert(0.0) += 1.0;
            }
            counts.remove(&0);
            counts.into_iter().collect()
        };
        Self {
            yes: tally(|b| b.yes),
            no: tally(|b| b.known - b.yes),
            known: tally(|b| b.known),
            all_or_nothing: boxes.iter().all(|b| b.yes == 0 || b.yes == b.known).then(|| {
                let answered = boxes.iter().filter(|b| b.known > 0).count() as f64;
                let all = boxes.iter().filter(|b| b.yes > 0).count() as f64;
                (all, answered - all)
            }),
        }
    }

    /// The logarithm of the boxes' likelihood at each node of the share, up to what does not depend on share or correlation.
    fn likelihood(&self, r: f64, nodes: &[f64; P_NODES]) -> [f64; P_NODES] {
        if r >= 1.0 {
            return self
                .all_or_nothing
                .map_or([f64::NEG_INFINITY; P_NODES], |(all, none)| {
                    nodes.map(|x| all * ln(x) + none * ln(1.0 - x))
                });
        }
        let s = (1.0 - r) / r;
        let constant = rising(&self.known, s);
        let mut at = [-constant; P_NODES];
        let greatest = |tally: &[(u64, f64)]| tally.last().map_or(0, |(value, _)| *value);
        let most = greatest(&self.yes).max(greatest(&self.no));
        if most > 2 * (self.yes.len() + self.no.len()) as u64 + 8 {
            // Few distinct values among large ones: the closed form is cheaper than steps.
            for (k, x) in nodes.iter().enumerate() {
                at[k] += rising(&self.yes, x * s) + rising(&self.no, (1.0 - x) * s);
            }
            return at;
        }
        // ln(x s + j) serves the yes of node k and the no of the node that mirrors it.
        let (mut yes, mut no) = (Steps::new(&self.yes), Steps::new(&self.no));
        for j in 0..most {
            let (boxes_yes, boxes_no) = (yes.boxes_over(j), no.boxes_over(j));
            for (k, x) in nodes.iter().enumerate() {
                let step = ln(x * s + j as f64);
                at[k] += boxes_yes * step;
                at[P_NODES - 1 - k] += boxes_no * step;
            }
        }
        at
    }

    /// `sum_i sum_{j < k_i} (1 - r) / (1 - r + j r)`: how many independent items would as surely show a rare condition.
    fn independent_items(&self, r: f64) -> f64 {
        if r >= 1.0 {
            return self.known.iter().map(|(_, count)| count).sum();
        }
        // (1 - r) / (1 - r + j r) = s / (s + j).
        let s = (1.0 - r) / r;
        s * self
            .known
            .iter()
            .map(|(value, count)| count * harmonic(s, *value))
            .sum::<f64>()
    }
}

/// How many boxes of a tally have more than j, asked for ascending j.
struct Steps<'a> {
    left: &'a [(u64, f64)],
    boxes: f64,
}

impl<'a> Steps<'a> {
    fn new(tally: &'a [(u64, f64)]) -> Self {
        Self {
            left: tally,
            boxes: tally.iter().map(|(_, count)| count).sum(),
        }
    }

    fn boxes_over(&mut self, j: u64) -> f64 {
        while let Some(((value, count), rest)) = self.left.split_first() {
            if *value > j {
                break;
            }
            self.boxes -= count;
            self.left = rest;
        }
        self.boxes
    }
}

/// `sum_{j < m} 1 / (s + j)`: term by term, a long tail by the asymptotic digamma function (NIST DLMF 5.11.2).
fn harmonic(s: f64, m: u64) -> f64 {
    const STEPS: u64 = 64;
    let direct: f64 = (0..m.min(STEPS)).map(|j| 1.0 / (s + j as f64)).sum();
    if m <= STEPS {
        return direct;
    }
    let digamma = |x: f64| {
        let square = 1.0 / (x * x);
        ln(x) - 0.5 / x - square * (1.0 / 12.0 - square * (1.0 / 120.0 - square / 252.0))
    };
    direct + digamma(s + m as f64) - digamma(s + STEPS as f64)
}

/// `sum_i ln[ Gamma(a + value_i) / Gamma(a) ]` over a tally.
fn rising(tally: &[(u64, f64)], a: f64) -> f64 {
    let greatest = tally.last().map_or(0, |(value, _)| *value);
    // Steps cost a logarithm each, the closed form one a distinct value.
    if greatest <= 2 * tally.len() as u64 + 2 {
        let mut steps = Steps::new(tally);
        (0..greatest)
            .map(|j| steps.boxes_over(j) * ln(a + j as f64))
            .sum()
    } else {
        let start = ln_gamma(a);
        tally
            .iter()
            .map(|(value, count)| count * (ln_gamma(a + *value as f64) - start))
            .sum()
    }
}

/// Posterior weights of the correlations.
fn weights(answers: &Answers, all_or_nothing: f64) -> [f64; NODES] {
    let nodes: [f64; P_NODES] = core::array::from_fn(|k| {
        let half = sin(core::f64::consts::FRAC_PI_2 * (k as f64 + 0.5) / P_NODES as f64);
        half * half
    });
    let mut weights = prior(all_or_nothing);
    let mut logs = [f64::NEG_INFINITY; NODES];
    for ((log, &r), weight) in logs.iter_mut().zip(&R).zip(&weights) {
        if *weight > 0.0 {
            let at = answers.likelihood(r, &nodes);
            let top = at.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            if top > f64::NEG_INFINITY {
                *log = top + ln(at.iter().map(|l| exp(l - top)).sum::<f64>());
            }
        }
    }
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    for (weight, log) in weights.iter_mut().zip(&logs) {
        *weight *= exp(log - top);
    }
    let total: f64 = weights.iter().sum();
    weights.map(|w| w / total)
}

/// The mixture of beta distributions whose quantiles are the limits.
struct Mixture {
    p: f64,
    /// The mean of its components' sizes, to start from.
    size: f64,
    components: [(f64, Beta); NODES],
}

impl Mixture {
    fn new(p: f64, weights: &[f64; NODES], sizes: &[f64; NODES]) -> Self {
        let components = core::array::from_fn(|j| {
            (
                weights[j],
                Beta::new(p * sizes[j] + 0.5, (1.0 - p) * sizes[j] + 0.5),
            )
        });
        let size = weights.iter().zip(sizes).map(|(w, n)| w * n).sum();
        Self { p, size, components }
    }

    /// `ln` of the lower tail over `target`, and its slope in the log odds of u; the same of the upper tail where `target > 1/2`.
    fn miss(&self, u: f64, v: f64, target: f64) -> (f64, f64) {
        let (mut lower, mut upper, mut slope) = (0.0, 0.0, 0.0);
        for (w, beta) in self.components.iter().filter(|(w, _)| *w > 0.0) {
            let (tails, kernel) = beta.tails(u, v);
            lower += w * tails.lower;
            upper += w * tails.upper;
            slope += w * kernel;
        }
        if target <= 0.5 {
            (ln(lower / target), slope / lower)
        } else {
            (-ln(upper / (1.0 - target)), slope / upper)
        }
    }

    /// The quantile: Newton on the log odds, inside a shrinking bracket.
    fn quantile(&self, target: f64) -> f64 {
        let share = |x: f64| {
            if x < 0.0 {
                exp(x) / (1.0 + exp(x))
            } else {
                1.0 / (1.0 + exp(-x))
            }
        };
        let (with, without) = (self.p * self.size + 0.5, (1.0 - self.p) * self.size + 0.5);
        let z = normal_quantile(target);
        let mut x = ln(with / without) + z * (1.0 / with + 1.0 / without).sqrt();
        let (mut low, mut high) = (-690.0, 690.0);
        for _ in 0..300 {
            let (miss, slope) = self.miss(share(x), share(-x), target);
            if miss > 0.0 {
                high = x;
            } else {
                low = x;
            }
            let mut next = x - miss / slope;
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            } else if (next - x).abs() < 1e-9 {
                // The next step would be of the order of this one's square.
                return share(next);
            }
            x = next;
        }
        share(x)
    }
}

#[cfg(test)]
mod tests {
    use super::{BoxAnswers, harmonic, limits};

    #[test]
    fn a_long_tail_is_its_sum() {
        for s in [0.4, 9.0, 199.0] {
            for m in [64, 65, 200, 5000] {
                let sum: f64 = (0..m).map(|j| 1.0 / (s + j as f64)).sum();
                assert!((harmonic(s, m) / sum - 1.0).abs() < 1e-13, "{s} {m}");
            }
        }
    }

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
