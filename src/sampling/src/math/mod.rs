//! The transcendental functions, the same bits on every platform.
//!
//! The standard library hands `exp`, `ln` and their kin to the platform's mathematics library, whose last digit differs
//! from one to the next; `libm` computes them in plain arithmetic, so a figure is the same in a browser and at a desk.
//! Square root, floor and the like are exact by IEEE 754 and need no care.

mod beta;
mod gamma;
mod normal;
mod student;

pub(crate) use beta::Beta;
pub use beta::{BetaTails, beta_cdf, beta_density, beta_quantile};
pub use gamma::{ln_beta, ln_binomial, ln_gamma};
pub use normal::{normal_cdf, normal_quantile};
pub use student::{t_cdf, t_quantile};

/// Natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// `ln(1 + x)`, exact for small `x`.
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Exponential.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// `exp(x) - 1`, exact for small `x`.
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// `x` to the power `y`.
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Sine of `x` radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of `x` radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Arcsine, in radians.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Square root (exact by IEEE 754).
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    x.sqrt()
}

/// A sum with a running compensation (Neumaier's), in the order given: error about one rounding, however many the terms.
#[must_use]
pub fn sum(terms: impl IntoIterator<Item = f64>) -> f64 {
    let mut total = Total::default();
    for term in terms {
        total.add(term);
    }
    total.value()
}

/// A running compensated total; see [`sum`].
#[derive(Clone, Copy, Debug, Default)]
pub struct Total {
    high: f64,
    low: f64,
}

impl Total {
    /// Adds one term.
    pub fn add(&mut self, term: f64) {
        // Knuth's two-sum: the rounding error of the addition, exactly and without a branch.
        let next = self.high + term;
        let of_term = next - self.high;
        self.low += (self.high - (next - of_term)) + (term - of_term);
        self.high = next;
    }

    /// The total so far.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.high + self.low
    }
}
