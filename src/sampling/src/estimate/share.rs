//! Shares of a condition and means of a quantity: ratios of totals, with linearised variances.

use super::caution::cautions;
use super::known::{self, Yes};
use super::missing::{missing_answers, missing_boxes, missing_in_domain};
use super::tally::{Affine, Tallies, members_only};
use super::{EstimateError, Options, Share, check, t_limits};
use crate::column::{Cell, Column};
use crate::design::Part;
use crate::interval::blended::{self, BoxAnswers};
use crate::interval::{Kind, Limits, effective, joint};
use crate::linear::{BoxTotal, variance};
use crate::math::sum;

/// A share (of a condition) or a mean (of a quantity), with its limits: of the items whose answer is known, each stratum weighing as
/// much as it has items that were not stopped.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let share = estimate::share(&part, &mould, &options)?;
/// let limits = share.limits.ok_or("no degree of freedom")?;
/// assert!(share.estimate == 0.375 && limits.low < 0.1 && limits.high > 0.7);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn share(part: &Part<'_>, column: &Column, options: &Options) -> Result<Share, EstimateError> {
    share_of(part, &Tallies::new(part, column), options)
}

/// The boxes of a condition as the interval's own rules are told of them: those with a known answer, in the design's order.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// let boxes = estimate::box_answers(&part, &mould);
/// assert_eq!((boxes.len(), boxes[2].yes, boxes[2].weight), (4, 2, 10.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn box_answers(part: &Part<'_>, column: &Column) -> Vec<BoxAnswers> {
    Tallies::new(part, column).answers()
}

/// The share of a condition before its limits, its cautions and its method's name.
pub(super) fn share_alone(
    part: &Part<'_>,
    sums: &Tallies<'_>,
    options: &Options,
) -> Result<Share, EstimateError> {
    Ok(ratio(part, sums, options)?.share(part.degrees_of_freedom()))
}

pub(super) fn share_of(
    part: &Part<'_>,
    sums: &Tallies<'_>,
    options: &Options,
) -> Result<Share, EstimateError> {
    let mut made = share_alone(part, sums, options)?;
    let p = made.estimate;
    let inside = p > 0.0 && p < 1.0;
    let v = made.se * made.se;
    made.effective_items = if inside && v > 0.0 {
        p * (1.0 - p) / v
    } else {
        sums.seen_items
    };
    // A variance that is rounding alone is none.
    let effective = inside && v > 1e-15 * p * (1.0 - p) && made.df > 0.0;
    let answers = sums.answers();
    let mut own_limits = || {
        let (name, made_limits) = match options.interval {
            Kind::Blended => (
                "blended effective size limits",
                blended::limits(p, v, made.df, &answers, options.level),
            ),
            _ => (
                "limits of model and design joined",
                joint::limits(p, v, made.df, &answers, options.level),
            ),
        };
        made.effective_items = made_limits.map_or(made.effective_items, |b| b.effective_items);
        (name, made_limits.map(|b| b.limits))
    };
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
        _ => own_limits(),
    };
    let name = if limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        name
    };
    made.cautions = cautions(made.df, made.effective_items, &answers);
    // What was seen stays true: known where every item of the frame has been counted. The others are as their authors
    // have them.
    made.limits = limits.map(|l| match frame_items(part) {
        Some(all) if all > 0.0 && matches!(options.interval, Kind::Default | Kind::Blended) => Limits {
            low: l.low.max(sums.seen / all).min(p),
            high: l.high.min(1.0 - sums.seen_no / all).max(p),
        },
        _ => l,
    });
    made.method = format!(
        "share of known answers, linearised, {name}{}{}",
        missing_answers(sums),
        missing_boxes(part)
    );
    Ok(made)
}

/// A mean with t limits, unknown answers taken as in [`share`].
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// assert_eq!(estimate::mean(&part, &hours, &options)?.estimate, 1.5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn mean(part: &Part<'_>, column: &Column, options: &Options) -> Result<Share, EstimateError> {
    let df = part.degrees_of_freedom();
    let limits = |estimate, se| t_limits(estimate, se, df, options.level);
    let yes = Yes::of(part.design, part.strata(), column);
    if let Some(ratio) = known::ratio(part, &yes) {
        check(options)?;
        return Ok(finished_mean(&ratio, df, limits, &missing_boxes(part)));
    }
    mean_over(part, &Tallies::new(part, column), options)
}

fn mean_over(part: &Part<'_>, sums: &Tallies<'_>, options: &Options) -> Result<Share, EstimateError> {
    let df = part.degrees_of_freedom();
    let limits = |estimate, se| t_limits(estimate, se, df, options.level);
    let ratio = ratio(part, sums, options)?;
    let missing = [missing_answers(sums), missing_boxes(part)].concat();
    Ok(finished_mean(&ratio, df, limits, &missing))
}

/// A mean made of its ratio; `missing` is what its method has to say of missing answers and boxes.
pub(super) fn finished_mean(
    ratio: &Ratio,
    df: f64,
    limits: impl FnOnce(f64, f64) -> Option<Limits>,
    missing: &str,
) -> Share {
    let mut made = ratio.share(df);
    made.effective_items = if made.se > 0.0 {
        ratio.spread / (made.se * made.se)
    } else {
        made.known_items
    };
    made.limits = limits(made.estimate, made.se);
    let words = if made.limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        "t limits"
    };
    made.method = ["mean of known answers, linearised, ", words, missing].concat();
    made
}

