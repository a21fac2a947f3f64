//! Changes between two visits: their standard errors against R's survey package (`svycontrast` on the combined design, run
//! here), their limits against Newcombe's worked example.

use std::fmt::Write as _;
use std::process::Command;

use sampling::column::Column;
use sampling::contrast::{Linearised, mean_of, total_of};
use sampling::design::{BoxSample, Design, StratumSample};
use sampling::estimate::Options;
use sampling::interval::Limits;
use sampling::overlap::{change_limits, covariance};

use crate::agreement::close;

/// Of each stratum: boxes in the frame, and of each box its items and those with the condition, then and now.
const STRATA: [(&str, u64, &[[u64; 4]]); 2] = [
    (
        "cellar",
        40,
        &[
            [12, 3, 12, 5],
            [8, 0, 8, 1],
            [20, 6, 19, 9],
            [5, 1, 5, 1],
            [15, 2, 15, 2],
        ],
    ),
    (
        "attic",
        25,
        &[[9, 0, 9, 0], [14, 5, 14, 4], [7, 2, 7, 4], [11, 1, 11, 3]],
    ),
];

fn visit(at: usize) -> (Design, Column) {
    let strata = STRATA.iter().map(|(key, frame, boxes)| StratumSample {
        key: (*key).to_owned(),
        frame_boxes: *frame,
        sample: boxes
            .iter()
            .enumerate()
            .map(|(n, own)| BoxSample {
                id: n.to_string(),
                items: Some(own[2 * at]),
                rows: usize::try_from(own[2 * at]).unwrap(),
                ..BoxSample::default()
            })
            .collect(),
        ..StratumSample::default()
    });
    let design = Design::new(strata.collect()).unwrap();
    let rows = STRATA
        .iter()
        .flat_map(|(_, _, boxes)| boxes.iter())
        .flat_map(|own| (0..own[2 * at]).map(move |j| Some(f64::from(u8::from(j < own[2 * at + 1])))));
    let column = Column::of_rows(&design, rows.collect()).unwrap();
    (design, column)
}

#[test]
fn changes_and_their_errors_are_those_of_r() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("visits");
    std::fs::create_dir_all(&folder).unwrap();
    let mut csv = "stratum,N,t1,m1,t2,m2\n".to_owned();
    for (key, frame, boxes) in STRATA {
        for [m1, t1, m2, t2] in boxes {
            writeln!(csv, "{key},{frame},{t1},{m1},{t2},{m2}").unwrap();
        }
    }
    let path = folder.join("boxes.csv");
    std::fs::write(&path, csv).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/data/visits.R");
    let done = Command::new("Rscript").arg(script).arg(&path).output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let said = String::from_utf8(done.stdout).unwrap();
    let r = |name: &str| -> [f64; 2] {
        let line = said.lines().find(|line| line.starts_with(name)).unwrap();
        let numbers: Vec<f64> = line
            .split(',')
            .skip(2)
            .map(|n| n.trim().parse().unwrap())
            .collect();
        [numbers[0], numbers[1]]
    };
    let ((d1, c1), (d2, c2)) = (visit(0), visit(1));
    let (p1, p2) = (d1.whole(), d2.whole());
    let options = Options::default();
    let compare = |what: &str, then: &Linearised, now: &Linearised| {
        let apart = then.variance(&p1, &options).unwrap() + now.variance(&p2, &options).unwrap();
        let made = covariance((&p1, then), (&p2, now));
        assert_eq!((made.boxes, made.df), (9, 7));
        for (drawn, variance) in [("apart", apart), ("again", apart - 2.0 * made.covariance)] {
            let [estimate, se] = r(&format!("{drawn},{what}"));
            close(now.estimate - then.estimate, estimate, 1e-12, 1e-14, what);
            close(variance.sqrt(), se, 1e-10, 1e-14, what);
        }
    };
    compare("total", &total_of(&p1, &c1), &total_of(&p2, &c2));
    compare(
        "share",
        &mean_of(&p1, &c1, None).unwrap(),
        &mean_of(&p2, &c2, None).unwrap(),
    );
}

/// Newcombe (1998), Statistics in Medicine 17, 873-890, table II, example (a), method 10: 56 of 70 less 48 of 80, each with
/// Wilson's limits, is 0.2 (0.0524 to 0.3339); from memory.
#[test]
fn newcombes_first_example() {
    let wilson = |yes: f64, n: f64| {
        let (p, z2) = (yes / n, 1.959_963_984_540_054_f64.powi(2));
        let off = (z2 * (p * (1.0 - p) / n + z2 / (4.0 * n * n))).sqrt();
        let centre = p + z2 / (2.0 * n);
        let limits = Limits {
            low: (centre - off) / (1.0 + z2 / n),
            high: (centre + off) / (1.0 + z2 / n),
        };
        (p, limits)
    };
    let made = change_limits(wilson(48.0, 80.0), wilson(56.0, 70.0), 0.0);
    assert_eq!(format!("{:.4} {:.4}", made.low, made.high), "0.0524 0.3339");
}
