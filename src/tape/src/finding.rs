//! From answers to conclusions, each with its evidence.
//!
//! How the points are weighed stands in `knowledge/README.md`; the idea in one line: a check that was not made counts
//! as if it had spoken against, so that "can't tell" never makes a conclusion firmer.

use std::collections::BTreeMap;

use crate::answer::{Answer, Answers, CANT_TELL, PHOTOGRAPHED};
use crate::caution::{Caution, in_order};
use crate::knowledge::{CONTRADICTIONS, FINDINGS};
use crate::question::{merged, question};
use crate::rule::{When, is_told};
use crate::watch::{Stock, WatchList};

/// How firmly a finding is held, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strength {
    /// The checks were made and showed nothing. This is not proof of absence.
    NoSign,
    /// Too little was looked at, or could be told.
    CannotTell,
    /// Something points to it.
    Possible,
    /// Good evidence, and the checks that could speak against it do not.
    Likely,
}

impl Strength {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Strength::Likely => "likely",
            Strength::Possible => "possible",
            Strength::CannotTell => "cannot tell",
            Strength::NoSign => "no sign",
        }
    }
}

/// A conclusion with its evidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Its key, as in tables.
    pub key: &'static str,
    /// A few words.
    pub title: &'static str,
    /// What kind of finding: `hazard`, `base`, `layers`, `decay`, `binder`, `pack`, `damage` or `housing`.
    pub group: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// How firmly it is held.
    pub strength: Strength,
    /// What points to it.
    pub evidence_for: Vec<String>,
    /// Whether nothing but a smell points to it.
    pub by_smell: bool,
    /// What speaks against it.
    pub against: Vec<String>,
    /// What could have told, and why it did not.
    pub not_looked: Vec<String>,
    /// Answers that do not fit together.
    pub contradictions: Vec<String>,
    /// What not to do, cautions for people first.
    pub cautions: Vec<&'static Caution>,
    /// What to do next; empty unless something points to it.
    pub next: Vec<&'static str>,
    /// Where this is known from.
    pub source: &'static str,
}

/// A finding's rules.
#[derive(Debug)]
pub(crate) struct FindingRule {
    pub(crate) key: &'static str,
    pub(crate) title: &'static str,
    pub(crate) group: &'static str,
    pub(crate) hazard: bool,
    pub(crate) heat: bool,
    pub(crate) meaning: &'static str,
    pub(crate) applies: When,
    pub(crate) needs: &'static [&'static str],
    pub(crate) cautions: &'static [&'static str],
    pub(crate) next: &'static [&'static str],
    pub(crate) source: &'static str,
    pub(crate) r#for: &'static [Evidence],
    pub(crate) against: &'static [Evidence],
}

/// One piece of evidence.
#[derive(Debug)]
pub(crate) struct Evidence {
    pub(crate) when: When,
    pub(crate) weight: u8,
    pub(crate) say: &'static str,
}

/// The questions that are answered by the nose.
const SMELLS: [&str; 2] = ["odour_box", "odour_tape"];

/// Answers that do not fit together. They are named under the findings they touch and decide nothing by themselves.
#[derive(Debug)]
pub struct Contradiction {
    pub(crate) when: When,
    /// The findings under which it is named.
    pub findings: &'static [&'static str],
    /// What does not fit, and what that may mean.
    pub say: &'static str,
    /// Where it is known from.
    pub source: &'static str,
}

/// Every contradiction that is known of.
pub fn contradictions() -> &'static [Contradiction] {
    CONTRADICTIONS
}

/// Every finding that applies to this item, the firmest first, hazards before others of the same strength.
pub fn findings(box_answers: &Answers, item: &Answers) -> Vec<Finding> {
    findings_watching(box_answers, item, &WatchList::default())
}

