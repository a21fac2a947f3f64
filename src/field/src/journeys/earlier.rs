//! The survey file of an earlier visit, which the report and the screen of changes compare with. It is read, never taken in,
//! and kept in memory alone.

use std::sync::Arc;

use leptos::prelude::*;
use survey::SurveyId;

use super::survey_file::ChooseSurveyFile;
use super::unable::Stop;
use crate::capability::{heavy, task};
use crate::store::{Store, use_store};
use crate::texts::{handover as files, heavy as work, papers as t};
use crate::ui::{Button, Kind, Panel, Tone};

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

    /// Lets go of it: nothing of it stays in this page.
    pub(crate) fn forget(self) {
        self.0.set(None);
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
    Refused(String),
    Failed(String),
}

/// Chooses an earlier file, says which one is compared with, and lets go of it. What cannot be compared is refused here.
#[component]
pub fn ChooseEarlier() -> impl IntoView {
    let store = use_store();
    let earlier = use_earlier();
    let reading = RwSignal::new(Reading::Idle);
    let take = move |(name, bytes): (String, Vec<u8>)| {
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
    let said = move || match reading.get() {
        Reading::Idle => ().into_any(),
        Reading::Working => view! {
            <p role="status">{t::earlier_reading()}</p>
            <Stop />
        }
        .into_any(),
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
                    on_press=move || earlier.forget()
                />
            }
        })
    };
    view! {
        <p>{t::earlier_text()}</p>
        <ChooseSurveyFile label=t::earlier_choose() tap="earlier-choose" on_file=Callback::new(take) />
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
