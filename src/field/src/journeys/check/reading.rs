//! The evening's work: what was photographed in the day is read, one a screen.

use std::collections::BTreeSet;

use leptos::prelude::*;
use survey::reading::{READ, WRITTEN, recent_texts};
use survey::{Command, Subject, Way};
use tape::{Answer, PHOTOGRAPHED, Question};

use super::box_check::place_name;
use super::inline::Inline;
use super::last_answer::LastAnswer;
use super::photos::Picture;
use super::{again_route, read_route};
use crate::capability::document;
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{check, common, photos, reading as text};
use crate::ui::{Button, Kind, Link, Page, Section, TextField};

/// How many earlier texts are offered to tap.
const RECENT: usize = 4;

/// The list.
#[component]
pub fn ToRead() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let waiting = Memo::new(move |_| store.state.with(|state| state.to_read()));
    let survey = store.state.with_untracked(|state| state.survey);
    let rows = move || {
        let rows = waiting
            .get()
            .into_iter()
            .map(|subject| row(store, subject, read_route(survey, subject)));
        rows.collect_view()
    };
    let action = move || match waiting.with(|waiting| waiting.first().copied()) {
        Some(first) => view! {
            <Link
                label=text::begin().to_owned()
                tap="read-begin"
                kind=Kind::Primary
                href=read_route(survey, first).href()
            />
        }
        .into_any(),
        None => view! {
            <Link
                label=check::to_round().to_owned()
                tap="check-to-round"
                kind=Kind::Primary
                href=Route::to(survey, Journey::Check, &[]).href()
            />
        }
        .into_any(),
    };
    let again = Route::to(survey, Journey::Check, &["again"]).href();
    view! {
        <Page
            title=text::title().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::lead().to_owned()
            action=action
        >
            <Show when=move || waiting.with(Vec::is_empty)>
                <p>{text::empty()}</p>
            </Show>
            <ul class="rows">{rows}</ul>
            <p>
                <Link label=text::again().to_owned() tap="read-to-again" href=again />
            </p>
        </Page>
    }
}

/// A subject in a list.
pub fn row(store: Store, subject: Subject, to: Route) -> impl IntoView + use<> {
    let place = match subject {
        Subject::Item(item) => store.state.with_untracked(|state| place_name(state, item.serial)),
        Subject::Box(serial) => store.state.with_untracked(|state| place_name(state, serial)),
        _ => String::new(),
    };
    let tap = format!("read-{}", subject.to_string().replace([' ', '/'], "-"));
    view! {
        <li>
            <a class="row row-link" data-tap=tap href=to.href()>
                <span class="row-name">{text::of(subject)}</span>
                <span class="row-more">{place}</span>
            </a>
        </li>
    }
}

/// The photographs of a subject, large.
#[component]
pub fn Large(subject: Subject) -> impl IntoView {
    let store = use_store();
    let taken = store
        .state
        .with_untracked(|state| state.photos_of(subject).cloned().collect::<Vec<_>>());
    if taken.is_empty() {
        return view! { <p class="hint">{text::no_photo()}</p> }.into_any();
    }
    let pictures = taken.into_iter().enumerate().map(|(index, taken)| {
        view! {
            <div class="photo-large">
                <Picture sha256=taken.photo.sha256.clone() alt=photos::one(index + 1, taken.photo.shows) />
            </div>
        }
    });
    pictures.collect_view().into_any()
}

/// By which photograph an answer is read: the first of writing, else the first.
pub fn way(store: Store, subject: Subject) -> Way {
    store.state.with_untracked(|state| {
        let mut taken: Vec<_> = state.photos_of(subject).collect();
        taken.sort_by_key(|taken| taken.photo.shows);
        Way::Photo(
            taken
                .first()
                .map(|taken| taken.photo.sha256.clone())
                .unwrap_or_default(),
        )
    })
}

