//! The checks made when the crate is built find the faults they are there for, and every answer can be given.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    unreachable_pub,
    reason = "the build's own modules"
)]

#[path = "../build/amounts.rs"]
mod amounts;
#[path = "../build/check.rs"]
mod check;
#[path = "../build/schema.rs"]
mod schema;
#[path = "../build/words.rs"]
mod words;

use std::collections::BTreeSet;
use std::path::Path;

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use schema::Knowledge;
use tape::{Answer, Answers, Kind, Subject, box_path, choices, item_path_in, questions};

fn knowledge() -> Knowledge {
    Knowledge::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("knowledge")).unwrap()
}

/// The knowledge with one thing broken: the one fault that must be found.
fn broken(change: impl FnOnce(&mut Knowledge), expected: &str) {
    let mut k = knowledge();
    change(&mut k);
    let faults = check::faults(&k);
    assert!(
        faults.iter().any(|f| f.contains(expected)),
        "expected '{expected}' among {faults:?}"
    );
}

#[test]
fn what_is_there_has_no_fault() {
    assert_eq!(check::faults(&knowledge()), Vec::<String>::new());
}

#[test]
fn a_missing_source_is_found() {
    broken(|k| k.questions[0].source.clear(), "has no source");
    broken(
        |k| k.findings[0].source = vec!["hearsay".into()],
        "source 'hearsay' is not in sources.toml",
    );
    broken(|k| k.cautions[0].source.clear(), "has no source");
    broken(|k| k.conditions[0].source.clear(), "has no source");
    broken(|k| k.actions[0].source.clear(), "has no source");
    broken(|k| k.contradictions[0].source.clear(), "has no source");
    broken(|k| k.amounts.reel[0].source.clear(), "has no source");
    broken(
        |k| k.sources.get_mut("practice").unwrap().mark = "certain".into(),
        "mark 'certain'",
    );
}

#[test]
fn a_missing_text_is_found() {
    broken(|k| k.findings[0].meaning.clear(), "meaning is empty");
    broken(|k| k.questions[3].how = " ".into(), "how is empty");
    broken(|k| k.actions[0].people.clear(), "people is empty");
}

#[test]
fn a_rule_that_names_nothing_is_found() {
    broken(
        |k| k.findings[0].r#for[0].answer = "moold=seen".into(),
        "there is no question 'moold'",
    );
    broken(
        |k| k.findings[0].r#for[0].answer = "mould=sean".into(),
        "question mould has no answer 'sean'",
    );
    broken(
        |k| k.findings[0].r#for[0].answer = "mould!=none".into(),
        "something seen, not something missing",
    );
    broken(
        |k| k.findings[0].r#for[0].answer = "mould".into(),
        "not of the form",
    );
    broken(
        |k| k.findings[0].cautions.push("panic".into()),
        "there is no caution 'panic'",
    );
    broken(
        |k| k.findings[0].needs.push("taste".into()),
        "needs the question 'taste'",
    );
    broken(
        |k| k.actions[0].when.push("gloom>=possible".into()),
        "there is no finding 'gloom'",
    );
    broken(
        |k| k.conditions[0].no.clear(),
        "a way to be yes and a way to be no",
    );
    broken(|k| k.amounts.speed.truncate(1), "no figures for s15");
}

