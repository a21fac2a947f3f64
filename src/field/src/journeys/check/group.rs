//! Questions that one look answers together, and what some marks on them mean: the signs of a tape in hand, and what its
//! label says. What is marked is there; of the rest it was looked for and is not.

use std::collections::{BTreeMap, BTreeSet};

use survey::{ItemId, Serial, State, Subject};
use tape::{Answer, Answers, CANT_TELL, Choice, Kind as Asked, PHOTOGRAPHED, Question};

/// What is looked for before a box is smelled at or touched, mould first.
const DANGERS: [&str; 2] = ["mould", "vermin"];
/// Their answer for nothing.
const NONE: &str = "none";
/// The question whose marks are what is written.
pub const LABEL: &str = "label";
/// Where a kind of tape shows no more signs than these, they are looked for and its label is read on one screen.
const FEW_SIGNS: usize = 3;

/// Which questions are put together.
#[derive(Debug, Clone)]
pub struct Group {
    pub parts: Vec<Part>,
    pub about: About,
}

/// What a group is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// What may hurt somebody who looks into a box.
    Danger,
    /// The signs of a tape in hand.
    Signs,
    /// What is written.
    Label,
    /// The few signs of a cassette or cartridge, and what is written on it.
    All,
}

impl About {
    /// Whether what is written is read here.
    pub fn reads_label(self) -> bool {
        matches!(self, Self::Label | Self::All)
    }

    /// Whether signs are looked for here.
    pub fn sees_signs(self) -> bool {
        matches!(self, Self::Signs | Self::All)
    }
}

/// One of them.
#[derive(Debug, Clone)]
pub struct Part {
    pub question: &'static Question,
    /// The answer if nothing is marked; none for what a label may say.
    nothing: Option<&'static str>,
    /// The choice of the label that an answer here makes true.
    pub says: Option<&'static str>,
    pub choices: Vec<&'static Choice>,
}

impl Group {
    /// The group that begins with this question, if there is one: at least two questions.
    pub fn at(state: &State, item: ItemId, question: &Question) -> Option<Self> {
        let of_box = state.answers(Subject::Box(item.serial));
        let of_item = state.item_answers(item);
        let group = if question.key == LABEL {
            Self::label(&of_box, &of_item, question.key)
        } else {
            Self::signs(&of_box, &of_item).with_label(&of_box, &of_item)
        };
        let begins = group
            .parts
            .first()
            .is_some_and(|part| part.question.key == question.key);
        (begins && group.parts.len() > 1).then_some(group)
    }

    /// The questions of every look at a tape of which this is known.
    pub fn parts_of(of_item: &Answers) -> Vec<Part> {
        let of_box = Answers::new();
        let mut parts = Self::signs(&of_box, of_item).parts;
        parts.extend(Self::label(&of_box, of_item, LABEL).parts);
        parts
    }

    /// What may hurt, at the first of these questions about an open box.
    pub fn at_box(state: &State, serial: Serial, question: &Question) -> Option<Self> {
        let known = state.answers(Subject::Box(serial));
        let is_opened = known
            .get("outcome")
            .is_some_and(|outcome| outcome.has("found_opened"));
        let is_open = DANGERS.iter().all(|key| !known.contains_key(*key));
        (question.key == DANGERS[0] && is_opened && is_open).then(Self::dangers)
    }

    fn dangers() -> Self {
        let parts = DANGERS
            .into_iter()
            .filter_map(tape::question)
            .map(|question| Part {
                question,
                nothing: Some(NONE),
                says: None,
                choices: question.choices.iter().collect(),
            });
        Self {
            parts: parts.collect(),
            about: About::Danger,
        }
    }

    /// Whether nothing more is to be marked: every question has its mark, or what was seen ends the look.
    pub fn is_said(&self, marked: &Marked) -> bool {
        let is_marked = |part: &Part| {
            marked
                .get(part.question.key)
                .is_some_and(|marks| !marks.is_empty())
        };
        self.about == About::Danger && (self.parts.iter().all(is_marked) || self.ends_look(marked))
    }

    /// Mould ends the look into a box: it is shut, and nothing else is looked for.
    fn ends_look(&self, marked: &Marked) -> bool {
        let is_seen = |mark: &String| !is_apart(mark) && mark != NONE;
        let mould = marked.get(DANGERS[0]);
        self.about == About::Danger && mould.is_some_and(|marks| marks.iter().any(is_seen))
    }

