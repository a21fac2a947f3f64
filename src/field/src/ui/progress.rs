//! How far something is, in words and as a ruler.

use leptos::prelude::*;

/// A ruler with its text.
#[component]
pub fn Progress(
    /// What it says: "7 of 24 boxes".
    #[prop(into)]
    text: Signal<String>,
    /// How much is done.
    #[prop(into)]
    done: Signal<usize>,
    /// Of how much.
    #[prop(into)]
    all: Signal<usize>,
) -> impl IntoView {
    view! {
        <div class="progress">
            <progress aria-label=move || text.get() max=move || all.get().max(1) value=move || done.get()></progress>
            <span class="progress-text">{move || text.get()}</span>
        </div>
    }
}
