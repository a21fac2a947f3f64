//! What each hour buys, as a curve with a handle to drag: how closely a share would be known.

use leptos::prelude::*;
use sampling::plan::Collection;

use super::time::{forecast, half_width};
use crate::texts::setup as t;

/// The picture's size in its own units; it is stretched to the page.
const WIDE: f64 = 1_000.0;
const HIGH: f64 = 300.0;
/// What may stand at the picture's top: half widths, percentage points.
const TOPS: [f64; 4] = [10.0, 20.0, 30.0, 50.0];
/// The longest day that is drawn without being asked for, hours.
const DAY: u32 = 12;
/// As long as the hours can be.
pub(super) const LONGEST: u32 = 80;

/// The curve and its handle.
#[component]
pub(super) fn Curve(
    /// What is known of the collection.
    #[prop(into)]
    collection: Signal<Collection>,
    /// The hours that are planned.
    #[prop(into)]
    hours: Signal<u32>,
    /// The boxes that so many hours buy.
    #[prop(into)]
    boxes: Callback<u32, u32>,
    /// Takes the hours where the handle was let go.
    on_change: impl Fn(u32) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    // Where the handle is while it is dragged: what is written down is where it is let go.
    let (dragged, set_dragged) = signal(None::<u32>);
    let shown = move || dragged.get().unwrap_or_else(|| hours.get());
    let longest = Memo::new(move |_| (2 * hours.get()).clamp(DAY, LONGEST));
    let x = move |hours: u32| WIDE * f64::from(hours.saturating_sub(1)) / f64::from(longest.get() - 1);
    let top = Memo::new(move |_| {
        let widest = (1..=longest.get()).find_map(|hours| half_width(&collection.get(), boxes.run(hours)));
        let fits = TOPS
            .into_iter()
            .find(|top| widest.is_none_or(|widest| widest <= *top));
        fits.unwrap_or(TOPS[TOPS.len() - 1])
    });
    let height = move |hours: u32| {
        let points = half_width(&collection.get(), boxes.run(hours))?;
        Some(HIGH * (1.0 - (points / top.get()).min(1.0)))
    };
    let line = move || {
        let points =
            (1..=longest.get()).filter_map(|hours| Some(format!("{},{:.1}", x(hours), height(hours)?)));
        points.collect::<Vec<_>>().join(" ")
    };
    let here = move || height(shown()).map(|y| (x(shown()), y));
    let said = move || {
        let hours = shown();
        forecast(&collection.get(), hours, boxes.run(hours))
            .unwrap_or_else(|| t::buys_too_little().to_owned())
    };
    view! {
        <div class="curve" dir="ltr">
            <svg viewBox=format!("0 0 {WIDE} {HIGH}") preserveAspectRatio="none" aria-hidden="true" focusable="false">
                <path class="curve-grid" d=format!("M0 0H{WIDE}M0 {0}H{WIDE}M0 {HIGH}H{WIDE}", HIGH / 2.0) />
                <polyline class="curve-line" points=line />
                {move || here().map(|(x, y)| view! { <path class="curve-here" d=format!("M{x} {HIGH}V{y}") /> })}
            </svg>
            <div class="curve-scale" aria-hidden="true">
                <span>{move || t::curve_points(top.get())}</span>
                <span>{move || t::curve_points(top.get() / 2.0)}</span>
            </div>
            <input
                type="range"
                min="1"
                max=move || longest.get().to_string()
                step="1"
                prop:value=move || shown().to_string()
                aria-label=t::curve_handle()
                aria-valuetext=said
                data-tap="setup-curve"
                on:input=move |event| set_dragged.set(event_target_value(&event).parse().ok())
                on:change=move |event| {
                    if let Ok(hours) = event_target_value(&event).parse() {
                        on_change(hours);
                    }
                    set_dragged.set(None);
                }
            />
            <div class="curve-hours" aria-hidden="true">
                <span>{t::curve_hours(1_u32)}</span>
                <span>{move || t::curve_hours(longest.get())}</span>
            </div>
        </div>
        <p class="says" data-tap="setup-curve-says">{said}</p>
    }
}
