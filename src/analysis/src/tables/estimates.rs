//! Every estimate the tables give, in the shape of the desk's JSON.

use super::check::{Sample, TableError};
use super::{Kind, Tables};
use sampling::column::Column;
use sampling::design::{Design, Part};
use sampling::estimate::{self, EstimateError, Options};
use sampling::interval::Limits;
use sampling::linear::{Lonely, VarianceError};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use survey::at_once;

/// Why no estimates were made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EstimatesError {
    /// A value of a table is bad.
    #[error(transparent)]
    Table(#[from] TableError),
    /// The tables are sound, and the estimate cannot be made from them in the way asked for.
    #[error("{what}: {error}")]
    Estimate {
        /// What was to be estimated: `items`, or the column's name.
        what: String,
        /// Why it was not.
        error: EstimateError,
    },
}

/// All estimates of both tables. Figures that cannot be known (no degree of freedom, nothing seen) are `None`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Estimates {
    /// The sample they rest on.
    pub design: DesignSummary,
    /// The number of items.
    pub items: TotalEstimate,
    /// The number of items, by stratum.
    pub items_by_stratum: BTreeMap<String, TotalEstimate>,
    /// The conditions, by column.
    pub conditions: BTreeMap<String, ConditionEstimates>,
    /// The quantities, by column.
    pub quantities: BTreeMap<String, QuantityEstimates>,
}

/// The sample.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DesignSummary {
    /// Degrees of freedom: boxes in n less strata.
    pub df: f64,
    /// Level of all limits.
    pub confidence: f64,
    /// The strata, by key.
    pub strata: Vec<StratumSummary>,
}

/// One stratum.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StratumSummary {
    /// Its key.
    pub stratum: String,
    /// Boxes in the frame.
    pub boxes: u64,
    /// Boxes sampled.
    pub sampled: u64,
    /// Of those, boxes that nobody reached; they are not in n.
    pub not_reached: u64,
    /// Rows of items.
    pub items_checked: u64,
}

/// A total.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct TotalEstimate {
    /// The estimate.
    pub estimate: Option<f64>,
    /// Its standard error.
    pub se: Option<f64>,
    /// Lower limit.
    pub low: Option<f64>,
    /// Upper limit.
    pub high: Option<f64>,
    /// How it was made.
    pub method: String,
}

/// A share or a mean.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ShareEstimate {
    /// The estimate.
    pub estimate: Option<f64>,
    /// Its standard error.
    pub se: Option<f64>,
    /// Degrees of freedom.
    pub df: Option<f64>,
    /// Design effect.
    pub deff: Option<f64>,
    /// How many independent items the sample is worth.
    pub effective_items: Option<f64>,
    /// Lower limit.
    pub low: Option<f64>,
    /// Upper limit.
    pub high: Option<f64>,
    /// What is to be said beside the limits, by the names of [`sampling::estimate::Caution`].
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// How it was made.
    pub method: String,
}

/// How far the unknown could move a share.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Bounds {
    /// The share if every unknown answer were no.
    pub low: Option<f64>,
    /// The share if every unknown answer were yes.
    pub high: Option<f64>,
    /// Lower limit of `low`: sampling error and the unknown together.
    pub limit_low: Option<f64>,
    /// Upper limit of `high`.
    pub limit_high: Option<f64>,
}

/// Boxes with at least one item that has a condition; the limits are exact and rest on the draw alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BoxesWith {
    /// Boxes in the frame.
    pub frame: u64,
    /// Boxes sampled and reached.
    pub sampled: u64,
    /// Of those, boxes in which it was seen.
    pub with: u64,
    /// Of those, boxes that may have it in an item that was not read, or not known.
    pub undetermined: u64,
    /// The least number of boxes of the frame.
    pub least: u64,
    /// The greatest.
    pub most: u64,
}

/// A condition's share and count.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ShareAndCount {
    /// The share of items that have it.
    pub share: ShareEstimate,
    /// The number of items that have it.
    pub count: TotalEstimate,
}

/// A condition.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ConditionEstimates {
    /// The share of items that have it.
    pub share: ShareEstimate,
    /// The number of items that have it.
    pub count: TotalEstimate,
    /// The share of items of which it is not known.
    pub unknown_share: Option<f64>,
    /// How far those could move the share.
    pub bounds: Bounds,
    /// How many boxes have it in any item.
    pub boxes: BoxesWith,
    /// By stratum.
    pub by_stratum: BTreeMap<String, ShareAndCount>,
}