/// The same, with the user's watch-list weighed in where the make of the tape was written down.
pub fn findings_watching(box_answers: &Answers, item: &Answers, watch: &WatchList) -> Vec<Finding> {
    let case = Case::of(merged(box_answers, item), watch);
    let strengths: Vec<(&FindingRule, Strength)> =
        FINDINGS.iter().map(|rule| (rule, case.strength(rule))).collect();
    let base_known = base_is_polyester(&strengths);
    let mut out: Vec<Finding> = strengths
        .into_iter()
        .filter(|(rule, s)| *s >= Strength::Possible || !rule.applies.ruled_out(&case.answers))
        .map(|(rule, s)| case.told(rule, s, base_known))
        .collect();
    // A stable sort: equal strengths keep the order of the knowledge, where hazards come first.
    out.sort_by_key(|f| std::cmp::Reverse(f.strength));
    out
}

/// Whether there is a finding with this key.
pub(crate) fn is_finding(key: &str) -> bool {
    FINDINGS.iter().any(|f| f.key == key)
}

/// One item's answers, prepared.
struct Case<'w> {
    answers: Answers,
    /// The answers without those that stop a check: see [`without_hazards`].
    calm: Answers,
    /// The stocks of the watch-list that the label may name.
    stocks: Vec<&'w Stock>,
    /// 2 where the make is written on the tape or its reel, 1 where the box may be another tape's.
    stock_weight: u32,
}

/// The questions whose answers stop a check.
pub(crate) const STOPS: [&str; 5] = ["outcome", "outcome_reason", "mould", "vermin", "hazard"];

/// The answers without those that stop a check. A question left out because of a hazard is a check not made; one left out
/// because it makes no sense for the carrier, or because the label does not say, is not.
fn without_hazards(answers: &Answers) -> Answers {
    answers
        .iter()
        .filter(|(key, _)| !STOPS.contains(&key.as_str()))
        .map(|(key, answer)| (key.clone(), answer.clone()))
        .collect()
}

/// Whether polyester is likely and no other film has anything pointing to it: only then is the warning against heat
/// left out.
fn base_is_polyester(strengths: &[(&FindingRule, Strength)]) -> bool {
    strengths
        .iter()
        .filter(|(rule, _)| rule.group == "base")
        .all(|(rule, s)| match rule.key {
            "base_polyester" => *s == Strength::Likely,
            _ => *s < Strength::Possible,
        })
}

impl Finding {
    /// What was seen, as far as it goes: `Mould`, `Possible mould`, `Possible mould, musty smell only`.
    pub fn seen(&self) -> String {
        if self.strength > Strength::Possible {
            return self.title.to_owned();
        }
        let mut letters = self.title.chars();
        let first: String = letters.next().into_iter().flat_map(char::to_lowercase).collect();
        let smell = match (self.by_smell, self.key) {
            (false, _) => "",
            (true, "mould") => ", musty smell only",
            (true, _) => ", smell only",
        };
        format!("Possible {first}{}{smell}", letters.as_str())
    }
}

impl<'w> Case<'w> {
    fn of(answers: Answers, watch: &'w WatchList) -> Case<'w> {
        let stocks = match answers.get("stock") {
            Some(Answer::Text(written)) => watch.matching(written),
            _ => Vec::new(),
        };
        let known = answers
            .get("stock_where")
            .is_some_and(|a| a.has_any(&["on_tape", "on_reel"]));
        Case {
            calm: without_hazards(&answers),
            stocks,
            stock_weight: if known { 2 } else { 1 },
            answers,
        }
    }

    fn strength(&self, rule: &FindingRule) -> Strength {
        let points = self.points_for(rule);
        if points >= 3 && (rule.hazard || points >= self.heaviest_against(rule) + 2) {
            return Strength::Likely;
        }
        if points >= 2 {
            return Strength::Possible;
        }
        let looked = rule
            .needs
            .iter()
            .all(|need| is_told(need, &self.answers) || self.is_not_asked(need));
        if looked {
            Strength::NoSign
        } else {
            Strength::CannotTell
        }
    }

    /// The points for it: of one question only the heaviest answer counts.
    fn points_for(&self, rule: &FindingRule) -> u32 {
        let mut best: BTreeMap<&str, u8> = BTreeMap::new();
        for piece in rule.r#for.iter().filter(|e| e.when.holds(&self.answers)) {
            let about = piece.when.questions().first().copied().unwrap_or_default();
            let slot = best.entry(about).or_default();
            *slot = piece.weight.max(*slot);
        }
        let watched = if self.watched(rule).is_empty() {
            0
        } else {
            self.stock_weight
        };
        best.values().map(|w| u32::from(*w)).sum::<u32>() + watched
    }

