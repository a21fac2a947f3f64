//! What must hold of every set of answers, sensible or not.
#![allow(clippy::unwrap_used, reason = "a fault of the knowledge ends the test")]

use std::collections::{BTreeMap, BTreeSet};

use std::sync::LazyLock;

use proptest::prelude::*;
use serde::Deserialize;
use tape::{
    Answer, Answers, CANT_TELL, Card, Caution, Finding, Kind, PHOTOGRAPHED, Question, Stock, Strength,
    Subject, WatchList, action, card, cautions_for_box, cautions_for_item, choices, findings,
    findings_watching, item_path, item_path_in, questions,
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

/// The card of an item, each answer where it belongs.
fn card_of(answers: &Answers) -> Card {
    let (boxed, item): (Answers, Answers) = answers
        .clone()
        .into_iter()
        .partition(|(key, _)| subject(key) == Subject::Box);
    card(&boxed, &item, &WatchList::default(), "")
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

/// A line without the warnings against heat and the name of fire damage.
fn without_warnings(line: &str) -> String {
    let no_heat = tape::caution("no_heat").map_or(["", ""], |caution| [caution.title, caution.text]);
    let fire = whole(&Answers::new())
        .into_iter()
        .find(|f| f.key == "fire")
        .map_or("", |f| f.title);
    let mut rest = line.to_owned();
    for warning in no_heat.into_iter().chain([fire]).filter(|w| !w.is_empty()) {
        rest = rest.replace(warning, "");
    }
    rest
}

/// The one text that speaks of heat forbids it and says neither how warm nor how long.
#[test]
fn the_warning_against_heat_forbids_and_measures_nothing() {
    let warning = tape::caution("no_heat").unwrap();
    assert!(warning.text.contains("must never") && warning.title.starts_with("No "));
    assert!(!warning.text.contains(|c: char| c.is_ascii_digit() || c == '°'));
    for word in ["hour", "day", "minute", "celsius", "degree"] {
        assert!(!warning.text.to_lowercase().contains(word), "{word}");
    }
    let others = tape::cautions().iter().filter(|caution| caution.key != "no_heat");
    assert!(others.into_iter().all(|caution| !speaks_of_heat(caution.text)));
}

#[derive(Deserialize)]
struct Rules {
    finding: Vec<Rule>,
}

#[derive(Deserialize)]
struct Rule {
    key: String,
    #[serde(default)]
    hazard: bool,
    #[serde(default)]
    r#for: Vec<Piece>,
}

#[derive(Deserialize)]
struct Piece {
    answer: String,
}

fn hazards() -> &'static [Rule] {
    static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| {
        let rules: Rules = toml::from_str(include_str!("../knowledge/findings.toml")).unwrap();
        rules.finding.into_iter().filter(|rule| rule.hazard).collect()
    });
    &RULES
}

fn is_hazard(key: &str) -> bool {
    hazards().iter().any(|rule| rule.key == key)
}

/// Each piece of evidence for a hazard: questions with an answer, all of them together.
fn hazard_evidence() -> Vec<Vec<(&'static str, &'static str)>> {
    let mut all = Vec::new();
    for piece in hazards().iter().flat_map(|rule| &rule.r#for) {
        let parts = piece
            .answer
            .split('&')
            .map(|part| part.trim().split_once('=').unwrap());
        let parts: Vec<(&str, Vec<&str>)> = parts
            .map(|(key, keys)| (key, keys.split('|').collect()))
            .collect();
        let longest = parts.iter().map(|(_, keys)| keys.len()).max().unwrap_or(0);
        for nth in 0..longest {
            all.push(
                parts
                    .iter()
                    .map(|(key, keys)| (*key, keys[nth % keys.len()]))
                    .collect(),
            );
        }
    }
    all
}

