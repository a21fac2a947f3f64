//! What is read off answers laid out for the rules is what the rules say in words.
#![allow(
    clippy::disallowed_methods,
    reason = "the generator uses a transcendental function; none of ours does"
)]

use std::collections::BTreeMap;

use proptest::prelude::*;
use tape::{
    Answer, Answers, CANT_TELL, Coded, Hours, Kind, Laid, PHOTOGRAPHED, Question, Subject, Told, action,
    actions, box_path, condition_values, conditions, findings, item_path_in, playing, questions,
};

/// Any answer, of the question's own kind mostly.
fn any_answer(q: &'static Question) -> BoxedStrategy<Answer> {
    let mut keys: Vec<&'static str> = q.choices.iter().map(|c| c.key).collect();
    keys.extend([CANT_TELL, PHOTOGRAPHED, "no_such_answer"]);
    let one = proptest::sample::select(keys.clone()).prop_map(Answer::one);
    let many = proptest::collection::btree_set(proptest::sample::select(keys), 0..4).prop_map(Answer::many);
    let number = prop_oneof![Just(0.0), 0.0..400.0, any::<f64>()].prop_map(Answer::Number);
    let text = " {0,2}[a-z]{0,2}".prop_map(Answer::Text);
    let counts = Just(Answer::Counts(BTreeMap::new()));
    let weight = |is_own: bool| if is_own { 30 } else { 1 };
    prop_oneof![
        weight(q.kind == Kind::One) => one,
        weight(q.kind == Kind::Many) => many,
        weight(matches!(q.kind, Kind::Number { .. })) => number,
        weight(q.kind == Kind::Text) => text,
        weight(q.kind == Kind::Counts) => counts,
    ]
    .boxed()
}

/// Answers to any of the questions, of a box's and an item's alike.
fn any_answers(part: f64) -> impl Strategy<Value = Answers> {
    let each = questions().iter().map(move |q| {
        proptest::option::weighted(part, any_answer(q)).prop_map(move |a| a.map(|a| (q.key.to_owned(), a)))
    });
    let beside = proptest::option::weighted(0.2, Just(("remark".to_owned(), Answer::Text("x".to_owned()))));
    (each.collect::<Vec<_>>(), beside)
        .prop_map(|(all, beside)| all.into_iter().flatten().chain(beside).collect())
}

fn pairs(answers: &Answers) -> impl Iterator<Item = (&str, &Answer)> {
    answers
        .iter()
        .map(|(question, answer)| (question.as_str(), answer))
}

/// In few bytes wherever an answer goes into them.
fn told(answers: &Answers) -> impl Iterator<Item = Told<'_>> {
    pairs(answers).map(|(question, answer)| match Coded::of(question, answer) {
        Some(coded) => Told::Coded(coded),
        None => Told::Whole(question, answer),
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn laid_answers_say_what_answers_say(about_box in any_answers(0.3), item in any_answers(0.6)) {
        let known = condition_values(&about_box, &item);
        let columns: Vec<Option<bool>> = conditions().iter().map(|c| known[c.key]).collect();
        let in_full = Laid::of_box(pairs(&about_box)).with_item(pairs(&item));
        let in_few = Laid::of_told(told(&about_box)).with_told(told(&item));
        for laid in [in_full, in_few] {
            prop_assert_eq!(laid.conditions().collect::<Vec<_>>(), columns.clone());
            prop_assert_eq!(actions()[laid.action()].key, action(&findings(&about_box, &item)).key);
            prop_assert_eq!(laid.is_item_done(), item_path_in(&about_box, &item).done);
            prop_assert_eq!(Hours::default().of(&laid).cloned(), playing(&item));
        }
    }

    #[test]
    fn a_box_alone_is_an_item_of_which_nothing_was_answered(about_box in any_answers(0.5)) {
        let laid = Laid::of_box(pairs(&about_box));
        let known = condition_values(&about_box, &Answers::new());
        let columns: Vec<Option<bool>> = conditions().iter().map(|c| known[c.key]).collect();
        prop_assert_eq!(laid.conditions().collect::<Vec<_>>(), columns);
        prop_assert_eq!(actions()[laid.action()].key, action(&findings(&about_box, &Answers::new())).key);
        let path = box_path(&about_box);
        prop_assert_eq!(laid.is_box_done(), path.done);
        for question in questions().iter().filter(|q| q.subject == Subject::Box) {
            let is_asked = path.asked.iter().any(|asked| asked.key == question.key);
            prop_assert_eq!(laid.asks(question.key), is_asked);
            for choice in question.choices {
                let is_it = about_box.get(question.key) == Some(&Answer::one(choice.key));
                prop_assert_eq!(laid.is_one(question.key, choice.key), is_it);
            }
        }
    }

    #[test]
    fn playing_times_worked_out_before_are_those_of_the_item(items in proptest::collection::vec(any_answers(0.6), 2..6)) {
        let mut hours = Hours::default();
        for item in items.iter().chain(&items) {
            let laid = Laid::of_box([]).with_item(pairs(item));
            prop_assert_eq!(hours.of(&laid).cloned(), playing(item));
        }
    }
}
