//! That something does not agree, where a person comes by, and the way to see it.

use leptos::prelude::*;

use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::differ as t;
use crate::ui::{Kind, Link, Panel, Section};

fn n_differences() -> Memo<usize> {
    let store = use_store();
    Memo::new(move |_| store.state.with(|state| state.n_differences()))
}

#[component]
fn See(
    /// The link's `data-tap`.
    tap: &'static str,
) -> impl IntoView {
    let store = use_store();
    let href = move || Route::to(store.state.get().survey, Journey::HandOver, &["differ"]).href();
    view! { <Link label=t::link() tap kind=Kind::Secondary href=Signal::derive(href) /> }
}

/// A quiet panel, while there is something; nothing else.
#[component]
pub fn Pointer() -> impl IntoView {
    let n = n_differences();
    move || {
        let n = n.get();
        (n > 0).then(|| {
            view! {
                <Panel title=t::pointer(n)>
                    <p>{t::pointer_text()}</p>
                    <p>
                        <See tap="check-differ" />
                    </p>
                </Panel>
            }
        })
    }
}

/// The section of the hand-over screen: always there, for what only informs is seen there too.
#[component]
pub fn Differs() -> impl IntoView {
    let n = n_differences();
    let said = move || match n.get() {
        0 => t::section_none().to_owned(),
        n => t::section_some(n),
    };
    view! {
        <Section title=t::section()>
            <p>{said}</p>
            <p>
                <See tap="handover-differ" />
            </p>
        </Section>
    }
}