#[test]
fn what_can_never_happen_is_found() {
    broken(|k| k.findings[0].r#for.truncate(0), "can never become possible");
    broken(
        |k| k.questions[0].when.push("label=date".into()),
        "not asked before it",
    );
    broken(
        |k| k.actions.last_mut().unwrap().when.push("mould>=possible".into()),
        "the last class",
    );
    broken(|k| k.questions.push(again(k)), "is there twice");
    broken(|k| k.box_cautions.clear(), "is never shown");
}

fn again(k: &Knowledge) -> schema::Question {
    let mut fresh = knowledge().questions.remove(0);
    fresh.key.clone_from(&k.questions[0].key);
    fresh
}

#[test]
fn a_contradiction_nobody_wrote_is_found() {
    broken(
        |k| {
            k.contradictions
                .retain(|c| c.answers != "light=glows & back=paper");
        },
        "no contradiction is written for",
    );
}

#[test]
fn heat_among_the_steps_is_found() {
    broken(
        |k| k.findings[9].next.push("Bake it gently.".into()),
        "'bake' has no place among the steps",
    );
    broken(
        |k| k.actions[3].plan = "Thermal treatment.".into(),
        "'thermal' has no place among the steps",
    );
    broken(|k| k.cautions.retain(|c| c.key != "no_heat"), "no_heat is gone");
}

#[test]
fn a_harmful_act_is_found() {
    broken(
        |k| k.questions[8].how = "Pull the end a little.".into(),
        "must not ask for [\"pull\"]",
    );
    broken(
        |k| k.questions[8].how = "Look. Then rub it with a finger.".into(),
        "must not ask for [\"rub\"]",
    );
    broken(
        |k| k.questions[8].how = "Hold your phone behind it.".into(),
        "must not ask for [\"phone\"]",
    );
}

/// Walks through the questions giving offered answers only, and collects what could be given.
#[test]
fn every_answer_can_be_given() {
    let mut runner = TestRunner::deterministic();
    let mut given: BTreeSet<(&str, &str)> = BTreeSet::new();
    for _ in 0..6000 {
        let picks = proptest::collection::vec(0usize..10_000, 60)
            .new_tree(&mut runner)
            .unwrap()
            .current();
        walk(&mut picks.into_iter(), &mut given);
    }
    for q in questions() {
        let keys: Vec<&str> = match q.kind {
            Kind::One | Kind::Many => q.choices.iter().map(|c| c.key).collect(),
            Kind::Number { .. } | Kind::Text | Kind::Counts => vec![""],
        };
        for key in keys {
            assert!(
                given.contains(&(q.key, key)),
                "{} = {key} can never be answered",
                q.key
            );
        }
    }
}

fn walk(picks: &mut impl Iterator<Item = usize>, given: &mut BTreeSet<(&'static str, &'static str)>) {
    let (mut boxed, mut item) = (Answers::new(), Answers::new());
    for subject in [Subject::Box, Subject::Item] {
        loop {
            let (path, answers) = match subject {
                Subject::Box => (box_path(&boxed), &boxed),
                Subject::Item => (item_path_in(&boxed, &item), &item),
            };
            let (Some(q), Some(pick)) = (path.next, picks.next()) else {
                break;
            };
            let mut known = boxed.clone();
            known.extend(answers.clone());
            let offered = choices(q, &known);
            let answer = match q.kind {
                Kind::Number { min, .. } => Answer::Number(min),
                Kind::Text => Answer::Text("Lampyra 406".to_owned()),
                Kind::Counts => Answer::Counts([("cassette".to_owned(), 3)].into()),
                Kind::One | Kind::Many if offered.is_empty() => {
                    panic!("{} offers nothing for {known:?}", q.key)
                }
                Kind::One | Kind::Many => {
                    // Hazards end a walk: mostly the first choice keeps it going.
                    let stops = ["outcome", "mould", "vermin", "hazard"].contains(&q.key);
                    let at = if stops && pick % 10 > 0 {
                        0
                    } else {
                        pick / 10 % offered.len()
                    };
                    given.insert((q.key, offered[at].key));
                    if q.kind == Kind::One {
                        Answer::one(offered[at].key)
                    } else {
                        // Several at once where they go together.
                        let more = offered
                            .iter()
                            .filter(|c| !c.alone && !offered[at].alone && q.key == "label");
                        Answer::many(more.map(|c| c.key).take(pick % 5).chain([offered[at].key]))
                    }
                }
            };
            given.insert((q.key, ""));
            match subject {
                Subject::Box => boxed.insert(q.key.to_owned(), answer),
                Subject::Item => item.insert(q.key.to_owned(), answer),
            };
        }
    }
}
