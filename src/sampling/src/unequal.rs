//! Samples with unequal probabilities: boxes, or pieces of a shelf run, drawn in proportion to a known size.

pub mod sampford;

use crate::math::{Total, sum};

/// A total and its variance.
///
/// ```
/// use sampling::unequal::hansen_hurwitz;
/// let made = hansen_hurwitz(&[12.0, 30.0], &[0.1, 0.3]).ok_or("too few")?;
/// assert!((made.total - 110.0).abs() < 1e-9); // The mean of 120 and 100,
/// assert!((made.variance - 100.0).abs() < 1e-9); // of which each is 10 away.
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TotalAndVariance {
    /// The estimated total.
    pub total: f64,
    /// Its estimated variance; may come out under 0 for a sample without replacement.
    pub variance: f64,
}

/// With replacement (Hansen and Hurwitz 1943): `values` of the draws, each with its draw probability `probabilities`.
///
/// `None` for fewer than two draws, or a probability that is none.
///
/// ```
/// use sampling::unequal::hansen_hurwitz;
/// // Boxes drawn in proportion to what they hold: no two tell anything else.
/// let made = hansen_hurwitz(&[10.0, 30.0], &[0.1, 0.3]).ok_or("too few")?;
/// assert!((made.total - 100.0).abs() < 1e-9 && made.variance < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn hansen_hurwitz(values: &[f64], probabilities: &[f64]) -> Option<TotalAndVariance> {
    let n = values.len();
    if n < 2 || probabilities.len() != n || probabilities.iter().any(|p| !(*p > 0.0 && *p <= 1.0)) {
        return None;
    }
    let expanded = || values.iter().zip(probabilities).map(|(y, p)| y / p);
    let total = sum(expanded()) / n as f64;
    let squares = sum(expanded().map(|z| (z - total) * (z - total)));
    Some(TotalAndVariance {
        total,
        variance: squares / (n as f64 * (n - 1) as f64),
    })
}

/// The form of a variance of the Horvitz-Thompson total.
///
/// ```
/// use sampling::unequal::sampford::joint_probabilities;
/// use sampling::unequal::{Form, horvitz_thompson};
/// let sizes = [1.0, 2.0, 3.0, 4.0];
/// let joint = joint_probabilities(&sizes, 2).ok_or("too few")?;
/// let of_pair = |i: usize, j: usize| vec![vec![joint[i][i], joint[i][j]], vec![joint[j][i], joint[j][j]]];
/// // Values in proportion to the sizes have no variance, and one form says so whatever pair was drawn.
/// let by = |form| horvitz_thompson(&[10.0, 40.0], &of_pair(0, 3), form).map(|made| made.variance);
/// assert!(by(Form::SenYatesGrundy).is_some_and(|v| v.abs() < 1e-9));
/// assert!(by(Form::HorvitzThompson).is_some_and(|v| v.abs() > 1.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Form {
    /// Sen (1953), Yates and Grundy (1953): for a fixed sample size. Never under 0 for [`sampford`].
    #[default]
    SenYatesGrundy,
    /// Horvitz and Thompson (1952).
    HorvitzThompson,
}

/// Without replacement: the Horvitz-Thompson total and its variance from joint inclusion probabilities.
///
/// `joint[i][j]` is the probability that units `i` and `j` of the sample are both drawn, `joint[i][i]` that of `i`; all above
/// 0. `None` where the shapes differ or a probability is none.
///
/// ```
/// use sampling::unequal::sampford::joint_probabilities;
/// use sampling::unequal::{Form, horvitz_thompson};
/// let sizes = [1.0, 2.0, 3.0, 4.0];
/// let joint = joint_probabilities(&sizes, 2).ok_or("too few")?;
/// let of_pair = |i: usize, j: usize| vec![vec![joint[i][i], joint[i][j]], vec![joint[j][i], joint[j][j]]];
/// // Over all pairs the total is right in the mean.
/// let values = [3.0, 5.0, 11.0, 2.0];
/// let mut mean = 0.0;
/// for (i, j) in [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)] {
///     let made = horvitz_thompson(&[values[i], values[j]], &of_pair(i, j), Form::default()).ok_or("no pair")?;
///     mean += joint[i][j] * made.total;
/// }
/// assert!((mean - 21.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn horvitz_thompson(values: &[f64], joint: &[Vec<f64>], form: Form) -> Option<TotalAndVariance> {
    let n = values.len();
    let sound = |p: f64| p > 0.0 && p <= 1.0 + 1e-12;
    if joint.len() != n
        || joint
            .iter()
            .any(|row| row.len() != n || row.iter().any(|p| !sound(*p)))
    {
        return None;
    }
    let z: Vec<f64> = values.iter().enumerate().map(|(i, y)| y / joint[i][i]).collect();
    let mut variance = Total::default();
    for i in 0..n {
        for j in 0..n {
            let (both, apart) = (joint[i][j], joint[i][i] * joint[j][j]);
            match form {
                Form::SenYatesGrundy if i != j => {
                    variance.add(0.5 * (apart - both) / both * (z[i] - z[j]) * (z[i] - z[j]));
                }
                Form::SenYatesGrundy => {}
                Form::HorvitzThompson => variance.add((both - apart) / both * z[i] * z[j]),
            }
        }
    }
    Some(TotalAndVariance {
        total: sum(z.iter().copied()),
        variance: variance.value(),
    })
}

/// Inclusion probabilities for a sample of `n` in proportion to `sizes`: units that would get more than 1 are taken for certain
/// and the rest shared among the others. `None` unless there are `n` positive, finite sizes.
///
/// ```
/// use sampling::unequal::inclusion_probabilities;
/// assert_eq!(inclusion_probabilities(&[1.0, 1.0, 2.0, 16.0], 2).unwrap(), [0.25, 0.25, 0.5, 1.0]);
/// ```
#[must_use]
pub fn inclusion_probabilities(sizes: &[f64], n: usize) -> Option<Vec<f64>> {
    if sizes.iter().any(|size| !size.is_finite() || *size < 0.0)
        || sizes.iter().filter(|size| **size > 0.0).count() < n
    {
        return None;
    }
    let mut certain = vec![false; sizes.len()];
    loop {
        let taken = certain.iter().filter(|c| **c).count();
        let rest = sum(sizes
            .iter()
            .zip(&certain)
            .filter(|(_, c)| !**c)
            .map(|(size, _)| *size));
        let probability = |i: usize| match (certain[i], rest > 0.0) {
            (true, _) => 1.0,
            (false, true) => (n - taken) as f64 * sizes[i] / rest,
            (false, false) => 0.0,
        };
        let over: Vec<usize> = (0..sizes.len())
            .filter(|i| !certain[*i] && probability(*i) >= 1.0)
            .collect();
        if over.is_empty() {
            return Some((0..sizes.len()).map(probability).collect());
        }
        for i in over {
            certain[i] = true;
        }
    }
}
