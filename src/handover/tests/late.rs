//! Boxes found after the draw do not take away what is known of the others.

mod common;

use common::{Surveyor, surveyed};
use survey::decide::BoxToList;
use survey::{Command, Key, PlaceKey};

#[test]
fn late_boxes_stand_outside_until_one_is_counted() {
    let mut it = surveyed();
    let with_late = analysis::figures::figures(&it.state);
    assert!(with_late.headline.contains_key("late.items.total"));
    assert!(with_late.problems.is_empty());
    it = Surveyor::new(0x11, survey::Log::new(survey::SurveyId([5; 16])));
    common::set_up(&mut it);
    it.check_round(1, "first look");
    let before = analysis::figures::figures(&it.state);
    let place = PlaceKey(Key { tag: 0, number: 1 });
    let boxes = vec![BoxToList::default(); 2];
    it.ask(Command::AddBoxes { place, boxes });
    let after = analysis::figures::figures(&it.state);
    assert!(!before.headline.is_empty());
    assert_eq!(before.headline, after.headline);
    let left_out = analysis::figures::Problem::StratumLeftOut {
        stratum: "late".to_owned(),
        n_boxes: 2,
    };
    assert_eq!(after.problems, [left_out]);
    let file = handover::survey_file::write(&it.log, &common::parts()).unwrap();
    assert!(handover::verify(&file).holds());
}

#[test]
fn a_stratum_whose_boxes_were_all_missing_is_left_out_aloud() {
    let mut it = Surveyor::new(0x12, survey::Log::new(survey::SurveyId([6; 16])));
    common::set_up(&mut it);
    it.check_round(1, "first look");
    let whole = analysis::figures::figures(&it.state);
    assert!(whole.problems.is_empty(), "{:?}", whole.problems);
    // Every checked box of the first stratum turns out to be missing.
    let stratum = *it.state.strata.keys().next().unwrap();
    let drawn: Vec<_> = it.state.draw.as_ref().unwrap().round(1);
    for drawn in drawn
        .iter()
        .filter(|drawn| drawn.stratum == survey::frame::DrawStratum::Listed(stratum))
    {
        for (question, value) in [("outcome", "not_found"), ("outcome_reason", "missing_today")] {
            let subject = survey::Subject::Box(drawn.serial);
            let (question, value) = (question.to_owned(), tape::Answer::one(value));
            it.ask(Command::Answer {
                subject,
                question,
                value,
            });
        }
    }
    let figures = analysis::figures::figures(&it.state);
    let n_boxes = it
        .state
        .frame
        .as_ref()
        .unwrap()
        .boxes
        .values()
        .filter(|key| **key == stratum)
        .count();
    let left_out = analysis::figures::Problem::StratumLeftOut {
        stratum: stratum.to_string(),
        n_boxes,
    };
    assert_eq!(figures.problems, [left_out]);
    assert!(
        figures.headline.contains_key("items.total"),
        "the other strata keep their figures"
    );
    assert!(!figures.headline.contains_key(&format!("{stratum}.items.total")));
}
