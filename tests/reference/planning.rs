//! Sample sizes and allocations: Cochran 1977, Scheaffer, Mendenhall and Ott, and cases computed in Python.

use crate::agreement::close;
use sampling::plan::allocation::{Rule, Stratum, allocate, shares, variance_of_mean};
use sampling::plan::size::{design_effect, items_for_share};

/// Cochran 1977, section 4.4, and the same formula at other levels; the last column is not rounded.
#[cfg_attr(test, test)]
pub(crate) fn sample_sizes() {
    let (z95, z90, z99) = (1.95996398454005, 1.64485362695147, 2.5758293035489);
    let table = [
        (2.0, 0.5, 0.05, Some(3200.0), 1.0, 355.654348430119),
        (2.0, 0.4, 0.05, Some(3200.0), 1.0, 342.952832821658),
        (1.96, 0.5, 0.05, Some(2000.0), 1.0, 322.395474915658),
        (z95, 0.5, 0.05, None, 1.0, 384.145882069412),
        (z95, 0.5, 0.05, Some(2000.0), 1.0, 322.385536663696),
        (z95, 0.5, 0.05, Some(300.0), 1.0, 168.695688059661),
        (z95, 0.05, 0.02, Some(10000.0), 1.0, 436.313416053393),
        (z95, 0.3, 0.05, Some(10000.0), 2.8, 828.718361419573),
        (z95, 0.002, 0.002, Some(40000.0), 1.9, 3338.21849936529),
        (z90, 0.5, 0.1, Some(500.0), 1.5, 84.4837606329964),
        (z99, 0.5, 0.03, Some(5000.0), 1.0, 1346.8427400501),
    ];
    for (z, p, d, population, deff, n) in table {
        close(
            items_for_share(p, d, z, deff, population),
            n,
            1e-12,
            0.0,
            "sample size",
        );
    }
    close(design_effect(19.0, 0.1), 2.8, 1e-15, 0.0, "design effect");
}

/// For a share of one half to within 5 points: 385 of very many, 218 of 500, 132 of 200.
#[cfg_attr(test, test)]
pub(crate) fn items_of_a_small_collection() {
    for (population, n) in [(None, 384.15), (Some(500.0), 217.49), (Some(200.0), 131.75)] {
        close(
            items_for_share(0.5, 0.05, 1.959963984540054, 1.0, population),
            n,
            0.0,
            0.01,
            "items",
        );
    }
}

fn strata(boxes: &[u64], spread: &[f64], cost: &[f64]) -> Vec<Stratum> {
    let made = boxes.iter().zip(spread).zip(cost);
    made.map(|((boxes, spread), cost)| Stratum {
        boxes: *boxes,
        spread: *spread,
        cost: *cost,
    })
    .collect()
}

/// Scheaffer, Mendenhall and Ott, chapter 5: viewing hours in two towns and a rural area (from memory, values recomputed).
#[cfg_attr(test, test)]
pub(crate) fn viewing_hours() {
    let three = strata(&[155, 62, 93], &[5.0, 15.0, 10.0], &[9.0, 9.0, 16.0]);
    for (rule, wanted) in [
        (Rule::Proportional, [28.5, 11.4, 17.1]),
        (Rule::Neyman, [16.76470588235, 20.11764705882, 20.11764705882]),
        (Rule::Cost, [18.38709677419, 22.06451612903, 16.54838709677]),
    ] {
        for (ours, wanted) in shares(&three, 57.0, rule).into_iter().zip(wanted) {
            close(ours, wanted, 1e-12, 0.0, "share");
        }
    }
    assert_eq!(allocate(&three, 57, Rule::Proportional, 2), [29, 11, 17]);
    assert_eq!(allocate(&three, 57, Rule::Neyman, 2), [17, 20, 20]);
    assert_eq!(allocate(&three, 57, Rule::Cost, 2), [18, 22, 17]);
    let variance = |rule| variance_of_mean(&three, &shares(&three, 57.0, rule));
    close(
        variance(Rule::Proportional),
        1.25282965478212,
        1e-12,
        0.0,
        "proportional",
    );
    close(variance(Rule::Neyman), 0.985285795132994, 1e-12, 0.0, "Neyman");
}

#[cfg_attr(test, test)]
pub(crate) fn minimum_and_cap() {
    let six = strata(
        &[4000, 900, 250, 60, 12, 3],
        &[0.3, 0.45, 0.5, 0.2, 0.5, 0.4],
        &[1.0, 1.0, 2.0, 2.0, 1.0, 4.0],
    );
    assert_eq!(allocate(&six, 90, Rule::Proportional, 0), [69, 16, 4, 1, 0, 0]);
    assert_eq!(allocate(&six, 90, Rule::Neyman, 0), [62, 21, 6, 1, 0, 0]);
    assert_eq!(allocate(&six, 90, Rule::Cost, 0), [63, 21, 5, 1, 0, 0]);
    let with_minimum = allocate(&six, 90, Rule::Neyman, 2);
    assert_eq!(with_minimum.iter().sum::<u64>(), 90);
    assert_eq!(with_minimum[3..], [2, 2, 2]);
    // The minimum comes before the number asked for, and nothing exceeds the frame.
    assert_eq!(allocate(&six, 5, Rule::Neyman, 2), [2; 6]);
    assert_eq!(
        allocate(&six, 1_000_000, Rule::Neyman, 2),
        [4000, 900, 250, 60, 12, 3]
    );
    // A stratum that its share would overfill is taken whole, the rest goes on.
    assert_eq!(
        allocate(&strata(&[1000, 50], &[0.1, 2.0], &[1.0; 2]), 200, Rule::Neyman, 2),
        [150, 50]
    );
    // Nothing known of the spread: in proportion to the boxes.
    assert_eq!(
        allocate(&strata(&[30, 10], &[0.0, 0.0], &[1.0; 2]), 8, Rule::Neyman, 0),
        [6, 2]
    );
}
