//! What must hold of every sample, tried on many made up at random.

use crate::agreement::close;
use proptest::prelude::*;
use sampling::column::Column;
use sampling::design::{BoxSample, Design, Status, StratumSample};
use sampling::estimate::{self, Options};
use sampling::interval::{Kind, hypergeometric};
use sampling::linear::Lonely;
use sampling::plan::allocation::{Rule, Stratum, allocate};

/// One box: its items, how many were drawn, and the answers of those (condition; quantity).
type Answers = (u64, Vec<(Option<bool>, Option<f64>)>);

/// One stratum: boxes beyond those sampled, and the sampled ones.
type Strata = Vec<(u64, Vec<Answers>)>;

fn a_box() -> impl Strategy<Value = Answers> {
    let item = (
        proptest::option::weighted(0.9, any::<bool>()),
        proptest::option::weighted(0.9, 0.0..200.0f64),
    );
    (0..6u64, proptest::collection::vec(item, 0..9)).prop_map(|(unread, rows)| {
        let unread = if rows.is_empty() { 0 } else { unread };
        (rows.len() as u64 + unread, rows)
    })
}

fn strata() -> impl Strategy<Value = Strata> {
    proptest::collection::vec((0..40u64, proptest::collection::vec(a_box(), 2..7)), 1..4)
}

struct Sample {
    design: Design,
    yes: Column,
    hours: Column,
}

fn sample(strata: &Strata) -> Sample {
    let boxes = |answers: &[Answers]| {
        let numbered = answers.iter().enumerate().map(|(i, (items, rows))| BoxSample {
            id: format!("{i}"),
            items: Some(*items),
            rows: rows.len(),
            ..BoxSample::default()
        });
        numbered.collect::<Vec<_>>()
    };
    let made = strata
        .iter()
        .enumerate()
        .map(|(h, (more, answers))| StratumSample {
            key: format!("{h}"),
            frame_boxes: more + answers.len() as u64,
            sample: boxes(answers),
            ..StratumSample::default()
        });
    let design = Design::new(made.collect()).unwrap();
    let rows = || {
        strata
            .iter()
            .flat_map(|(_, boxes)| boxes)
            .flat_map(|(_, rows)| rows)
    };
    let yes = rows()
        .map(|(yes, _)| yes.map(|yes| f64::from(u8::from(yes))))
        .collect();
    let hours = rows().map(|(_, hours)| *hours).collect();
    Sample {
        yes: Column::of_rows(&design, yes).unwrap(),
        hours: Column::of_rows(&design, hours).unwrap(),
        design,
    }
}

/// The design of a sample whose first box was stopped after its count, with the rows that it has.
fn with_a_stop(given: &Strata) -> Design {
    let strata = given.iter().enumerate().map(|(h, (more, boxes))| {
        let of = |(i, (items, rows)): (usize, &Answers)| BoxSample {
            id: format!("{i}"),
            status: if h == 0 && i == 0 {
                Status::Stopped
            } else {
                Status::Checked
            },
            items: Some(*items),
            rows: rows.len(),
            ..BoxSample::default()
        };
        StratumSample {
            key: format!("{h}"),
            frame_boxes: more + boxes.len() as u64,
            sample: boxes.iter().enumerate().map(of).collect(),
            ..StratumSample::default()
        }
    });
    Design::new(strata.collect()).unwrap()
}

fn every_interval() -> [Options; 5] {
    Kind::NAMES.map(|(_, interval)| Options {
        interval,
        ..Options::default()
    })
}

