//! Several surveys as one programme: R's survey package in the same run (`data/programme.R`), and laws.

use crate::agreement::close;
use crate::programmes::{Boxes, Survey, collections, survey};
use proptest::prelude::*;
use sampling::column::Column;
use sampling::contrast;
use sampling::design::Design;
use sampling::estimate::{self, Estimate, Options};
use sampling::interval::Kind;
use sampling::programme::{Drawn, ProgrammeError, joined};
use sampling::random::Stream;
use std::fmt::Write as _;
use std::process::Command;

#[test]
fn programmes_of_r_survey() {
    let mut stream = Stream::new("2", "programme");
    let mut below = |n: u64| stream.below(n);
    let mut table = "survey,stratum,box,item,N,M,y,c\n".to_owned();
    let mut surveys = Vec::new();
    for s in 0..6 {
        let mut boxes: Boxes = Vec::new();
        let often = 1 + below(5);
        for h in 0..=usize::from(below(2) == 0) {
            let (drawn, more) = (3 + below(5), below(30));
            for _ in 0..drawn {
                let rows = 2 + below(7);
                let items = rows + if below(2) == 0 { below(9) } else { 0 };
                let read = (0..rows).map(|_| (below(900) as f64 / 100.0 + s as f64, below(6) < often));
                boxes.push((h, drawn + more, items, read.collect()));
            }
        }
        for (i, (h, frame, items, rows)) in boxes.iter().enumerate() {
            for (j, (y, c)) in rows.iter().enumerate() {
                writeln!(table, "V{s},S{h},{i},{j},{frame},{items},{y},{}", u8::from(*c)).unwrap();
            }
        }
        surveys.push(survey(format!("V{s}"), &boxes));
    }
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("programme-{}.csv", std::process::id()));
    std::fs::write(&path, table).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/data/programme.R");
    let done = Command::new("Rscript").args(["--vanilla", script]).arg(&path).arg("15").output().expect(
        "Rscript is needed for the comparison: apt-get install r-base-core r-cran-survey, or `cargo xtask test`",
    );
    assert!(
        done.status.success(),
        "R failed: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    let mut compared = 0;
    for line in String::from_utf8(done.stdout).unwrap().lines() {
        let cells: Vec<&str> = line.trim().split(',').collect();
        let drawn = match cells[0] {
            "strata" => Drawn::Of(6),
            "listed" => Drawn::Of(15),
            _ => Drawn::Unlisted,
        };
        let made = figures(&surveys, drawn, &Options::default());
        if cells[1] == "df" {
            // R counts boxes less strata in a first stage of its own only.
            close(
                made[4].1.as_ref().unwrap().df,
                cells[2].parse().unwrap(),
                1e-12,
                0.0,
                line,
            );
        } else {
            let made = made
                .into_iter()
                .find(|(name, _)| *name == cells[1])
                .unwrap()
                .1
                .unwrap();
            close(made.estimate, cells[2].parse().unwrap(), 1e-11, 0.0, line);
            close(made.se, cells[3].parse().unwrap(), 1e-10, 0.0, line);
        }
        compared += 1;
    }
    assert_eq!(compared, 15);
    // Nothing of one collection varies with another.
    let named: Vec<(&str, &Design)> = surveys.iter().map(|s| (s.name.as_str(), &s.design)).collect();
    let own = |which: usize| -> Vec<Column> {
        let zeroed = |s: (usize, &Survey)| {
            s.1.y.combined(&s.1.design, &s.1.y, |y, _| {
                y.map(|y| if s.0 == which { y } else { 0.0 })
            })
        };
        surveys.iter().enumerate().map(zeroed).collect()
    };
    let (first, second) = (own(0), own(1));
    let (programme, columns) = joined(&named, &[first.iter().collect(), second.iter().collect()]).unwrap();
    let part = programme.whole();
    let totals = columns
        .iter()
        .map(|column| contrast::total_of(&part, column))
        .collect::<Vec<_>>();
    let matrix = contrast::covariance(&part, &totals, &Options::default()).unwrap();
    close(
        matrix[0][1],
        0.0,
        0.0,
        1e-12 * matrix[0][0].max(matrix[1][1]),
        "two collections",
    );
}

