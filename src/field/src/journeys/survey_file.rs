//! A survey file that is only read: chosen, and opened with its passphrase where it is sealed.

use std::sync::Arc;

use handover::sealed;
use leptos::prelude::*;

use super::unseal::AskPassphrase;
use crate::capability::pick_file::Chosen;
use crate::capability::task;
use crate::texts::handover as text;
use crate::ui::{FileButton, Panel, Tone};

/// The largest file that is read on a device: it is in memory more than once, and an app has little of it. 512 MiB.
pub const MOST_READ_HERE: u64 = 512 << 20;

/// How far choosing is.
#[derive(Clone)]
enum Choosing {
    Idle,
    Sealed(String, Arc<Vec<u8>>),
    Failed(String),
}

/// The button for a survey file; asks for the passphrase of a sealed one.
#[component]
pub fn ChooseSurveyFile(
    /// What the button says.
    #[prop(into)]
    label: String,
    /// What the tests call it.
    tap: &'static str,
    /// Takes the file's name and its bytes, opened.
    on_file: Callback<(String, Vec<u8>)>,
) -> impl IntoView {
    let choosing = RwSignal::new(Choosing::Idle);
    let choose = move |chosen: Chosen| {
        task::spawn(async move {
            let now = match chosen.read(MOST_READ_HERE).await {
                Ok(file) if sealed::is_sealed(&file.bytes) => {
                    Choosing::Sealed(file.name, Arc::new(file.bytes))
                }
                Ok(file) => {
                    let _ = on_file.try_run((file.name, file.bytes));
                    Choosing::Idle
                }
                Err(error) => text::pick_error(&error).map_or(Choosing::Idle, Choosing::Failed),
            };
            // The person may have gone elsewhere meanwhile.
            let _ = choosing.try_set(now);
        });
    };
    view! {
        <div class="panel-actions">
            <FileButton label tap accept=".zip,.age,application/zip" on_choose=choose />
        </div>
        {move || match choosing.get() {
            Choosing::Idle => ().into_any(),
            Choosing::Sealed(name, sealed) => {
                let on_open = Callback::new(move |bytes: Vec<u8>| {
                    let _ = on_file.try_run((name.clone(), bytes));
                    let _ = choosing.try_set(Choosing::Idle);
                });
                view! { <AskPassphrase sealed on_open /> }.into_any()
            }
            Choosing::Failed(why) => view! {
                <Panel tone=Tone::Caution title=text::could_not().to_owned() at_once=true>
                    <p data-tap="file-failed">{why}</p>
                </Panel>
            }
            .into_any(),
        }}
    }
}
