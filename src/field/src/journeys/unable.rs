//! Where work that takes long has no result: why, what still works, and trying again.

use leptos::prelude::*;

use crate::capability::heavy::{self, Fault, Never};
use crate::store::use_store;
use crate::texts::{common, heavy as text};
use crate::ui::{Button, Kind, Panel, Progress, Tone};

/// Says why there is no result and offers to try again.
#[component]
pub fn Unable(
    /// Why.
    fault: Fault,
    /// Tries again.
    on_again: Callback<()>,
) -> impl IntoView {
    let why = text::fault(fault, |never: Never| match never {});
    view! {
        <Panel tone=Tone::Caution title=text::unable_title().to_owned() at_once=true>
            <p data-tap="unable">{why}</p>
            <div class="panel-actions">
                <Button label=common::try_again() tap="unable-again" on_press=move || on_again.run(()) />
            </div>
        </Panel>
    }
}

/// Stops what is being done.
#[component]
pub fn Stop() -> impl IntoView {
    view! { <Button label=text::stop() tap="heavy-stop" kind=Kind::Quiet on_press=heavy::stop /> }
}

/// How many photographs are done, of how many; nothing where there is none.
#[component]
pub fn PhotosDone(#[prop(into)] far: Signal<(usize, usize)>) -> impl IntoView {
    view! {
        <Show when=move || far.with(|(_, all)| *all > 0)>
            <Progress
                text=Signal::derive(move || text::photos(far.get().0, far.get().1))
                done=Signal::derive(move || far.get().0)
                all=Signal::derive(move || far.get().1)
            />
        </Show>
    }
}

/// The log as it is, for a device that cannot make the survey file.
#[component]
pub fn RawLog() -> impl IntoView {
    let store = use_store();
    let (said, set_said) = signal(None::<String>);
    let save = move || {
        let log = store.log();
        let name = format!("{}.ndjson", ::handover::short_name(log.survey()));
        let saved = crate::capability::download::save(&name, "application/x-ndjson", &log.to_lines());
        set_said.set(saved.err());
    };
    view! {
        <details class="more">
            <summary data-tap="handover-raw">{text::raw_log()}</summary>
            <p>{text::raw_log_text()}</p>
            <Button label=text::raw_log() tap="handover-raw-save" on_press=save />
            <p role="status">{move || said.get()}</p>
        </details>
    }
}
