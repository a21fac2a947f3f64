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
///
/// ```
/// assert_eq!(sampling::math::ln(1.0), 0.0);
/// assert!((sampling::math::ln(core::f64::consts::E) - 1.0).abs() < 1e-15);
/// ```
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// `ln(1 + x)`, exact for small `x`.
///
/// ```
/// assert_eq!(sampling::math::ln_1p(1e-20), 1e-20); // ln(1 + 1e-20) is 0.
/// ```
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Exponential.
///
/// ```
/// assert!((sampling::math::exp(1.0) - core::f64::consts::E).abs() < 1e-15);
/// ```
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// `exp(x) - 1`, exact for small `x`.
///
/// ```
/// assert_eq!(sampling::math::exp_m1(1e-20), 1e-20); // exp(1e-20) - 1 is 0.
/// ```
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// `x` to the power `y`.
///
/// ```
/// assert_eq!(sampling::math::pow(2.0, 10.0), 1024.0);
/// ```
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Sine of `x` radians.
///
/// ```
/// assert_eq!(sampling::math::sin(0.0), 0.0);
/// assert!((sampling::math::sin(core::f64::consts::FRAC_PI_6) - 0.5).abs() < 1e-15);
/// ```
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of `x` radians.
///
/// ```
/// assert!((sampling::math::cos(core::f64::consts::FRAC_PI_3) - 0.5).abs() < 1e-15);
/// ```
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Arcsine, in radians.
///
/// ```
/// assert!((sampling::math::asin(0.5) - core::f64::consts::FRAC_PI_6).abs() < 1e-15);
/// ```
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Square root (exact by IEEE 754).
///
/// ```
/// assert_eq!(sampling::math::sqrt(6.25), 2.5);
/// ```
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    x.sqrt()
}

/// A sum with a running compensation (Neumaier's), in the order given: error about one rounding, however many the terms.
///
/// ```
/// assert_eq!(sampling::math::sum([1.0, 1e100, 1.0, -1e100]), 2.0); // Added up plainly it is 0.
/// ```
#[must_use]
pub fn sum(terms: impl IntoIterator<Item = f64>) -> f64 {
    let mut total = Total::default();
    for term in terms {
        total.add(term);
    }
    total.value()
}

/// A running compensated total; see [`sum`].
///
/// ```
/// use sampling::math::Total;
/// let mut total = Total::default();
/// (0..10).for_each(|_| total.add(0.1));
/// assert_eq!(total.value(), 1.0); // Added up plainly it is 0.9999999999999999.
/// ```
#[derive(Clone, Copy, Debug, Default)]
pub struct Total {
    high: f64,
    low: f64,
}

impl Total {
    /// Adds one term.
    ///
    /// ```
    /// let mut total = sampling::math::Total::default();
    /// for term in [1.0, 1e100, 1.0, -1e100] {
    ///     total.add(term);
    /// }
    /// assert_eq!(total.value(), 2.0);
    /// ```
    pub fn add(&mut self, term: f64) {
        // Knuth's two-sum: the rounding error of the addition, exactly and without a branch.
        let next = self.high + term;
        let of_term = next - self.high;
        self.low += (self.high - (next - of_term)) + (term - of_term);
        self.high = next;
    }

    /// The total so far.
    ///
    /// ```
    /// assert_eq!(sampling::math::Total::default().value(), 0.0);
    /// ```
    #[must_use]
    pub fn value(&self) -> f64 {
        self.high + self.low
    }
}
