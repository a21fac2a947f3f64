//! The report and what goes with it: what is in it, for whom, in whose words; then making it. Every choice is an answer about
//! the survey, so it is undone, merged and carried along like any other.

mod make;
mod words;

use std::collections::BTreeSet;

use handover::report::{self, OPTIONAL, Options};
use leptos::prelude::*;
use survey::{Command, Content, Subject};

use self::make::Make;
pub(super) use self::words::Words;
use self::words::WordsOfSections;
use crate::journeys::UndoOf;
use crate::journeys::earlier::{ChooseEarlier, use_earlier};
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{common, papers as t};
use crate::ui::{ChoiceList, ChoiceOption, Kind, Link, MultiChoice, Page, Panel, Section, TextField, Tone};

/// The options in force, following the state.
fn options(store: Store) -> Options {
    store.state.with(|state| Options::of(state))
}

/// Changes the options, as one answer.
fn change(store: Store, change: impl FnOnce(&mut Options)) {
    let mut options = store.state.with_untracked(|state| Options::of(state));
    change(&mut options);
    store.send(Command::Answer {
        subject: Subject::Survey,
        question: report::QUESTION.to_owned(),
        value: options.answer(),
    });
}

fn to(store: Store, at: &[&str]) -> String {
    Route::to(store.state.get_untracked().survey, Journey::HandOver, at).href()
}

/// Taking back the last change of the options.
#[component]
fn Undo() -> impl IntoView {
    let said_of = |content: &Content| match content {
        Content::Answer { question, .. } if question == report::QUESTION => {
            Some(t::said_options().to_owned())
        }
        _ => None,
    };
    view! { <UndoOf said_of /> }
}

/// The screen.
#[component]
pub(super) fn Papers() -> impl IntoView {
    let store = use_store();
    let earlier = use_earlier();
    let changed = Route::to(store.state.get_untracked().survey, Journey::Results, &["changed"]).href();
    let see = move || {
        let href = changed.clone();
        earlier
            .chosen(store)
            .map(|_| view! { <Link label=t::earlier_see() tap="papers-changed" href=href /> })
    };
    view! {
        <Page
            title=t::title().to_owned()
            here=common::journey(Journey::HandOver).to_owned()
            lead=t::lead().to_owned()
            action=move || {
                view! {
                    <Undo />
                    <Link label=t::back() tap="papers-back" kind=Kind::Secondary href=to(store, &[]) />
                }
            }
        >
            <ForWhom />
            <Sections />
            <Section title=t::about()>
                <Typed label=t::author() tap="papers-author" read=|options| &mut options.author />
                <Typed label=t::qualifications() tap="papers-qualifications" read=|options| &mut options.qualifications />
                <Typed label=t::version() hint=t::version_hint() tap="papers-version" read=|options| &mut options.version />
            </Section>
            <Section title=t::words()>
                <p class="hint">{t::words_hint()}</p>
                <WordsOfSections />
            </Section>
            <Section title=t::earlier()>
                <ChooseEarlier />
                {see}
            </Section>
            <Section title=t::make()>
                <p class="hint">{t::make_hint()}</p>
                <Make />
            </Section>
        </Page>
    }
}

#[component]
fn ForWhom() -> impl IntoView {
    let store = use_store();
    let keys = [("colleagues", false), ("outsiders", true)];
    let lines = vec![
        ChoiceOption::new(keys[0].0, t::for_colleagues()).hint(t::for_colleagues_hint()),
        ChoiceOption::new(keys[1].0, t::for_outsiders()).hint(t::for_outsiders_hint()),
    ];
    let is_closed = Memo::new(move |_| options(store).without_places);
    let chosen = move || {
        let key = keys.iter().find(|(_, closed)| *closed == is_closed.get());
        key.map(|(key, _)| (*key).to_owned())
    };
    let choose = move |key: String| {
        change(store, |options| {
            options.without_places = keys.iter().any(|(known, closed)| *known == key && *closed);
        });
    };
    view! {
        <ChoiceList
            legend=t::for_whom().to_owned()
            options=lines
            chosen=Signal::derive(chosen)
            tap="papers-for"
            on_choose=choose
        />
        <Show when=move || is_closed.get()>
            <Panel tone=Tone::Caution title=t::outsiders_title().to_owned()>
                <p>{t::outsiders_text()}</p>
            </Panel>
        </Show>
    }
}

/// What is in the report.
#[component]
fn Sections() -> impl IntoView {
    let store = use_store();
    let lines: Vec<ChoiceOption> = OPTIONAL
        .iter()
        .map(|(key, _)| ChoiceOption::new(*key, t::section_name(key)))
        .collect();
    let chosen = move || -> BTreeSet<String> {
        let options = options(store);
        let kept = OPTIONAL.iter().filter(|(key, _)| options.has(key));
        kept.map(|(key, _)| (*key).to_owned()).collect()
    };
    let toggle = move |key: String| {
        change(store, |options| {
            if !options.leave_out.remove(&key) {
                options.leave_out.insert(key);
            }
        });
    };
    view! {
        <MultiChoice
            legend=t::sections().to_owned()
            options=lines
            chosen=Signal::derive(chosen)
            tap="papers-section"
            on_toggle=toggle
        />
        <p class="hint">{t::sections_hint()}</p>
    }
}

/// A line of the options, kept when its field is left.
#[component]
fn Typed(
    label: &'static str,
    #[prop(optional)] hint: &'static str,
    tap: &'static str,
    read: fn(&mut Options) -> &mut String,
) -> impl IntoView {
    let store = use_store();
    let in_force = Memo::new(move |_| read(&mut options(store)).clone());
    let typed = RwSignal::new(in_force.get_untracked());
    // What is undone, or comes from another window, takes the place of what stands there.
    Effect::new(move |_| typed.set(in_force.get()));
    let keep = Callback::new(move |text: String| {
        change(store, |options| text.trim().clone_into(read(options)));
    });
    view! {
        <TextField label hint value=typed tap on_input=move |text| typed.set(text) on_done=keep />
    }
}
