//! A share of items known in full is made of a few sums a stratum; it must be what adding up answer by answer gives.

use sampling::column::Column;
use sampling::design::{BoxSample, Design, StratumSample};
use sampling::estimate::{Many, Options, Share, mean};
use sampling::random::Stream;

fn below(stream: &mut Stream, n: u64) -> usize {
    usize::try_from(stream.below(n)).expect("a small number")
}

/// One to three strata of two to six boxes, some read in part, some empty, and answers to a condition that is rare, common or constant.
fn made_up(stream: &mut Stream) -> (Design, Vec<Option<bool>>) {
    let in_part = stream.below(2) == 0;
    let share = [0.0, 0.05, 0.5, 0.95, 1.0][below(stream, 5)];
    let strata = (0..1 + stream.below(3)).map(|h| {
        let sample: Vec<BoxSample> = (0..2 + stream.below(5))
            .map(|i| {
                let rows = below(stream, 9);
                let more = if in_part && rows > 0 { stream.below(9) } else { 0 };
                BoxSample {
                    id: i.to_string(),
                    items: Some(rows as u64 + more),
                    rows,
                    ..BoxSample::default()
                }
            })
            .collect();
        StratumSample {
            key: h.to_string(),
            frame_boxes: sample.len() as u64 + stream.below(40),
            sample,
            ..StratumSample::default()
        }
    });
    let strata: Vec<StratumSample> = strata.collect();
    let design = Design::new(strata).expect("a design");
    let answers = (0..design.rows()).map(|_| Some(stream.unit() < share)).collect();
    (design, answers)
}

#[test]
fn sums_say_what_answers_do() {
    let mut stream = Stream::new("1", "known in full");
    let options = Options::default();
    let mut compared = 0;
    for _ in 0..2000 {
        let (design, answers) = made_up(&mut stream);
        let yes = Column::of_answers(&design, answers.clone()).expect("answers");
        // Of 2 and 0 no counts are kept: every answer is added up.
        let twos = answers
            .iter()
            .map(|yes| yes.map(|yes| 2.0 * f64::from(u8::from(yes))));
        let twice = Column::of_rows(&design, twos.collect()).expect("numbers");
        let many = Many::new(&design, &[&yes, &twice, &yes, &yes, &yes]);
        for part in (0..design.strata().len())
            .map(|h| design.only(h))
            .chain([design.whole()])
        {
            let (one, two) = (mean(&part, &yes, &options), mean(&part, &twice, &options));
            // As text, so that what is no number is like itself.
            assert_eq!(
                format!("{:?}", many.means(&part, &options)[3]),
                format!("{one:?}")
            );
            let (Ok(one), Ok(two)) = (one, two) else { continue };
            alike(&one, &two);
            compared += 1;
        }
    }
    assert!(compared > 4000, "only {compared} were compared");
}

fn alike(one: &Share, two: &Share) {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-10 * a.abs().max(b.abs());
    assert!(near(2.0 * one.estimate, two.estimate), "{one:?} {two:?}");
    // Where boxes do not differ both are rounding alone.
    assert!(
        near(2.0 * one.se, two.se) || one.se.max(two.se) < 1e-8,
        "{one:?} {two:?}"
    );
    let deff = one.deff.is_nan() == two.deff.is_nan() && (one.deff.is_nan() || near(one.deff, two.deff));
    assert!(deff || one.se.max(two.se) < 1e-8, "{one:?} {two:?}");
    assert!(
        (one.estimate <= 0.0 || one.estimate >= 1.0) <= (one.se <= 0.0),
        "all or none have no error: {one:?}"
    );
}
