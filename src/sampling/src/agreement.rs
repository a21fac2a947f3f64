//! Two looks at the same items: how often they agree, and how much of that is more than chance.
//!
//! Agreement says how reproducible an answer is, not how true: see [`crate::misclassification`] for the latter, which needs a
//! reference reading.

use crate::design::Part;
use crate::linear::{Lonely, VarianceError, box_totals, expand, variance};
use crate::math::sum;

/// Coefficients of agreement with their standard errors.
///
/// ```
/// use sampling::agreement::of_counts;
/// // 40 yes and 40 no on which two looks agree, 20 on which they do not.
/// let made = of_counts(&[vec![40.0, 10.0], vec![10.0, 40.0]]).ok_or("no table")?;
/// assert!((made.observed - 0.8).abs() < 1e-12);
/// assert!((made.kappa.ok_or("one answer alone")? - 0.6).abs() < 1e-12); // (0.8 - 0.5) / (1 - 0.5)
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Share of items on which the two looks agree.
    pub observed: f64,
    /// Standard error of that.
    pub observed_se: f64,
    /// Cohen's kappa (1960); `None` where both looks give everything the same one answer, which leaves 0/0.
    pub kappa: Option<f64>,
    /// Standard error of kappa.
    pub kappa_se: Option<f64>,
    /// Gwet's AC1 (2008), which does not collapse where nearly all answers are the same.
    pub ac1: f64,
    /// Standard error of AC1.
    pub ac1_se: f64,
}

/// The cells of a square table as shares: `share[i][j]` of first look `i` and second look `j`.
struct Shares {
    cells: Vec<Vec<f64>>,
    first: Vec<f64>,
    second: Vec<f64>,
}

impl Shares {
    fn of(cells: Vec<Vec<f64>>) -> Self {
        let q = cells.len();
        let first = cells.iter().map(|row| sum(row.iter().copied())).collect();
        let second = (0..q).map(|j| sum(cells.iter().map(|row| row[j]))).collect();
        Self { cells, first, second }
    }

    fn observed(&self) -> f64 {
        sum((0..self.cells.len()).map(|i| self.cells[i][i]))
    }

    /// Agreement by chance of Cohen: both looks answering by their own shares.
    fn chance(&self) -> f64 {
        sum(self.first.iter().zip(&self.second).map(|(a, b)| a * b))
    }

    fn mean(&self, k: usize) -> f64 {
        0.5 * (self.first[k] + self.second[k])
    }

    /// Agreement by chance of Gwet: `sum pi (1 - pi) / (q - 1)`.
    fn gwet_chance(&self) -> f64 {
        let q = self.cells.len() as f64;
        sum((0..self.cells.len()).map(|k| self.mean(k) * (1.0 - self.mean(k)))) / (q - 1.0)
    }

    fn kappa(&self) -> Option<f64> {
        let chance = self.chance();
        (chance < 1.0).then(|| (self.observed() - chance) / (1.0 - chance))
    }

    fn ac1(&self) -> f64 {
        let chance = self.gwet_chance();
        (self.observed() - chance) / (1.0 - chance)
    }

    /// What an item of cell (i, j) adds to kappa, to first order.
    fn kappa_slope(&self, i: usize, j: usize, kappa: f64) -> f64 {
        let same = f64::from(u8::from(i == j));
        // d chance / d p_ij = second[i] + first[j], the share of what the other look gives to this one's answer.
        (same - (1.0 - kappa) * (self.second[i] + self.first[j])) / (1.0 - self.chance())
    }

    fn ac1_slope(&self, i: usize, j: usize, ac1: f64) -> f64 {
        let same = f64::from(u8::from(i == j));
        let q = self.cells.len() as f64;
        let chance_slope = (1.0 - self.mean(i) - self.mean(j)) / (q - 1.0);
        (same - (1.0 - ac1) * chance_slope) / (1.0 - self.gwet_chance())
    }
}

