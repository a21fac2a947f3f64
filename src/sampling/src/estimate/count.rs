//! How many items have a condition.

use super::missing::{missing_answers, missing_boxes};
use super::share::share_of;
use super::tally::Tallies;
use super::total::{raised, total_name};
use super::{Estimate, EstimateError, Options, Share, check, items, share, t_limits};
use crate::column::Column;
use crate::design::Part;
use crate::interval::{Kind, Limits};

/// How many items have a condition. Its limits are never under what was seen, nor over the items there can be.
///
/// With the default interval they come from the limits of the share and of the number of items; with the others they are t
/// limits, except where none or all were seen.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let count = estimate::count(&part, &mould, &options)?;
/// let limits = count.limits.ok_or("no degree of freedom")?;
/// assert!(count.estimate == 30.0 && limits.low >= 3.0 && limits.high <= 80.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn count(part: &Part<'_>, column: &Column, options: &Options) -> Result<Estimate, EstimateError> {
    count_of(
        part,
        column,
        &share(part, column, options)?,
        &items(part, options)?,
        options,
    )
}

/// As [`count`], from the share and the number of items that were already estimated with the same options.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let (share, items) = (estimate::share(&part, &mould, &options)?, estimate::items(&part, &options)?);
/// let count = estimate::count_of(&part, &mould, &share, &items, &options)?;
/// assert_eq!(count, estimate::count(&part, &mould, &options)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`].
pub fn count_of(
    part: &Part<'_>,
    column: &Column,
    share: &Share,
    items: &Estimate,
    options: &Options,
) -> Result<Estimate, EstimateError> {
    count_by(part, &Tallies::new(part, column), share, items, options)
}

/// A share and the count beside it, from the number of items that was already estimated with the same options: what each box has is
/// counted up once for both.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let items = estimate::items(&part, &options)?;
/// let (share, count) = estimate::share_and_count(&part, &mould, &items, &options)?;
/// assert_eq!(share, estimate::share(&part, &mould, &options)?);
/// assert_eq!(count, estimate::count(&part, &mould, &options)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn share_and_count(
    part: &Part<'_>,
    column: &Column,
    items: &Estimate,
    options: &Options,
) -> Result<(Share, Estimate), EstimateError> {
    let sums = Tallies::new(part, column);
    let share = share_of(part, &sums, options)?;
    let count = count_by(part, &sums, &share, items, options)?;
    Ok((share, count))
}

fn count_by(
    part: &Part<'_>,
    sums: &Tallies<'_>,
    share: &Share,
    items: &Estimate,
    options: &Options,
) -> Result<Estimate, EstimateError> {
    check(options)?;
    let (estimate, variance) = raised(part, sums, options)?;
    let se = variance.se();
    let df = part.degrees_of_freedom();
    let p = share.estimate;
    let inside = p > 0.0 && p < 1.0;
    let by_t = t_limits(estimate, se, df, options.level);
    let (words, limits) = match (share.limits, items.limits) {
        (Some(of_share), Some(of_items)) => {
            let (words, l) = match by_t {
                Some(by_t) if inside && !matches!(options.interval, Kind::Default | Kind::Blended) => {
                    ("t limits, held to what was seen", by_t)
                }
                _ => {
                    let scale = if p > 0.0 { estimate / p } else { items.estimate };
                    (
                        "limits from the share's and the items'",
                        product(p, of_share, items.estimate, of_items, scale),
                    )
                }
            };
            let limits = Limits {
                low: l.low.max(sums.seen).min(estimate),
                high: l.high.min(of_items.high - sums.seen_no).max(estimate),
            };
            (words, Some(limits))
        }
        _ => ("no limits: no degree of freedom", None),
    };
    let method = format!(
        "{}, {words}{}{}",
        total_name(options),
        missing_answers(sums),
        missing_boxes(part)
    );
    Ok(Estimate {
        estimate,
        se,
        df,
        limits,
        method,
    })
}

/// Limits of a count from those of the share and of the number of items: the distances to each, squared, are added
/// (variance estimates recovered from limits; Zou and Donner 2008, from memory), as if the two erred independently.
///
/// Plain t limits of a count are those of a share that the survey literature warns of: on the populations of
/// [`crate::interval::blended`] they covered 75 to 100%, these 92.7 to 100% (36
/// cells of 600 samples, 5 to 60 of 400 unequal boxes). They also work where none or all were seen.
pub(crate) fn product(p: f64, of_share: Limits, items: f64, of_items: Limits, scale: f64) -> Limits {
    let per_item = if items > 0.0 { scale / items } else { 0.0 };
    let off = |share: f64, count: f64| {
        let (by_share, by_items) = (scale * (share - p), p * per_item * (count - items));
        (by_share * by_share + by_items * by_items).sqrt()
    };
    let estimate = p * scale;
    Limits {
        low: estimate - off(of_share.low, of_items.low),
        high: estimate + off(of_share.high, of_items.high),
    }
}
