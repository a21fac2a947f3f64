//! Unknown answers within their stratum: worked by hand, and on populations whose truth is known.

use crate::agreement::{close, design_of};
use sampling::column::Column;
use sampling::design::{BoxSample, Design, Status, StratumSample};
use sampling::estimate::{self, Options};
#[cfg(test)]
use sampling::random::Stream;

/// Two boxes of 10 in A and two of 20 in B, all read whole; `?` is an unknown answer.
fn two_strata(answers: [&str; 4]) -> (Design, Column) {
    let strata = [("A", 10), ("A", 10), ("B", 20), ("B", 20)];
    let boxes = strata.iter().zip(answers).enumerate();
    let design = design_of(boxes.map(|(at, ((key, frame), own))| {
        (
            (*key).to_owned(),
            *frame,
            format!("{at}"),
            own.len() as u64,
            own.len(),
        )
    }));
    let rows = answers.iter().flat_map(|own| own.chars());
    let known = |c| match c {
        'y' => Some(true),
        'n' => Some(false),
        _ => None,
    };
    let column = Column::of_answers(&design, rows.map(known).collect()).unwrap();
    (design, column)
}

/// By hand: r = 2/3 of 40 items in A, 1/9 of 100 in B, so 340/9 of 140; the boxes' z are 20/9 and 28/9, 85/81 and 5/81, and
/// `V = 100 (8/10) (32/81) / 2 + 400 (9/10) (3200/6561) / 2`.
#[cfg_attr(test, test)]
pub(crate) fn two_strata_by_hand() {
    let (design, column) = two_strata(["yn??", "yyyn", "nnnny", "nnnn?"]);
    let (part, options) = (design.whole(), Options::default());
    let count = estimate::count(&part, &column, &options).unwrap();
    close(count.estimate, 340.0 / 9.0, 1e-14, 0.0, "count");
    let variance: f64 = 75_520.0 / 729.0;
    close(count.se * count.se, variance, 1e-13, 0.0, "its variance");
    let share = estimate::share(&part, &column, &options).unwrap();
    close(share.estimate, 17.0 / 63.0, 1e-14, 0.0, "share");
    close(
        share.se * share.se,
        variance / (140.0 * 140.0),
        1e-13,
        0.0,
        "its variance",
    );
    for method in [&count.method, &share.method] {
        assert!(
            method.ends_with("unknown answers taken as missing at random within their stratum"),
            "{method}"
        );
    }
    // The change between two visits and differences rest on the same variable.
    let linear = sampling::contrast::mean_of(&part, &column, None).unwrap();
    close(
        linear.estimate,
        share.estimate,
        1e-14,
        0.0,
        "as a linear statistic",
    );
    let of_linear = linear.variance(&part, &options).unwrap();
    close(of_linear.sqrt(), share.se, 1e-12, 0.0, "its standard error");
    // What stands for all is the strata's own, put together; the combined ratio would have said 30 of 120.
    let parts: f64 = [0, 1]
        .map(|h| {
            estimate::count(&design.only(h), &column, &options)
                .unwrap()
                .estimate
        })
        .iter()
        .sum();
    close(count.estimate, parts, 1e-14, 0.0, "its strata");
    // The interval's own rules are told of boxes that weigh as much: a known answer of A stands for 4/3 of 5 items.
    let boxes = estimate::box_answers(&part, &column);
    close(boxes[0].weight, 20.0 / 3.0, 1e-14, 0.0, "weight");
    let all: f64 = boxes.iter().map(|b| b.weight * b.known as f64).sum();
    let yes: f64 = boxes.iter().map(|b| b.weight * b.yes as f64).sum();
    close(
        yes / all,
        share.estimate,
        1e-14,
        0.0,
        "share of the boxes' answers",
    );
}

