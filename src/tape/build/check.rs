//! What must hold of the knowledge before anything is built on it. Every fault is a sentence that says where.

use std::collections::BTreeSet;

use crate::schema::{Atom, Evidence, Knowledge, Question, finding_line, line};

/// Answers that every question takes.
const ALWAYS: [&str; 2] = ["cant_tell", "photographed"];
const KINDS: [&str; 5] = ["one", "many", "number", "text", "counts"];
const MARKS: [&str; 5] = ["published", "second_hand", "memory", "practice", "arithmetic"];

pub(crate) fn faults(k: &Knowledge) -> Vec<String> {
    let mut out = Faults { k, list: Vec::new() };
    out.sources();
    out.sources_used();
    out.unique();
    out.questions();
    out.findings();
    out.contradictions();
    out.rest();
    out.amounts();
    let mut list = out.list;
    list.extend(crate::words::faults(k));
    list
}

/// The faults found so far.
pub(crate) struct Faults<'a> {
    pub(crate) k: &'a Knowledge,
    pub(crate) list: Vec<String>,
}

impl<'a> Faults<'a> {
    pub(crate) fn say(&mut self, place: &str, what: &str) {
        self.list.push(format!("{place}: {what}"));
    }

    fn text(&mut self, place: &str, name: &str, text: &str) {
        if text.trim().is_empty() {
            self.say(place, &format!("{name} is empty"));
        }
    }

    pub(crate) fn source(&mut self, place: &str, keys: &[String]) {
        if keys.is_empty() {
            self.say(place, "has no source; write [\"practice\"] when there is none");
        }
        for key in keys {
            if !self.k.sources.contains_key(key) {
                self.say(place, &format!("source '{key}' is not in sources.toml"));
            }
        }
    }

    fn sources(&mut self) {
        for (key, source) in &self.k.sources {
            self.text(&format!("source {key}"), "text", &source.text);
            if !MARKS.contains(&source.mark.as_str()) {
                self.say(
                    &format!("source {key}"),
                    &format!("mark '{}' is none of {MARKS:?}", source.mark),
                );
            }
        }
    }

    /// A source that nothing cites is a leftover, or a citation that got lost.
    fn sources_used(&mut self) {
        let k = self.k;
        let lists: Vec<&Vec<String>> = (k.questions.iter().map(|x| &x.source))
            .chain(k.carriers.iter().map(|x| &x.source))
            .chain(k.cautions.iter().map(|x| &x.source))
            .chain(k.findings.iter().map(|x| &x.source))
            .chain(k.contradictions.iter().map(|x| &x.source))
            .chain(k.actions.iter().map(|x| &x.source))
            .chain(k.conditions.iter().map(|x| &x.source))
            .chain(k.amounts.speed.iter().map(|x| &x.source))
            .chain(k.amounts.class.iter().map(|x| &x.source))
            .chain(k.amounts.reel.iter().map(|x| &x.source))
            .chain(k.amounts.layout.iter().map(|x| &x.source))
            .chain(k.amounts.shell.iter().map(|x| &x.source))
            .collect();
        for key in k.sources.keys() {
            if !lists.iter().any(|list| list.contains(key)) {
                self.say(&format!("source {key}"), "is cited by nothing");
            }
        }
    }

    fn unique(&mut self) {
        let lists: [(&str, Vec<&str>); 6] = [
            (
                "question",
                self.k.questions.iter().map(|x| x.key.as_str()).collect(),
            ),
            (
                "carrier",
                self.k.carriers.iter().map(|x| x.key.as_str()).collect(),
            ),
            (
                "caution",
                self.k.cautions.iter().map(|x| x.key.as_str()).collect(),
            ),
            (
                "finding",
                self.k.findings.iter().map(|x| x.key.as_str()).collect(),
            ),
            ("action", self.k.actions.iter().map(|x| x.key.as_str()).collect()),
            (
                "condition",
                self.k.conditions.iter().map(|x| x.key.as_str()).collect(),
            ),
        ];
        for (what, keys) in lists {
            let mut seen = BTreeSet::new();
            for key in keys {
                let plain = key
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
                if !plain || key.is_empty() {
                    self.say(&format!("{what} {key}"), "keys are small letters, digits and _");
                }
                if !seen.insert(key) {
                    self.say(&format!("{what} {key}"), "is there twice");
                }
            }
        }
    }

