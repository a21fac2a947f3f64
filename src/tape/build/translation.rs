//! The words of the knowledge in another language: a folder beside the English, with the same keys and no rules.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use crate::schema::{Evidence, Knowledge};

/// Stems that have no place among the steps in German: heat in any of its names.
const HEAT: [&str; 8] = ["wärm", "warm", "hitz", "heiz", "heiß", "ofen", "inkub", "therm"];
/// Acts that harm tapes or people, as stems.
const HARM: [&str; 16] = [
    "abwickel",
    "reib",
    "wisch",
    "bürst",
    "pust",
    "zieh",
    "drück",
    "dehn",
    "abspiel",
    "schüttel",
    "heben",
    "wende",
    "schneid",
    "telefon",
    "berühr",
    "riech",
];
/// What turns a sentence round.
const NOT: [&str; 4] = ["nicht", "nie", "kein", "alt"];

/// What a sentence is called in the files: the file, and the keys that lead to it.
type Words = BTreeMap<(&'static str, String), String>;

/// Reads a language's folder and checks it against the knowledge; the pairs of English and translated, sorted.
pub(crate) fn read(k: &Knowledge, folder: &Path) -> Result<Vec<(String, String)>, Vec<String>> {
    let english = english(k);
    let mut faults = Vec::new();
    let mut found = Words::new();
    let mut pairs = BTreeMap::new();
    for file in FILES {
        match table(&folder.join(format!("{file}.toml"))) {
            Ok(table) => flatten(file, "", &toml::Value::Table(table), &mut found, &mut faults),
            Err(why) => faults.push(why),
        }
    }
    match table(&folder.join("phrases.toml")) {
        Ok(table) => {
            for (key, value) in table {
                match value {
                    toml::Value::String(text) => drop(pairs.insert(key, text)),
                    _ => faults.push(format!("phrases.toml: {key} is no text")),
                }
            }
        }
        Err(why) => faults.push(why),
    }
    for ((file, id), text) in &english {
        let Some(said) = found.get(&(*file, id.clone())) else {
            faults.push(format!("{}/{file}.toml: {id} is missing", folder.display()));
            continue;
        };
        match pairs.insert(text.clone(), said.clone()) {
            Some(other) if other != *said => faults.push(format!(
                "{}/{file}.toml: {id}: '{text}' is translated as '{other}' elsewhere; the English is told apart by its words alone",
                folder.display()
            )),
            _ => {}
        }
    }
    for (file, id) in found.keys().filter(|id| !english.contains_key(id)) {
        faults.push(format!("{}/{file}.toml: there is no {id}", folder.display()));
    }
    faults.extend(harmful(&found));
    if faults.is_empty() {
        Ok(pairs.into_iter().collect())
    } else {
        Err(faults)
    }
}

const FILES: [&str; 8] = [
    "box",
    "item",
    "carriers",
    "cautions",
    "findings",
    "contradictions",
    "actions",
    "conditions",
];

/// Everything that is translated, by what it is called.
fn english(k: &Knowledge) -> Words {
    let mut out = Words::new();
    let mut add = |file: &'static str, id: String, text: &str| {
        if !text.is_empty() {
            out.insert((file, id), text.to_owned());
        }
    };
    for q in &k.questions {
        let file = if q.subject == "Box" { "box" } else { "item" };
        let unit = q.unit.clone().unwrap_or_default();
        for (name, text) in [
            ("short", &q.short),
            ("long", &q.long),
            ("why", &q.why),
            ("how", &q.how),
            ("unit", &unit),
        ] {
            add(file, format!("{}.{name}", q.key), text);
        }
        if q.choices_from.is_none() {
            for c in &q.choices {
                add(file, format!("{}.choices.{}.label", q.key, c.key), &c.label);
                add(file, format!("{}.choices.{}.help", q.key, c.key), &c.help);
            }
        }
    }
    for c in &k.carriers {
        for (name, text) in [
            ("label", &c.label),
            ("told", &c.told),
            ("plays", &c.plays),
            ("traps", &c.traps),
        ] {
            add("carriers", format!("{}.{name}", c.key), text);
        }
    }
    for c in &k.cautions {
        add("cautions", format!("{}.title", c.key), &c.title);
        add("cautions", format!("{}.text", c.key), &c.text);
    }
    for f in &k.findings {
        for (name, text) in [("title", &f.title), ("group", &f.group), ("meaning", &f.meaning)] {
            add("findings", format!("{}.{name}", f.key), text);
        }
        let mut says = |name: &str, pieces: &[Evidence]| {
            for e in pieces {
                add("findings", format!("{}.{name}.{}", f.key, e.answer), &e.say);
            }
        };
        says("for", &f.r#for);
        says("against", &f.against);
        for (index, next) in f.next.iter().enumerate() {
            add("findings", format!("{}.next.{index}", f.key), next);
        }
    }
    for c in &k.contradictions {
        add("contradictions", c.answers.clone(), &c.say);
    }
    for a in &k.actions {
        for (name, text) in [
            ("label", &a.label),
            ("fits", &a.fits),
            ("people", &a.people),
            ("handling", &a.handling),
            ("plan", &a.plan),
            ("money", &a.money),
        ] {
            add("actions", format!("{}.{name}", a.key), text);
        }
    }
    for c in &k.conditions {
        add("conditions", format!("{}.label", c.key), &c.label);
    }
    out
}

fn table(path: &Path) -> Result<toml::Table, String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    toml::from_str(&text).map_err(|e| format!("{}: {}", path.display(), e.to_string().replace('\n', " ")))
}

