//! How full a box is, in quarters: a picture to see, four steps to tap.

use leptos::prelude::*;

/// A box seen from the side, filled to a quarter, a half, three quarters or all; empty outline if not known.
#[component]
pub fn FullnessGlyph(
    /// Quarters, 1 to 4.
    #[prop(into)]
    quarters: Signal<Option<u8>>,
) -> impl IntoView {
    let height = move || 5 * u32::from(quarters.get().unwrap_or(0).min(4));
    view! {
        <svg class="fullness-glyph" viewBox="0 0 28 26" width="28" height="26" aria-hidden="true" focusable="false">
            <rect class="fill" x="4" y=move || 23 - height() width="20" height=height />
            <path class="outline" d="M3 2v22h22V2" fill="none" />
            <path class="ticks" d="M3 8h3M3 13h3M3 18h3" fill="none" />
        </svg>
    }
}

/// Four steps to tap.
#[component]
pub fn Fullness(
    /// Which box, for screen readers.
    #[prop(into)]
    legend: Signal<String>,
    /// What each step is called, from a quarter to full.
    labels: Vec<String>,
    /// Quarters, 1 to 4.
    #[prop(into)]
    quarters: Signal<Option<u8>>,
    /// Each step's `data-tap` is this, a hyphen and the number of quarters.
    #[prop(into)]
    tap: String,
    /// Takes the quarters.
    on_choose: impl Fn(u8) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let step = move |(step, label): (u8, String)| {
        let is_chosen = move || quarters.get() == Some(step);
        view! {
            <button
                type="button"
                class="fullness-step"
                role="radio"
                aria-checked=move || if is_chosen() { "true" } else { "false" }
                aria-label=label
                data-tap=format!("{tap}-{step}")
                on:click=move |_| on_choose(step)
            >
                <FullnessGlyph quarters=Signal::derive(move || Some(step)) />
            </button>
        }
    };
    view! {
        <div class="fullness" role="radiogroup" aria-label=move || legend.get()>
            {(1..).zip(labels).map(step).collect_view()}
        </div>
    }
}
