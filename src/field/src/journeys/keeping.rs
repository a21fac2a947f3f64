//! What every screen says about keeping: which window writes, what is on this device only, what a browser may forget.

use leptos::prelude::*;
use survey::SurveyId;

use crate::app::Here;
use crate::capability::storage_state::{self, Risk};
use crate::capability::{preferences, task};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common as t, device, home};
use crate::ui::{Button, Kind, Link, Panel, Tone};

/// Says that another window writes, and lets this one.
#[component]
pub fn Follows() -> impl IntoView {
    let store = use_store();
    let Here(here) = expect_context();
    let follows = Memo::new(move |_| store.follows.get() && here.with(|route| route.survey().is_some()));
    move || {
        follows.get().then(|| {
            view! {
                <Panel tone=Tone::Caution title=t::follows() at_once=true>
                    <p>{t::follows_text()}</p>
                    <div class="panel-actions">
                        <Button label=t::write_here() tap="write-here" on_press=move || store.take_over() />
                    </div>
                </Panel>
            }
        })
    }
}

/// What the browser lost and what came back, until the person has read it.
#[component]
pub fn Lost() -> impl IntoView {
    let store = use_store();
    move || {
        store.lost.get().map(|lost| {
            let tone = match lost.is_coming || lost.n_entries > 0 {
                true => Tone::Caution,
                false => Tone::Stop,
            };
            let read = (!lost.is_coming).then(|| {
                view! {
                    <div class="panel-actions">
                        <Button label=t::lost_read() tap="lost-read" on_press=move || store.heard_of_loss() />
                    </div>
                }
            });
            view! {
                <div data-tap="lost">
                    <Panel tone title=t::lost(&lost) at_once=true>
                        <p>{t::lost_text(&lost)}</p>
                        {read}
                        {lost.said.map(|said| view! {
                            <details>
                                <summary data-tap="lost-why">{t::browser_says()}</summary>
                                <p class="code">{said}</p>
                            </details>
                        })}
                    </Panel>
                </div>
            }
        })
    }
}

/// At the end of the day: the way to carry away a file.
#[component]
pub fn Nudge() -> impl IntoView {
    let store = use_store();
    let Here(here) = expect_context();
    let (later, set_later) = signal(false);
    // Asked where a part of the day begins, not at each tap and never between two questions.
    let survey = Memo::new(move |_| {
        let place = here.with(|route| match route {
            Route::Survey { survey, journey, at } if at.is_empty() => Some((*survey, *journey)),
            _ => None,
        });
        let is_due = !later.get() && store.is_time_to_hand_over();
        place
            .filter(|(_, journey)| is_due && *journey != Journey::HandOver)
            .map(|(survey, _)| survey)
    });
    move || {
        survey.get().map(|survey| {
            view! {
                <section aria-label=t::hand_over_nudge_title()><Panel title=t::hand_over_nudge_title()>
                    <p>{move || t::hand_over_nudge(store.only_here())}</p>
                    <div class="panel-actions">
                        <Link
                            label=t::save_file_now()
                            tap="nudge-file"
                            kind=Kind::Secondary
                            href=Route::to(survey, Journey::HandOver, &[]).href()
                        />
                        <Button label=t::later() tap="nudge-later" kind=Kind::Quiet on_press=move || set_later.set(true) />
                    </div>
                </Panel></section>
            }
        })
    }
}

/// How many entries are on this device only, beside the way to hand them over.
#[component]
pub fn OnlyHere() -> impl IntoView {
    let store = use_store();
    let count = Memo::new(move |_| store.only_here());
    move || {
        (count.get() > 0).then(|| {
            view! {
                <span class="only-here" data-count=move || count.get().to_string()>
                    <span>{move || count.get().to_string()}</span>
                    <span class="only-heard">" "{t::only_here_short()}</span>
                </span>
            }
        })
    }
}