/// The mean of a quantity, or the share of a condition as a number, over the items of a domain; t limits.
///
/// All boxes stay in n, those without an item of the domain too. An item not known to be in the domain is left out; one of the domain
/// whose own value is not known is taken as the others of the domain in its stratum.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// // Hours of an item that has mould; the box without one stays in n.
/// assert_eq!(estimate::domain_mean(&part, &hours, &mould, &options)?.estimate, 2.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError`], also where no item of the domain is known.
pub fn domain_mean(
    part: &Part<'_>,
    column: &Column,
    domain: &Column,
    options: &Options,
) -> Result<Share, EstimateError> {
    let sums = Tallies::within(part, column, domain);
    let mut made = mean_over(part, &sums, options)?;
    let words = if made.limits.is_none() {
        "no limits: no degree of freedom"
    } else {
        "t limits"
    };
    made.method = format!(
        "mean over the known items of a domain, linearised, {words}{}{}",
        missing_in_domain(&sums),
        missing_boxes(part)
    );
    Ok(made)
}

/// A ratio of values to items, known or filled in, and what its errors are made of.
pub(super) struct Ratio {
    /// Itself.
    pub(super) r: f64,
    /// Its linearised variance.
    pub(super) v: f64,
    /// The variance among the known items.
    pub(super) spread: f64,
    /// How many known ones there are in the frame, as estimated.
    pub(super) known: f64,
    /// How many were seen.
    pub(super) n: f64,
}

impl Ratio {
    fn share(&self, df: f64) -> Share {
        let Self {
            r,
            v,
            spread,
            known,
            n,
        } = *self;
        let of_items = spread / (n - 1.0) * (1.0 - n / known);
        Share {
            estimate: r,
            se: v.sqrt(),
            df,
            deff: if of_items > 0.0 { v / of_items } else { f64::NAN },
            effective_items: n,
            known_items: n,
            limits: None,
            cautions: Vec::new(),
            method: String::new(),
        }
    }
}

fn ratio(part: &Part<'_>, sums: &Tallies<'_>, options: &Options) -> Result<Ratio, EstimateError> {
    check(options)?;
    if sums.known <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    if let Some(made) = known::ratio(part, &sums.yes) {
        return Ok(made);
    }
    let filled = &sums.filled;
    let r = filled.values / filled.known;
    let totals = sums.totals(|h| filled.about(h, r));
    let v = variance(part, &totals, options.lonely)?.total().max(0.0) / (filled.known * filled.known);
    Ok(Ratio {
        r,
        v,
        spread: sums.spread(r),
        known: sums.known,
        n: sums.seen_items,
    })
}

/// What a column adds up to in one sample.
pub(crate) struct Sums {
    /// Its total, unknown answers taken as in [`super::total`].
    pub(crate) values: f64,
    /// Estimated items that it is of: all but those that a stop withholds; 0 where nothing is known.
    pub(crate) judged: f64,
    /// Known values of the sample itself.
    pub(crate) seen: f64,
}

pub(crate) fn sums(part: &Part<'_>, column: &Column) -> Sums {
    let sums = Tallies::new(part, column);
    let (values, judged) = sums.raised_total().map_or((0.0, 0.0), |all| (all, sums.judged));
    Sums {
        values,
        judged,
        seen: sums.seen,
    }
}

/// The box totals of `value - r` over those items.
pub(crate) fn about(part: &Part<'_>, column: &Column, r: f64) -> Vec<BoxTotal> {
    let sums = Tallies::new(part, column);
    let is_known = sums.known > 0.0;
    sums.totals(|h| {
        let z = sums.raising(h);
        Affine {
            slope: z.slope,
            constant: z.constant - r,
            // Of a sample that knows nothing there is nothing to be raised.
            unknown: if is_known { z.unknown - r } else { 0.0 },
        }
    })
}

/// What the known answers of each stratum are raised by, so that they stand for the unknown ones, and the method's words for it.
pub(crate) struct Rises {
    pub(crate) by: Vec<f64>,
    pub(crate) words: String,
}

pub(crate) fn rises(part: &Part<'_>, column: &Column) -> Rises {
    let sums = Tallies::new(part, column);
    Rises {
        by: (0..part.strata().len()).map(|h| sums.filled.rise(h)).collect(),
        words: missing_answers(&sums),
    }
}

/// The variable of a mean as a column, and the mean; nothing where no unknown answer is filled in by its stratum.
pub(crate) fn filled_mean(
    part: &Part<'_>,
    column: &Column,
    domain: Option<&Column>,
) -> Option<(f64, Column)> {
    let sums = match domain {
        Some(domain) => Tallies::within(part, column, domain),
        None => Tallies::new(part, column),
    };
    let filled = &sums.filled;
    if !filled.any() {
        return None;
    }
    let (mean, first) = (filled.values / filled.known, part.strata.start);
    let inside = domain.map_or_else(|| column.clone(), |domain| members_only(part, column, domain));
    let variable = inside.mapped(part.design, |b, cell, row| {
        let member = domain.map_or(Some(1.0), |domain| domain.cell(part.design, b, row).number());
        let h = part.design.boxes()[b].stratum.checked_sub(first)?;
        if h >= part.strata().len() || member != Some(1.0) {
            return None;
        }
        let z = filled.about(h, mean);
        match cell {
            Cell::Known(value) => Some((z.slope * value + z.constant) / filled.known),
            Cell::Unknown => Some(z.unknown / filled.known),
            Cell::Withheld => None,
        }
    });
    Some((mean, variable))
}

/// The number of items of the part, where every box of it was counted.
fn frame_items(part: &Part<'_>) -> Option<f64> {
    let boxes = &part.design.boxes()[part.box_indices()];
    let counted =
        part.strata().iter().all(|s| s.census() && s.not_reached == 0) && boxes.iter().all(|b| !b.imputed);
    counted.then(|| sum(boxes.iter().map(|b| b.items)))
}
