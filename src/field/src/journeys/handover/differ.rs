//! What does not agree: both values of each pair, who, when, what counts now; one tap chooses the other.

use std::sync::Arc;

use leptos::prelude::*;
use survey::decide::last_undoable;
use survey::differ::{Conflict, Differences, Look, Settled, Twins};
use survey::{Command, Content, Entry, EntryId, Subject, Way};
use tape::Answer;

use super::also::Also;
use crate::capability::{clock, document, preferences};
use crate::journeys::check::answer_text;
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{check, common, differ as t};
use crate::ui::{Button, Kind, Link, Page, Section, UndoBar};

/// How many conflicts are shown at once: a long list of questions is answered from its beginning.
const SHOWN: usize = 40;

/// What there is to see, made anew whenever the survey changes.
pub(super) type Told = Memo<Arc<Differences>>;

/// The screen.
#[component]
pub(super) fn Differ() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let told: Told = Memo::new(move |_| {
        let state = store.state.get();
        Arc::new(Differences::of(&store.log(), &state))
    });
    Effect::new(move |_| {
        store
            .state
            .with(|state| preferences::set_differs(state.survey, state.n_differences()));
    });
    let lead = move || {
        told.with(|told| {
            if told.is_empty() {
                t::lead_none()
            } else {
                t::lead()
            }
        })
        .to_owned()
    };
    let back = move || Route::to(store.state.get().survey, Journey::HandOver, &[]).href();
    view! {
        <Page
            title=t::title().to_owned()
            here=common::journey(Journey::HandOver).to_owned()
            lead=Signal::derive(lead)
            action=move || {
                view! {
                    <LastChoice />
                    <Link label=t::back() tap="differ-back" kind=Kind::Secondary href=Signal::derive(back) />
                }
            }
        >
            <Conflicts told /> <Backups told /> <Also told /> <Choices told />
        </Page>
    }
}

/// What was chosen last in this window, and taking it back.
#[component]
fn LastChoice() -> impl IntoView {
    let store = use_store();
    let said = Memo::new(move |_| {
        let state = store.state.get();
        let log = store.log();
        let last = last_undoable(&log, &state, store.writer)?;
        match log.entry(last)?.content() {
            Content::Answer {
                question,
                value,
                origin,
                ..
            } if matches!(Way::read(&origin.from), Some(Way::Chosen(_))) => {
                Some(t::chose_this(t::question(question), answer(question, value)))
            }
            _ => None,
        }
    });
    let undo = move || {
        store.undo_last();
        document::focus_after_paint("#main-heading");
    };
    view! { <UndoBar said label=t::undo() tap="differ-undo" on_undo=undo /> }
}

#[component]
fn Conflicts(told: Told) -> impl IntoView {
    let store = use_store();
    let shown = move || {
        let told = told.get();
        if told.conflicts.is_empty() {
            return ().into_any();
        }
        let hidden = told.conflicts.len().saturating_sub(SHOWN);
        let each = told
            .conflicts
            .iter()
            .take(SHOWN)
            .map(|conflict| view_conflict(store, conflict))
            .collect_view();
        view! {
            <Section title=t::answers()>
                <p class="hint">{t::answers_text()}</p>
                <ul class="plain-list">{each}</ul>
                {(hidden > 0).then(|| view! { <p class="hint">{t::more(hidden)}</p> })}
            </Section>
        }
        .into_any()
    };
    view! { {shown} }
}

fn view_conflict(store: Store, conflict: &Conflict) -> impl IntoView + use<> {
    let heading = t::question(&conflict.question);
    let about = store
        .state
        .with_untracked(|state| t::subject(conflict.subject, state));
    let looks = conflict.looks.iter().enumerate().map(|(index, look)| {
        let tap = tap_of(conflict.subject, &conflict.question, index);
        let command = choice(conflict.subject, &conflict.question, look.entry, &look.value);
        let said = answer(&conflict.question, &look.value);
        view_value(store, said, who_when(look), index == 0, tap, command)
    });
    let looks = looks.collect_view();
    view! {
        <li class="differ">
            <p class="differ-about">{about}</p>
            <h3 class="differ-question">{heading}</h3>
            <ul class="differ-values">{looks}</ul>
        </li>
    }
}

/// One of two values: what, who, when, and the tap that lets it count.
fn view_value(
    store: Store,
    said: String,
    about: String,
    counts: bool,
    tap: String,
    command: Command,
) -> impl IntoView + use<> {
    let class = if counts {
        "differ-value counts"
    } else {
        "differ-value"
    };
    let named = check::said(t::choose(), &said);
    let press = move || {
        store.send(command.clone());
        // The button is gone with what it settled.
        document::focus_after_paint("[data-tap=differ-undo]");
    };
    view! {
        <li class=class>
            <div class="differ-said">
                <p><strong>{said}</strong></p>
                <p class="small">{about}</p>
                {counts.then(|| view! { <p class="small differ-counts">{t::counts()}</p> })}
            </div>
            <Button label=t::choose() tap=tap kind=Kind::Secondary aria_label=named on_press=press />
        </li>
    }
}

