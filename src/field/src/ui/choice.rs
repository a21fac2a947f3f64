//! Lists to choose from: one of them, or some of them. Each line is a large target; the mark at its end has another
//! shape when chosen, so colour is never all there is.

use std::collections::BTreeSet;

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;

use super::{Drawing, element_id};
use crate::capability::document;
use crate::drawings::Strokes;

/// One line of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChoiceOption {
    /// Its key, as it is recorded.
    pub key: String,
    /// What it says.
    pub label: String,
    /// What that means, in a line; may be empty.
    pub hint: String,
    /// How that looks.
    pub drawing: Option<Strokes>,
}

impl ChoiceOption {
    /// A line without a hint.
    pub fn new(key: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            label: label.into(),
            hint: String::new(),
            drawing: None,
        }
    }

    /// With a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// With a drawing, if there is one.
    #[must_use]
    pub fn drawn(mut self, drawing: Option<Strokes>) -> Self {
        self.drawing = drawing;
        self
    }
}

/// One of several. Choosing the chosen one again tells it again, so that a screen can go on.
#[component]
pub fn ChoiceList(
    /// The question, for the group's name. The page may show it as its title too.
    #[prop(into)]
    legend: Signal<String>,
    /// Whether the legend is only for screen readers.
    #[prop(optional)]
    hide_legend: bool,
    /// The lines.
    #[prop(into)]
    options: Signal<Vec<ChoiceOption>>,
    /// The key that is chosen.
    #[prop(into)]
    chosen: Signal<Option<String>>,
    /// Each line's `data-tap` is this, a hyphen and its key.
    #[prop(into)]
    tap: String,
    /// Takes the key.
    on_choose: impl Fn(String) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let legend_id = element_id("legend");
    let line = move |option: ChoiceOption| {
        let key = option.key.clone();
        let is_chosen = Signal::derive(move || chosen.get().as_ref() == Some(&key));
        let key = option.key.clone();
        view! { <Line option tap=tap.clone() role="radio" is_chosen on_press=move || on_choose(key.clone()) /> }
    };
    view! {
        <div class="choices" role="radiogroup" aria-labelledby=legend_id>
            <p class="legend" class:only-heard=hide_legend id=legend_id.clone()>
                {move || legend.get()}
            </p>
            {move || options.get().into_iter().map(line.clone()).collect_view()}
        </div>
    }
}

/// Some of several.
#[component]
pub fn MultiChoice(
    /// The question, for the group's name.
    #[prop(into)]
    legend: Signal<String>,
    /// Whether the legend is only for screen readers.
    #[prop(optional)]
    hide_legend: bool,
    /// The lines.
    #[prop(into)]
    options: Signal<Vec<ChoiceOption>>,
    /// The keys that are chosen.
    #[prop(into)]
    chosen: Signal<BTreeSet<String>>,
    /// Each line's `data-tap` is this, a hyphen and its key.
    #[prop(into)]
    tap: String,
    /// Takes the key that was tapped.
    on_toggle: impl Fn(String) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let legend_id = element_id("legend");
    let line = move |option: ChoiceOption| {
        let key = option.key.clone();
        let is_chosen = Signal::derive(move || chosen.with(|chosen| chosen.contains(&key)));
        let key = option.key.clone();
        view! { <Line option tap=tap.clone() role="checkbox" is_chosen on_press=move || on_toggle(key.clone()) /> }
    };
    view! {
        <div class="choices" role="group" aria-labelledby=legend_id>
            <p class="legend" class:only-heard=hide_legend id=legend_id.clone()>
                {move || legend.get()}
            </p>
            {move || options.get().into_iter().map(line.clone()).collect_view()}
        </div>
    }
}

#[component]
fn Line(
    option: ChoiceOption,
    tap: String,
    role: &'static str,
    is_chosen: Signal<bool>,
    on_press: impl Fn() + Send + Sync + 'static,
) -> impl IntoView {
    let id = element_id("choice");
    let mark = if role == "radio" {
        "mark round"
    } else {
        "mark square"
    };
    let move_focus = move |event: KeyboardEvent| {
        let step = match event.key().as_str() {
            "ArrowDown" | "ArrowRight" => 1,
            "ArrowUp" | "ArrowLeft" => -1,
            _ => return,
        };
        event.prevent_default();
        document::focus_neighbour(&event, step);
    };
    let hint = (!option.hint.is_empty()).then(|| view! { <span class="hint">{option.hint.clone()}</span> });
    view! {
        <button
            type="button"
            class="choice"
            id=id
            role=role
            aria-checked=move || if is_chosen.get() { "true" } else { "false" }
            data-tap=format!("{tap}-{}", option.key)
            on:click=move |_| on_press()
            on:keydown=move_focus
        >
            {option.drawing.map(|strokes| view! { <Drawing strokes /> })}
            <span class="choice-text">
                <span class="choice-label">{option.label.clone()}</span>
                {hint}
            </span>
            <span class=mark aria-hidden="true"></span>
        </button>
    }
}
