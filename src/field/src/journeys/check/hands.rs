//! Two at one box: one looks, one taps. Questions get large, answers get numbers, and who looked is kept with each answer.

use leptos::prelude::*;

use crate::capability::{document, preferences};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check, common, hands as text};
use crate::ui::{Button, Kind, Link, Page, TextField};

/// The screen.
#[component]
pub fn Hands() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let person = RwSignal::new(preferences::person());
    let looker = RwSignal::new(preferences::looker());
    let set = move |name: &str| {
        preferences::set_looker(name.trim());
        document::set_scribe(!name.trim().is_empty());
    };
    let said = move || {
        if looker.with(|name| name.trim().is_empty()) {
            text::off()
        } else {
            text::on()
        }
    };
    let round = move || Route::to(store.state.get().survey, Journey::Check, &[]).href();
    view! {
        <Page
            title=text::title().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::lead().to_owned()
            action=move || {
                view! {
                    <Link
                        label=check::to_round().to_owned()
                        tap="check-to-round"
                        kind=Kind::Primary
                        href=Signal::derive(round)
                    />
                }
            }
        >
            <TextField
                label=text::taps().to_owned()
                value=person
                tap="hands-taps"
                on_input=move |name: String| {
                    preferences::set_person(name.trim());
                    person.set(name);
                }
            />
            <TextField
                label=text::looks().to_owned()
                hint=text::looks_hint().to_owned()
                value=looker
                tap="hands-looks"
                on_input=move |name: String| {
                    set(&name);
                    looker.set(name);
                }
            />
            <p role="status">{said}</p>
            <Show when=move || looker.with(|name| !name.trim().is_empty())>
                <Button
                    label=text::stop().to_owned()
                    tap="hands-one"
                    on_press=move || {
                        set("");
                        looker.set(String::new());
                    }
                />
            </Show>
        </Page>
    }
}
