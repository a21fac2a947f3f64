//! The first phase's part of a two-phase variance.
//!
//! A one-phase variance is a quadratic form `z' A z` of the first-phase values. With `z = y^ + e`, `y^` known of every item and `e`
//! of the read ones, its terms are estimated without bias by dividing those in `e` by `f_g`, and those in two `e` by the chance that both
//! are read: `f_g` for an item with itself, `f_g f_h` for items of two classes, `f_g (m_g - 1) / (n_g - 1)` for two of one class.
//! With `u = e / f` of read items and 0 of others, `u(g)` its part in class g, and `c_g = m_g (n_g - 1) / (n_g (m_g - 1))`,
//!
//! ```text
//! V1 = (y^ + u)' A (y^ + u) + sum_g ( (c_g - 1) (u(g)' A u(g) - q_g) + (f_g - 1) q_g ),   q_g = sum_(k in g) A_kk u_k^2
//! ```
//!
//! so that no sum over pairs of items is ever made.

use super::SecondPhase;
use crate::design::DesignStratum;
use crate::linear::{BoxTotal, Lonely, Variance, VarianceError, box_totals, variance};
use crate::systematic::Rule;

/// `V1` of a variable: what is foretold of every row, and what that leaves of the read ones (of others it is not looked at).
pub(super) fn variance_of(
    second: &SecondPhase<'_>,
    fitted: &[f64],
    left: &[f64],
    lonely: Lonely,
) -> Result<f64, VarianceError> {
    let part = second.design.whole();
    let form = |z: &dyn Fn(usize) -> f64| {
        let totals = box_totals(&part, |_| false, |_, row| row.map_or(0.0, z));
        variance(&part, &totals, lonely).map(Variance::total)
    };
    let raised = |row: usize| {
        if second.read[row] {
            second.raise(row) * left[row]
        } else {
            0.0
        }
    };
    let mut made = form(&|row| fitted[row] + raised(row))?;
    if second.classes.iter().all(|class| class.census()) {
        return Ok(made);
    }
    let own = diagonal(second, lonely)?;
    let mut of_class = vec![0.0; second.classes.len()];
    for (b, sampled) in second.design.boxes().iter().enumerate() {
        for row in sampled.rows.clone().filter(|row| second.read[*row]) {
            let u = raised(row);
            of_class[second.class[row]] += own[b] * u * u;
        }
    }
    let of_pairs = |g: usize| form(&|row| if second.class[row] == g { raised(row) } else { 0.0 });
    for (g, (class, own)) in second.classes.iter().zip(&of_class).enumerate() {
        if class.census() {
            continue;
        }
        let more = class.read * (class.items - 1.0) / (class.items * (class.read - 1.0)) - 1.0;
        made += more * (of_pairs(g)? - own) + (class.fraction() - 1.0) * own;
    }
    Ok(made)
}

/// `A_kk` of the rows of each box: the one-phase variance of a variable that is 1 for one row and 0 for all others.
fn diagonal(second: &SecondPhase<'_>, lonely: Lonely) -> Result<Vec<f64>, VarianceError> {
    let design = second.design;
    let part = design.whole();
    let boxes = design.boxes();
    let single = boxes.iter().any(|b| b.rows.len() == 1 && b.items > 1.0);
    let plain = |s: &DesignStratum| !s.lonely() && s.rule() == Rule::AsRandom;
    if !single && design.strata().iter().all(plain) {
        return Ok(boxes
            .iter()
            .map(|b| {
                let stratum = &design.strata()[b.stratum];
                let (w, items, rows) = (stratum.weight(), b.items, b.rows.len().max(1) as f64);
                let total = items / rows;
                let between = w * w * (1.0 - stratum.fraction()) * total * total;
                between.max(0.0) + w * items * (items - rows).max(0.0) / (rows * rows)
            })
            .collect());
    }
    // Where a rule lends a variance from elsewhere, or looks at neighbours, each box is tried.
    let mut totals: Vec<BoxTotal> = box_totals(&part, |_| false, |_, _| 0.0);
    let mut made = Vec::with_capacity(boxes.len());
    for (b, sampled) in boxes.iter().enumerate() {
        let before = totals[b];
        if before.rows > 0 {
            let rows = before.rows as f64;
            totals[b] = BoxTotal {
                total: sampled.items / rows,
                mean: 1.0 / rows,
                squares: 1.0 - 1.0 / rows,
                rows: before.rows,
            };
            made.push(variance(&part, &totals, lonely)?.total());
            totals[b] = before;
        } else {
            made.push(0.0);
        }
    }
    Ok(made)
}
