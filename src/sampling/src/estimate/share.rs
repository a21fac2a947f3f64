//! Shares of a condition and means of a quantity: ratios of totals, with linearised variances.

use super::missing::{missing_answers, missing_boxes};
use super::sums::{Sums, cells, sums};
use super::{EstimateError, Options, Share, check, t_limits};
use crate::column::Column;
use crate::design::Part;
use crate::interval::blended::{self, BoxAnswers};
use crate::interval::{Kind, Limits, effective};
use crate::linear::{expand, variance};
use crate::math::sum;

/// A share (of a condition) or a mean (of a quantity) over the items whose answer is known, with its limits.
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn share(part: &Part<'_>, column: &Column, options: &Options) -> Result<Share, EstimateError> {
    let (mut made, _, sums) = ratio(part, column, options)?;
    let p = made.estimate;
    let inside = p > 0.0 && p < 1.0;
    let v = made.se * made.se;
    made.effective_items = if inside && v > 0.0 {
        p * (1.0 - p) / v
    } else {
        sums.seen_items
    };
    let blended = blended::limits(p, v, made.df, &box_answers(part, column), options.level);
    if let Some(blended) = blended.filter(|_| options.interval == Kind::Default || !inside) {
        made.effective_items = blended.effective_items;
    }
    // A variance that is rounding alone is none.
    let effective = inside && v > 1e-15 * p * (1.0 - p) && made.df > 0.0;
    let (name, limits) = match options.interval {
        Kind::Logit if effective => (
            "logit limits, t",
            Some(effective::logit(p, v, made.df, options.level)),
        ),
        Kind::Beta if effective && sums.rows > 1.0 => (
            "Korn-Graubard limits",
            Some(effective::korn_graubard(p, v, made.df, sums.rows, options.level)),
        ),
        Kind::Wilson if effective => (
            "Wilson limits on the effective size, t",
            Some(effective::wilson(p, v, made.df, options.level)),
        ),
        _ => ("blended effective size limits", blended.map(|b| b.limits)),
    };
    let name = if limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        name
    };
    // What was seen stays true: known where every item of the frame has been counted. The others are as their authors
    // have them.
    made.limits = limits.map(|l| match frame_items(part) {
        Some(all) if all > 0.0 && options.interval == Kind::Default => Limits {
            low: l.low.max(sums.seen / all).min(p),
            high: l.high.min(1.0 - sums.seen_no / all).max(p),
        },
        _ => l,
    });
    made.method = format!(
        "share of known answers, linearised, {name}{}{}",
        missing_answers(part, column),
        missing_boxes(part)
    );
    Ok(made)
}

/// A mean over the items whose answer is known, with t limits.
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn mean(part: &Part<'_>, column: &Column, options: &Options) -> Result<Share, EstimateError> {
    let (mut made, spread, _) = ratio(part, column, options)?;
    made.effective_items = if made.se > 0.0 {
        spread / (made.se * made.se)
    } else {
        made.known_items
    };
    made.limits = t_limits(made.estimate, made.se, made.df, options.level);
    let words = if made.limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        "t limits"
    };
    made.method = format!(
        "mean of known answers, linearised, {words}{}{}",
        missing_answers(part, column),
        missing_boxes(part)
    );
    Ok(made)
}

/// The mean of a quantity, or the share of a condition as a number, over the items of a domain; t limits.
///
/// All boxes stay in n, those without an item of the domain too. An item not known to be in the domain is left out.
///
/// # Errors
/// [`EstimateError`], also where no item of the domain is known.
pub fn domain_mean(
    part: &Part<'_>,
    column: &Column,
    domain: &Column,
    options: &Options,
) -> Result<Share, EstimateError> {
    let inside = column.combined(part.design, domain, |value, member| {
        value.filter(|_| member == Some(1.0))
    });
    let mut made = mean(part, &inside, options)?;
    let words = if made.limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        "t limits"
    };
    made.method = format!(
        "mean over the known items of a domain, linearised, {words}{}",
        missing_boxes(part)
    );
    Ok(made)
}

/// The ratio of known values to known items; with the variance among the known items and the sums.
fn ratio(part: &Part<'_>, column: &Column, options: &Options) -> Result<(Share, f64, Sums), EstimateError> {
    check(options)?;
    let sums = sums(part, column);
    if sums.known <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let r = sums.values / sums.known;
    let totals = cells(part, column, |cell| cell.known() * (cell.value() - r));
    let v = variance(part, &totals, options.lonely)?.total().max(0.0) / (sums.known * sums.known);
    let n = sums.seen_items;
    let squares = expand(
        part,
        &cells(part, column, |cell| {
            cell.known() * (cell.value() - r) * (cell.value() - r)
        }),
    );
    let spread = squares / sums.known;
    let of_items = spread / (n - 1.0) * (1.0 - n / sums.known);
    let share = Share {
        estimate: r,
        se: v.sqrt(),
        df: part.degrees_of_freedom(),
        deff: if of_items > 0.0 { v / of_items } else { f64::NAN },
        effective_items: n,
        known_items: n,
        limits: None,
        method: String::new(),
    };
    Ok((share, spread, sums))
}

/// The number of items of the part, where every box of it was counted.
fn frame_items(part: &Part<'_>) -> Option<f64> {
    let boxes = &part.design.boxes()[part.box_indices()];
    let counted =
        part.strata().iter().all(|s| s.census() && s.not_reached == 0) && boxes.iter().all(|b| !b.imputed);
    counted.then(|| sum(boxes.iter().map(|b| b.items)))
}

/// A condition's boxes, as the blended interval wants them.
fn box_answers(part: &Part<'_>, column: &Column) -> Vec<BoxAnswers> {
    let mut made = Vec::new();
    for b in part.box_indices() {
        let sampled = &part.design.boxes()[b];
        if !sampled.reached() || sampled.items <= 0.0 {
            continue;
        }
        let stratum = &part.design.strata()[sampled.stratum];
        let (mut known, mut yes) = (0u64, 0u64);
        let mut item_fraction = 1.0;
        let mut each = sampled.items;
        if column.is_whole(part.design, b) {
            let cell = column.cell(part.design, b, None);
            // An imputed count may be broken; its answers are of whole items.
            known = if cell.known() > 0.0 {
                whole(sampled.items.round().max(1.0))
            } else {
                0
            };
            yes = if cell.value() > 0.0 { known } else { 0 };
            each /= known.max(1) as f64;
        } else {
            for row in sampled.rows.clone() {
                let cell = column.cell(part.design, b, Some(row));
                known += u64::from(cell.known() > 0.0);
                yes += u64::from(cell.value() > 0.0);
            }
            item_fraction = sampled.rows.len() as f64 / sampled.items;
            each /= sampled.rows.len() as f64;
        }
        if known > 0 {
            let weight = stratum.weight() * each;
            made.push(BoxAnswers {
                known,
                yes,
                weight,
                box_fraction: stratum.fraction(),
                item_fraction,
            });
        }
    }
    made
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts are whole, positive and below 2^53"
)]
fn whole(count: f64) -> u64 {
    count as u64
}
