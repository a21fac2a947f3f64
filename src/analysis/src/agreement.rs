//! What was read twice: how often two people who did not see each other's answers gave the same one.
//!
//! Agreement says how firm an answer is, not how true: two readers can be wrong together.

use std::collections::{BTreeMap, BTreeSet};

use sampling::agreement::{self, Agreement};
use sampling::linear::Lonely;
use serde::{Deserialize, Serialize};
use survey::differ::Repeat;
use survey::id::ItemId;
use survey::progress::Outcome;
use survey::reading::Pair;
use survey::{State, Subject};
use tape::{Answer, CANT_TELL, Kind, Question};

use crate::records::{self, Basis};
use crate::tables::{self, Tables};

/// How far two readings of a question agree, with errors that respect that items come in boxes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReadTwice {
    /// Items that were read twice and that the headline rests on.
    pub n: u64,
    /// The part of them for which both gave the same answer, weighted as the sample is.
    pub observed: f64,
    /// Its standard error; none where the boxes allow none.
    pub observed_se: Option<f64>,
    /// Cohen's kappa; none where both gave everything the same one answer.
    pub kappa: Option<f64>,
    /// Its standard error.
    pub kappa_se: Option<f64>,
    /// Gwet's AC1, which does not collapse where nearly all answers are the same.
    pub ac1: f64,
    /// Its standard error.
    pub ac1_se: Option<f64>,
}

/// The answer of one who did not come to the question.
const NOT_ASKED: &str = "";

/// Agreement by question, or by question and choice (`label.date`) where several choices can be marked at once.
#[must_use]
pub fn read_twice(state: &State) -> BTreeMap<String, ReadTwice> {
    let read = state.read_twice();
    let mut figures = BTreeMap::new();
    if read.is_empty() {
        return figures;
    }
    let rows = records::items(state, Basis::Headline);
    for (key, pairs) in read {
        let Some(question) = tape::question(key) else {
            continue;
        };
        match question.kind {
            Kind::One => {
                let answers = one_answers(question);
                let code = |answer: Option<&Answer>| {
                    let given = answer.and_then(|answer| answer.keys().first().copied());
                    answers.iter().position(|key| *key == given.unwrap_or(NOT_ASKED))
                };
                if let Some(figure) = figure(&rows, &pairs, answers.len(), code) {
                    figures.insert(key.to_owned(), figure);
                }
            }
            Kind::Many => {
                for choice in many_answers(question) {
                    // What neither ever marked says nothing of reading.
                    let marks = |answer: Option<&Answer>| answer.is_some_and(|answer| answer.has(choice));
                    let is_there = |pair: &Pair| marks(pair.first.as_ref()) || marks(pair.second.as_ref());
                    if !pairs.iter().any(is_there) {
                        continue;
                    }
                    let code = |answer: Option<&Answer>| Some(usize::from(marks(answer)));
                    if let Some(figure) = figure(&rows, &pairs, 2, code) {
                        figures.insert(format!("{key}.{choice}"), figure);
                    }
                }
            }
            Kind::Number { .. } | Kind::Text | Kind::Counts => {}
        }
    }
    figures
}

