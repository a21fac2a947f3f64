//! What else can be done from a round's screen.

use leptos::prelude::*;
use survey::State;

use super::shelf;
use crate::capability::preferences;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check as text, hands, paper, reading, shelf as texts};

/// One line of the list.
#[component]
fn Way(label: Signal<String>, tap: &'static str, at: &'static [&'static str]) -> impl IntoView {
    let store = use_store();
    let href = move || Route::to(store.state.with(|state| state.survey), Journey::Check, at).href();
    view! {
        <li>
            <a class="row row-link" data-tap=tap href=href>
                <span class="row-more">{move || label.get()}</span>
            </a>
        </li>
    }
}

/// The list.
#[component]
pub fn More() -> impl IntoView {
    let store = use_store();
    // Counting walks the whole survey: it waits until somebody looks.
    let (is_open, set_open) = signal(false);
    let count = move |count: fn(&State) -> usize| {
        Memo::new(move |_| match is_open.get() {
            true => store.state.with(|state| count(state)),
            false => 0,
        })
    };
    let n_to_read = count(|state| state.to_read().len());
    let n_found = count(shelf::n_found);
    let found = Signal::derive(move || texts::found(n_found.get()));
    let hands = Signal::stored(hands::line(&preferences::looker()));
    let map = Signal::stored(texts::map().to_owned());
    let to_read = Signal::derive(move || reading::waiting(n_to_read.get()));
    view! {
        <details class="more" on:toggle=move |_| set_open.set(true)>
            // Before it opens: "toggle" comes after, and a list that shows would say 0 until then.
            <summary data-tap="check-more" on:click=move |_| set_open.set(true)>{text::also()}</summary>
            <ul class="rows">
                <Way label=map tap="check-map" at=&["map"] />
                <Way label=found tap="check-found" at=&["found"] />
                <Way label=hands tap="check-hands" at=&["hands"] />
                <Way label=Signal::stored(paper::sheets().to_owned()) tap="check-paper" at=&["paper"] />
                <Way label=Signal::stored(paper::type_in().to_owned()) tap="check-typing" at=&["typing"] />
                <Way label=to_read tap="check-to-read" at=&["read"] />
            </ul>
        </details>
    }
}
