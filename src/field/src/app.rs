//! The shell: reads the address, opens the survey it names, and frames the screen with the day line, what is saved
//! and what went wrong.

use leptos::prelude::*;
use survey::SurveyId;
use survey::store::StoreError;

use crate::capability::preferences::Loaded;
use crate::capability::service_worker::{self, Offline};
use crate::capability::{disk, document, navigation, preferences};
use crate::journeys::{beside, check, earlier, folder, home, keeping};
use crate::parts::{Apart, Before, Later, Screen};
use crate::route::{Journey, Route};
use crate::store::{Opening, Store, use_store};
use crate::texts::{self, Language, common as t};
use crate::ui::{Button, Glyph, Icon, Kind, Link, Page, Panel, Reel, Tone};

/// Where the person is, from context.
#[derive(Clone, Copy)]
pub struct Here(pub ReadSignal<Route>);

/// How far the device is ready for no signal, from context; `None` until it is told.
#[derive(Clone, Copy)]
pub struct Readiness(pub ReadSignal<Option<Offline>>);

/// The language on the screen, from context.
#[derive(Clone, Copy)]
pub struct Spoken(RwSignal<Language>);

impl Spoken {
    /// What was chosen on this device, or else the first of the browser's languages that the app has.
    fn begin() -> Self {
        let chosen = preferences::language().into_iter();
        let language = chosen
            .chain(document::browser_languages())
            .find_map(|tag| Language::of(&tag))
            .unwrap_or(Language::En);
        texts::speak(language);
        document::set_language(language.code());
        Self(RwSignal::new(language))
    }

    /// The language.
    #[must_use]
    pub fn get(self) -> Language {
        self.0.get()
    }

    /// Speaks another language at once, and remembers it.
    pub fn choose(self, language: Language) {
        preferences::set_language(language.code());
        texts::speak(language);
        document::set_language(language.code());
        self.0.set(language);
    }
}

/// The app.
#[component]
pub fn App(
    /// What the device remembers, or why no id can be made.
    loaded: Result<Loaded, String>,
) -> impl IntoView {
    document::set_scheme(preferences::scheme().name());
    document::set_hand(preferences::hand().name());
    provide_context(Spoken::begin());
    document::set_scribe(!preferences::looker().is_empty());
    let held = |why: String| {
        let again = || view! { <Button label=t::try_again() tap="start-again" kind=Kind::Primary on_press=navigation::reload /> };
        view! { <Page title=t::cant_start_title() action=again>{why}</Page> }.into_any()
    };
    let store = match loaded {
        Ok(Loaded::Held(why)) => return held(t::storage_held(&why)),
        Ok(Loaded::Newer(why)) => return held(t::storage_newer(&why)),
        Ok(Loaded::Whole | Loaded::InMemory) => Store::new(),
        Err(why) => Err(why),
    };
    match store {
        Ok(store) => {
            provide_context(store);
            store.hear_other_windows();
            store.write_snapshots_when_hidden();
            store.purge_deleted();
            store.restore_lost();
            disk::sweep();
            view! { <Shell /> }.into_any()
        }
        Err(why) => view! { <Page title=t::cant_start_title()>{t::cant_start(&why)}</Page> }.into_any(),
    }
}

#[component]
fn Shell() -> impl IntoView {
    let here = follow_address();
    provide_context(Here(here));
    let (offline, set_offline) = signal(None);
    service_worker::follow(move |state| set_offline.set(Some(state)));
    provide_context(Readiness(offline));
    // Only a change of survey or of the part of the day makes the screen anew; within it the journey decides.
    let place =
        Memo::new(move |_| here.with(|route| (route.survey(), route.journey(), beside_surveys(route))));
    provide_context(beside::Beside::new());
    provide_context(earlier::Earlier::new());
    provide_context(folder::Password::new());
    let at = Memo::new(move |_| match here.get() {
        Route::Survey { at, .. } => at,
        Route::Home | Route::Device | Route::Camera | Route::Review => Vec::new(),
    });
    let spoken: Spoken = expect_context();
    // Another language makes everything on the screen anew; what was answered is in the store.
    move || {
        spoken.0.track();
        view! {
            <Header />
            <Banners offline=offline />
            {move || match place.get() {
                (Some(survey), Some(journey), _) => {
                    view! { <Gate survey journey at=at.into() /> }.into_any()
                }
                (_, _, Some(Route::Device)) => view! { <Later screen=Screen::Apart(Apart::Device) /> }.into_any(),
                (_, _, Some(Route::Camera)) => view! { <Later screen=Screen::Apart(Apart::Camera) /> }.into_any(),
                (_, _, Some(Route::Review)) => view! { <Later screen=Screen::Apart(Apart::Review) /> }.into_any(),
                _ => view! { <home::View /> }.into_any(),
            }}
        }
    }
}

