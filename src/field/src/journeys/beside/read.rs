//! This phone reads: the camera looks at the other's codes until it has all of them; then it is said what is new.

use leptos::prelude::*;
use survey::{Log, SurveyId};
use transfer::code::SIDES;
use transfer::{Message, Taken};

use super::Beside;
use crate::capability::camera::Camera;
use crate::capability::heavy::{self, Fault};
use crate::capability::{awake, navigation, task};
use crate::route::{Journey, Route};
use crate::store::news::News;
use crate::store::{Store, TakeInError, use_store};
use crate::texts::heavy::fault as heavy_fault;
use crate::texts::{beside as t, handover};
use crate::ui::{Button, Kind, Page, Panel, Progress, Tone};

/// The `video` that shows what the camera sees.
const VIDEO: &str = "video.finder";
/// Milliseconds between two looks, so that the screen and the thumb get their turn.
const REST_MS: i32 = 20;

/// How long a picture is searched, milliseconds: some, made or met, would keep the search for many seconds.
const LONGEST_MS: i32 = 3_000;

/// How far it is.
#[derive(Clone, PartialEq)]
enum Reading {
    /// The camera is off: before, or in between.
    Off,
    Asking,
    Looking,
    NoCamera(String),
    /// A survey's entries are here and checked, and wait for a yes.
    Entries(Box<Log>, News),
    /// What the other phone has of a survey of ours.
    Known(SurveyId, u64),
    /// It cannot be used, and why.
    Useless(String),
    TakingIn,
}

/// The screen.
#[component]
pub fn Read() -> impl IntoView {
    let store = use_store();
    let beside: Beside = expect_context();
    let reading = RwSignal::new(Reading::Off);
    let (parts, set_parts) = signal((0_usize, 0_usize));
    let (hint, set_hint) = signal("");
    let begin = move || {
        reading.set(Reading::Asking);
        set_hint.set("");
        task::spawn(async move {
            // The screen with its video must be there before the picture.
            task::after_paint().await;
            let whole = match Camera::on(VIDEO).await {
                Ok(camera) => {
                    let _ = reading.try_set(Reading::Looking);
                    look(&camera, beside, reading, set_parts, set_hint).await
                }
                Err(none) => {
                    let _ = reading.try_set(Reading::NoCamera(t::why_no_camera(&none)));
                    return;
                }
            };
            let next = match whole {
                Ok(Some(bytes)) => understood(store, beside, &bytes).await,
                Ok(None) => Reading::Off,
                Err(fault) => Reading::Useless(heavy_fault(fault, |never| match never {})),
            };
            // The person may have gone elsewhere meanwhile.
            let _ = reading.try_set(next);
        });
    };
    let take = move || {
        let Reading::Entries(log, _) = reading.get_untracked() else {
            return;
        };
        reading.set(Reading::TakingIn);
        task::spawn(async move {
            match store.take_in(*log).await {
                Ok(survey) => Route::to(survey, Journey::Check, &[]).go(),
                Err(error) => drop(reading.try_set(Reading::Useless(take_in_error(&error)))),
            }
        });
    };
    let action = move || {
        let button = |label: &'static str, tap: &'static str, press: fn() -> ()| {
            view! { <Button label tap kind=Kind::Primary on_press=press /> }.into_any()
        };
        match reading.get() {
            Reading::Off | Reading::NoCamera(_) | Reading::Useless(_) => {
                let label = if parts.get().0 > 0 {
                    t::go_on()
                } else {
                    t::camera_on()
                };
                view! { <Button label tap="camera-on" kind=Kind::Primary on_press=begin /> }.into_any()
            }
            Reading::Asking | Reading::Looking => {
                let pause = move || reading.set(Reading::Off);
                view! { <Button label=t::pause() tap="camera-pause" kind=Kind::Primary on_press=pause /> }
                    .into_any()
            }
            Reading::Entries(_, news) if news.n_new + news.n_twins > 0 => {
                view! { <Button label=t::take_in() tap="camera-take-in" kind=Kind::Primary on_press=take /> }
                    .into_any()
            }
            Reading::Known(survey, _) => {
                let show = move || Route::to(survey, Journey::HandOver, &["beside"]).go();
                view! { <Button label=t::show_rest() tap="camera-show-rest" kind=Kind::Primary on_press=show /> }.into_any()
            }
            Reading::Entries(..) => button(t::ready_with_it(), "camera-done", navigation::back),
            Reading::TakingIn => ().into_any(),
        }
    };
    let is_looking = Memo::new(move |_| matches!(reading.get(), Reading::Asking | Reading::Looking));
    view! {
        <Page title=t::read() lead=t::read_lead() action>
            {move || is_looking.get().then(|| view! {
                <div class="finder-frame">
                    <video class="finder" playsinline muted aria-label=t::finder()></video>
                </div>
            })}
            {move || (parts.get().1 > 0 && is_looking.get()).then(|| view! {
                <Progress
                    text=Signal::derive(move || t::parts(parts.get().0, parts.get().1))
                    done=Signal::derive(move || parts.get().0)
                    all=Signal::derive(move || parts.get().1)
                />
            })}
            <p role="status">{move || is_looking.get().then(|| hint.get())}</p>
            {move || said(&reading.get(), parts.get())}
        </Page>
    }
}

