//! A sealed file asks for its passphrase.

use std::sync::Arc;

use leptos::prelude::*;

use super::unable::Stop;
use crate::capability::{heavy, task};
use crate::texts::{handover as text, heavy as work};
use crate::ui::{Button, Kind, Panel, TextField, Tone};

/// Asks for the passphrase of a sealed file, and hands on what is inside.
#[component]
pub fn AskPassphrase(
    /// The sealed bytes.
    sealed: Arc<Vec<u8>>,
    /// Takes the bytes that were inside.
    on_open: Callback<Vec<u8>>,
) -> impl IntoView {
    let passphrase = RwSignal::new(String::new());
    let (said, set_said) = signal(None::<String>);
    let (is_working, set_working) = signal(false);
    let open = move || {
        if is_working.get_untracked() {
            return;
        }
        set_working.set(true);
        set_said.set(None);
        let (sealed, passphrase) = (Arc::clone(&sealed), passphrase.get_untracked().trim().to_owned());
        task::spawn(async move {
            let opened = heavy::unseal(sealed, passphrase).await;
            // The person may have gone elsewhere meanwhile.
            let _ = set_working.try_set(false);
            match opened {
                Ok(bytes) => drop(on_open.try_run(bytes)),
                Err(fault) => drop(set_said.try_set(Some(work::fault(fault, text::seal_error)))),
            }
        });
    };
    let on_enter = Callback::new({
        let open = open.clone();
        move |()| open()
    });
    view! {
        <Panel title=text::sealed().to_owned() at_once=true>
            <TextField
                label=text::passphrase()
                hint=text::passphrase_hint()
                error=Signal::derive(move || said.get())
                value=passphrase
                tap="unseal-passphrase"
                on_input=move |typed| passphrase.set(typed)
                on_enter=on_enter
            />
            <div class="panel-actions">
                <Button
                    label=text::unseal()
                    tap="unseal-open"
                    kind=Kind::Secondary
                    disabled=is_working
                    on_press=open
                />
            </div>
            <p role="status">{move || is_working.get().then_some(text::unsealing())}</p>
            {move || is_working.get().then(|| view! { <Stop /> })}
        </Panel>
    }
}

/// The offer to seal a file: a passphrase made here, and what it means to lose it.
#[component]
pub fn Sealing(
    /// The passphrase, and whether it is to be used.
    #[prop(into)]
    passphrase: RwSignal<String>,
    /// Whether a file can be made now.
    disabled: Signal<bool>,
    /// Makes the sealed file.
    on_seal: Callback<()>,
) -> impl IntoView {
    view! {
        <Panel tone=Tone::Caution title=text::seal_warning().to_owned()>
            <p>{text::seal_warning_text()}</p>
        </Panel>
        <TextField
            label=text::passphrase()
            hint=text::passphrase_made()
            value=passphrase
            tap="seal-passphrase"
            on_input=move |typed| passphrase.set(typed)
        />
        <div class="panel-actions">
            <Button label=text::another() tap="seal-another" kind=Kind::Quiet on_press=move || {
                if let Some(made) = heavy::passphrase() {
                    passphrase.set(made);
                }
            } />
            <Button
                label=text::save_sealed()
                tap="handover-save-sealed"
                disabled=Signal::derive(move || disabled.get() || passphrase.with(|typed| typed.trim().is_empty()))
                on_press=move || on_seal.run(())
            />
        </div>
    }
}
