//! The intervals that are compared.

use sampling::column::Column;
use sampling::design::Design;
use sampling::estimate::{self, Options, Share};
use sampling::interval::blended::{self, BoxAnswers};
use sampling::interval::{Limits, binomial, effective};
use sampling::math::t_quantile;
use sampling::plan::stopping::{Decision, StoppingRule};

const LEVEL: f64 = 0.95;

/// Names, in the order of [`limits`].
pub(crate) const NAMES: [&str; 7] = [
    "default",
    "default, whole boxes shown",
    "blended",
    "Korn-Graubard",
    "KG capped, planning",
    "logit",
    "Wilson t",
];

/// What a sample says under every method.
pub(crate) struct Answer {
    pub(crate) estimate: f64,
    pub(crate) limits: [Option<Limits>; NAMES.len()],
    /// The lesser of the numbers of boxes with and without the condition.
    telling: u64,
}

/// What every method says when it is its own limits that decide when to stop. The estimate is that of the default's stop.
pub(crate) fn answer_by_rule(
    rule: &StoppingRule,
    look: impl Fn(u64) -> Result<Answer, String>,
) -> Result<Answer, String> {
    let mut made: Option<Answer> = None;
    let mut open = [true; NAMES.len()];
    for boxes in rule.looks() {
        let now = look(boxes)?;
        let made = made.get_or_insert(Answer {
            estimate: now.estimate,
            limits: [None; NAMES.len()],
            telling: now.telling,
        });
        for (method, open) in open.iter_mut().enumerate().filter(|(_, open)| **open) {
            let stop = !matches!(
                rule.decide(boxes, now.limits[method], now.telling),
                Decision::Next(_)
            );
            if stop {
                made.limits[method] = now.limits[method];
                *open = false;
                if method == 0 {
                    made.estimate = now.estimate;
                }
            }
        }
        if open.iter().all(|open| !open) {
            break;
        }
    }
    made.ok_or("a rule without a look.".to_owned())
}

pub(crate) fn answer(design: &Design, column: &Column) -> Result<Answer, String> {
    let part = design.whole();
    let share = estimate::share(&part, column, &Options::default()).map_err(|why| why.to_string())?;
    let boxes = estimate::box_answers(&part, column);
    let variance = share.se * share.se;
    let limits = [
        share.limits,
        share.limits.filter(|_| shown_whole(&boxes)),
        blended::limits(share.estimate, variance, share.df, &boxes, LEVEL).map(|b| b.limits),
        published(&share, |p, v| {
            effective::korn_graubard(p, v, share.df, share.known_items, LEVEL)
        }),
        planning(&share, &boxes),
        published(&share, |p, v| effective::logit(p, v, share.df, LEVEL)),
        published(&share, |p, v| effective::wilson(p, v, share.df, LEVEL)),
    ];
    let with = boxes.iter().filter(|b| b.yes > 0).count();
    let without = boxes.iter().filter(|b| b.yes < b.known).count();
    Ok(Answer {
        estimate: share.estimate,
        limits,
        telling: with.min(without) as u64,
    })
}

/// Whether a sample shows boxes as all or nothing: none mixed, two or more of several items with the condition and two without.
fn shown_whole(boxes: &[BoxAnswers]) -> bool {
    let of_several = |yes: bool| boxes.iter().filter(|b| b.known > 1 && (b.yes > 0) == yes).count();
    boxes.iter().all(|b| b.yes == 0 || b.yes == b.known) && of_several(true) >= 2 && of_several(false) >= 2
}

/// A method of the literature; where none or all were seen it has no answer, and Clopper-Pearson on the items stands in, as
/// the US National Center for Health Statistics has it.
fn published(share: &Share, method: impl Fn(f64, f64) -> Limits) -> Option<Limits> {
    let (p, v) = (share.estimate, share.se * share.se);
    if share.df <= 0.0 {
        return None;
    }
    // A variance that is rounding alone is none, and so are limits.
    if p > 0.0 && p < 1.0 && v > 1e-15 * p * (1.0 - p) {
        Some(method(p, v))
    } else if p > 0.0 && p < 1.0 {
        Some(Limits { low: p, high: p })
    } else {
        let n = share.known_items;
        Some(binomial::clopper_pearson(p * n, n, LEVEL))
    }
}

/// Korn and Graubard's, the effective size held to the items at most and, while fewer than five boxes have the condition or
/// lack it, to what a correlation of 0.1 would leave of them.
fn planning(share: &Share, boxes: &[BoxAnswers]) -> Option<Limits> {
    let (p, v, n) = (share.estimate, share.se * share.se, share.known_items);
    if share.df <= 0.0 {
        return None;
    }
    let inside = p > 0.0 && p < 1.0;
    let mut size = n;
    if inside && v > 0.0 {
        let ratio = t_quantile(0.025, n - 1.0) / t_quantile(0.025, share.df);
        size = n.min(p * (1.0 - p) / v * ratio * ratio);
    }
    let with = boxes.iter().filter(|b| b.yes > 0).count();
    let without = boxes.iter().filter(|b| b.yes < b.known).count();
    if with.min(without) < 5 {
        let known: f64 = boxes.iter().map(|b| b.known as f64).sum();
        let squares: f64 = boxes.iter().map(|b| b.known as f64 * b.known as f64).sum();
        size = size.min(n / (1.0 + (squares / known - 1.0) * 0.1));
    }
    Some(binomial::clopper_pearson(p * size, size, LEVEL))
}
