//! A surveyor's way through one box: the questions as the question list asks them, answered from the truth.

use std::collections::BTreeSet;

use tape::{Answer, Answers, Kind, Path, Question};

use super::seen::CANT_TELL;
use super::truth::{Collection, TrueBox};

/// Everything a surveyor would answer about a box, had all its items been drawn.
pub(super) struct Visit {
    pub(super) answers: Vec<(&'static str, Answer)>,
    /// One list an item, in the order they lie; nothing where the box was not opened and counted.
    pub(super) items: Vec<Vec<(&'static str, Answer)>>,
}

impl Collection {
    /// A visit to a box, with answers about the items at the positions asked for (those of other items stay empty).
    pub(super) fn visit(&self, of: &TrueBox, wanted: impl Fn(u32) -> bool) -> Visit {
        let (outcome, reason) = self.ending(of);
        let mut box_answers = Answers::new();
        let answers = ask(
            &mut box_answers,
            tape::box_path,
            &Answers::new(),
            |question, _| match question.key {
                "outcome" => Some(Answer::one(outcome)),
                "outcome_reason" => Some(Answer::one(reason)),
                key => self.box_answer(of, key, question.kind == Kind::Many),
            },
        );
        let counted = box_answers.contains_key("count");
        let positions = (1..=of.items.len())
            .filter_map(|position| u32::try_from(position).ok())
            .filter(|_| counted);
        let items = positions.map(|position| {
            if !wanted(position) {
                return Vec::new();
            }
            let path = |item: &Answers| tape::item_path_in(&box_answers, item);
            ask(&mut Answers::new(), path, &box_answers, |question, so_far| {
                self.item_answer(of, position, question.key, question.kind == Kind::Many, so_far)
            })
        });
        Visit {
            items: items.collect(),
            answers,
        }
    }
}

/// Asks until nothing is left to ask. A question that must be answered and has no legal answer is "can't tell".
fn ask(
    so_far: &mut Answers,
    path: impl Fn(&Answers) -> Path,
    of_box: &Answers,
    mut answer: impl FnMut(&'static Question, &Answers) -> Option<Answer>,
) -> Vec<(&'static str, Answer)> {
    let mut given = Vec::new();
    let mut left_out = BTreeSet::new();
    loop {
        let asked = path(so_far).asked;
        let open = |optional: bool| {
            let mut open = asked.iter().filter(|question| question.optional == optional);
            open.find(|question| !so_far.contains_key(question.key) && !left_out.contains(question.key))
                .copied()
        };
        let Some(question) = open(false).or_else(|| open(true)) else {
            return given;
        };
        let found = answer(question, so_far).filter(|found| is_legal(question, found, so_far, of_box));
        let value = match (found, question.optional) {
            (Some(found), _) => found,
            (None, true) => {
                left_out.insert(question.key);
                continue;
            }
            (None, false) if question.kind == Kind::Many => Answer::many([CANT_TELL]),
            (None, false) => Answer::one(CANT_TELL),
        };
        so_far.insert(question.key.to_owned(), value.clone());
        given.push((question.key, value));
    }
}

/// Whether the answer is one that the question offers, given the answers so far.
pub(super) fn is_legal(
    question: &'static Question,
    answer: &Answer,
    so_far: &Answers,
    of_box: &Answers,
) -> bool {
    let mut all = of_box.clone();
    all.extend(so_far.iter().map(|(key, value)| (key.clone(), value.clone())));
    let choices = tape::choices(question, &all);
    let offered = |key: &str| key == CANT_TELL || choices.iter().any(|choice| choice.key == key);
    let alone =
        |key: &str| key == CANT_TELL || choices.iter().any(|choice| choice.key == key && choice.alone);
    match (question.kind, answer) {
        (Kind::One, Answer::One(key)) => offered(key),
        (Kind::Many, Answer::Many(keys)) => {
            !keys.is_empty()
                && keys.iter().all(|key| offered(key))
                && (keys.len() == 1 || !keys.iter().any(|key| alone(key)))
        }
        (Kind::Number { min, max, .. }, Answer::Number(number)) => (min..=max).contains(number),
        (Kind::Counts, Answer::Counts(counts)) => counts.keys().all(|key| tape::carrier(key).is_some()),
        (Kind::Text, Answer::Text(_)) => true,
        (_, Answer::One(key)) => key == CANT_TELL,
        _ => false,
    }
}
