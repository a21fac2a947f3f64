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
    assert!(
        after.problems[0].starts_with("2 boxes found after the draw"),
        "{:?}",
        after.problems
    );
    let file = handover::survey_file::write(&it.log, &common::parts()).unwrap();
    assert!(handover::verify(&file).holds());
}
