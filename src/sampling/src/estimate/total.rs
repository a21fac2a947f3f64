//! Totals: expansion totals, or ratio totals on the boxes' known sizes.

use super::missing::{missing_answers, missing_boxes};
use super::tally::Tallies;
use super::{Estimate, EstimateError, Options, check, t_limits};
use crate::column::Column;
use crate::design::Part;
use crate::interval::Limits;
use crate::linear::{BoxTotal, Variance, box_totals, expand, variance};
use crate::math::sum;

/// The number of items in all.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// assert_eq!(estimate::items(&part, &options)?.estimate, 80.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`] where a variance or a size is missing.
pub fn items(part: &Part<'_>, options: &Options) -> Result<Estimate, EstimateError> {
    check(options)?;
    let linear = linear_items(part, options)?;
    let se = variance(part, &linear.totals, options.lonely)?.se();
    let df = part.degrees_of_freedom();
    let seen = linear.seen.unwrap_or(0.0);
    let limits = t_limits(linear.estimate, se, df, options.level).map(|l| Limits {
        low: l.low.max(seen.min(linear.estimate)),
        high: l.high,
    });
    let method = format!("{}, t limits{}", total_name(options), missing_boxes(part));
    Ok(Estimate {
        estimate: linear.estimate,
        se,
        df,
        limits,
        method,
    })
}

/// The total of a quantity. Its limits are t limits, never under what was seen where no value is negative.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let total = estimate::total(&part, &hours, &options)?;
/// assert_eq!((total.estimate, total.df), (120.0, 3.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn total(part: &Part<'_>, column: &Column, options: &Options) -> Result<Estimate, EstimateError> {
    check(options)?;
    let sums = Tallies::new(part, column);
    if sums.known <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let (estimate, variance) = raised(part, &sums, options)?;
    let df = part.degrees_of_freedom();
    let limits = t_limits(estimate, variance.se(), df, options.level).map(|l| {
        if sums.negative() {
            l
        } else {
            Limits {
                low: l.low.max(sums.seen.min(estimate)),
                high: l.high,
            }
        }
    });
    let words = if limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        "t limits"
    };
    let method = format!(
        "{}, {words}{}{}",
        total_name(options),
        missing_answers(&sums),
        missing_boxes(part)
    );
    Ok(Estimate {
        estimate,
        se: variance.se(),
        df,
        limits,
        method,
    })
}

/// The total of a quantity, or the count of a condition, over the items of a domain; t limits.
///
/// Unknown answers are treated as in [`total`]; items known to be outside the domain add nothing. An item of the domain whose own value
/// is not known is therefore taken as the items of its stratum, in the domain or not: where many are so, [`domain_mean`](super::domain_mean)
/// times the count of the domain says more.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let hours_of_mouldy = estimate::domain_total(&part, &hours, &mould, &options)?;
/// assert_eq!(hours_of_mouldy.estimate, 60.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn domain_total(
    part: &Part<'_>,
    column: &Column,
    domain: &Column,
    options: &Options,
) -> Result<Estimate, EstimateError> {
    let inside = column.combined(part.design, domain, |value, member| match member {
        Some(member) if member > 0.0 => value,
        Some(_) => Some(0.0),
        None => None,
    });
    let mut made = total(part, &inside, options)?;
    made.method = format!("domain {}", made.method);
    Ok(made)
}

/// The total of a quantity, or the count of a condition: the expansion total of what is known, raised to the items that
/// were not stopped by taking their unknown answers as missing at random within their stratum ([`super::filled`]).
pub(super) fn raised(
    part: &Part<'_>,
    sums: &Tallies<'_>,
    options: &Options,
) -> Result<(f64, Variance), EstimateError> {
    let linear = raised_linear(part, sums, options)?;
    Ok((linear.estimate, variance(part, &linear.totals, options.lonely)?))
}

fn raised_linear(part: &Part<'_>, sums: &Tallies<'_>, options: &Options) -> Result<Linear, EstimateError> {
    let estimate = sums.raised_total().unwrap_or(sums.values);
    linear(part, sums.totals(|h| sums.raising(h)), estimate, options)
}

/// The number of items as a linear statistic.
pub(crate) fn linear_items(part: &Part<'_>, options: &Options) -> Result<Linear, EstimateError> {
    let totals = box_totals(part, |_| true, |_, _| 1.0);
    let plain = expand(part, &totals);
    let boxes = &part.design.boxes()[part.box_indices()];
    let seen = sum(boxes.iter().filter(|b| !b.imputed).map(|b| b.items));
    let linear = linear(part, totals, plain, options)?;
    Ok(Linear {
        seen: Some(seen),
        ..linear
    })
}

/// The total of a quantity as a linear statistic, unknown answers taken as in [`total`].
pub(crate) fn linear_total(
    part: &Part<'_>,
    column: &Column,
    options: &Options,
) -> Result<Linear, EstimateError> {
    let sums = Tallies::new(part, column);
    if sums.known <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let linear = raised_linear(part, &sums, options)?;
    Ok(Linear {
        seen: (!sums.negative()).then_some(sums.seen),
        ..linear
    })
}

/// A total of a linear variable, its box totals turned into those of its ratio total where that is asked for.
pub(crate) struct Linear {
    pub(crate) estimate: f64,
    pub(crate) totals: Vec<BoxTotal>,
    /// What was seen of it: the total is not less.
    pub(crate) seen: Option<f64>,
}

fn linear(
    part: &Part<'_>,
    totals: Vec<BoxTotal>,
    estimate: f64,
    options: &Options,
) -> Result<Linear, EstimateError> {
    if !options.ratio_to_size {
        return Ok(Linear {
            estimate,
            totals,
            seen: None,
        });
    }
    let mut frame = 0.0;
    for stratum in part.strata() {
        frame += stratum
            .frame_size
            .ok_or_else(|| EstimateError::NoSize(format!("stratum {:?} has none", stratum.key)))?;
    }
    let boxes = &part.design.boxes()[part.box_indices()];
    let mut sizes = Vec::with_capacity(boxes.len());
    for sampled in boxes {
        let size = if sampled.reached() {
            sampled.size
        } else {
            Some(0.0)
        };
        let total = size.ok_or_else(|| EstimateError::NoSize(format!("box {:?} has none", sampled.id)))?;
        sizes.push(BoxTotal {
            total,
            ..BoxTotal::default()
        });
    }
    let seen = expand(part, &sizes);
    if seen <= 0.0 {
        return Err(EstimateError::NoSize("all sampled boxes have size 0".to_owned()));
    }
    let (scale, rate) = (frame / seen, estimate / seen);
    let totals = totals
        .iter()
        .zip(&sizes)
        .map(|(t, size)| BoxTotal {
            total: scale * (t.total - rate * size.total),
            mean: scale * t.mean,
            squares: scale * scale * t.squares,
            rows: t.rows,
        })
        .collect();
    Ok(Linear {
        estimate: estimate * scale,
        totals,
        seen: None,
    })
}

pub(super) fn total_name(options: &Options) -> &'static str {
    if options.ratio_to_size {
        "ratio total on size"
    } else {
        "expansion total"
    }
}
