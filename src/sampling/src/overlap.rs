//! Two visits to the same boxes: how their estimates vary together, and the limits of a change.
//!
//! Of a stratum of `N` boxes one visit drew `n1` and the other `n2`, of which `m` are common to both. With `t1`, `t2` the box
//! totals of the two statistics' linearised variables and `s12` their covariance over the common boxes,
//!
//! ```text
//! C = sum_h N_h^2 (m_h / (n1_h n2_h) - 1 / N_h) s12_h
//! ```
//!
//! (Tam 1984, The American Statistician 38, 288-289, from memory). With the same boxes twice this is the covariance within one
//! sample, with one draw inside the other it is `1 / n - 1 / N` of the larger, and its expectation is 0 where the two were drawn
//! apart, so that [`covariance`] is for visits that follow one draw alone.
//! What the same items inside a box add to it is left out: where the two readings of an item go together, limits come out wider.

use std::collections::BTreeMap;

use crate::column::Cell;
use crate::contrast::Linearised;
use crate::design::Part;
use crate::interval::Limits;
use crate::linear::box_totals;
use crate::math::sum;

/// How the estimates of two visits vary together.
///
/// ```
/// # use sampling::column::Column;
/// # use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::contrast::total_of;
/// use sampling::overlap::{Together, covariance};
/// let visit = |ids: [&str; 2]| {
///     let sample = ids.map(|id| BoxSample { id: id.into(), items: Some(1), rows: 1, ..Default::default() }).to_vec();
///     Design::new(vec![StratumSample { key: "shelf".into(), frame_boxes: 9, sample, ..Default::default() }])
/// };
/// let (first, second) = (visit(["1", "2"])?, visit(["3", "4"])?);
/// let of = |design| Column::of_rows(design, vec![Some(1.0), Some(3.0)]);
/// let (parts, columns) = ((first.whole(), second.whole()), (of(&first)?, of(&second)?));
/// let (one, two) = (total_of(&parts.0, &columns.0), total_of(&parts.1, &columns.1));
/// // No box was reached twice: nothing tells how the two vary together.
/// let Together { covariance, boxes, .. } = covariance((&parts.0, &one), (&parts.1, &two));
/// assert_eq!((covariance, boxes), (0.0, 0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Together {
    /// Their covariance; 0 where no stratum has two common boxes.
    pub covariance: f64,
    /// Boxes that both visits reached.
    pub boxes: usize,
    /// The same less the strata they lie in.
    pub df: usize,
}

fn by_name(part: &Part<'_>, of: &Linearised) -> BTreeMap<(String, String), f64> {
    let column = &of.variable;
    let totals = box_totals(
        part,
        |b| column.is_whole(part.design, b),
        |b, row| match column.cell(part.design, b, row) {
            Cell::Known(value) => value,
            Cell::Unknown | Cell::Withheld => 0.0,
        },
    );
    let first = part.box_indices().start;
    let mut made = BTreeMap::new();
    for (at, total) in totals.iter().enumerate() {
        let sampled = &part.design.boxes()[first + at];
        if sampled.reached() {
            let stratum = part.design.strata()[sampled.stratum].key.clone();
            made.insert((stratum, sampled.id.clone()), total.total);
        }
    }
    made
}

/// The covariance of two visits' estimates that follow one draw from one frame; boxes and strata are matched by their names.
///
/// ```
/// # use sampling::column::Column;
/// # use sampling::design::{BoxSample, Design, StratumSample};
/// # use sampling::estimate::Options;
/// use sampling::contrast::total_of;
/// use sampling::overlap::covariance;
/// let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
/// let design = Design::new(vec![StratumSample { key: "shelf".into(), frame_boxes: 40, sample, ..Default::default() }])?;
/// let hours = Column::of_rows(&design, [1.0, 2.0, 1.0, 1.0, 3.0, 2.0, 1.0, 1.0].map(Some).to_vec())?;
/// let part = design.whole();
/// let total = total_of(&part, &hours);
/// // The same boxes with the same answers: a visit's covariance with itself is its variance.
/// let made = covariance((&part, &total), (&part, &total));
/// assert_eq!((made.covariance, made.boxes, made.df), (total.variance(&part, &Options::default())?, 4, 3));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn covariance(first: (&Part<'_>, &Linearised), second: (&Part<'_>, &Linearised)) -> Together {
    let (then, now) = (by_name(first.0, first.1), by_name(second.0, second.1));
    let mut made = Together::default();
    for stratum in first.0.strata() {
        let Some(other) = second.0.strata().iter().find(|s| s.key == stratum.key) else {
            continue;
        };
        let common: Vec<(f64, f64)> = then
            .iter()
            .filter(|((key, _), _)| *key == stratum.key)
            .filter_map(|(name, a)| Some((*a, *now.get(name)?)))
            .collect();
        made.boxes += common.len();
        made.df += common.len().saturating_sub(1);
        if common.len() < 2 {
            continue;
        }
        let m = common.len() as f64;
        let (a, b) = (
            sum(common.iter().map(|pair| pair.0)) / m,
            sum(common.iter().map(|pair| pair.1)) / m,
        );
        let s12 = sum(common.iter().map(|(x, y)| (x - a) * (y - b))) / (m - 1.0);
        let all = stratum.frame_boxes;
        let by = m / (stratum.reached_f64() * other.reached_f64()) - 1.0 / all;
        made.covariance += all * all * by * s12;
    }
    made
}

