//! Totals, means and shares, with their standard errors and limits.
//!
//! Everything is computed for a [`Part`]: the whole sample or one stratum. Of the unknown answers, those of stopped boxes
//! are never assumed to be like the others; the rest are (missing at random within what is known), and the method's name
//! says so where there are any. How far all of them could move a share is [`bounds`].

use crate::column::{Cell, Column};
use crate::design::Part;
use crate::interval::blended::{self, BoxAnswers};
use crate::interval::{Kind, Limits, effective, tail};
use crate::linear::{BoxTotal, Lonely, Variance, VarianceError, box_totals, expand, variance};
use crate::math::{sum, t_quantile};

/// What the estimators are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// The two-sided level of all limits, strictly between 0 and 1.
    pub level: f64,
    /// Which interval a share gets.
    pub interval: Kind,
    /// What to do where a single unit was drawn of several.
    pub lonely: Lonely,
    /// Whether totals are ratio totals on the boxes' known sizes instead of expansion totals.
    pub ratio_to_size: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            level: 0.95,
            interval: Kind::Default,
            lonely: Lonely::default(),
            ratio_to_size: false,
        }
    }
}

/// Why an estimate could not be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EstimateError {
    /// No variance can be estimated.
    #[error(transparent)]
    Variance(#[from] VarianceError),
    /// No answer is known, or no item was found.
    #[error("nothing is known of it in the sample")]
    NothingKnown,
    /// A size is missing, or none is above zero, so that there is no ratio to it.
    #[error("a ratio total needs the size of every box: {0}")]
    NoSize(String),
    /// The level is not between 0 and 1.
    #[error("the level {0} is not between 0 and 1")]
    Level(f64),
}

/// An estimated total or mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The estimate, in the column's unit (items, for a count).
    pub estimate: f64,
    /// Its standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Limits; `None` without a degree of freedom.
    pub limits: Option<Limits>,
    /// How it was made.
    pub method: String,
}

/// An estimated share (or mean: the same thing, of a quantity).
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// The estimate.
    pub estimate: f64,
    /// Its linearised standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Design effect: its variance over that of a simple random sample of as many items without replacement.
    pub deff: f64,
    /// How many independent items the sample is worth.
    pub effective_items: f64,
    /// Items whose answer is known.
    pub known_items: f64,
    /// Limits; `None` without a degree of freedom.
    pub limits: Option<Limits>,
    /// How it was made.
    pub method: String,
}

/// How far the unknown answers could move a share: all of them no, all of them yes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The share if every unknown answer were no.
    pub low: f64,
    /// The share if every unknown answer were yes.
    pub high: f64,
    /// The lower limit of `low` and the upper limit of `high`: sampling error and the unknown together.
    pub limits: Option<Limits>,
    /// The estimated share of items whose answer is not known, boxes that were not reached among them.
    pub unknown_share: f64,
}

/// The words of a method's name that speak of unknown answers.
const ASSUMED: &str = "; unknown answers taken as missing at random";
const STOPPED: &str = "; nothing assumed of stopped boxes";
const IMPUTED: &str = "; uncounted stopped boxes given the mean count of their stratum";
const UNREACHED: &str = "; boxes not reached taken as missing at random within their stratum";

fn check(options: &Options) -> Result<(), EstimateError> {
    if options.level > 0.0 && options.level < 1.0 {
        Ok(())
    } else {
        Err(EstimateError::Level(options.level))
    }
}

/// A total of a linear variable, its box totals turned into those of its ratio total where that is asked for.
struct Linear {
    estimate: f64,
    totals: Vec<BoxTotal>,
}

fn linear(
    part: &Part<'_>,
    totals: Vec<BoxTotal>,
    estimate: f64,
    options: &Options,
) -> Result<Linear, EstimateError> {
    if !options.ratio_to_size {
        return Ok(Linear { estimate, totals });
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
    })
}

fn total_name(options: &Options) -> &'static str {
    if options.ratio_to_size {
        "ratio total on size"
    } else {
        "expansion total"
    }
}

fn t_limits(estimate: f64, se: f64, df: f64, level: f64) -> Option<Limits> {
    if se <= 0.0 {
        return Some(Limits {
            low: estimate,
            high: estimate,
        });
    }
    (df > 0.0).then(|| {
        let half = t_quantile(1.0 - tail(level), df) * se;
        Limits {
            low: estimate - half,
            high: estimate + half,
        }
    })
}

