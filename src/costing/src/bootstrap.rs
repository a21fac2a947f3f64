//! Other samples that might have been drawn: factors by which boxes' and items' weights are multiplied.

use sampling::math::{normal_quantile, sqrt, t_quantile};
use sampling::random::Stream;

use crate::collection::{Collection, Stratum};

/// What does not change from one draw to the next.
pub(crate) struct Resampler {
    strata: Vec<Boxes>,
    /// How much wider than a normal one a sample of so few boxes is: `t / z` at the level that is asked for.
    wider: f64,
    /// Relative standard deviation of boxes in the other strata, for one whose only box says nothing of it.
    usual_spread: f64,
}

struct Boxes {
    /// `sqrt(1 - f)` of the first stage.
    first: f64,
    n: usize,
    /// A box, and items read if they are to be resampled: `sqrt(f (1 - f2))`.
    items: Vec<(usize, f64)>,
}

/// Factors of one draw; a box's items follow each other in the order of the collection.
#[derive(Default)]
pub(crate) struct Factors {
    pub(crate) boxes: Vec<f64>,
    pub(crate) items: Vec<f64>,
}

impl Resampler {
    pub(crate) fn new(collection: &Collection, level: f64) -> Self {
        let boxes = |stratum: &Stratum| {
            let n = stratum.sampled.len();
            let f = as_float(n as u64) / as_float(stratum.n_boxes.max(1));
            let second = |n_items: Option<u64>, m: usize| match n_items {
                Some(all) if m >= 2 && all > m as u64 => sqrt(f * (1.0 - as_float(m as u64) / as_float(all))),
                _ => 0.0,
            };
            Boxes {
                first: sqrt((1.0 - f).max(0.0)),
                n,
                items: stratum
                    .sampled
                    .iter()
                    .map(|b| (b.read.len(), second(b.n_items, b.read.len())))
                    .collect(),
            }
        };
        let tail = 0.5 + level / 2.0;
        let df = collection.df();
        let wider = if df == 0 {
            1.0
        } else {
            t_quantile(tail, as_float(df)) / normal_quantile(tail)
        };
        Self {
            strata: collection.strata.iter().map(boxes).collect(),
            wider,
            usual_spread: usual_spread(collection),
        }
    }

    /// Draws factors. Rescaling bootstrap (Rao and Wu 1988; Rao, Wu and Yue 1992): of `n` boxes `n - 1` are drawn with
    /// replacement, and one drawn `k` times has `1 + l (k n / (n - 1) - 1)`, `l = sqrt(1 - f)`; of `m` items read in a box
    /// `m - 1` likewise, with `l = sqrt(f (1 - f2))`, added to the box's. The variance of a total is then the two-stage
    /// one, both corrections for finite numbers included. All deviations are widened to the t distribution's.
    pub(crate) fn draw(&self, stream: &mut Stream, into: &mut Factors) {
        into.boxes.clear();
        into.items.clear();
        for stratum in &self.strata {
            let start = into.boxes.len();
            self.draw_boxes(stratum, stream, &mut into.boxes);
            for (at, &(m, by)) in stratum.items.iter().enumerate() {
                let own = into.boxes[start + at];
                let first = into.items.len();
                if by <= 0.0 {
                    into.items.resize(first + m, own);
                    continue;
                }
                let by = by * self.wider;
                into.items.resize(first + m, own - by);
                let step = by * as_float(m as u64) / (as_float(m as u64) - 1.0);
                for _ in 1..m {
                    into.items[first + index(stream.below(m as u64))] += step;
                }
            }
        }
    }

    fn draw_boxes(&self, stratum: &Boxes, stream: &mut Stream, factors: &mut Vec<f64>) {
        let (start, n, by) = (factors.len(), stratum.n, stratum.first * self.wider);
        if n == 1 {
            // Nothing can be said of what differs between boxes from one box: it differs as elsewhere.
            let alone = stratum.first * self.usual_spread * normal_quantile(stream.unit());
            factors.push((1.0 + alone).max(0.0));
            return;
        }
        factors.resize(start + n, 1.0 - by);
        if by <= 0.0 {
            return;
        }
        let step = by * as_float(n as u64) / (as_float(n as u64) - 1.0);
        for _ in 1..n {
            factors[start + index(stream.below(n as u64))] += step;
        }
    }
}

/// The relative standard deviation of the number of items in a box, pooled over the strata that have two boxes or more;
/// 1 where none has, which is that of a collection whose boxes differ as widely as waiting times do.
fn usual_spread(collection: &Collection) -> f64 {
    let (mut squares, mut df) = (0.0, 0.0);
    for stratum in &collection.strata {
        let sizes: Vec<f64> = stratum
            .sampled
            .iter()
            .filter_map(|b| b.n_items)
            .map(as_float)
            .collect();
        let n = as_float(sizes.len() as u64);
        let mean = sizes.iter().sum::<f64>() / n;
        if sizes.len() < 2 || mean <= 0.0 {
            continue;
        }
        squares += sizes
            .iter()
            .map(|x| (x / mean - 1.0) * (x / mean - 1.0))
            .sum::<f64>();
        df += n - 1.0;
    }
    if df > 0.0 { sqrt(squares / df) } else { 1.0 }
}

#[allow(
    clippy::cast_precision_loss,
    reason = "numbers of boxes and items are far below 2^53"
)]
pub(crate) fn as_float(n: u64) -> f64 {
    n as f64
}

#[allow(clippy::cast_possible_truncation, reason = "below the length of a slice")]
fn index(drawn: u64) -> usize {
    drawn as usize
}
