//! The rule for stopping, looked at over a survey that goes on.
#![allow(clippy::unwrap_used, reason = "what cannot be made is a failed test")]

#[allow(dead_code, reason = "each test uses what it needs of the helpers")]
mod common;

use common::{Surveyor, set_up};
use sampling::plan::stopping::Decision;
use survey::{Command, Log, Subject, SurveyId, stopping};
use tape::Answer;

#[test]
fn the_rule_looks_at_the_ends_of_whole_rounds_and_at_the_width_alone() {
    let mut it = Surveyor::new(0x11, Log::new(SurveyId([0xa7; 16])));
    set_up(&mut it);
    let look = |it: &Surveyor| {
        let figures = analysis::figures::figures(&it.state);
        analysis::stopping::look(&it.state, &figures)
    };
    assert_eq!(look(&it), None, "none was chosen");
    let rule = stopping::usual(10, 5, 31);
    it.ask(Command::AnswerAll {
        subject: Subject::Survey,
        answers: vec![
            (stopping::RULE.to_owned(), stopping::to_answer(&rule)),
            (stopping::CONDITION.to_owned(), Answer::one("damage")),
        ],
    });
    for number in 1..=3 {
        it.check_round(number, "first look");
    }
    let early = look(&it).unwrap();
    assert_eq!(
        (early.number, early.n_boxes, early.decision),
        (0, 15, Decision::Next(20))
    );
    it.check_round(4, "first look");
    let first = look(&it).unwrap();
    assert_eq!((first.number, first.n_looks, first.n_boxes), (1, 3, 20));
    let limits = first.limits.unwrap();
    assert!(
        limits.high - limits.low > 0.2,
        "these few boxes cannot be that sure: {limits:?}"
    );
    assert_eq!(first.decision, Decision::Next(30));
    // Another wish, kept as answers of the same survey would be: wide enough, and it says stop if the boxes tell.
    let wide = stopping::usual(50, 5, 31);
    it.ask(Command::Answer {
        subject: Subject::Survey,
        question: stopping::RULE.to_owned(),
        value: stopping::to_answer(&wide),
    });
    let said = look(&it).unwrap();
    let expected = if said.telling >= 5 {
        Decision::Reached
    } else {
        Decision::Next(30)
    };
    assert_eq!(said.decision, expected, "{said:?}");
}
