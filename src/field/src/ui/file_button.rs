//! A button that asks for a file. A real file input lies under it, for the keyboard, screen readers and tests.

use leptos::prelude::*;

use super::element_id;
use crate::capability::pick_file::{self, Chosen};

/// Asks for a file.
#[component]
pub fn FileButton(
    /// What it says.
    #[prop(into)]
    label: Signal<String>,
    /// Its `data-tap`.
    #[prop(into)]
    tap: String,
    /// Kinds of files offered first, as an `accept` attribute.
    accept: &'static str,
    /// Which camera to offer first, as a `capture` attribute: `environment` looks away from its holder.
    #[prop(optional)]
    capture: Option<&'static str>,
    /// Takes the file that was chosen.
    on_choose: impl Fn(Chosen) + 'static,
) -> impl IntoView {
    let id = element_id("file");
    view! {
        <span class="file-button">
            <input
                type="file"
                class="only-heard"
                id=id.clone()
                accept=accept
                capture=capture
                data-tap=tap
                on:change=move |event| on_choose(pick_file::chosen(&event))
            />
            <label class="button secondary" for=id>
                {move || label.get()}
            </label>
        </span>
    }
}