/// A screen that belongs to no survey, other than the first.
fn beside_surveys(route: &Route) -> Option<Route> {
    matches!(route, Route::Device | Route::Camera | Route::Review).then(|| route.clone())
}

/// The address as a signal. On arrival the survey it names is opened, and the focus goes to the heading.
fn follow_address() -> ReadSignal<Route> {
    let store = use_store();
    let (here, set_here) = signal(Route::read(&navigation::here()));
    let arrive = move |route: &Route| {
        if let Some(survey) = route.survey() {
            store.open(survey);
            preferences::set_last_place(&route.to_string());
        }
    };
    here.with_untracked(arrive);
    navigation::on_change(move |hash| {
        let route = Route::read(&hash);
        if here.with_untracked(|here| *here == route) {
            return;
        }
        arrive(&route);
        set_here.set(route);
        document::focus_heading_after_paint();
    });
    here
}

/// Shows a part of the day once its survey is open.
#[component]
fn Gate(survey: SurveyId, journey: Journey, at: Signal<Vec<String>>) -> impl IntoView {
    let store = use_store();
    let home = || view! { <Link label=t::to_all_surveys() tap="to-home" kind=Kind::Primary href=Route::Home.href() /> };
    let opening = Memo::new(move |_| store.opening.get());
    move || match opening.get() {
        Opening::Open(open) if open == survey => match journey {
            Journey::Setup => view! { <Later screen=Screen::Before(Before::Setup(at)) /> }.into_any(),
            Journey::Sample => view! { <Later screen=Screen::Before(Before::Sample(at)) /> }.into_any(),
            Journey::Check => view! { <check::View at /> }.into_any(),
            Journey::Results => view! { <Later screen=Screen::Results(at) /> }.into_any(),
            Journey::HandOver => view! { <Later screen=Screen::HandOver(at) /> }.into_any(),
        },
        Opening::NotHere(_) => {
            view! { <Page title=t::not_here() lead=t::not_here_why() action=home>""</Page> }.into_any()
        }
        Opening::Failed(StoreError::Locked) => {
            view! { <Later screen=Screen::Apart(Apart::Locked(survey)) /> }.into_any()
        }
        Opening::Failed(error) => {
            let retry = move || {
                view! { <Button label=t::try_again() tap="open-again" kind=Kind::Primary on_press=move || store.open(survey) /> }
            };
            view! {
                <Page title=t::cant_read() action=retry>
                    <p>{error.to_string()}</p>
                    {home()}
                </Page>
            }
            .into_any()
        }
        Opening::Nothing | Opening::Reading(_) | Opening::Open(_) => {
            view! { <p class="opening" role="status">{t::opening()}</p> }.into_any()
        }
    }
}

/// The top of every screen: home, the survey, what is saved, and the day line.
#[component]
fn Header() -> impl IntoView {
    let store = use_store();
    let Here(here) = expect_context();
    let title = Memo::new(move |_| {
        let route = here.get();
        store.state.with(|state| {
            (route.survey() == Some(state.survey)).then(|| (state.title.clone(), state.practice))
        })
    });
    let day = move || {
        let survey = here.with(Route::survey)?;
        Some(view! { <DayLine survey here /> })
    };
    view! {
        <a class="skip" href="#main-heading" data-tap="skip" on:click=move |event| {
            // The address belongs to the router: the heading is focused instead.
            event.prevent_default();
            document::focus("h1");
        }>{t::skip_to_screen()}</a>
        <header class="top">
            <div class="top-line">
                <a class="wordmark" href=Route::Home.href() data-tap="home">
                    <Icon glyph=Glyph::Window />
                    <span>{t::app()}</span>
                </a>
                {move || title.get().map(|(title, _)| view! {
                    <span class="top-title">{title}</span>
                    <SaveMark />
                })}
                <a class="device-link" href=Route::Device.href() data-tap="device" aria-label=t::this_device()>
                    <Icon glyph=Glyph::Phone />
                </a>
            </div>
            {move || {
                let is_practice = title.get().is_some_and(|(_, practice)| practice);
                is_practice.then(|| view! { <p class="practice">{t::practice_mark()}</p> })
            }}
            {day}
        </header>
    }
}