/// The answers with one more piece of evidence; none where it would take the place of another sign.
fn with_evidence(answers: &Answers, piece: &[(&str, &str)]) -> Option<Answers> {
    let mut richer = answers.clone();
    for (key, sign) in piece {
        let many = tape::question(key).is_some_and(|q| q.kind == Kind::Many);
        let slot = richer
            .entry((*key).to_owned())
            .or_insert_with(|| Answer::one(CANT_TELL));
        *slot = match slot.clone() {
            Answer::Many(mut keys) => {
                keys.insert((*sign).to_owned());
                Answer::Many(keys)
            }
            Answer::One(_) if many => Answer::many([*sign]),
            Answer::One(k) if [CANT_TELL, PHOTOGRAPHED, "none", "suspected", sign].contains(&k.as_str()) => {
                Answer::one(*sign)
            }
            _ => return None,
        };
    }
    Some(richer)
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
        for text in [class.label, class.fits, class.people, class.handling, class.plan, class.money] {
            prop_assert!(!speaks_of_heat(text), "{text}");
        }
    }

    /// Cautions and cards may warn against heat, or tell of a fire; nothing else of them speaks of it.
    #[test]
    fn cautions_and_cards_speak_of_heat_only_to_warn(answers in any_answers()) {
        // What a person typed is their own.
        let answers: Answers = answers.into_iter().filter(|(_, a)| !matches!(a, Answer::Text(_))).collect();
        let card = card_of(&answers);
        for caution in card.cautions.iter().chain(&cautions_for_item(&answers)).chain(&cautions_for_box(&answers)) {
            prop_assert!(caution.key == "no_heat" || !speaks_of_heat(caution.title) && !speaks_of_heat(caution.text), "{}", caution.key);
        }
        for line in card.to_text().lines() {
            prop_assert!(!speaks_of_heat(&without_warnings(line)), "{line}");
        }
        // The warning is on the card wherever it is among the findings it shows.
        let warned = card.findings.iter().any(|f| caution_keys(&f.cautions).contains("no_heat"));
        prop_assert_eq!(warned, caution_keys(&card.cautions).contains("no_heat"));
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

    /// The same over every piece of evidence that the knowledge has for a hazard, for the findings, the card and what is
    /// called for at once.
    #[test]
    fn no_evidence_for_a_hazard_removes_a_caution(answers in any_answers(), at in any::<prop::sample::Index>()) {
        let pieces = hazard_evidence();
        let Some(richer) = with_evidence(&answers, &pieces[at.index(pieces.len())]) else { return Ok(()) };
        let shown = |answers: &Answers| -> BTreeSet<&'static str> {
            whole(answers)
                .iter()
                .filter(|f| is_hazard(f.key) && f.strength >= Strength::Possible)
                .flat_map(|f| caution_keys(&f.cautions))
                .chain(caution_keys(&cautions_for_box(answers)))
                .chain(caution_keys(&cautions_for_item(answers)))
                .collect()
        };
        let carded = |answers: &Answers| caution_keys(&card_of(answers).cautions);
        let mut before = shown(&answers);
        // A sign of a hazard may tell the film as well (a black back coat): only then does the warning against heat go.
        if strength_of(&whole(&richer), "base_polyester") == Strength::Likely {
            before.remove("no_heat");
        }
        let after = shown(&richer);
        prop_assert!(before.is_subset(&after), "{:?} are gone", before.difference(&after));
        prop_assert!(before.is_subset(&carded(&richer)), "not on the card");
    }

    /// With a make that is on the watch-list, written where it was seen, or where nobody can tell.
    #[test]
    fn a_cant_tell_never_makes_a_watched_finding_firmer(
        mut answers in any_answers(),
        place in prop::sample::select(vec!["on_tape", "on_reel", "on_box", CANT_TELL]),
        picks in any::<[bool; 64]>(),
    ) {
        let keys: Vec<String> = whole(&Answers::new()).iter().map(|f| f.key.to_owned()).collect();
        let stock = Stock { name: "Lampyra 406".to_owned(), behaviours: keys, note: String::new(), source: String::new() };
        let watch = WatchList { stocks: vec![stock] };
        answers.insert("stock".to_owned(), Answer::Text("lampyra 406".to_owned()));
        answers.insert("stock_where".to_owned(), Answer::one(place));
        let mut less = answers.clone();
        for (answer, pick) in less.values_mut().zip(picks) {
            if pick {
                *answer = Answer::one(CANT_TELL);
            }
        }
        let none = Answers::new();
        let (before, after) = (findings_watching(&none, &answers, &watch), findings_watching(&none, &less, &watch));
        for f in after.iter().filter(|f| f.strength >= Strength::Possible) {
            prop_assert!(strength_of(&before, f.key) >= f.strength, "{}", f.key);
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
