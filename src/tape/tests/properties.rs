//! What must hold of every set of answers, sensible or not.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use tape::{
    Answer, Answers, CANT_TELL, Caution, Finding, Kind, PHOTOGRAPHED, Question, Strength, Subject, action,
    choices, findings, item_path, item_path_in, questions,
};

/// Any answer to a question: sensible, silent, or a key it does not know.
fn any_answer(q: &'static Question) -> BoxedStrategy<Answer> {
    let mut keys: Vec<&'static str> = q.choices.iter().map(|c| c.key).collect();
    keys.extend([CANT_TELL, PHOTOGRAPHED, "no_such_answer"]);
    match q.kind {
        Kind::One => proptest::sample::select(keys).prop_map(Answer::one).boxed(),
        Kind::Many => proptest::collection::btree_set(proptest::sample::select(keys), 0..4)
            .prop_map(Answer::many)
            .boxed(),
        Kind::Number { .. } => any::<f64>().prop_map(Answer::Number).boxed(),
        Kind::Text => ".{0,8}".prop_map(Answer::Text).boxed(),
        Kind::Counts => Just(Answer::Counts(BTreeMap::new())).boxed(),
    }
}

/// Any answers to any of the questions, whether they would be asked or not; about two of three answered.
fn any_answers() -> impl Strategy<Value = Answers> {
    questions()
        .iter()
        .map(|q| {
            proptest::option::weighted(0.65, any_answer(q))
                .prop_map(move |a| a.map(|a| (q.key.to_owned(), a)))
        })
        .collect::<Vec<_>>()
        .prop_map(|all| all.into_iter().flatten().collect())
}

fn whole(answers: &Answers) -> Vec<Finding> {
    findings(&Answers::new(), answers)
}

fn strength_of(all: &[Finding], key: &str) -> Strength {
    all.iter()
        .find(|f| f.key == key)
        .map_or(Strength::NoSign, |f| f.strength)
}

