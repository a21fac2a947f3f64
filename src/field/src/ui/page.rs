//! The frame of every screen: where I am, what to do now, what comes next, and one big action within thumb's reach.

use leptos::children::ViewFn;
use leptos::prelude::*;

/// A screen.
#[component]
pub fn Page(
    /// The heading; it gets the focus on arrival.
    #[prop(into)]
    title: Signal<String>,
    /// Where in the day this is, above the heading.
    #[prop(into, optional)]
    here: MaybeProp<String>,
    /// What to do now, below the heading.
    #[prop(into, optional)]
    lead: MaybeProp<String>,
    /// What comes next, above the action.
    #[prop(into, optional)]
    next: MaybeProp<String>,
    /// The bottom of the screen: one [`super::Button`] or [`super::Link`] of the primary kind, perhaps others.
    #[prop(optional, into)]
    action: Option<ViewFn>,
    children: Children,
) -> impl IntoView {
    let dock = action.map(|action| {
        view! {
            <footer class="dock">
                {move || next.get().map(|next| view! { <p class="next">{next}</p> })}
                <div class="dock-actions">{move || action.run()}</div>
            </footer>
        }
    });
    view! {
        <main class="page">
            <div class="sheet">
                {move || here.get().map(|here| view! { <p class="here">{here}</p> })}
                <h1 id="main-heading" tabindex="-1">{move || title.get()}</h1>
                {move || lead.get().map(|lead| view! { <p class="lead">{lead}</p> })}
                {children()}
            </div>
            {dock}
        </main>
    }
}

/// A part of a screen under a heading of its own.
#[component]
pub fn Section(
    /// The heading.
    #[prop(into)]
    title: Signal<String>,
    children: Children,
) -> impl IntoView {
    view! {
        <section class="section">
            <h2>{move || title.get()}</h2>
            {children()}
        </section>
    }
}
