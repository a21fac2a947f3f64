//! The default interval for a share: the beta-binomial model and the design joined.
//!
//! Where few boxes tell of the condition the design variance is known too badly to lean on, and the mean of the items is a poor
//! summary: five items in one box say less of the share than one item in each of five. There a model of boxes leads, and
//! with many telling boxes the design does, so that a wrong model costs a large sample nothing.
//!
//! For box `i` with `M` items, `m` drawn, `k` known, `y` yes, item weight `W`, first-stage fraction `f`; `n = sum k`,
//! `S = sum W k`; `q` the lesser of the numbers of boxes with a yes and with a no (the *telling boxes*):
//!
//! 1. *What correlation.* Nodes `r` of the correlation inside boxes get weights `w` from a beta-binomial likelihood of the
//!    boxes' counts (the share integrated over Jeffreys' prior) and a prior: [`Rule::prior`] for `r` under 1, and
//!    [`Rule::all_or_nothing`] for `r = 1`. No survey weights enter here.
//! 2. *The model's share.* At each `r`: the likeliest share `x(r)`, and the independent items `n(r)` that would tell as much of
//!    it (its information times `x (1 - x)`); at `r = 1` the boxes.
//! 3. *The design's inverse size.* `c(r) = B + r (A - B)` with `A = sum (1 - f) (W k)^2 / S^2`,
//!    `B = sum (1 - f m / M) W^2 k / S^2`, and `v = V / (p (1 - p))` with `V` the linearised variance of the share `p`. The model knows
//!    no weights and no finite frame: its `1 / n(r)` is multiplied by `c(r) / c0(r)`, `c0` the same with equal weights and `f = 0`.
//! 4. *Joined.* With `d = q^2 / (q^2 + `[`Rule::design_leads`]`)`: `1 / N(r) = g [ d max(c(r), v) + (1 - d) c(r) / (c0(r) n(r)) ]`, and the
//!    log odds of `P(r)` are those of `p` plus `(1 - d) (1 - s)` times those of `x(r)` less those of `sum y / n`, `s = n / S` the part of
//!    the items that was seen. `g = 1 + ((t_df / z)^2 - 1) q / (q + `[`Rule::few_boxes`]`)`.
//! 5. *Limits.* Quantiles of the mixture of `Beta(P(r) N(r) + 1/2, (1 - P(r)) N(r) + 1/2)` with weights `w`, as much
//!    probability outside the one as outside the other.
//! 6. *The unseen part.* The limits also hold those of what was not seen, what was seen being known.
//! 7. *None or all seen.* Nothing tells of the correlation. The limit is the exact one-sided one of a binomial ("rule of three":
//!    all of `1 - level` on the one side) on as many items as would as surely show a rare condition at [`Rule::nothing_seen`]:
//!    `sum_i sum_{j < k} (1 - r) / (1 - r + j r)`, by `B n` for weights and frame.
//! 8. *Whole boxes.* Where no box is mixed and two or more have the condition in all of several items (or lack it), boxes look
//!    all or nothing, and the exact limits for boxes ([`super::hypergeometric`]) are held too, told as a share; and where
//!    boxes differ in size, Clopper and Pearson's on `1 / A` boxes.
//!
//! The constants were chosen by simulation: [`super::coverage`] says how, and where the limits do not keep their word.

use super::blended::{Blended, BoxAnswers, square};
use super::likelihood::Answers;
use super::mixture::Mixture;
use super::{Limits, binomial, hypergeometric, tail};
use crate::math::{exp, ln, normal_quantile, pow, sum, t_quantile};

/// The correlations over which the rule averages; the last is that of boxes that are all or nothing.
const R: [f64; NODES] = [
    0.002, 0.01, 0.02, 0.035, 0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.7, 0.85, 1.0,
];
const NODES: usize = 18;
/// How many of them are under 1.
const MIXED: usize = NODES - 1;