    /// The last of its questions.
    pub fn last(&self) -> &'static Question {
        // A group has at least two parts.
        self.parts
            .last()
            .map_or(&tape::questions()[0], |part| part.question)
    }

    /// The keys of its questions.
    pub fn keys(&self) -> Vec<&'static str> {
        self.parts.iter().map(|part| part.question.key).collect()
    }

    /// The first of its questions that a batch may answer.
    pub fn shared_by_batch(&self) -> Option<&'static Question> {
        self.parts
            .iter()
            .map(|part| part.question)
            .find(|question| question.batch)
    }

    fn signs(of_box: &Answers, of_item: &Answers) -> Self {
        let known = known(of_box, of_item);
        let parts = tape::one_look(of_box, of_item)
            .into_iter()
            .map(|(question, nothing)| Part {
                question,
                nothing: Some(nothing.key),
                says: None,
                choices: shown(question, &known, &[nothing.key]),
            });
        Self {
            parts: parts.collect(),
            about: About::Signs,
        }
    }

    /// A few signs together with the label, where it is to be read.
    fn with_label(mut self, of_box: &Answers, of_item: &Answers) -> Self {
        let known = known(of_box, of_item);
        let is_open = tape::item_path(&known)
            .asked
            .iter()
            .any(|question| question.key == LABEL && !known.contains_key(LABEL));
        if is_open && (1..=FEW_SIGNS).contains(&self.parts.len()) {
            self.parts.extend(Self::label(of_box, of_item, LABEL).parts);
            self.about = About::All;
        }
        self
    }

    fn label(of_box: &Answers, of_item: &Answers, label: &str) -> Self {
        let known = known(of_box, of_item);
        let opened = tape::read_together(of_box, of_item);
        let mut parts = Vec::new();
        if let Some(label) = tape::question(label) {
            let nothing = label
                .choices
                .iter()
                .find(|choice| choice.alone)
                .map(|choice| choice.key);
            let mut hidden: Vec<&str> = opened.iter().map(|(said, _)| said.key).collect();
            hidden.extend(nothing);
            parts.push(Part {
                question: label,
                nothing,
                says: None,
                choices: shown(label, &known, &hidden),
            });
        }
        parts.extend(opened.into_iter().map(|(said, question)| Part {
            question,
            nothing: None,
            says: Some(said.key),
            choices: shown(question, &known, &[]),
        }));
        Self {
            parts,
            about: About::Label,
        }
    }

    /// The answers that some marks mean.
    pub fn answers(&self, marked: &Marked) -> Vec<(String, Answer)> {
        let none = BTreeSet::new();
        let of = |key: &str| marked.get(key).unwrap_or(&none);
        let mut answers = Vec::new();
        for part in &self.parts {
            let key = part.question.key;
            let mut marks = of(key).clone();
            if self.about.reads_label() && key == LABEL && !marks.iter().any(|mark| is_apart(mark)) {
                let said = self.parts.iter().filter(|part| !of(part.question.key).is_empty());
                marks.extend(said.filter_map(|part| part.says).map(str::to_owned));
            }
            if marks.is_empty() && !self.ends_look(marked) {
                marks.extend(part.nothing.map(str::to_owned));
            }
            let answer = match part.question.kind {
                Asked::Many => Some(Answer::Many(marks)).filter(|answer| !answer.keys().is_empty()),
                _ => marks.into_iter().next().map(Answer::One),
            };
            answers.extend(answer.map(|answer| (key.to_owned(), answer)));
        }
        answers
    }
}

fn known(of_box: &Answers, of_item: &Answers) -> Answers {
    let mut known = of_box.clone();
    known.extend(of_item.clone());
    known
}