/// One subject.
#[component]
pub fn Read(subject: Subject) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let survey = store.state.with_untracked(|state| state.survey);
    // A question stays on the screen once it was there, answered or not.
    let shown = StoredValue::new(BTreeSet::<&'static str>::new());
    let questions = Memo::new(move |_| {
        let state = store.state.get();
        let answers = state.answers(subject);
        let path = match subject {
            Subject::Item(item) => state.item_path(item),
            Subject::Box(serial) => state.box_path(serial),
            _ => return Vec::new(),
        };
        let put_off = |question: &&'static Question| {
            let answer = answers.get(question.key);
            answer.is_some_and(|answer| answer.has(PHOTOGRAPHED))
                || shown.with_value(|shown| shown.contains(question.key))
                // What the reading itself opens: the speed, once the label was found to tell it.
                || (answer.is_none() && !question.optional && shown.with_value(|shown| !shown.is_empty()))
        };
        let asked: Vec<&'static Question> = path.asked.into_iter().filter(put_off).collect();
        shown.update_value(|shown| shown.extend(asked.iter().map(|question| question.key)));
        asked
            .into_iter()
            .map(|question| question.key)
            .collect::<Vec<&'static str>>()
    });
    let is_open = Memo::new(move |_| {
        store.state.with(|state| {
            !state.put_off(subject).is_empty()
                || questions.with(|keys| keys.iter().any(|key| state.answer(subject, key).is_none()))
        })
    });
    let ask = move |key: &'static str| {
        let question = tape::question(key)?;
        let known = store.state.with_untracked(|state| known(state, subject));
        let given = Signal::derive(move || store.state.with(|state| state.answer(subject, key).cloned()));
        let answer = move |answer: Option<Answer>| {
            let value = answer.unwrap_or_else(|| Answer::many([PHOTOGRAPHED]));
            store.send(Command::AnswerBy {
                subject,
                answers: vec![(key.to_owned(), value)],
                way: way(store, subject),
            });
        };
        Some(view! { <Inline question known given on_answer=answer /> })
    };
    let inline = move || questions.get().into_iter().map(ask).collect_view();
    let next = move || {
        store.send(Command::AnswerBy {
            subject,
            answers: vec![(READ.to_owned(), Answer::one("yes"))],
            way: way(store, subject),
        });
        let waiting = store.state.with_untracked(|state| state.to_read());
        match waiting.first() {
            Some(next) => read_route(survey, *next).go(),
            None => Route::to(survey, Journey::Check, &["read"]).go(),
        }
    };
    let is_last = move || {
        store
            .state
            .with(|state| state.to_read().iter().all(|other| *other == subject))
    };
    let label = Signal::derive(move || {
        if is_last() {
            text::read_last()
        } else {
            text::read_next()
        }
        .to_owned()
    });
    let list = Route::to(survey, Journey::Check, &["read"]).href();
    view! {
        <Page
            title=text::of(subject)
            here=text::title().to_owned()
            action=move || {
                view! {
                    <LastAnswer stay=true />
                    <Show when=move || is_open.get()>
                        <p class="next">{text::still_open()}</p>
                    </Show>
                    <Button label=label tap="read-next" kind=Kind::Primary disabled=is_open on_press=next />
                }
            }
        >
            <Large subject />
            {inline}
            <Section title=text::written_title().to_owned()>
                <p class="hint">{text::written_hint()}</p>
                {WRITTEN.map(|key| view! { <Written subject key /> }).collect_view()}
            </Section>
            <p>
                <Link label=text::to_list().to_owned() tap="read-list" kind=Kind::Quiet href=list.clone() />
            </p>
        </Page>
    }
}

/// What is known of a subject and the box it is in.
fn known(state: &survey::State, subject: Subject) -> tape::Answers {
    let mut known = match subject {
        Subject::Item(item) => state.answers(Subject::Box(item.serial)),
        _ => tape::Answers::new(),
    };
    known.extend(state.answers(subject));
    known
}

/// A line copied from the label, with what was written before to tap.
#[component]
fn Written(subject: Subject, key: &'static str) -> impl IntoView {
    let store = use_store();
    let said = move |state: &std::sync::Arc<survey::State>| match state.answer(subject, key) {
        Some(Answer::Text(text)) => text.clone(),
        _ => String::new(),
    };
    let typed = RwSignal::new(store.state.with_untracked(said));
    // An undo, or a tap on an earlier text, is seen in the field too.
    Effect::new(move |_| typed.set(store.state.with(said)));
    let keep = move |text: String| {
        let text = text.trim().to_owned();
        if store.state.with_untracked(said) != text {
            store.send(Command::AnswerBy {
                subject,
                answers: vec![(key.to_owned(), Answer::Text(text))],
                way: way(store, subject),
            });
        }
    };
    let offers = store
        .state
        .with_untracked(|state| recent_texts(state, key, RECENT));
    let buttons = offers.into_iter().enumerate().map(|(index, offered)| {
        let label = offered.clone();
        view! {
            <Button
                label=label
                tap=format!("read-{key}-recent-{index}")
                kind=Kind::Secondary
                aria_label=format!("{}: {offered}", text::before())
                on_press=move || keep(offered.clone())
            />
        }
    });
    view! {
        <TextField
            label=text::written(key).to_owned()
            value=typed
            tap=format!("read-{key}")
            on_input=move |text| typed.set(text)
            on_done=Callback::new(keep)
        />
        <div class="offers-line">{buttons.collect_view()}</div>
    }
}

/// The way to the second reading of a subject.
pub fn to_again(store: Store, subject: Subject) -> Route {
    again_route(store.state.with_untracked(|state| state.survey), subject)
}