/// By hand: one box of B tells, 1 of 5 items, so B is pooled: (80/3 + 10) / (40 + 50) of all.
#[cfg_attr(test, test)]
pub(crate) fn a_stratum_of_one_telling_box_by_hand() {
    let (design, column) = two_strata(["yn??", "yyyn", "nnnny", "?????"]);
    let (part, options) = (design.whole(), Options::default());
    let share = estimate::share(&part, &column, &options).unwrap();
    close(share.estimate, 11.0 / 27.0, 1e-14, 0.0, "share");
    let count = estimate::count(&part, &column, &options).unwrap();
    close(count.estimate, 140.0 * 11.0 / 27.0, 1e-14, 0.0, "count");
    assert!(
        count.method.ends_with(
            "within their stratum; unknown answers of strata in which fewer than two boxes tell taken as missing at random over \
             all strata"
        ),
        "{}",
        count.method
    );
    // (J / D) (s - p d) + p j by box, p = 11/27, J / D = 14/9: A's s are 20/9 and 28/9, of 4 items; B's 1 and 0, of 5 and 0 known.
    let v = |frame: f64, a: f64, b: f64| frame * frame * (1.0 - 2.0 / frame) * (a - b) * (a - b) / 4.0;
    let (p, rise) = (11.0 / 27.0, 14.0 / 9.0);
    let first = v(10.0, rise * 20.0 / 9.0, rise * 28.0 / 9.0);
    let second = v(20.0, rise * (1.0 - 5.0 * p), 0.0);
    close(count.se * count.se, first + second, 1e-13, 0.0, "its variance");
}

/// Of a domain only its own items count as unknown: of A two members tell 1 and 3 hours and one does not, of B two tell 5 and 7.
#[cfg_attr(test, test)]
pub(crate) fn a_domain_by_hand() {
    let (design, member) = two_strata(["yn?", "yyn", "ynn", "yn?"]);
    let hours = |known: [Option<f64>; 12]| Column::of_rows(&design, known.to_vec()).unwrap();
    let some = Some(9.0);
    let column = hours([
        Some(1.0),
        some,
        some,
        Some(3.0),
        None,
        None,
        Some(5.0),
        None,
        some,
        Some(7.0),
        some,
        None,
    ]);
    let made = estimate::domain_mean(&design.whole(), &column, &member, &Options::default()).unwrap();
    // A: 2 hours of 3 members, each for five; B: 6 hours of two, each for ten.
    close(
        made.estimate,
        (15.0 * 2.0 + 20.0 * 6.0) / 35.0,
        1e-14,
        0.0,
        "mean",
    );
    assert!(made.method.contains("within their stratum"), "{}", made.method);
    let linear = sampling::contrast::mean_of(&design.whole(), &column, Some(&member)).unwrap();
    close(
        linear.estimate,
        made.estimate,
        1e-14,
        0.0,
        "the same as a linear statistic",
    );
    let variance = linear.variance(&design.whole(), &Options::default()).unwrap();
    close(variance.sqrt(), made.se, 1e-12, 0.0, "its standard error");
}

/// What is known of stopped boxes does not make a stratum tell, and what they withhold is never filled in.
#[cfg_attr(test, test)]
pub(crate) fn a_stop_tells_nothing_of_the_others() {
    let stratum = |key: &str, status: Status| StratumSample {
        key: key.to_owned(),
        frame_boxes: 10,
        sample: [Status::Checked, status, status]
            .iter()
            .enumerate()
            .map(|(at, status)| BoxSample {
                id: format!("{at}"),
                status: *status,
                items: Some(4),
                rows: if *status == Status::Checked { 4 } else { 0 },
                ..BoxSample::default()
            })
            .collect(),
        ..StratumSample::default()
    };
    let design = Design::new(vec![stratum("A", Status::Stopped), stratum("B", Status::Checked)]).unwrap();
    let mut rows = vec![Some(0.0); 16];
    rows[3] = None;
    // Both stopped boxes of A are mouldy all through; of A's open box three items are clean and one is not known.
    let column = Column::new(&design, rows, vec![None, Some(1.0), Some(1.0), None, None, None]).unwrap();
    let share = estimate::share(&design.whole(), &column, &Options::default()).unwrap();
    close(share.estimate, 8.0 / 23.0, 1e-14, 0.0, "share of what is known");
    assert!(share.method.contains("over all strata"), "{}", share.method);
}

/// A population drawn anew: stratum by stratum boxes of ten items, how often they have the condition and how often that cannot be
/// told. Gives the sample and the true share.
#[cfg(test)]
fn drawn(random: &mut Stream, strata: &[(u64, usize, f64, f64)]) -> (Design, Column, f64) {
    const ITEMS: usize = 10;
    let (mut boxes, mut rows, mut yes, mut all) = (Vec::new(), Vec::new(), 0.0, 0.0);
    for (h, (frame, sampled, often, unknown)) in strata.iter().enumerate() {
        for at in 0..usize::try_from(*frame).unwrap() {
            let own = often * (0.5 + random.unit());
            for _ in 0..ITEMS {
                let (has, cannot) = (random.unit() < own, random.unit() < *unknown);
                yes += f64::from(u8::from(has));
                all += 1.0;
                if at < *sampled {
                    rows.push((!cannot).then_some(has));
                }
            }
            // Boxes are alike but for chance, so that the first ones are as good as drawn.
            if at < *sampled {
                boxes.push((format!("{h}"), *frame, format!("{at}"), ITEMS as u64, ITEMS));
            }
        }
    }
    let design = design_of(boxes);
    let column = Column::of_answers(&design, rows).unwrap();
    (design, column, yes / all)
}

