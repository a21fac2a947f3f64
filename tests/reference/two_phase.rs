//! Two-phase samples: every sample of a small population, Cochran's formulas for simple random samples, a simulation, and what is refused.

use crate::agreement::{close, design_of};
use sampling::column::Column;
use sampling::design::Design;
use sampling::estimate::Options;
use sampling::random::Stream;
use sampling::twophase::{Estimator, SecondPhase, TwoPhaseError, mean, total};

pub(crate) fn column(design: &Design, values: impl IntoIterator<Item = f64>) -> Column {
    Column::of_rows(design, values.into_iter().map(Some).collect()).unwrap()
}

/// All ways to choose `n` of `from`.
fn choices(from: &[usize], n: usize) -> Vec<Vec<usize>> {
    match (n, from.split_first()) {
        (0, _) => vec![Vec::new()],
        (_, None) => Vec::new(),
        (_, Some((first, rest))) => {
            let mut with = choices(rest, n - 1);
            with.iter_mut().for_each(|made| made.insert(0, *first));
            with.extend(choices(rest, n));
            with
        }
    }
}

/// Every pair of one choice each.
fn pairs<T: Clone>(all: Vec<Vec<T>>, more: &[Vec<T>]) -> Vec<Vec<T>> {
    all.iter()
        .flat_map(|a| more.iter().map(move |b| [&a[..], &b[..]].concat()))
        .collect()
}

/// Over every sample of both phases that could be drawn, the expansion total is right on average, and so is its variance: two strata of
/// boxes, two items at most read of a box, two classes of items of which three fifths are read.
#[cfg_attr(test, test)]
pub(crate) fn every_sample_of_a_small_population() {
    let boxes: [(&str, &[f64]); 7] = [
        ("A", &[3.0, 9.0]),
        ("A", &[4.0, 1.0, 8.0]),
        ("A", &[2.0]),
        ("A", &[7.0, 5.0, 6.0]),
        ("B", &[11.0, 2.0]),
        ("B", &[6.0, 6.5]),
        ("B", &[1.0, 12.0, 3.0]),
    ];
    let truth: f64 = boxes.iter().flat_map(|(_, items)| items.iter()).sum();
    let class = |value: f64| usize::from(value > 5.5);
    let (mut chance, mut estimates, mut squares, mut variances) = (0.0, 0.0, 0.0, 0.0);
    for drawn in pairs(choices(&[0, 1, 2, 3], 2), &choices(&[4, 5, 6], 2)) {
        let of_boxes = 1.0 / 18.0;
        let mut layouts = vec![Vec::new()];
        for b in &drawn {
            let items: Vec<usize> = (0..boxes[*b].1.len()).collect();
            let rows = choices(&items, items.len().min(2));
            let named: Vec<Vec<(usize, usize)>> = rows
                .iter()
                .map(|r| r.iter().map(|i| (*b, *i)).collect())
                .collect();
            layouts = pairs(layouts, &named);
        }
        for rows in &layouts {
            let design = design_of(drawn.iter().map(|b| {
                let (stratum, items) = boxes[*b];
                let frame = if stratum == "A" { 4 } else { 3 };
                (
                    stratum.to_owned(),
                    frame,
                    b.to_string(),
                    items.len() as u64,
                    items.len().min(2),
                )
            }));
            let values: Vec<f64> = rows.iter().map(|(b, i)| boxes[*b].1[*i]).collect();
            let classes: Vec<usize> = values.iter().map(|v| class(*v)).collect();
            let mut looks = vec![Vec::new()];
            for g in 0..2 {
                let own: Vec<usize> = (0..values.len()).filter(|row| classes[*row] == g).collect();
                let read = (own.len() * 3).div_ceil(5).max(own.len().min(2));
                looks = pairs(looks, &choices(&own, read));
            }
            let each = of_boxes / (layouts.len() * looks.len()) as f64;
            let y = column(&design, values);
            for look in &looks {
                let read: Vec<bool> = (0..design.rows()).map(|row| look.contains(&row)).collect();
                let second = SecondPhase::by_class(&design, &read, &classes).unwrap();
                let made = total(&second, &y, Estimator::Expansion, &Options::default()).unwrap();
                let off = made.estimate.estimate - truth;
                chance += each;
                estimates += each * made.estimate.estimate;
                squares += each * off * off;
                variances += each * (made.first + made.second);
            }
        }
    }
    close(chance, 1.0, 1e-12, 0.0, "all samples");
    close(estimates, truth, 1e-12, 0.0, "the total");
    close(variances, squares, 1e-11, 0.0, "its variance");
}

