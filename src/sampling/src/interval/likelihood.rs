//! The beta-binomial likelihood of the boxes' counts: what their answers say of the share and of the correlation inside boxes.

use super::blended::BoxAnswers;
use crate::math::{exp, ln, ln_gamma, sin};

/// Nodes of the share, at `sin^2(pi / 2 (k - 1/2) / P_NODES)`: equally likely under Jeffreys' prior.
const P_NODES: usize = 48;
/// From so many items in a box on, sums over items are taken by closed forms.
const MANY: u64 = 256;

/// Boxes that all have fewer items are counted in a table of all numbers.
const FEW: u64 = 512;

/// The nodes of the share.
fn p_nodes() -> &'static [f64; P_NODES] {
    static NODES: std::sync::OnceLock<[f64; P_NODES]> = std::sync::OnceLock::new();
    NODES.get_or_init(|| {
        core::array::from_fn(|k| {
            let half = sin(core::f64::consts::FRAC_PI_2 * (k as f64 + 0.5) / P_NODES as f64);
            half * half
        })
    })
}

/// The boxes' counts, laid out for the beta-binomial likelihood.
pub(super) struct Answers {
    /// `(value, boxes that have it)`, ascending, of the numbers of yes, of no, and of known answers.
    yes: Vec<(u64, f64)>,
    no: Vec<(u64, f64)>,
    known: Vec<(u64, f64)>,
    /// Boxes with all and with none, where there are no others.
    all_or_nothing: Option<(f64, f64)>,
}

