//! Photographs of a box or a tape: taken, seen small, removed.

use leptos::prelude::*;
use survey::photo::{MAX_SIDE, Shows, Taken};
use survey::{Command, Subject};
use tape::Question;

use crate::capability::pick_file::{Chosen, PickError};
use crate::capability::{photo, task};
use crate::store::{Store, use_store};
use crate::texts::{handover, photos as text};
use crate::ui::{Button, FileButton, Kind, Panel, Tone};

/// What a photograph taken at a question is of.
pub fn shows_at(question: &Question) -> Shows {
    match question.key {
        "label" | "speed" | "tracks" | "length_class" | "label_base" | "date_decade" | "size" | "stock"
        | "stock_where" | "machine" => Shows::Label,
        "mould" | "vermin" | "hazard" | "shape" | "wind" | "residue" | "damage" | "free_end" => Shows::Damage,
        _ => Shows::Other,
    }
}

#[derive(Clone, PartialEq)]
enum Keeping {
    Idle,
    Working,
    Failed(String),
}

/// The photographs of a subject, and the camera.
#[component]
pub fn Photos(
    subject: Subject,
    /// What the next one is of.
    shows: Shows,
) -> impl IntoView {
    let store = use_store();
    let keeping = RwSignal::new(Keeping::Idle);
    let taken = Memo::new(move |_| {
        store
            .state
            .with(|state| state.photos_of(subject).cloned().collect::<Vec<Taken>>())
    });
    let take = move |chosen: Chosen| {
        task::spawn(async move {
            keeping.set(Keeping::Working);
            let said = keep(store, subject, shows, chosen).await;
            // The person may have gone on meanwhile: the photograph is kept all the same.
            let _ = keeping.try_set(said);
        });
    };
    let label = move || {
        if taken.with(Vec::is_empty) {
            text::take()
        } else {
            text::take_another()
        }
    };
    let said = move || match keeping.get() {
        Keeping::Idle => ().into_any(),
        Keeping::Working => view! { <p role="status">{text::keeping()}</p> }.into_any(),
        Keeping::Failed(why) => view! {
            <Panel tone=Tone::Caution title=text::not_kept_title().to_owned() at_once=true>
                <p>{why}</p>
                <p>{text::answers_stand()}</p>
            </Panel>
        }
        .into_any(),
    };
    view! {
        <div class="photos">
            <Pictures taken=taken.into() />
            <FileButton
                label=Signal::derive(move || label().to_owned())
                tap="check-photo"
                accept="image/*"
                capture="environment"
                on_choose=take
            />
            <p class="hint">{text::private()}</p>
            {said}
        </div>
    }
}

async fn keep(store: Store, subject: Subject, shows: Shows, chosen: Chosen) -> Keeping {
    let file = match chosen.read(photo::MOST_BYTES).await {
        Ok(file) => file,
        Err(PickError::Nothing) => return Keeping::Idle,
        Err(error) => return handover::pick_error(&error).map_or(Keeping::Idle, Keeping::Failed),
    };
    let jpeg = match photo::shrink(&file.bytes, MAX_SIDE, photo::QUALITY).await {
        Ok(jpeg) => jpeg,
        Err(why) => return Keeping::Failed(text::not_a_picture(&why)),
    };
    match store.add_photo(subject, shows, &jpeg).await {
        Ok(_) => Keeping::Idle,
        Err(why) => Keeping::Failed(text::not_kept(&why)),
    }
}

/// Photographs side by side, each with its remover.
#[component]
pub fn Pictures(taken: Signal<Vec<Taken>>) -> impl IntoView {
    let store = use_store();
    let pictures = move || {
        let pictures = taken.get().into_iter().enumerate().map(|(index, taken)| {
            let number = index + 1;
            let entry = taken.entry;
            view! {
                <li class="photo">
                    <Picture sha256=taken.photo.sha256.clone() alt=text::one(number, taken.photo.shows) />
                    <Button
                        label=text::take_back(number)
                        tap=format!("check-photo-remove-{number}")
                        kind=Kind::Quiet
                        on_press=move || store.send(Command::Undo(entry))
                    />
                </li>
            }
        });
        pictures.collect_view()
    };
    view! { <ul class="photo-list">{pictures}</ul> }
}

/// One photograph, once it is read.
#[component]
pub fn Picture(sha256: String, alt: String) -> impl IntoView {
    let store = use_store();
    let shown = RwSignal::new(None::<Result<String, String>>);
    task::spawn(async move {
        let read = match store.photo(sha256).await {
            Ok(Some(bytes)) => photo::address(&bytes),
            Ok(None) => Err(text::not_here().to_owned()),
            Err(error) => Err(error.to_string()),
        };
        if let Some(Some(Ok(address))) = shown.try_set(Some(read)) {
            // The picture was scrolled away before it was read.
            photo::give_back(&address);
        }
    });
    on_cleanup(move || {
        if let Some(Some(Ok(address))) = shown.try_get_untracked() {
            photo::give_back(&address);
        }
    });
    move || match shown.get() {
        None => view! { <span class="photo-waits"></span> }.into_any(),
        Some(Ok(address)) => view! { <img src=address alt=alt.clone() /> }.into_any(),
        Some(Err(why)) => view! { <span class="photo-waits">{why}</span> }.into_any(),
    }
}