/// Cochran 1977, chapter 12, for simple random samples of `n` of `N` and `m` of those (formulas from memory, numbers made up): the
/// expansion mean `s^2 (1/m - 1/N)`; ratio and regression `s_e^2 (1/m - 1/n) + s_y^2 (1/n - 1/N)`, `s_y^2` from all of the first phase
/// as far as it is foretold.
#[cfg_attr(test, test)]
pub(crate) fn simple_random_samples_by_hand() {
    let (frame, n, m) = (500u64, 40usize, 12usize);
    let mut stream = Stream::new("3", "two phases");
    let x: Vec<f64> = (0..n).map(|_| 20.0 + 60.0 * stream.unit()).collect();
    let y: Vec<f64> = x.iter().map(|x| 3.0 + 1.1 * x + 8.0 * stream.unit()).collect();
    let design = design_of((0..n).map(|i| (String::new(), frame, format!("{i:02}"), 1, 1)));
    let read: Vec<bool> = (0..n).map(|i| i % 3 == 0 && i < 36).collect();
    let second = SecondPhase::new(&design, &read).unwrap();
    let (x_column, y_column) = (column(&design, x.clone()), column(&design, y.clone()));
    let of_read = |z: &[f64]| -> Vec<f64> { (0..n).filter(|i| read[*i]).map(|i| z[i]).collect() };
    let average = |z: &[f64]| z.iter().sum::<f64>() / z.len() as f64;
    let moment = |a: &[f64], b: &[f64]| {
        let (ma, mb) = (average(a), average(b));
        a.iter().zip(b).map(|(a, b)| (a - ma) * (b - mb)).sum::<f64>() / (a.len() as f64 - 1.0)
    };
    let (xs, ys) = (of_read(&x), of_read(&y));
    let (big, first, last) = (frame as f64, n as f64, m as f64);
    let options = Options::default();
    let plain = mean(&second, &y_column, Estimator::Expansion, &options).unwrap();
    close(plain.estimate.estimate, average(&ys), 1e-13, 0.0, "mean");
    close(
        plain.estimate.se.powi(2),
        moment(&ys, &ys) * (1.0 / last - 1.0 / big),
        1e-11,
        0.0,
        "its variance",
    );
    let slope = moment(&xs, &ys) / moment(&xs, &xs);
    let left: Vec<f64> = xs
        .iter()
        .zip(&ys)
        .map(|(x, y)| y - average(&ys) - slope * (x - average(&xs)))
        .collect();
    let line = mean(&second, &y_column, Estimator::Regression(&[&x_column]), &options).unwrap();
    let by_hand = average(&ys) + slope * (average(&x) - average(&xs));
    close(line.estimate.estimate, by_hand, 1e-13, 0.0, "regression");
    // The foretold values and what is left of them are uncorrelated over the read items, not over all.
    let fitted: Vec<f64> = x.iter().map(|x| slope * x).collect();
    let padded: Vec<f64> = {
        let mut left = left.iter();
        read.iter()
            .map(|r| {
                if *r {
                    *left.next().unwrap() * first / last
                } else {
                    0.0
                }
            })
            .collect()
    };
    let spread = moment(&fitted, &fitted) + 2.0 * moment(&fitted, &padded) + moment(&left, &left);
    close(
        line.first,
        spread * (1.0 / first - 1.0 / big),
        1e-9,
        0.0,
        "the first part",
    );
    let factors: Vec<f64> = {
        let squares = moment(&xs, &xs) * (last - 1.0) / last;
        xs.iter()
            .map(|v| 1.0 + (average(&x) - average(&xs)) * (v - average(&xs)) / squares)
            .collect()
    };
    let weighed: Vec<f64> = left.iter().zip(&factors).map(|(e, g)| e * g).collect();
    close(
        line.second,
        moment(&weighed, &weighed) * (1.0 / last - 1.0 / first),
        1e-11,
        0.0,
        "the second part",
    );
    let ratio = total(&second, &y_column, Estimator::Ratio(&x_column), &options).unwrap();
    let r = average(&ys) / average(&xs);
    close(
        ratio.estimate.estimate,
        big * r * average(&x),
        1e-13,
        0.0,
        "ratio",
    );
    let left: Vec<f64> = xs.iter().zip(&ys).map(|(x, y)| y - r * x).collect();
    let g = average(&x) / average(&xs);
    let by_hand = big * big * g * g * moment(&left, &left) * (1.0 / last - 1.0 / first);
    close(ratio.second, by_hand, 1e-11, 0.0, "the second part of the ratio");
}