impl Answers {
    #[allow(clippy::cast_possible_truncation, reason = "under `FEW`")]
    pub(super) fn new(boxes: &[BoxAnswers]) -> Self {
        let tally = |f: fn(&BoxAnswers) -> u64| {
            if boxes.iter().all(|b| f(b) < FEW) {
                let mut counts = [0.0; FEW as usize];
                for b in boxes {
                    counts[f(b) as usize] += 1.0;
                }
                let distinct = (0..).zip(counts).skip(1);
                return distinct.filter(|(_, count)| *count > 0.0).collect();
            }
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
    pub(super) fn independent_items(&self, r: f64) -> f64 {
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

    /// Posterior weights of the correlations `r`, whose prior weights are given; the share is integrated over Jeffreys' prior.
    pub(super) fn weights<const N: usize>(&self, r: &[f64; N], prior: [f64; N]) -> [f64; N] {
        let nodes = p_nodes();
        let mut weights = prior;
        let mut logs = [f64::NEG_INFINITY; N];
        for ((log, &r), weight) in logs.iter_mut().zip(r).zip(&weights) {
            if *weight > 0.0 {
                let at = self.likelihood(r, nodes);
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

    /// Boxes that have the condition and boxes that lack it, where every box has it in all its items or in none.
    pub(super) fn all_or_nothing(&self) -> Option<(f64, f64)> {
        self.all_or_nothing
    }

    /// The likeliest share under correlation `r` under 1, looked for from `start`, and how many independent items would tell
    /// as much of it: its information times `x (1 - x)`.
    ///
    /// Some box must have a yes and some box a no. The log likelihood is concave in the share, so Newton's steps in a shrinking
    /// bracket find its top.
    pub(super) fn likeliest(&self, r: f64, start: f64) -> (f64, f64) {
        let s = (1.0 - r) / r;
        let (mut low, mut high) = (0.0, 1.0);
        let mut x = start.clamp(1e-9, 1.0 - 1e-9);
        let mut information = 0.0;
        for _ in 0..100 {
            let (yes, yes_squares) = slopes(&self.yes, x * s);
            let (no, no_squares) = slopes(&self.no, (1.0 - x) * s);
            let slope = s * (yes - no);
            information = s * s * (yes_squares + no_squares);
            if slope > 0.0 {
                low = x;
            } else {
                high = x;
            }
            let mut next = x + slope / information;
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            }
            let step = (next - x).abs();
            x = next;
            if step < 1e-12 * x.min(1.0 - x) {
                break;
            }
        }
        (x, information * x * (1.0 - x))
    }
}

/// `sum_i sum_{j < value_i}` of `1 / (a + j)` and of its square, over a tally.
fn slopes(tally: &[(u64, f64)], a: f64) -> (f64, f64) {
    let greatest = tally.last().map_or(0, |(value, _)| *value);
    if greatest > MANY {
        return tally.iter().fold((0.0, 0.0), |(first, second), (value, count)| {
            (
                first + count * harmonic(a, *value),
                second + count * harmonic_squares(a, *value),
            )
        });
    }
    let mut steps = Steps::new(tally);
    let (mut first, mut second) = (0.0, 0.0);
    for j in 0..greatest {
        let term = 1.0 / (a + j as f64);
        let boxes = steps.boxes_over(j);
        first += boxes * term;
        second += boxes * term * term;
    }
    (first, second)
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

/// How many terms are added one by one.
const STEPS: u64 = 64;

/// `sum_{j < m} 1 / (s + j)`: term by term, a long tail by the asymptotic digamma function (NIST DLMF 5.11.2).
fn harmonic(s: f64, m: u64) -> f64 {
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

/// `sum_{j < m} 1 / (s + j)^2`: term by term, a long tail by the asymptotic trigamma function (the derivative of NIST DLMF
/// 5.11.2).
fn harmonic_squares(s: f64, m: u64) -> f64 {
    let term = |j: u64| 1.0 / ((s + j as f64) * (s + j as f64));
    let direct: f64 = (0..m.min(STEPS)).map(term).sum();
    if m <= STEPS {
        return direct;
    }
    let trigamma = |x: f64| {
        let square = 1.0 / (x * x);
        (1.0 + 0.5 / x + square * (1.0 / 6.0 - square * (1.0 / 30.0 - square / 42.0))) / x
    };
    direct + trigamma(s + STEPS as f64) - trigamma(s + m as f64)
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

#[cfg(test)]
mod tests {
    use super::{Answers, BoxAnswers, harmonic, harmonic_squares, ln};

    #[test]
    fn a_long_tail_is_its_sum() {
        for s in [0.4, 9.0, 199.0] {
            for m in [64, 65, 200, 5000] {
                let sum: f64 = (0..m).map(|j| 1.0 / (s + j as f64)).sum();
                assert!((harmonic(s, m) / sum - 1.0).abs() < 1e-13, "{s} {m}");
                let sum: f64 = (0..m).map(|j| 1.0 / ((s + j as f64) * (s + j as f64))).sum();
                assert!((harmonic_squares(s, m) / sum - 1.0).abs() < 1e-13, "{s} {m}");
            }
        }
    }

    #[test]
    fn the_likeliest_share_is_the_top_and_its_items_the_bend() {
        let boxes = [(12, 0), (7, 2), (15, 0), (9, 9), (20, 5)].map(|(known, yes)| BoxAnswers {
            known,
            yes,
            weight: 1.0,
            box_fraction: 0.1,
            item_fraction: 1.0,
        });
        let answers = Answers::new(&boxes);
        for r in [0.02, 0.3, 0.85] {
            let (x, items) = answers.likeliest(r, 0.5);
            let s = (1.0 - r) / r;
            let rise = |a: f64, m: u64| (0..m).map(|j| ln(a + j as f64)).sum::<f64>();
            let at = |x: f64| -> f64 {
                let of = |b: &BoxAnswers| rise(x * s, b.yes) + rise((1.0 - x) * s, b.known - b.yes);
                boxes.iter().map(of).sum()
            };
            let h = 1e-3 * x;
            assert!(at(x) > at(x - h) && at(x) > at(x + h), "{r}");
            let bend = -(at(x - h) - 2.0 * at(x) + at(x + h)) / (h * h);
            assert!((bend * x * (1.0 - x) / items - 1.0).abs() < 1e-4, "{r}");
        }
    }
}
