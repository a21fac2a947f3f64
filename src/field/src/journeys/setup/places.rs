//! Where the boxes are: places, and the few groups they fall into.

use leptos::prelude::*;
use survey::{Command, StratumKey};

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
    let places = move || {
        let lines = store.state.with(|state| {
            let groups = state.strata.len() > 1;
            let group = |key| groups.then(|| state.strata.get(&key).cloned()).flatten();
            let all = state.places.values().rev();
            all.map(|place| (place.name.clone(), group(place.stratum)))
                .collect::<Vec<_>>()
        });
        if lines.is_empty() {
            return view! { <p class="quiet">{t::no_places()}</p> }.into_any();
        }
        let line = |(name, group): (String, Option<String>)| {
            view! {
                <li>
                    {name}
                    {group.map(|group| view! { <span class="aside">{group}</span> })}
                </li>
            }
        };
        view! { <ul class="lines">{lines.into_iter().map(line).collect_view()}</ul> }.into_any()
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
            <Section title=t::places_so_far()>{places}</Section>
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
    let groups = move || {
        let names = store
            .state
            .with(|state| state.strata.values().cloned().collect::<Vec<_>>());
        names
            .into_iter()
            .map(|name| view! { <li>{name}</li> })
            .collect_view()
    };
    view! {
        <details class="more">
            <summary data-tap="setup-groups">{t::groups()}</summary>
            <p>{t::groups_why()}</p>
            <ul class="lines">{groups}</ul>
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
