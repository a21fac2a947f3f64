//! The questions, and the order in which they are asked.

use crate::answer::{Answer, Answers};
use crate::knowledge::QUESTIONS;
use crate::rule::{When, is_told};

/// What a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// A box.
    Box,
    /// One drawn item.
    Item,
}

/// What kind of answer a question takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// One of the choices.
    One,
    /// Any number of the choices.
    Many,
    /// A number.
    Number {
        /// Its unit, as shown.
        unit: &'static str,
        /// The smallest sensible value.
        min: f64,
        /// The largest sensible value.
        max: f64,
    },
    /// Free text.
    Text,
    /// How many of each carrier.
    Counts,
}

/// One possible answer. [`crate::CANT_TELL`] is possible besides, and [`crate::PHOTOGRAPHED`] where a photo can tell.
#[derive(Debug)]
pub struct Choice {
    /// Its key in answers and tables.
    pub key: &'static str,
    /// Short enough for a phone's button.
    pub label: &'static str,
    /// What it means.
    pub help: &'static str,
    pub(crate) only: When,
    /// The answer tells nothing about the tape ("nobody knows").
    pub silent: bool,
    /// The answer goes with no other of the same question ("none").
    pub alone: bool,
}

/// One question.
#[derive(Debug)]
pub struct Question {
    /// Its key in answers and tables.
    pub key: &'static str,
    /// About a box or an item.
    pub subject: Subject,
    /// The kind of answer.
    pub kind: Kind,
    /// The question as asked.
    pub short: &'static str,
    /// What exactly is meant.
    pub long: &'static str,
    /// Why it is asked.
    pub why: &'static str,
    /// How to look without harm.
    pub how: &'static str,
    /// The drawing's name.
    pub drawing: &'static str,
    /// Every choice; which of them fit the answers so far: [`choices`].
    pub choices: &'static [Choice],
    /// Where this is known from.
    pub source: &'static str,
    /// Whether "photographed, read later" is an answer.
    pub photo: bool,
    /// Whether it may be left out without a word.
    pub optional: bool,
    /// Whether the answer often holds for everything of one recordist, machine or batch: asked once, and applied to
    /// others only where a person says so.
    pub batch: bool,
    /// Whether each item is looked at for this by itself: what was seen on another is never taken over.
    pub own_look: bool,
    pub(crate) when: When,
}

/// The questions that apply, in order, and the next without an answer.
#[derive(Debug)]
pub struct Path {
    /// Every question that applies given the answers so far, in the order asked, answered or not.
    pub asked: Vec<&'static Question>,
    /// The first of them that has no answer; questions that may be left out come last.
    pub next: Option<&'static Question>,
    /// Whether every question that must be answered is.
    pub done: bool,
}

/// Every question: the box's first, each in the order asked.
pub fn questions() -> &'static [Question] {
    QUESTIONS
}

/// The question with this key.
pub fn question(key: &str) -> Option<&'static Question> {
    QUESTIONS.iter().find(|q| q.key == key)
}

