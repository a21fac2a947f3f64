//! One place: its boxes counted along the shelf, each with a serial to pencil on a slip and how full it looks.

use leptos::prelude::*;
use survey::decide::BoxToList;
use survey::{Command, PlaceKey, Serial, State, Subject};
use tape::{Answer, Choice};

use super::{Setup, here};
use crate::journeys::Undo;
use crate::store::{Store, use_store};
use crate::texts::{setup as t, worded};
use crate::ui::{Button, Fullness, Kind, Link, NumberStepper, Page, Panel, Section, TextField};

/// How many boxes are shown before more are asked for: a long shelf would make every tap slow.
const SHOWN: usize = 12;
/// The most boxes one tap adds: as many as one entry lists, so that one undo takes them all back.
const SEVERAL: u32 = 1_000;
const _: () = assert!(SEVERAL as usize <= survey::format::MAX_BOXES_PER_ENTRY);

/// The question of how full a box looks.
const FULLNESS: &str = "fullness";

/// Its steps, from a quarter to full.
fn fullness_steps() -> &'static [Choice] {
    tape::question(FULLNESS).map_or(&[], |question| question.choices)
}

fn fullness_labels() -> Vec<String> {
    fullness_steps()
        .iter()
        .map(|step| worded(step.label).to_owned())
        .collect()
}

/// The screen.
#[component]
pub fn View(
    /// The place's key as it stands in the address.
    key: String,
) -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let place = key
        .parse::<PlaceKey>()
        .ok()
        .filter(|key| store.state.with_untracked(|state| state.places.contains_key(key)));
    match place {
        Some(place) => view! { <Count place /> }.into_any(),
        None => view! {
            <Page title=t::place_gone()>
                <Link label=t::back_to_places() tap="setup-other-places" kind=Kind::Primary href=setup.route(&["boxes"]).href() />
            </Page>
        }
        .into_any(),
    }
}

#[component]
fn Count(place: PlaceKey) -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let name = Memo::new(move |_| {
        store.state.with(|state| {
            state
                .places
                .get(&place)
                .map(|p| p.name.clone())
                .unwrap_or_default()
        })
    });
    let closed = Memo::new(move |_| store.state.with(|state| state.frame.is_some()));
    let action = move || {
        view! {
            <Undo />
            <Button label=t::one_more() tap="setup-one-more" kind=Kind::Primary on_press=move || add(store, place, vec![BoxToList::default()]) />
        }
    };
    view! {
        <Page title=name here=here("boxes") lead=t::count_lead() action=action>
            {move || closed.get().then(|| view! { <Panel title=t::late()><p>{t::late_text()}</p></Panel> })}
            <Listed place />
            <Several place />
            <AsFound place />
            <Link label=t::back_to_places() tap="setup-other-places" kind=Kind::Secondary href=setup.route(&["boxes"]).href() />
        </Page>
    }
}

fn add(store: Store, place: PlaceKey, boxes: Vec<BoxToList>) {
    store.send(Command::AddBoxes { place, boxes });
}

fn serials(state: &State, place: PlaceKey) -> Vec<Serial> {
    let here = state.boxes.iter().filter(|(_, listed)| listed.place == place);
    here.map(|(serial, _)| *serial).collect()
}

/// The boxes here, the last one first: it is the one in hand.
#[component]
fn Listed(place: PlaceKey) -> impl IntoView {
    let store = use_store();
    let shown = RwSignal::new(SHOWN);
    let here = Memo::new(move |_| store.state.with(|state| serials(state, place)));
    let visible = move || here.with(|all| all.iter().rev().take(shown.get()).copied().collect::<Vec<_>>());
    let hidden = move || here.with(Vec::len).saturating_sub(shown.get());
    view! {
        <Section title=Signal::derive(move || format!("{}: {}", t::listed(), here.with(Vec::len)))>
            <p class="quiet">{t::how_full()}</p>
            <ul class="boxes">
                <For each=visible key=ToString::to_string let:serial>
                    <BoxLine serial />
                </For>
            </ul>
            {move || {
                (hidden() > 0)
                    .then(|| view! {
                        <Button
                            label=t::show_all(hidden().min(200))
                            tap="setup-show-more"
                            kind=Kind::Quiet
                            on_press=move || shown.update(|shown| *shown += 200)
                        />
                    })
            }}
        </Section>
    }
}

