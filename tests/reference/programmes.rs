//! Several surveys as one programme: every draw of a small programme, and what is refused.

use crate::agreement::{close, design_of};
use sampling::column::Column;
use sampling::design::Design;
use sampling::estimate::Options;
use sampling::programme::{Collections, Drawn, ProgrammeError};

pub(crate) struct Survey {
    pub(crate) name: String,
    pub(crate) design: Design,
    pub(crate) y: Column,
    pub(crate) c: Column,
}

/// Boxes: stratum, boxes in it, items in the box, and the read items' quantity and condition.
pub(crate) type Boxes = Vec<(usize, u64, u64, Vec<(f64, bool)>)>;

pub(crate) fn survey(name: String, boxes: &Boxes) -> Survey {
    let design =
        design_of(boxes.iter().enumerate().map(|(i, (h, frame, items, rows))| {
            (format!("S{h}"), *frame, format!("{i}"), *items, rows.len())
        }));
    let rows = || boxes.iter().flat_map(|b| b.3.iter());
    Survey {
        name,
        y: Column::of_rows(&design, rows().map(|r| Some(r.0)).collect()).unwrap(),
        c: Column::of_rows(&design, rows().map(|r| Some(f64::from(u8::from(r.1)))).collect()).unwrap(),
        design,
    }
}

pub(crate) fn collections(surveys: &[Survey], drawn: Drawn) -> Result<Collections<'_>, ProgrammeError> {
    Collections::new(
        surveys.iter().map(|s| (s.name.as_str(), &s.design)).collect(),
        drawn,
    )
}

/// Every draw of two of four collections, and of two of three boxes in each: totals and their variances are right on average.
#[cfg_attr(test, test)]
pub(crate) fn every_draw_of_a_small_programme() {
    let shelves: [[f64; 3]; 4] = [
        [3.0, 5.0, 1.0],
        [10.0, 2.0, 6.0],
        [4.0, 4.0, 7.0],
        [0.0, 9.0, 12.0],
    ];
    let truth: f64 = shelves.iter().flatten().sum();
    let two_of_three = [[0, 1], [0, 2], [1, 2]];
    let (mut estimates, mut squares, mut variances, mut draws) = (0.0, 0.0, 0.0, 0.0);
    for a in 0..4 {
        for b in a + 1..4 {
            for (first, second) in two_of_three.iter().flat_map(|f| two_of_three.map(|s| (*f, s))) {
                let of = |which: usize, boxes: [usize; 2]| {
                    let boxes = boxes.map(|i| (0, 3, 1, vec![(shelves[which][i], true)]));
                    survey(format!("{which}"), &boxes.to_vec())
                };
                let surveys = [of(a, first), of(b, second)];
                let made = collections(&surveys, Drawn::Of(4)).unwrap();
                let made = made
                    .total(&[&surveys[0].y, &surveys[1].y], &Options::default())
                    .unwrap();
                estimates += made.estimate.estimate;
                squares += (made.estimate.estimate - truth).powi(2);
                variances += made.between + made.within;
                draws += 1.0;
            }
        }
    }
    close(draws, 54.0, 0.0, 0.0, "draws");
    close(estimates / draws, truth, 1e-12, 0.0, "the total");
    close(variances, squares, 1e-11, 0.0, "its variance");
}

#[cfg_attr(test, test)]
pub(crate) fn what_cannot_be_is_said() {
    let boxes: Boxes = (0..3)
        .map(|i| (0, 9, 2, vec![(f64::from(i), false), (1.0, false)]))
        .collect();
    let surveys: Vec<Survey> = (0..3).map(|s| survey(format!("V{s}"), &boxes)).collect();
    let refused = |surveys: &[Survey], drawn| collections(surveys, drawn).unwrap_err();
    assert!(matches!(refused(&[], Drawn::Of(3)), ProgrammeError::Design(_)));
    assert_eq!(
        refused(&surveys[..1], Drawn::Of(3)),
        ProgrammeError::OneCollection
    );
    assert_eq!(
        refused(&surveys, Drawn::Of(2)),
        ProgrammeError::MoreThanListed {
            surveyed: 3,
            listed: 2
        }
    );
    let twice = [survey("V".into(), &boxes), survey("V".into(), &boxes)];
    assert!(matches!(refused(&twice, Drawn::Of(3)), ProgrammeError::Design(_)));
    let unlisted = collections(&surveys, Drawn::Unlisted).unwrap();
    assert_eq!(unlisted.items(&Options::default()), Err(ProgrammeError::NoList));
    let few = [&surveys[0].c, &surveys[1].c];
    assert_eq!(
        unlisted.share(&few, &Options::default()),
        Err(ProgrammeError::Columns {
            columns: 2,
            surveys: 3
        })
    );
    let level = Options {
        level: 0.0,
        ..Options::default()
    };
    let columns: Vec<&Column> = surveys.iter().map(|s| &s.c).collect();
    assert!(matches!(
        unlisted.share(&columns, &level),
        Err(ProgrammeError::Estimate(_))
    ));
    // None seen in three collections: three independent items would say as much.
    let none = unlisted.share(&columns, &Options::default()).unwrap().estimate;
    assert!(
        none.estimate == 0.0 && none.limits.is_some_and(|l| l.low == 0.0 && l.high > 0.7),
        "{none:?}"
    );
}
