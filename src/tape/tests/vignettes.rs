//! Tapes described in answers, and what must be said of each: the table `knowledge/vignettes.toml`.
#![allow(clippy::unwrap_used, reason = "a fault of the table ends the test")]

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;
use tape::{
    Answer, Answers, CANT_TELL, Kind, PHOTOGRAPHED, Strength, Subject, action, cautions_for_box,
    cautions_for_item, findings, question, sources,
};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    start: BTreeMap<String, String>,
    case: Vec<Case>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    tape: String,
    answers: String,
    finds: String,
    action: Option<String>,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default)]
    never: Vec<String>,
    #[serde(default)]
    contradicts: bool,
    source: Vec<String>,
}

fn table() -> Table {
    toml::from_str(include_str!("../knowledge/vignettes.toml")).unwrap()
}

/// Box answers and item answers from a line; a key or choice that does not exist is a fault of the table.
fn answers(table: &Table, line: &str) -> (Answers, Answers) {
    let mut all = Answers::new();
    for part in line.split('&').map(str::trim) {
        if let Some(name) = part.strip_prefix('@') {
            let (a, b) = answers(table, &table.start[name]);
            all.extend(a);
            all.extend(b);
            continue;
        }
        let (key, value) = part.split_once('=').unwrap();
        let q = question(key).unwrap_or_else(|| panic!("no question {key}"));
        let values: Vec<&str> = value.split('|').collect();
        for v in &values {
            let known = [CANT_TELL, PHOTOGRAPHED].contains(v) || q.choices.iter().any(|c| c.key == *v);
            assert!(known, "{key} has no answer {v}");
        }
        let answer = if q.kind == Kind::Many {
            Answer::many(values)
        } else {
            Answer::one(values[0])
        };
        all.insert(key.to_owned(), answer);
    }
    all.into_iter()
        .partition(|(key, _)| question(key).unwrap().subject == Subject::Box)
}

#[test]
fn every_vignette() {
    let table = table();
    let mut faults = Vec::new();
    for case in &table.case {
        let (boxed, item) = answers(&table, &case.answers);
        let all = findings(&boxed, &item);
        let mut fault = |what: String| faults.push(format!("{}\n    {what}", case.tape));
        for part in case.finds.split('&') {
            let (key, word) = part.trim().split_once('=').unwrap();
            let got = all
                .iter()
                .find(|f| f.key == key)
                .map_or(Strength::NoSign, |f| f.strength);
            if got.word().replace(' ', "_") != word {
                let f = all.iter().find(|f| f.key == key);
                fault(format!(
                    "{key}: {} instead of {word}: {:?}",
                    got.word(),
                    f.map(|f| (&f.evidence_for, &f.against, &f.not_looked))
                ));
            }
        }
        if let Some(want) = &case.action {
            let got = action(&all).key;
            if got != want {
                let held: Vec<_> = all
                    .iter()
                    .filter(|f| f.strength >= Strength::Possible)
                    .map(|f| f.key)
                    .collect();
                fault(format!("action {got} instead of {want}: {held:?}"));
            }
        }
        let shown: BTreeSet<&str> = all
            .iter()
            .flat_map(|f| f.cautions.iter())
            .chain(&cautions_for_box(&boxed))
            .chain(&cautions_for_item(&item))
            .map(|c| c.key)
            .collect();
        for key in case.cautions.iter().filter(|k| !shown.contains(k.as_str())) {
            fault(format!("caution {key} is missing"));
        }
        for key in case.never.iter().filter(|k| shown.contains(k.as_str())) {
            fault(format!("caution {key} must not be there"));
        }
        let named: Vec<_> = all.iter().flat_map(|f| f.contradictions.iter()).collect();
        if named.is_empty() == case.contradicts {
            fault(format!("contradictions: {named:?}"));
        }
        for key in &case.source {
            if !sources().iter().any(|s| s.key == key) {
                fault(format!("no source {key}"));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
    assert!(table.case.len() >= 80, "{} cases", table.case.len());
}

/// Every finding is possible or likely in some vignette, every contradiction is named in one, every action is given in
/// one and every caution shown in one: what nobody has described has not been thought through.
#[test]
fn every_rule_has_a_vignette() {
    let table = table();
    let mut found = BTreeSet::new();
    let mut said = BTreeSet::new();
    let mut acted = BTreeSet::new();
    let mut shown = BTreeSet::new();
    for case in &table.case {
        let (boxed, item) = answers(&table, &case.answers);
        let all = findings(&boxed, &item);
        acted.insert(action(&all).key);
        for c in cautions_for_box(&boxed)
            .into_iter()
            .chain(cautions_for_item(&item))
        {
            shown.insert(c.key);
        }
        for f in all {
            shown.extend(f.cautions.iter().map(|c| c.key));
            if f.strength >= Strength::Possible {
                found.insert(f.key);
            }
            said.extend(f.contradictions);
        }
    }
    let actions: BTreeSet<&str> = tape::actions().iter().map(|a| a.key).collect();
    assert_eq!(acted, actions);
    let all = findings(&Answers::new(), &Answers::new());
    let missing: Vec<&str> = all.iter().map(|f| f.key).filter(|k| !found.contains(k)).collect();
    assert!(missing.is_empty(), "findings without a vignette: {missing:?}");
    let silent: Vec<&str> = tape::cautions()
        .iter()
        .map(|c| c.key)
        .filter(|k| !shown.contains(k))
        .collect();
    assert!(silent.is_empty(), "cautions without a vignette: {silent:?}");
    let unsaid: Vec<&str> = tape::contradictions()
        .iter()
        .map(|c| c.say)
        .filter(|s| !said.contains(*s))
        .collect();
    assert!(unsaid.is_empty(), "contradictions without a vignette: {unsaid:?}");
}

/// A smell is told as a smell, and a suspicion as one: neither as what somebody saw.
#[test]
fn what_was_seen_is_told_as_far_as_it_goes() {
    let seen = |about: &[(&str, &str)]| {
        let answers: Answers = about
            .iter()
            .map(|(question, choice)| ((*question).to_owned(), tape::Answer::one(*choice)))
            .collect();
        let all = findings(&Answers::new(), &answers);
        all.into_iter().find(|f| f.key == "mould").map(|f| f.seen())
    };
    let told = |about: &[(&str, &str)]| seen(about).unwrap_or_default();
    assert_eq!(told(&[("hazard", "growth")]), "Mould");
    assert_eq!(told(&[("mould", "suspected")]), "Possible mould");
    assert_eq!(
        told(&[("odour_tape", "musty"), ("odour_box", "musty")]),
        "Possible mould, musty smell only"
    );
    assert_eq!(
        told(&[("odour_tape", "musty"), ("residue", "white")]),
        "Possible mould"
    );
}