/// The choices of `question` that fit the answers so far.
pub fn choices(question: &'static Question, answers: &Answers) -> Vec<&'static Choice> {
    question
        .choices
        .iter()
        .filter(|c| c.only.is_empty() || c.only.holds(answers))
        .collect()
}

/// Whether a batch's answer may stand in for an item's own: the question is one that a batch can answer, it makes sense
/// for the item's carrier whether or not the label says anything of it, and the answer is one that the carrier allows
/// and that tells something.
pub fn batch_fits(question: &'static Question, answer: &Answer, item: &Answers) -> bool {
    question.batch && !matches!(answer, Answer::Many(_) | Answer::Counts(_)) && {
        let known = as_if_written(item);
        let offered = |key: &String| choices(question, &known).iter().any(|c| c.key == key);
        let answers = [(question.key.to_owned(), answer.clone())].into();
        batch_asks(question, item)
            && is_told(question.key, &answers)
            && !matches!(answer, Answer::One(key) if !offered(key))
    }
}

/// Whether a batch can answer this question for the item: its carrier is known and the question makes sense for it.
pub fn batch_asks(question: &'static Question, item: &Answers) -> bool {
    question.batch
        && question.subject == Subject::Item
        && is_told("carrier", item)
        && (question.when.is_empty() || question.when.holds(&as_if_written(item)))
}

/// The answers, as if the label said everything that a label can say: what a batch knows need not be written.
fn as_if_written(item: &Answers) -> Answers {
    let mut known = item.clone();
    if let Some(label) = question("label") {
        let all = label.choices.iter().filter(|c| !c.alone).map(|c| c.key);
        known.insert("label".to_owned(), Answer::many(all));
    }
    known
}

/// The way through a box's questions.
pub fn box_path(answers: &Answers) -> Path {
    path(Subject::Box, answers)
}

/// The way through an item's questions, nothing being known of its box.
pub fn item_path(item: &Answers) -> Path {
    path(Subject::Item, item)
}

/// The way through an item's questions, its box's answers known: no smelling where mould is not ruled out.
pub fn item_path_in(box_answers: &Answers, item: &Answers) -> Path {
    path(Subject::Item, &merged(box_answers, item))
}

fn path(subject: Subject, answers: &Answers) -> Path {
    let asked: Vec<&'static Question> = QUESTIONS
        .iter()
        .filter(|q| q.subject == subject && (q.when.is_empty() || q.when.holds(answers)))
        .collect();
    let open = |optional: bool| {
        asked
            .iter()
            .copied()
            .find(|q| q.optional == optional && !is_answered(q, answers))
    };
    let must = open(false);
    Path {
        next: must.or_else(|| open(true)),
        done: must.is_none(),
        asked,
    }
}

/// What one look at an item that is in hand answers together: of the questions on the way that are still open and must be
/// answered, those that have an answer meaning "nothing of this", with that answer. What is marked is there, and of the
/// others it was looked for and is not.
pub fn one_look(box_answers: &Answers, item: &Answers) -> Vec<(&'static Question, &'static Choice)> {
    let known = merged(box_answers, item);
    // A hazard is looked for by itself, before the item is known and taken in hand.
    if !item.contains_key("carrier") {
        return Vec::new();
    }
    let asked = path(Subject::Item, &known).asked.into_iter();
    let open = asked.filter(|q| !q.optional && !is_answered(q, &known));
    open.filter_map(|q| choices(q, &known).into_iter().find(|c| c.alone).map(|c| (q, c)))
        // What is written is read, not seen in the same look.
        .filter(|(q, _)| q.key != "label")
        .collect()
}

/// The questions that a label's saying opens, each with the choice of the label that opens it: whoever reads the speed has
/// said that the speed is written. Empty once the label is answered.
pub fn read_together(box_answers: &Answers, item: &Answers) -> Vec<(&'static Choice, &'static Question)> {
    let known = merged(box_answers, item);
    let Some(label) = question("label").filter(|q| !is_answered(q, &known)) else {
        return Vec::new();
    };
    let mut opened = Vec::new();
    for said in choices(label, &known).into_iter().filter(|c| !c.alone) {
        let mut then = known.clone();
        then.insert("label".to_owned(), Answer::many([said.key]));
        for q in path(Subject::Item, &then).asked {
            let is_read = q.kind == Kind::One && !q.optional && !is_answered(q, &then);
            if is_read && !q.when.holds(&known) && !q.when.is_empty() {
                opened.push((said, q));
            }
        }
    }
    opened
}

/// What one tap can answer after a look at the whole item: of the questions on the way that are still open and must be
/// answered, those that have an answer meaning "nothing of this", with that answer. "I looked at all of these; only what I
/// mark is there." Whatever is marked is answered first, and is then no longer among them.
pub fn quick_look(box_answers: &Answers, item: &Answers) -> Vec<(&'static Question, &'static Choice)> {
    let known = merged(box_answers, item);
    let path = path(Subject::Item, &known);
    let open = path
        .asked
        .into_iter()
        .filter(|q| q.kind == Kind::Many && !q.optional && !is_answered(q, &known));
    open.filter_map(|q| choices(q, &known).into_iter().find(|c| c.alone).map(|c| (q, c)))
        // What is written on the label is not seen in the same look.
        .filter(|(q, _)| q.key != "label")
        .collect()
}

/// What may be taken over from the item looked at before, once a person has looked at this one and says it is the same:
/// of the questions on the way that are still open, those that are not looked at one by one ([`Question::own_look`]), with
/// the other item's answer where it tells something and fits. Nothing before this item was looked at for a hazard.
pub fn same_as(box_answers: &Answers, item: &Answers, other: &Answers) -> Vec<(&'static Question, Answer)> {
    let mut same = Vec::new();
    if !item.contains_key("hazard") {
        return same;
    }
    let mut known = merged(box_answers, item);
    // What is taken over opens further questions: a label that tells the speed, and then the speed.
    while let Some((question, answer)) = next_same(&known, other) {
        known.insert(question.key.to_owned(), answer.clone());
        same.push((question, answer));
    }
    same
}

fn next_same(known: &Answers, other: &Answers) -> Option<(&'static Question, Answer)> {
    let asked = path(Subject::Item, known).asked.into_iter();
    let mut open = asked.filter(|q| !q.own_look && !is_answered(q, known));
    open.find_map(|q| {
        let answer = other.get(q.key)?;
        let offered = |key: &&str| choices(q, known).iter().any(|c| c.key == *key);
        let keys = answer.keys();
        let fits = match answer {
            Answer::Text(text) => !text.trim().is_empty(),
            _ => !keys.is_empty() && keys.iter().all(offered),
        };
        fits.then(|| (q, answer.clone()))
    })
}

fn is_answered(q: &Question, answers: &Answers) -> bool {
    match answers.get(q.key) {
        None => false,
        Some(Answer::Many(keys)) => !keys.is_empty(),
        Some(_) => true,
    }
}

/// Box and item answers together; keys of the two never clash, an item's own answer would win.
pub(crate) fn merged(box_answers: &Answers, item: &Answers) -> Answers {
    let mut all = box_answers.clone();
    all.extend(item.iter().map(|(k, v)| (k.clone(), v.clone())));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quick_look_answers_what_is_open_and_nothing_else() {
        let mut item: Answers = [("carrier".to_owned(), Answer::one("reel_quarter"))].into();
        let keys = |item: &Answers| -> Vec<(&str, &str)> {
            quick_look(&Answers::new(), item)
                .into_iter()
                .map(|(q, c)| (q.key, c.key))
                .collect()
        };
        let all = [
            ("hazard", "none"),
            ("shape", "flat"),
            ("wind", "even"),
            ("residue", "none"),
            ("damage", "none"),
        ];
        assert_eq!(keys(&item), all);
        item.insert("wind".to_owned(), Answer::many(["spoking"]));
        assert_eq!(keys(&item), [all[0], all[1], all[3], all[4]]);
        item.insert("hazard".to_owned(), Answer::many(["growth"]));
        assert_eq!(keys(&item), []);
        let cassette: Answers = [("carrier".to_owned(), Answer::one("cassette"))].into();
        assert_eq!(keys(&cassette), [all[0], all[3], all[4]]);
    }

    #[test]
    fn one_look_at_a_reel_in_hand_takes_in_every_sign_and_nothing_that_is_read_or_felt() {
        let one = |key: &str, choice: &str| (key.to_owned(), Answer::one(choice));
        let mut item: Answers = [("hazard".to_owned(), Answer::many(["none"]))].into();
        let keys = |item: &Answers| -> Vec<&str> {
            one_look(&Answers::new(), item)
                .into_iter()
                .map(|(q, _)| q.key)
                .collect()
        };
        assert!(keys(&item).is_empty(), "it is not known yet what it is");
        item.extend([
            one("carrier", "reel_quarter"),
            one("size", "r7"),
            one("light", "dark"),
            one("back", "glossy"),
        ]);
        assert_eq!(
            keys(&item),
            [
                "shape",
                "wind",
                "free_end",
                "residue",
                "odour_tape",
                "damage",
                "squeal"
            ]
        );
        let nothing = one_look(&Answers::new(), &item).into_iter().map(|(_, c)| c.key);
        assert_eq!(
            nothing.collect::<Vec<_>>(),
            [
                "flat",
                "even",
                "no_free_end",
                "none",
                "none",
                "none",
                "nobody_knows"
            ]
        );
        item.extend([("wind".to_owned(), Answer::many(["steps"]))]);
        assert!(!keys(&item).contains(&"wind"), "it is answered");
        item.insert("hazard".to_owned(), Answer::many(["growth"]));
        assert!(keys(&item).is_empty(), "it was put down");
        item.insert("hazard".to_owned(), Answer::many(["tide_line"]));
        assert!(
            !keys(&item).contains(&"odour_tape"),
            "nobody smells where water was"
        );
    }

    #[test]
    fn what_is_read_together_is_what_the_label_s_sayings_open() {
        let one = |key: &str, choice: &str| (key.to_owned(), Answer::one(choice));
        let opened = |item: &Answers| -> Vec<(&str, &str)> {
            let opened = read_together(&Answers::new(), item).into_iter();
            opened.map(|(said, q)| (said.key, q.key)).collect()
        };
        let mut item: Answers = [
            one("carrier", "reel_quarter"),
            ("hazard".to_owned(), Answer::many(["none"])),
        ]
        .into();
        assert_eq!(
            opened(&item),
            [
                ("date", "date_decade"),
                ("speed", "speed"),
                ("tracks", "tracks"),
                ("length", "length_class"),
                ("base", "label_base")
            ]
        );
        item.insert("carrier".to_owned(), Answer::one("cassette"));
        assert_eq!(
            opened(&item),
            [
                ("date", "date_decade"),
                ("tracks", "tracks"),
                ("base", "label_base")
            ]
        );
        item.insert("label".to_owned(), Answer::many(["date"]));
        assert!(opened(&item).is_empty(), "the label is answered");
    }

    #[test]
    fn the_same_as_another_takes_over_what_fits_and_never_what_each_is_looked_at_for() {
        let one = |key: &str, choice: &str| (key.to_owned(), Answer::one(choice));
        let other: Answers = [
            ("hazard".to_owned(), Answer::many(["none"])),
            one("carrier", "cassette"),
            one("size", "c60"),
            ("residue".to_owned(), Answer::many(["none"])),
            one("squeal", crate::CANT_TELL),
            ("label".to_owned(), Answer::many(["date"])),
            one("date_decade", "d1970"),
        ]
        .into();
        let keys = |item: &Answers| -> Vec<&str> {
            same_as(&Answers::new(), item, &other)
                .into_iter()
                .map(|(q, _)| q.key)
                .collect()
        };
        assert_eq!(
            keys(&Answers::new()),
            [] as [&str; 0],
            "not looked at for a hazard yet"
        );
        let mut item: Answers = [("hazard".to_owned(), Answer::many(["none"]))].into();
        assert_eq!(keys(&item), ["carrier", "size", "label", "date_decade"]);
        item.extend([one("carrier", "reel_quarter")]);
        assert_eq!(keys(&item), ["label", "date_decade"], "a reel has no C60 shell");
        item.insert("hazard".to_owned(), Answer::many(["growth"]));
        assert_eq!(keys(&item), [] as [&str; 0], "it was put down");
    }

    #[test]
    fn a_batch_answers_what_makes_sense_for_the_carrier_and_nothing_else() {
        let of = |carrier: &str| -> Answers { [("carrier".to_owned(), Answer::one(carrier))].into() };
        let fits = |key: &str, answer: &Answer, item: &Answers| {
            QUESTIONS
                .iter()
                .find(|q| q.key == key)
                .is_some_and(|q| batch_fits(q, answer, item))
        };
        let (slow, half) = (Answer::one("s3_75"), Answer::one("half_mono"));
        assert!(fits("speed", &slow, &of("reel_quarter")));
        assert!(fits("tracks", &half, &of("reel_quarter")));
        assert!(fits(
            "machine",
            &Answer::Text("club machine".to_owned()),
            &of("cassette")
        ));
        assert!(
            !fits("tracks", &half, &of("cassette")),
            "a reel's tracks on a cassette"
        );
        assert!(!fits("speed", &slow, &of("dat")), "no speed is asked of it");
        assert!(!fits("speed", &slow, &Answers::new()), "the carrier is not known");
        assert!(!fits(
            "speed",
            &Answer::one(crate::CANT_TELL),
            &of("reel_quarter")
        ));
        assert!(!fits("speed", &Answer::one("s99"), &of("reel_quarter")));
        assert!(!fits("machine", &Answer::Text(" ".to_owned()), &of("cassette")));
        assert!(
            !fits("light", &Answer::one("glows"), &of("reel_quarter")),
            "seen on each item"
        );
    }
}
