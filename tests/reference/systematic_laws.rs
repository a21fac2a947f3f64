//! Laws of strata drawn systematically.

use crate::agreement::close;
use crate::systematic_designs::{shelf, total};
use proptest::prelude::*;
use sampling::design::Draw;
use sampling::estimate::Options;
use sampling::systematic::Rule;
use sampling::twophase::{Estimator, SecondPhase};

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn systematic_laws(totals in proptest::collection::vec(0.0..90.0f64, 2..15), more in 0..60u64, by in 0.1..50.0f64) {
        let frame = totals.len() as u64 + more;
        let scaled: Vec<f64> = totals.iter().map(|t| by * t).collect();
        let turned: Vec<f64> = totals.iter().rev().copied().collect();
        let random = total(frame, &totals, Draw::Random);
        for (_, rule) in Rule::NAMES {
            let made = total(frame, &totals, Draw::Systematic(rule));
            prop_assert_eq!(made.estimate.to_bits(), random.estimate.to_bits());
            prop_assert_eq!(made.df.to_bits(), random.df.to_bits());
            prop_assert!(made.se.is_finite() && (more > 0 || made.se == 0.0));
            let large = total(frame, &scaled, Draw::Systematic(rule));
            close(large.se, by * made.se, 1e-9, 1e-9 * by, "another unit");
            if rule != Rule::Pairs || totals.len() % 2 == 0 {
                close(total(frame, &turned, Draw::Systematic(rule)).se, made.se, 1e-9, 1e-9, "from the other end");
            }
            // Two boxes have one difference, whatever the rule.
            if totals.len() == 2 {
                close(made.se, random.se, 1e-9, 1e-9, "two boxes");
            }
            // A second phase of all is the first.
            let (design, column) = shelf(frame, &totals, Draw::Systematic(rule));
            let second = SecondPhase::new(&design, &vec![true; totals.len()]).unwrap();
            let two = sampling::twophase::total(&second, &column, Estimator::Expansion, &Options::default()).unwrap();
            close(two.estimate.se, made.se, 1e-12, 1e-12, "all read");
        }
    }
}
