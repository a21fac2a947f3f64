//! How the second phase stands for the first: by numbers of items, by a ratio, by a regression.

use super::{Estimator, SecondPhase, TwoPhaseError};
use crate::math::sum;

/// An estimator's factors, what it foretells of every item, what that leaves of the read ones, and how many slopes it took.
pub(super) struct Fit {
    pub(super) factors: Vec<f64>,
    pub(super) fitted: Vec<f64>,
    pub(super) left: Vec<f64>,
    pub(super) slopes: usize,
}

impl Fit {
    /// `sum_s w* g y`.
    pub(super) fn total(&self, second: &SecondPhase<'_>, y: &[f64]) -> f64 {
        sum(second
            .read_rows()
            .map(|row| second.full_weight(row) * self.factors[row] * y[row]))
    }

    /// The same of `(y - mean) / items`, the items being those of the second phase or of the first.
    pub(super) fn about(self, mean: f64, items: f64, of_read: bool) -> Self {
        let (of_fitted, of_left) = if of_read { (0.0, mean) } else { (mean, 0.0) };
        let scaled = |z: Vec<f64>, center: f64| z.into_iter().map(|z| (z - center) / items).collect();
        Self {
            fitted: scaled(self.fitted, of_fitted),
            left: scaled(self.left, of_left),
            ..self
        }
    }
}

pub(super) fn fit(second: &SecondPhase<'_>, y: &[f64], by: Estimator<'_>) -> Result<Fit, TwoPhaseError> {
    const WHAT: &str = "a first-phase quantity";
    match by {
        Estimator::Expansion => Ok(Fit {
            factors: vec![1.0; y.len()],
            fitted: vec![0.0; y.len()],
            left: y.to_vec(),
            slopes: 0,
        }),
        Estimator::Ratio(x) => {
            let x = second.values(x, true, WHAT)?;
            let below = second.expanded(&x);
            if below <= 0.0 {
                return Err(TwoPhaseError::NoRatio(below));
            }
            let ratio = second.expanded(y) / below;
            let fitted: Vec<f64> = x.iter().map(|x| ratio * x).collect();
            Ok(Fit {
                factors: vec![second.first_total(&x) / below; y.len()],
                left: y.iter().zip(&fitted).map(|(y, fit)| y - fit).collect(),
                fitted,
                slopes: 0,
            })
        }
        Estimator::Regression(columns) => {
            let x = columns.iter().map(|x| second.values(x, true, WHAT));
            regression(second, y, x.collect::<Result<_, _>>()?)
        }
    }
}

fn regression(second: &SecondPhase<'_>, y: &[f64], mut x: Vec<Vec<f64>>) -> Result<Fit, TwoPhaseError> {
    let ones = vec![1.0; y.len()];
    let read = second.expanded(&ones);
    for (at, x) in x.iter_mut().enumerate() {
        let mean = second.expanded(x) / read;
        let largest = second
            .read_rows()
            .map(|row| (x[row] - mean).abs())
            .fold(0.0, f64::max);
        // What rounding leaves of a constant is no spread.
        if largest <= 1e-10 * mean.abs() {
            return Err(TwoPhaseError::Collinear(at));
        }
        x.iter_mut().for_each(|x| *x -= mean);
    }
    let product = |a: &[f64], b: &[f64]| {
        sum(second
            .read_rows()
            .map(|row| second.full_weight(row) * a[row] * b[row]))
    };
    let matrix = x
        .iter()
        .map(|a| x.iter().map(|b| product(a, b)).collect())
        .collect();
    let root = Cholesky::of(matrix).map_err(TwoPhaseError::Collinear)?;
    let slopes = root.solve(x.iter().map(|x| product(x, y)).collect());
    let lift = root.solve(x.iter().map(|x| second.first_total(x)).collect());
    let level = second.expanded(y) / read;
    let line = |by: &[f64], row: usize| sum(by.iter().zip(&x).map(|(b, x)| b * x[row]));
    let scale = second.first_total(&ones) / read;
    let fitted: Vec<f64> = (0..y.len()).map(|row| level + line(&slopes, row)).collect();
    Ok(Fit {
        factors: (0..y.len()).map(|row| scale + line(&lift, row)).collect(),
        left: y.iter().zip(&fitted).map(|(y, fit)| y - fit).collect(),
        fitted,
        slopes: x.len(),
    })
}

/// The lower triangle `L` of a positive definite matrix `L L'`.
struct Cholesky(Vec<Vec<f64>>);

impl Cholesky {
    /// The triangle, or the column that is zero or made of those before it, to rounding.
    fn of(mut matrix: Vec<Vec<f64>>) -> Result<Self, usize> {
        for i in 0..matrix.len() {
            let whole = matrix[i][i];
            for j in 0..=i {
                let less = sum((0..j).map(|k| matrix[i][k] * matrix[j][k]));
                let left = matrix[i][j] - less;
                if i > j {
                    matrix[i][j] = left / matrix[j][j];
                } else if left > 1e-12 * whole && left.is_finite() {
                    matrix[i][i] = left.sqrt();
                } else {
                    return Err(i);
                }
            }
        }
        Ok(Self(matrix))
    }

    fn solve(&self, mut right: Vec<f64>) -> Vec<f64> {
        let l = &self.0;
        for i in 0..right.len() {
            right[i] = (right[i] - sum((0..i).map(|k| l[i][k] * right[k]))) / l[i][i];
        }
        for i in (0..right.len()).rev() {
            right[i] = (right[i] - sum((i + 1..right.len()).map(|k| l[k][i] * right[k]))) / l[i][i];
        }
        right
    }
}
