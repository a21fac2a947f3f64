//! R's survey package in the same run on its own data: unequal probabilities (election), covariances, a difference of two
//! domains, quantiles, post-stratification (api).

use crate::agreement::close;
use crate::r_survey_api::named;
use sampling::column::Column;
use sampling::contrast::{covariance, difference, mean_of, total_of};
use sampling::estimate::Options;
use sampling::interval::Kind;
use sampling::poststratified::{self, Class};
use sampling::quantile::quantile;
use sampling::random::Stream;
use sampling::unequal::{Form, hansen_hurwitz, horvitz_thompson, inclusion_probabilities, sampford};
use std::collections::BTreeMap;
use std::process::Command;

/// The script's lines by name; several of one name in their order.
fn of_r() -> BTreeMap<String, Vec<Vec<f64>>> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/data/further.R");
    let done = Command::new("Rscript").args(["--vanilla", script]).output().expect(
        "Rscript is needed for the comparison: apt-get install r-base-core r-cran-survey, or `cargo xtask test`",
    );
    assert!(
        done.status.success(),
        "R failed: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    let mut lines: BTreeMap<String, Vec<Vec<f64>>> = BTreeMap::new();
    for line in String::from_utf8(done.stdout).unwrap().lines() {
        let (name, values) = line.trim_end_matches([',', ' ']).split_once(',').unwrap();
        let values = values.split(',').map(|v| v.trim().parse().unwrap()).collect();
        lines.entry(name.to_owned()).or_default().push(values);
    }
    lines
}

#[test]
fn r_survey_further() {
    let lines = of_r();
    let one = |name: &str| &lines[name][0];
    unequal_probabilities(&lines);
    post_stratification(&lines);

    let clus2 = named("clus2");
    let part = clus2.design.whole();
    let (api, tested) = (&clus2.columns["api00"], &clus2.columns["apistu"]);
    let matrix = covariance(
        &part,
        &[total_of(&part, api), total_of(&part, tested)],
        &Options::default(),
    )
    .unwrap();
    for (ours, theirs) in matrix.concat().iter().zip(one("covariance")) {
        close(*ours, *theirs, 1e-9, 0.0, "covariance of totals");
    }
    let means = [
        mean_of(&part, api, None).unwrap(),
        mean_of(&part, tested, None).unwrap(),
    ];
    let matrix = covariance(&part, &means, &Options::default()).unwrap();
    for (ours, theirs) in matrix.concat().iter().zip(one("covariance of means")) {
        close(*ours, *theirs, 1e-9, 0.0, "covariance of means");
    }
    let of = |kind: &str| {
        let own = clus2
            .stype
            .iter()
            .map(|s| Some(f64::from(u8::from(s == kind))))
            .collect();
        mean_of(&part, api, Some(&Column::of_rows(&clus2.design, own).unwrap())).unwrap()
    };
    let made = difference(&part, &of("E"), &of("H"), &Options::default()).unwrap();
    close(made.estimate, one("difference")[0], 1e-9, 0.0, "difference");
    close(made.se, one("difference")[1], 1e-9, 0.0, "its error");

    let strat = named("strat");
    let options = Options {
        interval: Kind::Logit,
        ..Options::default()
    };
    for q in [0.1, 0.25, 0.5, 0.75, 0.9] {
        let theirs = one(&format!("quantile {q}"));
        let made = quantile(&strat.design.whole(), &strat.columns["api00"], q, &options).unwrap();
        let limits = made.limits.unwrap();
        assert_eq!(
            [made.estimate, limits.low, limits.high],
            theirs[..],
            "quantile {q}"
        );
    }
}

/// Schools by their known numbers of each kind: one stage and two.
fn post_stratification(lines: &BTreeMap<String, Vec<Vec<f64>>>) {
    let mut compared = 0;
    for which in ["clus1", "clus2"] {
        let data = named(which);
        let part = data.design.whole();
        let members = ["E", "H", "M"].map(|kind| {
            let own = data.stype.iter().map(|s| Some(f64::from(u8::from(s == kind))));
            Column::of_rows(&data.design, own.collect()).unwrap()
        });
        let classes = [(0, 4421.0), (1, 755.0), (2, 1018.0)].map(|(class, items)| Class {
            members: &members[class],
            items,
        });
        for (name, column) in [("enroll", "enroll"), ("api.stu", "apistu"), ("api00", "api00")] {
            let Some(theirs) = lines.get(&format!("post-stratified {which} {name}")) else {
                continue;
            };
            let column = &data.columns[column];
            let options = Options::default();
            let mean = poststratified::mean(&part, column, &classes, &options).unwrap();
            let total = poststratified::total(&part, column, &classes, &options).unwrap();
            let ours = [mean.estimate, mean.se, total.estimate, total.se];
            for (ours, theirs) in ours.iter().zip(&theirs[0]) {
                close(*ours, *theirs, 1e-9, 0.0, name);
                compared += 1;
            }
        }
    }
    assert_eq!(compared, 16);
}

