//! Two lists to mark: what is in scope, and what is done before the visit.

use std::collections::BTreeSet;

use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use super::{Setup, here, next};
use crate::store::{Store, use_store};
use crate::texts::{common, setup as t, worded};
use crate::ui::{Button, ChoiceOption, Kind, Link, MultiChoice, Page, Panel, Tone};

/// What counts. Everything that may be an only copy is marked until something is answered.
#[component]
pub fn Scope() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let marked = Memo::new(move |_| {
        marked(store, "scope").unwrap_or_else(|| ["originals", "copies"].map(str::to_owned).into())
    });
    let action = move || {
        let go_on = move || {
            send(store, "scope", marked.get_untracked());
            setup.go(&["before"]);
        };
        view! { <Button label=common::go_on() tap="setup-go-on" kind=Kind::Primary on_press=go_on /> }
    };
    view! {
        <Page title=t::scope_title() here=here("scope") lead=t::scope_lead() next=next("scope") action=action>
            <MultiChoice
                legend=t::scope_title()
                hide_legend=true
                options=Signal::stored(options(&t::scope()))
                chosen=marked
                tap="setup-scope"
                on_toggle=move |key| send(store, "scope", toggled(marked.get_untracked(), key))
            />
            <p class="hint">{t::watch_link_why()}</p>
            <Link label=t::watch_link() tap="setup-to-watch-list" kind=Kind::Secondary href=setup.route(&["watch-list"]).href() />
        </Page>
    }
}

/// What is done before the visit, and what keeps people safe.
#[component]
pub fn Before() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let marked = Memo::new(move |_| marked(store, "before").unwrap_or_default());
    let action = move || {
        let go_on = move || setup.go(&["places"]);
        view! { <Button label=common::go_on() tap="setup-go-on" kind=Kind::Primary on_press=go_on /> }
    };
    let cautions = tape::cautions()
        .iter()
        .filter(|caution| caution.for_people)
        .map(|caution| {
            view! {
                <p>
                    <strong>{worded(caution.title)}</strong>
                    " "
                    {worded(caution.text)}
                </p>
            }
        });
    view! {
        <Page title=t::before_title() here=here("before") lead=t::before_lead() next=next("before") action=action>
            <Panel tone=Tone::Caution title=t::people_first()>
                <p>{t::people_text()}</p>
                <details>
                    <summary data-tap="setup-people-more">{t::people_more()}</summary>
                    {cautions.collect_view()}
                </details>
            </Panel>
            <MultiChoice
                legend=t::before_title()
                hide_legend=true
                options=Signal::stored(options(&t::before()))
                chosen=marked
                tap="setup-before"
                on_toggle=move |key| send(store, "before", toggled(marked.get_untracked(), key))
            />
        </Page>
    }
}

fn options(lines: &[(&str, &str, &str)]) -> Vec<ChoiceOption> {
    lines
        .iter()
        .map(|(key, label, hint)| ChoiceOption::new(*key, *label).hint(*hint))
        .collect()
}

fn marked(store: Store, question: &str) -> Option<BTreeSet<String>> {
    store
        .state
        .with(|state| match state.answer(Subject::Survey, question) {
            Some(Answer::Many(keys)) => Some(keys.clone()),
            _ => None,
        })
}

fn toggled(mut marked: BTreeSet<String>, key: String) -> BTreeSet<String> {
    if !marked.remove(&key) {
        marked.insert(key);
    }
    marked
}

fn send(store: Store, question: &str, marked: BTreeSet<String>) {
    let value = Answer::Many(marked);
    store.send(Command::Answer {
        subject: Subject::Survey,
        question: question.to_owned(),
        value,
    });
}
