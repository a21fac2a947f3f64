//! An answer in words.

use tape::{Answer, CANT_TELL, PHOTOGRAPHED, Question};

use crate::texts::{self, alike, check as text, numbers};

/// What was answered to a question, in the words of its choices.
pub fn answer_text(question: &str, answer: &Answer) -> String {
    let known = tape::question(question);
    match answer {
        Answer::One(key) => choice_label(known, key),
        Answer::Many(keys) => {
            let labels: Vec<String> = keys.iter().map(|key| choice_label(known, key)).collect();
            labels.join(", ")
        }
        Answer::Number(number) => match known.map(|question| question.kind) {
            Some(tape::Kind::Number { unit, .. }) => {
                format!("{} {}", numbers::plain(*number), crate::texts::worded(unit))
            }
            _ => numbers::plain(*number),
        },
        Answer::Text(text) => text.clone(),
        Answer::Counts(counts) => {
            let some = counts.iter().filter(|(_, n)| **n > 0);
            let label = |key: &str| {
                tape::carrier(key).map_or(key.to_owned(), |carrier| texts::worded(carrier.label).to_owned())
            };
            let parts: Vec<String> = some.map(|(key, n)| format!("{} {n}", label(key))).collect();
            if parts.is_empty() {
                text::empty_box().to_owned()
            } else {
                parts.join(", ")
            }
        }
    }
}

fn choice_label(question: Option<&'static Question>, key: &str) -> String {
    match key {
        CANT_TELL => text::cant_tell().to_owned(),
        PHOTOGRAPHED => text::photographed().to_owned(),
        key => {
            let choices = question.map_or(&[][..], |question| question.choices);
            let own = || alike::rest(key).filter(|_| question.is_none()).unwrap_or(key);
            let known = choices.iter().find(|choice| choice.key == key);
            known
                .map_or_else(own, |choice| texts::worded(choice.label))
                .to_owned()
        }
    }
}
