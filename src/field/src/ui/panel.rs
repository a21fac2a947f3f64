//! Something said apart from the rest: a note, a caution, a stop. Word and sign say which, colour only underlines it.

use leptos::prelude::*;

/// How grave it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tone {
    /// Good to know.
    #[default]
    Note,
    /// Mind this.
    Caution,
    /// Do not go on before this is read.
    Stop,
}

/// A panel.
#[component]
pub fn Panel(
    #[prop(optional)] tone: Tone,
    /// Its first words, in bold: they say what kind it is.
    #[prop(into)]
    title: Signal<String>,
    /// Whether a screen reader is to say it at once, having appeared by itself.
    #[prop(optional)]
    at_once: bool,
    children: Children,
) -> impl IntoView {
    let (class, sign) = match tone {
        Tone::Note => ("panel note", "M12 3a9 9 0 1 0 .01 0M12 11v6M12 7.2v.6"),
        Tone::Caution => ("panel caution", "M12 3 22 20H2ZM12 9v5M12 16.6v.6"),
        Tone::Stop => ("panel stop", "M8 2h8l6 6v8l-6 6H8l-6-6V8ZM7 12h10"),
    };
    view! {
        <div class=class role=at_once.then_some("alert")>
            <svg class="sign" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">
                <path d=sign fill="none" />
            </svg>
            <div class="panel-text">
                <p class="panel-title">{move || title.get()}</p>
                {children()}
            </div>
        </div>
    }
}
