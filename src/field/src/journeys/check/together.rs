//! Questions that one look answers together: the signs of a tape in hand, and what its label says. What is marked is
//! there; of the rest it was looked for and is not. Nothing is marked beforehand.

use std::collections::{BTreeMap, BTreeSet};

use leptos::prelude::*;
use survey::photo::Shows;
use survey::{Command, ItemId, Serial, State, Subject, Way};
use tape::{Answer, Answers, CANT_TELL, Choice, Kind as Asked, PHOTOGRAPHED, Question};

use super::keys;
use super::last_answer::LastAnswer;
use super::photos::Photos;
use super::route_to;
use crate::capability::document;
use crate::drawings;
use crate::store::use_store;
use crate::texts::check as text;
use crate::ui::{Button, Chip, ChoiceOption, Kind, Link, Page};

/// What is looked for before a box is smelled at or touched, mould first.
const DANGERS: [&str; 2] = ["mould", "vermin"];
/// Their answer for nothing.
const NONE: &str = "none";
/// The question whose marks are what is written.
const LABEL: &str = "label";

/// Which questions are put together.
#[derive(Debug, Clone)]
pub struct Group {
    parts: Vec<Part>,
    about: About,
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
}

/// One of them.
#[derive(Debug, Clone)]
struct Part {
    question: &'static Question,
    /// The answer if nothing is marked; none for what a label may say.
    nothing: Option<&'static str>,
    /// The choice of the label that an answer here makes true.
    says: Option<&'static str>,
    choices: Vec<&'static Choice>,
}

impl Group {
    /// The group that begins with this question, if there is one: at least two questions.
    pub fn at(state: &State, item: ItemId, question: &Question) -> Option<Self> {
        let of_box = state.answers(Subject::Box(item.serial));
        let of_item = state.item_answers(item);
        let group = if question.key == LABEL {
            Self::label(&of_box, &of_item, question.key)
        } else {
            Self::signs(&of_box, &of_item)
        };
        let begins = group
            .parts
            .first()
            .is_some_and(|part| part.question.key == question.key);
        (begins && group.parts.len() > 1).then_some(group)
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
    fn is_said(&self, marked: &Marked) -> bool {
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
    fn answers(&self, marked: &Marked) -> Vec<(String, Answer)> {
        let none = BTreeSet::new();
        let of = |key: &str| marked.get(key).unwrap_or(&none);
        let mut answers = Vec::new();
        for part in &self.parts {
            let key = part.question.key;
            let mut marks = of(key).clone();
            if self.about == About::Label && key == LABEL && !marks.iter().any(|mark| is_apart(mark)) {
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
type Marked = BTreeMap<&'static str, BTreeSet<String>>;

/// Puts a mark or takes it away; where only one can be, it takes the place of the other.
fn toggle(marked: &mut Marked, question: &'static Question, key: &str) {
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

/// The screen.
#[component]
pub fn Together(
    subject: Subject,
    group: Group,
    /// Where in the day this is.
    here: String,
    /// The address of the question before.
    back: String,
    /// What comes after it.
    next: Option<String>,
    /// Shown above the marks.
    children: Children,
    /// After the answers were sent.
    on_answered: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    keys::listen();
    let about = group.about;
    let group = StoredValue::new(group);
    let marked = RwSignal::new(Marked::new());
    let explain = RwSignal::new(false);
    let done = move || {
        let answers = group.with_value(|group| group.answers(&marked.get_untracked()));
        store.send(if about == About::Signs {
            let way = Way::QuickLook;
            Command::AnswerBy {
                subject,
                answers,
                way,
            }
        } else {
            Command::AnswerAll { subject, answers }
        });
        if store.refusal.get_untracked().is_none() {
            on_answered();
        }
    };
    let press = Callback::new(move |(question, key): (&'static Question, String)| {
        marked.update(|marked| toggle(marked, question, &key));
        if group.with_value(|group| marked.with_untracked(|marked| group.is_said(marked))) {
            done();
        }
    });
    let n_marked = move || marked.with(|marked| marked.values().map(BTreeSet::len).sum::<usize>());
    let label = Signal::derive(move || text::together_done(about == About::Label, n_marked()));
    let parts = group.with_value(|group| {
        let part = |part: &Part| view! { <Marks subject part=part.clone() marked explain press /> };
        group.parts.iter().map(part).collect_view()
    });
    let (title, lead) = text::together(about);
    view! {
        <Page
            title=title.to_owned()
            here=here
            lead=lead.to_owned()
            next=Signal::stored(next)
            action=move || {
                let back = back.clone();
                view! {
                    <LastAnswer />
                    <div class="dock-row">
                        <Link label=text::back().to_owned() tap="check-back" kind=Kind::Secondary href=back />
                        <Button label=label tap=if about == About::Label { "check-done" } else { "check-quick-look" } kind=Kind::Primary on_press=done />
                    </div>
                }
            }
        >
            {children()}
            <Button
                label=Signal::derive(move || text::explain(explain.get()).to_owned())
                tap="check-explain"
                kind=Kind::Quiet
                on_press=move || explain.update(|on| *on = !*on)
            />
            {parts}
            <Photos subject shows=if about == About::Label { Shows::Label } else { Shows::Damage } />
        </Page>
    }
}

/// The marks of one question.
#[component]
fn Marks(
    subject: Subject,
    part: Part,
    marked: RwSignal<Marked>,
    explain: RwSignal<bool>,
    /// Takes a tap on a mark.
    press: Callback<(&'static Question, String)>,
) -> impl IntoView {
    let store = use_store();
    let question = part.question;
    let mut options: Vec<ChoiceOption> = part
        .choices
        .iter()
        .map(|choice| {
            ChoiceOption::new(choice.key, choice.label)
                .hint(choice.help)
                .drawn(drawings::of_choice(question.key, choice.key))
        })
        .collect();
    let unread = if part.says.is_some() {
        text::cant_read()
    } else {
        text::cant_tell()
    };
    options.push(ChoiceOption::new(CANT_TELL, unread));
    if question.photo && part.says.is_none() {
        options.push(ChoiceOption::new(PHOTOGRAPHED, text::photographed_short()));
    }
    let chip = move |option: ChoiceOption| {
        let (key, tap) = (
            option.key.clone(),
            format!("check-{}-{}", question.key, option.key),
        );
        let is_put = {
            let key = key.clone();
            Signal::derive(move || {
                marked.with(|marked| marked.get(question.key).is_some_and(|marks| marks.contains(&key)))
            })
        };
        let on_press = move || press.run((question, key.clone()));
        view! { <Chip option tap is_put explain on_press /> }
    };
    let href = route_to(store.state.get_untracked().survey, subject, Some(question.key)).href();
    view! {
        <section class="marks" class:explained=move || explain.get() aria-label=question.short>
            <h2>{question.short}</h2>
            <p class="hint">{question.how}</p>
            {move || {
                let href = href.clone();
                explain.get().then(|| view! {
                    <p class="hint">{question.long}</p>
                    <Link label=text::alone().to_owned() tap=format!("check-alone-{}", question.key) href=href />
                })
            }}
            <div class="chips">{options.into_iter().map(chip).collect_view()}</div>
        </section>
    }
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