/// The five parts of the day, and which one this is: a tape that runs from the reel of what is left of the round to
/// the reel of what is done.
#[component]
fn DayLine(survey: SurveyId, here: ReadSignal<Route>) -> impl IntoView {
    let store = use_store();
    let done = Memo::new(move |_| {
        store.state.with(|state| match state.current_round() {
            Some(round) => {
                let progress = state.round_progress(round);
                share(progress.n_finished, progress.n_boxes)
            }
            None => 0.0,
        })
    });
    let part = move |journey: Journey| {
        let current = move || {
            here.with(|route| route.journey() == Some(journey))
                .then_some("step")
        };
        view! {
            <li>
                <a href=Route::to(survey, journey, &[]).href() aria-current=current data-tap=format!("day-{}", journey.name())>
                    {t::journey(journey)}
                    {(journey == Journey::HandOver).then(|| view! { <keeping::OnlyHere /> })}
                </a>
            </li>
        }
    };
    view! {
        <nav class="day" aria-label=t::the_day()>
            <Reel full=Signal::derive(move || 1.0 - done.get()) />
            <ol>{Journey::ALL.map(part).collect_view()}</ol>
            <Reel full=done />
        </nav>
    }
}

/// A part of a whole, for a picture.
#[allow(clippy::cast_precision_loss, reason = "for a picture of a few dozen pixels")]
fn share(part: usize, whole: usize) -> f64 {
    part as f64 / whole.max(1) as f64
}

/// Whether everything tapped so far is on the disk.
#[component]
fn SaveMark() -> impl IntoView {
    let store = use_store();
    let state = Memo::new(move |_| {
        if store.trouble.with(Option::is_some) {
            ("failed", t::not_saved())
        } else if store.saving.with(|saving| !saving.is_empty()) {
            ("saving", t::saving())
        } else {
            ("saved", t::saved())
        }
    });
    view! {
        <span class="save-mark" role="status" data-tap="save-mark" data-state=move || state.get().0>
            {move || state.get().1}
        </span>
    }
}

/// What went wrong or waits for a yes, above the screen.
#[component]
fn Banners(offline: ReadSignal<Option<Offline>>) -> impl IntoView {
    let store = use_store();
    let Here(here) = expect_context();
    let (later, set_later) = signal(false);
    let trouble = move || {
        let error = store.trouble.get()?;
        let waiting = store.saving.with(std::collections::BTreeSet::len);
        let survey = here.with(Route::survey);
        Some(view! {
            <Panel tone=Tone::Stop title=t::trouble_title(&error) at_once=true>
                <p>{t::trouble_text(&error, waiting)}</p>
                <div class="panel-actions">
                    <Button label=t::try_again() tap="trouble-retry" on_press=move || store.retry() />
                    {survey.map(|survey| view! {
                        <Link
                            label=t::save_file_now()
                            tap="trouble-file"
                            kind=Kind::Secondary
                            href=Route::to(survey, Journey::HandOver, &[]).href()
                        />
                    })}
                </div>
                <details>
                    <summary data-tap="trouble-why">{t::browser_says()}</summary>
                    <p class="code">{error.to_string()}</p>
                </details>
            </Panel>
        })
    };
    let refusal = move || {
        store.refusal.get().map(|refusal| {
            view! {
                <Panel tone=Tone::Caution title=t::refused() at_once=true>
                    <p>{t::refusal(&refusal)}</p>
                </Panel>
            }
        })
    };
    let update = move || {
        (offline.get() == Some(Offline::NewVersion) && !later.get()).then(|| view! {
            <Panel title=t::new_version()>
                <p>{t::new_version_text()}</p>
                <div class="panel-actions">
                    <Button label=t::take_new_version() tap="update-take" on_press=service_worker::take_new_version />
                    <Button label=t::later() tap="update-later" kind=Kind::Quiet on_press=move || set_later.set(true) />
                </div>
            </Panel>
        })
    };
    view! { <div class="banners">{trouble}<keeping::Lost /><keeping::Follows />{refusal}{update}<keeping::Nudge /></div> }
}