fn flatten(file: &'static str, at: &str, value: &toml::Value, out: &mut Words, faults: &mut Vec<String>) {
    let below = |key: &str| {
        if at.is_empty() {
            key.to_owned()
        } else {
            format!("{at}.{key}")
        }
    };
    match value {
        toml::Value::String(text) if text.trim().is_empty() => {
            faults.push(format!("{file}.toml: {at} is empty"));
        }
        toml::Value::String(text) => drop(out.insert((file, at.to_owned()), text.clone())),
        toml::Value::Table(table) => {
            for (key, value) in table {
                flatten(file, &below(key), value, out, faults);
            }
        }
        toml::Value::Array(list) => {
            for (index, value) in list.iter().enumerate() {
                flatten(file, &below(&index.to_string()), value, out, faults);
            }
        }
        _ => faults.push(format!("{file}.toml: {at} is no text")),
    }
}

/// Heat among the steps, and acts that nobody is to be asked for, as in the English.
fn harmful(found: &Words) -> Vec<String> {
    let mut faults = Vec::new();
    for ((file, id), text) in found {
        let small = text.to_lowercase();
        let is_step = *file == "actions" || (*file == "findings" && id.contains(".next."));
        if is_step && let Some(word) = HEAT.iter().find(|word| small.contains(*word)) {
            faults.push(format!(
                "{file}.toml: {id}: '{word}' has no place among the steps: {text}"
            ));
        }
        if !(matches!(*file, "box" | "item") && id.ends_with(".how")) {
            continue;
        }
        for sentence in small.split(['.', ':', ';', '?']) {
            let names_harm = HARM.iter().any(|stem| sentence.contains(stem));
            if names_harm && !NOT.iter().any(|word| sentence.contains(word)) {
                faults.push(format!(
                    "{file}.toml: {id}: how to look must not ask for it: {sentence}"
                ));
            }
        }
    }
    faults
}

/// The pairs as a Rust static.
pub(crate) fn statics(name: &str, pairs: &[(String, String)]) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "pub(crate) static {name}: &[(&str, &str)] = &[");
    for (english, said) in pairs {
        let _ = writeln!(out, "    ({english:?}, {said:?}),");
    }
    let _ = writeln!(out, "];");
    out
}
