//! The start: go on, start another, try it out, open a file.

use std::collections::BTreeMap;

use leptos::prelude::*;
use survey::SurveyId;
use survey::store::StoreError;

use super::device::ReadyLines;
use super::keeping;
use super::take_in::{Practise, TakeIn};
use crate::capability::{clock, document, preferences, storage_state, task};
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{beside, common, differ, handover, home as t, locking};
use crate::ui::{Button, Kind, Link, Page, Panel, Section, Tone};

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let store = use_store();
    let titles = preferences::titles();
    let (here, set_here) = signal(None::<Result<Vec<SurveyId>, StoreError>>);
    Effect::new(move |_| {
        store.listed.get();
        task::spawn(async move {
            // The person may have gone elsewhere meanwhile.
            let _ = set_here.try_set(Some(store.surveys().await));
        });
    });
    let is_first =
        Memo::new(move |_| here.with(|here| matches!(here, Some(Ok(surveys)) if surveys.is_empty())));
    let last = preferences::last_place()
        .map(|hash| Route::read(&hash))
        .filter(|route| {
            let survey = route.survey();
            survey.is_some_and(|survey| !preferences::deleted().contains_key(&survey))
        });
    let list = move || match here.get() {
        Some(Ok(surveys)) if !surveys.is_empty() => {
            // Read anew: what was lost and came back has its name again.
            view! { <Surveys surveys titles=preferences::titles() /> }.into_any()
        }
        Some(Err(error)) => view! {
            <Panel tone=Tone::Caution title=t::list_failed()>
                <p>{t::list_failed_text()}</p>
                <p class="small">{error.to_string()}</p>
            </Panel>
        }
        .into_any(),
        Some(Ok(_)) => view! {
            <p>{t::first_1()}</p>
            <p>{t::first_2()}</p>
            <p>{t::first_3()}</p>
        }
        .into_any(),
        None => ().into_any(),
    };
    let action = move || view! { <Actions last=last.clone() titles=titles.clone() /> };
    view! {
        <Page
            title=Signal::derive(move || if is_first.get() { t::title_first() } else { t::title() }.to_owned())
            lead=Signal::derive(move || (!is_first.get()).then(|| t::lead().to_owned()))
            action=action
        >
            <keeping::Deleted />
            {list}
            <keeping::Forgetful />
            <div class="beside">
                <Practise />
                <TakeIn label=handover::open() tap="home-open" />
                <Link label=beside::read() tap="home-read" kind=Kind::Secondary href=Route::Camera.href() />
            </div>
            <Section title=common::this_device()>
                <ReadyLines />
                {(!document::is_installed()).then(|| view! {
                    <details class="more">
                        <summary>{t::install()}</summary>
                        <p>{t::install_text()}</p>
                    </details>
                })}
            </Section>
        </Page>
    }
}

#[component]
fn Surveys(surveys: Vec<SurveyId>, titles: BTreeMap<SurveyId, String>) -> impl IntoView {
    let mut named: Vec<(String, SurveyId)> = surveys
        .into_iter()
        .map(|survey| {
            (
                match titles.get(&survey).map(String::as_str) {
                    Some("") => locking::one().to_owned(),
                    Some(title) => title.to_owned(),
                    None => t::untitled().to_owned(),
                },
                survey,
            )
        })
        .collect();
    named.sort();
    let differs = preferences::differs();
    let line = |(title, survey): (String, SurveyId)| {
        view! {
            <li>
                <a class="line-link" data-tap=format!("survey-{survey}") href=Route::to(survey, Journey::Setup, &[]).href()>
                    {title}
                </a>
                {differs
                    .get(&survey)
                    .map(|n| {
                        view! {
                            <a
                                class="line-link small"
                                data-tap=format!("differ-{survey}")
                                href=Route::to(survey, Journey::HandOver, &["differ"]).href()
                            >
                                {differ::pointer(*n)}
                            </a>
                        }
                    })}
            </li>
        }
    };
    view! { <ul class="line-links" aria-label=t::yours()>{named.into_iter().map(line).collect_view()}</ul> }
}

/// The bottom of the screen: where the person was, if anywhere; a new survey.
#[component]
fn Actions(last: Option<Route>, titles: BTreeMap<SurveyId, String>) -> impl IntoView {
    let store = use_store();
    let start_kind = if last.is_some() {
        Kind::Secondary
    } else {
        Kind::Primary
    };
    let go_on = last.map(|route| {
        let title = route.survey().and_then(|survey| titles.get(&survey).cloned());
        let title = title.filter(|title| !title.is_empty());
        let label = title.map_or_else(|| t::go_on().to_owned(), |title| t::go_on_with(&title));
        view! { <Link label tap="home-go-on" kind=Kind::Primary href=route.href() /> }
    });
    view! {
        {go_on}
        <Button label=t::start() tap="home-start" kind=start_kind on_press=move || start(store) />
    }
}

/// Begins a survey named after the day; its first screens ask for a better title.
fn start(store: Store) {
    let title = t::first_title(clock::iso_day(clock::now_ms()));
    // Without randomness the store itself could not have been made.
    if let Ok(survey) = store.begin(title, t::stratum_all().to_owned()) {
        Route::to(survey, Journey::Setup, &["time"]).go();
    }
    task::spawn(async {
        storage_state::ask_to_keep().await;
    });
}
