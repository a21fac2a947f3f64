//! The screen on which one look answers several questions. Nothing is marked beforehand.

use std::collections::BTreeSet;

use leptos::prelude::*;
use survey::photo::Shows;
use survey::{Command, Subject, Way};
use tape::{CANT_TELL, PHOTOGRAPHED, Question};

use super::group::{Group, Marked, Part, toggle};
use super::keys;
use super::last_answer::LastAnswer;
use super::photos::Photos;
use super::route_to;
use crate::capability::document;
use crate::drawings;
use crate::store::use_store;
use crate::texts::{check as text, worded};
use crate::ui::{Button, Chip, ChoiceOption, Kind, Link, Page};

/// The screen.
#[component]
pub fn Together(
    subject: Subject,
    group: Group,
    /// What is marked; it outlives the screen where a shortcut answers a part of it.
    marked: RwSignal<Marked>,
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
    let explain = RwSignal::new(false);
    let done = move || {
        let answers = group.with_value(|group| group.answers(&marked.get_untracked()));
        store.send(if about.sees_signs() {
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
            marked.set(Marked::new());
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
    let label = Signal::derive(move || text::together_done(about, n_marked()));
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
                        <Button label=label tap=if about.reads_label() { "check-done" } else { "check-quick-look" } kind=Kind::Primary on_press=done />
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
            <Photos subject shows=if about.reads_label() { Shows::Label } else { Shows::Damage } />
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
            Signal::derive(move || {
                marked.with(|marked| marked.get(question.key).is_some_and(|marks| marks.contains(&key)))
            })
        };
        let on_press = move || press.run((question, key.clone()));
        view! { <Chip option tap is_put explain on_press /> }
    };
    let href = route_to(store.state.get_untracked().survey, subject, Some(question.key)).href();
    view! {
        <section class="marks" class:explained=move || explain.get() aria-label=worded(question.short)>
            <h2>{worded(question.short)}</h2>
            <p class="hint">{worded(question.how)}</p>
            {move || {
                let href = href.clone();
                explain.get().then(|| view! {
                    <p class="hint">{worded(question.long)}</p>
                    <Link label=text::alone().to_owned() tap=format!("check-alone-{}", question.key) href=href />
                })
            }}
            <div class="chips">{options.into_iter().map(chip).collect_view()}</div>
        </section>
    }
}