/// The constants of the rule.
///
/// ```
/// use sampling::interval::blended::BoxAnswers;
/// use sampling::interval::joint::{Rule, limits_by};
/// let of = |known, yes| BoxAnswers { known, yes, weight: 80.0, box_fraction: 5.0 / 400.0, item_fraction: 1.0 };
/// let boxes = [of(12, 0), of(7, 2), of(15, 0), of(9, 0), of(20, 5)];
/// let high = |rule: &Rule| limits_by(rule, 7.0 / 63.0, 0.0046, 4.0, &boxes, 0.95).map(|made| made.limits.high);
/// // Whoever expects items of a box to be more alike gets wider limits.
/// let wary = Rule { prior: (2.0, 2.0), ..Rule::DEFAULT };
/// assert!(high(&wary) > high(&Rule::DEFAULT));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// The parameters of the beta prior of a correlation under 1. Its mean is the planning correlation.
    pub prior: (f64, f64),
    /// The prior probability that every box has the condition in all its items or in none; one mixed box takes it away.
    pub all_or_nothing: f64,
    /// The square of the telling boxes at which model and design weigh the same.
    pub design_leads: f64,
    /// The telling boxes at which half of what t adds to the normal quantile is added: with fewer the prior is wide already.
    pub few_boxes: f64,
    /// The correlation that is reckoned with where none or all were seen.
    pub nothing_seen: f64,
}

impl Rule {
    /// The default, as the study chose it.
    ///
    /// ```
    /// use sampling::interval::joint::Rule;
    /// let (a, b) = Rule::DEFAULT.prior;
    /// // The planning correlation: what is expected of a box before any is opened.
    /// assert!((a / (a + b) - 0.186).abs() < 1e-3);
    /// ```
    pub const DEFAULT: Self = Self {
        prior: (0.8, 3.5),
        all_or_nothing: 0.01,
        design_leads: 25.0,
        few_boxes: 12.0,
        nothing_seen: 0.33,
    };
}

/// Limits for the share `p` with design variance `variance`; `None` without a degree of freedom or a known answer.
///
/// Where every item of every box was read the share is known and both limits are `p`.
///
/// ```
/// use sampling::interval::blended::BoxAnswers;
/// use sampling::interval::joint::limits;
/// let of = |known, yes| BoxAnswers { known, yes, weight: 80.0, box_fraction: 5.0 / 400.0, item_fraction: 1.0 };
/// let boxes = [of(12, 0), of(7, 2), of(15, 0), of(9, 0), of(20, 5)];
/// let made = limits(7.0 / 63.0, 0.0677651009 * 0.0677651009, 4.0, &boxes, 0.95).ok_or("no degree of freedom")?;
/// assert_eq!(format!("{:.3} to {:.3}", made.limits.low, made.limits.high), "0.022 to 0.329");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn limits(p: f64, variance: f64, df: f64, boxes: &[BoxAnswers], level: f64) -> Option<Blended> {
    limits_by(&Rule::DEFAULT, p, variance, df, boxes, level)
}

