//! Strata drawn systematically along the shelf: every start of small shelves, Wolter's estimators (2007, section 8.2; formulas from
//! memory, values worked in Python). No outside program here has them: R's survey package of this version has no systematic
//! first stage.

use crate::agreement::close;
use sampling::column::Column;
use sampling::design::{BoxSample, Design, Draw, Status, StratumSample};
use sampling::estimate::{self, Options};
use sampling::random::Stream;
use sampling::systematic::{Rule, places, variance_of_total};

/// One stratum of boxes of one item each.
pub(crate) fn shelf(frame: u64, totals: &[f64], draw: Draw) -> (Design, Column) {
    let boxes = |i: usize| BoxSample {
        id: format!("{i}"),
        items: Some(1),
        rows: 1,
        ..BoxSample::default()
    };
    let stratum = StratumSample {
        frame_boxes: frame,
        draw,
        sample: (0..totals.len()).map(boxes).collect(),
        ..StratumSample::default()
    };
    let design = Design::new(vec![stratum]).unwrap();
    let column = Column::of_rows(&design, totals.iter().map(|t| Some(*t)).collect()).unwrap();
    (design, column)
}

pub(crate) fn total(frame: u64, totals: &[f64], draw: Draw) -> estimate::Estimate {
    let (design, column) = shelf(frame, totals, draw);
    estimate::total(&design.whole(), &column, &Options::default()).unwrap()
}

/// Seven of 42 boxes; `42^2 (1 - 7 / 42) s^2 / 7`, worked in Python: v1 `s^2` 11.9047619..., v2 `(9+4+25+1+36+16)/12`, v3
/// `(9+25+36)/6`.
#[cfg_attr(test, test)]
pub(crate) fn wolter_by_hand() {
    let totals = [4.0, 7.0, 5.0, 10.0, 11.0, 5.0, 9.0];
    let (mean, factor) = (51.0 / 7.0, 42.0 * 42.0 * (1.0 - 7.0 / 42.0) / 7.0);
    let plain = totals.iter().map(|t| (t - mean) * (t - mean)).sum::<f64>() / 6.0;
    for (rule, spread) in [
        (Rule::AsRandom, plain),
        (Rule::Differences, 91.0 / 12.0),
        (Rule::Pairs, 70.0 / 6.0),
    ] {
        let made = total(42, &totals, Draw::Systematic(rule));
        close(made.estimate, 306.0, 1e-14, 0.0, "total");
        close(made.se * made.se, factor * spread, 1e-13, 0.0, "its variance");
    }
    let by_rule = total(42, &totals, Draw::Systematic(Rule::Differences));
    close(
        by_rule.se.powi(2),
        variance_of_total(&totals, 42).unwrap(),
        1e-13,
        0.0,
        "both doors",
    );
    assert!(
        by_rule.method.contains("systematically, by the differences"),
        "{}",
        by_rule.method
    );
    let taken = total(42, &totals, Draw::Systematic(Rule::default()));
    let random = total(42, &totals, Draw::Random);
    assert_eq!(
        (taken.estimate.to_bits(), taken.se.to_bits()),
        (random.estimate.to_bits(), random.se.to_bits())
    );
    assert_eq!(
        taken.method,
        format!("{}; boxes drawn systematically, taken as random", random.method)
    );
}

/// Over every start the total is right on average, whole step or broken; with a rule that fits, so nearly is its variance.
#[cfg_attr(test, test)]
pub(crate) fn every_start() {
    let mut stream = Stream::new("9", "systematic designs");
    let shelves: [(usize, usize); 3] = [(120, 12), (100, 9), (35, 8)];
    for (frame, n) in shelves {
        // Stretches of ten boxes are alike.
        let boxes: Vec<f64> = {
            let mut level = 0.0;
            (0..frame)
                .map(|i| {
                    if i % 10 == 0 {
                        level = 100.0 * stream.unit();
                    }
                    level + 10.0 * stream.unit()
                })
                .collect()
        };
        let truth: f64 = boxes.iter().sum();
        // Starts evenly spread; each box's place changes where a start meets a box, at multiples of 1 / frame.
        let starts = frame * n;
        let mean = (0..starts)
            .map(|s| {
                let at = places(frame, n, (s as f64 + 0.5) / starts as f64);
                let own: Vec<f64> = at.iter().map(|i| boxes[*i]).collect();
                total(frame as u64, &own, Draw::Systematic(Rule::Differences)).estimate
            })
            .sum::<f64>()
            / starts as f64;
        close(mean, truth, 1e-11, 0.0, "the total");
    }
    // Many shelves whose boxes wander: neighbours tell the error, the random sample's formula says several times as much.
    let (mut errors, mut said) = (0.0, [0.0; 3]);
    for _ in 0..600 {
        let mut level = 50.0;
        let boxes: Vec<f64> = (0..200)
            .map(|_| {
                level += 8.0 * (stream.unit() - 0.5);
                level + 12.0 * stream.unit()
            })
            .collect();
        let own: Vec<f64> = places(200, 20, stream.unit()).iter().map(|i| boxes[*i]).collect();
        errors += (total(200, &own, Draw::Random).estimate - boxes.iter().sum::<f64>()).powi(2);
        for (said, (_, rule)) in said.iter_mut().zip(Rule::NAMES) {
            *said += total(200, &own, Draw::Systematic(rule)).se.powi(2);
        }
    }
    let [plain, differences, pairs] = said.map(|said| said / errors);
    assert!(
        (1.0..2.0).contains(&differences) && (1.0..2.0).contains(&pairs),
        "{differences} {pairs}"
    );
    assert!(plain > 1.5 * differences, "{plain} {differences}");
}

/// A box that nobody reached is no neighbour; one box alone is lonely; a census errs nowhere.
#[cfg_attr(test, test)]
pub(crate) fn what_happens_to_boxes() {
    let draw = Draw::Systematic(Rule::Differences);
    let boxes = [
        Status::Checked,
        Status::NotReached,
        Status::Checked,
        Status::Checked,
    ]
    .iter()
    .enumerate();
    let sample = boxes.map(|(i, status)| BoxSample {
        id: format!("{i}"),
        status: *status,
        items: (*status == Status::Checked).then_some(1),
        rows: usize::from(*status == Status::Checked),
        ..BoxSample::default()
    });
    let stratum = StratumSample {
        frame_boxes: 30,
        draw,
        sample: sample.collect(),
        ..StratumSample::default()
    };
    let design = Design::new(vec![stratum]).unwrap();
    let column = Column::of_rows(&design, [2.0, 6.0, 7.0].map(Some).to_vec()).unwrap();
    let made = estimate::total(&design.whole(), &column, &Options::default()).unwrap();
    close(
        made.se.powi(2),
        30.0 * 30.0 * 0.9 / 3.0 * (16.0 + 1.0) / 4.0,
        1e-13,
        0.0,
        "two differences",
    );
    assert_eq!(total(3, &[1.0, 5.0, 9.0], draw).se.to_bits(), 0.0f64.to_bits());
    let (design, column) = shelf(9, &[1.0], draw);
    assert!(estimate::total(&design.whole(), &column, &Options::default()).is_err());
}
