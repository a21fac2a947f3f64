//! Text to type.

use leptos::prelude::*;

use super::element_id;

/// One line of text.
#[component]
pub fn TextField(
    /// What it is for.
    #[prop(into)]
    label: Signal<String>,
    /// More about it.
    #[prop(into, optional)]
    hint: MaybeProp<String>,
    /// What is wrong with it.
    #[prop(into, optional)]
    error: MaybeProp<String>,
    /// What stands there.
    #[prop(into)]
    value: Signal<String>,
    /// Its `data-tap`.
    #[prop(into)]
    tap: String,
    /// The browser's autocomplete word; off if absent.
    #[prop(optional)]
    autocomplete: Option<&'static str>,
    /// Whether nobody beside is to read it.
    #[prop(optional)]
    is_secret: bool,
    /// Takes each change while typing.
    on_input: impl Fn(String) + 'static,
    /// Takes the text when typing is done: the field is left, or Enter.
    #[prop(optional)]
    on_done: Option<Callback<String>>,
    /// Enter was pressed: as good as the button beside the field.
    #[prop(optional)]
    on_enter: Option<Callback<()>>,
) -> impl IntoView {
    let (id, hint_id, error_id) = (element_id("field"), element_id("hint"), element_id("error"));
    let described = format!("{hint_id} {error_id}");
    view! {
        <div class="field">
            <label for=id.clone()>{move || label.get()}</label>
            <span class="hint" id=hint_id>
                {move || hint.get()}
            </span>
            <input
                type=if is_secret { "password" } else { "text" }
                id=id
                data-tap=tap
                autocomplete=autocomplete.unwrap_or("off")
                aria-describedby=described
                aria-invalid=move || error.get().map(|_| "true")
                prop:value=move || value.get()
                on:input=move |event| on_input(event_target_value(&event))
                on:change=move |event| {
                    if let Some(done) = on_done {
                        done.run(event_target_value(&event));
                    }
                }
                on:keydown=move |event| {
                    if let (Some(enter), "Enter") = (on_enter, event.key().as_str()) {
                        enter.run(());
                    }
                }
            />
            <span class="error" id=error_id role="alert">
                {move || error.get()}
            </span>
        </div>
    }
}

/// Many lines of text.
#[component]
pub fn TextArea(
    /// What it is for.
    #[prop(into)]
    label: Signal<String>,
    /// More about it.
    #[prop(into, optional)]
    hint: MaybeProp<String>,
    /// What stands there.
    #[prop(into)]
    value: Signal<String>,
    /// Its `data-tap`.
    #[prop(into)]
    tap: String,
    /// How many lines are shown.
    #[prop(default = 6)]
    rows: u32,
    /// Whether it is text to read, whose lines are broken where the field ends; else a table, whose lines are not.
    #[prop(optional)]
    is_prose: bool,
    /// Takes each change while typing.
    on_input: impl Fn(String) + 'static,
) -> impl IntoView {
    let (id, hint_id) = (element_id("field"), element_id("hint"));
    view! {
        <div class="field">
            <label for=id.clone()>{move || label.get()}</label>
            <span class="hint" id=hint_id.clone()>
                {move || hint.get()}
            </span>
            <textarea
                id=id
                rows=rows
                data-tap=tap
                class:prose=is_prose
                aria-describedby=hint_id
                spellcheck="false"
                prop:value=move || value.get()
                on:input=move |event| on_input(event_target_value(&event))
            ></textarea>
        </div>
    }
}
