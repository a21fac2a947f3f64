//! The beta distribution: density, both tails and quantile.

use super::gamma::{HALF_LN_TWO_PI, stirling_error};
use super::{exp, ln};

/// Both tails of a distribution function, each with its own relative accuracy.
///
/// ```
/// use sampling::math::beta_cdf;
/// let tails = beta_cdf(2.0, 3.0, 0.25);
/// assert!((tails.lower + tails.upper - 1.0).abs() < 1e-15);
/// assert!((tails.lower - 67.0 / 256.0).abs() < 1e-14); // 1 - 4 x^3 + 3 x^4 at x = 3/4, from the other end.
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BetaTails {
    /// `P(X <= x)`.
    pub lower: f64,
    /// `P(X > x)`.
    pub upper: f64,
}

/// The deviance `x ln(x / m) + m - x` of Loader 2000, `x - m` given apart; with `x / m` near 1 taken as a series.
fn deviance(x: f64, m: f64, difference: f64) -> f64 {
    if difference.abs() < 0.1 * (x + m) {
        let v = difference / (x + m);
        let mut sum = difference * v;
        let mut power = 2.0 * x * v;
        let mut odd = 1.0;
        loop {
            power *= v * v;
            odd += 2.0;
            let next = sum + power / odd;
            // The terms fall by v^2 < 0.01 each, so this ends within ten steps.
            if next.to_bits() == sum.to_bits() {
                return sum;
            }
            sum = next;
        }
    }
    x * ln(x / m) - difference
}

/// `a - (a + b) x`, formed from the smaller of `x` and `y = 1 - x`: the larger one's rounding would count `a + b` times.
fn excess(a: f64, b: f64, x: f64, y: f64) -> f64 {
    if x <= y { a - (a + b) * x } else { (a + b) * y - b }
}

/// A beta distribution, with what does not depend on `x` worked out once.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Beta {
    a: f64,
    b: f64,
    /// `ln` of the part of `x^a y^b / B(a, b)` that is not a deviance.
    constant: f64,
}

impl Beta {
    /// The distribution with parameters `a, b > 0`.
    pub(crate) fn new(a: f64, b: f64) -> Self {
        let n = a + b;
        let bulk = stirling_error(n) - stirling_error(a) - stirling_error(b);
        Self {
            a,
            b,
            constant: bulk + 0.5 * (ln(a) + ln(b) - ln(n)) - HALF_LN_TWO_PI,
        }
    }

    /// The same with `x` and `1 - x` changed about.
    fn mirrored(&self) -> Self {
        Self {
            a: self.b,
            b: self.a,
            constant: self.constant,
        }
    }

    /// `x^a y^b / B(a, b)` with `y = 1 - x`: the density times `x y`.
    fn kernel(&self, x: f64, y: f64) -> f64 {
        let n = self.a + self.b;
        let excess = excess(self.a, self.b, x, y);
        exp(self.constant - deviance(self.a, n * x, excess) - deviance(self.b, n * y, -excess))
    }

    /// Both tails at `x`, with `y = 1 - x` given apart so that neither end loses digits, and the density times `x y`.
    pub(crate) fn tails(&self, x: f64, y: f64) -> (BetaTails, f64) {
        if x <= 0.0 {
            return (
                BetaTails {
                    lower: 0.0,
                    upper: 1.0,
                },
                0.0,
            );
        }
        if y <= 0.0 {
            return (
                BetaTails {
                    lower: 1.0,
                    upper: 0.0,
                },
                0.0,
            );
        }
        let (a, b) = (self.a, self.b);
        let kernel = self.kernel(x, y);
        // The fraction converges fast on the near side of the mean only.
        let tails = if a * y >= b * x {
            let lower = (kernel / fraction(a, b, x, y)).min(1.0);
            BetaTails {
                lower,
                upper: 1.0 - lower,
            }
        } else {
            let upper = (kernel / fraction(b, a, y, x)).min(1.0);
            BetaTails {
                lower: 1.0 - upper,
                upper,
            }
        };
        (tails, kernel)
    }
}

/// Density of the beta distribution with parameters `a, b > 0` at `x` in (0, 1).
///
/// ```
/// use sampling::math::beta_density;
/// assert!((beta_density(2.0, 3.0, 0.25) - 12.0 * 0.25 * 0.75 * 0.75).abs() < 1e-13);
/// ```
#[must_use]
pub fn beta_density(a: f64, b: f64, x: f64) -> f64 {
    Beta::new(a, b).kernel(x, 1.0 - x) / (x * (1.0 - x))
}

