//! Where the boxes are: places, and the few groups they fall into.

use leptos::prelude::*;
use survey::state::Place;
use survey::{Command, PlaceKey, StratumKey, Subject};

use super::{Setup, here, next};
use crate::journeys::Undo;
use crate::store::use_store;
use crate::texts::{common, setup as t};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Link, Page, Section, TextField};

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let strata = Memo::new(move |_| store.state.with(|state| state.strata.clone()));
    let group = RwSignal::new(None::<StratumKey>);
    let chosen = move || {
        group
            .get()
            .filter(|key| strata.with(|all| all.contains_key(key)))
            .or_else(|| strata.with(|all| all.keys().next().copied()))
    };
    let name = RwSignal::new(String::new());
    let add_place = move || {
        let Some(stratum) = untrack(chosen) else { return };
        let typed = name.get_untracked();
        if let Err(refusal) = store.try_send(Command::AddPlace { stratum, name: typed }) {
            return store.refuse(refusal);
        }
        name.set(String::new());
    };
    let places = Memo::new(move |_| {
        let of_place = |(key, place): (&PlaceKey, &Place)| (Subject::Place(*key), place.stratum);
        store
            .state
            .with(|state| state.places.iter().rev().map(of_place).collect::<Vec<_>>())
    });
    let group_of = move |stratum| {
        Signal::derive(move || {
            strata.with(|all| (all.len() > 1).then(|| all.get(&stratum).cloned()).flatten())
        })
    };
    let listed = move || {
        if places.with(Vec::is_empty) {
            return view! { <p class="quiet">{t::no_places()}</p> }.into_any();
        }
        view! {
            <ul class="lines">
                <For each=move || places.get() key=|(subject, _)| subject.to_string() let((subject, stratum))>
                    <Named subject group=group_of(stratum) />
                </For>
            </ul>
        }
        .into_any()
    };
    let options = Memo::new(move |_| {
        strata.with(|all| {
            all.iter()
                .map(|(key, name)| ChoiceOption::new(key.to_string(), name.as_str()))
                .collect::<Vec<_>>()
        })
    });
    let which_group = move || {
        (options.with(Vec::len) > 1).then(|| {
            view! {
                <ChoiceList
                    legend=t::which_group()
                    options=options
                    chosen=Signal::derive(move || chosen().map(|key| key.to_string()))
                    tap="setup-place-group"
                    on_choose=move |key: String| group.set(key.parse().ok())
                />
            }
        })
    };
    let action = move || {
        view! {
            <Undo />
            <Link label=common::go_on() tap="setup-go-on" kind=Kind::Primary href=setup.route(&["boxes"]).href() />
        }
    };
    view! {
        <Page title=t::places_title() here=here("places") lead=t::places_lead() next=next("places") action=action>
            <div class="entry">
                <TextField
                    label=t::place_name()
                    hint=t::place_hint()
                    value=name
                    tap="setup-place-name"
                    on_input=move |text| name.set(text)
                    on_enter=Callback::new(move |()| add_place())
                />
                {which_group}
                <Button
                    label=t::add_place()
                    tap="setup-place-add"
                    disabled=Signal::derive(move || name.with(|name| name.trim().is_empty()))
                    on_press=add_place
                />
            </div>
            <p>
                <Link label=t::or_list() tap="setup-place-list" href=setup.route(&["boxes", "list"]).href() />
            </p>
            <Section title=t::places_so_far()>{listed}</Section>
            <Groups />
        </Page>
    }
}

/// More groups than the one there is: folded away, since most collections need none.
#[component]
fn Groups() -> impl IntoView {
    let store = use_store();
    let name = RwSignal::new(String::new());
    let add = move || {
        let typed = name.get_untracked();
        if let Err(refusal) = store.try_send(Command::AddStratum { name: typed }) {
            return store.refuse(refusal);
        }
        name.set(String::new());
    };
    let groups = Memo::new(move |_| {
        store.state.with(|state| {
            state
                .strata
                .keys()
                .copied()
                .map(Subject::Stratum)
                .collect::<Vec<_>>()
        })
    });
    view! {
        <details class="more">
            <summary data-tap="setup-groups">{t::groups()}</summary>
            <p>{t::groups_why()}</p>
            <ul class="lines">
                <For each=move || groups.get() key=ToString::to_string let:subject>
                    <Named subject group=Signal::derive(|| None) />
                </For>
            </ul>
            <p class="small">{t::groups_first()}</p>
            <TextField label=t::group_name() value=name tap="setup-group-name" on_input=move |text| name.set(text) />
            <Button
                label=t::add_group()
                tap="setup-group-add"
                disabled=Signal::derive(move || name.with(|name| name.trim().is_empty()))
                on_press=add
            />
            <p class="small">{t::groups_small()}</p>
        </details>
    }
}

/// A place or group by its name, which can be put right at any time: what was drawn hangs on keys, not on names.
#[component]
fn Named(
    /// The place or group.
    subject: Subject,
    /// The group of a place, where there are several.
    group: Signal<Option<String>>,
) -> impl IntoView {
    let store = use_store();
    let name = Memo::new(move |_| {
        store
            .state
            .with(|state| state.name_of(subject).unwrap_or_default().to_owned())
    });
    let typed = RwSignal::new(None::<String>);
    let call_it = move || {
        let Some(name) = typed.get_untracked() else { return };
        match store.try_send(Command::Rename { subject, name }) {
            Ok(_) => typed.set(None),
            Err(refusal) => store.refuse(refusal),
        }
    };
    let key = subject.to_string().replace(' ', "-");
    // Whether the field is there, not what stands in it: typing must not make the field anew.
    let is_open = Memo::new(move |_| typed.with(Option::is_some));
    let edit = move || {
        let key = key.clone();
        if !is_open.get() {
            return view! {
                <Button
                    label=t::rename()
                    aria_label=Signal::derive(move || t::rename_this(name.get()))
                    tap=format!("setup-rename-{key}")
                    kind=Kind::Quiet
                    on_press=move || typed.set(Some(name.get_untracked()))
                />
            }
            .into_any();
        }
        view! {
            <TextField
                label=t::new_name()
                value=Signal::derive(move || typed.get().unwrap_or_default())
                tap=format!("setup-new-name-{key}")
                on_input=move |text| typed.set(Some(text))
                on_enter=Callback::new(move |()| call_it())
            />
            <Button
                label=t::call_it()
                tap=format!("setup-call-{key}")
                disabled=Signal::derive(move || {
                    typed.with(|typed| typed.as_ref().is_none_or(|typed| typed.trim().is_empty()))
                })
                on_press=call_it
            />
        }
        .into_any()
    };
    view! {
        <li>
            <span>{move || name.get()}</span> " " {move || group.get().map(|group| view! { <span class="aside">{group}</span> })}
            {edit}
        </li>
    }
}
