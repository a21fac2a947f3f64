//! Answers laid out for the rules: every answer a set of bits, so that a quarter of a million items are weighed in about a
//! second. What comes out is what [`crate::condition_values`], [`crate::action`] over [`crate::findings`],
//! [`crate::item_path_in`] and [`crate::playing`] say, without a word of it in prose; `tests/laid.rs` holds the two together.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::action::FindingAtom;
use crate::answer::{Answer, Answers, CANT_TELL, PHOTOGRAPHED};
use crate::coded::{Coded, Form, Told};
use crate::finding::{Evidence, STOPS, Strength};
use crate::knowledge::{ACTIONS, CONDITIONS, FINDINGS, QUESTIONS};
use crate::playing::{Playing, playing};
use crate::question::{Kind, Subject};
use crate::rule::{Atom, When};

/// The answers about a box, or about an item in its box.
#[derive(Clone, Debug)]
pub struct Laid {
    /// By the number of the question.
    said: Vec<Said>,
}

/// One answer.
#[derive(Clone, Copy, Debug, Default)]
struct Said {
    /// What was chosen, a bit a key that the question or a rule knows.
    keys: u64,
    /// The number, if it is one.
    number: Option<f64>,
    /// Whether that answers the question.
    answered: bool,
    /// Whether it tells something.
    told: bool,
    /// Whether it is one choice.
    is_one: bool,
    /// Whether it is about the item, and not about its box.
    of_item: bool,
}

/// In the place of a choice's one bit.
const A_NUMBER: u64 = u64::MAX;

/// The questions that playing times follow from.
const HOURS: [&str; 6] = [
    "carrier",
    "size",
    "length_class",
    "pack_diameter",
    "speed",
    "tracks",
];

impl Laid {
    /// A box's answers, by question.
    pub fn of_box<'a>(answers: impl IntoIterator<Item = (&'a str, &'a Answer)>) -> Laid {
        Laid::of_told(whole(answers))
    }

    /// A box's answers, in few bytes or in full.
    pub fn of_told<'a>(answers: impl IntoIterator<Item = Told<'a>>) -> Laid {
        let mut laid = Laid {
            said: vec![Said::default(); rules().questions.len()],
        };
        laid.lay(answers, false);
        laid
    }

    /// The same with an item's answers, which win where both have one.
    #[must_use]
    pub fn with_item<'a>(&self, answers: impl IntoIterator<Item = (&'a str, &'a Answer)>) -> Laid {
        self.with_told(whole(answers))
    }

    /// The same with an item's answers in few bytes or in full.
    #[must_use]
    pub fn with_told<'a>(&self, answers: impl IntoIterator<Item = Told<'a>>) -> Laid {
        let mut laid = self.clone();
        laid.lay(answers, true);
        laid
    }

    fn lay<'a>(&mut self, answers: impl IntoIterator<Item = Told<'a>>, of_item: bool) {
        let rules = rules();
        for told in answers {
            let said = match told {
                Told::Coded(coded) => rules.coded(coded),
                Told::Whole(question, answer) => rules
                    .number(question)
                    .map(|number| (number, rules.questions[number].said(answer))),
            };
            if let Some((number, said)) = said {
                self.said[number] = Said { of_item, ..said };
            }
        }
    }

    /// The columns of [`crate::conditions`], in their order.
    pub fn conditions(&self) -> impl Iterator<Item = Option<bool>> {
        rules()
            .conditions
            .iter()
            .map(|(yes, no)| match (yes.holds(self), no.holds(self)) {
                (true, false) => Some(true),
                (false, true) => Some(false),
                (true, true) | (false, false) => None,
            })
    }

    /// What is to be done with it: an index of [`crate::actions`].
    pub fn action(&self) -> usize {
        let rules = rules();
        let not_asked: Vec<bool> = rules
            .questions
            .iter()
            .map(|q| q.is_unknown || q.when.ruled_out(self, true))
            .collect();
        let found: Vec<Strength> = rules
            .findings
            .iter()
            .map(|rule| rule.found(self, &not_asked))
            .collect();
        let holds = |line: &Vec<(Option<usize>, &FindingAtom)>| {
            line.iter().all(|(finding, atom)| {
                let strength = finding.map_or(Strength::NoSign, |at| found[at]);
                match atom.at_least {
                    true => strength >= atom.strength,
                    false => strength == atom.strength,
                }
            })
        };
        let mut classes = rules.actions.iter();
        let found = classes.position(|lines| lines.is_empty() || lines.iter().any(holds));
        found.unwrap_or(rules.actions.len() - 1)
    }

    /// Whether every question about an item that must be answered is.
    pub fn is_item_done(&self) -> bool {
        self.is_done(|q| q.must_item)
    }

    /// Whether every question about a box that must be answered is, of a box's answers alone.
    pub fn is_box_done(&self) -> bool {
        self.is_done(|q| q.must_box)
    }

    fn is_done(&self, must: impl Fn(&Asked) -> bool) -> bool {
        let asked = rules().questions.iter().zip(&self.said).filter(|(q, _)| must(q));
        let mut open = asked.filter(|(_, said)| !said.answered);
        !open.any(|(q, _)| q.is_asked(self))
    }

    /// Whether a question is asked, given these answers; never one that nobody knows.
    pub fn asks(&self, question: &str) -> bool {
        let asked = rules().number(question).map(|number| &rules().questions[number]);
        asked.is_some_and(|asked| !asked.is_unknown && asked.is_asked(self))
    }

    /// Whether the answer to a question is this one choice.
    pub fn is_one(&self, question: &str, key: &str) -> bool {
        let Some(number) = rules().number(question) else {
            return false;
        };
        let (said, bit) = (self.said[number], rules().questions[number].bit(key));
        said.is_one && bit.is_some_and(|bit| said.keys == bit)
    }
}

