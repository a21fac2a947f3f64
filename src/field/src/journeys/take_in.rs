//! Taking in a survey file: somebody's, or the practice survey that comes with the app.

use std::sync::Arc;

use handover::sealed;
use leptos::prelude::*;
use survey::SurveyId;

use super::survey_file::MOST_READ_HERE;
use super::unseal::AskPassphrase;
use crate::capability::pick_file::Chosen;
use crate::capability::{heavy, own_file, task};
use crate::route::{Journey, Route};
use crate::store::{Store, TakeInError, use_store};
use crate::texts::{handover as text, heavy as work};
use crate::ui::{Button, FileButton, Kind, Panel, Tone};

/// The practice survey, beside `index.html`.
const PRACTICE_FILE: &str = "practice.zip";

/// How far it is.
#[derive(Clone, PartialEq)]
enum Progress {
    Idle,
    Reading,
    Sealed(Arc<Vec<u8>>),
    Failed(String),
}

/// A button that takes in a survey file, and what came of it.
#[component]
pub fn TakeIn(
    /// What the button says.
    label: &'static str,
    /// Its `data-tap`.
    tap: &'static str,
) -> impl IntoView {
    let store = use_store();
    let progress = RwSignal::new(Progress::Idle);
    let choose = move |chosen: Chosen| {
        task::spawn(async move {
            progress.set(Progress::Reading);
            match chosen.read(MOST_READ_HERE).await {
                Ok(file) if sealed::is_sealed(&file.bytes) => {
                    drop(progress.try_set(Progress::Sealed(Arc::new(file.bytes))));
                }
                Ok(file) => finish(progress, take_in(store, file.bytes).await),
                Err(error) => {
                    progress.set(text::pick_error(&error).map_or(Progress::Idle, Progress::Failed));
                }
            }
        });
    };
    view! {
        <FileButton label=label.to_owned() tap=tap accept=".zip,.age,application/zip" on_choose=choose />
        <State progress />
    }
}

/// A button that takes in the practice survey.
#[component]
pub fn Practise() -> impl IntoView {
    let store = use_store();
    let progress = RwSignal::new(Progress::Idle);
    let practise = move || {
        task::spawn(async move {
            progress.set(Progress::Reading);
            let taken = match own_file::fetch(PRACTICE_FILE).await {
                Ok(bytes) => take_in(store, bytes).await,
                Err(why) => Err(why),
            };
            finish(progress, taken);
        });
    };
    view! {
        <Button label=text::practise().to_owned() tap="home-practise" kind=Kind::Secondary on_press=practise />
        <State progress />
    }
}

#[component]
fn State(progress: RwSignal<Progress>) -> impl IntoView {
    let store = use_store();
    let on_open = Callback::new(move |bytes: Vec<u8>| {
        task::spawn(async move {
            let _ = progress.try_set(Progress::Reading);
            finish(progress, take_in(store, bytes).await);
        });
    });
    move || match progress.get() {
        Progress::Idle => ().into_any(),
        Progress::Sealed(sealed) => view! { <AskPassphrase sealed on_open /> }.into_any(),
        Progress::Reading => view! { <p role="status">{text::opening()}</p> }.into_any(),
        Progress::Failed(why) => view! {
            <Panel tone=Tone::Caution title=text::could_not().to_owned() at_once=true>
                <p>{why}</p>
                <p>{text::nothing_lost()}</p>
            </Panel>
        }
        .into_any(),
    }
}

fn finish(progress: RwSignal<Progress>, taken: Result<SurveyId, String>) {
    // The person may have gone elsewhere meanwhile: then there is nobody to tell.
    match taken {
        Ok(survey) => {
            let _ = progress.try_set(Progress::Idle);
            Route::to(survey, Journey::Check, &[]).go();
        }
        Err(why) => drop(progress.try_set(Progress::Failed(why))),
    }
}

async fn take_in(store: Store, bytes: Vec<u8>) -> Result<SurveyId, String> {
    let opened = heavy::read_file(bytes)
        .await
        .map_err(|fault| work::fault(fault, |error| text::file_error(&error)))?;
    // Pictures first: what a log names is there when it is opened.
    let survey = opened.log.survey();
    store
        .take_in_photos(survey, &opened.photos)
        .await
        .map_err(|error| format!("{}: {error}", text::no_room()))?;
    store.take_in(opened.log).await.map_err(|error| match error {
        TakeInError::Store(error) => format!("{}: {error}", text::no_room()),
        TakeInError::Entry(error) => format!("{}: {error}", text::could_not()),
    })
}
