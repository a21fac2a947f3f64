//! Line drawings of what is looked for: beside the choice they belong to, in the colour of the words.
//!
//! A drawing is a list of strokes on a field of 120 by 80. A stroke is a letter for its manner, a space, and either a
//! circle (`c60 40 28`: centre, radius) or a path as SVG writes it. The letters: `l` line, `t` thin line, `d` dashed,
//! `o` dotted, `w` wound tape (outlined, half filled), `s` solid, `y` lit from behind, `g` a gap (the ground shows).
//! They say nothing that the words beside them do not say, so a screen reader passes over them.

mod carrier;
mod container;
mod pack;
mod repair;
mod surface;
mod track;

/// The strokes of a drawing.
pub type Strokes = &'static [&'static str];
/// Drawings by `question/choice`.
type Set = &'static [(&'static str, Strokes)];

/// Every set there is.
const SETS: [Set; 6] = [
    carrier::SET,
    container::SET,
    pack::SET,
    repair::SET,
    surface::SET,
    track::SET,
];

/// How a question is looked into, by the name the question gives its drawing.
const HOW: Set = &[
    (
        "waft",
        &[
            "l M10 44H58V72H10Z",
            "l M10 44L4 34M58 44L64 34",
            "t M22 36q-4-6 0-11t0-11M34 36q-4-6 0-11t0-11M46 36q-4-6 0-11t0-11",
            "l M112 30C98 22 88 22 76 28l-8-4M76 28l-10 2M77 31l-9 6M80 33l-5 8M112 44c-10 2-20 2-30-6",
        ],
    ),
    (
        "pack_diameter",
        &[
            "l c60 32 30",
            "w c60 32 21",
            "g c60 32 8",
            "t M39 36V76M81 36V76",
            "l M39 70H81M45 66l-6 4 6 4M75 66l6 4-6 4",
        ],
    ),
];

/// Signs of the answers that every question takes.
const ANSWERS: Set = &[
    (
        tape::CANT_TELL,
        &["l M46 30q0-16 14-16t14 14q0 8-14 15v7M60 64v2"],
    ),
    (
        tape::PHOTOGRAPHED,
        &[
            "l M24 24H42L48 14H72L78 24H96V66H24Z",
            "l c60 44 14",
            "w c60 44 7",
        ],
    ),
];

/// The sign of an answer that every question takes.
#[must_use]
pub fn of_answer(answer: &str) -> Option<Strokes> {
    ANSWERS
        .iter()
        .find(|(name, _)| *name == answer)
        .map(|(_, strokes)| *strokes)
}

/// The drawing of a choice of a question.
#[must_use]
pub fn of_choice(question: &str, choice: &str) -> Option<Strokes> {
    let named = |(name, _): &&(&str, Strokes)| name.split_once('/') == Some((question, choice));
    SETS.iter()
        .find_map(|set| set.iter().find(named))
        .map(|(_, strokes)| *strokes)
}

/// The drawing of how a question is looked into.
#[must_use]
pub fn of_question(drawing: &str) -> Option<Strokes> {
    HOW.iter()
        .find(|(name, _)| *name == drawing)
        .map(|(_, strokes)| *strokes)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// Answers that words tell better than a line could: smells, reports, what is written, why a box stayed shut, how a
    /// number stands on a shell.
    const IN_WORDS: [&str; 11] = [
        "outcome_reason",
        "odour_box",
        "odour_tape",
        "squeal",
        "label",
        "speed",
        "length_class",
        "label_base",
        "date_decade",
        "stock_where",
        "size: the number on a shell",
    ];

    /// The choices that need a drawing, as `question/choice`.
    fn wanted() -> BTreeSet<String> {
        let mut wanted = BTreeSet::new();
        for question in tape::questions() {
            for choice in question.choices {
                let on_shell = question.key == "size" && !choice.key.starts_with('r');
                if !IN_WORDS.contains(&question.key) && !on_shell {
                    wanted.insert(format!("{}/{}", question.key, choice.key));
                }
            }
        }
        wanted
    }

    #[test]
    fn every_visual_sign_has_a_drawing_and_no_drawing_is_without_its_sign() {
        let drawn: Vec<&str> = SETS
            .iter()
            .flat_map(|set| set.iter().map(|(name, _)| *name))
            .collect();
        let names: BTreeSet<String> = drawn.iter().map(|name| (*name).to_owned()).collect();
        assert_eq!(names.len(), drawn.len(), "a drawing is there twice");
        let wanted = wanted();
        assert!(wanted.len() > 60, "the questions were not understood");
        let missing: Vec<_> = wanted.difference(&names).collect();
        let unused: Vec<_> = names.difference(&wanted).collect();
        assert!(
            missing.is_empty() && unused.is_empty(),
            "missing {missing:?}, unused {unused:?}"
        );
    }

    #[test]
    fn every_drawing_of_how_to_look_is_some_question_s() {
        for (name, _) in HOW {
            assert!(
                tape::questions().iter().any(|question| question.drawing == *name),
                "{name}"
            );
        }
    }

    #[test]
    fn every_stroke_can_be_drawn_and_no_two_drawings_are_the_same() {
        let mut seen = BTreeSet::new();
        for (name, strokes) in SETS.iter().copied().flatten().chain(HOW).chain(ANSWERS) {
            assert!(!strokes.is_empty(), "{name} is empty");
            assert!(seen.insert(strokes), "{name} looks like another");
            for stroke in *strokes {
                let (manner, shape) = stroke.split_once(' ').unwrap();
                assert!(crate::ui::Manner::read(manner).is_some(), "{name}: {stroke}");
                match shape.strip_prefix('c') {
                    Some(circle) => {
                        let numbers: Vec<f64> = circle.split(' ').map(|n| n.parse().unwrap()).collect();
                        let [x, y, r] = numbers[..] else {
                            panic!("{name}: {stroke}")
                        };
                        let inside = x - r >= 0.0 && x + r <= 120.0 && y - r >= 0.0 && y + r <= 80.0;
                        assert!(inside && r > 0.0, "{name} leaves its field: {stroke}");
                    }
                    None => {
                        let known = |c: char| "MLHVQTCSAZmlhvqtcsaz .-0123456789".contains(c);
                        assert!(
                            shape.starts_with('M') && shape.chars().all(known),
                            "{name}: {stroke}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn all_drawings_together_are_a_small_load() {
        let bytes: usize = SETS
            .iter()
            .copied()
            .flatten()
            .chain(HOW)
            .chain(ANSWERS)
            .map(|(name, strokes)| name.len() + strokes.iter().map(|stroke| stroke.len()).sum::<usize>())
            .sum();
        assert!(bytes < 40_000, "{bytes} bytes");
    }
}
