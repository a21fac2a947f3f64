//! Whole numbers and measures, without the device's keyboard if need be.

use leptos::prelude::*;

use super::{Drawing, element_id};
use crate::drawings::Strokes;

/// A whole number with a step down and a step up beside it.
#[component]
pub fn NumberStepper(
    /// What it counts.
    #[prop(into)]
    label: Signal<String>,
    /// More about it.
    #[prop(into, optional)]
    hint: MaybeProp<String>,
    /// How that looks.
    #[prop(optional_no_strip)]
    drawing: Option<Strokes>,
    /// The number; empty if none was given.
    #[prop(into)]
    value: Signal<Option<u32>>,
    #[prop(optional)] least: u32,
    most: u32,
    /// How far a tap steps.
    #[prop(default = 1)]
    step: u32,
    /// The field's `data-tap`; the buttons' have `-less` and `-more` behind it.
    #[prop(into)]
    tap: String,
    /// What the two buttons are called.
    #[prop(into)]
    less: String,
    #[prop(into)] more: String,
    /// Takes the number, always between `least` and `most`.
    on_change: impl Fn(u32) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let (id, hint_id) = (element_id("number"), element_id("hint"));
    let shown = move || value.get().map(|number| number.to_string()).unwrap_or_default();
    let down = move || value.get().unwrap_or(least).saturating_sub(step).max(least);
    let up = move || {
        value
            .get()
            .map_or(least.max(step), |number| number.saturating_add(step))
            .min(most)
    };
    let typed = move |text: String| {
        if let Ok(number) = text.trim().parse::<u32>() {
            on_change(number.clamp(least, most));
        }
    };
    view! {
        <div class="field">
            <div class="field-head">
                {drawing.map(|strokes| view! { <Drawing strokes /> })}
                <span class="choice-text">
                    <label for=id.clone()>{move || label.get()}</label>
                    <span class="hint" id=hint_id.clone()>
                        {move || hint.get()}
                    </span>
                </span>
            </div>
            <div class="stepper">
                <button
                    type="button"
                    class="step"
                    aria-label=less
                    data-tap=format!("{tap}-less")
                    on:click=move |_| on_change(down())
                >
                    <span aria-hidden="true">"\u{2212}"</span>
                </button>
                <input
                    type="text"
                    inputmode="numeric"
                    autocomplete="off"
                    id=id
                    aria-describedby=hint_id
                    data-tap=tap.clone()
                    prop:value=shown
                    on:change=move |event| {
                        typed(event_target_value(&event));
                        // What was no number gives way to the number that stands.
                        set_value(&event, &value.get_untracked().map(|number| number.to_string()).unwrap_or_default());
                    }
                />
                <button
                    type="button"
                    class="step"
                    aria-label=more
                    data-tap=format!("{tap}-more")
                    on:click=move |_| on_change(up())
                >
                    <span aria-hidden="true">"+"</span>
                </button>
            </div>
        </div>
    }
}

/// A pad of digits for a measure: large keys, the number above, one key to accept.
#[component]
pub fn NumberPad(
    /// What is measured.
    #[prop(into)]
    label: Signal<String>,
    /// The unit, behind the number.
    #[prop(into)]
    unit: Signal<String>,
    /// The number to start from.
    #[prop(default = None)]
    start: Option<f64>,
    /// The most digits.
    #[prop(default = 4)]
    digits: usize,
    /// The key between a number and its decimals: what is written on it, what it is called. None without decimals.
    #[prop(default = None)]
    decimals: Option<(char, &'static str)>,
    /// The accept key's `data-tap` has `-done` behind it, the digits `-0` to `-9`, the eraser `-erase`, that of decimals
    /// `-point`.
    #[prop(into)]
    tap: String,
    /// What the eraser and the accept key are called.
    #[prop(into)]
    erase: String,
    #[prop(into)] done: String,
    /// Takes the number.
    on_done: impl Fn(f64) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    // Kept with a point; shown with the sign that is written on its key.
    let (typed, set_typed) = signal(start.map(|number| number.to_string()).unwrap_or_default());
    let press = move |sign: char| {
        set_typed.update(|typed| {
            let n_digits = typed.chars().filter(char::is_ascii_digit).count();
            let fits = if sign == '.' {
                !typed.is_empty() && !typed.contains('.')
            } else {
                n_digits < digits
            };
            if fits {
                typed.push(sign);
            }
        });
    };
    let pad = tap.clone();
    let key = move |digit: char| {
        view! {
            <button
                type="button"
                class="pad-key"
                data-tap=format!("{pad}-{digit}")
                on:click=move |_| press(digit)
            >
                {digit}
            </button>
        }
    };
    let shown = move || {
        let sign = decimals.map_or('.', |(sign, _)| sign);
        typed.with(|typed| typed.replace('.', sign.encode_utf8(&mut [0; 4])))
    };
    let number = move || typed.with(|typed| typed.parse::<f64>().ok());
    let zero = key('0');
    let point = decimals.map(|(sign, name)| {
        view! {
            <button
                type="button"
                class="pad-key pad-point"
                aria-label=name
                data-tap=format!("{tap}-point")
                on:click=move |_| press('.')
            >
                <span aria-hidden="true">{sign}</span>
            </button>
        }
    });
    view! {
        <div class="pad" role="group" aria-label=move || label.get()>
            <output class="pad-number" aria-live="polite">
                {shown}
                " "
                <span class="unit">{move || unit.get()}</span>
            </output>
            <div class="pad-keys">
                {"123456789".chars().map(key).collect_view()}
                <button
                    type="button"
                    class="pad-key"
                    aria-label=erase
                    data-tap=format!("{tap}-erase")
                    on:click=move |_| erase_last(set_typed)
                >
                    <span aria-hidden="true">"\u{232b}"</span>
                </button>
                {zero}
                {point}
                <button
                    type="button"
                    class="pad-key pad-done"
                    data-tap=format!("{tap}-done")
                    disabled=move || number().is_none()
                    on:click=move |_| {
                        if let Some(number) = number() {
                            on_done(number);
                        }
                    }
                >
                    {done}
                </button>
            </div>
        </div>
    }
}

fn set_value(event: &leptos::ev::Event, text: &str) {
    crate::capability::document::set_value(event, text);
}

fn erase_last(typed: WriteSignal<String>) {
    typed.update(|typed| {
        typed.pop();
    });
}