fn whole<'a>(answers: impl IntoIterator<Item = (&'a str, &'a Answer)>) -> impl Iterator<Item = Told<'a>> {
    let pairs = answers.into_iter();
    pairs.map(|(question, answer)| Told::Whole(question, answer))
}

/// Playing times worked out before: many items are alike in what they follow from.
#[derive(Debug, Default)]
pub struct Hours(BTreeMap<[(u64, u64); HOURS.len()], Option<Playing>>);

impl Hours {
    /// How much is on an item, from its own answers.
    pub fn of(&mut self, item: &Laid) -> Option<&Playing> {
        let rules = rules();
        let said = rules.hours.map(|number| {
            let said = number.map(|number| item.said[number]);
            said.filter(|said| said.of_item && said.told)
        });
        // One choice or a number tells here, nothing else.
        let key = said.map(|said| match said {
            Some(Said {
                is_one: true, keys, ..
            }) => (keys, 0),
            Some(Said {
                number: Some(number), ..
            }) => (A_NUMBER, number.to_bits()),
            _ => (0, 0),
        });
        let known = self.0.entry(key).or_insert_with(|| {
            let mut answers = Answers::new();
            for (((keys, number), question), at) in key.into_iter().zip(HOURS).zip(rules.hours) {
                let Some(at) = at else { continue };
                let chosen = rules.questions[at].keys.iter().find(|(_, bit)| *bit == keys);
                let answer = match chosen {
                    Some((key, _)) => Answer::one(*key),
                    None if keys == A_NUMBER => Answer::Number(f64::from_bits(number)),
                    None => continue,
                };
                answers.insert(question.to_owned(), answer);
            }
            playing(&answers)
        });
        known.as_ref()
    }
}

