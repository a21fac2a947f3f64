//! A mark of a few words that is put or taken away: many stand side by side where one look takes them all in.

use leptos::prelude::*;

use super::{ChoiceOption, Drawing};

/// The mark.
#[component]
pub fn Chip(
    /// What it says, how it looks, what it means.
    option: ChoiceOption,
    /// Its `data-tap`.
    tap: String,
    /// Whether it is put.
    #[prop(into)]
    is_put: Signal<bool>,
    /// Whether what it means is shown too.
    #[prop(into)]
    explain: Signal<bool>,
    /// Puts it or takes it away.
    on_press: impl Fn() + 'static,
) -> impl IntoView {
    let ChoiceOption {
        label, hint, drawing, ..
    } = option;
    // Named for the style sheet: to look into every mark for a drawing would cost time at each change.
    let class = if drawing.is_some() { "chip drawn" } else { "chip" };
    view! {
        <button
            type="button"
            class=class
            role="checkbox"
            aria-checked=move || if is_put.get() { "true" } else { "false" }
            data-tap=tap
            on:click=move |_| on_press()
        >
            {drawing.map(|strokes| view! { <Drawing strokes /> })}
            <span class="choice-text">
                <span class="choice-label">{label}</span>
                {move || (explain.get() && !hint.is_empty()).then(|| view! { <span class="hint">{hint.clone()}</span> })}
            </span>
        </button>
    }
}
