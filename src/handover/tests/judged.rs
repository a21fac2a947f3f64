//! A box that was stopped and judged from outside to hold nothing adds nothing to any figure, and is told of all the same.
#![allow(clippy::unwrap_used, reason = "what cannot be made is a failed test")]

mod common;

use analysis::outside::{judged, judged_empty};
use common::{parts, surveyed};
use handover::report::{self, Options, check::check};
use survey::progress::Outcome;
use survey::{Command, Subject};
use tape::Answer;

#[test]
fn a_stopped_box_judged_to_be_empty_is_told_of_beside_what_it_showed() {
    let mut it = surveyed();
    let sample = it.state.sample(false);
    let (opened, _) = sample
        .iter()
        .find(|(_, outcome)| *outcome == Outcome::Checked)
        .unwrap();
    let (subject, before) = (Subject::Box(opened.serial), judged_empty(&it.state).len());
    let answers = [
        ("outcome", Answer::one("stopped")),
        ("outcome_reason", Answer::one("vermin")),
        ("count_outside_guess", Answer::Number(0.0)),
    ];
    for (question, value) in answers {
        it.ask(Command::Answer {
            subject,
            question: question.to_owned(),
            value,
        });
    }
    let empty = judged_empty(&it.state);
    let found = empty.iter().find(|found| found.serial == opened.serial).unwrap();
    assert_eq!(empty.len(), before + 1);
    assert!(found.shown.iter().any(|id| id == "condition.vermin"), "{found:?}");
    let figures = analysis::figures::figures(&it.state);
    assert!(figures.problems.is_empty(), "{:?}", figures.problems);
    let html = report::html(&it.log, &parts(), &Options::default());
    for said in [
        "Judged from outside to hold no items, and so adding nothing to any number here",
        "judged to hold none",
        "the box, judged from outside to hold no items",
    ] {
        assert!(html.contains(said), "{said}");
    }
    assert!(check(&html, &it.log).unwrap().holds());
}

#[test]
fn counted_and_judged_items_add_up_to_all() {
    let it = surveyed();
    let (figures, judged) = (analysis::figures::figures(&it.state), judged(&it.state));
    let count = |id: &str| judged[&format!("items.{id}.count")].estimate;
    let all = figures.headline["items.total"].estimate;
    assert!(count("shut") > 0.0);
    assert!((count("counted") + count("shut") - all).abs() < 1e-9 * all);
    // What rests on a judgement is part of its class, and of the boxes that were not counted.
    for class in tape::actions() {
        if let Some(part) = judged.get(&format!("action.{}.shut.count", class.key)) {
            let of_class = figures.headline[&format!("action.{}.count", class.key)].estimate;
            assert!(
                part.estimate <= of_class + 1e-9 && part.estimate <= count("shut") + 1e-9,
                "{}",
                class.key
            );
        }
    }
}

/// What somebody guessed of a box that stayed shut is drawn from a range, which the report lists and names where it matters.
#[test]
fn a_judgement_from_outside_has_a_range_in_simulated_figures() {
    let mut it = surveyed();
    let sample = it.state.sample(false);
    let (opened, _) = sample
        .iter()
        .find(|(_, outcome)| *outcome == Outcome::Checked)
        .unwrap();
    let answers = [
        ("outcome", Answer::one("stopped")),
        ("outcome_reason", Answer::one("vermin")),
        ("count_outside_guess", Answer::Number(5000.0)),
    ];
    for (question, value) in answers {
        it.ask(Command::Answer {
            subject: Subject::Box(opened.serial),
            question: question.to_owned(),
            value,
        });
    }
    let plan = analysis::plan::Plan::whole(&it.state, None, &mut |_, _| {});
    assert!(plan.collection.rests_on_judging());
    let drivers = plan.outlook.unwrap().drivers("items");
    let is_judging = |cause: &costing::Cause| *cause == costing::Cause::Assumption("part.outside".to_owned());
    assert!(
        drivers.iter().any(|driving| is_judging(&driving.cause)),
        "{drivers:?}"
    );
    let html = report::html(&it.log, &parts(), &Options::default());
    for said in [
        "Items really there for each one judged from outside",
        "half as few to half as many again: a judgement, no source",
    ] {
        assert!(html.contains(said), "{said}");
    }
    assert!(check(&html, &it.log).unwrap().holds());
}
