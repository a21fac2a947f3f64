//! Closing the list: explained, counted once more, undoable until a sample is drawn.

use leptos::prelude::*;
use survey::{Command, StratumKey};

use super::boxes::boxes_by_place;
use super::{Setup, here};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, setup as t};
use crate::ui::{Button, Kind, Link, Page, Panel, Section, Tone};

/// What the screen shows of the list.
#[derive(Debug, Clone, PartialEq)]
struct Counted {
    digest: Option<String>,
    is_drawn: bool,
    n_boxes: usize,
    groups: Vec<(String, usize, usize)>,
}

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let counted = Memo::new(move |_| {
        store.state.with(|state| {
            let by_place = boxes_by_place(state);
            let group = |(key, name): (&StratumKey, &String)| {
                let places = state.places.iter().filter(|(_, place)| place.stratum == *key);
                let counts: Vec<usize> = places
                    .filter_map(|(place, _)| by_place.get(place).copied())
                    .collect();
                (name.clone(), counts.iter().sum(), counts.len())
            };
            Counted {
                digest: state.frame.as_ref().map(|frame| frame.digest.clone()),
                is_drawn: state.draw.is_some(),
                n_boxes: state.boxes.len(),
                groups: state.strata.iter().map(group).collect(),
            }
        })
    });
    let is_closed = Memo::new(move |_| counted.with(|counted| counted.digest.is_some()));
    let action = move || {
        let is_empty = Signal::derive(move || counted.with(|counted| counted.n_boxes == 0));
        if is_closed.get() {
            let href = Route::to(setup.0, Journey::Sample, &[]).href();
            view! {
                {counted.with(|counted| !counted.is_drawn).then(|| view! {
                    <Button label=t::reopen() tap="setup-reopen" on_press=move || store.send(Command::ReopenFrame) />
                })}
                <Link label=t::to_sample() tap="setup-to-sample" kind=Kind::Primary href=href />
            }
            .into_any()
        } else {
            view! {
                <Button
                    label=t::close()
                    tap="setup-close"
                    kind=Kind::Primary
                    disabled=is_empty
                    on_press=move || store.send(Command::CloseFrame)
                />
            }
            .into_any()
        }
    };
    let groups = move || {
        let line = |(name, boxes, places): &(String, usize, usize)| view! { <li>{t::group_counts(name, *boxes, *places)}</li> };
        counted.with(|counted| {
            counted
                .groups
                .iter()
                .filter(|(_, boxes, _)| *boxes > 0)
                .map(line)
                .collect_view()
        })
    };
    let small = move || {
        let names: Vec<String> = counted.with(|counted| {
            counted
                .groups
                .iter()
                .filter(|(_, boxes, _)| *boxes == 1)
                .map(|(name, _, _)| name.clone())
                .collect()
        });
        (!names.is_empty()).then(|| {
            view! {
                <Panel tone=Tone::Caution title=t::small_group_title()>
                    <p>{t::small_group(names.join(", "))}</p>
                </Panel>
            }
        })
    };
    let nothing = move || {
        counted.with(|counted| counted.n_boxes == 0).then(|| view! {
            <p class="quiet">{t::nothing_listed()}</p>
            <Link label=t::back_to_boxes() tap="setup-back-to-boxes" kind=Kind::Secondary href=setup.route(&["boxes"]).href() />
        })
    };
    let seal = move || {
        counted.with(|counted| counted.digest.clone()).map(|digest| {
            view! {
                <Section title=t::seal()>
                    <p class="seal" data-tap="setup-seal">{digest}</p>
                    <p class="quiet">{t::seal_why()}</p>
                </Section>
            }
        })
    };
    let why = move || {
        if counted.with(|counted| counted.is_drawn) {
            t::drawn_already()
        } else {
            t::close_undo_why()
        }
    };
    view! {
        <Page
            title=Signal::derive(move || if is_closed.get() { t::closed_title() } else { t::close_title() }.to_owned())
            here=here("close")
            lead=Signal::derive(move || Some(if is_closed.get() { t::closed_lead() } else { t::close_lead() }.to_owned()))
            next=common::next(t::step_sample())
            action=action
        >
            <ul class="lines">{groups}</ul>
            {nothing}
            {small}
            <p>{why}</p>
            {seal}
        </Page>
    }
}
