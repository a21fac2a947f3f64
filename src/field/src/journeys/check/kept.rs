//! The answers of each question, made once and shown again: one tape's screens are much like another's, and making their
//! hundreds of elements anew is most of what a tap takes on a slow phone.

use std::collections::{BTreeMap, BTreeSet};

use leptos::mount::{UnmountHandle, mount_to};
use leptos::prelude::*;
use leptos::tachys::view::Render;
use survey::Subject;
use tape::{Answer, Answers, CANT_TELL, PHOTOGRAPHED, Question};

use super::ask::COMMON_CARRIERS;
use super::group::{Group, Marked, Part};
use super::route_to;
use crate::capability::document::{self, Element};
use crate::capability::task;
use crate::drawings;
use crate::store::use_store;
use crate::texts::{check as text, worded};
use crate::ui::{Chip, ChoiceList, ChoiceOption, Link, MultiChoice};

/// What is kept, from context. One screen shows of it at a time.
#[derive(Clone, Copy)]
pub struct KeptAnswers {
    /// What is marked in the look that is shown, or was last.
    pub marked: RwSignal<Marked>,
    /// Whether every mark of it says what it means.
    pub explain: RwSignal<bool>,
    /// What is looked at.
    subject: RwSignal<Subject>,
    inner: StoredValue<Inner, LocalStorage>,
}

struct Inner {
    owner: Owner,
    made: BTreeMap<Shape, Made>,
    /// The marks that are shown.
    shown: Vec<Shape>,
    press: Option<Press>,
}

/// Takes a tap on an answer of a question.
type Press = Callback<(&'static Question, String)>;

/// What elements are made from.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Shape {
    form: Form,
    question: &'static str,
    choices: Vec<String>,
}

/// In what form a question's answers stand.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// Lines, of which one is chosen.
    One,
    /// Lines, of which some are.
    Many,
    /// Marks of a look, under the choice of the label that they make true.
    Marks(Option<&'static str>),
}

/// Elements that are kept.
struct Made {
    element: Element,
    put: RwSignal<BTreeSet<String>>,
    explain: RwSignal<bool>,
    /// Keeps them alive.
    _handle: UnmountHandle<<AnyView as Render>::State>,
}

impl KeptAnswers {
    /// None made yet. They last as long as the view that begins them.
    pub fn begin() -> Self {
        Self {
            marked: RwSignal::new(Marked::new()),
            explain: RwSignal::new(false),
            subject: RwSignal::new(Subject::Survey),
            inner: StoredValue::new_local(Inner {
                owner: Owner::current().unwrap_or_default(),
                made: BTreeMap::new(),
                shown: Vec::new(),
                press: None,
            }),
        }
    }

    /// The lines of a question, and which of them are chosen.
    pub fn lines(
        self,
        form: Form,
        question: &'static Question,
        options: Vec<ChoiceOption>,
        chosen: BTreeSet<String>,
    ) -> (Vec<Element>, RwSignal<BTreeSet<String>>) {
        let shape = Shape {
            form,
            question: question.key,
            choices: options.iter().map(|option| option.key.clone()).collect(),
        };
        let press_here = move |key: String| self.press(question, key);
        let (element, put) = self.element(&shape, move |put, _| {
            let (legend, tap) = (worded(question.short).to_owned(), format!("check-{}", question.key));
            match form {
                Form::One => {
                    let chosen = Signal::derive(move || put.with(|put| put.first().cloned()));
                    view! { <ChoiceList legend hide_legend=true options chosen tap on_choose=press_here /> }.into_any()
                }
                Form::Many | Form::Marks(_) => {
                    view! { <MultiChoice legend hide_legend=true options chosen=put tap on_toggle=press_here /> }.into_any()
                }
            }
        });
        if put.with_untracked(|put| *put != chosen) {
            put.set(chosen);
        }
        (element.into_iter().collect(), put)
    }

    /// Who takes the taps from now on: the screen that shows what is kept.
    pub fn on_press(self, press: Press) {
        self.inner.update_value(|inner| inner.press = Some(press));
    }

    /// The marks of a look's questions, in order, none of them explained.
    pub fn marks(self, group: &Group, subject: Subject) -> Vec<Element> {
        self.subject.set(subject);
        self.explain.set(false);
        let shown = group.parts.iter().map(Shape::of).collect();
        self.inner.update_value(|inner| inner.shown = shown);
        let elements = group.parts.iter().filter_map(|part| self.part(part)).collect();
        self.follow();
        elements
    }

    /// Changes what is marked.
    pub fn mark(self, change: impl FnOnce(&mut Marked)) {
        self.marked.update(change);
        self.follow();
    }

