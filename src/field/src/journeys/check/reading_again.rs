//! The second reading: a random part of what was read, by another person who does not see the first answers.

use leptos::prelude::*;
use survey::reading::{self, READ, second_key};
use survey::{Command, Subject};
use tape::Answer;

use super::inline::Inline;
use super::last_answer::LastAnswer;
use super::reading::{Large, row, to_again, way};
use crate::capability::{document, preferences, random};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check, common, reading as text};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Link, Page, Panel, TextField, Tone};

const PERCENTS: [u32; 4] = [10, 20, 50, 100];
/// A fifth: enough for a figure where a hundred labels were read.
const USUAL_PERCENT: u32 = 20;

/// The list, and before it the choice of how many.
#[component]
pub fn ToReadAgain() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let survey = store.state.with_untracked(|state| state.survey);
    let is_planned = Memo::new(move |_| store.state.with(|state| state.second_plan().is_some()));
    let waiting = Memo::new(move |_| store.state.with(|state| state.to_read_again()));
    let action = move || {
        let href = Route::to(survey, Journey::Check, &["read"]).href();
        match waiting.with(|waiting| waiting.first().copied()) {
            Some(first) => view! {
                <Link
                    label=text::begin().to_owned()
                    tap="again-begin"
                    kind=Kind::Primary
                    href=to_again(store, first).href()
                />
            }
            .into_any(),
            None => {
                view! { <Link label=text::to_list().to_owned() tap="read-list" kind=Kind::Primary href=href /> }
                    .into_any()
            }
        }
    };
    let body = move || {
        if !is_planned.get() {
            return view! { <Plan /> }.into_any();
        }
        let rows = waiting
            .get()
            .into_iter()
            .map(|subject| row(store, subject, to_again(store, subject)));
        let said = waiting.with(Vec::is_empty).then(|| {
            let none_read = store.state.with(|state| state.chosen_again().is_empty());
            if none_read {
                text::again_none_read()
            } else {
                text::again_empty()
            }
        });
        view! {
            {said.map(|said| view! { <p>{said}</p> })}
            <ul class="rows">{rows.collect_view()}</ul>
        }
        .into_any()
    };
    view! {
        <Page
            title=text::again().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::again_lead().to_owned()
            action=action
        >
            {body}
        </Page>
    }
}

#[component]
fn Plan() -> impl IntoView {
    let store = use_store();
    let percent = RwSignal::new(USUAL_PERCENT);
    let seed = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let fix = move || {
        let typed = seed.get_untracked().trim().to_owned();
        let seed = if typed.is_empty() {
            match random::bits128() {
                Ok(bits) => bits.iter().map(|byte| format!("{byte:02x}")).collect(),
                Err(why) => return trouble.set(Some(why)),
            }
        } else {
            typed
        };
        store.send(Command::AnswerAll {
            subject: Subject::Survey,
            answers: vec![
                (reading::SEED.to_owned(), Answer::Text(seed)),
                (
                    reading::PERCENT.to_owned(),
                    Answer::Number(f64::from(percent.get_untracked())),
                ),
            ],
        });
    };
    let options: Vec<ChoiceOption> = PERCENTS
        .iter()
        .map(|percent| ChoiceOption::new(percent.to_string(), text::percent(*percent)))
        .collect();
    view! {
        <ChoiceList
            legend=text::again_how_many().to_owned()
            options=Signal::stored(options)
            chosen=Signal::derive(move || Some(percent.get().to_string()))
            tap="again-percent"
            on_choose=move |key: String| percent.set(key.parse().unwrap_or(USUAL_PERCENT))
        />
        <TextField
            label=text::again_seed().to_owned()
            hint=text::again_seed_hint().to_owned()
            error=trouble
            value=seed
            tap="again-seed"
            on_input=move |typed| seed.set(typed)
        />
        <Button label=text::again_fix().to_owned() tap="again-fix" on_press=fix />
    }
}

