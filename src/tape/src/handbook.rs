//! The rules as they can be read and printed: what the handbook is made from.

use crate::finding::{Evidence, FindingRule};
use crate::knowledge::FINDINGS;
use crate::question::{Choice, question};
use crate::rule::{Atom, When};

/// One finding's rules, in words.
#[derive(Clone, Debug)]
pub struct Rule {
    /// The finding's key.
    pub key: &'static str,
    /// A few words.
    pub title: &'static str,
    /// What kind of finding.
    pub group: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// Whether nothing is held against it.
    pub hazard: bool,
    /// Whether it carries the warning against heat unless the film is likely polyester.
    pub heat: bool,
    /// What points to it.
    pub evidence_for: Vec<Piece>,
    /// What speaks against it.
    pub against: Vec<Piece>,
    /// The checks that must have been made before "no sign" may be said.
    pub needs: Vec<&'static str>,
    /// The keys of its cautions.
    pub cautions: &'static [&'static str],
    /// What to do next.
    pub next: &'static [&'static str],
    /// Where it is known from.
    pub source: &'static str,
}

/// One piece of evidence, in words.
#[derive(Clone, Debug)]
pub struct Piece {
    /// The answers that make it, as a surveyor sees them.
    pub answers: String,
    /// Its weight, 1 to 4.
    pub weight: u8,
    /// What is said of it.
    pub say: &'static str,
}

/// The rules of every finding, in the order of the knowledge.
pub fn rules() -> Vec<Rule> {
    FINDINGS.iter().map(rule).collect()
}

fn rule(f: &'static FindingRule) -> Rule {
    let pieces = |list: &'static [Evidence]| {
        list.iter()
            .map(|e| Piece {
                answers: in_words(&e.when),
                weight: e.weight,
                say: e.say,
            })
            .collect()
    };
    Rule {
        key: f.key,
        title: f.title,
        group: f.group,
        meaning: f.meaning,
        hazard: f.hazard,
        heat: f.heat,
        evidence_for: pieces(f.r#for),
        against: pieces(f.against),
        needs: f
            .needs
            .iter()
            .filter_map(|key| question(key))
            .map(|q| q.short)
            .collect(),
        cautions: f.cautions,
        next: f.next,
        source: f.source,
    }
}

/// A rule as a surveyor would read it: the question and the labels of the answers.
pub(crate) fn in_words(when: &When) -> String {
    let line = |atoms: &[Atom]| atoms.iter().map(atom).collect::<Vec<_>>().join(" and ");
    when.0
        .iter()
        .map(|atoms| line(atoms))
        .collect::<Vec<_>>()
        .join("; or ")
}

fn atom(atom: &Atom) -> String {
    let Some(q) = question(atom.question) else {
        return String::new();
    };
    let label = |key: &&'static str| -> String {
        let known: Option<&Choice> = q.choices.iter().find(|c| c.key == *key);
        known.map_or_else(|| key.replace('_', " "), |c| c.label.to_owned())
    };
    let labels: Vec<String> = atom.answers.iter().map(label).collect();
    let not = if atom.not { "not " } else { "" };
    format!("\u{201c}{}\u{201d} {not}{}", q.short, labels.join(" or "))
}