/// As [`limits`], with constants of one's choice.
///
/// ```
/// use sampling::interval::blended::BoxAnswers;
/// use sampling::interval::joint::{Rule, limits, limits_by};
/// let of = |known, yes| BoxAnswers { known, yes, weight: 80.0, box_fraction: 5.0 / 400.0, item_fraction: 1.0 };
/// let boxes = [of(12, 0), of(7, 2), of(15, 0), of(9, 0), of(20, 5)];
/// let by = |rule: &Rule| limits_by(rule, 7.0 / 63.0, 0.0046, 4.0, &boxes, 0.95);
/// assert_eq!(by(&Rule::DEFAULT), limits(7.0 / 63.0, 0.0046, 4.0, &boxes, 0.95));
/// ```
#[must_use]
pub fn limits_by(
    rule: &Rule,
    p: f64,
    variance: f64,
    df: f64,
    boxes: &[BoxAnswers],
    level: f64,
) -> Option<Blended> {
    let sample = Sample::new(p, boxes)?;
    if sample.single <= 0.0 {
        return Some(Blended {
            limits: Limits { low: p, high: p },
            effective_items: f64::INFINITY,
            correlation: 0.0,
            telling_boxes: sample.telling(),
        });
    }
    if df <= 0.0 {
        return None;
    }
    let answers = Answers::new(boxes);
    let weights = answers.weights(&R, known_prior(rule));
    let correlation = sum(weights.iter().zip(&R).map(|(w, r)| w * r));
    if sample.telling() == 0 {
        let items = answers.independent_items(rule.nothing_seen) / (sample.single * sample.known);
        return Some(Blended {
            limits: none_or_all(&sample, items, level),
            effective_items: items,
            correlation,
            telling_boxes: 0,
        });
    }
    let a = tail(level);
    let q = sample.telling() as f64;
    let t = square(t_quantile(1.0 - a, df) / normal_quantile(1.0 - a)) - 1.0;
    let g = 1.0 + t * q / (q + rule.few_boxes);
    let v = variance / (p * (1.0 - p));
    let nodes = nodes(rule, &sample, &answers, v, g);
    let part = |seen: f64| -> Mixture<NODES> {
        // Of what was not seen, the share and the items that leave the whole its share and its variance.
        Mixture::new(core::array::from_fn(|j| {
            let (share, items) = nodes[j];
            let rest = (share - seen * p) / (1.0 - seen);
            (weights[j], rest.clamp(0.0, 1.0), items * square(1.0 - seen))
        }))
    };
    let mut limits = Limits { low: p, high: p };
    let mut hold = |low: f64, high: f64| {
        limits.low = limits.low.min(low);
        limits.high = limits.high.max(high);
    };
    let whole = part(0.0);
    hold(whole.quantile(a), whole.quantile(1.0 - a));
    let seen = sample.seen();
    if seen < 1.0 {
        let rest = part(seen);
        let of_all = |u: f64| seen * p + (1.0 - seen) * u;
        hold(of_all(rest.quantile(a)), of_all(rest.quantile(1.0 - a)));
    }
    if let Some(held) = whole_boxes(&sample, boxes, level) {
        hold(held.low, held.high);
    }
    let inverse = sum(weights.iter().zip(&nodes).map(|(w, (_, items))| w / items));
    Some(Blended {
        limits,
        effective_items: 1.0 / inverse,
        correlation,
        telling_boxes: sample.telling(),
    })
}

/// What the rule needs of a sample as a whole.
struct Sample {
    p: f64,
    known: f64,
    /// `S`.
    estimated: f64,
    /// `sum y / n`.
    unweighted: f64,
    /// `sum k^2`.
    squares: f64,
    /// `A` and `B`.
    clustered: f64,
    single: f64,
    with: usize,
    without: usize,
}

impl Sample {
    fn new(p: f64, boxes: &[BoxAnswers]) -> Option<Self> {
        let total = |f: &dyn Fn(&BoxAnswers) -> f64| sum(boxes.iter().map(f));
        let known = total(&|b| b.known as f64);
        let estimated = total(&|b| b.weight * b.known as f64);
        let clustered = total(&|b| (1.0 - b.box_fraction) * square(b.weight * b.known as f64));
        let single = total(&|b| (1.0 - b.box_fraction * b.item_fraction) * square(b.weight) * b.known as f64);
        (known > 0.0 && p.is_finite()).then(|| Self {
            p,
            known,
            estimated,
            unweighted: total(&|b| b.yes as f64) / known,
            squares: total(&|b| square(b.known as f64)),
            clustered: clustered / square(estimated),
            single: single / square(estimated),
            with: boxes.iter().filter(|b| b.yes > 0).count(),
            without: boxes.iter().filter(|b| b.yes < b.known).count(),
        })
    }

    fn telling(&self) -> usize {
        // A share of 0 or 1 says the same, whatever weights made of it.
        if self.p > 0.0 && self.p < 1.0 {
            self.with.min(self.without)
        } else {
            0
        }
    }

    fn seen(&self) -> f64 {
        (self.known / self.estimated).min(1.0)
    }
}

/// The share and the items of each correlation, model and design joined.
fn nodes(rule: &Rule, sample: &Sample, answers: &Answers, v: f64, g: f64) -> [(f64, f64); NODES] {
    let q = sample.telling() as f64;
    let design_leads = square(q) / (square(q) + rule.design_leads);
    let model_leads = 1.0 - design_leads;
    let mut start = sample.unweighted;
    R.map(|r| {
        let (x, items) = if r < 1.0 {
            answers.likeliest(r, start)
        } else {
            answers
                .all_or_nothing()
                .map_or((start, sample.known), |(all, none)| {
                    (all / (all + none), all + none)
                })
        };
        start = x;
        // Of a frame whose every box was drawn nothing is uncertain between boxes; a distribution must keep some width.
        let design = (sample.single + r * (sample.clustered - sample.single)).max(1e-3 * sample.single);
        let plain = (sample.known + r * (sample.squares - sample.known)) / square(sample.known);
        let model = design / plain / items.max(0.3);
        let moved = model_leads * (1.0 - sample.seen()) * (log_odds(x) - log_odds(sample.unweighted));
        let share = of_log_odds(log_odds(sample.p) + moved);
        (
            share,
            1.0 / (g * (design_leads * design.max(v) + model_leads * model)),
        )
    })
}

