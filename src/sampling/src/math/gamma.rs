//! The logarithm of the gamma function, and the error of Stirling's formula that the beta distribution needs.

use super::{ln, ln_1p};

/// `ln(2 pi) / 2`.
pub(super) const HALF_LN_TWO_PI: f64 = 0.918_938_533_204_672_8;

/// `ln Gamma(x)` for `x > 0`.
///
/// ```
/// use sampling::math::{exp, ln_gamma};
/// assert!((exp(ln_gamma(6.0)) - 120.0).abs() < 1e-11); // 5!
/// ```
#[must_use]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

/// The error of Stirling's formula, `ln Gamma(x + 1) - [(x + 1/2) ln x - x + ln(2 pi) / 2]`, for `x > 0`.
///
/// Taken apart from `ln Gamma` so that large terms cancel before they are rounded (Loader 2000, "Fast and accurate
/// computation of binomial probabilities"); the series is the one of Bernoulli numbers, NIST DLMF 5.11.1.
pub(super) fn stirling_error(x: f64) -> f64 {
    if x < 16.0 {
        // Gamma(x + 1) of a shifted argument: the series is used where it converges, the steps between are exact logs.
        if x >= 1.0 {
            let mut shifted = x;
            let mut steps = 0.0;
            while shifted < 16.0 {
                // d(x) - d(x + 1) = (x + 1/2) ln((x + 1) / x) - 1, from the definition.
                steps += (shifted + 0.5) * ln_1p(1.0 / shifted) - 1.0;
                shifted += 1.0;
            }
            return stirling_series(shifted) + steps;
        }
        return libm::lgamma(x + 1.0) - (x + 0.5) * ln(x) + x - HALF_LN_TWO_PI;
    }
    stirling_series(x)
}

fn stirling_series(x: f64) -> f64 {
    const C: [f64; 8] = [
        1.0 / 12.0,
        -1.0 / 360.0,
        1.0 / 1260.0,
        -1.0 / 1680.0,
        1.0 / 1188.0,
        -691.0 / 360_360.0,
        1.0 / 156.0,
        -3617.0 / 122_400.0,
    ];
    let square = x * x;
    let mut series = 0.0;
    for c in C.iter().rev() {
        series = c + series / square;
    }
    series / x
}

/// `ln B(a, b)` for `a, b > 0`, accurate also where one argument is huge.
///
/// ```
/// use sampling::math::{exp, ln_beta};
/// assert!((exp(ln_beta(2.0, 3.0)) - 1.0 / 12.0).abs() < 1e-15);
/// ```
#[must_use]
pub fn ln_beta(a: f64, b: f64) -> f64 {
    let (small, large) = if a < b { (a, b) } else { (b, a) };
    if large < 16.0 {
        return ln_gamma(a) + ln_gamma(b) - ln_gamma(a + b);
    }
    // Stirling for the two large arguments, so that (large - 1/2) ln(large / (small + large)) is formed as one small term.
    let ratio = small / large;
    let tail = stirling_error(large) - stirling_error(small + large);
    let large_part = -(large + 0.5) * ln_1p(ratio) - small * ln(large + small) + small + ln_1p(ratio);
    ln_gamma(small) + large_part + tail
}

/// `ln` of the binomial coefficient, for real `n >= k >= 0`.
///
/// ```
/// use sampling::math::{exp, ln_binomial};
/// assert!((exp(ln_binomial(10.0, 3.0)) - 120.0).abs() < 1e-10);
/// ```
#[must_use]
pub fn ln_binomial(n: f64, k: f64) -> f64 {
    -ln_1p(n) - ln_beta(n - k + 1.0, k + 1.0)
}