    fn questions(&mut self) {
        for (at, q) in self.k.questions.iter().enumerate() {
            let place = format!("question {}", q.key);
            for (name, text) in [
                ("short", &q.short),
                ("long", &q.long),
                ("why", &q.why),
                ("how", &q.how),
            ] {
                self.text(&place, name, text);
            }
            self.text(&place, "drawing", &q.drawing);
            self.source(&place, &q.source);
            if !KINDS.contains(&q.kind.as_str()) {
                self.say(&place, &format!("kind '{}' is none of {KINDS:?}", q.kind));
            }
            if matches!(q.kind.as_str(), "one" | "many") && q.choices.len() < 2 {
                self.say(&place, "needs at least two choices");
            }
            let number = q.unit.is_some() && q.min.is_some() && q.max.is_some();
            if (q.kind == "number") != number {
                self.say(&place, "a number, and nothing else, has unit, min and max");
            }
            let mut lines = q.when.clone();
            let mut seen = BTreeSet::new();
            for c in &q.choices {
                self.text(&place, &format!("label of {}", c.key), &c.label);
                self.text(&place, &format!("help of {}", c.key), &c.help);
                if c.label.chars().count() > 34 {
                    self.say(
                        &place,
                        &format!("label of {} is too long for a phone's button", c.key),
                    );
                }
                if ALWAYS.contains(&c.key.as_str()) || !seen.insert(&c.key) {
                    self.say(
                        &place,
                        &format!("choice {} is there twice or always there", c.key),
                    );
                }
                lines.extend(c.only.iter().cloned());
            }
            self.rule(&place, &lines, true);
            // A question may only wait for answers given before it, or it could never be reached in order.
            for atom in lines.iter().filter_map(|l| line(l).ok()).flatten() {
                let before = self.k.questions[..at].iter().any(|p| p.key == atom.question);
                if !before {
                    self.say(
                        &place,
                        &format!("waits for {}, which is not asked before it", atom.question),
                    );
                }
            }
        }
    }

    /// Every part of a rule names a question and answers that can be given to it.
    fn rule(&mut self, place: &str, lines: &[String], not_allowed: bool) {
        for text in lines {
            match line(text) {
                Err(e) => self.say(place, &e),
                Ok(atoms) => {
                    for atom in atoms {
                        if atom.not && !not_allowed {
                            self.say(
                                place,
                                &format!("'{text}': evidence is something seen, not something missing"),
                            );
                        }
                        self.atom(place, &atom);
                    }
                }
            }
        }
    }

    pub(crate) fn atom(&mut self, place: &str, atom: &Atom) {
        let Some(q) = self.question(&atom.question) else {
            self.say(place, &format!("there is no question '{}'", atom.question));
            return;
        };
        let unknown: Vec<&String> = atom
            .answers
            .iter()
            .filter(|a| !ALWAYS.contains(&a.as_str()) && !q.choices.iter().any(|c| &c.key == *a))
            .collect();
        for answer in unknown {
            self.say(
                place,
                &format!("question {} has no answer '{answer}'", atom.question),
            );
        }
    }

