//! Why, and for whom?

use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use super::{Setup, here, next};
use crate::capability::preferences;
use crate::journeys::answer_text;
use crate::store::use_store;
use crate::texts::{common, setup as t};
use crate::ui::{Button, Kind, Page, TextField};

/// The screen. Each field is an answer as soon as it is left.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let title = RwSignal::new(store.state.with_untracked(|state| state.title.clone()));
    let stored =
        |question: &str| RwSignal::new(store.state.with_untracked(|state| answer_text(state, question)));
    let (for_whom, purpose) = (stored("for_whom"), stored("purpose"));
    let person = RwSignal::new(preferences::person());
    let keep = move || {
        let fields = [("title", title), ("for_whom", for_whom), ("purpose", purpose)];
        let answers = fields
            .into_iter()
            .map(|(question, text)| (question, text.get_untracked().trim().to_owned()))
            .filter(|(question, text)| {
                !text.is_empty()
                    || store
                        .state
                        .with_untracked(|s| !answer_text(s, question).is_empty())
            })
            .map(|(question, text)| (question.to_owned(), Answer::Text(text)))
            .collect();
        store.send(Command::AnswerAll {
            subject: Subject::Survey,
            answers,
        });
    };
    let done = Callback::new(move |_: String| keep());
    let action = move || {
        let go_on = move || {
            keep();
            setup.go(&["scope"]);
        };
        view! { <Button label=common::go_on() tap="setup-go-on" kind=Kind::Primary on_press=go_on /> }
    };
    view! {
        <Page title=t::about_title() here=here("about") lead=t::about_lead() next=next("about") action=action>
            <TextField label=t::name() value=title tap="setup-title" on_input=move |text| title.set(text) on_done=done />
            <TextField label=t::for_whom() value=for_whom tap="setup-for-whom" on_input=move |text| for_whom.set(text) on_done=done />
            <TextField
                label=t::purpose()
                hint=t::purpose_hint()
                value=purpose
                tap="setup-purpose"
                on_input=move |text| purpose.set(text)
                on_done=done
            />
            <TextField
                label=t::person()
                hint=t::person_hint()
                value=person
                tap="setup-person"
                autocomplete="name"
                on_input=move |text| {
                    preferences::set_person(text.trim());
                    person.set(text);
                }
            />
        </Page>
    }
}
