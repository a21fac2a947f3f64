//! What was done last, and taking it back: in place of asking beforehand.

use leptos::prelude::*;

/// The bar; empty (but there, for screen readers) while there is nothing to say.
#[component]
pub fn UndoBar(
    /// What was done, or nothing.
    #[prop(into)]
    said: Signal<Option<String>>,
    /// What the button says.
    #[prop(into)]
    label: Signal<String>,
    /// Its `data-tap`.
    #[prop(into)]
    tap: String,
    /// Takes it back.
    on_undo: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    view! {
        <div class="undo-bar" role="status">
            {move || {
                let tap = tap.clone();
                said.get()
                    .map(|said| {
                        view! {
                            <span class="undo-said">{said}</span>
                            <super::Button label tap kind=super::Kind::Quiet on_press=on_undo />
                        }
                    })
            }}
        </div>
    }
}