    pub(crate) fn question(&self, key: &str) -> Option<&'a Question> {
        self.k.questions.iter().find(|q| q.key == key)
    }

    fn findings(&mut self) {
        for f in &self.k.findings {
            let place = format!("finding {}", f.key);
            self.text(&place, "title", &f.title);
            self.text(&place, "meaning", &f.meaning);
            self.text(&place, "group", &f.group);
            self.source(&place, &f.source);
            self.rule(&place, &f.applies, true);
            for need in &f.needs {
                if self.question(need).is_none() {
                    self.say(
                        &place,
                        &format!("needs the question '{need}', which does not exist"),
                    );
                }
            }
            for caution in &f.cautions {
                self.caution(&place, caution);
            }
            for next in &f.next {
                self.text(&place, "next", next);
            }
            for e in f.r#for.iter().chain(&f.against) {
                self.text(&place, &format!("say of {}", e.answer), &e.say);
                if !(1..=4).contains(&e.weight) {
                    self.say(&place, &format!("{}: weights go from 1 to 4", e.answer));
                }
                self.rule(&place, std::slice::from_ref(&e.answer), false);
            }
            if f.hazard && !f.against.is_empty() {
                self.say(&place, "nothing is held against a hazard");
            }
            if !reaches_two(&f.r#for) {
                self.say(&place, "can never become possible: too little evidence for it");
            }
            self.clashes(&place, f.r#for.iter(), f.against.iter());
        }
    }

    /// Good evidence for and good evidence against, of different questions, can be given together:
    /// somebody must have thought about what that means.
    fn clashes<'e>(
        &mut self,
        place: &str,
        r#for: impl Iterator<Item = &'e Evidence>,
        against: impl Iterator<Item = &'e Evidence> + Clone,
    ) {
        for f in r#for.filter(|e| e.weight >= 3) {
            for a in against.clone().filter(|e| e.weight >= 3) {
                let (Ok(fl), Ok(al)) = (line(&f.answer), line(&a.answer)) else {
                    continue;
                };
                if fl[0].question == al[0].question {
                    continue;
                }
                let named = self.k.contradictions.iter().any(|c| {
                    line(&c.answers).is_ok_and(|atoms| {
                        let covers = |part: &Atom| {
                            atoms.iter().any(|x| {
                                x.question == part.question
                                    && part.answers.iter().all(|p| x.answers.contains(p))
                            })
                        };
                        covers(&fl[0]) && covers(&al[0])
                    })
                });
                if !named {
                    self.say(
                        place,
                        &format!("no contradiction is written for {} with {}", f.answer, a.answer),
                    );
                }
            }
        }
    }

    fn caution(&mut self, place: &str, key: &str) {
        if !self.k.cautions.iter().any(|c| c.key == key) {
            self.say(place, &format!("there is no caution '{key}'"));
        }
    }

    fn contradictions(&mut self) {
        for c in &self.k.contradictions {
            let place = format!("contradiction {}", c.answers);
            self.text(&place, "say", &c.say);
            self.source(&place, &c.source);
            self.rule(&place, std::slice::from_ref(&c.answers), false);
            if c.findings.is_empty() {
                self.say(&place, "belongs to no finding");
            }
            for finding in &c.findings {
                if !self.k.findings.iter().any(|f| &f.key == finding) {
                    self.say(&place, &format!("there is no finding '{finding}'"));
                }
            }
        }
    }

    fn rest(&mut self) {
        for c in &self.k.carriers {
            let place = format!("carrier {}", c.key);
            for (name, text) in [
                ("label", &c.label),
                ("icon", &c.icon),
                ("told", &c.told),
                ("plays", &c.plays),
                ("traps", &c.traps),
            ] {
                self.text(&place, name, text);
            }
            if !["reel", "cassette", "cartridge", "other"].contains(&c.family.as_str()) {
                self.say(&place, "family is reel, cassette, cartridge or other");
            }
            self.source(&place, &c.source);
        }
        for c in &self.k.cautions {
            let place = format!("caution {}", c.key);
            self.text(&place, "title", &c.title);
            self.text(&place, "text", &c.text);
            self.source(&place, &c.source);
            let used = self.k.findings.iter().any(|f| f.cautions.contains(&c.key))
                || self
                    .k
                    .box_cautions
                    .iter()
                    .chain(&self.k.item_cautions)
                    .any(|b| b.cautions.contains(&c.key))
                || c.key == "no_heat";
            if !used {
                self.say(&place, "is never shown");
            }
        }
        for b in self.k.box_cautions.iter().chain(&self.k.item_cautions) {
            let place = format!("caution at once {}", b.answers);
            self.rule(&place, std::slice::from_ref(&b.answers), false);
            for key in &b.cautions {
                self.caution(&place, key);
            }
        }
        for c in &self.k.conditions {
            let place = format!("condition {}", c.key);
            self.text(&place, "label", &c.label);
            self.source(&place, &c.source);
            self.rule(&place, &c.yes, true);
            self.rule(&place, &c.no, true);
            if c.yes.is_empty() || c.no.is_empty() {
                self.say(&place, "needs a way to be yes and a way to be no");
            }
        }
        let last = self.k.actions.len().saturating_sub(1);
        for (at, a) in self.k.actions.iter().enumerate() {
            let place = format!("action {}", a.key);
            for (name, text) in [
                ("fits", &a.fits),
                ("people", &a.people),
                ("handling", &a.handling),
                ("plan", &a.plan),
            ] {
                self.text(&place, name, text);
            }
            self.text(&place, "money", &a.money);
            self.text(&place, "label", &a.label);
            self.source(&place, &a.source);
            for work in &a.work {
                if !["clean", "repair", "specialist"].contains(&work.as_str()) {
                    self.say(&place, &format!("there is no work '{work}'"));
                }
            }
            if at == last && a.key != "look_again" {
                self.say(&place, "the last class is look_again; programs name it");
            }
            if a.when.is_empty() != (at == last) {
                self.say(&place, "the last class, and only the last, has no rule");
            }
            for text in &a.when {
                match finding_line(text) {
                    Err(e) => self.say(&place, &e),
                    Ok(atoms) => {
                        for atom in atoms {
                            if !self.k.findings.iter().any(|f| f.key == atom.finding) {
                                self.say(&place, &format!("there is no finding '{}'", atom.finding));
                            }
                            if !["likely", "possible", "no_sign"].contains(&atom.strength.as_str()) {
                                self.say(&place, &format!("'{}' is no strength", atom.strength));
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Whether the pieces for a finding, one a question, can add up to two points.
fn reaches_two(pieces: &[Evidence]) -> bool {
    let mut best: std::collections::BTreeMap<String, u8> = std::collections::BTreeMap::new();
    for e in pieces {
        if let Some(first) = line(&e.answer).ok().and_then(|l| l.into_iter().next()) {
            let slot = best.entry(first.question).or_default();
            *slot = (*slot).max(e.weight);
        }
    }
    best.values().map(|w| u32::from(*w)).sum::<u32>() >= 2
}