fn programme() -> impl Strategy<Value = Vec<Boxes>> {
    let rows = proptest::collection::vec((0.0..50.0f64, any::<bool>()), 2..6);
    let a_box = (0..3u64, rows).prop_map(|(unread, rows)| (rows.len() as u64 + unread, rows));
    let collection = (0..20u64, proptest::collection::vec(a_box, 2..6)).prop_map(|(more, boxes)| {
        let frame = more + boxes.len() as u64;
        boxes
            .into_iter()
            .map(|(items, rows)| (0, frame, items, rows))
            .collect()
    });
    proptest::collection::vec(collection, 2..6)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn programme_laws(given in programme(), more in 1..30u64, by in 0.1..50.0f64) {
        let options = Options::default();
        let surveys: Vec<Survey> = given.iter().enumerate().map(|(i, b)| survey(format!("{i}"), b)).collect();
        let n = surveys.len() as u64;
        let whole = figures(&surveys, Drawn::Of(n), &options);
        // Every collection surveyed: the sum of their own estimates.
        let own = |f: &dyn Fn(&Survey) -> Estimate| surveys.iter().map(f).fold((0.0, 0.0), |(e, v), one| (e + one.estimate, v + one.se * one.se));
        for (at, (total, variance)) in [
            own(&|s| estimate::items(&s.design.whole(), &options).unwrap()),
            own(&|s| estimate::total(&s.design.whole(), &s.y, &options).unwrap()),
        ].into_iter().enumerate() {
            let made = whole[at].1.as_ref().unwrap();
            close(made.estimate, total, 1e-12, 1e-12, "totals add up");
            close(made.se * made.se, variance, 1e-9, 1e-9, "so do their variances");
        }
        // A draw of them has the same shares and totals raised, and is less sure the more there are.
        let mut before: Option<Vec<Estimate>> = None;
        for listed in [n + more, n + 2 * more] {
            let made: Vec<Estimate> = figures(&surveys, Drawn::Of(listed), &options).into_iter().map(|(_, e)| e.unwrap()).collect();
            let rise = listed as f64 / n as f64;
            for (at, made) in made.iter().enumerate() {
                let rise = if at < 3 { rise } else { 1.0 };
                close(made.estimate, rise * whole[at].1.as_ref().unwrap().estimate, 1e-11, 1e-11, "the estimate");
                prop_assert!(made.se.is_finite());
                let limits = made.limits.unwrap();
                prop_assert!(limits.low <= made.estimate + 1e-12 && made.estimate <= limits.high + 1e-12);
            }
            if let Some(before) = before {
                for (now, before) in made.iter().zip(&before).take(3) {
                    prop_assert!(now.se + 1e-9 >= before.se, "{now:?} {before:?}");
                }
            }
            before = Some(made);
        }
        // The order of collections is nothing; another unit is another unit.
        let turned: Vec<Survey> = given.iter().enumerate().rev().map(|(i, b)| {
            let scaled: Boxes = b.iter().map(|(h, frame, items, rows)| {
                (*h, *frame, *items, rows.iter().map(|(y, c)| (by * y, *c)).collect())
            }).collect();
            survey(format!("{i}"), &scaled)
        }).collect();
        let (one, two) = (figures(&surveys, Drawn::Of(n + more), &options), figures(&turned, Drawn::Of(n + more), &options));
        for ((name, a), (_, b)) in one.into_iter().zip(two) {
            let (a, b) = (a.unwrap(), b.unwrap());
            let unit = if name == "total" || name == "mean" { by } else { 1.0 };
            close(b.estimate, unit * a.estimate, 1e-9, 1e-9, name);
            close(b.se, unit * a.se, 1e-6, 1e-6 * unit, name);
        }
        for (_, interval) in Kind::NAMES {
            let share = figures(&surveys, Drawn::Unlisted, &Options { interval, ..options }).pop().unwrap().1.unwrap();
            let limits = share.limits.unwrap();
            prop_assert!(0.0 <= limits.low && limits.low <= limits.high && limits.high <= 1.0);
        }
        // Every box of every collection read: nothing is left to err.
        let all: Vec<Survey> = given.iter().enumerate().map(|(i, b)| {
            let boxes = b.len() as u64;
            let read: Boxes = b.iter().map(|(h, _, _, rows)| (*h, boxes, rows.len() as u64, rows.clone())).collect();
            survey(format!("{i}"), &read)
        }).collect();
        for (_, made) in figures(&all, Drawn::Of(n), &options) {
            prop_assert_eq!(made.unwrap().se.to_bits(), 0.0f64.to_bits());
        }
    }
}

/// Items, total of the quantity, count of the condition, mean, share.
fn figures(
    surveys: &[Survey],
    drawn: Drawn,
    options: &Options,
) -> Vec<(&'static str, Result<Estimate, ProgrammeError>)> {
    let made = collections(surveys, drawn).unwrap();
    let (y, c): (Vec<&Column>, Vec<&Column>) = surveys.iter().map(|s| (&s.y, &s.c)).unzip();
    let all = [
        ("items", made.items(options)),
        ("total", made.total(&y, options)),
        ("count", made.count(&c, options)),
        ("mean", made.mean(&y, options)),
        ("share", made.share(&c, options)),
    ];
    all.into_iter()
        .map(|(name, made)| (name, made.map(|made| made.estimate)))
        .collect()
}
