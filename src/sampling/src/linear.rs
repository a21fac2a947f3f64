//! Totals of a two-stage sample and the variance of whatever is linear in them.
//!
//! Every estimator here is a function of expansion totals; its variance is that of the total of its linearised variable
//! z, whose values come from the estimator (Woodruff 1971; Särndal, Swensson & Wretman 1992, chapter 5). With `N_h` boxes
//! of which `n_h` are in n, `M_i` items of which `m_i` were drawn, and `t_i = M_i` times the mean of the box's z,
//!
//! ```text
//! V = sum_h N_h^2 (1 - n_h / N_h) s_h^2(t) / n_h  +  sum_h (N_h / n_h) sum_i M_i^2 (1 - m_i / M_i) s_i^2(z) / m_i
//! ```
//!
//! (Cochran 1977, section 11; Särndal, Swensson & Wretman 1992, result 4.3.1). A stratum taken whole has no first term. Of a
//! stratum drawn systematically `s_h^2` is that of its rule ([`Rule`]).

use crate::design::{DesignBox, DesignStratum, Part};
use crate::math::{Total, sum};
use crate::systematic::Rule;

/// What to do where a single unit was drawn of several, so that no variance can be estimated from it.
///
/// ```
/// use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::{column::Column, estimate::{self, Options}, linear::Lonely};
/// let boxes = |n| (0..n).map(|i: u32| BoxSample { id: i.to_string(), items: Some(1), rows: 1, ..Default::default() }).collect();
/// let stratum = |key: &str, n| StratumSample { key: key.into(), frame_boxes: 10, sample: boxes(n), ..Default::default() };
/// // A single box of the second stratum was drawn.
/// let design = Design::new(vec![stratum("A", 3), stratum("B", 1)])?;
/// let hours = Column::of_rows(&design, [1.0, 2.0, 3.0, 9.0].map(Some).to_vec())?;
/// let se = |lonely| estimate::total(&design.whole(), &hours, &Options { lonely, ..Options::default() }).map(|t| t.se);
/// assert!(se(Lonely::Fail).is_err());
/// assert!(se(Lonely::Certainty)? < se(Lonely::Average)? && se(Lonely::Average)? < se(Lonely::Adjust)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lonely {
    /// Refuse: [`VarianceError`].
    Fail,
    /// Take it as certain, adding nothing. Understates the error: never a silent choice.
    Certainty,
    /// For a box: its squared distance from the mean of all sampled boxes' weighted totals. For an item: the variance
    /// inside the other boxes.
    Adjust,
    /// For a box: its stratum adds what the other strata add on average. For an item: the variance inside the other
    /// boxes. The default, since it neither stops the work nor claims what was not seen.
    #[default]
    Average,
}

impl Lonely {
    /// Every rule with its name: `fail`, `certainty`, `adjust`, `average`.
    ///
    /// ```
    /// use sampling::linear::Lonely;
    /// assert!(Lonely::NAMES.iter().all(|(name, rule)| Lonely::named(name) == Some(*rule)));
    /// ```
    pub const NAMES: [(&'static str, Self); 4] = [
        ("fail", Self::Fail),
        ("certainty", Self::Certainty),
        ("adjust", Self::Adjust),
        ("average", Self::Average),
    ];

    /// The rule of that name.
    ///
    /// ```
    /// use sampling::linear::Lonely;
    /// assert_eq!(Lonely::named("adjust"), Some(Lonely::Adjust));
    /// assert_eq!(Lonely::named("ignore"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::NAMES
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(_, rule)| *rule)
    }
}

/// Why no variance could be estimated.
///
/// ```
/// use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::linear::{Lonely, VarianceError, box_totals, variance};
/// let sample = vec![BoxSample { id: "B1".into(), items: Some(1), rows: 1, ..Default::default() }];
/// let design = Design::new(vec![StratumSample { key: "A".into(), frame_boxes: 10, sample, ..Default::default() }])?;
/// let totals = box_totals(&design.whole(), |_| false, |_, _| 1.0);
/// let by = |lonely| variance(&design.whole(), &totals, lonely);
/// assert_eq!(by(Lonely::Fail), Err(VarianceError::LonelyBox("A".into())));
/// assert_eq!(by(Lonely::Average), Err(VarianceError::AllLonely));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum VarianceError {
    /// A stratum has one sampled box, and more in the frame.
    #[error("stratum {0:?} has one sampled box of several: it has no variance of its own")]
    LonelyBox(String),
    /// A box has one drawn item, and more that were not drawn.
    #[error("box {0:?} has one drawn item of several: it has no variance of its own")]
    LonelyItem(String),
    /// All strata have one sampled box, so there is nothing to take an average of.
    #[error("every stratum has one sampled box: there is nothing to estimate a variance from")]
    AllLonely,
}