/// Whether no box is mixed, and two or more of several items have the condition, and two or more lack it.
fn shown_whole(given: &Strata) -> bool {
    let boxes = given.iter().flat_map(|(_, boxes)| boxes);
    let known: Vec<Vec<bool>> = boxes
        .map(|(_, rows)| rows.iter().filter_map(|(yes, _)| *yes).collect())
        .collect();
    let wholly = |answer: bool| {
        known
            .iter()
            .filter(move |own| own.len() > 1 && own.iter().all(|yes| *yes == answer))
    };
    let mixed = known
        .iter()
        .any(|own| own.contains(&true) && own.contains(&false));
    !mixed && wholly(true).count() >= 2 && wholly(false).count() >= 2
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn limits_hold_the_estimate_and_lie_where_they_can(given in strata(), level in 0.5..0.999f64) {
        let sample = sample(&given);
        let part = sample.design.whole();
        for options in every_interval().map(|o| Options { level, ..o }) {
            let Ok(share) = estimate::share(&part, &sample.yes, &options) else { continue };
            prop_assert!((0.0..=1.0).contains(&share.estimate));
            if let Some(limits) = share.limits {
                prop_assert!(0.0 <= limits.low && limits.low <= share.estimate, "{share:?}");
                prop_assert!(share.estimate <= limits.high && limits.high <= 1.0, "{share:?}");
            }
            let count = estimate::count(&part, &sample.yes, &options).unwrap();
            let items = estimate::items(&part, &options).unwrap();
            if let Some(limits) = count.limits {
                let seen = given.iter().flat_map(|(_, boxes)| boxes).flat_map(|(_, rows)| rows).filter(|(y, _)| *y == Some(true));
                prop_assert!(limits.low <= count.estimate && count.estimate <= limits.high, "{count:?}");
                prop_assert!(limits.low >= (seen.count() as f64).min(count.estimate) - 1e-9, "{count:?}");
                prop_assert!(limits.high <= items.limits.unwrap().high.max(count.estimate) + 1e-9, "{count:?} {items:?}");
            }
            let bounds = estimate::bounds(&part, &sample.yes, &options).unwrap();
            prop_assert!(bounds.low <= share.estimate + 1e-12 && share.estimate <= bounds.high + 1e-12, "{bounds:?} {share:?}");
            close(bounds.high - bounds.low, bounds.unknown_share, 1e-9, 1e-9, "bounds are as far apart as much is unknown");
        }
    }

    #[test]
    fn a_census_has_no_error(given in strata()) {
        let census: Strata = given.into_iter().map(|(_, boxes)| {
            (0, boxes.into_iter().map(|(_, rows)| (rows.len() as u64, rows)).collect())
        }).collect();
        let sample = sample(&census);
        let part = sample.design.whole();
        for options in every_interval() {
            let items = estimate::items(&part, &options).unwrap();
            prop_assert_eq!(items.se.to_bits(), 0.0f64.to_bits());
            if let Ok(share) = estimate::share(&part, &sample.yes, &options) {
                prop_assert_eq!(share.se.to_bits(), 0.0f64.to_bits());
                let limits = share.limits.unwrap();
                prop_assert!(limits.low == share.estimate && limits.high == share.estimate);
            }
        }
    }

    #[test]
    fn strata_add_up(given in strata()) {
        // Unknown answers of a stratum of which one box tells are taken as the others', so that it need not add up: see below.
        let known: Strata = given.into_iter().map(|(more, boxes)| {
            let fill = |rows: Vec<(Option<bool>, Option<f64>)>| {
                rows.into_iter().map(|(y, h)| (y.or(Some(false)), h.or(Some(1.0)))).collect()
            };
            (more, boxes.into_iter().map(|(items, rows)| (items, fill(rows))).collect())
        }).collect();
        let sample = sample(&known);
        let options = Options::default();
        let items = estimate::items(&sample.design.whole(), &options).unwrap();
        let hours = estimate::total(&sample.design.whole(), &sample.hours, &options);
        let parts = || (0..known.len()).map(|h| sample.design.only(h));
        let sum = |f: &dyn Fn(estimate::Estimate) -> f64| parts().map(|p| f(estimate::items(&p, &options).unwrap())).sum::<f64>();
        close(sum(&|e| e.estimate), items.estimate, 1e-12, 1e-12, "items");
        close(sum(&|e| e.se * e.se), items.se * items.se, 1e-12, 1e-12, "their variance");
        if let Ok(hours) = hours {
            let of = |p| estimate::total(&p, &sample.hours, &options).map_or(0.0, |e| e.estimate);
            close(parts().map(of).sum::<f64>(), hours.estimate, 1e-12, 1e-9, "hours");
        }
    }

    #[test]
    fn strata_that_stand_for_themselves_add_up(given in strata()) {
        let stands = |boxes: &Vec<Answers>| {
            let telling = boxes.iter().filter(|(_, rows)| rows.iter().any(|(yes, _)| yes.is_some())).count();
            let known = boxes.iter().flat_map(|(_, rows)| rows).all(|(yes, _)| yes.is_some());
            telling >= 2 || known
        };
        prop_assume!(given.iter().all(|(_, boxes)| stands(boxes)));
        let sample = sample(&given);
        let options = Options { lonely: Lonely::Certainty, ..Options::default() };
        let Ok(whole) = estimate::count(&sample.design.whole(), &sample.yes, &options) else { return Ok(()) };
        let parts = (0..given.len()).filter_map(|h| estimate::count(&sample.design.only(h), &sample.yes, &options).ok());
        let (mut all, mut variance) = (0.0, 0.0);
        for part in parts {
            all += part.estimate;
            variance += part.se * part.se;
        }
        close(all, whole.estimate, 1e-12, 1e-12, "count");
        close(variance, whole.se * whole.se, 1e-9, 1e-12, "its variance");
    }

    #[test]
    fn scaling_a_quantity_scales_its_figures(given in strata(), by in 0.01..1000.0f64) {
        let sample = sample(&given);
        let part = sample.design.whole();
        let scaled = sample.hours.combined(&sample.design, &sample.hours, |h, _| h.map(|h| h * by));
        let options = Options::default();
        let (Ok(plain), Ok(large)) = (estimate::total(&part, &sample.hours, &options), estimate::total(&part, &scaled, &options))
        else { return Ok(()) };
        close(large.estimate, by * plain.estimate, 1e-9, 1e-9, "total");
        close(large.se, by * plain.se, 1e-9, 1e-9 * by, "its error");
        let (plain, large) =
            (estimate::mean(&part, &sample.hours, &options).unwrap(), estimate::mean(&part, &scaled, &options).unwrap());
        close(large.estimate, by * plain.estimate, 1e-9, 1e-9, "mean");
        close(large.se, by * plain.se, 1e-9, 1e-9 * by, "its error");
    }

    #[test]
    fn the_order_of_boxes_is_nothing(given in strata()) {
        let turned: Strata = given.iter().map(|(more, boxes)| (*more, boxes.iter().rev().cloned().collect())).collect();
        let (one, two) = (sample(&given), sample(&turned));
        let options = Options::default();
        let (Ok(a), Ok(b)) = (
            estimate::share(&one.design.whole(), &one.yes, &options),
            estimate::share(&two.design.whole(), &two.yes, &options),
        ) else { return Ok(()) };
        close(a.estimate, b.estimate, 1e-13, 1e-15, "share");
        close(a.se, b.se, 1e-12, 1e-14, "its error");
        if let (Some(a), Some(b)) = (a.limits, b.limits) {
            close(a.low, b.low, 1e-10, 1e-12, "lower");
            close(a.high, b.high, 1e-10, 1e-12, "upper");
        }
    }

    #[test]
    fn twice_as_much_of_the_same_is_no_wider(given in strata()) {
        let twice: Strata = given.iter().map(|(more, boxes)| (2 * more, [&boxes[..], &boxes[..]].concat())).collect();
        let mut named = twice.clone();
        named.iter_mut().for_each(|(_, boxes)| boxes.sort_by_key(|(items, _)| *items));
        let (one, two) = (sample(&given), sample(&named));
        let options = Options::default();
        let (Ok(a), Ok(b)) = (
            estimate::share(&one.design.whole(), &one.yes, &options),
            estimate::share(&two.design.whole(), &two.yes, &options),
        ) else { return Ok(()) };
        let (Some(a), Some(b)) = (a.limits, b.limits) else { return Ok(()) };
        // The second box of a kind is what first shows boxes as all or nothing, and that is answered with wider limits.
        prop_assume!(shown_whole(&given) == shown_whole(&twice));
        prop_assert!(b.high - b.low <= a.high - a.low + 1e-9, "{a:?} {b:?}");
    }

    #[test]
    fn many_columns_are_each_of_them(given in strata(), stopped in any::<bool>(), fail in any::<bool>()) {
        let Sample { design, yes, hours } = sample(&given);
        let design = if stopped { with_a_stop(&given) } else { design };
        let rows = || given.iter().flat_map(|(_, boxes)| boxes).flat_map(|(_, rows)| rows);
        let answers = Column::of_answers(&design, rows().map(|(yes, _)| *yes).collect()).unwrap();
        let no = Column::of_answers(&design, rows().map(|(yes, _)| yes.map(|yes| !yes)).collect()).unwrap();
        let (yes, hours) = if stopped { (&answers, &no) } else { (&yes, &hours) };
        let columns = [yes, &answers, hours, &no, yes, &no];
        let lonely = if fail { Lonely::Fail } else { Lonely::Average };
        let options = Options { lonely, ..Options::default() };
        let many = estimate::Many::new(&design, &columns);
        for part in (0..design.strata().len()).map(|h| design.only(h)).chain([design.whole()]) {
            let together = many.means(&part, &options);
            prop_assert_eq!(together.len(), columns.len());
            for (made, column) in together.iter().zip(columns) {
                // Numbers in full, and one that is none is like itself.
                prop_assert_eq!(format!("{made:?}"), format!("{:?}", estimate::mean(&part, column, &options)));
            }
            let (a, b) = (&together[0], &together[1]);
            prop_assert_eq!(format!("{a:?}"), format!("{b:?}"), "yes and no are 1 and 0");
        }
    }

    #[test]
    fn a_condition_counts_as_its_number_does(given in strata()) {
        // Of 1 and 0 whole numbers are added up where every box was read whole; of 2 and 0 each answer is.
        let Sample { design, yes, .. } = sample(&given);
        let twice = yes.combined(&design, &yes, |value, _| value.map(|value| 2.0 * value));
        let options = Options::default();
        for part in (0..design.strata().len()).map(|h| design.only(h)).chain([design.whole()]) {
            let (Ok(one), Ok(two)) = (estimate::mean(&part, &yes, &options), estimate::mean(&part, &twice, &options)) else { continue };
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-11 * a.abs().max(b.abs()) + 1e-13;
            prop_assert!(near(2.0 * one.estimate, two.estimate), "{one:?} {two:?}");
            // Two roundings may differ where boxes do not.
            prop_assert!(near(2.0 * one.se, two.se) || one.se.max(two.se) < 1e-7, "{one:?} {two:?}");
            prop_assert!(one.deff.is_nan() == two.deff.is_nan() || one.se < 1e-7, "{one:?} {two:?}");
        }
    }

    #[test]
    fn a_stop_keeps_its_box_in_n(given in strata(), known in any::<bool>()) {
        // The first box of the first stratum was stopped before its count: no limit may be tighter for it in degrees of freedom.
        let sample_of = |status: Status| {
            let mut strata: Vec<StratumSample> = given.iter().enumerate().map(|(h, (more, boxes))| StratumSample {
                key: format!("{h}"),
                frame_boxes: more + boxes.len() as u64,
                sample: boxes.iter().enumerate().map(|(i, (items, rows))| BoxSample {
                    id: format!("{i}"), items: Some(*items), rows: rows.len(), ..BoxSample::default()
                }).collect(),
                ..StratumSample::default()
            }).collect();
            let first = &mut strata[0].sample[0];
            (first.status, first.items, first.rows) = (status, None, 0);
            Design::new(strata).unwrap()
        };
        let (stopped, missed) = (sample_of(Status::Stopped), sample_of(Status::NotReached));
        let df = |d: &Design| d.strata().iter().map(|s| s.reached).sum::<usize>();
        prop_assert_eq!(df(&stopped), df(&missed) + 1);
        // An uncounted box changes neither the number of items nor its error: it is as if only the counted were drawn.
        let options = Options { lonely: Lonely::Certainty, ..Options::default() };
        let (a, b) = (estimate::items(&stopped.whole(), &options).unwrap(), estimate::items(&missed.whole(), &options).unwrap());
        close(a.estimate, b.estimate, 1e-12, 1e-12, "items");
        if missed.strata().iter().all(|s| s.reached > 1 && !s.census()) && !stopped.strata()[0].census() {
            close(a.se, b.se, 1e-9, 1e-9, "their error");
        }
        let rows: Vec<Option<f64>> = vec![None; stopped.rows()];
        let mut whole = vec![None; stopped.boxes().len()];
        whole[0] = known.then_some(1.0);
        let column = Column::new(&stopped, rows, whole);
        if let Ok(column) = column {
            let bounds = estimate::bounds(&stopped.whole(), &column, &options);
            if let Ok(bounds) = bounds {
                prop_assert!(bounds.low <= bounds.high && (known || bounds.low == 0.0));
            }
        }
    }

    #[test]
    fn exact_limits_bracket_the_sample(population in 1..400u64, part in 0..=1000u64, hits in 0..=1000u64, level in 0.5..0.99f64) {
        let n = (population * part / 1000).clamp(1, population);
        let x = n * hits / 1000;
        let limits = hypergeometric::limits(x, n, population, level).unwrap();
        prop_assert!(x <= limits.least && limits.least <= limits.most && limits.most <= population - n + x);
        prop_assert!(limits.least * n <= x * population + n && x * population <= limits.most * n + n, "{limits:?}");
    }

    #[test]
    fn an_allocation_adds_up(
        boxes in proptest::collection::vec((1..500u64, 0.0..5.0f64, 0.1..9.0f64), 1..9), n in 0..900u64, minimum in 0..4u64,
    ) {
        let strata: Vec<Stratum> = boxes.iter().map(|(boxes, spread, cost)| Stratum { boxes: *boxes, spread: *spread, cost: *cost }).collect();
        let all: u64 = boxes.iter().map(|(b, ..)| b).sum();
        let least: u64 = boxes.iter().map(|(b, ..)| minimum.min(*b)).sum();
        for rule in [Rule::Proportional, Rule::Neyman, Rule::Cost] {
            let made = allocate(&strata, n, rule, minimum);
            prop_assert_eq!(made.iter().sum::<u64>(), n.clamp(least, all));
            for (m, s) in made.iter().zip(&strata) {
                prop_assert!(minimum.min(s.boxes) <= *m && *m <= s.boxes);
            }
        }
    }
}
