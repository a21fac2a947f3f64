//! The small language of rules: parts that name a question and some of its answers.

use crate::answer::{Answer, Answers, CANT_TELL, PHOTOGRAPHED};
use crate::question::{Kind, Question, question};

/// One part of a rule: the answer to `question` is (or, with `not`, is not) among `answers`.
#[derive(Debug)]
pub(crate) struct Atom {
    pub(crate) question: &'static str,
    pub(crate) not: bool,
    pub(crate) answers: &'static [&'static str],
}

/// Lines of parts: it holds when all parts of one line hold. No lines at all: see the caller.
#[derive(Debug)]
pub(crate) struct When(pub(crate) &'static [&'static [Atom]]);

impl When {
    /// Whether there is no line.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether one line holds.
    pub(crate) fn holds(&self, answers: &Answers) -> bool {
        self.0
            .iter()
            .any(|line| line.iter().all(|atom| atom.holds(answers)))
    }

    /// Whether it can never hold while the known answers stay as they are. Unanswered and untold leave it open.
    pub(crate) fn ruled_out(&self, answers: &Answers) -> bool {
        !self.is_empty()
            && self
                .0
                .iter()
                .all(|line| line.iter().any(|atom| atom.ruled_out(answers)))
    }

    /// The questions it looks at, each once, in the order written.
    pub(crate) fn questions(&self) -> Vec<&'static str> {
        let mut out = Vec::new();
        for atom in self.0.iter().copied().flatten() {
            if !out.contains(&atom.question) {
                out.push(atom.question);
            }
        }
        out
    }
}

impl Atom {
    /// Whether it holds; a missing answer is among nothing.
    pub(crate) fn holds(&self, answers: &Answers) -> bool {
        answers
            .get(self.question)
            .is_some_and(|a| a.has_any(self.answers))
            != self.not
    }

    /// Whether a known answer contradicts it.
    fn ruled_out(&self, answers: &Answers) -> bool {
        if self.not {
            let told = |a: &&str| *a != CANT_TELL && *a != PHOTOGRAPHED;
            let firm: Vec<&str> = self.answers.iter().copied().filter(told).collect();
            answers.get(self.question).is_some_and(|a| a.has_any(&firm))
        } else {
            is_told(self.question, answers) && !self.holds(answers)
        }
    }
}

/// Whether the question has an answer that tells something: given, and neither can't-tell, photographed, a choice that
/// is silent about the tape, nor a key that the question does not know.
pub(crate) fn is_told(key: &str, answers: &Answers) -> bool {
    let (Some(q), Some(answer)) = (question(key), answers.get(key)) else {
        return false;
    };
    match answer {
        Answer::Number(x) => match q.kind {
            Kind::Number { min, max, .. } => (min..=max).contains(x),
            _ => false,
        },
        Answer::Text(t) => !t.trim().is_empty(),
        Answer::Counts(_) => true,
        Answer::One(k) => tells(q, k),
        Answer::Many(keys) => !keys.is_empty() && keys.iter().all(|k| tells(q, k)),
    }
}

fn tells(q: &Question, key: &str) -> bool {
    q.choices.iter().any(|c| c.key == key && !c.silent)
}
