//! Worked examples of the sampling literature, and small ones worked by hand.

use crate::agreement::{close, design_of};
use sampling::column::Column;
use sampling::design::{BoxSample, Design, StratumSample};
use sampling::estimate::{self, Options};
use sampling::interval::binomial;

fn one_stratum(frame: u64, boxes: &[(u64, usize)]) -> Design {
    let named = boxes
        .iter()
        .enumerate()
        .map(|(i, (items, rows))| (String::new(), frame, format!("{i}"), *items, *rows));
    design_of(named)
}

fn known(design: &Design, values: &[f64]) -> Column {
    Column::of_rows(design, values.iter().map(|v| Some(*v)).collect()).unwrap()
}

/// Scheaffer, Mendenhall and Ott, chapter 9: 90 plants, 10 sampled, some machines of each.
#[cfg_attr(test, test)]
pub(crate) fn sewing_machines() {
    let plants: [(u64, &[f64]); 10] = [
        (50, &[5., 7., 9., 0., 11., 2., 8., 4., 3., 5.]),
        (65, &[4., 3., 7., 2., 11., 0., 1., 9., 4., 3., 2., 1., 5.]),
        (45, &[5., 6., 4., 11., 12., 0., 1., 8., 4.]),
        (48, &[6., 4., 0., 1., 0., 9., 8., 4., 6., 10.]),
        (52, &[11., 4., 3., 1., 0., 2., 8., 6., 5., 3.]),
        (58, &[12., 11., 3., 4., 2., 0., 0., 1., 4., 3., 2., 4.]),
        (42, &[3., 7., 6., 7., 8., 4., 3., 2.]),
        (66, &[3., 6., 4., 3., 2., 2., 8., 4., 0., 4., 5., 6., 3.]),
        (40, &[6., 4., 7., 3., 9., 1., 4., 5.]),
        (56, &[6., 7., 5., 10., 11., 2., 1., 4., 0., 5., 4.]),
    ];
    let design = one_stratum(90, &plants.map(|(items, values)| (items, values.len())));
    let values: Vec<f64> = plants
        .iter()
        .flat_map(|(_, values)| values.iter().copied())
        .collect();
    let column = known(&design, &values);
    let part = design.whole();
    let total = estimate::total(&part, &column, &Options::default()).unwrap();
    close(total.estimate, 21601.6153846154, 1e-13, 0.0, "total");
    close(total.se, 866.639027327162, 1e-13, 0.0, "its standard error");
    let mean = estimate::mean(&part, &column, &Options::default()).unwrap();
    close(mean.estimate, 4.59804499459672, 1e-13, 0.0, "mean");
    close(mean.se, 0.221887163417318, 1e-13, 0.0, "its standard error");
}

/// Lohr, Sampling: Design and Analysis, example 5.2: 100 suites of four, 5 sampled whole; totals from memory.
#[cfg_attr(test, test)]
pub(crate) fn grade_points() {
    let totals = [12.16, 11.36, 8.96, 12.96, 11.08];
    let design = one_stratum(100, &[(4, 4); 5]);
    // Only a suite's total matters where suites are read whole.
    let values: Vec<f64> = totals.iter().flat_map(|total| [total / 4.0; 4]).collect();
    let column = known(&design, &values);
    let total = estimate::total(&design.whole(), &column, &Options::default()).unwrap();
    close(total.estimate, 1130.4, 1e-13, 0.0, "total");
    let mean = estimate::mean(&design.whole(), &column, &Options::default()).unwrap();
    close(mean.estimate, 2.826, 1e-13, 0.0, "mean");
    close(mean.se, 0.163664901551921, 1e-12, 0.0, "its standard error");
}

/// Scheaffer, Mendenhall and Ott, chapter 8: income of 25 of 415 city blocks, read whole.
#[cfg_attr(test, test)]
pub(crate) fn income_of_blocks() {
    let people = [
        8, 12, 4, 5, 6, 6, 7, 5, 8, 3, 2, 6, 5, 10, 9, 3, 6, 5, 5, 4, 6, 8, 7, 3, 8,
    ];
    let income = [
        96., 121., 42., 65., 52., 40., 75., 65., 45., 50., 85., 43., 54., 49., 53., 50., 32., 22., 45., 37.,
        51., 30., 39., 47., 41.,
    ];
    let design = one_stratum(415, &people.map(|p: usize| (p as u64, p)));
    let values: Vec<f64> = people
        .iter()
        .zip(income)
        .flat_map(|(p, i)| vec![i * 1000.0 / *p as f64; *p])
        .collect();
    let column = known(&design, &values);
    let mean = estimate::mean(&design.whole(), &column, &Options::default()).unwrap();
    close(mean.estimate, 8801.32450331126, 1e-12, 0.0, "mean");
    close(mean.se * mean.se, 653785.194437304, 1e-12, 0.0, "its variance");
    let total = estimate::total(&design.whole(), &column, &Options::default()).unwrap();
    close(total.estimate, 22061400.0, 1e-12, 0.0, "total");
    close(total.se, 1752792.01846654, 1e-12, 0.0, "its standard error");
}

