//! The simulation against what can be worked out without it.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use costing::{
    Assumptions, Cause, Class, Collection, Driver, Item, OwnLine, Playing, Range, SampledBox, Settings,
    Stratum, Value, simulate,
};

fn class(key: &str) -> Class {
    Class {
        key: key.to_owned(),
        clean: false,
        repair: false,
        specialist: false,
    }
}

fn reel(playing: Playing) -> Item {
    Item {
        class: 0,
        by_hand: true,
        playing: Some(playing),
    }
}

fn one_hour(group: usize) -> Playing {
    Playing {
        pass_hours: Range::exactly(1.0),
        slower: Range::exactly(1.0),
        passes: Range::exactly(1.0),
        tracks: Range::exactly(1.0),
        group,
    }
}

/// One box with these items, taken whole: nothing is left to the sample.
fn census(items: Vec<Item>, groups: usize) -> Collection {
    Collection {
        classes: vec![class("ordinary")],
        groups: (0..groups).map(|n| format!("group {n}")).collect(),
        strata: vec![Stratum {
            key: "S1".to_owned(),
            n_boxes: 1,
            sampled: vec![SampledBox {
                n_items: Some(items.len() as u64),
                judged: false,
                read: items,
            }],
        }],
        learned: None,
    }
}

fn value(low: f64, likely: f64, high: f64) -> Value {
    Value {
        range: Range::of(low, likely, high),
        source: "invented".to_owned(),
        date: String::new(),
    }
}

/// Times and parts that add nothing, so that only what a test sets is left.
fn nothing() -> Assumptions {
    let zero = costing::catalogue()
        .iter()
        .filter(|entry| entry.default.is_some() && entry.kind != costing::Kind::Factor)
        .map(|entry| (entry.key.to_owned(), value(0.0, 0.0, 0.0)));
    Assumptions {
        currency: "EUR".to_owned(),
        values: zero.collect(),
        ..Assumptions::default()
    }
}

/// Mean and standard deviation of draws.
fn moments(draws: &[f64]) -> (f64, f64) {
    let n = draws.len() as f64;
    let mean = draws.iter().sum::<f64>() / n;
    (
        mean,
        (draws.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (n - 1.0)).sqrt(),
    )
}

/// Within four standard errors of simulation, of the mean and of the standard deviation.
#[track_caller]
fn agrees(draws: &[f64], mean: f64, sd: f64) {
    let n = draws.len() as f64;
    let (m, s) = moments(draws);
    assert!(
        (m - mean).abs() <= 4.0 * sd / n.sqrt(),
        "mean {m}, should be {mean} (sd {sd})"
    );
    // The standard error of a standard deviation, for the light tails of these sums.
    assert!(
        (s - sd).abs() <= 4.0 * sd / (2.0 * n).sqrt(),
        "sd {s}, should be {sd}"
    );
}

#[test]
fn independent_lengths_add_up_in_their_variances() {
    let lengths = Range::of(0.5, 1.0, 1.6);
    let items = (0..40)
        .map(|_| {
            reel(Playing {
                pass_hours: lengths,
                ..one_hour(0)
            })
        })
        .collect();
    let outlook = simulate(&census(items, 1), &nothing(), &Settings::default()).unwrap();
    agrees(
        outlook.draws("content_hours"),
        40.0 * lengths.mean(),
        (40.0 * lengths.variance()).sqrt(),
    );
}

/// 150 reels of 64.2 minutes a pass whose tracks nobody knows: as 150 unknowns they seem to hold 337 to 385 hours, as one
/// unknown 161 to 642 hours, at 90%. Worked out: a pass count of 1, 2, 2 or 4 has mean 2.25 and variance 1.1875.
#[test]
fn a_shared_unknown_does_not_cancel() {
    let hours = |groups: usize| {
        let items = (0..150)
            .map(|n| {
                reel(Playing {
                    pass_hours: Range::exactly(1.07),
                    passes: Range::of(1.0, 2.0, 4.0),
                    ..one_hour(n % groups)
                })
            })
            .collect();
        let collection = census(items, groups);
        simulate(&collection, &nothing(), &Settings::default())
            .unwrap()
            .range("content_hours")
            .unwrap()
    };
    let (apart, together) = (hours(150), hours(1));
    assert!(
        (apart.low - 337.0).abs() < 3.0 && (apart.high - 385.0).abs() < 3.0,
        "{apart:?}"
    );
    assert!(
        (together.low - 160.5).abs() < 1e-9 && (together.high - 642.0).abs() < 1e-9,
        "{together:?}"
    );
    assert!((apart.mean - 150.0 * 1.07 * 2.25).abs() < 2.0 && (together.mean - apart.mean).abs() < 6.0);
}