/// The knowledge, numbered.
pub(crate) struct Rules {
    /// The questions' numbers, by key.
    pub(crate) names: Vec<(&'static str, usize)>,
    questions: Vec<Asked>,
    conditions: Vec<(Lines, Lines)>,
    findings: Vec<FindingLines>,
    /// Of each class its lines; none: whatever is left.
    actions: Vec<Vec<ActionLine>>,
    hours: [Option<usize>; HOURS.len()],
}

/// What must all hold: a finding's number, and what is said of it.
type ActionLine = Vec<(Option<usize>, &'static FindingAtom)>;

/// A question, and the keys that it or a rule knows.
pub(crate) struct Asked {
    /// In their order, each with its bit.
    pub(crate) keys: Vec<(&'static str, u64)>,
    /// Those that tell something.
    tells: u64,
    range: Option<(f64, f64)>,
    when: Lines,
    /// It must be answered of an item, where it is asked.
    must_item: bool,
    /// The same of a box.
    must_box: bool,
    /// A rule names it and no question is called so.
    pub(crate) is_unknown: bool,
}

struct Lines(Vec<Vec<Part>>);

struct Part {
    question: usize,
    not: bool,
    keys: u64,
    /// Those that a surveyor could tell.
    firm: u64,
    stops: bool,
}

struct FindingLines {
    hazard: bool,
    applies: Lines,
    needs: Vec<usize>,
    /// Evidence for it, that of one question together.
    r#for: Vec<Piece>,
    against: Vec<Piece>,
}

struct Piece {
    when: Lines,
    weight: u8,
    /// The question it is counted under.
    about: Option<usize>,
    questions: Vec<usize>,
}

pub(crate) fn rules() -> &'static Rules {
    static RULES: OnceLock<Rules> = OnceLock::new();
    RULES.get_or_init(Rules::numbered)
}

impl Rules {
    fn numbered() -> Rules {
        let mut keys: Vec<(&'static str, Vec<&'static str>)> =
            QUESTIONS.iter().map(|q| (q.key, Vec::new())).collect();
        let mut know = |question: &'static str, key: Option<&'static str>| {
            let at = keys.iter().position(|(known, _)| *known == question);
            let at = at.unwrap_or_else(|| {
                keys.push((question, Vec::new()));
                keys.len() - 1
            });
            let known = &mut keys[at].1;
            known.extend(key.filter(|key| !known.contains(key)));
        };
        for question in QUESTIONS {
            let choices = question.choices.iter().map(|choice| choice.key);
            choices
                .chain([CANT_TELL, PHOTOGRAPHED])
                .for_each(|key| know(question.key, Some(key)));
        }
        for atom in every_when().flat_map(|when| when.0.iter().copied().flatten()) {
            know(atom.question, None);
            atom.answers.iter().for_each(|key| know(atom.question, Some(key)));
        }
        FINDINGS
            .iter()
            .flat_map(|rule| rule.needs)
            .for_each(|need| know(need, None));
        let mut names: Vec<(&'static str, usize)> = keys
            .iter()
            .enumerate()
            .map(|(at, (name, _))| (*name, at))
            .collect();
        names.sort_unstable();
        let bits: Vec<Vec<(&'static str, u64)>> = keys
            .iter()
            .map(|(_, keys)| {
                // No question has more than 64 keys: `every_key_has_a_bit` below.
                let numbered = keys.iter().enumerate();
                let mut bits: Vec<_> = numbered
                    .map(|(at, key)| {
                        (
                            *key,
                            u32::try_from(at)
                                .ok()
                                .and_then(|at| 1u64.checked_shl(at))
                                .unwrap_or(0),
                        )
                    })
                    .collect();
                bits.sort_unstable();
                bits
            })
            .collect();
        let code = Coding {
            names: &names,
            bits: &bits,
        };
        let questions = keys
            .iter()
            .enumerate()
            .map(|(at, (name, _))| code.asked(name, &bits[at]));
        Rules {
            questions: questions.collect(),
            conditions: CONDITIONS
                .iter()
                .map(|c| (code.lines(&c.yes), code.lines(&c.no)))
                .collect(),
            findings: FINDINGS
                .iter()
                .map(|rule| FindingLines {
                    hazard: rule.hazard,
                    applies: code.lines(&rule.applies),
                    needs: rule.needs.iter().filter_map(|need| code.number(need)).collect(),
                    r#for: code.pieces(rule.r#for),
                    against: code.pieces(rule.against),
                })
                .collect(),
            actions: ACTIONS
                .iter()
                .map(|class| {
                    let lines = class.when.iter().map(|line| {
                        let at = |atom: &FindingAtom| FINDINGS.iter().position(|f| f.key == atom.finding);
                        line.iter().map(|atom| (at(atom), atom)).collect()
                    });
                    lines.collect()
                })
                .collect(),
            hours: HOURS.map(|question| code.number(question)),
            names,
        }
    }

    /// The place of a question among the names.
    pub(crate) fn named(&self, question: &str) -> Option<usize> {
        self.names.binary_search_by_key(&question, |(name, _)| *name).ok()
    }

    /// What is known of the question at that place.
    pub(crate) fn asked(&self, name: usize) -> Option<&Asked> {
        self.names.get(name).map(|(_, number)| &self.questions[*number])
    }

    fn number(&self, question: &str) -> Option<usize> {
        Some(self.names[self.named(question)?].1)
    }

    /// What a coded answer says, and to which question.
    fn coded(&self, coded: Coded) -> Option<(usize, Said)> {
        let (question, form, bits) = coded.parts();
        let number = self.names.get(usize::from(question))?.1;
        let asked = &self.questions[number];
        let said = match form {
            Form::One => Said {
                keys: bits,
                told: bits & asked.tells != 0,
                answered: true,
                is_one: true,
                ..Said::default()
            },
            Form::Many => Said {
                keys: bits,
                told: bits != 0 && bits & !asked.tells == 0,
                answered: bits != 0,
                ..Said::default()
            },
            Form::Number => asked.said(&Answer::Number(f64::from_bits(bits))),
        };
        Some((number, said))
    }
}

/// Every rule of questions, conditions and findings.
fn every_when() -> impl Iterator<Item = &'static When> {
    let evidence = |rule: &'static crate::finding::FindingRule| rule.r#for.iter().chain(rule.against);
    let findings = FINDINGS
        .iter()
        .flat_map(move |rule| evidence(rule).map(|piece| &piece.when).chain([&rule.applies]));
    let conditions = CONDITIONS.iter().flat_map(|c| [&c.yes, &c.no]);
    QUESTIONS
        .iter()
        .map(|q| &q.when)
        .chain(conditions)
        .chain(findings)
}

struct Coding<'a> {
    names: &'a [(&'static str, usize)],
    bits: &'a [Vec<(&'static str, u64)>],
}

