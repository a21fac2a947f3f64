//! This phone shows: a large code that changes a few times a second, until the other phone has all of it.

use std::sync::Arc;

use leptos::prelude::*;
use transfer::code::{self, Grain, Squares};
use transfer::{Known, Message, Stream};

use super::Beside;
use crate::capability::{awake, task};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{beside as t, common};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Link, Page, Panel, Section, Tone};

/// Milliseconds a code: six a second, so that no square can flash more than three times a second (WCAG 2.3.1).
const A_CODE_MS: i32 = 167;
/// The same for eyes, or cameras, that want it slower.
const A_SLOW_CODE_MS: i32 = 500;

/// What is shown.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Entries: all, or those that the other phone lacks.
    Entries,
    /// What this phone has, so that the other shows it the rest alone.
    Known,
}

/// A stream that is ready to be shown.
struct Ready {
    n_entries: usize,
    stream: Result<Stream, usize>,
}

/// The screen.
#[component]
pub fn ShowCodes(
    /// What is shown.
    what: What,
) -> impl IntoView {
    let store = use_store();
    let beside: Beside = expect_context();
    let survey = store.state.with_untracked(|state| state.survey);
    let known = beside
        .known
        .get_untracked()
        .filter(|known| known.survey() == survey);
    let is_rest = known.is_some();
    // The next phone is another one.
    on_cleanup(move || drop(beside.known.try_set(None)));
    let grain = RwSignal::new(Grain::default());
    let is_slow = RwSignal::new(false);
    let ready = Memo::new_with_compare(
        move |_| Arc::new(made(&store.log(), what, known.as_ref(), grain.get())),
        |_, _| true,
    );
    let number = RwSignal::new(0_u32);
    let running = RwSignal::new(false);
    let run = move || {
        running.set(true);
        task::spawn(async move {
            let awake = awake::stay().await;
            while running.try_get_untracked() == Some(true) {
                let ms = if is_slow.get_untracked() {
                    A_SLOW_CODE_MS
                } else {
                    A_CODE_MS
                };
                task::wait_ms(ms).await;
                // After all of the numbers, which takes 22 years, it begins again.
                let _ = number.try_update(|number| *number = number.wrapping_add(1));
            }
            drop(awake);
        });
    };
    let press = move || {
        if running.get_untracked() {
            running.set(false);
        } else {
            run();
        }
    };
    let is_one_code =
        move || ready.with(|ready| matches!(&ready.stream, Ok(stream) if stream.n_blocks() == 1));
    let action = move || {
        let is_shown = ready.with(|ready| ready.n_entries > 0 && ready.stream.is_ok()) && !is_one_code();
        let label = Signal::derive(move || if running.get() { t::pause() } else { t::start() }.to_owned());
        view! {
            {is_shown.then(|| view! { <Button label tap="beside-run" kind=Kind::Primary on_press=press /> })}
            <Link
                label=t::ready_with_it()
                tap="beside-done"
                kind=if is_shown { Kind::Secondary } else { Kind::Primary }
                href=Route::to(survey, Journey::HandOver, &[]).href()
            />
        }
    };
    let shown = move || {
        ready.with(|ready| match &ready.stream {
            _ if ready.n_entries == 0 => view! { <p>{t::nothing_lacking()}</p> }.into_any(),
            Ok(stream) => {
                let (n_codes, n_entries) = (stream.n_blocks(), ready.n_entries);
                let ms = if is_slow.get() { A_SLOW_CODE_MS } else { A_CODE_MS };
                let said = match what {
                    What::Entries => t::shown(n_entries, n_codes, ms),
                    What::Known => t::shown_known(n_entries),
                };
                view! { <p>{said}</p> }.into_any()
            }
            Err(bytes) => {
                let why = t::why_too_much(*bytes);
                view! {
                    <Panel tone=Tone::Caution title=t::too_much()>
                        <p>{why}</p>
                    </Panel>
                }
                .into_any()
            }
        })
    };
    let squares = move || {
        ready.with(|ready| {
            let stream = ready.stream.as_ref().ok().filter(|_| ready.n_entries > 0)?;
            code::draw(&stream.frame(number.get()))
        })
    };
    let has_code = Memo::new(move |_| squares().is_some());
    let (title, lead) = match (what, is_rest) {
        (What::Entries, false) => (t::show(), t::show_lead()),
        (What::Entries, true) => (t::show(), t::show_rest_lead()),
        (What::Known, _) => (t::have(), t::have_lead()),
    };
    view! {
        <Page title here=common::journey(Journey::HandOver).to_owned() lead action>
            <Show when=move || has_code.get()>
                <Code squares=Signal::derive(squares) number />
            </Show>
            {shown}
            <ul class="bullets">{t::advice().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
            {(what == What::Entries).then(|| view! { <Further survey is_slow grain /> })}
        </Page>
    }
}

/// Finer points: coarser squares, slower, and what the other phone has already.
#[component]
fn Further(survey: survey::SurveyId, is_slow: RwSignal<bool>, grain: RwSignal<Grain>) -> impl IntoView {
    let options: Vec<ChoiceOption> = Grain::ALL
        .into_iter()
        .map(|grain| ChoiceOption::new(t::grain_key(grain), t::of_grain(grain)))
        .collect();
    let choose = move |key: String| {
        if let Some(chosen) = Grain::ALL.into_iter().find(|grain| t::grain_key(*grain) == key) {
            grain.set(chosen);
        }
    };
    let pace = Signal::derive(move || if is_slow.get() { t::faster() } else { t::slower() }.to_owned());
    view! {
        <details class="more">
            <summary data-tap="beside-further">{t::further()}</summary>
            <ChoiceList
                legend=t::grain().to_owned()
                options=Signal::derive(move || options.clone())
                chosen=Signal::derive(move || Some(t::grain_key(grain.get()).to_owned()))
                tap="beside-grain"
                on_choose=choose
            />
            <Button label=pace tap="beside-pace" on_press=move || is_slow.update(|is_slow| *is_slow = !*is_slow) />
        </details>
        <Section title=t::part().to_owned()>
            <p>{t::part_text()}</p>
            <div class="beside">
                <Link label=t::read_first() tap="beside-read-known" kind=Kind::Secondary href=Route::Camera.href() />
                <Link
                    label=t::have()
                    tap="beside-have"
                    kind=Kind::Secondary
                    href=Route::to(survey, Journey::HandOver, &["have"]).href()
                />
            </div>
        </Section>
    }
}

/// A code, as large as the screen allows.
#[component]
fn Code(#[prop(into)] squares: Signal<Option<Squares>>, #[prop(into)] number: Signal<u32>) -> impl IntoView {
    let side = move || squares.with(|squares| squares.as_ref().map_or(1, |squares| squares.side));
    let dark = move || squares.with(|squares| squares.as_ref().map(path).unwrap_or_default());
    view! {
        <figure class="code-figure">
            <svg
                class="code"
                viewBox=move || format!("0 0 {0} {0}", side())
                role="img"
                aria-label=t::code()
                data-number=move || number.get().to_string()
            >
                <rect class="code-light" width=side height=side />
                <path class="code-dark" d=dark />
            </svg>
        </figure>
    }
}

/// The black squares as one path, a run at a time.
fn path(squares: &Squares) -> String {
    use std::fmt::Write;
    let mut path = String::new();
    for (y, line) in squares.black.chunks(squares.side).enumerate() {
        let mut x = 0;
        for run in line.chunk_by(|a, b| a == b) {
            if run.first() == Some(&true) {
                // Writing into a string cannot fail.
                let _ = write!(path, "M{x} {y}h{0}v1h-{0}z", run.len());
            }
            x += run.len();
        }
    }
    path
}

fn made(log: &survey::Log, what: What, known: Option<&Known>, grain: Grain) -> Ready {
    let (message, n_entries) = match what {
        What::Known => {
            let known = Known::of(log);
            let n = usize::try_from(known.n_entries()).unwrap_or(usize::MAX);
            (Message::Known(known), n)
        }
        What::Entries => {
            let entries = known.map_or_else(|| log.clone(), |known| known.lacking(log));
            let n = entries.entries().len() + entries.twins().len();
            (Message::Entries(entries), n)
        }
    };
    Ready {
        n_entries,
        stream: Stream::new(message.to_bytes(), grain.block()).map_err(|long| long.bytes),
    }
}
