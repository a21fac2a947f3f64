//! How many boxes: the places with their counts, and the way to a list that somebody made.

use std::collections::BTreeMap;

use leptos::prelude::*;
use survey::{PlaceKey, State};

use super::{Setup, here, next};
use crate::store::use_store;
use crate::texts::{common, setup as t};
use crate::ui::{Kind, Link, Page, Panel};

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let counts = Memo::new(move |_| store.state.with(|state| boxes_by_place(state)));
    let closed = Memo::new(move |_| store.state.with(|state| state.frame.is_some()));
    let lines = move || {
        let places = store.state.with(|state| {
            state
                .places
                .iter()
                .map(|(key, place)| (*key, place.name.clone()))
                .collect::<Vec<_>>()
        });
        if places.is_empty() {
            return view! {
                <p class="quiet">{t::boxes_no_places()}</p>
                <Link label=t::to_places() tap="setup-to-places" kind=Kind::Secondary href=setup.route(&["places"]).href() />
            }
            .into_any();
        }
        let line = |(key, name): (PlaceKey, String)| {
            let href = setup.route(&["boxes", &key.to_string()]).href();
            let boxes = move || t::place_boxes(counts.with(|counts| counts.get(&key).copied().unwrap_or(0)));
            view! {
                <li>
                    <a class="line-link" data-tap=format!("setup-place-{key}") href=href>
                        {name}
                        <span class="aside">{boxes}</span>
                    </a>
                </li>
            }
        };
        view! { <ul class="line-links">{places.into_iter().map(line).collect_view()}</ul> }.into_any()
    };
    let total = move || t::place_boxes(counts.with(|counts| counts.values().sum::<usize>()));
    let action = move || {
        view! {
            <Link label=t::take_list() tap="setup-list" kind=Kind::Secondary href=setup.route(&["boxes", "list"]).href() />
            <Link label=common::go_on() tap="setup-go-on" kind=Kind::Primary href=setup.route(&["close"]).href() />
        }
    };
    view! {
        <Page title=t::boxes_title() here=here("boxes") lead=t::boxes_lead() next=next("boxes") action=action>
            {move || closed.get().then(|| view! { <Panel title=t::late()><p>{t::late_text()}</p></Panel> })}
            {lines}
            <p class="total" role="status">
                <span>{t::total()}</span>
                " "
                <strong data-tap="setup-total">{total}</strong>
            </p>
        </Page>
    }
}

/// How many boxes stand in each place that has any.
pub(super) fn boxes_by_place(state: &State) -> BTreeMap<PlaceKey, usize> {
    let mut counts = BTreeMap::new();
    for listed in state.boxes.values() {
        *counts.entry(listed.place).or_insert(0) += 1;
    }
    counts
}
