//! The device itself: ready for no signal, who holds it, how it looks.

mod trial;

use leptos::prelude::*;

use self::trial::Trial;
use crate::app::{Readiness, Spoken};
use crate::capability::preferences::{self, Hand, Lengths, Scheme};
use crate::capability::storage_state::{self, Promise, Room};
use crate::capability::{document, navigation, task};
use crate::texts::{Language, device as t};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Page, Section, TextField};

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let person = RwSignal::new(preferences::person());
    let name = RwSignal::new(preferences::device_name());
    let back = || view! { <Button label=t::done() tap="device-done" kind=Kind::Primary on_press=navigation::back /> };
    view! {
        <Page title=t::title() lead=t::lead() action=back>
            <Section title=t::ready()>
                <ReadyLines />
                <Trial />
            </Section>
            <Section title=t::who()>
                <TextField
                    label=t::person()
                    hint=t::person_hint()
                    value=person
                    tap="device-person"
                    autocomplete="name"
                    on_input=move |text| {
                        preferences::set_person(text.trim());
                        person.set(text);
                    }
                />
                <TextField
                    label=t::device_name()
                    hint=t::device_name_hint()
                    value=name
                    tap="device-name"
                    on_input=move |text| {
                        preferences::set_device_name(text.trim());
                        name.set(text);
                    }
                />
            </Section>
            <Section title=t::language()>
                <LanguageChoice />
            </Section>
            <Section title=t::scheme_title()>
                <SchemeChoice />
            </Section>
            <Section title=t::hand_title()>
                <HandChoice />
            </Section>
            <Section title=t::lengths_title()>
                <LengthsChoice />
            </Section>
        </Page>
    }
}

/// Whether the app starts without a network, and how firmly the browser keeps the data.
#[component]
pub fn ReadyLines() -> impl IntoView {
    let Readiness(offline) = expect_context();
    let (promise, set_promise) = signal(None::<Promise>);
    let (room, set_room) = signal(None::<Room>);
    task::spawn(async move {
        set_promise.set(Some(storage_state::promise().await));
        set_room.set(storage_state::room().await);
    });
    let ask = move || task::spawn(async move { set_promise.set(Some(storage_state::ask_to_keep().await)) });
    view! {
        <ul class="lines" aria-live="polite">
            <li data-tap="offline-state">{move || offline.get().map(|state| t::offline(&state))}</li>
            <li data-tap="storage-promise">{move || promise.get().map(t::promise)}</li>
            {move || room.get().map(|room| view! { <li>{t::room(room)}</li> })}
        </ul>
        {move || {
            (promise.get() == Some(Promise::WhileRoom))
                .then(|| view! { <Button label=t::keep() tap="storage-keep" on_press=ask /> })
        }}
    }
}

#[component]
fn SchemeChoice() -> impl IntoView {
    let key = |scheme: Scheme| scheme.name().unwrap_or("device").to_owned();
    let chosen = RwSignal::new(preferences::scheme());
    let options: Vec<ChoiceOption> = Scheme::ALL
        .into_iter()
        .map(|scheme| {
            let (label, hint) = t::scheme(scheme);
            ChoiceOption::new(key(scheme), label).hint(hint)
        })
        .collect();
    let choose = move |name: String| {
        let scheme = Scheme::ALL
            .into_iter()
            .find(|scheme| key(*scheme) == name)
            .unwrap_or_default();
        preferences::set_scheme(scheme);
        document::set_scheme(scheme.name());
        chosen.set(scheme);
    };
    view! {
        <ChoiceList
            legend=t::scheme_title()
            hide_legend=true
            options=Signal::stored(options)
            chosen=Signal::derive(move || Some(key(chosen.get())))
            tap="scheme"
            on_choose=choose
        />
    }
}

#[component]
fn LanguageChoice() -> impl IntoView {
    let spoken: Spoken = expect_context();
    let options: Vec<ChoiceOption> = Language::all()
        .map(|language| ChoiceOption::new(language.code(), language.own_name()))
        .collect();
    let choose = move |code: String| {
        if let Some(language) = Language::of(&code) {
            spoken.choose(language);
            // The screen is made anew: without this the focus would be lost.
            document::focus_after_paint(
                "[data-tap^='language-'][aria-checked='true'], [data-tap^='language-']:checked",
            );
        }
    };
    view! {
        <ChoiceList
            legend=t::language()
            hide_legend=true
            options=Signal::stored(options)
            chosen=Signal::derive(move || Some(spoken.get().code().to_owned()))
            tap="language"
            on_choose=choose
        />
        <p class="hint">{t::language_hint()}</p>
    }
}

#[component]
fn HandChoice() -> impl IntoView {
    let chosen = RwSignal::new(preferences::hand());
    let options: Vec<ChoiceOption> = Hand::ALL
        .into_iter()
        .map(|hand| ChoiceOption::new(hand.name(), t::hand(hand)))
        .collect();
    let choose = move |name: String| {
        let hand = Hand::from_name(&name);
        preferences::set_hand(hand);
        document::set_hand(hand.name());
        chosen.set(hand);
    };
    view! {
        <ChoiceList
            legend=t::hand_title()
            hide_legend=true
            options=Signal::stored(options)
            chosen=Signal::derive(move || Some(chosen.get().name().to_owned()))
            tap="hand"
            on_choose=choose
        />
    }
}

#[component]
fn LengthsChoice() -> impl IntoView {
    let chosen = RwSignal::new(preferences::lengths());
    let options: Vec<ChoiceOption> = Lengths::ALL
        .into_iter()
        .map(|lengths| ChoiceOption::new(lengths.name(), t::lengths(lengths)))
        .collect();
    let choose = move |name: String| {
        let lengths = Lengths::from_name(&name);
        preferences::set_lengths(lengths);
        chosen.set(lengths);
    };
    view! {
        <ChoiceList
            legend=t::lengths_title()
            hide_legend=true
            options=Signal::stored(options)
            chosen=Signal::derive(move || Some(chosen.get().name().to_owned()))
            tap="lengths"
            on_choose=choose
        />
        <p class="hint">{t::lengths_hint()}</p>
    }
}