fn shown(question: &'static Question, known: &Answers, hidden: &[&str]) -> Vec<&'static Choice> {
    let choices = tape::choices(question, known).into_iter();
    choices.filter(|choice| !hidden.contains(&choice.key)).collect()
}

/// Answers that go with no other.
fn is_apart(key: &str) -> bool {
    matches!(key, CANT_TELL | PHOTOGRAPHED)
}

/// What is marked, by question.
pub type Marked = BTreeMap<&'static str, BTreeSet<String>>;

/// Puts a mark or takes it away; where only one can be, it takes the place of the other.
pub fn toggle(marked: &mut Marked, question: &'static Question, key: &str) {
    let marks = marked.entry(question.key).or_default();
    if marks.remove(key) {
        return;
    }
    if question.kind != Asked::Many || is_apart(key) {
        marks.clear();
    } else {
        marks.retain(|other| !is_apart(other));
    }
    marks.insert(key.to_owned());
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a check that cannot be made has failed")]

    use super::*;

    fn reel() -> Answers {
        let one = |key: &str, choice: &str| (key.to_owned(), Answer::one(choice));
        [
            ("hazard".to_owned(), Answer::many(["none"])),
            one("carrier", "reel_quarter"),
            one("size", "r7"),
            one("light", "dark"),
            one("back", "glossy"),
        ]
        .into()
    }

    fn mark(marked: &mut Marked, question: &str, key: &str) {
        toggle(marked, tape::question(question).unwrap(), key);
    }

    #[test]
    fn unmarked_signs_are_answered_with_nothing_and_marked_ones_as_marked() {
        let group = Group::signs(&Answers::new(), &reel());
        let mut marked = Marked::new();
        let nothing: Answers = group.answers(&marked).into_iter().collect();
        assert_eq!(nothing.len(), 7);
        assert_eq!(nothing["wind"], Answer::many(["even"]));
        assert_eq!(nothing["free_end"], Answer::one("no_free_end"));
        mark(&mut marked, "wind", "steps");
        mark(&mut marked, "wind", "popped");
        mark(&mut marked, "odour_tape", "musty");
        mark(&mut marked, "odour_tape", "vinegar");
        mark(&mut marked, "residue", "white");
        mark(&mut marked, "residue", CANT_TELL);
        let some: Answers = group.answers(&marked).into_iter().collect();
        assert_eq!(some["wind"], Answer::many(["popped", "steps"]));
        assert_eq!(
            some["odour_tape"],
            Answer::one("vinegar"),
            "one smell, the last said"
        );
        assert_eq!(
            some["residue"],
            Answer::many([CANT_TELL]),
            "it goes with no other"
        );
        assert_eq!(some["shape"], Answer::many(["flat"]));
    }

    #[test]
    fn the_few_signs_of_a_cassette_and_its_label_are_one_look() {
        let one = |key: &str, choice: &str| (key.to_owned(), Answer::one(choice));
        let cassette: Answers = [
            ("hazard".to_owned(), Answer::many(["none"])),
            one("carrier", "cassette"),
            one("size", "c60"),
        ]
        .into();
        let group = Group::signs(&Answers::new(), &cassette).with_label(&Answers::new(), &cassette);
        assert_eq!(group.about, About::All);
        let mut marked = Marked::new();
        mark(&mut marked, "date_decade", "d1970");
        let said: Answers = group.answers(&marked).into_iter().collect();
        assert_eq!(said["residue"], Answer::many(["none"]));
        assert_eq!(said[LABEL], Answer::many(["date"]));
        let mut item = cassette.clone();
        item.extend(said);
        let path = tape::item_path(&item);
        assert!(path.done, "{:?} is open", path.next.map(|question| question.key));
        // A label that is known already is not read again, and a reel has too many signs for it.
        let mut known = cassette;
        known.insert(LABEL.to_owned(), Answer::many(["nothing"]));
        let again = Group::signs(&Answers::new(), &known).with_label(&Answers::new(), &known);
        assert_eq!(again.about, About::Signs);
        let reel = reel();
        let of_reel = Group::signs(&Answers::new(), &reel).with_label(&Answers::new(), &reel);
        assert_eq!(of_reel.about, About::Signs);
    }

    #[test]
    fn what_is_read_says_that_it_is_written() {
        let mut item = reel();
        item.extend(Group::signs(&Answers::new(), &item).answers(&Marked::new()));
        let group = Group::label(&Answers::new(), &item, LABEL);
        let mut marked = Marked::new();
        assert_eq!(
            group.answers(&marked),
            [(LABEL.to_owned(), Answer::many(["nothing"]))]
        );
        mark(&mut marked, LABEL, "title");
        mark(&mut marked, "speed", "s15");
        mark(&mut marked, "speed", "s7_5");
        mark(&mut marked, "date_decade", CANT_TELL);
        let said: Answers = group.answers(&marked).into_iter().collect();
        assert_eq!(said[LABEL], Answer::many(["date", "speed", "title"]));
        assert_eq!(said["speed"], Answer::one("s7_5"));
        assert_eq!(said["date_decade"], Answer::one(CANT_TELL));
        assert_eq!(said.len(), 3, "what is not read is not asked");
        // The way through the questions is then the same as if they had been put one by one.
        item.extend(said);
        let path = tape::item_path(&item);
        assert!(path.done, "{:?} is open", path.next.map(|question| question.key));
    }

    #[test]
    fn mould_ends_the_look_into_a_box_and_says_nothing_of_animals() {
        let group = Group::dangers();
        let none = |key: &str| (key.to_owned(), Answer::one(NONE));
        let mut marked = Marked::new();
        assert!(!group.is_said(&marked));
        assert_eq!(group.answers(&marked), [none("mould"), none("vermin")]);
        mark(&mut marked, "vermin", "signs");
        assert!(!group.is_said(&marked), "mould was not said");
        let mut clear = marked.clone();
        mark(&mut clear, "mould", NONE);
        assert!(group.is_said(&clear), "both are answered");
        marked.clear();
        mark(&mut marked, "mould", "suspected");
        assert!(group.is_said(&marked), "the box is to be shut");
        assert_eq!(
            group.answers(&marked),
            [("mould".to_owned(), Answer::one("suspected"))]
        );
    }

    #[test]
    fn a_mark_is_taken_away_by_a_second_tap() {
        let mut marked = Marked::new();
        mark(&mut marked, "shape", "cupped");
        mark(&mut marked, "shape", "cupped");
        assert!(marked["shape"].is_empty());
    }
}