/// Without unknowns the spread is that of the two-stage design: `N² (1 - f) s²/n + (N/n) sum M² (1 - f2) s2²/m`, widened to
/// the t distribution (Cochran 1977, 11.24, from memory).
#[test]
fn the_samples_part_is_the_designs_standard_error() {
    // Hours of the items read, and items in the box.
    let boxes: [(&[f64], u64); 5] = [
        (&[1.0, 2.0, 0.5], 12),
        (&[0.5, 0.5], 8),
        (&[3.0, 1.0, 2.0, 2.0], 4),
        (&[1.0, 0.2], 20),
        (&[2.0, 2.5, 1.5], 9),
    ];
    let n_boxes = 20.0;
    let item = |hours: &f64| {
        reel(Playing {
            pass_hours: Range::exactly(*hours),
            ..one_hour(0)
        })
    };
    let sampled = boxes
        .iter()
        .map(|(hours, n_items)| SampledBox {
            n_items: Some(*n_items),
            judged: false,
            read: hours.iter().map(item).collect(),
        })
        .collect();
    let collection = Collection {
        strata: vec![Stratum {
            key: "S1".to_owned(),
            n_boxes: 20,
            sampled,
        }],
        ..census(vec![], 1)
    };
    let n = boxes.len() as f64;
    let f = n / n_boxes;
    let mean = |xs: &[f64]| xs.iter().sum::<f64>() / xs.len() as f64;
    let s2 = |xs: &[f64]| {
        let m = mean(xs);
        xs.iter().map(|x| (x - m) * (x - m)).sum::<f64>() / (xs.len() as f64 - 1.0)
    };
    let totals: Vec<f64> = boxes.iter().map(|(h, m)| mean(h) * *m as f64).collect();
    let total = n_boxes * mean(&totals);
    let between = n_boxes * n_boxes * (1.0 - f) * s2(&totals) / n;
    let within: f64 = boxes
        .iter()
        .map(|(h, all)| {
            let (m, all) = (h.len() as f64, *all as f64);
            n_boxes / n * all * all * (1.0 - m / all) * s2(h) / m
        })
        .sum();
    // t with four degrees of freedom and z at 90%: 2.131847 and 1.644854 (printed tables).
    let wider = 2.131_847 / 1.644_854;
    let outlook = simulate(&collection, &nothing(), &Settings::default()).unwrap();
    let (m, s) = moments(outlook.draws("content_hours"));
    let sd = wider * (between + within).sqrt();
    // Items counted move the hours of items read up and down together, which the plain formula has too; the ratio to read
    // items makes the second stage differ a little.
    assert!((m / total - 1.0).abs() < 0.02, "{m} {total}");
    assert!((s / sd - 1.0).abs() < 0.03, "{s} {sd}");
}

#[test]
fn money_is_prices_times_amounts_and_lines_add_up() {
    let items: Vec<Item> = (0..10).map(|_| reel(one_hour(0))).collect();
    let mut set = nothing();
    let mut price =
        |key: &str, amount: f64| drop(set.values.insert(key.to_owned(), value(amount, amount, amount)));
    price("time.metadata", 30.0);
    price("money.labour", 20.0);
    price("money.oncost", 25.0);
    price("money.transport", 100.0);
    price("money.packing", 7.0);
    price("money.storage", 0.01);
    price("money.contingency", 10.0);
    price("money.tax", 20.0);
    set.own.push(OwnLine {
        label: "Tea".to_owned(),
        driver: Driver::Items,
        value: value(1.0, 1.0, 1.0),
    });
    set.storage.access_kbit_s = 0;
    let outlook = simulate(&census(items, 1), &set, &Settings::default()).unwrap();
    // 10 channel-hours at 96/24 are 10.368 GB; three copies for ten years are 311.04 GB-years.
    let at = |id: &str| outlook.range(id).unwrap().mean;
    assert!((at("gigabytes_masters") - 10.368).abs() < 1e-9);
    assert!((at("gigabyte_years") - 311.04).abs() < 1e-9);
    // 5 staff hours at 20, a quarter on top, 100 once, 7 a box, 3.1104 of storage, 10 of tea; a tenth and a fifth on all.
    let base = 5.0 * 20.0 * 1.25 + 100.0 + 7.0 + 3.1104 + 10.0;
    assert!(
        (at("cost.total") - base * 1.1 * 1.2).abs() < 1e-9,
        "{}",
        at("cost.total")
    );
    let lines: f64 = [
        "labour",
        "oncost",
        "transport",
        "packing",
        "storage",
        "contingency",
        "tax",
        "own.1",
    ]
    .iter()
    .map(|line| at(&format!("cost.{line}")))
    .sum();
    assert!((lines - at("cost.total")).abs() < 1e-9);
    assert!((at("cost.tax") - base * 1.1 * 0.2).abs() < 1e-9);
    assert!(outlook.draws("cost.insurance").is_empty(), "no price, no line");
}