/// Every answer of a question of one choice: that it was not come to is one, for it can differ.
fn one_answers(question: &'static Question) -> Vec<&'static str> {
    let choices = question.choices.iter().map(|choice| choice.key);
    choices
        .chain([CANT_TELL, tape::PHOTOGRAPHED, NOT_ASKED])
        .collect()
}

fn many_answers(question: &'static Question) -> Vec<&'static str> {
    let choices = question.choices.iter().map(|choice| choice.key);
    choices.chain([CANT_TELL]).collect()
}

/// The pairs laid out on the rows of the sample. `code` numbers an answer below `n_answers`.
fn figure(
    rows: &Tables,
    pairs: &[Pair],
    n_answers: usize,
    code: impl Fn(Option<&Answer>) -> Option<usize>,
) -> Option<ReadTwice> {
    let coded: BTreeMap<(String, String), (usize, usize)> = pairs
        .iter()
        .filter_map(|pair| match pair.subject {
            Subject::Item(item) => Some((
                (item.serial.to_string(), item.position.to_string()),
                (code(pair.first.as_ref())?, code(pair.second.as_ref())?),
            )),
            _ => None,
        })
        .collect();
    // One column, laid out as every other column is: which row an item has is decided in one place.
    let mut laid = Tables {
        columns: vec![tables::Column {
            name: "pair".to_owned(),
            kind: tables::Kind::Quantity,
        }],
        ..rows.clone()
    };
    let mut n = 0;
    for row in &mut laid.items {
        let key = (row.box_id.clone(), row.item_id.clone());
        let pair = coded.get(&key);
        n += u64::from(pair.is_some());
        row.values = vec![pair.map(|(first, second)| (first * n_answers + second + 1) as f64)];
    }
    if n == 0 {
        return None;
    }
    let sample = laid.sample().ok()?;
    let column = sample.columns.first()?;
    let mut looks = vec![None; sample.design.rows()];
    for (index, sampled) in sample.design.boxes().iter().enumerate() {
        for row in sampled.rows.clone() {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "written a few lines above, a whole number"
            )]
            let code = column.cell(&sample.design, index, Some(row)).value() as usize;
            looks[row] = code
                .checked_sub(1)
                .map(|code| (code / n_answers, code % n_answers));
        }
    }
    match agreement::of_sample(&sample.design.whole(), &looks, n_answers, Lonely::default()) {
        Ok(made) => made.map(|made| with_errors(n, made, true)),
        // No error can be told where a stratum has one box; the agreement itself can.
        Err(_) => {
            let mut counts = vec![vec![0.0; n_answers]; n_answers];
            for (first, second) in looks.into_iter().flatten() {
                counts[first][second] += 1.0;
            }
            agreement::of_counts(&counts).map(|made| with_errors(n, made, false))
        }
    }
}

fn with_errors(n: u64, made: Agreement, has_errors: bool) -> ReadTwice {
    ReadTwice {
        n,
        observed: made.observed,
        observed_se: has_errors.then_some(made.observed_se),
        kappa: made.kappa,
        kappa_se: made.kappa_se.filter(|_| has_errors),
        ac1: made.ac1,
        ac1_se: has_errors.then_some(made.ac1_se),
    }
}

/// How often two people who checked the same box or item gave the same answer to one question.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CheckedTwice {
    /// The question.
    pub question: String,
    /// Pairs of answers.
    pub n: usize,
    /// Pairs of the same answer.
    pub n_same: usize,
    /// Gwet's AC1 of the pairs as they are, unweighted; none where the question has no list of single answers.
    pub ac1: Option<f64>,
}

/// Agreement of what was checked twice, by question, those with most pairs first. The pairs are whatever was met twice, not
/// a sample of the collection, so no error is given.
#[must_use]
pub fn checked_twice(repeats: &[Repeat]) -> Vec<CheckedTwice> {
    let mut by_question: BTreeMap<&'static str, Vec<&Repeat>> = BTreeMap::new();
    for repeat in repeats {
        by_question.entry(repeat.question).or_default().push(repeat);
    }
    let mut made: Vec<CheckedTwice> = by_question
        .into_iter()
        .map(|(question, pairs)| CheckedTwice {
            question: question.to_owned(),
            n: pairs.len(),
            n_same: pairs.iter().filter(|pair| pair.is_same()).count(),
            ac1: ac1(question, &pairs),
        })
        .collect();
    made.sort_by_key(|checked| std::cmp::Reverse(checked.n));
    made
}

/// What is to be done with items of which something was answered twice, by the other answer: how far reading decides it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherClass {
    /// Items that the headline rests on, of which, or of whose box, something was answered twice.
    pub n: usize,
    /// Of them, items that would be in another class by the other answers.
    pub changed: usize,
    /// The questions whose other answer alone would do that, with how many items, most first.
    pub by_question: Vec<(&'static str, usize)>,
}