/// One box: its serial large enough to copy, what is written on it, how full it looks.
#[component]
fn BoxLine(serial: Serial) -> impl IntoView {
    let store = use_store();
    let quarters = Memo::new(move |_| store.state.with(|state| state.quarters(serial)));
    let label = Memo::new(move |_| {
        store.state.with(|state| {
            state
                .boxes
                .get(&serial)
                .map(|listed| listed.label.clone())
                .unwrap_or_default()
        })
    });
    let open = Memo::new(move |_| store.state.with(|state| state.frame.is_none()));
    let fill = move |quarters: u8| {
        let Some(step) = fullness_steps().get(usize::from(quarters).saturating_sub(1)) else {
            return;
        };
        let (subject, value) = (Subject::Box(serial), Answer::one(step.key));
        store.send(Command::Answer {
            subject,
            question: FULLNESS.to_owned(),
            value,
        });
    };
    view! {
        <li class="box-line">
            <span class="box-name">
                <strong class="serial">{serial.to_string()}</strong>
                <span class="box-label">{label}</span>
            </span>
            <Fullness
                legend=t::fullness_of(serial.to_string())
                labels=fullness_labels()
                quarters
                tap=format!("setup-full-{serial}")
                on_choose=fill
            />
            {move || {
                open.get()
                    .then(|| view! {
                        <Button
                            label="\u{00d7}"
                            aria_label=t::take_off(serial.to_string())
                            tap=format!("setup-take-off-{serial}")
                            kind=Kind::Quiet
                            on_press=move || store.send(Command::Withdraw(serial))
                        />
                    })
            }}
        </li>
    }
}

/// A long shelf in one go.
#[component]
fn Several(place: PlaceKey) -> impl IntoView {
    let store = use_store();
    let count = RwSignal::new(10u32);
    let add_all = move || {
        add(
            store,
            place,
            vec![BoxToList::default(); count.get_untracked() as usize],
        );
    };
    view! {
        <details class="more">
            <summary data-tap="setup-several-open">{t::several()}</summary>
            <NumberStepper
                label=t::how_many()
                hint=t::several_hint()
                value=Signal::derive(move || Some(count.get()))
                least=1
                most=SEVERAL
                tap="setup-several"
                less=t::fewer()
                more=t::more()
                on_change=move |number| count.set(number)
            />
            <Button label=Signal::derive(move || t::add_several(count.get())) tap="setup-several-add" on_press=add_all />
        </details>
    }
}

/// A box with something written on it.
#[component]
fn AsFound(place: PlaceKey) -> impl IntoView {
    let store = use_store();
    let label = RwSignal::new(String::new());
    let quarters = RwSignal::new(None::<u8>);
    let add_it = move || {
        if label.with_untracked(|label| label.trim().is_empty()) {
            return;
        }
        let listed = BoxToList {
            label: label.get_untracked().trim().to_owned(),
            quarters: quarters.get_untracked(),
            ..BoxToList::default()
        };
        add(store, place, vec![listed]);
        label.set(String::new());
        quarters.set(None);
    };
    view! {
        <details class="more">
            <summary data-tap="setup-found-open">{t::as_found()}</summary>
            <TextField
                label=t::label()
                value=label
                tap="setup-found-label"
                on_input=move |text| label.set(text)
                on_enter=Callback::new(move |()| add_it())
            />
            <Fullness
                legend=t::how_full()
                labels=fullness_labels()
                quarters
                tap="setup-found-full"
                on_choose=move |step| quarters.set(Some(step))
            />
            <Button
                label=t::add_labelled()
                tap="setup-found-add"
                disabled=Signal::derive(move || label.with(|label| label.trim().is_empty()))
                on_press=add_it
            />
        </details>
    }
}
