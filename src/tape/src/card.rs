//! The ask-first card: one item put aside, as a page to send to a colleague or a professional.

use crate::answer::{Answer, Answers, CANT_TELL, PHOTOGRAPHED};
use crate::carrier::carrier;
use crate::caution::{Caution, cautions_for_box, cautions_for_item, in_order};
use crate::finding::{Finding, Strength, findings_watching};
use crate::question::{Question, box_path, item_path_in, question};
use crate::watch::WatchList;

/// What is put on the card.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// What is asked.
    pub question: String,
    /// What was seen: each question as asked, with its answer in words.
    pub seen: Vec<(&'static str, String)>,
    /// What points to something, or does not fit together.
    pub findings: Vec<Finding>,
    /// What was not done with it, and must not be, cautions for people first.
    pub cautions: Vec<&'static Caution>,
}

/// The card of one item. `asked` is the surveyor's question in their own words.
pub fn card(box_answers: &Answers, item: &Answers, watch: &WatchList, asked: &str) -> Card {
    let path = box_path(box_answers)
        .asked
        .into_iter()
        .chain(item_path_in(box_answers, item).asked);
    let seen = path
        .filter_map(|q| {
            let answer = item.get(q.key).or_else(|| box_answers.get(q.key))?;
            Some((q.short, in_words(q, answer)))
        })
        .collect();
    let findings: Vec<Finding> = findings_watching(box_answers, item, watch)
        .into_iter()
        .filter(|f| f.strength >= Strength::Possible || !f.contradictions.is_empty())
        .collect();
    let at_once = cautions_for_box(box_answers)
        .into_iter()
        .chain(cautions_for_item(item));
    let all = at_once.chain(findings.iter().flat_map(|f| f.cautions.iter().copied()));
    let cautions = in_order(all.map(|caution| caution.key));
    Card {
        question: asked.trim().to_owned(),
        seen,
        findings,
        cautions,
    }
}

impl Card {
    /// The card as plain text, for a mail.
    pub fn to_text(&self) -> String {
        let mut lines = vec![
            format!("Question: {}", self.question),
            String::new(),
            "Seen (nothing was played):".to_owned(),
        ];
        lines.extend(self.seen.iter().map(|(q, a)| format!("- {q} {a}")));
        lines.extend([String::new(), "It points to:".to_owned()]);
        for f in &self.findings {
            lines.push(format!("- {}: {}", f.title, f.strength.word()));
            lines.extend(f.evidence_for.iter().map(|e| format!("    for: {e}")));
            lines.extend(f.against.iter().map(|e| format!("    against: {e}")));
            lines.extend(f.contradictions.iter().map(|e| format!("    does not fit: {e}")));
            lines.extend(f.not_looked.iter().map(|e| format!("    open: {e}")));
        }
        if self.findings.is_empty() {
            lines.push("- nothing so far".to_owned());
        }
        if !self.cautions.is_empty() {
            lines.extend([String::new(), "Cautions:".to_owned()]);
            lines.extend(self.cautions.iter().map(|c| format!("- {}: {}", c.title, c.text)));
        }
        lines.join("\n") + "\n"
    }
}

/// An answer in words: the labels of the choices, the number with its unit, the counts by carrier.
pub fn answer_in_words(key: &str, answer: &Answer) -> String {
    question(key).map_or_else(|| plain(answer), |q| in_words(q, answer))
}

fn in_words(q: &Question, answer: &Answer) -> String {
    let label = |key: &str| match key {
        CANT_TELL => "can't tell".to_owned(),
        PHOTOGRAPHED => "photographed, to be read".to_owned(),
        _ => q
            .choices
            .iter()
            .find(|c| c.key == key)
            .map_or(key, |c| c.label)
            .to_owned(),
    };
    match (answer, q.kind) {
        (Answer::Number(x), crate::Kind::Number { unit, .. }) => format!("{x} {unit}"),
        (Answer::One(_) | Answer::Many(_), _) => answer
            .keys()
            .into_iter()
            .map(label)
            .collect::<Vec<_>>()
            .join("; "),
        _ => plain(answer),
    }
}

fn plain(answer: &Answer) -> String {
    match answer {
        Answer::Number(x) => x.to_string(),
        Answer::Text(text) => text.clone(),
        Answer::One(_) | Answer::Many(_) => answer.keys().join("; "),
        Answer::Counts(counts) => counts
            .iter()
            .map(|(key, n)| format!("{n} \u{d7} {}", carrier(key).map_or(key.as_str(), |c| c.label)))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_what_was_seen_and_what_must_not_be_done() {
        let boxed: Answers = [
            ("outcome".to_owned(), Answer::one("found_opened")),
            ("mould".to_owned(), Answer::one("none")),
        ]
        .into();
        let item: Answers = [
            ("hazard".to_owned(), Answer::many(["none"])),
            ("carrier".to_owned(), Answer::one("reel_quarter")),
            ("light".to_owned(), Answer::one("glows")),
            ("back".to_owned(), Answer::one("matt_black")),
            ("free_end".to_owned(), Answer::one("clings")),
            ("pack_diameter".to_owned(), Answer::Number(120.0)),
            // Not asked of a reel without that label: it stays off the card.
            ("speed".to_owned(), Answer::one("s15")),
        ]
        .into();
        let card = card(&boxed, &item, &WatchList::default(), " May it be played? ");
        let text = card.to_text();
        assert!(text.starts_with("Question: May it be played?\n"));
        for part in [
            "Does light glow through the pack? It glows",
            "120 mm",
            "does not fit: It glows, and it has a dark back coat",
            "Sticky, shedding binder: ",
            "No heat: ",
        ] {
            assert!(text.contains(part), "'{part}' is missing in\n{text}");
        }
        assert!(!text.contains("15 (38)"), "{text}");
    }

    #[test]
    fn answers_in_words() {
        assert_eq!(
            answer_in_words("damage", &Answer::many(["edge", "crease"])),
            "Creased, crumpled; Edge dented, ragged"
        );
        assert_eq!(answer_in_words("light", &Answer::one(CANT_TELL)), "can't tell");
        let counts = Answer::Counts([("cassette".to_owned(), 3)].into());
        assert_eq!(answer_in_words("count", &counts), "3 \u{d7} Cassette");
        assert_eq!(
            answer_in_words("note", &Answer::Text("left shelf".to_owned())),
            "left shelf"
        );
    }
}