/// Limits of a change `second - first` from each estimate's own limits, so that what makes those honest for few boxes and for
/// what nobody saw is kept:
///
/// ```text
/// low  = d - sqrt((p2 - l2)^2 + (u1 - p1)^2 - 2 r (p2 - l2)(u1 - p1))
/// high = d + sqrt((u2 - p2)^2 + (p1 - l1)^2 - 2 r (u2 - p2)(p1 - l1))
/// ```
///
/// (Newcombe 1998, Statistics in Medicine 17, 873-890, method 10, for independent shares; Zou and Donner 2008, Statistics in
/// Medicine 27, 1693-1702, for any two estimates with correlation `r`; both from memory.) With limits at equal distances this is
/// the t interval of the change.
///
/// ```
/// use sampling::interval::Limits;
/// use sampling::overlap::change_limits;
/// let limits = |low, high| Limits { low, high };
/// let made = change_limits((10.0, limits(7.0, 13.0)), (20.0, limits(16.0, 24.0)), 0.0);
/// assert_eq!((made.low, made.high), (5.0, 15.0));
/// ```
#[must_use]
pub fn change_limits(first: (f64, Limits), second: (f64, Limits), correlation: f64) -> Limits {
    let ((p1, a), (p2, b)) = (first, second);
    let r = correlation.clamp(-1.0, 1.0);
    let off = |x: f64, y: f64| crate::math::sqrt((x * x + y * y - 2.0 * r * x * y).max(0.0));
    Limits {
        low: p2 - p1 - off(p2 - b.low, a.high - p1),
        high: p2 - p1 + off(b.high - p2, p1 - a.low),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::covariance;
    use crate::column::Column;
    use crate::contrast::total_of;
    use crate::design::{BoxSample, Design, StratumSample};

    /// Six boxes of one item each with what two visits find in them.
    const THEN: [f64; 6] = [1.0, 4.0, 2.0, 8.0, 5.0, 7.0];
    const NOW: [f64; 6] = [2.0, 5.0, 2.0, 9.0, 4.0, 9.0];

    fn drawn(boxes: &[usize], values: &[f64; 6]) -> (Design, Column) {
        let sample = boxes.iter().map(|i| BoxSample {
            id: i.to_string(),
            items: Some(1),
            rows: 1,
            ..BoxSample::default()
        });
        let stratum = StratumSample {
            key: "shelf".to_owned(),
            frame_boxes: 6,
            sample: sample.collect(),
            ..StratumSample::default()
        };
        let design = Design::new(vec![stratum]).unwrap();
        let column = Column::of_rows(&design, boxes.iter().map(|i| Some(values[*i])).collect()).unwrap();
        (design, column)
    }

    fn subsets(of: &[usize], size: usize) -> Vec<Vec<usize>> {
        if size == 0 {
            return vec![Vec::new()];
        }
        let mut made = Vec::new();
        for (at, first) in of.iter().enumerate() {
            for mut rest in subsets(&of[at + 1..], size - 1) {
                rest.insert(0, *first);
                made.push(rest);
            }
        }
        made
    }

    /// Every first visit of four boxes, and in each every second visit of two or three of them: the estimated covariance is
    /// on average the true one, which all these visits have.
    #[test]
    fn one_draw_inside_the_other_is_unbiased() {
        for fewer in [2, 3] {
            let (mut mean, mut products, mut firsts, mut seconds, mut n) = (0.0, 0.0, 0.0, 0.0, 0.0);
            for all in subsets(&[0, 1, 2, 3, 4, 5], 4) {
                for inside in subsets(&all, fewer) {
                    let ((d1, c1), (d2, c2)) = (drawn(&all, &THEN), drawn(&inside, &NOW));
                    let (p1, p2) = (d1.whole(), d2.whole());
                    let (t1, t2) = (total_of(&p1, &c1), total_of(&p2, &c2));
                    mean += covariance((&p1, &t1), (&p2, &t2)).covariance;
                    products += t1.estimate * t2.estimate;
                    firsts += t1.estimate;
                    seconds += t2.estimate;
                    n += 1.0;
                }
            }
            let truth = products / n - firsts / n * (seconds / n);
            assert!((mean / n - truth).abs() < 1e-9, "{} and {truth}", mean / n);
        }
    }
}