/// One box's share in a linear statistic.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// let totals = sampling::linear::box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
/// let first = totals[0]; // An hour and two.
/// assert_eq!((first.total, first.mean, first.squares, first.rows), (3.0, 1.5, 0.5, 2));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BoxTotal {
    /// The estimated total of z over the box's items.
    pub total: f64,
    /// The mean of z over its items.
    pub mean: f64,
    /// Sum of squared deviations of its rows from that mean.
    pub squares: f64,
    /// Rows drawn; 0 where the box was taken at once (no second-stage error).
    pub rows: usize,
}

/// The two stages' contributions to a variance, and that of imputed counts.
///
/// ```
/// use sampling::linear::Variance;
/// let made = Variance { boxes: 9.0, items: 5.0, imputed: 2.0 };
/// assert_eq!((made.total(), made.se()), (16.0, 4.0));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Variance {
    /// Between boxes.
    pub boxes: f64,
    /// Between the items of a box.
    pub items: f64,
    /// From counts that were imputed for stopped boxes.
    pub imputed: f64,
}

impl Variance {
    /// Their sum.
    ///
    /// ```
    /// use sampling::linear::Variance;
    /// assert_eq!(Variance { boxes: 9.0, items: 5.0, imputed: 2.0 }.total(), 16.0);
    /// ```
    #[must_use]
    pub fn total(self) -> f64 {
        self.boxes + self.items + self.imputed
    }

    /// The standard error.
    ///
    /// ```
    /// use sampling::linear::Variance;
    /// assert_eq!(Variance { boxes: 9.0, items: 5.0, imputed: 2.0 }.se(), 4.0);
    /// // What rounding leaves of nothing is nothing.
    /// assert_eq!(Variance { boxes: -1e-30, items: 0.0, imputed: 0.0 }.se(), 0.0);
    /// ```
    #[must_use]
    pub fn se(self) -> f64 {
        self.total().max(0.0).sqrt()
    }
}

/// The box totals of a variable: `z(box, Some(row))` for a box read item by item, `z(box, None)` for one that
/// `whole(box)` says is answered at once. A box that was not reached, or is empty, has 0.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// use sampling::linear::box_totals;
/// let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
/// assert_eq!(totals.iter().map(|t| t.total).collect::<Vec<_>>(), [3.0, 2.0, 5.0, 2.0]);
/// // Told at once, every box has its items times one number.
/// let items = box_totals(&part, |_| true, |_, _| 1.0);
/// assert!(items.iter().all(|t| t.total == 2.0 && t.rows == 0));
/// ```
pub fn box_totals(
    part: &Part<'_>,
    whole: impl Fn(usize) -> bool,
    z: impl Fn(usize, Option<usize>) -> f64,
) -> Vec<BoxTotal> {
    let boxes = &part.design.boxes()[part.box_indices()];
    let first = part.box_indices().start;
    let of_box = |(i, sampled): (usize, &DesignBox)| {
        let b = first + i;
        if !sampled.reached() || sampled.items <= 0.0 {
            return BoxTotal::default();
        }
        if whole(b) || sampled.rows.is_empty() {
            let mean = z(b, None);
            return BoxTotal {
                total: sampled.items * mean,
                mean,
                squares: 0.0,
                rows: 0,
            };
        }
        let rows = sampled.rows.len();
        let mean = sum(sampled.rows.clone().map(|row| z(b, Some(row)))) / rows as f64;
        let squares = sum(sampled.rows.clone().map(|row| {
            let off = z(b, Some(row)) - mean;
            off * off
        }));
        BoxTotal {
            total: sampled.items * mean,
            mean,
            squares,
            rows,
        }
    };
    boxes.iter().enumerate().map(of_box).collect()
}

/// The expansion total: every box's total times its stratum's `N_h / n_h`.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// use sampling::linear::{box_totals, expand};
/// // 80 items in 40 boxes, four of which hold eight.
/// assert_eq!(expand(&part, &box_totals(&part, |_| true, |_, _| 1.0)), 80.0);
/// ```
#[must_use]
pub fn expand(part: &Part<'_>, totals: &[BoxTotal]) -> f64 {
    sum(part
        .strata()
        .iter()
        .map(|s| s.weight() * sum(of_stratum(part, s, totals).iter().map(|t| t.total))))
}

fn of_stratum<'t>(part: &Part<'_>, stratum: &DesignStratum, totals: &'t [BoxTotal]) -> &'t [BoxTotal] {
    let first = part.box_indices().start;
    &totals[stratum.boxes.start - first..stratum.boxes.end - first]
}