/// Boxes of tapes with a label each: the transfers of a fifth of a sample put the labels right. All three are right on average, the
/// estimated variances within a tenth, and the labels help.
#[cfg_attr(test, test)]
pub(crate) fn transfers_put_labels_right() {
    let mut stream = Stream::new("11", "labels");
    let shelf: Vec<Vec<(f64, f64)>> = (0..120)
        .map(|_| {
            let own = 30.0 + 60.0 * stream.unit();
            let mut item = || {
                let label = own + 30.0 * stream.unit();
                (label, 1.08 * label + 6.0 * (stream.unit() - 0.5))
            };
            (0..6).map(|_| item()).collect()
        })
        .collect();
    let truth: f64 = shelf.iter().flatten().map(|(_, found)| found).sum();
    let runs = 1500;
    let mut made = [[0.0f64; 3]; 4];
    for _ in 0..runs {
        let mut order: Vec<usize> = (0..shelf.len()).collect();
        for i in 0..30 {
            let j = i + usize::try_from(stream.below((order.len() - i) as u64)).unwrap();
            order.swap(i, j);
        }
        let drawn = &order[..30];
        let design = design_of(drawn.iter().map(|b| (String::new(), 120, b.to_string(), 6, 6)));
        let rows: Vec<(f64, f64)> = drawn.iter().flat_map(|b| shelf[*b].clone()).collect();
        let mut read = vec![false; rows.len()];
        let mut left = 36;
        while left > 0 {
            let row = usize::try_from(stream.below(rows.len() as u64)).unwrap();
            left -= usize::from(!read[row]);
            read[row] = true;
        }
        let second = SecondPhase::new(&design, &read).unwrap();
        let (labels, found) = (
            column(&design, rows.iter().map(|r| r.0)),
            column(&design, rows.iter().map(|r| r.1)),
        );
        let ones = column(&design, vec![1.0; rows.len()]);
        let estimators = [
            Estimator::Expansion,
            Estimator::Ratio(&labels),
            Estimator::Regression(&[&labels]),
            Estimator::Ratio(&ones),
        ];
        for (sums, by) in made.iter_mut().zip(estimators) {
            let one = total(&second, &found, by, &Options::default()).unwrap();
            let off = one.estimate.estimate - truth;
            let runs = f64::from(runs);
            sums[0] += one.estimate.estimate / runs;
            sums[1] += off * off / runs;
            sums[2] += (one.first + one.second) / runs;
        }
    }
    for [estimate, error, variance] in made {
        close(estimate, truth, 0.003, 0.0, "the total");
        close(variance, error, 0.1, 0.0, "its variance");
    }
    assert!(
        made[1][1] < 0.8 * made[0][1] && made[2][1] < 0.8 * made[0][1],
        "{made:?}"
    );
}

#[cfg_attr(test, test)]
pub(crate) fn what_cannot_be_is_said() {
    let design = design_of((0..4).map(|i| (String::new(), 9, format!("{i}"), 1, 1)));
    let y = column(&design, [1.0, 2.0, 3.0, 4.0]);
    let flat = column(&design, [1.0; 4]);
    let zero = column(&design, [0.0; 4]);
    let second = SecondPhase::new(&design, &[true, true, true, false]).unwrap();
    let options = Options::default();
    let of = |y: &Column, by: Estimator<'_>| total(&second, y, by, &options).unwrap_err();
    assert_eq!(of(&y, Estimator::Ratio(&zero)), TwoPhaseError::NoRatio(0.0));
    assert_eq!(
        of(&y, Estimator::Regression(&[&flat])),
        TwoPhaseError::Collinear(0)
    );
    assert_eq!(
        of(&y, Estimator::Regression(&[&y, &y])),
        TwoPhaseError::Collinear(1)
    );
    let part = Column::of_rows(&design, vec![Some(1.0), None, Some(1.0), None]).unwrap();
    assert!(matches!(
        of(&part, Estimator::Expansion),
        TwoPhaseError::Missing { row: 1, .. }
    ));
    assert!(matches!(
        of(&y, Estimator::Ratio(&part)),
        TwoPhaseError::Missing { row: 1, .. }
    ));
    let bad = |read: &[bool], classes: &[usize]| SecondPhase::by_class(&design, read, classes).unwrap_err();
    assert_eq!(
        bad(&[true; 3], &[0; 3]),
        TwoPhaseError::Shape { given: 3, rows: 4 }
    );
    assert_eq!(
        bad(&[false, false, true, true], &[7, 7, 9, 9]),
        TwoPhaseError::NothingRead(7)
    );
    assert_eq!(
        bad(&[true, false, true, true], &[7, 7, 9, 9]),
        TwoPhaseError::LonelyClass(7)
    );
    let level = Options {
        level: 1.5,
        ..options
    };
    assert!(matches!(
        total(&second, &y, Estimator::Expansion, &level),
        Err(TwoPhaseError::Estimate(_))
    ));
    let huge = column(&design, [1e100, -1e100, 1e100, 0.0]);
    assert!(
        total(&second, &huge, Estimator::Regression(&[&huge]), &options)
            .is_ok_and(|made| made.estimate.se.is_finite())
    );
}