impl Coding<'_> {
    fn number(&self, question: &str) -> Option<usize> {
        let at = self
            .names
            .binary_search_by_key(&question, |(name, _)| *name)
            .ok()?;
        Some(self.names[at].1)
    }

    fn lines(&self, when: &When) -> Lines {
        Lines(
            when.0
                .iter()
                .map(|line| line.iter().filter_map(|atom| self.part(atom)).collect())
                .collect(),
        )
    }

    fn part(&self, atom: &Atom) -> Option<Part> {
        let question = self.number(atom.question)?;
        let told = |key: &&&str| **key != CANT_TELL && **key != PHOTOGRAPHED;
        Some(Part {
            question,
            not: atom.not,
            keys: of(&self.bits[question], atom.answers.iter()),
            firm: of(&self.bits[question], atom.answers.iter().filter(told)),
            stops: STOPS.contains(&atom.question),
        })
    }

    fn pieces(&self, evidence: &'static [Evidence]) -> Vec<Piece> {
        let piece = |piece: &'static Evidence| {
            let questions = piece.when.questions();
            let questions: Vec<usize> = questions.iter().filter_map(|q| self.number(q)).collect();
            Piece {
                when: self.lines(&piece.when),
                weight: piece.weight,
                about: questions.first().copied(),
                questions,
            }
        };
        let mut pieces: Vec<Piece> = evidence.iter().map(piece).collect();
        pieces.sort_by_key(|piece| piece.about);
        pieces
    }

    fn asked(&self, name: &str, keys: &[(&'static str, u64)]) -> Asked {
        let question = QUESTIONS.iter().find(|q| q.key == name);
        let tells = question
            .iter()
            .flat_map(|q| q.choices)
            .filter(|choice| !choice.silent);
        Asked {
            keys: keys.to_vec(),
            tells: tells.fold(0, |all, choice| all | of(keys, std::iter::once(&choice.key))),
            range: question.and_then(|q| match q.kind {
                Kind::Number { min, max, .. } => Some((min, max)),
                _ => None,
            }),
            when: question.map_or(Lines(Vec::new()), |q| self.lines(&q.when)),
            must_item: question.is_some_and(|q| q.subject == Subject::Item && !q.optional),
            must_box: question.is_some_and(|q| q.subject == Subject::Box && !q.optional),
            is_unknown: question.is_none(),
        }
    }
}

/// The bits of keys.
fn of<'k>(bits: &[(&'static str, u64)], keys: impl Iterator<Item = &'k &'static str>) -> u64 {
    keys.fold(0, |all, key| all | bit(bits, key))
}

