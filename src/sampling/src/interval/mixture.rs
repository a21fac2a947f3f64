//! Mixtures of beta distributions and their quantiles.

use crate::math::{Beta, exp, ln, normal_quantile};

/// A mixture of beta distributions, each that of a share on so many items under Jeffreys' prior.
pub(super) struct Mixture<const N: usize> {
    /// The share and the items to start from.
    p: f64,
    size: f64,
    components: [(f64, Beta); N],
}

impl<const N: usize> Mixture<N> {
    /// Of `Beta(p n + 1/2, (1 - p) n + 1/2)` with weights `w` that add up to 1; `of` gives `(w, p, n)`.
    pub(super) fn new(of: [(f64, f64, f64); N]) -> Self {
        let mean = |f: fn(f64, f64) -> f64| of.iter().map(|(w, p, n)| w * f(*p, *n)).sum::<f64>();
        Self {
            p: mean(|p, _| p),
            size: mean(|_, n| n),
            components: of.map(|(w, p, n)| (w, Beta::new(p * n + 0.5, (1.0 - p) * n + 0.5))),
        }
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
    pub(super) fn quantile(&self, target: f64) -> f64 {
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
