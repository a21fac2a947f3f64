//! What was typed from a sheet, read as an answer: the numbers are those printed beside the boxes.

use std::collections::{BTreeMap, BTreeSet};

use tape::{Answer, Answers, CANT_TELL, Kind, Question};

/// Why it is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wrong {
    /// No such number on the sheet.
    NoNumber,
    /// The choice does not fit the answers before.
    NotOffered,
    /// Several, where one is asked.
    OneOnly,
    /// "None" beside something.
    Alone,
    /// Not a number, or not one that makes sense.
    NotUnderstood,
}

/// Reads what was typed.
///
/// # Errors
/// [`Wrong`].
pub fn read(question: &'static Question, known: &Answers, typed: &str) -> Result<Answer, Wrong> {
    let typed = typed.trim();
    match question.kind {
        Kind::One => match keys(question, known, typed)?.as_slice() {
            [key] => Ok(Answer::one(*key)),
            _ => Err(Wrong::OneOnly),
        },
        Kind::Many => {
            let keys: BTreeSet<&str> = keys(question, known, typed)?.into_iter().collect();
            let is_alone = |key: &&str| {
                *key == CANT_TELL
                    || question
                        .choices
                        .iter()
                        .any(|choice| choice.alone && choice.key == *key)
            };
            if keys.len() > 1 && keys.iter().any(is_alone) {
                return Err(Wrong::Alone);
            }
            Ok(Answer::many(keys))
        }
        Kind::Number { min, max, .. } => {
            if typed == "?" {
                return Ok(Answer::one(CANT_TELL));
            }
            let number: f64 = typed
                .replace(',', ".")
                .parse()
                .map_err(|_| Wrong::NotUnderstood)?;
            if (min..=max).contains(&number) {
                Ok(Answer::Number(number))
            } else {
                Err(Wrong::NotUnderstood)
            }
        }
        Kind::Text => Ok(Answer::Text(typed.to_owned())),
        Kind::Counts => counts(typed),
    }
}