fn unequal_probabilities(lines: &BTreeMap<String, Vec<Vec<f64>>>) {
    let p = &lines["p"][0];
    let draw: Vec<f64> = p.iter().map(|p| p / 40.0).collect();
    let mut joint = lines["joint"].clone();
    for (i, row) in joint.iter_mut().enumerate() {
        row[i] = p[i];
    }
    for (i, name) in ["Bush", "Kerry", "Nader"].into_iter().enumerate() {
        let votes = &lines[name][0];
        let check = |made: sampling::unequal::TotalAndVariance, theirs: &[f64], what: &str| {
            close(made.total, theirs[i], 1e-9, 0.0, what);
            close(made.variance.sqrt(), theirs[3 + i], 1e-9, 0.0, what);
        };
        check(
            hansen_hurwitz(votes, &draw).unwrap(),
            &lines["hansen-hurwitz"][0],
            "Hansen-Hurwitz",
        );
        let made = horvitz_thompson(votes, &joint, Form::HorvitzThompson).unwrap();
        check(made, &lines["horvitz-thompson"][0], "Horvitz-Thompson");
        let made = horvitz_thompson(votes, &joint, Form::SenYatesGrundy).unwrap();
        check(made, &lines["sen-yates-grundy"][0], "Sen-Yates-Grundy");
    }
}

/// Joint inclusion probabilities of Sampford's scheme add up as they must, and drawing finds them.
#[test]
fn sampford_keeps_its_probabilities() {
    let sizes = [3.0, 1.0, 4.0, 1.5, 9.0, 2.6, 5.0, 0.0, 30.0];
    for n in 1..=6usize {
        let single = inclusion_probabilities(&sizes, n).unwrap();
        let joint = sampford::joint_probabilities(&sizes, n).unwrap();
        close(
            single.iter().sum::<f64>(),
            n as f64,
            1e-12,
            0.0,
            "inclusion probabilities",
        );
        for (k, row) in joint.iter().enumerate() {
            close(row[k], single[k], 1e-12, 1e-15, "diagonal");
            close(row.iter().sum::<f64>(), n as f64 * single[k], 1e-12, 1e-15, "row");
            for (l, both) in row.iter().enumerate().filter(|(l, _)| *l != k) {
                assert!(*both <= single[k] * single[l] + 1e-13);
                // Two units that are not certain need two places beside the certain ones.
                let certain = single.iter().filter(|p| **p >= 1.0).count();
                let places = n - certain + usize::from(single[k] >= 1.0) + usize::from(single[l] >= 1.0);
                assert_eq!(
                    *both > 1e-13,
                    places >= 2 && sizes[k] * sizes[l] > 0.0,
                    "{k} {l} of {n}"
                );
            }
        }
        let mut stream = Stream::new("5", "sampford");
        let mut seen = vec![vec![0u32; sizes.len()]; sizes.len()];
        let runs = 20_000;
        for _ in 0..runs {
            let drawn = sampford::draw(&sizes, n, &mut stream).unwrap();
            assert_eq!(drawn.len(), n);
            for k in &drawn {
                for l in &drawn {
                    seen[*k][*l] += 1;
                }
            }
        }
        for (k, row) in seen.iter().enumerate() {
            for (l, count) in row.iter().enumerate() {
                // Five standard deviations of a share of 20,000.
                let p = joint[k][l];
                let off = 5.0 * (p * (1.0 - p) / f64::from(runs)).max(0.0).sqrt() + 1e-12;
                close(f64::from(*count) / f64::from(runs), p, 0.0, off, "drawn together");
            }
        }
    }
    assert!(sampford::draw(&sizes, 9, &mut Stream::new("5", "sampford")).is_none());
}
