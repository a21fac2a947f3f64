//! Sample: the seed, the draw, the first round.

mod drawn;
mod seed;
mod stopping;

pub use self::stopping::condition_label;
use leptos::prelude::*;

use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, sample as text};
use crate::ui::{Kind, Link, Page};

/// The screens of the journey.
#[component]
pub fn View(
    /// `[]`: the seed, or what was drawn; `["again"]`: another seed.
    #[prop(into)]
    at: Signal<Vec<String>>,
) -> impl IntoView {
    let store = use_store();
    let stage = Memo::new(move |_| {
        let state = store.state.get();
        let again = at.get().first().is_some_and(|part| part == "again");
        (state.frame.is_some(), state.draw.is_some() && !again)
    });
    move || match stage.get() {
        (false, _) => view! { <CloseFirst /> }.into_any(),
        (true, false) => view! { <seed::Seed /> }.into_any(),
        (true, true) => view! { <drawn::DrawnSample /> }.into_any(),
    }
}

#[component]
fn CloseFirst() -> impl IntoView {
    let store = use_store();
    let closing = move || Route::to(store.state.get().survey, Journey::Setup, &["close"]).href();
    view! {
        <Page
            title=text::close_first_title().to_owned()
            here=common::journey(Journey::Sample).to_owned()
            lead=text::close_first().to_owned()
            action=move || {
                view! {
                    <Link
                        label=text::to_closing().to_owned()
                        tap="sample-to-closing"
                        kind=Kind::Primary
                        href=Signal::derive(closing)
                    />
                }
            }
        >
            ""
        </Page>
    }
}