/// The continued fraction of the incomplete beta function (Didonato and Morris 1992, eq. 9), by modified Lentz.
fn fraction(a: f64, b: f64, x: f64, y: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let lambda = excess(a, b, x, y);
    let mut beta = a * (lambda + 1.0) / (a + 1.0);
    let mut value = if beta.abs() < TINY { TINY } else { beta };
    let mut c = value;
    let mut d = 0.0;
    let mut n = 0.0;
    for _ in 0..20_000 {
        n += 1.0;
        let two = a + 2.0 * n;
        let alpha = (a + n - 1.0) * (a + b + n - 1.0) * n * (b - n) * x * x / ((two - 1.0) * (two - 1.0));
        beta = n + n * (b - n) * x / (two - 1.0) + (a + n) * (lambda + 1.0 + n * (1.0 + y)) / (two + 1.0);
        d = beta + alpha * d;
        d = 1.0 / if d.abs() < TINY { TINY } else { d };
        c = beta + alpha / c;
        if c.abs() < TINY {
            c = TINY;
        }
        let step = c * d;
        value *= step;
        // One rounding either way is as near as it gets.
        if (step - 1.0).abs() < 2.5e-16 {
            break;
        }
    }
    value
}

/// Both tails at `x`; `y = 1 - x`.
pub(super) fn tails(a: f64, b: f64, x: f64, y: f64) -> BetaTails {
    Beta::new(a, b).tails(x, y).0
}

/// Distribution function of the beta distribution (the regularised incomplete beta function) for `a, b > 0`, `x` in [0, 1].
///
/// ```
/// let tails = sampling::math::beta_cdf(2.0, 3.0, 0.25);
/// assert!((tails.lower - 0.26171875).abs() < 1e-15); // 6x^2 - 8x^3 + 3x^4
/// ```
#[must_use]
pub fn beta_cdf(a: f64, b: f64, x: f64) -> BetaTails {
    tails(a, b, x, 1.0 - x)
}

/// The quantile, `x` with `P(X <= x) = p`, of the beta distribution with `a, b > 0`; `p` in [0, 1].
///
/// A quantile under 1e-300 is given as 0.
///
/// ```
/// use sampling::math::{beta_cdf, beta_quantile};
/// let x = beta_quantile(0.025, 2.5, 40.5);
/// assert!((beta_cdf(2.5, 40.5, x).lower - 0.025).abs() < 1e-12);
/// ```
#[must_use]
pub fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    quantile_pair(p, 1.0 - p, a, b).0
}

/// The quantile and one minus it, each to its own relative accuracy; `q = 1 - p`.
pub(super) fn quantile_pair(p: f64, q: f64, a: f64, b: f64) -> (f64, f64) {
    if p <= 0.0 {
        return (0.0, 1.0);
    }
    if q <= 0.0 {
        return (1.0, 0.0);
    }
    let beta = Beta::new(a, b);
    if beta.tails(0.5, 0.5).0.lower >= p {
        let x = lower_half(p, q, &beta);
        (x, 1.0 - x)
    } else {
        let y = lower_half(q, p, &beta.mirrored());
        (1.0 - y, y)
    }
}

/// The quantile when it is at most one half: a Newton search on `u = ln x`, kept inside a shrinking bracket.
fn lower_half(p: f64, q: f64, beta: &Beta) -> f64 {
    const LEAST: f64 = 1e-300;
    let (mut low, mut high) = (ln(LEAST), ln(0.5));
    if beta.tails(LEAST, 1.0).0.lower >= p {
        return 0.0;
    }
    let mut u = start(p, q, beta).clamp(low, high);
    for _ in 0..200 {
        let x = exp(u);
        let y = 1.0 - x;
        let (at, kernel) = beta.tails(x, y);
        let density = kernel / y;
        // The logarithm of the smaller tail is close to a straight line in u.
        let (miss, slope) = if p <= q {
            (ln(at.lower / p), density / at.lower)
        } else {
            (-ln(at.upper / q), density / at.upper)
        };
        if miss > 0.0 {
            high = u;
        } else if miss < 0.0 {
            low = u;
        } else {
            return x;
        }
        let mut next = u - miss / slope;
        if !(next > low && next < high) {
            next = 0.5 * (low + high);
        } else if (next - u).abs() <= 1e-9 {
            // Newton's next step would be of the order of this one's square. The step is taken on x itself: exp(next)
            // would carry the rounding of a large u.
            return x * exp(next - u);
        }
        if high - low <= 1e-16 * high.abs() {
            return exp(next);
        }
        u = next;
    }
    exp(u)
}

/// Where to start: the lower tail's own power law where that is small, else the normal quantile on the log odds.
fn start(p: f64, q: f64, beta: &Beta) -> f64 {
    let (a, b) = (beta.a, beta.b);
    let power = (ln(p) + ln(a) + super::ln_beta(a, b)) / a;
    if a < 1.0 || b < 1.0 {
        return power;
    }
    let z = if p <= q {
        super::normal_quantile(p)
    } else {
        -super::normal_quantile(q)
    };
    let odds = ln(a / b) + z * (1.0 / a + 1.0 / b).sqrt();
    (-super::ln_1p(exp(-odds))).max(power)
}