/// One subject, read again.
#[component]
pub fn ReadAgain(subject: Subject) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let survey = store.state.with_untracked(|state| state.survey);
    let person = RwSignal::new(preferences::person());
    let first = store.state.with_untracked(|state| state.first_readers(subject));
    let is_first = move || {
        let now = person.get().trim().to_lowercase();
        first.iter().any(|reader| reader.to_lowercase() == now)
    };
    let may_read = Memo::new(move |_| (!person.with(|name| name.trim().is_empty()), is_first()));
    let questions = Memo::new(move |_| {
        store.state.with(|state| {
            let (asked, _) = state.second_path(subject);
            asked.into_iter().map(|question| question.key).collect::<Vec<_>>()
        })
    });
    let is_open = Memo::new(move |_| {
        may_read.get() != (true, false) || store.state.with(|state| !state.second_path(subject).1)
    });
    let ask = move |key: &'static str| {
        let question = tape::question(key)?;
        let kept_as = second_key(key);
        // Choices by what the second reader has seen, never by what the first one said.
        let known = store.state.with_untracked(|state| {
            let (asked, _) = state.second_path(subject);
            let mut known = state.answers(subject);
            known.retain(|key, _| !asked.iter().any(|question| question.key == key));
            known.extend(state.second_answers(subject));
            known
        });
        let given = {
            let kept_as = kept_as.clone();
            Signal::derive(move || store.state.with(|state| state.answer(subject, &kept_as).cloned()))
        };
        let kept_as = StoredValue::new(kept_as);
        let answer = move |answer: Option<Answer>| {
            let value = answer.unwrap_or_else(|| Answer::many([tape::CANT_TELL]));
            store.send(Command::AnswerBy {
                subject,
                answers: vec![(kept_as.get_value(), value)],
                way: way(store, subject),
            });
        };
        Some(view! { <Inline question known given on_answer=answer /> })
    };
    let body = move || match may_read.get() {
        (false, _) => view! { <p>{text::no_name()}</p> }.into_any(),
        (_, true) => view! {
            <Panel tone=Tone::Caution title=text::same_reader().to_owned() at_once=true>
                <p>{text::same_reader_why()}</p>
            </Panel>
        }
        .into_any(),
        (true, false) => view! {
            <p class="hint">{text::blind()}</p>
            <Large subject />
            {move || questions.get().into_iter().map(ask).collect_view()}
        }
        .into_any(),
    };
    let next = move || {
        store.send(Command::AnswerBy {
            subject,
            answers: vec![(second_key(READ), Answer::one("yes"))],
            way: way(store, subject),
        });
        let waiting = store.state.with_untracked(|state| state.to_read_again());
        match waiting.first() {
            Some(next) => to_again(store, *next).go(),
            None => Route::to(survey, Journey::Check, &["again"]).go(),
        }
    };
    let is_last = move || {
        store
            .state
            .with(|state| state.to_read_again().iter().all(|other| *other == subject))
    };
    let label = Signal::derive(move || {
        if is_last() {
            text::read_last()
        } else {
            text::read_next()
        }
        .to_owned()
    });
    let list = Route::to(survey, Journey::Check, &["again"]).href();
    view! {
        <Page
            title=text::of(subject)
            here=text::again().to_owned()
            action=move || {
                view! {
                    <LastAnswer stay=true />
                    <Button label=label tap="again-next" kind=Kind::Primary disabled=is_open on_press=next />
                }
            }
        >
            <TextField
                label=text::who().to_owned()
                hint=text::who_hint().to_owned()
                value=person
                tap="again-who"
                on_input=move |name: String| {
                    preferences::set_person(name.trim());
                    person.set(name);
                }
            />
            {body}
            <p>
                <Link label=check::back().to_owned() tap="again-list" kind=Kind::Quiet href=list.clone() />
            </p>
        </Page>
    }
}