    /// The stocks known for this finding.
    fn watched(&self, rule: &FindingRule) -> Vec<&'w Stock> {
        self.stocks
            .iter()
            .copied()
            .filter(|s| s.behaviours.iter().any(|b| b == rule.key))
            .collect()
    }

    /// The heaviest piece that speaks against it, or that could while nobody has looked. An answer to a question that is
    /// not asked of such a carrier is not held against it: it is named as a contradiction instead.
    fn heaviest_against(&self, rule: &FindingRule) -> u32 {
        let could = |e: &&Evidence| {
            let asked = !e.when.questions().iter().any(|q| self.is_not_asked(q));
            asked && (e.when.holds(&self.answers) || !e.when.ruled_out(&self.answers))
        };
        rule.against
            .iter()
            .filter(could)
            .map(|e| u32::from(e.weight))
            .max()
            .unwrap_or(0)
    }

    /// Whether the question makes no sense for this carrier, or the label does not say.
    fn is_not_asked(&self, key: &str) -> bool {
        question(key).is_none_or(|q| q.when.ruled_out(&self.calm))
    }

    fn told(&self, rule: &'static FindingRule, strength: Strength, base_known: bool) -> Finding {
        let said = |pieces: &'static [Evidence]| {
            pieces
                .iter()
                .filter(|e| e.when.holds(&self.answers))
                .map(|e| e.say.to_owned())
                .collect::<Vec<_>>()
        };
        let shown = strength >= Strength::Possible;
        let heat = (rule.heat && !base_known).then_some("no_heat");
        let own = rule.cautions.iter().copied().filter(|_| shown);
        let mut evidence_for = said(rule.r#for);
        let is_smell = |e: &&Evidence| e.when.questions().iter().all(|q| SMELLS.contains(q));
        let by_smell = !evidence_for.is_empty()
            && self.watched(rule).is_empty()
            && rule
                .r#for
                .iter()
                .filter(|e| e.when.holds(&self.answers))
                .all(|e| is_smell(&e));
        evidence_for.extend(
            self.watched(rule)
                .into_iter()
                .map(|stock| self.say_watched(stock)),
        );
        Finding {
            key: rule.key,
            title: rule.title,
            group: rule.group,
            meaning: rule.meaning,
            strength,
            evidence_for,
            by_smell,
            against: said(rule.against),
            not_looked: self.not_looked(rule),
            contradictions: CONTRADICTIONS
                .iter()
                .filter(|c| c.findings.contains(&rule.key) && c.when.holds(&self.answers))
                .map(|c| c.say.to_owned())
                .collect(),
            cautions: in_order(own.chain(heat)),
            next: if shown { rule.next.to_vec() } else { Vec::new() },
            source: rule.source,
        }
    }

    fn say_watched(&self, stock: &Stock) -> String {
        let place = match self.stock_weight {
            2 => "written on it",
            _ => "the box may be another tape's",
        };
        let source = if stock.source.is_empty() {
            "no source"
        } else {
            &stock.source
        };
        format!("On your watch-list: {} ({place}; {source}).", stock.name)
    }

    /// The checks that could still tell, each with what became of it.
    fn not_looked(&self, rule: &FindingRule) -> Vec<String> {
        let mut keys: Vec<&str> = rule.needs.to_vec();
        for piece in rule.r#for.iter().chain(rule.against) {
            keys.extend(piece.when.questions());
        }
        let mut out = Vec::new();
        let mut seen: Vec<&str> = Vec::new();
        for key in keys {
            if seen.contains(&key) || is_told(key, &self.answers) || self.is_not_asked(key) {
                continue;
            }
            seen.push(key);
            let Some(q) = question(key) else { continue };
            let became = match self.answers.get(key) {
                None => "Not asked",
                Some(a) if a.has(PHOTOGRAPHED) => "Photographed, to be read",
                Some(a) if a.has(CANT_TELL) => "Could not be told",
                Some(_) => "Answered, but it tells nothing",
            };
            out.push(format!("{became}: {}", q.short));
        }
        out
    }
}