/// What the method's name has to say of missing boxes.
fn missing_boxes(part: &Part<'_>) -> String {
    let boxes = &part.design.boxes()[part.box_indices()];
    let mut words = String::new();
    if boxes.iter().any(|b| b.imputed) {
        words += IMPUTED;
    }
    if part.strata().iter().any(|s| s.not_reached > 0) {
        words += UNREACHED;
    }
    words
}

fn missing_answers(part: &Part<'_>, column: &Column) -> &'static str {
    let found = |wanted: Cell| {
        part.box_indices().any(|b| {
            let sampled = &part.design.boxes()[b];
            let here = |row| column.cell(part.design, b, row) == wanted;
            sampled.items > 0.0
                && if column.is_whole(part.design, b) {
                    here(None)
                } else {
                    sampled.rows.clone().any(|r| here(Some(r)))
                }
        })
    };
    match (found(Cell::Unknown), found(Cell::Withheld)) {
        (false, false) => "",
        (true, false) => ASSUMED,
        (false, true) => STOPPED,
        (true, true) => "; unknown answers taken as missing at random, but nothing assumed of stopped boxes",
    }
}

/// Box totals of a function of one column's cells.
fn cells(part: &Part<'_>, column: &Column, z: impl Fn(Cell) -> f64) -> Vec<BoxTotal> {
    box_totals(
        part,
        |b| column.is_whole(part.design, b),
        |b, row| z(column.cell(part.design, b, row)),
    )
}

/// The number of items in all.
///
/// # Errors
/// [`EstimateError`] where a variance or a size is missing.
pub fn items(part: &Part<'_>, options: &Options) -> Result<Estimate, EstimateError> {
    check(options)?;
    let totals = box_totals(part, |_| true, |_, _| 1.0);
    let plain = expand(part, &totals);
    let linear = linear(part, totals, plain, options)?;
    let se = variance(part, &linear.totals, options.lonely)?.se();
    let df = part.degrees_of_freedom();
    let boxes = &part.design.boxes()[part.box_indices()];
    let seen = sum(boxes.iter().filter(|b| !b.imputed).map(|b| b.items));
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

/// The pieces that every estimate of a column rests on.
struct Sums {
    /// Expansion total of known values.
    values: f64,
    /// Estimated items whose answer is known.
    known: f64,
    /// Estimated items known or unknown without a stop.
    judged: f64,
    /// Known values of the sample, added up over boxes with a count of their own.
    seen: f64,
    /// Known items of those less known values: for a condition, the no's.
    seen_no: f64,
    /// Known items of the sample.
    seen_items: f64,
    /// Rows of the sample, unknown ones too; all items of a box that is answered at once.
    rows: f64,
}

fn sums(part: &Part<'_>, column: &Column) -> Sums {
    let values = expand(part, &cells(part, column, Cell::value));
    let known = expand(part, &cells(part, column, Cell::known));
    let judged = expand(part, &cells(part, column, Cell::judged));
    let (mut seen, mut seen_no, mut seen_items, mut rows) = (0.0, 0.0, 0.0, 0.0);
    for b in part.box_indices() {
        let sampled = &part.design.boxes()[b];
        if column.is_whole(part.design, b) {
            let cell = column.cell(part.design, b, None);
            seen_items += cell.known() * sampled.items;
            rows += cell.known() * sampled.items;
            // How many items an uncounted box holds was not seen.
            let counted = f64::from(u8::from(!sampled.imputed)) * sampled.items;
            seen += cell.value() * counted;
            seen_no += cell.known() * (1.0 - cell.value()) * counted;
            continue;
        }
        rows += sampled.rows.len() as f64;
        for row in sampled.rows.clone() {
            let cell = column.cell(part.design, b, Some(row));
            seen += cell.value();
            seen_no += cell.known() * (1.0 - cell.value());
            seen_items += cell.known();
        }
    }
    Sums {
        values,
        known,
        judged,
        seen,
        seen_no,
        seen_items,
        rows,
    }
}

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

/// The total of a quantity, or the count of a condition, over the items of a domain; t limits.
///
/// Unknown answers are treated as in [`total`]; items known to be outside the domain add nothing.
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

/// The total of a quantity, or the count of a condition: the expansion total of what is known, raised to the items that
/// were not stopped by taking their unknown answers as missing at random.
///
/// The variable is `y` where all is known; else `(J / K) k (y - r) + r j` for known `k`, judged `j` and their totals.
fn raised(
    part: &Part<'_>,
    column: &Column,
    sums: &Sums,
    options: &Options,
) -> Result<(f64, Variance), EstimateError> {
    let (estimate, totals) = if sums.known > 0.0 && sums.judged > sums.known {
        let r = sums.values / sums.known;
        let rise = sums.judged / sums.known;
        let z = |cell: Cell| rise * cell.known() * (cell.value() - r) + r * cell.judged();
        (r * sums.judged, cells(part, column, z))
    } else {
        (sums.values, cells(part, column, Cell::value))
    };
    let linear = linear(part, totals, estimate, options)?;
    Ok((linear.estimate, variance(part, &linear.totals, options.lonely)?))
}

/// The total of a quantity. Its limits are t limits, never under what was seen where no value is negative.
///
/// # Errors
/// [`EstimateError`], also where nothing is known.
pub fn total(part: &Part<'_>, column: &Column, options: &Options) -> Result<Estimate, EstimateError> {
    check(options)?;
    let sums = sums(part, column);
    if sums.known <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let (estimate, variance) = raised(part, column, &sums, options)?;
    let df = part.degrees_of_freedom();
    let negative = cells(part, column, |cell| f64::from(u8::from(cell.value() < 0.0)))
        .iter()
        .any(|t| t.mean > 0.0);
    let limits = t_limits(estimate, variance.se(), df, options.level).map(|l| {
        if negative {
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
        missing_answers(part, column),
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

/// How many items have a condition. Its limits are never under what was seen, nor over the items there can be.
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
/// # Errors
/// [`EstimateError`].
pub fn count_of(
    part: &Part<'_>,
    column: &Column,
    share: &Share,
    items: &Estimate,
    options: &Options,
) -> Result<Estimate, EstimateError> {
    check(options)?;
    let sums = sums(part, column);
    let (estimate, variance) = raised(part, column, &sums, options)?;
    let se = variance.se();
    let df = part.degrees_of_freedom();
    let mut words = "t limits, held to what was seen";
    let mut limits = t_limits(estimate, se, df, options.level);
    if let (Some(of_share), Some(of_items)) = (share.limits, items.limits) {
        let p = share.estimate;
        if p <= 0.0 {
            // No item was seen: the standard error is 0 and says nothing.
            words = "none seen: the share's upper limit times the items";
            limits = Some(Limits {
                low: 0.0,
                high: of_share.high * items.estimate,
            });
        } else if p >= 1.0 {
            words = "all seen: the share's lower limit times the items";
            let (rare, few) = (
                items.estimate * (1.0 - of_share.low),
                items.estimate - of_items.low,
            );
            limits = Some(Limits {
                low: estimate - (rare * rare + few * few).sqrt(),
                high: of_items.high,
            });
        }
        limits = limits.map(|l| Limits {
            low: l.low.max(sums.seen).min(estimate),
            high: l.high.min(of_items.high - sums.seen_no).max(estimate),
        });
    } else if limits.is_none() {
        words = "no limits: no degree of freedom";
    }
    let method = format!(
        "{}, {words}{}{}",
        total_name(options),
        missing_answers(part, column),
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

/// The estimated share of items of which the answer is not known, boxes that were not reached among them; `None` where the
/// sample has no items.
#[must_use]
pub fn unknown_share(part: &Part<'_>, column: &Column) -> Option<f64> {
    let design = part.design.with_unreached();
    let part = Part {
        design: &design,
        strata: part.strata.clone(),
    };
    let all = expand(&part, &box_totals(&part, |_| true, |_, _| 1.0));
    let known = expand(&part, &cells(&part, column, Cell::known));
    // What is left of an exact 0 after rounding is not an unknown item.
    (all > 0.0).then(|| {
        if column.complete(&part) {
            0.0
        } else {
            (1.0 - known / all).max(0.0)
        }
    })
}

/// How far unknown answers could move the share of a condition.
///
/// # Errors
/// [`EstimateError`] where the sample has no items or a variance is missing.
pub fn bounds(part: &Part<'_>, column: &Column, options: &Options) -> Result<Bounds, EstimateError> {
    check(options)?;
    let design = part.design.with_unreached();
    let part = Part {
        design: &design,
        strata: part.strata.clone(),
    };
    let all = expand(&part, &box_totals(&part, |_| true, |_, _| 1.0));
    if all <= 0.0 {
        return Err(EstimateError::NothingKnown);
    }
    let known = expand(&part, &cells(&part, column, Cell::known));
    let low = share(&part, &column.filled(&design, 0.0), options)?;
    let high = share(&part, &column.filled(&design, 1.0), options)?;
    let limits = low.limits.zip(high.limits).map(|(l, h)| Limits {
        low: l.low,
        high: h.high,
    });
    let unknown_share = (1.0 - known / all).max(0.0);
    Ok(Bounds {
        low: low.estimate,
        high: high.estimate,
        limits,
        unknown_share,
    })
}