#[test]
fn an_assumptions_spread_is_its_triangles() {
    let items: Vec<Item> = (0..10).map(|_| reel(one_hour(0))).collect();
    let mut set = nothing();
    let price = Range::of(10.0, 30.0, 90.0);
    set.values
        .insert("money.transfer_bought".to_owned(), value(10.0, 30.0, 90.0));
    let outlook = simulate(&census(items, 1), &set, &Settings::default()).unwrap();
    agrees(
        outlook.draws("cost.total"),
        10.0 * price.mean(),
        10.0 * price.variance().sqrt(),
    );
    // The one cause there is drives all of it.
    let drivers = outlook.drivers("cost.total");
    assert_eq!(drivers.len(), 1);
    assert_eq!(
        drivers[0].cause,
        Cause::Assumption("money.transfer_bought".to_owned())
    );
    assert!(drivers[0].share > 0.98, "{drivers:?}");
    // And the chance of a sum is the triangle's: under the likely value a quarter of it lies.
    let chance = outlook.chance_within("cost.total", 300.0).unwrap();
    assert!(
        (chance - 0.25).abs() < 4.0 * (0.25 * 0.75 / 10_000.0_f64).sqrt(),
        "{chance}"
    );
}

/// Two independent causes of known variance: shares of the variance as they are, 4 to 1.
#[test]
fn drivers_have_their_shares_of_the_variance() {
    let items: Vec<Item> = (0..1).map(|_| reel(one_hour(0))).collect();
    let mut set = nothing();
    set.values
        .insert("money.transport".to_owned(), value(0.0, 1.0, 2.0));
    set.values
        .insert("money.insurance".to_owned(), value(0.0, 2.0, 4.0));
    let outlook = simulate(&census(items, 1), &set, &Settings::default()).unwrap();
    let drivers = outlook.drivers("cost.total");
    assert_eq!(drivers[0].cause, Cause::Assumption("money.insurance".to_owned()));
    assert!((drivers[0].share - 0.8).abs() < 0.02, "{drivers:?}");
    assert!((drivers[1].share - 0.2).abs() < 0.02, "{drivers:?}");
}

#[test]
fn a_budget_goes_to_the_most_pressing_first() {
    let mut items: Vec<Item> = (0..10).map(|_| reel(one_hour(0))).collect();
    items.iter_mut().skip(4).for_each(|item| item.class = 1);
    let mut collection = census(items, 1);
    collection.classes = vec![class("first"), class("ordinary")];
    let mut set = nothing();
    set.values
        .insert("money.inspection".to_owned(), value(10.0, 10.0, 10.0));
    set.values
        .insert("money.transport".to_owned(), value(20.0, 20.0, 20.0));
    let outlook = simulate(&collection, &set, &Settings::default()).unwrap();
    // 20 once, 40 for the four, 30 of 60 for the six.
    let bought = outlook.buys(90.0);
    assert_eq!(bought[0].class, "first");
    assert!((bought[0].items.mean - 4.0).abs() < 1e-9 && bought[0].chance_of_all >= 1.0);
    assert!((bought[1].items.mean - 3.0).abs() < 1e-9 && bought[1].chance_of_all <= 0.0);
    assert!(outlook.buys(0.0).iter().all(|b| b.items.high <= 0.0));
}

#[test]
fn the_same_seed_gives_the_same_digits_in_one_go_or_in_steps() {
    let items: Vec<Item> = (0..10)
        .map(|_| {
            reel(Playing {
                pass_hours: Range::of(0.5, 1.0, 2.0),
                passes: Range::of(1.0, 2.0, 4.0),
                ..one_hour(0)
            })
        })
        .collect();
    let collection = census(items, 1);
    let set = Assumptions::default();
    let settings = Settings {
        draws: 500,
        ..Settings::default()
    };
    let whole = simulate(&collection, &set, &settings).unwrap();
    let mut steps = costing::Simulation::new(&collection, &set, &settings).unwrap();
    while steps.left() > 0 {
        steps.step(7);
    }
    assert_eq!(steps.finish(), whole);
    let other = simulate(
        &collection,
        &set,
        &Settings {
            seed: "2".to_owned(),
            ..settings
        },
    )
    .unwrap();
    assert_ne!(other.draws("content_hours"), whole.draws("content_hours"));
}

