//! The screen on which one look answers several questions. Nothing is marked beforehand.

use std::collections::BTreeSet;

use leptos::prelude::*;
use survey::photo::Shows;
use survey::{Command, Subject, Way};
use tape::Question;

use super::group::{Group, toggle};
use super::kept::KeptAnswers;
use super::keys;
use super::last_answer::LastAnswer;
use super::photos::Photos;
use crate::capability::document::{self, hold};
use crate::store::use_store;
use crate::texts::check as text;
use crate::ui::{Button, Kind, Link, Page};

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
    let kept: KeptAnswers = expect_context();
    let KeptAnswers { marked, explain, .. } = kept;
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
            kept.clear();
            on_answered();
        }
    };
    kept.on_press(Callback::new(
        move |(question, key): (&'static Question, String)| {
            kept.mark(|marked| toggle(marked, question, &key));
            if group.with_value(|group| marked.with_untracked(|marked| group.is_said(marked))) {
                done();
            }
        },
    ));
    let n_marked = move || marked.with(|marked| marked.values().map(BTreeSet::len).sum::<usize>());
    let label = Signal::derive(move || text::together_done(about, n_marked()));
    let parts = group.with_value(|group| kept.marks(group, subject));
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
                on_press=move || kept.turn_explain()
            />
            <div use:hold=parts></div>
            <Photos subject shows=if about.reads_label() { Shows::Label } else { Shows::Damage } />
        </Page>
    }
}
