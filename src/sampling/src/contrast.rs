//! Differences, and how estimates vary together.

use crate::column::{Cell, Column};
use crate::design::Part;
use crate::estimate::{Estimate, EstimateError, Options, filled_mean, t_limits};
use crate::linear::{BoxTotal, box_totals, expand, variance};

/// A statistic of one sample, ready to be compared with another of the same sample.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// use sampling::contrast::mean_of;
/// let mean = mean_of(&part, &hours, None)?;
/// assert_eq!(mean.estimate, 1.5);
/// // The variable of a mean adds up to nothing over the sample.
/// let all: f64 = (0..8).map(|row| mean.variable.cell(&design, row / 2, Some(row)).value()).sum();
/// assert!(all.abs() < 1e-15);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Linearised {
    /// The estimate.
    pub estimate: f64,
    /// Its linearised variable: the expansion total of this varies as the estimate does. Unknown stands for 0.
    pub variable: Column,
}

fn totals(part: &Part<'_>, column: &Column, z: impl Fn(Cell) -> f64) -> Vec<BoxTotal> {
    box_totals(
        part,
        |b| column.is_whole(part.design, b),
        |b, row| z(column.cell(part.design, b, row)),
    )
}

/// The mean (or share) of a column over the items of a domain; over all known items without one.
///
/// ```
/// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
/// # let part = design.whole();
/// # use sampling::contrast::{covariance, difference, mean_of, total_of};
/// assert_eq!(mean_of(&part, &hours, Some(&mould))?.estimate, 2.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError::NothingKnown`] where no item of the domain is known.
pub fn mean_of(
    part: &Part<'_>,
    column: &Column,
    domain: Option<&Column>,
) -> Result<Linearised, EstimateError> {
    if let Some((estimate, variable)) = filled_mean(part, column, domain) {
        return Ok(Linearised { estimate, variable });
    }
    let inside = domain.map_or_else(
        || column.clone(),
        |domain| {
            column.combined(part.design, domain, |value, member| {
                value.filter(|_| member == Some(1.0))
            })
        },
    );
    let known = expand(part, &totals(part, &inside, Cell::known));
    if known <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let mean = expand(part, &totals(part, &inside, Cell::value)) / known;
    let variable = inside.combined(part.design, &inside, |value, _| value.map(|v| (v - mean) / known));
    Ok(Linearised {
        estimate: mean,
        variable,
    })
}

/// The expansion total of what is known of a column.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// # use sampling::contrast::{covariance, difference, mean_of, total_of};
/// assert_eq!(total_of(&part, &hours).estimate, 120.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn total_of(part: &Part<'_>, column: &Column) -> Linearised {
    Linearised {
        estimate: expand(part, &totals(part, column, Cell::value)),
        variable: column.clone(),
    }
}

impl Linearised {
    /// Its variance.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::{contrast::mean_of, estimate};
    /// let variance = mean_of(&part, &hours, None)?.variance(&part, &options)?;
    /// let se = estimate::mean(&part, &hours, &options)?.se;
    /// assert!((variance.sqrt() / se - 1.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`EstimateError::Variance`].
    pub fn variance(&self, part: &Part<'_>, options: &Options) -> Result<f64, EstimateError> {
        let totals = totals(part, &self.variable, Cell::value);
        Ok(variance(part, &totals, options.lonely)?.total().max(0.0))
    }

    /// `self + factor * other`, of the same sample.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::contrast::total_of;
    /// // Hours and half as many again for handling.
    /// let hours = total_of(&part, &hours);
    /// let both = hours.plus(&part, 0.5, &hours);
    /// assert_eq!(both.estimate, 180.0);
    /// assert!((both.variance(&part, &options)? / hours.variance(&part, &options)? - 2.25).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn plus(&self, part: &Part<'_>, factor: f64, other: &Self) -> Self {
        let variable = self.variable.combined(part.design, &other.variable, |a, b| {
            (a.is_some() || b.is_some()).then(|| a.unwrap_or(0.0) + factor * b.unwrap_or(0.0))
        });
        Self {
            estimate: self.estimate + factor * other.estimate,
            variable,
        }
    }
}

