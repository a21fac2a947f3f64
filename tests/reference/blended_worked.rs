//! The six worked examples of the blended effective size, to 1e-9; they were computed apart, in Python.

use crate::agreement::{close, design_of};
use sampling::column::Column;
use sampling::design::Design;
use sampling::estimate::{Options, share};
use sampling::interval::{Kind, Limits, blended};

/// A design and a condition from boxes of (stratum, boxes in it, items, read, yes).
pub(crate) fn sample(boxes: &[(&str, u64, u64, usize, usize)]) -> (Design, Column) {
    let named = boxes
        .iter()
        .enumerate()
        .map(|(i, (key, frame, items, rows, _))| ((*key).to_owned(), *frame, format!("{i}"), *items, *rows));
    let design = design_of(named);
    let answers = boxes
        .iter()
        .flat_map(|(_, _, _, rows, yes)| (0..*rows).map(|j| Some(f64::from(u8::from(j < *yes)))));
    let column = Column::of_rows(&design, answers.collect()).unwrap();
    (design, column)
}

fn example(
    boxes: &[(&str, u64, u64, usize, usize)],
    p: f64,
    limits: Limits,
    se: f64,
    df: f64,
    effective: f64,
) {
    let (design, column) = sample(boxes);
    let options = Options {
        interval: Kind::Blended,
        ..Options::default()
    };
    let made = share(&design.whole(), &column, &options).unwrap();
    close(made.estimate, p, 0.0, 1e-10, "share");
    close(made.se, se, 0.0, 1e-10, "standard error");
    close(made.df, df, 0.0, 0.0, "degrees of freedom");
    // The examples are printed with ten decimals.
    close(made.limits.unwrap().low, limits.low, 1e-9, 6e-11, "lower");
    close(made.limits.unwrap().high, limits.high, 1e-9, 6e-11, "upper");
    close(made.effective_items, effective, 1e-9, 6e-11, "effective items");
}

const A: [(&str, u64, u64, usize, usize); 5] = [
    ("", 400, 12, 12, 0),
    ("", 400, 7, 7, 2),
    ("", 400, 15, 15, 0),
    ("", 400, 9, 9, 0),
    ("", 400, 20, 20, 5),
];

#[cfg_attr(test, test)]
pub(crate) fn a_two_positive_boxes() {
    let limits = Limits {
        low: 0.0201386478,
        high: 0.3424645392,
    };
    example(&A, 0.1111111111, limits, 0.0677651009, 4.0, 14.5781635972);
}

#[cfg_attr(test, test)]
pub(crate) fn b_none_seen() {
    let boxes: Vec<_> = [10, 8, 12, 9, 11, 10, 7, 13, 10, 10]
        .map(|m: usize| ("", 400, m as u64, m, 0))
        .to_vec();
    example(
        &boxes,
        0.0,
        Limits {
            low: 0.0,
            high: 0.0534594138,
        },
        0.0,
        9.0,
        49.1907844943,
    );
}

#[cfg_attr(test, test)]
pub(crate) fn c_all_seen() {
    let boxes: Vec<_> = [6, 4, 9, 5, 8].map(|m: usize| ("", 50, m as u64, m, m)).to_vec();
    example(
        &boxes,
        1.0,
        Limits {
            low: 0.8838776780,
            high: 1.0,
        },
        0.0,
        4.0,
        21.0919837362,
    );
}

#[cfg_attr(test, test)]
pub(crate) fn d_two_stages() {
    let boxes = [
        (20, 8, 1),
        (35, 8, 0),
        (12, 8, 3),
        (8, 8, 2),
        (5, 5, 0),
        (40, 8, 0),
        (16, 8, 8),
        (25, 8, 1),
    ];
    let boxes = boxes.map(|(items, read, yes)| ("", 120, items, read, yes));
    let limits = Limits {
        low: 0.0362732894,
        high: 0.4627326601,
    };
    example(&boxes, 0.1746894410, limits, 0.1055563388, 7.0, 10.7625105210);
}

#[cfg_attr(test, test)]
pub(crate) fn e_two_strata() {
    let first = [(10, 4), (12, 7), (6, 1)].map(|(m, yes)| ("1", 40, m as u64, m, yes));
    let second = [(9, 0), (14, 1), (20, 0), (8, 0), (11, 2)].map(|(m, yes)| ("2", 160, m as u64, m, yes));
    let limits = Limits {
        low: 0.0226523791,
        high: 0.3134840691,
    };
    example(
        &[&first[..], &second[..]].concat(),
        0.1085972851,
        limits,
        0.0406533956,
        6.0,
        17.7670288716,
    );
}

#[cfg_attr(test, test)]
pub(crate) fn f_boxes_of_one_item() {
    let boxes: Vec<_> = (0..20).map(|i| ("", 60, 1, 1, usize::from(i < 3))).collect();
    let limits = Limits {
        low: 0.0539897099,
        high: 0.3145970378,
    };
    example(&boxes, 0.15, limits, 0.0668856054, 19.0, 27.7008744521);
}

#[cfg_attr(test, test)]
pub(crate) fn correlation_and_telling_boxes() {
    let answers = A.map(|(_, frame, items, read, yes)| blended::BoxAnswers {
        known: read as u64,
        yes: yes as u64,
        weight: frame as f64 / 5.0,
        box_fraction: 5.0 / frame as f64,
        item_fraction: read as f64 / items as f64,
    });
    let made = blended::limits(1.0 / 9.0, 0.0677651009 * 0.0677651009, 4.0, &answers, 0.95).unwrap();
    close(made.correlation, 0.2288816131, 0.0, 1e-10, "mean correlation");
    assert_eq!(made.telling_boxes, 2);
}

#[cfg_attr(test, test)]
pub(crate) fn yes_and_no_are_mirrored_and_higher_levels_are_wider() {
    let (design, column) = sample(&A);
    let opposite = column.combined(&design, &column, |yes, _| yes.map(|y| 1.0 - y));
    let of = |column: &Column, level| {
        share(
            &design.whole(),
            column,
            &Options {
                level,
                ..Options::default()
            },
        )
        .unwrap()
        .limits
        .unwrap()
    };
    let mut width = 0.0;
    for level in [0.5, 0.8, 0.9, 0.95, 0.99] {
        let (yes, no) = (of(&column, level), of(&opposite, level));
        close(no.low, 1.0 - yes.high, 1e-11, 0.0, "lower of no");
        close(no.high, 1.0 - yes.low, 1e-11, 0.0, "upper of no");
        assert!(yes.high - yes.low > width, "level {level}");
        width = yes.high - yes.low;
    }
}