fn caution_keys(cautions: &[&'static Caution]) -> BTreeSet<&'static str> {
    cautions.iter().map(|c| c.key).collect()
}

/// Words that would ask for heat.
fn speaks_of_heat(text: &str) -> bool {
    let small = text.to_lowercase();
    [
        "heat", "bake", "baking", "oven", "warm", "incubat", "thermal", "°",
    ]
    .iter()
    .any(|w| small.contains(w))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn heat_is_never_a_step(answers in any_answers()) {
        let all = whole(&answers);
        for f in &all {
            for step in &f.next {
                prop_assert!(!speaks_of_heat(step), "{}: {step}", f.key);
            }
        }
        let class = action(&all);
        for text in [class.label, class.people, class.handling, class.plan, class.money] {
            prop_assert!(!speaks_of_heat(text), "{text}");
        }
    }

    #[test]
    fn the_warning_against_heat_is_said_unless_the_film_is_polyester(answers in any_answers()) {
        let all = whole(&answers);
        let base = |key| strength_of(&all, key);
        let other = ["base_acetate", "base_pvc", "base_paper"].iter().any(|k| base(k) >= Strength::Possible);
        let open = base("base_polyester") != Strength::Likely || other;
        for f in all.iter().filter(|f| open && (f.group == "binder" || f.group == "base" || f.group == "decay")) {
            // Exudation and polyester itself call for no treatment that could tempt anybody.
            if !["base_polyester", "exudate"].contains(&f.key) {
                prop_assert!(caution_keys(&f.cautions).contains("no_heat"), "{}", f.key);
            }
        }
    }

    #[test]
    fn a_cant_tell_never_makes_a_finding_firmer(answers in any_answers(), picks in any::<[bool; 40]>()) {
        let mut less = answers.clone();
        for (answer, pick) in less.values_mut().zip(picks) {
            if pick {
                *answer = Answer::one(CANT_TELL);
            }
        }
        let (before, after) = (whole(&answers), whole(&less));
        for f in &after {
            let was = strength_of(&before, f.key);
            match f.strength {
                Strength::Likely | Strength::Possible => prop_assert!(was >= f.strength, "{} was {was:?}", f.key),
                // To say that there is no sign is a claim too.
                Strength::NoSign => prop_assert!(was != Strength::CannotTell, "{}", f.key),
                Strength::CannotTell => {}
            }
        }
    }

    #[test]
    fn leaving_a_question_out_never_makes_a_finding_firmer(answers in any_answers(), picks in any::<[bool; 40]>()) {
        let less: Answers = answers.clone().into_iter().zip(picks).filter(|(_, p)| *p).map(|(a, _)| a).collect();
        let before = whole(&answers);
        for f in whole(&less).iter().filter(|f| f.strength >= Strength::Possible) {
            prop_assert!(strength_of(&before, f.key) >= f.strength, "{}", f.key);
        }
    }

    #[test]
    fn more_signs_of_a_hazard_never_remove_its_caution(answers in any_answers(), at in any::<prop::sample::Index>()) {
        let more = [
            ("mould", "seen"), ("outcome_reason", "mould"), ("hazard", "growth"), ("hazard", "wet"), ("hazard", "soot"),
            ("hazard", "droppings"), ("vermin", "signs"), ("odour_tape", "vinegar"), ("odour_box", "vinegar"),
            ("residue", "flakes"), ("residue", "black"), ("residue", "white"), ("damage", "loop_out"),
            ("wind", "no_flange"), ("shape", "shrunken"),
        ];
        let (question, sign) = *at.get(&more);
        let mut richer = answers.clone();
        let slot = richer.entry(question.to_owned()).or_insert_with(|| Answer::one(CANT_TELL));
        *slot = match slot.clone() {
            Answer::Many(mut keys) => { keys.insert(sign.to_owned()); Answer::Many(keys) }
            // A question with one answer: only where the sign adds to what was known.
            Answer::One(k) if k == "none" || k == CANT_TELL || k == PHOTOGRAPHED || k == "suspected" => Answer::one(sign),
            other => other,
        };
        let hazards = |all: &[Finding]| -> BTreeSet<&'static str> {
            all.iter().flat_map(|f| caution_keys(&f.cautions)).filter(|k| *k != "no_heat").collect()
        };
        let (before, after) = (whole(&answers), whole(&richer));
        let plain = |all: &[Finding], key: &str| strength_of(all, key);
        for key in ["mould", "vermin", "wet", "fire", "acid_decay", "acid_late", "oxide_loss", "back_coat_loss", "no_support", "loop_out"] {
            prop_assert!(plain(&after, key) >= Strength::Possible || plain(&before, key) < Strength::Possible, "{key}");
        }
        let people = ["mould", "vermin", "wet_now", "soot", "acid_vapour", "keep_still", "board", "no_pull"];
        for key in people {
            prop_assert!(hazards(&after).contains(key) || !hazards(&before).contains(key), "{key}");
        }
    }

    #[test]
    fn it_does_not_matter_which_map_or_order_an_answer_came_in(answers in any_answers(), picks in any::<[bool; 40]>()) {
        let (mut left, mut right) = (Answers::new(), Answers::new());
        for ((key, answer), pick) in answers.iter().rev().zip(picks) {
            let side = if pick { &mut left } else { &mut right };
            side.insert(key.clone(), answer.clone());
        }
        prop_assert_eq!(findings(&left, &right), whole(&answers));
        prop_assert_eq!(tape::condition_values(&left, &right), tape::condition_values(&right, &left));
    }

    #[test]
    fn nobody_smells_before_mould_is_ruled_out(answers in any_answers()) {
        let smells = |path: &tape::Path| path.asked.iter().any(|q| q.key.starts_with("odour"));
        let none = |key: &str| matches!(answers.get(key), Some(a) if a == &Answer::one("none"));
        if smells(&tape::box_path(&answers)) {
            prop_assert!(none("mould"));
        }
        if smells(&item_path(&answers)) {
            prop_assert!(answers.get("hazard").is_some_and(|a| a.has("none") && !a.has("growth")));
            prop_assert!(none("mould") || !answers.contains_key("mould") || answers["mould"].has("no_such_answer"));
        }
    }

    /// Asking in order, and stopping where the order stops, loses nothing that asking every question that fits would find.
    #[test]
    fn the_order_reaches_what_asking_everything_would(truth in any_answers()) {
        let known = sensible(&truth);
        let box_known: Answers =
            known.iter().filter(|(k, _)| subject(k) == Subject::Box).map(|(k, v)| (k.clone(), v.clone())).collect();
        let mut given = Answers::new();
        let mut steps = 0;
        while let Some(q) = item_path_in(&box_known, &given).next {
            given.insert(q.key.to_owned(), known.get(q.key).cloned().unwrap_or_else(|| Answer::one(CANT_TELL)));
            steps += 1;
            prop_assert!(steps <= questions().len(), "the path does not end");
        }
        let (asked, all) = (findings(&box_known, &given), findings(&box_known, &known));
        for f in all.iter().filter(|f| f.strength >= Strength::Possible) {
            prop_assert_eq!(strength_of(&asked, f.key), f.strength, "{}", f.key);
        }
    }

    #[test]
    fn columns_are_known_only_from_known_answers(answers in any_answers()) {
        let silent: Answers = answers.keys().map(|k| (k.clone(), Answer::one(CANT_TELL))).collect();
        for (key, value) in tape::condition_values(&Answers::new(), &silent) {
            prop_assert_eq!(value, None, "{}", key);
        }
        for (key, value) in tape::condition_values(&Answers::new(), &Answers::new()) {
            prop_assert_eq!(value, None, "{}", key);
        }
    }

    #[test]
    fn playing_is_ordered_and_finite(answers in any_answers()) {
        if let Some(p) = tape::playing(&answers) {
            for a in [p.content, p.transfer, p.channel_hours, p.pass_hours, p.passes, p.tracks] {
                prop_assert!(0.0 <= a.low && a.low <= a.likely && a.likely <= a.high && a.high < 10_000.0, "{a:?} {answers:?}");
            }
            prop_assert!(p.transfer.low <= p.content.high);
        }
    }
}

fn subject(key: &str) -> Subject {
    questions()
        .iter()
        .find(|q| q.key == key)
        .map_or(Subject::Item, |q| q.subject)
}

/// The answers that somebody could give who answers each question with a choice offered, in order.
fn sensible(truth: &Answers) -> Answers {
    let mut out = Answers::new();
    for q in questions() {
        let path = match q.subject {
            Subject::Box => tape::box_path(&out),
            Subject::Item => item_path(&out),
        };
        if !path.asked.iter().any(|a| a.key == q.key) {
            continue;
        }
        let offered: Vec<&str> = choices(q, &out).iter().map(|c| c.key).collect();
        let fits = |k: &&str| offered.contains(k) || *k == CANT_TELL || (q.photo && *k == PHOTOGRAPHED);
        if let Some(answer) = truth.get(q.key) {
            let fitting: Vec<&str> = answer.keys().into_iter().filter(fits).collect();
            match answer {
                Answer::One(_) | Answer::Many(_) if fitting.is_empty() => {}
                Answer::One(_) => drop(out.insert(q.key.to_owned(), Answer::one(fitting[0]))),
                Answer::Many(_) => drop(out.insert(q.key.to_owned(), Answer::many(fitting))),
                other => drop(out.insert(q.key.to_owned(), other.clone())),
            }
        }
    }
    out
}
