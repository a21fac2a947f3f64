//! Answers in a few bytes: what a question's choices can say is a bit a choice, and a number is its own bits. A long survey
//! keeps millions of answers, and most of them are so.
//!
//! The numbers here follow from the knowledge as it is built in: they are for memory and for what the same program reads
//! again, and stand in no file.

use crate::answer::Answer;
use crate::laid::{Asked, rules};

/// An answer to a question of the knowledge whose choices are all known: one choice, several or a number.
///
/// ```
/// use tape::{Answer, Coded};
/// let mould = Coded::of("mould", &Answer::one("none")).unwrap();
/// assert_eq!((mould.question(), mould.answer()), ("mould", Answer::one("none")));
/// assert_eq!(Coded::of("mould", &Answer::one("no such choice")), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Coded {
    question: u8,
    form: Form,
    bits: u64,
}

/// What kind of answer it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// One choice.
    One,
    /// Any number of choices.
    Many,
    /// A number.
    Number,
}

impl Form {
    /// The number it is kept under: 0 to 2.
    #[must_use]
    pub fn number(self) -> u8 {
        match self {
            Form::One => 0,
            Form::Many => 1,
            Form::Number => 2,
        }
    }

    /// The form of a number; none of one that is not given out.
    #[must_use]
    pub fn of_number(number: u8) -> Option<Form> {
        [Form::One, Form::Many, Form::Number]
            .get(usize::from(number))
            .copied()
    }
}

/// The number of a question of the knowledge: numbers sort as keys do.
#[must_use]
pub fn question_number(key: &str) -> Option<u8> {
    let rules = rules();
    let at = rules.named(key)?;
    (!rules.asked(at)?.is_unknown).then(|| u8::try_from(at).ok())?
}

impl Coded {
    /// The answer to a question; none where it has more to say than bits can.
    #[must_use]
    pub fn of(question: &str, answer: &Answer) -> Option<Coded> {
        let number = question_number(question)?;
        match answer {
            Answer::One(key) => Coded::one(number, key),
            Answer::Many(keys) => Coded::many(number, keys.iter().map(String::as_str)),
            Answer::Number(value) => Coded::number(number, *value),
            Answer::Text(_) | Answer::Counts(_) => None,
        }
    }

    /// One choice, of a question by its number.
    #[must_use]
    pub fn one(question: u8, key: &str) -> Option<Coded> {
        let bits = asked(question)?.bit(key)?;
        Some(Coded {
            question,
            form: Form::One,
            bits,
        })
    }

    /// Several choices, of a question by its number.
    #[must_use]
    pub fn many<'k>(question: u8, keys: impl IntoIterator<Item = &'k str>) -> Option<Coded> {
        let asked = asked(question)?;
        let bits = keys
            .into_iter()
            .try_fold(0, |all, key| Some(all | asked.bit(key)?))?;
        Some(Coded {
            question,
            form: Form::Many,
            bits,
        })
    }

    /// A number, of a question by its number.
    #[must_use]
    pub fn number(question: u8, value: f64) -> Option<Coded> {
        asked(question).map(|_| Coded {
            question,
            form: Form::Number,
            bits: value.to_bits(),
        })
    }

    /// What it is kept as: the question's number, the form, its bits.
    #[must_use]
    pub fn parts(self) -> (u8, Form, u64) {
        (self.question, self.form, self.bits)
    }

    /// What [`Coded::parts`] gave; none of anything else.
    #[must_use]
    pub fn of_parts(question: u8, form: Form, bits: u64) -> Option<Coded> {
        let asked = asked(question)?;
        let known = asked.keys.iter().fold(0, |all, (_, bit)| all | bit);
        let fits = match form {
            Form::One => bits.is_power_of_two() && bits & known != 0,
            Form::Many => bits & !known == 0,
            Form::Number => true,
        };
        fits.then_some(Coded { question, form, bits })
    }

    /// The question's key.
    #[must_use]
    pub fn question(self) -> &'static str {
        rules()
            .names
            .get(usize::from(self.question))
            .map_or("", |(name, _)| name)
    }

    /// The keys chosen, in their order; none of a number.
    pub fn keys(self) -> impl Iterator<Item = &'static str> {
        let asked = asked(self.question).filter(|_| self.form != Form::Number);
        let keys = asked.into_iter().flat_map(|asked| &asked.keys);
        keys.filter(move |(_, bit)| self.bits & bit != 0)
            .map(|(key, _)| *key)
    }

    /// The answer in full.
    #[must_use]
    pub fn answer(self) -> Answer {
        match self.form {
            Form::One => Answer::one(self.keys().next().unwrap_or_default()),
            Form::Many => Answer::many(self.keys()),
            Form::Number => Answer::Number(f64::from_bits(self.bits)),
        }
    }
}

fn asked(question: u8) -> Option<&'static Asked> {
    rules()
        .asked(usize::from(question))
        .filter(|asked| !asked.is_unknown)
}

/// An answer to a question, in few bytes or in full.
#[derive(Clone, Copy, Debug)]
pub enum Told<'a> {
    /// In few.
    Coded(Coded),
    /// The question's key and the answer.
    Whole(&'a str, &'a Answer),
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::{CANT_TELL, PHOTOGRAPHED};

    #[test]
    fn every_choice_is_kept_and_given_back() {
        let mut before = None;
        let mut keys: Vec<&str> = crate::questions().iter().map(|q| q.key).collect();
        keys.sort_unstable();
        for key in keys {
            let question = crate::question(key).unwrap();
            let number = question_number(key);
            assert!(number.is_some() && number > before, "numbers sort as keys do");
            before = number;
            let choices = question.choices.iter().map(|choice| choice.key);
            let choices: Vec<&str> = choices.chain([CANT_TELL, PHOTOGRAPHED]).collect();
            let mut answers: Vec<Answer> = choices.iter().map(|key| Answer::one(*key)).collect();
            answers.extend((0..=choices.len()).map(|n| Answer::many(choices[..n].iter().copied())));
            answers.extend([0.0, -0.0, 1.5, f64::MAX].map(Answer::Number));
            for answer in answers {
                let coded = Coded::of(key, &answer).unwrap();
                assert_eq!((coded.question(), coded.answer()), (key, answer.clone()));
                assert!(coded.keys().eq(answer.keys()));
                let (number, form, bits) = coded.parts();
                assert_eq!(Coded::of_parts(number, form, bits), Some(coded));
                assert_eq!(Form::of_number(form.number()), Some(form));
            }
            assert_eq!(Coded::of(key, &Answer::Text(String::new())), None);
            assert_eq!(Coded::of(key, &Answer::many(["none", "never heard of"])), None);
        }
        assert_eq!(Coded::of("batch", &Answer::one("none")), None);
        assert_eq!(Coded::of_parts(0, Form::One, 3), None);
        assert_eq!(Coded::of_parts(255, Form::Number, 0), None);
    }
}
