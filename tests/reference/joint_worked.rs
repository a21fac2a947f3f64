//! The default limits: six worked examples, computed apart in Python with `scipy`, and what is known of plain cases.

use crate::agreement::close;
use crate::blended_worked::sample;
use sampling::estimate::{Options, share};
use sampling::interval::{Limits, binomial, hypergeometric};

fn default_of(boxes: &[(&str, u64, u64, usize, usize)]) -> (Limits, f64) {
    let (design, column) = sample(boxes);
    let made = share(&design.whole(), &column, &Options::default()).unwrap();
    (made.limits.unwrap(), made.effective_items)
}

fn example(boxes: &[(&str, u64, u64, usize, usize)], low: f64, high: f64, effective: f64) {
    let (limits, items) = default_of(boxes);
    // The examples are printed with twelve decimals.
    close(limits.low, low, 1e-9, 6e-13, "lower");
    close(limits.high, high, 1e-9, 6e-13, "upper");
    close(items, effective, 1e-9, 6e-13, "effective items");
}

#[cfg_attr(test, test)]
pub(crate) fn worked_examples() {
    let whole = |frame, boxes: &[(usize, usize)]| -> Vec<_> {
        boxes.iter().map(|&(m, y)| ("", frame, m as u64, m, y)).collect()
    };
    // Two boxes with it.
    let two = whole(400, &[(12, 0), (7, 2), (15, 0), (9, 0), (20, 5)]);
    example(&two, 0.022247686559, 0.328743263603, 17.502302486965);
    // None seen, all seen.
    let none = whole(400, &[10, 8, 12, 9, 11, 10, 7, 13, 10, 10].map(|m| (m, 0)));
    example(&none, 0.000000000000, 0.071316013987, 41.487924137135);
    let all = whole(50, &[6, 4, 9, 5, 8].map(|m| (m, m)));
    example(&all, 0.833373913383, 1.000000000000, 18.064137761825);
    // Boxes read in part.
    let in_part = [
        (20, 8, 1),
        (35, 8, 0),
        (12, 8, 3),
        (8, 8, 2),
        (5, 5, 0),
        (40, 8, 0),
        (16, 8, 8),
        (25, 8, 1),
    ]
    .map(|(items, read, yes)| ("", 120, items, read, yes));
    example(&in_part, 0.042447061535, 0.453765879273, 12.201278420378);
    // Two strata.
    let first = [(10, 4), (12, 7), (6, 1)].map(|(m, y)| ("a", 40, m as u64, m, y));
    let second = [(9, 0), (14, 1), (20, 0), (8, 0), (11, 2)].map(|(m, y)| ("b", 160, m as u64, m, y));
    example(
        &[&first[..], &second].concat(),
        0.027137238228,
        0.307765771139,
        20.308727312184,
    );
    // Boxes of one item.
    let single: Vec<_> = (0..20).map(|i| ("", 60, 1, 1, usize::from(i < 3))).collect();
    example(&single, 0.055155271167, 0.321103720346, 28.779726381753);
}

/// None of `n` single items: the rule of three, held against the exact limit of a finite frame.
#[cfg_attr(test, test)]
pub(crate) fn nothing_seen_among_single_items() {
    for (seen, frame) in [(30, 1_000_000), (40, 80), (60, 80), (200, 400)] {
        let boxes: Vec<_> = (0..seen).map(|_| ("", frame, 1, 1, 0)).collect();
        let (limits, _) = default_of(&boxes);
        let exact = hypergeometric::upper_limit(0, seen, frame, 0.95).unwrap() as f64 / frame as f64;
        // The exact limit is a whole number of items; the other may fall between two.
        let item = 1.0 / frame as f64;
        assert!(
            limits.high > exact - item && limits.high < 1.35 * exact + item,
            "{seen} of {frame}: {} {exact}",
            limits.high
        );
    }
    // Of a large frame it is that of the binomial.
    let boxes: Vec<_> = (0..30).map(|_| ("", 1_000_000_000, 1, 1, 0)).collect();
    close(
        default_of(&boxes).0.high,
        1.0 - 0.05f64.powf(1.0 / 30.0),
        1e-6,
        0.0,
        "rule of three",
    );
}

/// Boxes that look all or nothing: the exact limits for boxes are held, and one mixed box takes them away.
#[cfg_attr(test, test)]
pub(crate) fn whole_boxes_are_recognised() {
    let boxes = |mixed: usize| -> Vec<_> {
        (0..20)
            .map(|i| {
                (
                    "",
                    400,
                    12,
                    12,
                    if i < 4 { 12 - usize::from(i < mixed) * 6 } else { 0 },
                )
            })
            .collect()
    };
    let (held, _) = default_of(&boxes(0));
    let exact = hypergeometric::limits(4, 20, 400, 0.95).unwrap();
    assert!(held.low <= exact.least as f64 / 400.0 + 1e-12 && held.high >= exact.most as f64 / 400.0 - 1e-12);
    let (free, _) = default_of(&boxes(4));
    assert!(
        free.high - free.low < 0.9 * (held.high - held.low),
        "{free:?} {held:?}"
    );
}

/// With many telling boxes the limits are those of Jeffreys on the design's effective size.
#[cfg_attr(test, test)]
pub(crate) fn many_boxes_leave_it_to_the_design() {
    let boxes: Vec<_> = (0..400)
        .map(|i| {
            (
                "",
                100_000,
                12,
                12,
                [3, 5, 4, 6, 2][i % 5] + usize::from(i % 3 == 0),
            )
        })
        .collect();
    let (limits, items) = default_of(&boxes);
    let (design, column) = sample(&boxes);
    let made = share(&design.whole(), &column, &Options::default()).unwrap();
    let jeffreys = binomial::jeffreys(made.estimate * items, items, 0.95);
    close(limits.low, jeffreys.low, 0.01, 0.0, "lower");
    close(limits.high, jeffreys.high, 0.01, 0.0, "upper");
}