/// A quantity's total and mean.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct TotalAndMean {
    /// Its total over all items.
    pub total: TotalEstimate,
    /// Its mean over the items where it is known.
    pub mean: ShareEstimate,
}

/// A quantity.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct QuantityEstimates {
    /// Its total over all items.
    pub total: TotalEstimate,
    /// Its mean over the items where it is known.
    pub mean: ShareEstimate,
    /// The share of items of which it is not known.
    pub unknown_share: Option<f64>,
    /// By stratum.
    pub by_stratum: BTreeMap<String, TotalAndMean>,
}

/// All estimates that the tables give.
///
/// # Errors
/// [`EstimatesError::Table`] names row and column of a bad value; [`EstimatesError::Estimate`] says what the options
/// forbid (a stratum with one box under `fail`, a ratio total without sizes).
pub fn estimate(tables: &Tables, options: &Options) -> Result<Estimates, EstimatesError> {
    let sample = tables.sample()?;
    if options.ratio_to_size {
        tables.check_sizes()?;
    }
    estimate_sample(&sample, tables, options)
}

/// As [`estimate()`], from a sample that was made of the tables before.
///
/// # Errors
/// [`EstimatesError::Estimate`].
pub fn estimate_sample(
    sample: &Sample,
    tables: &Tables,
    options: &Options,
) -> Result<Estimates, EstimatesError> {
    estimate_columns(sample, &tables.columns, options, true)
}

/// The same, where `in_full` is false without how many boxes have each condition and without the limits of bounds, which take long
/// in a large sample and which no figure shows.
pub(crate) fn estimate_columns(
    sample: &Sample,
    columns: &[super::Column],
    options: &Options,
    in_full: bool,
) -> Result<Estimates, EstimatesError> {
    let design = &sample.design;
    let items = split(design, "items", |part| {
        lenient(part, options, |part, o| estimate::items(part, o).map(total_out))
    })?;
    let mut made = Estimates {
        design: design_out(design, options),
        items: items.0,
        items_by_stratum: items.1,
        conditions: BTreeMap::new(),
        quantities: BTreeMap::new(),
    };
    let columns: Vec<_> = columns.iter().zip(&sample.columns).collect();
    let items = Items::new(design, options);
    let asked = Asked {
        design,
        with_unreached: &design.with_unreached(),
        items: &items,
        options,
        in_full,
    };
    for column in at_once::map(&columns, |(column, answers)| of_column(&asked, column, answers)) {
        match column? {
            OfColumn::Condition(name, estimates) => drop(made.conditions.insert(name, *estimates)),
            OfColumn::Quantity(name, estimates) => drop(made.quantities.insert(name, *estimates)),
        }
    }
    Ok(made)
}

/// What was estimated of one column, with its name.
enum OfColumn {
    Condition(String, Box<ConditionEstimates>),
    Quantity(String, Box<QuantityEstimates>),
}

/// How many items there are, for every column's counts.
struct Items<'a> {
    options: &'a Options,
    whole: Result<estimate::Estimate, EstimateError>,
    strata: Vec<Result<estimate::Estimate, EstimateError>>,
}

impl<'a> Items<'a> {
    fn new(design: &Design, options: &'a Options) -> Self {
        let of = |part: &Part<'_>| estimate::items(part, options);
        Self {
            options,
            whole: of(&design.whole()),
            strata: (0..design.strata().len()).map(|h| of(&design.only(h))).collect(),
        }
    }

    fn of(&self, part: &Part<'_>, options: &Options) -> Result<estimate::Estimate, EstimateError> {
        match part.strata.clone() {
            // Where one box was seen it is asked with other options.
            _ if options != self.options => estimate::items(part, options),
            all if all.len() == self.strata.len() => self.whole.clone(),
            one => self.strata[one.start].clone(),
        }
    }
}

/// What every column is estimated with.
struct Asked<'a> {
    design: &'a Design,
    /// [`Design::with_unreached`].
    with_unreached: &'a Design,
    items: &'a Items<'a>,
    options: &'a Options,
    in_full: bool,
}