/// What this browser may forget, said before the first answer.
#[component]
pub fn Forgetful() -> impl IntoView {
    let store = use_store();
    let (risk, set_risk) = signal(Risk::Low);
    task::spawn(async move {
        let keeps = store.surveys().await.is_ok();
        // The person may have gone elsewhere meanwhile.
        let _ = set_risk.try_set(storage_state::risk(keeps).await);
    });
    move || {
        device::risk(risk.get()).map(|(title, text)| {
            let tone = if risk.get() == Risk::NothingKept {
                Tone::Stop
            } else {
                Tone::Caution
            };
            view! {
                <div data-tap="keeping-risk">
                    <Panel tone title=title.to_owned()>
                        <p>{text}</p>
                        <details class="more">
                            <summary>{home::install()}</summary>
                            <p>{home::install_text()}</p>
                        </details>
                    </Panel>
                </div>
            }
        })
    }
}

/// The surveys that were deleted since the start, each with its way back.
#[component]
pub fn Deleted() -> impl IntoView {
    let store = use_store();
    let (failed, set_failed) = signal(None::<String>);
    let bring_back = move |survey: SurveyId| {
        task::spawn(async move {
            let failure = store
                .bring_back(survey)
                .await
                .err()
                .map(|error| error.to_string());
            let _ = set_failed.try_set(failure);
        });
    };
    let line = move |(survey, title): (SurveyId, String)| {
        view! {
            <Panel title=t::deleted() at_once=true>
                <p>{t::deleted_text(&title)}</p>
                <div class="panel-actions">
                    <Button label=t::bring_back() tap=format!("bring-back-{survey}") on_press=move || bring_back(survey) />
                </div>
            </Panel>
        }
    };
    move || {
        store.listed.get();
        let lines = preferences::deleted().into_iter().map(line).collect_view();
        view! { {lines} <p role="status">{move || failed.get()}</p> }
    }
}

/// How far the asking is.
#[derive(Clone, PartialEq)]
enum Asking {
    Not,
    Once,
    Twice,
    Failed(String),
}

/// Deleting a survey: two questions, and the way back is on the start screen.
#[component]
pub fn Delete() -> impl IntoView {
    let store = use_store();
    let asking = RwSignal::new(Asking::Not);
    let keep = move || view! { <Button label=t::keep_it() tap="delete-keep" on_press=move || asking.set(Asking::Not) /> };
    let delete = move || {
        let survey = store.state.get_untracked().survey;
        task::spawn(async move {
            match store.delete(survey).await {
                Ok(()) => Route::Home.go(),
                Err(error) => drop(asking.try_set(Asking::Failed(error.to_string()))),
            }
        });
    };
    move || {
        match asking.get() {
        Asking::Not => view! {
            <Button label=t::delete() tap="delete" kind=Kind::Quiet on_press=move || asking.set(Asking::Once) />
        }
        .into_any(),
        Asking::Once => view! {
            <Panel tone=Tone::Caution title=t::delete_first() at_once=true>
                <p>{t::delete_first_text(store.only_here())}</p>
                <div class="panel-actions">
                    {keep()}
                    <Button label=t::delete_yes() tap="delete-yes" kind=Kind::Quiet on_press=move || asking.set(Asking::Twice) />
                </div>
            </Panel>
        }
        .into_any(),
        Asking::Twice => view! {
            <Panel tone=Tone::Stop title=t::delete_second() at_once=true>
                <p>{t::delete_second_text()}</p>
                <div class="panel-actions">
                    {keep()}
                    <Button label=t::delete_really() tap="delete-really" kind=Kind::Quiet on_press=delete />
                </div>
            </Panel>
        }
        .into_any(),
        Asking::Failed(why) => view! {
            <Panel tone=Tone::Caution title=t::not_deleted() at_once=true>
                <p>{why}</p>
                <div class="panel-actions">{keep()}</div>
            </Panel>
        }
        .into_any(),
    }
    }
}