/// The variance of the expansion total of z, from its box totals.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::linear::{box_totals, expand, variance};
/// let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
/// assert_eq!(expand(&part, &totals), 120.0);
/// let both = variance(&part, &totals, options.lonely)?;
/// // Boxes were read whole, so that they alone differ: 40^2 (1 - 4 / 40) / 4 times the variance of 3, 2, 5 and 2.
/// assert_eq!((both.boxes, both.items), (720.0, 0.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`VarianceError`] where a unit is lonely and the rule is to fail, or where there is nothing to average.
pub fn variance(part: &Part<'_>, totals: &[BoxTotal], lonely: Lonely) -> Result<Variance, VarianceError> {
    let boxes = &part.design.boxes()[part.box_indices()];
    let mut first = Total::default();
    let mut imputed = Total::default();
    let mut lonely_strata = 0usize;
    for stratum in part.strata() {
        let own = of_stratum(part, stratum, totals);
        let sampled = &part.design.boxes()[stratum.boxes.clone()];
        let (n, weight) = (stratum.reached_f64(), stratum.weight());
        // Squares that the imputed counts, being means, do not show.
        let hidden = stratum.items_variance
            * sum(sampled
                .iter()
                .zip(own)
                .filter(|(b, _)| b.imputed)
                .map(|(_, t)| t.mean * t.mean));
        let imputed_sum = sum(sampled
            .iter()
            .zip(own)
            .filter(|(b, _)| b.imputed)
            .map(|(_, t)| t.mean));
        let extra = hidden + stratum.items_variance * imputed_sum * imputed_sum / stratum.counted as f64;
        imputed.add(weight * weight * extra);
        if stratum.census() {
            continue;
        }
        if stratum.lonely() {
            lonely_strata += 1;
            match lonely {
                Lonely::Fail => return Err(VarianceError::LonelyBox(stratum.key.clone())),
                Lonely::Certainty | Lonely::Average => {}
                Lonely::Adjust => {
                    let off = sum(own.iter().map(|t| weight * t.total)) - mean_weighted_total(part, totals);
                    first.add((1.0 - stratum.fraction()) * off * off);
                }
            }
            continue;
        }
        let reached = || {
            sampled
                .iter()
                .zip(own)
                .filter(|(b, _)| b.reached())
                .map(|(_, t)| t.total)
        };
        let squares = match stratum.rule() {
            Rule::AsRandom => {
                let mean = sum(reached()) / n;
                sum(reached().map(|total| (total - mean) * (total - mean)))
            }
            // There are two at least: the stratum is not lonely.
            rule => (n - 1.0) * rule.spread(&reached().collect::<Vec<f64>>()).unwrap_or(0.0),
        };
        first.add(weight * weight * (1.0 - stratum.fraction()) * (squares + hidden) * n / (n - 1.0));
    }
    let mut between = first.value();
    if lonely == Lonely::Average && lonely_strata > 0 {
        let all = part.strata().len();
        if lonely_strata == all {
            return Err(VarianceError::AllLonely);
        }
        between *= all as f64 / (all - lonely_strata) as f64;
    }
    let within = second_stage(part, boxes, totals, lonely)?;
    Ok(Variance {
        boxes: between,
        items: within,
        imputed: imputed.value(),
    })
}

fn mean_weighted_total(part: &Part<'_>, totals: &[BoxTotal]) -> f64 {
    expand(part, totals) / part.strata().iter().map(DesignStratum::reached_f64).sum::<f64>()
}

fn second_stage(
    part: &Part<'_>,
    boxes: &[DesignBox],
    totals: &[BoxTotal],
    lonely: Lonely,
) -> Result<f64, VarianceError> {
    let mut within = Total::default();
    let mut pools: Vec<Option<f64>> = vec![None; part.strata.len()];
    for (sampled, own) in boxes.iter().zip(totals) {
        let drawn = own.rows as f64;
        if own.rows == 0 || drawn >= sampled.items {
            continue;
        }
        let spread = if own.rows > 1 {
            own.squares / (drawn - 1.0)
        } else {
            match lonely {
                Lonely::Fail => return Err(VarianceError::LonelyItem(sampled.id.clone())),
                Lonely::Certainty => 0.0,
                Lonely::Adjust | Lonely::Average => *pools[sampled.stratum - part.strata.start]
                    .get_or_insert_with(|| pooled(boxes, totals, sampled.stratum)),
            }
        };
        let weight = part.design.strata()[sampled.stratum].weight();
        within.add(weight * sampled.items * (sampled.items - drawn) * spread / drawn);
    }
    Ok(within.value())
}

/// The variance inside boxes, pooled over those of the stratum that have two rows or more; failing that over all
/// boxes; failing that the variance of the single rows among themselves, which holds the variance between boxes too.
fn pooled(boxes: &[DesignBox], totals: &[BoxTotal], stratum: usize) -> f64 {
    let over = |keep: &dyn Fn(usize) -> bool| {
        let (mut squares, mut free) = (Total::default(), 0usize);
        for (_, own) in boxes
            .iter()
            .zip(totals)
            .filter(|(b, t)| t.rows > 1 && keep(b.stratum))
        {
            squares.add(own.squares);
            free += own.rows - 1;
        }
        (free > 0).then(|| squares.value() / free as f64)
    };
    let single = || {
        let means: Vec<f64> = totals.iter().filter(|t| t.rows == 1).map(|t| t.mean).collect();
        if means.len() < 2 {
            return 0.0;
        }
        let mean = sum(means.iter().copied()) / means.len() as f64;
        sum(means.iter().map(|m| (m - mean) * (m - mean))) / (means.len() - 1) as f64
    };
    over(&|h| h == stratum)
        .or_else(|| over(&|_| true))
        .unwrap_or_else(single)
}