/// What there is to say beside the camera.
fn said(reading: &Reading, (have, want): (usize, usize)) -> AnyView {
    let caution = |title: &'static str, why: String| {
        view! {
            <Panel tone=Tone::Caution title at_once=true>
                <p>{why}</p>
                <p>{handover::nothing_lost()}</p>
            </Panel>
        }
        .into_any()
    };
    match reading {
        Reading::Off if have > 0 => {
            view! { <p data-parts=have.to_string()>{t::paused(have, want)}</p> }.into_any()
        }
        Reading::Off => view! { <p>{t::camera_why()}</p> }.into_any(),
        Reading::Asking => view! { <p role="status">{t::asking()}</p> }.into_any(),
        Reading::Looking => ().into_any(),
        Reading::NoCamera(why) => caution(t::no_camera(), why.clone()),
        Reading::Useless(why) => caution(t::useless(), why.clone()),
        Reading::Known(_, n) => view! { <p>{t::they_have(*n)}</p> }.into_any(),
        Reading::TakingIn => view! { <p role="status">{t::taking_in()}</p> }.into_any(),
        Reading::Entries(_, news) => {
            let (n_new, n_twins, line) = (news.n_new, news.n_twins, t::news(news));
            let by = news
                .by
                .iter()
                .map(|(who, n)| view! { <li>{t::by(who, *n)}</li> })
                .collect_view();
            view! {
                <Panel title=t::whole() at_once=true>
                    <p data-new=n_new.to_string()>{line}</p>
                    <ul class="bullets">{by}</ul>
                    {(n_twins > 0).then(|| view! { <p>{t::twins(n_twins)}</p> })}
                </Panel>
            }
            .into_any()
        }
    }
}

/// Looks until a stream is whole; nothing if the person, or the device, stopped before.
///
/// # Errors
/// No worker, which finds the codes.
async fn look(
    camera: &Camera,
    beside: Beside,
    reading: RwSignal<Reading>,
    set_parts: WriteSignal<(usize, usize)>,
    set_hint: WriteSignal<&'static str>,
) -> Result<Option<Vec<u8>>, Fault> {
    let awake = awake::stay().await;
    let reader = beside.reader.get_value();
    let mut sides = SIDES.into_iter().cycle();
    let is_wanted = || reading.try_with_untracked(|reading| *reading == Reading::Looking) == Some(true);
    started().await?;
    while is_wanted() && camera.is_on() {
        let Some(side) = sides.next() else { break };
        let seen = match camera.look(side) {
            Some(grey) => match task::within(LONGEST_MS, heavy::find_codes(grey, side)).await {
                Some(seen) => seen?,
                None => {
                    heavy::stop();
                    started().await?
                }
            },
            None => Vec::new(),
        };
        for frame in seen {
            match reader.borrow_mut().take(&frame) {
                Taken::NoFrame => drop(set_hint.try_set(t::another_code())),
                Taken::Newer => drop(set_hint.try_set(t::newer())),
                Taken::Wrong => {
                    let _ = set_parts.try_set((0, 0));
                    let _ = set_hint.try_set(t::wrong());
                }
                Taken::Part { have, want, .. } => {
                    let _ = set_parts.try_set((have, want));
                    let _ = set_hint.try_set("");
                }
                Taken::Whole(bytes) => {
                    let _ = set_parts.try_set((0, 0));
                    return Ok(Some(bytes));
                }
            }
        }
        task::wait_ms(REST_MS).await;
    }
    drop(awake);
    Ok(None)
}

/// Waits for the worker, which may take its time to start: a search has none. Nothing is found yet.
async fn started() -> Result<Vec<Vec<u8>>, Fault> {
    heavy::find_codes(Vec::new(), 0).await
}

/// What came through, checked.
async fn understood(store: Store, beside: Beside, bytes: &[u8]) -> Reading {
    match Message::from_bytes(bytes) {
        Ok(Message::Entries(log)) => match store.news_of(&log).await {
            Ok(news) => Reading::Entries(Box::new(log), news),
            Err(error) => Reading::Useless(error.to_string()),
        },
        Ok(Message::Known(known)) => {
            let survey = known.survey();
            match store.surveys().await {
                Ok(surveys) if surveys.contains(&survey) => {
                    let n = known.n_entries();
                    let _ = beside.known.try_set(Some(known));
                    Reading::Known(survey, n)
                }
                Ok(_) => Reading::Useless(t::not_here().to_owned()),
                Err(error) => Reading::Useless(error.to_string()),
            }
        }
        Err(error) => Reading::Useless(t::message_error(&error)),
    }
}

fn take_in_error(error: &TakeInError) -> String {
    match error {
        TakeInError::Store(error) => format!("{}: {error}", handover::no_room()),
        TakeInError::Entry(error) => format!("{}: {error}", handover::could_not()),
    }
}