#[test]
fn what_was_not_read_or_not_counted_is_like_the_rest() {
    let read = SampledBox {
        n_items: Some(4),
        judged: false,
        read: (0..4).map(|_| reel(one_hour(0))).collect(),
    };
    let unread = |n_items| SampledBox {
        n_items,
        judged: false,
        read: vec![],
    };
    let stratum = |sampled: Vec<SampledBox>| Stratum {
        key: "S1".to_owned(),
        n_boxes: sampled.len() as u64,
        sampled,
    };
    let hours = |sampled| {
        let collection = Collection {
            strata: vec![stratum(sampled)],
            ..census(vec![], 1)
        };
        simulate(&collection, &nothing(), &Settings::default())
            .unwrap()
            .range("content_hours")
            .unwrap()
            .mean
    };
    // A counted box of ten whose items were not read holds ten hours; one that nobody counted four items, as the other.
    assert!((hours(vec![read.clone(), unread(Some(10))]) - 14.0).abs() < 1e-9);
    assert!((hours(vec![read.clone(), unread(None)]) - 8.0).abs() < 1e-9);
    assert!((hours(vec![read.clone(), unread(Some(0))]) - 4.0).abs() < 1e-9);
    let silent = SampledBox {
        n_items: Some(1),
        judged: false,
        read: vec![Item {
            playing: None,
            ..reel(one_hour(0))
        }],
    };
    assert!((hours(vec![read, silent]) - 5.0).abs() < 1e-9);
}

/// A box of 4 counted items and a stopped one that somebody judged from outside to hold 100, taken whole.
fn judged(is_judged: bool) -> Collection {
    let mut collection = census((0..4).map(|_| reel(one_hour(0))).collect(), 1);
    let stratum = &mut collection.strata[0];
    stratum.n_boxes = 2;
    stratum.sampled.push(SampledBox {
        n_items: Some(100),
        judged: is_judged,
        read: vec![Item {
            playing: None,
            ..reel(one_hour(0))
        }],
    });
    collection
}

/// Low, likely and high of a half, one and one and a half: mean 1, variance 1/24, and by `F(x) = (x - a)^2 / ((b - a)(c - a))` the
/// twentieth and nineteen twentieths `sqrt(0.05 / 2)` from the ends.
#[test]
fn what_was_judged_from_outside_has_the_range_of_its_assumption() {
    let outlook = simulate(&judged(true), &nothing(), &Settings::default()).unwrap();
    let sd = 100.0 * (1.0_f64 / 24.0).sqrt();
    for id in ["items", "content_hours"] {
        agrees(outlook.draws(id), 104.0, sd);
        let range = outlook.range(id).unwrap();
        // 10,000 draws: four standard errors of a quantile.
        let (low, high) = (0.5 + 0.025_f64.sqrt(), 1.5 - 0.025_f64.sqrt());
        assert!((range.low - 4.0 - 100.0 * low).abs() < 2.5, "{range:?}");
        assert!((range.high - 4.0 - 100.0 * high).abs() < 2.5, "{range:?}");
    }
    let drivers = outlook.drivers("content_hours");
    assert!(matches!(&drivers[..], [one] if one.cause == Cause::Assumption("part.outside".to_owned())));
    // A planner who knows says so, and at likely values the judgement is what they say.
    let mut set = nothing();
    set.values.insert("part.outside".to_owned(), value(1.5, 1.5, 1.5));
    let known = simulate(&judged(true), &set, &Settings::default()).unwrap();
    let exactly = known.range("items").unwrap();
    assert!((exactly.low - 154.0).abs() < 1e-9 && (exactly.high - 154.0).abs() < 1e-9);
    let likely = costing::likely(&judged(true), &set).unwrap();
    assert!((likely.sum("items") - 154.0).abs() < 1e-9);
    let usual = costing::likely(&judged(true), &nothing()).unwrap();
    assert!((usual.sum("items") - 104.0).abs() < 1e-9);
}

#[test]
fn where_nothing_was_judged_the_assumption_moves_no_digit() {
    let mut other = nothing();
    other
        .values
        .insert("part.outside".to_owned(), value(2.0, 3.0, 4.0));
    other
        .values
        .insert("time.metadata".to_owned(), value(1.0, 2.0, 4.0));
    let mut plain = nothing();
    plain
        .values
        .insert("time.metadata".to_owned(), value(1.0, 2.0, 4.0));
    let made = |collection: &Collection, set| simulate(collection, set, &Settings::default()).unwrap();
    assert_eq!(made(&judged(false), &other), made(&judged(false), &plain));
    // Nor has any other line other numbers where a box was: an hour of description an item is as it was, item by item.
    let each = |outlook: &costing::Outlook| -> Vec<f64> {
        let both = outlook.draws("staff.metadata").iter().zip(outlook.draws("items"));
        both.map(|(hours, items)| hours / items).collect()
    };
    let (with, without) = (made(&judged(true), &plain), made(&judged(false), &plain));
    let apart = each(&with)
        .into_iter()
        .zip(each(&without))
        .map(|(a, b)| (a - b).abs());
    assert!(apart.fold(0.0, f64::max) < 1e-12);
}
