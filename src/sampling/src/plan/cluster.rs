//! The likeness of items in a box, and how many of them to check.

use crate::math::sum;

/// The intra-box correlation of a condition or quantity: the analysis-of-variance estimator for boxes of unequal size
/// (Donner 1986, from memory), held to [-1, 1]. `None` unless there are two boxes and more items than boxes, and the items differ.
///
/// ```
/// use sampling::plan::cluster::correlation;
/// assert_eq!(correlation(&[vec![1.0, 1.0], vec![0.0, 0.0], vec![1.0, 1.0]]), Some(1.0));
/// ```
#[must_use]
pub fn correlation(boxes: &[Vec<f64>]) -> Option<f64> {
    let boxes: Vec<&Vec<f64>> = boxes.iter().filter(|b| !b.is_empty()).collect();
    let k = boxes.len() as f64;
    let n: f64 = boxes.iter().map(|b| b.len() as f64).sum();
    if boxes.len() < 2 || n <= k {
        return None;
    }
    let mean = sum(boxes.iter().flat_map(|b| b.iter().copied())) / n;
    let own = |b: &[f64]| sum(b.iter().copied()) / b.len() as f64;
    let between = sum(boxes.iter().map(|b| b.len() as f64 * square(own(b) - mean))) / (k - 1.0);
    let within = sum(boxes.iter().flat_map(|b| {
        let own = own(b);
        b.iter().map(move |y| square(y - own))
    })) / (n - k);
    let squares = sum(boxes.iter().map(|b| square(b.len() as f64)));
    let size = (n - squares / n) / (k - 1.0);
    let whole = between + (size - 1.0) * within;
    (whole > 0.0).then(|| ((between - within) / whole).clamp(-1.0, 1.0))
}

fn square(x: f64) -> f64 {
    x * x
}

/// The number of items to check in a box for the least error at a given cost: `sqrt((c_box / c_item) (1 - r) / r)` (Cochran
/// 1977, section 10.6, for large boxes), at least one; as many as there are where `r` is not above 0.
///
/// ```
/// use sampling::plan::cluster::optimum_items;
/// // A box costs as much as four items: sqrt(4 (1 - 0.2) / 0.2) = 4.
/// assert!((optimum_items(4.0, 1.0, 0.2, 12.0) - 4.0).abs() < 1e-12);
/// assert_eq!(optimum_items(4.0, 1.0, 0.0, 12.0), 12.0); // Unlike each other: all of them.
/// ```
#[must_use]
pub fn optimum_items(box_minutes: f64, item_minutes: f64, r: f64, mean_items: f64) -> f64 {
    if r <= 0.0 || item_minutes <= 0.0 {
        return mean_items;
    }
    ((box_minutes / item_minutes) * (1.0 - r) / r)
        .sqrt()
        .clamp(1.0, mean_items.max(1.0))
}
