//! Buttons, and links that look like them. Never smaller than 48 by 48 pixels.

use leptos::prelude::*;

/// How much a button asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Kind {
    /// The one thing to do now: one on a screen, at the bottom.
    Primary,
    /// Something else that may be done.
    #[default]
    Secondary,
    /// Something small, beside a line of text.
    Quiet,
}

impl Kind {
    fn class(self) -> &'static str {
        match self {
            Self::Primary => "button primary",
            Self::Secondary => "button secondary",
            Self::Quiet => "button quiet",
        }
    }
}

/// A button.
#[component]
pub fn Button(
    /// What it says.
    #[prop(into)]
    label: Signal<String>,
    /// Its `data-tap`.
    #[prop(into)]
    tap: String,
    #[prop(optional)] kind: Kind,
    /// More for those who cannot see what stands beside it; the label if absent.
    #[prop(into, optional)]
    aria_label: MaybeProp<String>,
    #[prop(into, optional)] disabled: Signal<bool>,
    /// What it does.
    on_press: impl Fn() + 'static,
) -> impl IntoView {
    view! {
        <button
            type="button"
            class=kind.class()
            data-tap=tap
            aria-label=move || aria_label.get()
            disabled=move || disabled.get()
            on:click=move |_| on_press()
        >
            {move || label.get()}
        </button>
    }
}

/// A link to another place in the app, with the look of a button or of text.
#[component]
pub fn Link(
    /// What it says.
    #[prop(into)]
    label: Signal<String>,
    /// Its `data-tap`.
    #[prop(into)]
    tap: String,
    /// The address, with its `#`.
    #[prop(into)]
    href: Signal<String>,
    /// A button's look; text if absent.
    #[prop(optional)]
    kind: Option<Kind>,
) -> impl IntoView {
    view! {
        <a class=kind.map_or("link", Kind::class) data-tap=tap href=move || href.get()>
            {move || label.get()}
        </a>
    }
}
