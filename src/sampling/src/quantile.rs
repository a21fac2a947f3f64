//! Quantiles of a quantity: the median playing time, the ninth decile.
//!
//! The estimate is the least value at which the weighted distribution function reaches `p`; its limits are the values at which
//! the distribution function reaches the limits of a share (Woodruff 1952), the share being that of items at or under the
//! estimate. An unknown value is taken as the known ones of its stratum, as in every share. Where many items share one value that is a little more than `p`, and the limits lie a little high.

use crate::column::Column;
use crate::design::Part;
use crate::estimate::{EstimateError, Options, rises, share};
use crate::interval::Limits;

/// An estimated quantile.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::quantile::quantile;
/// let median = quantile(&part, &hours, 0.5, &options)?;
/// let limits = median.limits.ok_or("no degree of freedom")?;
/// assert!(limits.low <= median.estimate && median.estimate <= limits.high);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Quantile {
    /// The value.
    pub estimate: f64,
    /// Woodruff limits; `None` without a degree of freedom.
    pub limits: Option<Limits>,
    /// How it was made.
    pub method: String,
}

/// The quantile of probability `p`, above 0 and at most 1, of the known items' values.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// # use sampling::quantile::quantile;
/// assert_eq!(quantile(&part, &hours, 0.5, &options)?.estimate, 1.0);
/// assert_eq!(quantile(&part, &hours, 0.9, &options)?.estimate, 3.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn quantile(
    part: &Part<'_>,
    column: &Column,
    p: f64,
    options: &Options,
) -> Result<Quantile, EstimateError> {
    let raised = rises(part, column);
    let values = weighted_values(part, column, &raised.by);
    let all: f64 = values.iter().map(|(_, weight)| weight).sum();
    if values.is_empty() || all <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let at = |p: f64| {
        let mut reached = 0.0;
        for (value, weight) in &values {
            reached += weight;
            // What rounding takes from a sum of weights must not move the quantile by a value.
            if reached >= p * all * (1.0 - 1e-12) {
                return *value;
            }
        }
        values[values.len() - 1].0
    };
    let estimate = at(p);
    let under = column.combined(part.design, column, |value, _| {
        value.map(|v| f64::from(u8::from(v <= estimate)))
    });
    let of_share = share(part, &under, options)?;
    let limits = of_share.limits.map(|l| Limits {
        low: at(l.low),
        high: at(l.high),
    });
    Ok(Quantile {
        estimate,
        limits,
        method: format!("quantile of known answers, Woodruff limits{}", raised.words),
    })
}

/// Known values with their weights, ascending.
fn weighted_values(part: &Part<'_>, column: &Column, rises: &[f64]) -> Vec<(f64, f64)> {
    let mut values = Vec::new();
    for b in part.box_indices() {
        let sampled = &part.design.boxes()[b];
        if !sampled.reached() || sampled.items <= 0.0 {
            continue;
        }
        let rise = rises[sampled.stratum - part.strata.start];
        let weight = rise * part.design.strata()[sampled.stratum].weight() * sampled.items;
        let mut add = |row: Option<usize>, share: f64| {
            let cell = column.cell(part.design, b, row);
            if cell.known() > 0.0 {
                values.push((cell.value(), weight * share));
            }
        };
        if column.is_whole(part.design, b) {
            add(None, 1.0);
        } else {
            let share = 1.0 / sampled.rows.len() as f64;
            sampled.rows.clone().for_each(|row| add(Some(row), share));
        }
    }
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    values
}