/// The classes of items by the answers that count and by the others; nothing where nothing was answered twice.
///
/// A number of items and no more: from two readers nothing follows of how far a figure is wrong, only a reference reading of
/// some items shows that, and what differs at random between readers is in the sample's own spread already.
#[must_use]
pub fn other_class(state: &State, repeats: &[Repeat]) -> Option<OtherClass> {
    let mut others: BTreeMap<Subject, BTreeMap<&'static str, Answer>> = BTreeMap::new();
    for (key, pairs) in state.read_twice() {
        for pair in pairs.into_iter().filter(|pair| pair.first.is_some()) {
            if let Some(second) = pair.second {
                others.entry(pair.subject).or_default().insert(key, second);
            }
        }
    }
    for pair in repeats {
        let is_first = state.answer(pair.subject, pair.question) == Some(&pair.first.value);
        let other = if is_first { &pair.second } else { &pair.first };
        let of = others.entry(pair.subject).or_default();
        of.insert(pair.question, other.value.clone());
    }
    let mut made = OtherClass {
        n: 0,
        changed: 0,
        by_question: Vec::new(),
    };
    let mut by_question: BTreeMap<&'static str, usize> = BTreeMap::new();
    for (serial, _, outcome) in records::sampled(state, Basis::Headline) {
        if outcome != Outcome::Checked {
            continue;
        }
        let about_box = state.answers(Subject::Box(serial));
        for position in state.positions(serial) {
            let id = ItemId { serial, position };
            let own = [Subject::Box(serial), Subject::Item(id)].map(|subject| others.get(&subject));
            if own == [None, None] {
                continue;
            }
            made.n += 1;
            let about_item = state.item_answers(id);
            let class = |of: &dyn Fn(&str) -> bool| {
                let [b, i] = [(&about_box, own[0]), (&about_item, own[1])].map(|(answers, others)| {
                    let mut answers = answers.clone();
                    let others = others.into_iter().flatten().filter(|(key, _)| of(key));
                    answers.extend(others.map(|(key, answer)| ((*key).to_owned(), answer.clone())));
                    answers
                });
                tape::action(&tape::findings(&b, &i)).key
            };
            let counts = class(&|_| false);
            made.changed += usize::from(class(&|_| true) != counts);
            let questions: BTreeSet<&'static str> = own
                .into_iter()
                .flatten()
                .flat_map(BTreeMap::keys)
                .copied()
                .collect();
            for question in questions {
                if class(&|key| key == question) != counts {
                    *by_question.entry(question).or_default() += 1;
                }
            }
        }
    }
    made.by_question = by_question.into_iter().collect();
    made.by_question.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
    (made.n > 0).then_some(made)
}

fn ac1(question: &str, pairs: &[&Repeat]) -> Option<f64> {
    let question = tape::question(question).filter(|question| question.kind == Kind::One)?;
    let answers = one_answers(question);
    let code = |answer: &Answer| {
        let given = answer.keys().first().copied()?;
        answers.iter().position(|key| *key == given)
    };
    let mut counts = vec![vec![0.0; answers.len()]; answers.len()];
    for pair in pairs {
        counts[code(&pair.first.value)?][code(&pair.second.value)?] += 1.0;
    }
    agreement::of_counts(&counts).map(|made| made.ac1)
}

#[cfg(test)]
mod tests {
    use survey::differ::Look;
    use survey::{EntryId, WriterId};

    use super::*;

    fn pair(question: &'static str, first: &str, second: &str) -> Repeat {
        let look = |value: &str| Look {
            entry: EntryId {
                writer: WriterId([1; 16]),
                n: 0,
            },
            at_ms: 0,
            device: None,
            who: String::new(),
            value: Answer::One(value.to_owned()),
        };
        Repeat {
            subject: Subject::Survey,
            question,
            first: look(first),
            second: look(second),
        }
    }

    /// Cohen's (1960) observed agreement and Gwet's (2008) AC1 by hand: 4 pairs, 3 the same; with q answers of which
    /// two are given, pe = sum p(1 - p) / (q - 1) with p = 5/8 and 3/8, AC1 = (3/4 - pe) / (1 - pe).
    #[test]
    fn pairs_are_counted_by_question_and_ac1_is_that_of_the_formula() {
        let mut repeats = vec![
            pair("mould", "none", "none"),
            pair("mould", "none", "none"),
            pair("mould", "seen", "seen"),
            pair("mould", "none", "seen"),
            pair("vermin", "none", "none"),
        ];
        let made = checked_twice(&repeats);
        assert_eq!(
            made.iter()
                .map(|checked| (checked.question.as_str(), checked.n, checked.n_same))
                .collect::<Vec<_>>(),
            [("mould", 4, 3), ("vermin", 1, 1)]
        );
        let q = one_answers(tape::question("mould").unwrap()).len() as f64;
        let by_chance = 2.0 * (5.0 / 8.0) * (3.0 / 8.0) / (q - 1.0);
        let expected = (0.75 - by_chance) / (1.0 - by_chance);
        assert!((made[0].ac1.unwrap() - expected).abs() < 1e-12);
        // An answer that no list has says nothing of chance, and is counted all the same.
        repeats.push(pair("mould", "green", "none"));
        let made = checked_twice(&repeats);
        assert_eq!((made[0].n, made[0].n_same, made[0].ac1), (5, 3, None));
    }
}
