//! Low, likely and high of one unknown, and how it is drawn.

use sampling::math::sqrt;
use serde::{Deserialize, Serialize};

/// Three values in one unit: the least that is reasonable, the likely one, the most.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Range {
    /// The least.
    pub low: f64,
    /// The likely value.
    pub likely: f64,
    /// The most.
    pub high: f64,
}

/// Why three values are no range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum RangeError {
    /// One of them is no number, or infinite.
    #[error("each of low, likely and high must be a number")]
    NotANumber,
    /// One is negative.
    #[error("none of low, likely and high may be under 0")]
    Negative,
    /// They are not in order.
    #[error("low must not be over likely, nor likely over high")]
    OutOfOrder,
    /// Larger than any sum here can be.
    #[error("a value over a billion (1,000,000,000) is refused; check the unit")]
    TooLarge,
}

impl Range {
    /// A value without doubt.
    #[must_use]
    pub const fn exactly(value: f64) -> Self {
        Self {
            low: value,
            likely: value,
            high: value,
        }
    }

    /// Low, likely, high.
    #[must_use]
    pub const fn of(low: f64, likely: f64, high: f64) -> Self {
        Self { low, likely, high }
    }

    /// Whether the three are numbers of at least 0, in order.
    ///
    /// # Errors
    /// Says which of these does not hold.
    pub fn check(self) -> Result<(), RangeError> {
        let all = [self.low, self.likely, self.high];
        if all.iter().any(|value| !value.is_finite()) {
            return Err(RangeError::NotANumber);
        }
        if all.iter().any(|value| *value < 0.0) {
            return Err(RangeError::Negative);
        }
        if all.iter().any(|value| *value > 1e9) {
            return Err(RangeError::TooLarge);
        }
        if self.low > self.likely || self.likely > self.high {
            return Err(RangeError::OutOfOrder);
        }
        Ok(())
    }

    /// Whether there is nothing to draw.
    #[must_use]
    pub fn is_exact(self) -> bool {
        self.high <= self.low
    }

    /// The quantile at `u`, 0 to 1, of the triangular distribution with these ends and this mode.
    ///
    /// Of the distributions with a least, a likely and a most value it is the one that needs nothing else; its mean is
    /// the mean of the three and its variance `(a² + b² + c² - ab - ac - bc) / 18` (Johnson, Kotz and Balakrishnan,
    /// Continuous Univariate Distributions 2, 1995, from memory; checked against scipy).
    ///
    /// ```
    /// use costing::Range;
    /// let range = Range::of(0.0, 1.0, 2.0);
    /// assert_eq!(range.triangular(0.5), 1.0);
    /// assert_eq!(range.triangular(0.125), 0.5);
    /// ```
    #[must_use]
    pub fn triangular(self, u: f64) -> f64 {
        let width = self.high - self.low;
        if width <= 0.0 {
            return self.likely;
        }
        let left = self.likely - self.low;
        if u * width < left {
            self.low + sqrt(u * width * left)
        } else {
            self.high - sqrt((1.0 - u) * width * (self.high - self.likely))
        }
    }

    /// One of the three values: low for `u` under a quarter, high for `u` of three quarters and more, likely between.
    ///
    /// For what comes in steps, a speed or a number of passes. With low 1, likely 2 and high 4 passes it is four track
    /// layouts, equally likely: one pass, two that need two, one that needs four.
    #[must_use]
    pub fn three_point(self, u: f64) -> f64 {
        if u < 0.25 {
            self.low
        } else if u < 0.75 {
            self.likely
        } else {
            self.high
        }
    }

    /// Mean of the three-point distribution.
    #[must_use]
    pub fn three_point_mean(self) -> f64 {
        (self.low + 2.0 * self.likely + self.high) / 4.0
    }

    /// Mean of the triangular distribution.
    #[must_use]
    pub fn mean(self) -> f64 {
        (self.low + self.likely + self.high) / 3.0
    }

    /// Variance of the triangular distribution.
    #[must_use]
    pub fn variance(self) -> f64 {
        let (a, b, c) = (self.low, self.high, self.likely);
        (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0
    }

    /// The same range in another unit.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        Self::of(self.low * by, self.likely * by, self.high * by)
    }
}

#[cfg(test)]
mod tests {
    use super::{Range, RangeError};

    #[test]
    fn quantiles_stay_in_the_range_and_in_order() {
        let range = Range::of(2.0, 3.0, 10.0);
        let at: Vec<f64> = (0..=100)
            .map(|k| range.triangular(f64::from(k) / 100.0))
            .collect();
        assert!(at.windows(2).all(|pair| pair[0] <= pair[1]));
        assert!((at[0] - 2.0).abs() < 1e-12 && (at[100] - 10.0).abs() < 1e-12);
    }

    /// The mean and variance of the formula are those of the quantile function, by midpoint sums.
    #[test]
    fn moments_are_those_of_the_quantiles() {
        for range in [
            Range::of(2.0, 3.0, 10.0),
            Range::of(0.0, 0.0, 1.0),
            Range::of(1.0, 4.0, 4.0),
        ] {
            let n = 200_000;
            let at = |k: i32| range.triangular((f64::from(k) + 0.5) / f64::from(n));
            let mean = (0..n).map(at).sum::<f64>() / f64::from(n);
            let square = (0..n).map(|k| at(k) * at(k)).sum::<f64>() / f64::from(n);
            assert!((mean - range.mean()).abs() < 1e-6, "{range:?} {mean}");
            assert!(
                (square - mean * mean - range.variance()).abs() < 1e-5,
                "{range:?}"
            );
        }
    }

    #[test]
    fn what_is_no_range_is_refused() {
        assert_eq!(Range::of(0.0, f64::NAN, 1.0).check(), Err(RangeError::NotANumber));
        assert_eq!(Range::of(-1.0, 0.0, 1.0).check(), Err(RangeError::Negative));
        assert_eq!(Range::of(2.0, 1.0, 3.0).check(), Err(RangeError::OutOfOrder));
        assert_eq!(Range::of(0.0, 1.0, 1e12).check(), Err(RangeError::TooLarge));
        assert_eq!(Range::exactly(3.0).check(), Ok(()));
    }
}