/// The bit of a key; none of a key that nothing knows.
fn bit(bits: &[(&'static str, u64)], key: &str) -> u64 {
    bits.binary_search_by_key(&key, |(known, _)| *known)
        .map_or(0, |at| bits[at].1)
}

impl Asked {
    fn is_asked(&self, laid: &Laid) -> bool {
        self.when.0.is_empty() || self.when.holds(laid)
    }

    /// The bit of a key that is known.
    pub(crate) fn bit(&self, key: &str) -> Option<u64> {
        let at = self.keys.binary_search_by_key(&key, |(known, _)| *known).ok()?;
        Some(self.keys[at].1)
    }

    fn said(&self, answer: &Answer) -> Said {
        let mut said = Said {
            answered: true,
            ..Said::default()
        };
        match answer {
            Answer::One(key) => {
                said.keys = bit(&self.keys, key);
                said.told = said.keys & self.tells != 0;
                said.is_one = true;
            }
            Answer::Many(keys) => {
                said.keys = keys.iter().fold(0, |all, key| all | bit(&self.keys, key));
                said.told = !keys.is_empty() && keys.iter().all(|key| bit(&self.keys, key) & self.tells != 0);
                said.answered = !keys.is_empty();
            }
            Answer::Number(number) => {
                said.number = Some(*number);
                said.told = self.range.is_some_and(|(min, max)| (min..=max).contains(number));
            }
            Answer::Text(text) => said.told = !text.trim().is_empty(),
            Answer::Counts(_) => said.told = true,
        }
        said.told &= !self.is_unknown;
        said
    }
}

impl Lines {
    fn holds(&self, laid: &Laid) -> bool {
        self.0.iter().any(|line| line.iter().all(|part| part.holds(laid)))
    }

    /// `calm`: as if nothing had stopped the check.
    fn ruled_out(&self, laid: &Laid, calm: bool) -> bool {
        let out = |part: &Part| !(calm && part.stops) && part.ruled_out(laid);
        !self.0.is_empty() && self.0.iter().all(|line| line.iter().any(out))
    }
}

impl Part {
    fn holds(&self, laid: &Laid) -> bool {
        (laid.said[self.question].keys & self.keys != 0) != self.not
    }

    fn ruled_out(&self, laid: &Laid) -> bool {
        let said = &laid.said[self.question];
        match self.not {
            true => said.keys & self.firm != 0,
            false => said.told && !self.holds(laid),
        }
    }
}

impl FindingLines {
    /// How firmly it is held; no sign where it does not apply.
    fn found(&self, laid: &Laid, not_asked: &[bool]) -> Strength {
        let strength = self.strength(laid, not_asked);
        if strength < Strength::Possible && self.applies.ruled_out(laid, false) {
            return Strength::NoSign;
        }
        strength
    }

    fn strength(&self, laid: &Laid, not_asked: &[bool]) -> Strength {
        let points = self.points_for(laid);
        if points >= 3 && (self.hazard || points >= self.heaviest_against(laid, not_asked) + 2) {
            return Strength::Likely;
        }
        if points >= 2 {
            return Strength::Possible;
        }
        match self
            .needs
            .iter()
            .all(|need| laid.said[*need].told || not_asked[*need])
        {
            true => Strength::NoSign,
            false => Strength::CannotTell,
        }
    }

    /// Of one question only the heaviest answer counts.
    fn points_for(&self, laid: &Laid) -> u32 {
        let of_question = |pieces: &[Piece]| {
            let holding = pieces.iter().filter(|piece| piece.when.holds(laid));
            holding.map(|piece| u32::from(piece.weight)).max().unwrap_or(0)
        };
        self.r#for
            .chunk_by(|a, b| a.about == b.about)
            .map(of_question)
            .sum()
    }

    fn heaviest_against(&self, laid: &Laid, not_asked: &[bool]) -> u32 {
        let could = |piece: &&Piece| {
            !piece.questions.iter().any(|question| not_asked[*question])
                && (piece.when.holds(laid) || !piece.when.ruled_out(laid, false))
        };
        let weights = self
            .against
            .iter()
            .filter(could)
            .map(|piece| u32::from(piece.weight));
        weights.max().unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::rules;

    #[test]
    fn every_key_has_a_bit() {
        for asked in &rules().questions {
            let mut bits: Vec<u64> = asked.keys.iter().map(|(_, bit)| *bit).collect();
            bits.sort_unstable();
            bits.dedup();
            assert_eq!(bits.len(), asked.keys.len());
            assert!(bits.iter().all(|bit| bit.is_power_of_two()));
        }
    }
}
