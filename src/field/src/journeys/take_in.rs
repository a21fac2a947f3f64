//! Taking in a survey file: somebody's, or the practice survey that comes with the app.

use std::sync::Arc;

use handover::sealed;
use leptos::prelude::*;
use survey::SurveyId;

use super::survey_file::MOST_READ_HERE;
use super::unable::PhotosDone;
use super::unseal::AskPassphrase;
use crate::capability::heavy::Unread;
use crate::capability::held::Held;
use crate::capability::pick_file::{Chosen, PickError};
use crate::capability::{heavy, own_file, task};
use crate::route::{Journey, Route};
use crate::store::{NotTakenIn, Store, TakeInError, use_store};
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
    let (progress, far) = (RwSignal::new(Progress::Idle), RwSignal::new((0, 0)));
    let choose = move |chosen: Chosen| {
        let Some(file) = chosen.held() else { return };
        task::spawn(async move {
            progress.set(Progress::Reading);
            match sealed_bytes(&file).await {
                Ok(Some(bytes)) => drop(progress.try_set(Progress::Sealed(Arc::new(bytes)))),
                Ok(None) => finish(progress, take_in(store, &file, far).await),
                Err(error) => finish(progress, Err(text::pick_error(&error).unwrap_or_default())),
            }
        });
    };
    view! {
        <FileButton label=label.to_owned() tap=tap accept=".zip,.age,application/zip" on_choose=choose />
        <State progress far />
    }
}

/// A button that takes in the practice survey.
#[component]
pub fn Practise() -> impl IntoView {
    let store = use_store();
    let (progress, far) = (RwSignal::new(Progress::Idle), RwSignal::new((0, 0)));
    let practise = move || {
        task::spawn(async move {
            progress.set(Progress::Reading);
            let taken = match own_file::fetch(PRACTICE_FILE).await {
                Ok(bytes) => take_in_bytes(store, &bytes, far).await,
                Err(why) => Err(why),
            };
            finish(progress, taken);
        });
    };
    view! {
        <Button label=text::practise().to_owned() tap="home-practise" kind=Kind::Secondary on_press=practise />
        <State progress far />
    }
}

#[component]
fn State(
    progress: RwSignal<Progress>,
    /// How many photographs are taken in, of how many.
    far: RwSignal<(usize, usize)>,
) -> impl IntoView {
    let store = use_store();
    let on_open = Callback::new(move |bytes: Vec<u8>| {
        task::spawn(async move {
            let _ = progress.try_set(Progress::Reading);
            finish(progress, take_in_bytes(store, &bytes, far).await);
        });
    });
    move || match progress.get() {
        Progress::Idle => ().into_any(),
        Progress::Sealed(sealed) => view! { <AskPassphrase sealed on_open /> }.into_any(),
        Progress::Reading => view! {
            <p role="status">{text::opening()}</p>
            <PhotosDone far />
        }
        .into_any(),
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

/// The bytes of a sealed file, which are opened as a whole; nothing of a plain one.
async fn sealed_bytes(file: &Held) -> Result<Option<Vec<u8>>, PickError> {
    let n_bytes = file.n_bytes();
    let begin = file.read(0, n_bytes.min(sealed::MAGIC.len() as u64)).await;
    if !sealed::is_sealed(&begin.map_err(PickError::Unreadable)?) {
        return Ok(None);
    }
    if n_bytes > MOST_READ_HERE {
        let (bytes, most) = (n_bytes, MOST_READ_HERE);
        return Err(PickError::TooLarge { bytes, most });
    }
    file.read_all().await.map(Some).map_err(PickError::Unreadable)
}

async fn take_in_bytes(
    store: Store,
    bytes: &[u8],
    far: RwSignal<(usize, usize)>,
) -> Result<SurveyId, String> {
    take_in(store, &Held::of(bytes)?, far).await
}

async fn take_in(store: Store, file: &Held, far: RwSignal<(usize, usize)>) -> Result<SurveyId, String> {
    let hear = move |done, all| {
        let _ = far.try_set((done, all));
    };
    hear(0, 0);
    let opened = heavy::read_file(file, MOST_READ_HERE)
        .await
        .map_err(|fault| work::fault(fault, unread))?;
    // Pictures first: what a log names is there when it is opened.
    let survey = opened.log.survey();
    store
        .take_in_photos(survey, (file, &opened.photos), hear)
        .await
        .map_err(|error| match error {
            NotTakenIn::Unread(error) => unread(error),
            NotTakenIn::Store(error) => format!("{}: {error}", text::no_room()),
            NotTakenIn::Stopped => work::stopped().to_owned(),
        })?;
    store.take_in(opened.log).await.map_err(|error| match error {
        TakeInError::Store(error) => format!("{}: {error}", text::no_room()),
        TakeInError::Entry(error) => format!("{}: {error}", text::could_not()),
    })
}

fn unread(error: Unread) -> String {
    match error {
        Unread::File(error) => text::file_error(&error),
        Unread::Picked(error) => text::pick_error(&error).unwrap_or_default(),
    }
}
