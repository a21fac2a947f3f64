//! The second phase's part of a two-phase variance, and the degrees of freedom of both.

use super::SecondPhase;
use crate::math::{Total, sum};

/// `sum_g n_g^2 (1 - f_g) s_g^2(w z) / m_g`.
pub(super) fn second_variance(second: &SecondPhase<'_>, z: &[f64]) -> f64 {
    let mut means = vec![Total::default(); second.classes.len()];
    for row in second.read_rows() {
        means[second.class[row]].add(second.weight[row] * z[row]);
    }
    let mut squares = vec![Total::default(); second.classes.len()];
    for row in second.read_rows() {
        let class = second.class[row];
        let off = second.weight[row] * z[row] - means[class].value() / second.classes[class].read;
        squares[class].add(off * off);
    }
    let parts = second
        .classes
        .iter()
        .zip(&squares)
        .filter(|(class, _)| !class.census());
    sum(parts.map(|(class, squares)| {
        let spread = squares.value() / (class.read - 1.0);
        class.items * class.items * (1.0 - class.fraction()) * spread / class.read
    }))
}

pub(super) fn degrees_of_freedom(second: &SecondPhase<'_>, first: f64, last: f64, slopes: usize) -> f64 {
    let part = second.design.whole();
    if second.classes.iter().all(|class| class.census()) {
        return part.degrees_of_freedom();
    }
    // A box that holds nothing is known as well as one that was read.
    let known = |h: usize| {
        let own = second.design.strata()[h].boxes.clone();
        own.filter(|b| {
            let sampled = &second.design.boxes()[*b];
            sampled.reached() && (sampled.rows.is_empty() || sampled.rows.clone().any(|row| second.read[row]))
        })
        .count()
    };
    let boxes: usize = (0..second.design.strata().len())
        .map(|h| known(h).saturating_sub(1))
        .sum();
    let open = second.classes.iter().filter(|class| !class.census());
    let items = sum(open.map(|class| class.read - 1.0)) - slopes as f64;
    let share = |v: f64, df: f64| if v > 0.0 { v * v / df.max(0.0) } else { 0.0 };
    let below = share(first, boxes as f64) + share(last, items);
    if below > 0.0 {
        (first + last) * (first + last) / below
    } else {
        boxes as f64
    }
}
