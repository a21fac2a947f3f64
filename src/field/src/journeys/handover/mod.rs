//! Hand over: carry the survey file away, check one, take in a colleague's.

mod check_file;

use handover::{Day, Parts, short_name};
use leptos::prelude::*;

use self::check_file::CheckFile;
use super::take_in::TakeIn;
use crate::capability::{clock, download, heavy, task};
use crate::route::Journey;
use crate::store::use_store;
use crate::texts::{common, handover as text};
use crate::ui::{Button, Kind, Page, Panel, Section, Tone};

/// How far the file is.
#[derive(Clone, PartialEq)]
enum Saving {
    Idle,
    Working,
    /// Its name, its size in bytes, and how many photographs that the log names are not in it.
    Saved(String, usize, usize),
    Failed(String),
}

/// The screen.
#[component]
pub fn View(
    /// Not used yet: there is one screen.
    #[prop(into)]
    at: Signal<Vec<String>>,
) -> impl IntoView {
    let _ = at;
    let store = use_store();
    let saving = RwSignal::new(Saving::Idle);
    let save = move || {
        saving.set(Saving::Working);
        task::spawn(async move {
            // A person who has gone elsewhere finds the file among the downloads.
            let _ = saving.try_set(save_file(store).await);
        });
    };
    let is_working = Signal::derive(move || saving.with(|saving| *saving == Saving::Working));
    let said = move || match saving.get() {
        Saving::Idle => view! {
            <Panel title=text::ONLY_HERE.to_owned()>
                <p>{text::ONLY_HERE_TEXT}</p>
            </Panel>
        }
        .into_any(),
        Saving::Working => view! { <p role="status">{text::WORKING}</p> }.into_any(),
        Saving::Saved(name, bytes, n_missing) => view! {
            <Panel title=text::SAVED_TITLE.to_owned() at_once=true>
                <p data-saved=name.clone()>{text::saved(&name, bytes.div_ceil(1_000))}</p>
                {(n_missing > 0).then(|| view! { <p>{text::without_photos(n_missing)}</p> })}
            </Panel>
        }
        .into_any(),
        Saving::Failed(why) => view! {
            <Panel tone=Tone::Caution title=text::COULD_NOT_SAVE.to_owned() at_once=true>
                <p>{why}</p>
            </Panel>
        }
        .into_any(),
    };
    let size = move || {
        let state = store.state.get();
        text::entries(store.log().entries().len(), state.writers.len())
    };
    view! {
        <Page
            title=text::TITLE.to_owned()
            here=common::journey(Journey::HandOver).to_owned()
            lead=text::LEAD.to_owned()
            action=move || {
                view! {
                    <Button
                        label=text::SAVE.to_owned()
                        tap="handover-save"
                        kind=Kind::Primary
                        disabled=is_working
                        on_press=save
                    />
                }
            }
        >
            {said} <Section title=text::CONTENTS.to_owned()>
                <p>{size}</p>
                <ul class="bullets">{text::CONTENTS_LINES.map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
            </Section> <NotFitting /> <Section title=text::CHECK_IT.to_owned()>
                <p>{text::CHECK_TEXT}</p>
                <CheckFile />
            </Section> <Section title=text::TAKE_IN.to_owned()>
                <p>{text::TAKE_IN_TEXT}</p>
                <TakeIn label=text::OPEN tap="handover-take-in" />
            </Section>
        </Page>
    }
}

async fn save_file(store: crate::store::Store) -> Saving {
    let now = clock::now_ms();
    let Some(date) = Day::from_ms(now) else {
        return Saving::Failed(text::COULD_NOT_SAVE.to_owned());
    };
    let log = store.log();
    let parts = Parts {
        date,
        app: handover::APP.to_owned(),
        organization: None,
        contact: None,
    };
    let name = format!("{}-{}.zip", short_name(log.survey()), clock::iso_day(now));
    // Where the device gives no photographs, the answers are carried away all the same, and it is said.
    let photos = store.all_photos().await.unwrap_or_default();
    let n_missing = store.state.with_untracked(|state| {
        let named = handover::photos::named(state);
        named
            .into_iter()
            .filter(|sha256| !photos.contains_key(*sha256))
            .count()
    });
    match heavy::write_file(log, parts, photos).await {
        Ok(bytes) => match download::save(&name, "application/zip", &bytes) {
            Ok(()) => Saving::Saved(name, bytes.len(), n_missing),
            Err(why) => Saving::Failed(why),
        },
        Err(error) => Saving::Failed(text::file_error(&error)),
    }
}

/// Faults of the log and answers that differ, if there are any.
#[component]
fn NotFitting() -> impl IntoView {
    let store = use_store();
    let faults = move || {
        let state = store.state.get();
        let faults: Vec<String> = state.faults.iter().map(handover::verify::fault).collect();
        let differ: Vec<String> = state
            .disagreements()
            .map(|(subject, question, heads)| {
                let said: Vec<String> = heads
                    .iter()
                    .map(|head| super::check::answer_text(question, &head.value))
                    .collect();
                format!("{subject}, {question}: {}", said.join(" / "))
            })
            .collect();
        let list = |title: &'static str, lines: Vec<String>| {
            (!lines.is_empty()).then(|| {
                view! {
                    <Section title=title.to_owned()>
                        <ul class="bullets">
                            {lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}
                        </ul>
                    </Section>
                }
            })
        };
        view! {
            {list(text::FAULTS, faults)}
            {list(text::DISAGREE, differ)}
        }
    };
    view! { {faults} }
}
