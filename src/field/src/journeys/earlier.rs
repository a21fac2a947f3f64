//! The survey file of an earlier visit, which the report and the screen of changes compare with. It is read, never taken in,
//! and kept in memory alone.

use std::sync::Arc;

use handover::{MAX_FILE_BYTES, sealed};
use leptos::prelude::*;
use survey::SurveyId;

use super::unable::Stop;
use super::unseal::AskPassphrase;
use crate::capability::pick_file::Chosen;
use crate::capability::{heavy, task};
use crate::store::{Store, use_store};
use crate::texts::{handover as files, heavy as work, papers as t};
use crate::ui::{Button, FileButton, Kind, Panel, Tone};

/// An earlier visit that can be compared with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Visit {
    /// The survey that is compared with it.
    of: SurveyId,
    /// The name of its file.
    pub name: String,
    /// The lines of its log.
    pub lines: Arc<Vec<u8>>,
}

/// The earlier visit that was chosen, from context.
#[derive(Clone, Copy)]
pub struct Earlier(RwSignal<Option<Visit>>);

impl Earlier {
    /// None yet.
    #[must_use]
    pub(crate) fn new() -> Self {
        Self(RwSignal::new(None))
    }

    /// The one that was chosen for the open survey.
    #[must_use]
    pub fn chosen(self, store: Store) -> Option<Visit> {
        let survey = store.state.with(|state| state.survey);
        self.0.get().filter(|visit| visit.of == survey)
    }
}

/// The earlier visit, from context.
///
/// # Panics
/// Outside [`crate::app::App`], which provides it.
#[must_use]
pub fn use_earlier() -> Earlier {
    expect_context()
}

/// How far reading is.
#[derive(Clone, PartialEq)]
enum Reading {
    Idle,
    Working,
    Sealed(String, Arc<Vec<u8>>),
    Refused(String),
    Failed(String),
}

/// Chooses an earlier file, says which one is compared with, and lets go of it. What cannot be compared is refused here.
#[component]
pub fn ChooseEarlier() -> impl IntoView {
    let store = use_store();
    let earlier = use_earlier();
    let reading = RwSignal::new(Reading::Idle);
    let take = move |name: String, bytes: Vec<u8>| {
        task::spawn(async move {
            // The person may have gone elsewhere meanwhile.
            let _ = reading.try_set(Reading::Working);
            let read = read(store, name, bytes).await;
            let now = match read {
                Ok(visit) => {
                    earlier.0.set(Some(visit));
                    Reading::Idle
                }
                Err(why) => why,
            };
            let _ = reading.try_set(now);
        });
    };
    let choose = move |chosen: Chosen| {
        task::spawn(async move {
            match chosen.read(MAX_FILE_BYTES as u64).await {
                Ok(file) if sealed::is_sealed(&file.bytes) => {
                    let _ = reading.try_set(Reading::Sealed(file.name, Arc::new(file.bytes)));
                }
                Ok(file) => take(file.name, file.bytes),
                Err(error) => {
                    let failed = files::pick_error(&error).map_or(Reading::Idle, Reading::Failed);
                    let _ = reading.try_set(failed);
                }
            }
        });
    };
    let said = move || match reading.get() {
        Reading::Idle => ().into_any(),
        Reading::Working => view! {
            <p role="status">{t::earlier_reading()}</p>
            <Stop />
        }
        .into_any(),
        Reading::Sealed(name, sealed) => {
            let on_open = Callback::new(move |bytes: Vec<u8>| take(name.clone(), bytes));
            view! { <AskPassphrase sealed on_open /> }.into_any()
        }
        Reading::Refused(why) => view! {
            <Panel tone=Tone::Stop title=t::earlier_refused().to_owned() at_once=true>
                <p data-tap="earlier-refused">{why}</p>
            </Panel>
        }
        .into_any(),
        Reading::Failed(why) => view! {
            <Panel tone=Tone::Caution title=files::could_not().to_owned() at_once=true>
                <p data-tap="earlier-failed">{why}</p>
            </Panel>
        }
        .into_any(),
    };
    let chosen = move || {
        earlier.chosen(store).map(|visit| {
            view! {
                <p role="status">{t::earlier_chosen(visit.name)}</p>
                <Button
                    label=t::earlier_drop()
                    tap="earlier-drop"
                    kind=Kind::Quiet
                    on_press=move || earlier.0.set(None)
                />
            }
        })
    };
    view! {
        <p>{t::earlier_text()}</p>
        <div class="panel-actions">
            <FileButton
                label=t::earlier_choose().to_owned()
                tap="earlier-choose"
                accept=".zip,.age,application/zip"
                on_choose=choose
            />
        </div>
        {said}
        {chosen}
    }
}

async fn read(store: Store, name: String, bytes: Vec<u8>) -> Result<Visit, Reading> {
    let lines = heavy::read_lines(bytes)
        .await
        .map_err(|fault| Reading::Failed(work::fault(fault, |error| files::file_error(&error))))?;
    let visit = Visit {
        of: store.log().survey(),
        name,
        lines: Arc::new(lines),
    };
    match heavy::changed(store.log(), Arc::clone(&visit.lines)).await {
        Ok(_) => Ok(visit),
        Err(heavy::Fault::Said(error)) => Err(Reading::Refused(t::refused(&error))),
        Err(fault) => Err(Reading::Failed(work::fault(fault, |error| t::refused(&error)))),
    }
}