/// Limits where none or all were seen, on so many independent items.
fn none_or_all(sample: &Sample, items: f64, level: f64) -> Limits {
    let seen = sample.seen();
    let of = |items: f64| 1.0 - pow(2.0 * tail(level), 1.0 / items);
    let unseen = if seen < 1.0 {
        (1.0 - seen) * of(items * square(1.0 - seen))
    } else {
        0.0
    };
    let far = of(items).max(unseen);
    if sample.p < 0.5 {
        Limits { low: 0.0, high: far }
    } else {
        Limits {
            low: 1.0 - far,
            high: 1.0,
        }
    }
}

/// The limits for boxes told as a share, where boxes look all or nothing.
fn whole_boxes(sample: &Sample, boxes: &[BoxAnswers], level: f64) -> Option<Limits> {
    let several = |all: bool| {
        let alike = boxes.iter().filter(|b| b.known > 1 && (b.yes > 0) == all);
        alike.count() >= 2
    };
    let mixed = boxes.iter().any(|b| b.yes > 0 && b.yes < b.known);
    if mixed || !several(true) || !several(false) || sample.clustered <= 0.0 {
        return None;
    }
    let n = boxes.len() as u64;
    let frame = whole_number(sum(boxes.iter().map(|b| 1.0 / b.box_fraction))).max(n);
    let counts = hypergeometric::limits(sample.with as u64, n, frame, level)?;
    // The share of items differs from that of boxes where the boxes with the condition hold more, or less, than others.
    let shift = log_odds(sample.p) - log_odds(sample.with as f64 / n as f64);
    let told = |count: u64| match count {
        0 => 0.0,
        count if count == frame => 1.0,
        count => of_log_odds(log_odds(count as f64 / frame as f64) + shift),
    };
    let worth = 1.0 / sample.clustered;
    let unequal = binomial::clopper_pearson(sample.p * worth, worth, level);
    let equal = boxes.iter().all(|b| b.known == boxes[0].known);
    Some(Limits {
        low: if equal {
            told(counts.least)
        } else {
            told(counts.least).min(unequal.low)
        },
        high: if equal {
            told(counts.most)
        } else {
            told(counts.most).max(unequal.high)
        },
    })
}

/// Prior weights of the correlations.
/// The prior weights of the correlations; those of the default rule are worked out once.
fn known_prior(rule: &Rule) -> [f64; NODES] {
    static DEFAULT: std::sync::OnceLock<[f64; NODES]> = std::sync::OnceLock::new();
    if *rule == Rule::DEFAULT {
        *DEFAULT.get_or_init(|| prior(rule))
    } else {
        prior(rule)
    }
}

fn prior(rule: &Rule) -> [f64; NODES] {
    let middle = |j: usize| 0.5 * (R[j - 1] + R[j]);
    let below = |e: f64| crate::math::beta_cdf(rule.prior.0, rule.prior.1, e).lower;
    core::array::from_fn(|j| match j {
        MIXED => rule.all_or_nothing,
        _ => {
            let low = if j == 0 { 0.0 } else { below(middle(j)) };
            let high = if j + 1 == MIXED { 1.0 } else { below(middle(j + 1)) };
            (1.0 - rule.all_or_nothing) * (high - low)
        }
    })
}

fn log_odds(x: f64) -> f64 {
    ln(x / (1.0 - x))
}

fn of_log_odds(x: f64) -> f64 {
    if x < 0.0 {
        exp(x) / (1.0 + exp(x))
    } else {
        1.0 / (1.0 + exp(-x))
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a positive number of boxes, below 2^53"
)]
fn whole_number(x: f64) -> u64 {
    x.round() as u64
}