/// Agreement of a table of counts, its items independent of one another: `counts[i][j]` items that the first look gave
/// answer `i` and the second answer `j`, of at least two answers. `None` for an empty or crooked table.
///
/// Standard errors: kappa's of Fleiss, Cohen and Everitt (1969); AC1's of Gwet (2008) for two looks
/// and many items (over n, not n - 1).
///
/// ```
/// let made = sampling::agreement::of_counts(&[vec![20.0, 5.0], vec![10.0, 15.0]]).unwrap();
/// assert!((made.kappa.unwrap() - 0.4).abs() < 1e-12);
/// ```
#[must_use]
pub fn of_counts(counts: &[Vec<f64>]) -> Option<Agreement> {
    let q = counts.len();
    let n = sum(counts.iter().flatten().copied());
    if q < 2 || n <= 0.0 || counts.iter().any(|row| row.len() != q) {
        return None;
    }
    let shares = Shares::of(
        counts
            .iter()
            .map(|row| row.iter().map(|c| c / n).collect())
            .collect(),
    );
    let spread = |slope: &dyn Fn(usize, usize) -> f64| {
        let cells = || (0..q).flat_map(|i| (0..q).map(move |j| (i, j)));
        let mean = sum(cells().map(|(i, j)| shares.cells[i][j] * slope(i, j)));
        let squares = sum(cells().map(|(i, j)| {
            let off = slope(i, j) - mean;
            shares.cells[i][j] * off * off
        }));
        squares / n
    };
    let kappa = shares.kappa();
    let ac1 = shares.ac1();
    let observed = shares.observed();
    Some(Agreement {
        observed,
        observed_se: (observed * (1.0 - observed) / n).sqrt(),
        kappa,
        kappa_se: kappa.map(|k| spread(&|i, j| shares.kappa_slope(i, j, k)).max(0.0).sqrt()),
        ac1,
        ac1_se: spread(&|i, j| shares.ac1_slope(i, j, ac1)).max(0.0).sqrt(),
    })
}

/// Agreement of two looks at sampled items, its errors those of the boxes that the items came in.
///
/// `looks` has an entry for each row of the design: the two answers, below `answers`, or nothing for an item that was not
/// looked at twice. Those that were are a domain; all boxes stay in n.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::agreement::of_sample;
/// // The first two boxes were looked at twice; the looks differ on one item of four.
/// let mut looks = vec![None; 8];
/// looks[..4].copy_from_slice(&[Some((1, 1)), Some((0, 0)), Some((0, 1)), Some((0, 0))]);
/// let made = of_sample(&part, &looks, 2, options.lonely)?.ok_or("nothing looked at twice")?;
/// assert_eq!(made.observed, 0.75);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`VarianceError`]. `Ok(None)` where no item was looked at twice or there are fewer than two answers.
pub fn of_sample(
    part: &Part<'_>,
    looks: &[Option<(usize, usize)>],
    answers: usize,
    lonely: Lonely,
) -> Result<Option<Agreement>, VarianceError> {
    let in_cell = |row: Option<usize>| {
        row.and_then(|row| looks.get(row).copied().flatten())
            .filter(|(a, b)| *a < answers && *b < answers)
    };
    let totals =
        |z: &dyn Fn((usize, usize)) -> f64| box_totals(part, |_| false, |_, row| in_cell(row).map_or(0.0, z));
    let twice = expand(part, &totals(&|_| 1.0));
    if answers < 2 || twice <= 0.0 {
        return Ok(None);
    }
    let mut cells = vec![vec![0.0; answers]; answers];
    for (i, row) in cells.iter_mut().enumerate() {
        for (j, cell) in row.iter_mut().enumerate() {
            *cell = expand(part, &totals(&|at| f64::from(u8::from(at == (i, j))))) / twice;
        }
    }
    let shares = Shares::of(cells);
    let (observed, kappa, ac1) = (shares.observed(), shares.kappa(), shares.ac1());
    // A function of shares has the linearised variable (slope - mean slope) / items.
    let se = |slope: &dyn Fn(usize, usize) -> f64| -> Result<f64, VarianceError> {
        let mean = sum((0..answers)
            .flat_map(|i| (0..answers).map(move |j| (i, j)))
            .map(|(i, j)| shares.cells[i][j] * slope(i, j)));
        Ok(variance(part, &totals(&|(i, j)| (slope(i, j) - mean) / twice), lonely)?.se())
    };
    Ok(Some(Agreement {
        observed,
        observed_se: se(&|i, j| f64::from(u8::from(i == j)))?,
        kappa,
        kappa_se: kappa
            .map(|k| se(&|i, j| shares.kappa_slope(i, j, k)))
            .transpose()?,
        ac1,
        ac1_se: se(&|i, j| shares.ac1_slope(i, j, ac1))?,
    }))
}
