//! The knowledge's words in another language than English. The rules are single: only words are translated.

use crate::knowledge::GERMAN;

/// A language the knowledge is told in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Language {
    /// As the knowledge is written.
    English,
    /// German.
    German,
}

/// The phrases that stand inside a line about a watch-list.
const WATCHED: [&str; 3] = ["written on it", "the box may be another tape's", "no source"];

/// A sentence or word of this crate in a language: what a question, choice, carrier, caution, finding, action,
/// condition or [`crate::Strength`] has in English, or a line of a finding's evidence. What is nobody's words here, such
/// as a note that somebody wrote, is given back as it is.
pub fn told(language: Language, english: &str) -> String {
    match language {
        Language::English => english.to_owned(),
        Language::German => whole(english)
            .map(str::to_owned)
            .or_else(|| parts(english))
            .unwrap_or_else(|| english.to_owned()),
    }
}

/// The same for a text that stands for ever, without an allocation.
pub fn told_static(language: Language, english: &'static str) -> &'static str {
    match language {
        Language::English => english,
        Language::German => whole(english).unwrap_or(english),
    }
}

fn whole(english: &str) -> Option<&'static str> {
    let at = GERMAN.binary_search_by(|(key, _)| (*key).cmp(english)).ok()?;
    GERMAN.get(at).map(|(_, said)| *said)
}

/// "Not asked: ‹a question›", and what is said of the watch-list.
fn parts(english: &str) -> Option<String> {
    let (left, right) = english.split_once(": ")?;
    let left_said = whole(left)?;
    if let Some(said) = whole(right) {
        return Some(format!("{left_said}: {said}"));
    }
    let mut right = right.to_owned();
    for phrase in WATCHED {
        right = right.replacen(phrase, whole(phrase)?, 1);
    }
    Some(format!("{left_said}: {right}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Strength, question, questions};

    #[test]
    fn every_question_and_choice_is_told_in_german() {
        let same = ["mm", "PVC", "Mono", "Stereo", "Polyester"];
        for question in questions() {
            assert_ne!(told(Language::German, question.short), question.short);
            for choice in question.choices {
                let is_number = choice.label.chars().any(|letter| letter.is_ascii_digit());
                let said = told(Language::German, choice.label);
                assert!(
                    said != choice.label || is_number || same.contains(&choice.label),
                    "{}",
                    choice.label
                );
            }
        }
    }

    #[test]
    fn what_is_put_together_here_is_told_in_parts() {
        let short = question("light").map_or("", |question| question.short);
        for (english, german) in [
            ("Not asked", "Nicht gefragt"),
            ("Photographed, to be read", "Fotografiert, noch zu lesen"),
            ("Could not be told", "Nicht feststellbar"),
            ("Answered, but it tells nothing", "Beantwortet, sagt aber nichts"),
        ] {
            let said = told(Language::German, &format!("{english}: {short}"));
            assert_eq!(said, format!("{german}: {}", told(Language::German, short)));
        }
        let watched = "On your watch-list: Lampyra 406 (the box may be another tape's; no source).";
        assert_eq!(
            told(Language::German, watched),
            "Auf Ihrer Beobachtungsliste: Lampyra 406 (die Schachtel kann zu einem anderen Band gehören; ohne Quelle)."
        );
    }

    #[test]
    fn every_strength_has_its_word_and_a_note_stays() {
        for strength in [
            Strength::Likely,
            Strength::Possible,
            Strength::CannotTell,
            Strength::NoSign,
        ] {
            assert_ne!(told_static(Language::German, strength.word()), strength.word());
        }
        let note = "lent to a neighbour";
        assert_eq!(told(Language::German, note), note);
        assert_eq!(told(Language::English, "likely"), "likely");
    }
}