    /// Nothing marked: another box or tape is looked at.
    pub fn clear(self) {
        if self.marked.with_untracked(|marked| !marked.is_empty()) {
            self.mark(Marked::clear);
        }
    }

    /// Every mark says what it means, or none does any more.
    pub fn turn_explain(self) {
        self.explain.update(|on| *on = !*on);
        self.follow();
    }

    /// The marks that are shown follow; those that are not are left alone.
    fn follow(self) {
        let (marked, explain) = (self.marked.get_untracked(), self.explain.get_untracked());
        self.inner.with_value(|inner| {
            for (shape, made) in inner
                .shown
                .iter()
                .filter_map(|shape| inner.made.get_key_value(shape))
            {
                let put = marked.get(shape.question).cloned().unwrap_or_default();
                if made.put.with_untracked(|before| *before != put) {
                    made.put.set(put);
                }
                if made.explain.get_untracked() != explain {
                    made.explain.set(explain);
                }
            }
        });
    }

    /// Makes the marks of the commonest tapes while the page has nothing else to do, a question at a time.
    pub fn make_when_idle(self) {
        task::spawn(async move {
            task::settled().await;
            for carrier in tape::carriers().iter().take(COMMON_CARRIERS) {
                let known = Answers::from([("carrier".to_owned(), Answer::one(carrier.key))]);
                for part in Group::parts_of(&known) {
                    task::idle().await;
                    // The person may have left the checking meanwhile.
                    if self.inner.is_disposed() {
                        return;
                    }
                    self.part(&part);
                }
            }
        });
    }

    fn part(self, part: &Part) -> Option<Element> {
        let made = |put, explain| view! { <Marks part=part.clone() kept=self put explain /> }.into_any();
        self.element(&Shape::of(part), made).0
    }

    /// What is kept of a shape, made if it is not.
    fn element(
        self,
        shape: &Shape,
        make: impl FnOnce(RwSignal<BTreeSet<String>>, RwSignal<bool>) -> AnyView,
    ) -> (Option<Element>, RwSignal<BTreeSet<String>>) {
        let kept = |inner: &Inner| inner.made.get(shape).map(|made| (made.element.clone(), made.put));
        if let Some((element, put)) = self.inner.with_value(kept) {
            return (Some(element), put);
        }
        let owner = self.inner.with_value(|inner| inner.owner.clone());
        owner.with(|| {
            let (put, explain) = (RwSignal::new(BTreeSet::new()), RwSignal::new(false));
            let view = make(put, explain);
            let Some(place) = document::loose("div") else {
                return (None, put);
            };
            let handle = mount_to(place.clone(), move || view);
            let element = place.first_element_child();
            if let Some(element) = element.clone() {
                let made = Made {
                    element,
                    put,
                    explain,
                    _handle: handle,
                };
                self.inner
                    .update_value(|inner| drop(inner.made.insert(shape.clone(), made)));
            }
            (element, put)
        })
    }

    fn press(self, question: &'static Question, key: String) {
        if let Some(press) = self.inner.with_value(|inner| inner.press) {
            press.run((question, key));
        }
    }
}

impl Shape {
    fn of(part: &Part) -> Self {
        Self {
            form: Form::Marks(part.says),
            question: part.question.key,
            choices: part.choices.iter().map(|choice| choice.key.to_owned()).collect(),
        }
    }
}

/// The marks of one question.
#[component]
fn Marks(
    part: Part,
    kept: KeptAnswers,
    put: RwSignal<BTreeSet<String>>,
    explain: RwSignal<bool>,
) -> impl IntoView {
    let store = use_store();
    let question = part.question;
    let mut options: Vec<ChoiceOption> = part
        .choices
        .iter()
        .map(|choice| {
            ChoiceOption::new(choice.key, worded(choice.label))
                .hint(worded(choice.help))
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
            Signal::derive(move || put.with(|put| put.contains(&key)))
        };
        let on_press = move || kept.press(question, key.clone());
        view! { <Chip option tap is_put explain on_press /> }
    };
    let href = move || {
        route_to(
            store.state.get_untracked().survey,
            kept.subject.get(),
            Some(question.key),
        )
        .href()
    };
    view! {
        <section class="marks" class:explained=move || explain.get() aria-label=worded(question.short)>
            <h2>{worded(question.short)}</h2>
            <p class="hint">{worded(question.how)}</p>
            {move || {
                explain.get().then(|| view! {
                    <p class="hint">{worded(question.long)}</p>
                    <Link
                        label=text::alone().to_owned()
                        tap=format!("check-alone-{}", question.key)
                        href=Signal::derive(href)
                    />
                })
            }}
            <div class="chips">{options.into_iter().map(chip).collect_view()}</div>
        </section>
    }
}
