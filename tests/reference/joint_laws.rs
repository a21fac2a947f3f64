//! What must hold of the default limits, whatever the boxes.

use crate::agreement::close;
use proptest::prelude::*;
use sampling::interval::blended::{Blended, BoxAnswers};
use sampling::interval::{Limits, joint};

/// Boxes as `(known, yes in a thousand of known)`.
fn boxes() -> impl Strategy<Value = Vec<(u64, u64)>> {
    proptest::collection::vec(
        (
            1u64..60,
            prop_oneof![3 => Just(0), 1 => Just(1000), 4 => 0..1000u64],
        ),
        2..40,
    )
}

fn answers(given: &[(u64, u64)], frame: f64) -> Vec<BoxAnswers> {
    let n = given.len() as f64;
    let of = |&(known, part): &(u64, u64)| BoxAnswers {
        known,
        yes: known * part / 1000,
        weight: frame / n,
        box_fraction: n / frame,
        item_fraction: 1.0,
    };
    given.iter().map(of).collect()
}

/// The limits of whole boxes drawn from one stratum, with the linearised variance.
fn limits_of(boxes: &[BoxAnswers], level: f64) -> (f64, Blended) {
    let known: f64 = boxes.iter().map(|b| b.known as f64).sum();
    let p = boxes.iter().map(|b| b.yes as f64).sum::<f64>() / known;
    let n = boxes.len() as f64;
    let squares: f64 = boxes
        .iter()
        .map(|b| (b.yes as f64 - p * b.known as f64).powi(2))
        .sum();
    let variance = (1.0 - boxes[0].box_fraction) * n / (n - 1.0) * squares / (known * known);
    (p, joint::limits(p, variance, n - 1.0, boxes, level).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn limits_hold_the_share_and_lie_in_the_unit(given in boxes(), frame in 41.0..5000.0f64, level in 0.5..0.999f64) {
        let (p, made) = limits_of(&answers(&given, frame), level);
        let Limits { low, high } = made.limits;
        prop_assert!(0.0 <= low && low <= p && p <= high && high <= 1.0, "{p} {made:?}");
        prop_assert!(high > low, "{made:?}");
        prop_assert!(made.effective_items > 0.0 && (0.0..=1.0).contains(&made.correlation), "{made:?}");
    }

    #[test]
    fn yes_and_no_are_mirrored(given in boxes(), frame in 41.0..5000.0f64) {
        let boxes = answers(&given, frame);
        let opposite: Vec<_> = boxes.iter().map(|b| BoxAnswers { yes: b.known - b.yes, ..*b }).collect();
        let (one, other) = (limits_of(&boxes, 0.95).1, limits_of(&opposite, 0.95).1);
        close(one.limits.low, 1.0 - other.limits.high, 0.0, 1e-8, "lower and upper");
        close(one.limits.high, 1.0 - other.limits.low, 0.0, 1e-8, "upper and lower");
        close(one.effective_items, other.effective_items, 1e-7, 0.0, "effective items");
    }

    #[test]
    fn a_higher_level_is_wider(given in boxes(), frame in 41.0..5000.0f64) {
        let boxes = answers(&given, frame);
        let at = |level| limits_of(&boxes, level).1.limits;
        let (narrow, middle, wide) = (at(0.8), at(0.95), at(0.99));
        prop_assert!(wide.low <= middle.low && middle.low <= narrow.low + 1e-12, "{wide:?} {middle:?} {narrow:?}");
        prop_assert!(wide.high >= middle.high && middle.high >= narrow.high - 1e-12, "{wide:?} {middle:?} {narrow:?}");
    }

    #[test]
    fn three_times_the_same_boxes_are_narrower(given in boxes(), frame in 2000.0..9000.0f64) {
        // Boxes that are all or nothing are recognised from two on, and the exact limits for boxes are wider than what was said before.
        prop_assume!(given.iter().any(|&(known, part)| (1..known).contains(&(known * part / 1000))));
        let thrice: Vec<_> = given.iter().cycle().take(3 * given.len()).copied().collect();
        let width = |given: &[(u64, u64)]| {
            let limits = limits_of(&answers(given, frame), 0.95).1.limits;
            limits.high - limits.low
        };
        prop_assert!(width(&thrice) < width(&given), "{} {}", width(&thrice), width(&given));
    }
}