/// What the combined ratio of known yes to known items would say.
#[cfg(test)]
fn combined(design: &Design, column: &Column) -> f64 {
    let whole = column.filled(design, 0.0);
    let known = column.combined(design, column, |value, _| {
        Some(f64::from(u8::from(value.is_some())))
    });
    let total = |column: &Column| {
        estimate::total(&design.whole(), column, &Options::default())
            .unwrap()
            .estimate
    };
    total(&whole) / total(&known)
}

#[cfg(test)]
#[derive(Default)]
struct Errors {
    within: f64,
    combined: f64,
    squares: f64,
    variances: f64,
    covered: f64,
}

/// Means of the errors over populations, of their squares and of the variances that were said, and how often the limits held.
#[cfg(test)]
fn errors(seed: &str, strata: &[(u64, usize, f64, f64)], times: u32) -> Errors {
    let mut random = Stream::new(seed, "populations with unknown answers");
    let mut made = Errors::default();
    for _ in 0..times {
        let (design, column, truth) = drawn(&mut random, strata);
        let share = estimate::share(&design.whole(), &column, &Options::default()).unwrap();
        let off = share.estimate - truth;
        made.within += off / f64::from(times);
        made.combined += (combined(&design, &column) - truth) / f64::from(times);
        made.squares += off * off / f64::from(times);
        made.variances += share.se * share.se / f64::from(times);
        let held = share.limits.is_some_and(|l| l.low <= truth && truth <= l.high);
        made.covered += f64::from(u8::from(held)) / f64::from(times);
    }
    made
}

/// A stratum where the condition is common and mostly cannot be told beside one where it is rare and mostly can be: the combined
/// ratio forgets the first, the strata's own do not, and their errors and limits are as large as they say.
#[test]
fn what_is_missing_by_stratum_is_made_good_within_it() {
    let made = errors("1", &[(60, 12, 0.6, 0.6), (140, 28, 0.05, 0.05)], 1500);
    let chance = 4.0 * (made.squares / 1500.0).sqrt();
    assert!(made.within.abs() < chance, "{} of {chance}", made.within);
    // (0.6 0.4 600 + 0.05 0.95 1400) / (0.4 600 + 0.95 1400) for a true 0.215.
    assert!((made.combined + 0.081).abs() < 0.01, "{}", made.combined);
    let ratio = made.variances / made.squares;
    assert!(
        (0.85..1.2).contains(&ratio),
        "variance said over variance: {ratio}"
    );
    assert!(made.covered > 0.945, "{}", made.covered);
}

/// With two boxes a stratum, the fewest that stand for themselves, the bias of the separate ratio stays within a tenth of what the
/// combined ratio has where missingness differs by stratum, and limits hold.
#[test]
fn two_telling_boxes_are_enough_not_to_do_harm() {
    let strata = [
        (40, 2, 0.5, 0.7),
        (40, 2, 0.3, 0.4),
        (60, 2, 0.1, 0.1),
        (80, 2, 0.05, 0.0),
    ];
    let made = errors("2", &strata, 3000);
    assert!(made.combined < -0.04, "{}", made.combined);
    assert!(
        made.within.abs() < made.combined.abs() / 10.0,
        "{} and {}",
        made.within,
        made.combined
    );
    assert!(made.covered > 0.93, "{}", made.covered);
}

/// Where what cannot be told does not differ by stratum, both are right.
#[test]
fn nothing_is_lost_where_strata_are_alike() {
    let made = errors(
        "3",
        &[(60, 10, 0.3, 0.3), (60, 10, 0.3, 0.3), (60, 10, 0.3, 0.3)],
        1500,
    );
    let chance = 4.0 * (made.squares / 1500.0).sqrt();
    assert!(made.within.abs() < chance && made.combined.abs() < chance);
    assert!(made.covered > 0.935, "{}", made.covered);
}