/// `first - second`, both of the same sample, with the standard error that their common boxes give it, and t limits.
///
/// ```
/// # use sampling::column::Column;
/// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// # use sampling::contrast::{covariance, difference, mean_of, total_of};
/// let sound = Column::of_rows(&design, [0.0, 1.0, 1.0, 1.0, 0.0, 0.0, 1.0, 1.0].map(Some).to_vec())?;
/// let (with, without) = (mean_of(&part, &hours, Some(&mould))?, mean_of(&part, &hours, Some(&sound))?);
/// assert!((difference(&part, &with, &without, &options)?.estimate - 0.8).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError::Variance`].
pub fn difference(
    part: &Part<'_>,
    first: &Linearised,
    second: &Linearised,
    options: &Options,
) -> Result<Estimate, EstimateError> {
    let made = first.plus(part, -1.0, second);
    let (se, df) = (made.variance(part, options)?.sqrt(), part.degrees_of_freedom());
    let limits = t_limits(made.estimate, se, df, options.level);
    let method = "difference within one sample, linearised, t limits".to_owned();
    Ok(Estimate {
        estimate: made.estimate,
        se,
        df,
        limits,
        method,
    })
}

/// `first - second` of two independent samples (two visits, two collections): variances add, and the degrees of freedom are
/// Satterthwaite's (1946).
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// # use sampling::contrast::independent_difference;
/// let (now, then) = (estimate::total(&part, &hours, &options)?, estimate::total(&part, &hours, &options)?);
/// let change = independent_difference(&now, &then, 0.95);
/// assert!(change.estimate == 0.0 && (change.se - now.se * 2.0f64.sqrt()).abs() < 1e-9 && (change.df - 6.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn independent_difference(first: &Estimate, second: &Estimate, level: f64) -> Estimate {
    let (a, b) = (first.se * first.se, second.se * second.se);
    let share = |v: f64, df: f64| if v > 0.0 { v * v / df } else { 0.0 };
    let below = share(a, first.df) + share(b, second.df);
    let df = if below > 0.0 {
        (a + b) * (a + b) / below
    } else {
        first.df + second.df
    };
    let (estimate, se) = (first.estimate - second.estimate, (a + b).sqrt());
    let method = "difference of two samples, t limits".to_owned();
    Estimate {
        estimate,
        se,
        df,
        limits: t_limits(estimate, se, df, level),
        method,
    }
}

/// The covariance matrix of statistics of one sample.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// # use sampling::contrast::{covariance, difference, mean_of, total_of};
/// let totals = [total_of(&part, &hours), total_of(&part, &mould)];
/// let matrix = covariance(&part, &totals, &options)?;
/// assert!((matrix[0][0].sqrt() - estimate::total(&part, &hours, &options)?.se).abs() < 1e-9);
/// assert_eq!(matrix[0][1], matrix[1][0]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError::Variance`].
pub fn covariance(
    part: &Part<'_>,
    statistics: &[Linearised],
    options: &Options,
) -> Result<Vec<Vec<f64>>, EstimateError> {
    let n = statistics.len();
    let mut matrix = vec![vec![0.0; n]; n];
    for i in 0..n {
        matrix[i][i] = statistics[i].variance(part, options)?;
        for j in 0..i {
            // V(a + b) - V(a - b) = 4 C(a, b).
            let plus = statistics[i]
                .plus(part, 1.0, &statistics[j])
                .variance(part, options)?;
            let minus = statistics[i]
                .plus(part, -1.0, &statistics[j])
                .variance(part, options)?;
            matrix[i][j] = (plus - minus) / 4.0;
            matrix[j][i] = matrix[i][j];
        }
    }
    Ok(matrix)
}
