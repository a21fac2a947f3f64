//! Estimates with their intervals, a line each: the sentence first, then the picture of it.

use leptos::prelude::*;

/// One estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotRow {
    /// What is estimated.
    pub label: String,
    /// The same figures in words: it is what a screen reader says and what is read first.
    pub said: String,
    /// The lower end.
    pub low: f64,
    /// The estimate.
    pub estimate: f64,
    /// The upper end.
    pub high: f64,
}

/// The picture. Positions are parts of a thousand of its width.
#[component]
pub fn IntervalPlot(
    /// What it shows.
    #[prop(into)]
    caption: Signal<String>,
    /// The estimates.
    #[prop(into)]
    rows: Signal<Vec<PlotRow>>,
    /// The value at the right end; the left end is 0.
    #[prop(into)]
    most: Signal<f64>,
    /// What stands under the axis at equal distances, from 0 to `most`.
    #[prop(into)]
    ticks: Signal<Vec<String>>,
) -> impl IntoView {
    let at = move |value: f64| position(value, most.get());
    let row = move |row: PlotRow| {
        let (low, estimate, high) = (at(row.low), at(row.estimate), at(row.high));
        view! {
            <li class="plot-row">
                <p class="plot-label">{row.label}</p>
                <p class="plot-said">{row.said}</p>
                <svg class="plot-bar" viewBox="0 0 1000 24" preserveAspectRatio="none" aria-hidden="true" focusable="false">
                    <path class="plot-grid" d="M0 0V24M250 0V24M500 0V24M750 0V24M1000 0V24" />
                    <rect class="plot-interval" x=low y="8" width=(high - low).max(4.0) height="8" />
                    <path class="plot-ends" d=format!("M{low} 5V19M{high} 5V19") />
                    <path class="plot-estimate" d=format!("M{estimate} 2V22") />
                </svg>
            </li>
        }
    };
    view! {
        <figure class="plot">
            <figcaption>{move || caption.get()}</figcaption>
            <ul class="plot-rows">{move || rows.get().into_iter().map(row).collect_view()}</ul>
            <div class="plot-axis" aria-hidden="true">
                {move || ticks.get().into_iter().map(|tick| view! { <span>{tick}</span> }).collect_view()}
            </div>
        </figure>
    }
}

/// Where a value lies, in parts of a thousand, inside the picture whatever the value is.
fn position(value: f64, most: f64) -> f64 {
    if most > 0.0 && value.is_finite() {
        (value / most * 1_000.0).clamp(0.0, 1_000.0)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::position;

    #[test]
    fn a_value_never_leaves_the_picture() {
        for (value, most) in [
            (-1.0, 1.0),
            (f64::NAN, 1.0),
            (f64::INFINITY, 1.0),
            (3.0, 0.0),
            (2.0, 1.0),
        ] {
            assert!((0.0..=1_000.0).contains(&position(value, most)));
        }
        assert!((position(0.25, 1.0) - 250.0).abs() < 1e-9);
    }
}
