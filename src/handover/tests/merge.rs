//! Colleagues' files put together.

mod common;

use common::{Surveyor, parts, surveyed};
use handover::{FileError, merge, survey_file};
use survey::{Log, SurveyId};

#[test]
fn two_phones_merge_in_any_order() {
    let first = surveyed();
    let mut second = Surveyor::new(0x22, first.log.clone());
    second.check_round(4, "second look");
    let mut third = Surveyor::new(0x33, first.log.clone());
    third.check_round(5, "third look");
    let (a, b) = (second.log, third.log);
    let one = merge(&[a.clone(), b.clone()]).unwrap().unwrap();
    let two = merge(&[b.clone(), a.clone(), b, a, first.log]).unwrap().unwrap();
    assert_eq!(one, two);
    assert_eq!(
        survey_file::write(&one, &parts()).unwrap(),
        survey_file::write(&two, &parts()).unwrap()
    );
    let report = handover::verify(&survey_file::write(&one, &parts()).unwrap());
    assert!(report.holds(), "{report:#?}");
}

#[test]
fn another_survey_is_refused() {
    let it = surveyed();
    let other = Log::new(SurveyId([1; 16]));
    assert!(matches!(
        merge(&[it.log, other]),
        Err(FileError::OtherSurvey { .. })
    ));
    assert_eq!(merge(&[]), Ok(None));
}
