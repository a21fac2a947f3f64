//! Intervals for shares and counts.
//!
//! A plain Wald interval (estimate and so many standard errors) is not offered for a share: with few boxes or a rare
//! condition it covers as little as 7% where 95% is promised. See [`joint`] for the default, and [`coverage`] for how
//! often each interval was found to hold the truth.

pub mod binomial;
pub mod blended;
pub mod effective;
pub mod hypergeometric;
pub mod joint;
mod likelihood;
mod mixture;

#[doc = include_str!("../../coverage.md")]
pub mod coverage {}

/// Two limits.
///
/// ```
/// use sampling::interval::binomial::wilson;
/// let limits = wilson(12.0, 60.0, 0.95);
/// assert!(limits.low < 0.2 && 0.2 < limits.high);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The lower limit.
    pub low: f64,
    /// The upper limit.
    pub high: f64,
}

/// Which interval is wanted for a share.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::{estimate::{self, Options}, interval::Kind};
/// let low = |interval| estimate::share(&part, &mould, &Options { interval, ..options }).map(|s| s.limits.map(|l| l.low));
/// assert!(low(Kind::Beta)? < low(Kind::Wilson)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Kind {
    /// The beta-binomial model and the design joined: [`joint::limits`].
    #[default]
    Default,
    /// Blended effective size as it was first worked out: [`blended::limits`].
    Blended,
    /// Symmetric on the log odds, with t: [`effective::logit`].
    Logit,
    /// Korn and Graubard: Clopper-Pearson on the effective sample size: [`effective::korn_graubard`].
    Beta,
    /// Wilson on the effective sample size, with t: [`effective::wilson`].
    Wilson,
}

impl Kind {
    /// Every interval with its name: `default`, `blended`, `logit`, `beta`, `wilson`.
    ///
    /// ```
    /// use sampling::interval::Kind;
    /// assert!(Kind::NAMES.iter().all(|(name, kind)| Kind::named(name) == Some(*kind)));
    /// ```
    pub const NAMES: [(&'static str, Self); 5] = [
        ("default", Self::Default),
        ("blended", Self::Blended),
        ("logit", Self::Logit),
        ("beta", Self::Beta),
        ("wilson", Self::Wilson),
    ];

    /// The interval of that name.
    ///
    /// ```
    /// use sampling::interval::Kind;
    /// assert_eq!(Kind::named("beta"), Some(Kind::Beta));
    /// assert_eq!(Kind::named("wald"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::NAMES
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(_, kind)| *kind)
    }
}

/// The level of a two-sided interval whose one limit is a one-sided limit of level `one_sided` (0.95 gives 0.9).
///
/// ```
/// use sampling::interval::{binomial::clopper_pearson, two_sided_level};
/// // "At most so many, with 95% confidence": none of 30 is the rule of three, 1 - 0.05^(1/30).
/// let most = clopper_pearson(0.0, 30.0, two_sided_level(0.95)).high;
/// assert!((most - (1.0 - 0.05f64.powf(1.0 / 30.0))).abs() < 1e-12);
/// ```
#[must_use]
pub fn two_sided_level(one_sided: f64) -> f64 {
    2.0 * one_sided - 1.0
}

/// The probability left outside on each side, `(1 - level) / 2`.
pub(crate) fn tail(level: f64) -> f64 {
    // (1 - 0.95) / 2 in floats is 0.025000000000000022; rounding at 1e-15 gives the tail that was meant.
    let tail = (1.0 - level) / 2.0;
    (tail * 1e15).round() / 1e15
}