/// Five of 40 boxes, some items of each, worked in Python with the textbook formulas.
#[cfg_attr(test, test)]
pub(crate) fn five_boxes() {
    let answers: [(u64, &[f64]); 5] = [
        (12, &[1., 0., 0., 1.]),
        (30, &[0., 0., 0., 0., 1., 0.]),
        (7, &[1., 1.]),
        (1, &[0.]),
        (25, &[0., 0., 1., 0., 0.]),
    ];
    let design = one_stratum(40, &answers.map(|(items, values)| (items, values.len())));
    let column = known(
        &design,
        &answers
            .iter()
            .flat_map(|(_, v)| v.iter().copied())
            .collect::<Vec<_>>(),
    );
    let count = estimate::count(&design.whole(), &column, &Options::default()).unwrap();
    close(count.estimate, 184.0, 1e-13, 0.0, "count");
    close(count.se, 49.2747399790197, 1e-13, 0.0, "its standard error");
    let share = estimate::share(&design.whole(), &column, &Options::default()).unwrap();
    close(share.estimate, 0.306666666666667, 1e-14, 0.0, "share");
    close(share.se, 0.107351551248948, 1e-13, 0.0, "its standard error");
}

/// Wilson for 12 of 60, exact for 0 of 30.
#[cfg_attr(test, test)]
pub(crate) fn small_intervals() {
    let wilson = binomial::wilson(12.0, 60.0, 0.95);
    close(wilson.low, 0.1183, 0.0, 5e-5, "Wilson lower");
    close(wilson.high, 0.3178, 0.0, 5e-5, "Wilson upper");
    close(
        binomial::clopper_pearson(0.0, 30.0, 0.95).high,
        0.1157,
        0.0,
        5e-5,
        "two-sided",
    );
    close(
        binomial::clopper_pearson(0.0, 30.0, 0.90).high,
        0.0950,
        0.0,
        5e-5,
        "one-sided",
    );
}

/// 5 of 40 boxes with 10, 14, 8, 12 and 16 hours: 480 hours, with 4 degrees of freedom.
#[cfg_attr(test, test)]
pub(crate) fn hours_of_five_boxes() {
    let design = one_stratum(40, &[(1, 1); 5]);
    let column = known(&design, &[10., 14., 8., 12., 16.]);
    let total = estimate::total(&design.whole(), &column, &Options::default()).unwrap();
    close(total.estimate, 480.0, 1e-14, 0.0, "total");
    close(total.se, 52.915, 0.0, 5e-4, "standard error");
    let limits = total.limits.unwrap();
    close(limits.low, 333.1, 0.0, 0.05, "lower");
    close(limits.high, 626.9, 0.0, 0.05, "upper");
}

/// 4 of 30 boxes of 10, 20, 15 and 5 items, 6, 13, 8 and 3 of acetate, 400 items known: 240, standard error 11.40 where
/// the known number of boxes scales the residuals. The estimator's own error is scaled by the known over the estimated size.
#[cfg_attr(test, test)]
pub(crate) fn acetate_on_a_known_size() {
    let sizes = [10usize, 20, 15, 5];
    let sample = sizes.iter().enumerate().map(|(i, size)| BoxSample {
        id: format!("{i}"),
        items: Some(*size as u64),
        rows: *size,
        size: Some(*size as f64),
        ..BoxSample::default()
    });
    let stratum = StratumSample {
        frame_boxes: 30,
        frame_size: Some(400.0),
        sample: sample.collect(),
        ..Default::default()
    };
    let design = Design::new(vec![stratum]).unwrap();
    let acetate = [6, 13, 8, 3];
    let answers = sizes
        .iter()
        .zip(acetate)
        .flat_map(|(size, yes)| (0..*size).map(move |j| f64::from(u8::from(j < yes))));
    let column = known(&design, &answers.collect::<Vec<_>>());
    let options = Options {
        ratio_to_size: true,
        ..Options::default()
    };
    let count = estimate::count(&design.whole(), &column, &options).unwrap();
    close(count.estimate, 240.0, 1e-14, 0.0, "total");
    close(
        count.se * (30.0 / 4.0 * 50.0) / 400.0,
        11.40,
        0.0,
        5e-3,
        "standard error",
    );
    let share = estimate::share(&design.whole(), &column, &options).unwrap();
    close(share.estimate, 0.6, 1e-15, 0.0, "ratio");
}

/// Two strata of 100 and 50 items, 10 drawn of each, 2 and 4 with the condition.
#[cfg_attr(test, test)]
pub(crate) fn stratified_share() {
    let items = |key: &str, frame: u64, yes: usize| {
        let key = key.to_owned();
        (0..10usize).map(move |i| {
            (
                (key.clone(), frame, format!("{i}"), 1, 1),
                f64::from(u8::from(i < yes)),
            )
        })
    };
    let all: Vec<_> = items("1", 100, 2).chain(items("2", 50, 4)).collect();
    let design = design_of(all.iter().map(|(b, _)| b.clone()));
    let column = known(&design, &all.iter().map(|(_, y)| *y).collect::<Vec<_>>());
    let share = estimate::share(&design.whole(), &column, &Options::default()).unwrap();
    close(share.estimate, 0.26667, 0.0, 5e-6, "share");
    close(share.se, 0.09737, 0.0, 5e-6, "standard error");
}