fn of_column(
    asked: &Asked<'_>,
    column: &super::Column,
    answers: &Column,
) -> Result<OfColumn, EstimatesError> {
    let Asked {
        design,
        with_unreached,
        items,
        options,
        in_full,
    } = *asked;
    let name = column.name.clone();
    if column.kind == Kind::Condition {
        let (overall, by_stratum) = split(design, &name, |part| {
            lenient(part, options, |part, o| {
                condition(part, answers, items.of(part, o), o)
            })
        })?;
        let (bounds, unknown_share) = match known_bounds(design, answers, &overall.share) {
            Some(bounds) => (bounds, Some(0.0)),
            None => bounds_out(&with_unreached.whole(), answers, options, in_full, &name)?,
        };
        let boxes = match in_full {
            true => estimate::boxes_with(&design.whole(), answers, options).map(boxes_out),
            false => Ok(BoxesWith::default()),
        };
        let boxes = boxes.map_err(|error| EstimatesError::Estimate {
            what: name.clone(),
            error,
        })?;
        let out = ConditionEstimates {
            share: overall.share,
            count: overall.count,
            unknown_share,
            bounds,
            boxes,
            by_stratum,
        };
        Ok(OfColumn::Condition(name, Box::new(out)))
    } else {
        let (overall, by_stratum) = split(design, &name, |part| {
            lenient(part, options, |part, o| quantity(part, answers, o))
        })?;
        let unknown_share = estimate::unknown_share(&with_unreached.whole(), answers);
        let out = QuantityEstimates {
            total: overall.total,
            mean: overall.mean,
            unknown_share,
            by_stratum,
        };
        Ok(OfColumn::Quantity(name, Box::new(out)))
    }
}

fn design_out(design: &Design, options: &Options) -> DesignSummary {
    let strata = design.strata().iter().map(|s| StratumSummary {
        stratum: s.key.clone(),
        boxes: s.frame_boxes_count(),
        sampled: s.boxes.len() as u64,
        not_reached: s.not_reached as u64,
        items_checked: design.boxes()[s.boxes.clone()]
            .iter()
            .map(|b| b.rows.len() as u64)
            .sum(),
    });
    DesignSummary {
        df: design.degrees_of_freedom(),
        confidence: options.level,
        strata: strata.collect(),
    }
}

fn boxes_out(made: estimate::BoxCount) -> BoxesWith {
    let estimate::BoxCount {
        frame,
        sampled,
        with,
        undetermined,
        least,
        most,
    } = made;
    BoxesWith {
        frame,
        sampled,
        with,
        undetermined,
        least,
        most,
    }
}