fn keys(question: &'static Question, known: &Answers, typed: &str) -> Result<Vec<&'static str>, Wrong> {
    let offered = tape::choices(question, known);
    let key = |word: &str| {
        let number: usize = word.parse().map_err(|_| Wrong::NotUnderstood)?;
        let Some(index) = number.checked_sub(1) else {
            return Ok(CANT_TELL);
        };
        let choice = question.choices.get(index).ok_or(Wrong::NoNumber)?;
        if offered.iter().any(|other| other.key == choice.key) {
            Ok(choice.key)
        } else {
            Err(Wrong::NotOffered)
        }
    };
    let keys: Vec<&'static str> = typed
        .split([' ', ','])
        .filter(|word| !word.is_empty())
        .map(key)
        .collect::<Result<_, _>>()?;
    if keys.is_empty() {
        Err(Wrong::NotUnderstood)
    } else {
        Ok(keys)
    }
}

fn counts(typed: &str) -> Result<Answer, Wrong> {
    match typed {
        "0" => return Ok(Answer::one(CANT_TELL)),
        "-" => return Ok(Answer::Counts(BTreeMap::new())),
        _ => {}
    }
    let mut counts = BTreeMap::new();
    for word in typed.split_whitespace() {
        let (kind, n) = word.split_once(['x', '*']).ok_or(Wrong::NotUnderstood)?;
        let kind: usize = kind.parse().map_err(|_| Wrong::NotUnderstood)?;
        let n: u32 = n.parse().map_err(|_| Wrong::NotUnderstood)?;
        let carrier = kind.checked_sub(1).and_then(|index| tape::carriers().get(index));
        let carrier = carrier.ok_or(Wrong::NoNumber)?;
        if n > survey::progress::MAX_ITEMS_PER_BOX || counts.insert(carrier.key.to_owned(), n).is_some() {
            return Err(Wrong::NotUnderstood);
        }
    }
    counts.retain(|_, n| *n > 0);
    if typed.is_empty() {
        Err(Wrong::NotUnderstood)
    } else {
        Ok(Answer::Counts(counts))
    }
}

/// The sizes of a box from which other positions are checked, with those positions: `(n, positions)`, ascending, up to
/// `most` items. Before the first of them all are.
pub fn turns(positions: impl Fn(u32) -> Vec<u32>, most: u32) -> Vec<(u32, Vec<u32>)> {
    let mut turns: Vec<(u32, Vec<u32>)> = Vec::new();
    for n in 1..=most {
        let now = positions(n);
        let all = now.len() == usize::try_from(n).unwrap_or(usize::MAX);
        if !all && turns.last().is_none_or(|(_, before)| *before != now) {
            turns.push((n, now));
        }
    }
    turns
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    fn question(key: &str) -> &'static Question {
        tape::question(key).unwrap()
    }

    #[test]
    fn numbers_are_those_printed_and_what_does_not_fit_is_said() {
        let cassette: Answers = [("carrier".to_owned(), Answer::one("cassette"))].into();
        let read = |key: &str, typed: &str| read(question(key), &cassette, typed);
        assert_eq!(read("mould", "1"), Ok(Answer::one("none")));
        assert_eq!(read("mould", "0"), Ok(Answer::one(CANT_TELL)));
        assert_eq!(read("mould", "1 2"), Err(Wrong::OneOnly));
        assert_eq!(read("mould", "9"), Err(Wrong::NoNumber));
        assert_eq!(read("mould", ""), Err(Wrong::NotUnderstood));
        assert_eq!(read("mould", "x"), Err(Wrong::NotUnderstood));
        assert_eq!(read("hazard", "4, 5"), Ok(Answer::many(["soot", "droppings"])));
        assert_eq!(read("hazard", "1 4"), Err(Wrong::Alone));
        assert_eq!(read("hazard", "0 4"), Err(Wrong::Alone));
        let c60 = question("size")
            .choices
            .iter()
            .position(|choice| choice.key == "c60")
            .unwrap()
            + 1;
        assert_eq!(read("size", &c60.to_string()), Ok(Answer::one("c60")));
        assert_eq!(read("size", "5"), Err(Wrong::NotOffered), "a 7-inch cassette");
    }

    #[test]
    fn counts_are_typed_by_kind_and_number() {
        let read = |typed: &str| read(question("count"), &Answers::new(), typed);
        let first = tape::carriers()[0].key;
        let second = tape::carriers()[1].key;
        let both = BTreeMap::from([(first.to_owned(), 12), (second.to_owned(), 3)]);
        assert_eq!(read("1x12 2*3"), Ok(Answer::Counts(both)));
        assert_eq!(read("-"), Ok(Answer::Counts(BTreeMap::new())));
        assert_eq!(read("0"), Ok(Answer::one(CANT_TELL)));
        for wrong in ["", "12", "1x", "x3", "1x2 1x3", "1x99999999", "1x-2"] {
            assert_eq!(read(wrong), Err(Wrong::NotUnderstood), "{wrong:?}");
        }
        assert_eq!(read("99x1"), Err(Wrong::NoNumber));
    }

    #[test]
    fn a_printed_number_means_the_same_choice_whatever_was_answered_before() {
        for question in tape::questions() {
            for (index, choice) in question.choices.iter().enumerate() {
                let typed = (index + 1).to_string();
                let answer = super::read(question, &Answers::new(), &typed);
                let offered = tape::choices(question, &Answers::new());
                if offered.iter().any(|other| other.key == choice.key) {
                    assert!(answer.unwrap().has(choice.key), "{} {typed}", question.key);
                } else {
                    assert_eq!(answer, Err(Wrong::NotOffered), "{} {typed}", question.key);
                }
            }
        }
    }

    #[test]
    fn the_printed_positions_are_those_of_the_draw_for_every_size() {
        let positions = |n| sampling::rank::choose("3 1", "items", "S1", "0001-9", n, 4).unwrap();
        let turns = turns(positions, 60);
        for n in 1..=60 {
            let printed = turns.iter().rev().find(|(from, _)| *from <= n);
            let all: Vec<u32> = (1..=n).collect();
            let said = printed.map_or(&all, |(_, positions)| positions);
            assert_eq!(*said, positions(n), "{n} tapes");
        }
        assert!(turns.len() < 30, "{} lines fit a sheet", turns.len());
    }
}
