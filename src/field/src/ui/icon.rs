//! Small signs on a grid of 24, drawn in the colour of their words. They stand beside words or in a link that has a
//! name, so a screen reader passes over them.

use leptos::prelude::*;

/// What is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Glyph {
    /// The sign of the app: a window of four panes, one of them lit.
    Window,
    /// This device.
    Phone,
}

/// A sign.
#[component]
pub fn Icon(glyph: Glyph) -> impl IntoView {
    let (lit, lines) = match glyph {
        Glyph::Window => (Some("M13 4h7v7h-7Z"), "M3 3h18v18H3ZM12 3v18M3 12h18"),
        Glyph::Phone => (
            None,
            "M7 2h10a1 1 0 0 1 1 1v18a1 1 0 0 1-1 1H7a1 1 0 0 1-1-1V3a1 1 0 0 1 1-1ZM11 19h2",
        ),
    };
    view! {
        <svg class="icon" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">
            {lit.map(|d| view! { <path class="lit" stroke="none" d=d /> })}
            <path d=lines />
        </svg>
    }
}