/// The same estimate of the whole and of each stratum.
fn split<T>(
    design: &Design,
    what: &str,
    of: impl Fn(&Part<'_>) -> Result<T, EstimateError>,
) -> Result<(T, BTreeMap<String, T>), EstimatesError> {
    let named = |error| EstimatesError::Estimate {
        what: what.to_owned(),
        error,
    };
    let whole = of(&design.whole()).map_err(named)?;
    let mut parts = BTreeMap::new();
    for (h, stratum) in design.strata().iter().enumerate() {
        parts.insert(stratum.key.clone(), of(&design.only(h)).map_err(named)?);
    }
    Ok((whole, parts))
}

/// What was estimated, able to lose its error and its limits.
trait Blank: Default {
    fn without_error(self) -> Self;
    fn nothing_known() -> Self;
}

const ONE_BOX: &str = "; no error: one sampled box in every stratum";
const NOTHING: &str = "none: nothing is known of it";

/// The estimate; without an error where only lonely boxes are left, and empty where nothing is known.
fn lenient<T: Blank>(
    part: &Part<'_>,
    options: &Options,
    of: impl Fn(&Part<'_>, &Options) -> Result<T, EstimateError>,
) -> Result<T, EstimateError> {
    // Certainty would claim an error of 0 for a stratum of which one box was seen.
    let all_lonely =
        options.lonely != Lonely::Fail && part.strata().iter().all(sampling::design::DesignStratum::lonely);
    let certain = Options {
        lonely: Lonely::Certainty,
        ..*options
    };
    match of(part, if all_lonely { &certain } else { options }) {
        Ok(made) if all_lonely => Ok(made.without_error()),
        Err(EstimateError::NothingKnown) => Ok(T::nothing_known()),
        Err(EstimateError::Variance(VarianceError::AllLonely)) => {
            of(part, &certain).map(Blank::without_error)
        }
        other => other,
    }
}

fn limit(limits: Option<Limits>, which: impl Fn(Limits) -> f64) -> Option<f64> {
    limits.map(which).filter(|v| v.is_finite())
}

pub(crate) fn total_out(made: estimate::Estimate) -> TotalEstimate {
    TotalEstimate {
        estimate: Some(made.estimate),
        se: Some(made.se),
        low: limit(made.limits, |l| l.low),
        high: limit(made.limits, |l| l.high),
        method: made.method,
    }
}

fn share_out(made: estimate::Share) -> ShareEstimate {
    let finite = |v: f64| v.is_finite().then_some(v);
    ShareEstimate {
        estimate: Some(made.estimate),
        se: Some(made.se),
        df: Some(made.df),
        deff: finite(made.deff),
        effective_items: finite(made.effective_items),
        low: limit(made.limits, |l| l.low),
        high: limit(made.limits, |l| l.high),
        cautions: made
            .cautions
            .iter()
            .map(|caution| caution.name().to_owned())
            .collect(),
        method: made.method,
    }
}

fn condition(
    part: &Part<'_>,
    column: &Column,
    items: Result<estimate::Estimate, EstimateError>,
    options: &Options,
) -> Result<ShareAndCount, EstimateError> {
    // Where nothing is known of the column, that is said first.
    let items = items.or_else(|error| estimate::share(part, column, options).and(Err(error)))?;
    let (share, count) = estimate::share_and_count(part, column, &items, options)?;
    Ok(ShareAndCount {
        share: share_out(share),
        count: total_out(count),
    })
}

fn quantity(part: &Part<'_>, column: &Column, options: &Options) -> Result<TotalAndMean, EstimateError> {
    let total = total_out(estimate::total(part, column, options)?);
    Ok(TotalAndMean {
        total,
        mean: share_out(estimate::mean(part, column, options)?),
    })
}

/// The bounds where every answer is known and every box was reached: the share itself.
fn known_bounds(design: &Design, column: &Column, share: &ShareEstimate) -> Option<Bounds> {
    let all_reached = design.strata().iter().all(|s| s.not_reached == 0);
    (all_reached && share.estimate.is_some() && column.complete(&design.whole())).then_some(Bounds {
        low: share.estimate,
        high: share.estimate,
        limit_low: share.low,
        limit_high: share.high,
    })
}

fn bounds_out(
    part: &Part<'_>,
    column: &Column,
    options: &Options,
    with_limits: bool,
    what: &str,
) -> Result<(Bounds, Option<f64>), EstimatesError> {
    let certain = Options {
        lonely: Lonely::Certainty,
        ..*options
    };
    let bounds = match with_limits {
        true => estimate::bounds,
        false => estimate::bounds_alone,
    };
    let made = match bounds(part, column, options) {
        Err(EstimateError::Variance(VarianceError::AllLonely)) => {
            bounds(part, column, &certain).map(|b| estimate::Bounds { limits: None, ..b })
        }
        other => other,
    };
    match made {
        Ok(b) => {
            let (limit_low, limit_high) = (limit(b.limits, |l| l.low), limit(b.limits, |l| l.high));
            Ok((
                Bounds {
                    low: Some(b.low),
                    high: Some(b.high),
                    limit_low,
                    limit_high,
                },
                Some(b.unknown_share),
            ))
        }
        Err(EstimateError::NothingKnown) => Ok((Bounds::default(), None)),
        Err(error) => Err(EstimatesError::Estimate {
            what: what.to_owned(),
            error,
        }),
    }
}

impl Blank for TotalEstimate {
    fn without_error(self) -> Self {
        Self {
            se: None,
            low: None,
            high: None,
            method: self.method + ONE_BOX,
            ..self
        }
    }
    fn nothing_known() -> Self {
        Self {
            method: NOTHING.to_owned(),
            ..Self::default()
        }
    }
}

impl Blank for ShareEstimate {
    fn without_error(self) -> Self {
        Self {
            se: None,
            deff: None,
            effective_items: None,
            low: None,
            high: None,
            method: self.method + ONE_BOX,
            ..self
        }
    }
    fn nothing_known() -> Self {
        Self {
            method: NOTHING.to_owned(),
            ..Self::default()
        }
    }
}

impl Blank for ShareAndCount {
    fn without_error(self) -> Self {
        Self {
            share: self.share.without_error(),
            count: self.count.without_error(),
        }
    }
    fn nothing_known() -> Self {
        Self {
            share: ShareEstimate::nothing_known(),
            count: TotalEstimate::nothing_known(),
        }
    }
}

impl Blank for TotalAndMean {
    fn without_error(self) -> Self {
        Self {
            total: self.total.without_error(),
            mean: self.mean.without_error(),
        }
    }
    fn nothing_known() -> Self {
        Self {
            total: TotalEstimate::nothing_known(),
            mean: ShareEstimate::nothing_known(),
        }
    }
}