/// Entries that share a number, as after a restored backup.
#[component]
fn Backups(told: Told) -> impl IntoView {
    let store = use_store();
    let shown = move || {
        let told = told.get();
        if told.twins.is_empty() {
            return ().into_any();
        }
        let hidden = told.twins.len().saturating_sub(SHOWN);
        let each = told
            .twins
            .iter()
            .take(SHOWN)
            .map(|twins| view_twins(store, twins))
            .collect_view();
        view! {
            <Section title=t::twins()>
                <p class="hint">{t::twins_text()}</p>
                <ul class="plain-list">{each}</ul>
                {(hidden > 0).then(|| view! { <p class="hint">{t::more(hidden)}</p> })}
            </Section>
        }
        .into_any()
    };
    view! { {shown} }
}

fn view_twins(store: Store, twins: &Twins) -> impl IntoView + use<> {
    let who = t::who(&twins.who).to_owned();
    let about = match twins.stands.content() {
        Content::Answer { subject, .. } | Content::Photo { subject, .. } => {
            store.state.with_untracked(|state| t::subject(*subject, state))
        }
        _ => who.clone(),
    };
    let all = std::iter::once(&twins.stands).chain(&twins.others);
    let values = all.enumerate().map(|(index, entry)| {
        let about = t::who_when(&who, clock::day_and_time(entry.at_ms));
        match entry.content() {
            Content::Answer {
                subject,
                question,
                value,
                ..
            } => {
                let heads = store
                    .state
                    .with_untracked(|state| state.answer(*subject, question).cloned());
                let said = check::said(t::question(question), answer(question, value));
                let tap = format!("differ-twin-{}-{index}", twins.id);
                let command = choice(*subject, question, entry.id, value);
                view_value(store, said, about, heads.as_ref() == Some(value), tap, command).into_any()
            }
            _ => view_other(entry, about, index == 0).into_any(),
        }
    });
    let values = values.collect_view();
    view! {
        <li class="differ">
            <p class="differ-about">{about}</p>
            <ul class="differ-values">{values}</ul>
        </li>
    }
}

/// An entry that is no answer: told, and nothing to choose.
fn view_other(entry: &Entry, about: String, counts: bool) -> impl IntoView + use<> {
    let said = match entry.content() {
        Content::Undo { .. } => t::twin_undo(),
        Content::Photo { .. } => t::twin_photo(),
        _ => t::twin_other(),
    };
    view! {
        <li class="differ-value">
            <div class="differ-said">
                <p><strong>{said}</strong></p>
                <p class="small">{about}</p>
                {counts.then(|| view! { <p class="small differ-counts">{t::counts()}</p> })}
            </div>
        </li>
    }
}

/// What was chosen, by whomever, and opening it again.
#[component]
fn Choices(told: Told) -> impl IntoView {
    let store = use_store();
    let shown = move || {
        let told = told.get();
        if told.settled.is_empty() {
            return ().into_any();
        }
        let each = told
            .settled
            .iter()
            .map(|settled| view_settled(store, settled))
            .collect_view();
        view! {
            <Section title=t::settled()>
                <ul class="lines">{each}</ul>
            </Section>
        }
        .into_any()
    };
    view! { {shown} }
}

fn view_settled(store: Store, settled: &Settled) -> impl IntoView + use<> {
    let about = store
        .state
        .with_untracked(|state| t::subject(settled.subject, state));
    let said = t::settled_line(
        t::question(&settled.question),
        answer(&settled.question, &settled.choice.value),
        t::who(&settled.choice.who),
    );
    let before: Vec<String> = settled
        .looks
        .iter()
        .map(|look| t::said_by(t::who(&look.who), answer(&settled.question, &look.value)))
        .collect();
    let choice = settled.choice.entry;
    let tap = format!("differ-open-{choice}");
    let named = check::said(t::take_back(), &said);
    let open = move || {
        store.send(Command::Undo(choice));
        document::focus_after_paint("#main-heading");
    };
    view! {
        <li>
            <p class="differ-about">{about}</p>
            <p>{said}</p>
            <p class="small">{before.join(" / ")}</p>
            <Button label=t::take_back() tap=tap kind=Kind::Quiet aria_label=named on_press=open />
        </li>
    }
}

fn choice(subject: Subject, question: &str, chosen: EntryId, value: &Answer) -> Command {
    Command::Choose {
        subject,
        question: question.to_owned(),
        chosen,
        value: value.clone(),
    }
}

/// An answer in words; a table that somebody typed is cut.
pub(super) fn answer(question: &str, value: &Answer) -> String {
    let words = answer_text(survey::reading::first_key(question), value);
    if words.is_empty() {
        return check::nothing().to_owned();
    }
    let mut shown: String = words.chars().take(120).collect();
    if shown.len() < words.len() {
        shown.push('…');
    }
    shown
}

fn who_when(look: &Look) -> String {
    t::who_when(t::who(&look.who), clock::day_and_time(look.at_ms))
}

fn tap_of(subject: Subject, question: &str, index: usize) -> String {
    let about = format!("{subject}-{question}").replace([' ', '/'], "-");
    format!("differ-choose-{about}-{index}")
}
