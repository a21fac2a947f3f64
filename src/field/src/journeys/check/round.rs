//! A round: how far it is, where to go next, its boxes.

use leptos::prelude::*;
use survey::entry::Walk;
use survey::frame::Drawn;
use survey::progress::{BoxStatus, Step};
use survey::{Command, State, Subject};

use super::box_check::place_name;
use super::last_answer::LastAnswer;
use super::pace::{Pace, StoppingLook};
use super::round_more::More;
use super::route_to;
use crate::capability::document;
use crate::journeys::differs::Pointer;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check as text, common, sample};
use crate::ui::{Button, Kind, Link, Page, Panel, Progress, Section};

/// The screen.
#[component]
pub fn Round(
    /// Its number; the current round if none is given.
    number: Option<u32>,
) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let number = Memo::new(move |_| number.or_else(|| store.state.get().current_round()).unwrap_or(1));
    let is_begun = Memo::new(move |_| store.state.get().rounds.contains_key(&number.get()));
    let progress = Memo::new(move |_| store.state.get().round_progress(number.get()));
    let is_complete = Memo::new(move |_| is_begun.get() && progress.get().is_complete());
    let title = move || {
        if is_complete.get() {
            text::complete(number.get())
        } else {
            text::round(number.get())
        }
    };
    let lead = move || is_complete.get().then(|| text::complete_lead().to_owned());
    let done = Signal::derive(move || progress.get().n_finished);
    let all = Signal::derive(move || progress.get().n_boxes);
    let rows = move || {
        let state = store.state.get();
        state
            .walk(number.get())
            .into_iter()
            .map(|drawn| row(&state, drawn))
            .collect_view()
    };
    let walks_shelf = Memo::new(move |_| store.state.get().rounds.get(&number.get()) == Some(&Walk::Shelf));
    let switch = move || {
        store.send(Command::BeginRound {
            number: number.get_untracked(),
            walk: Walk::Draw,
        });
    };
    let late = move || {
        let state = store.state.get();
        state
            .draw
            .as_ref()
            .is_some_and(|draw| !draw.late.is_empty() && !state.rounds.contains_key(&0))
    };
    let n_aside = Memo::new(move |_| store.state.with(|state| handover::ask_first::pile(state).len()));
    let listing = move || Route::to(store.state.get().survey, Journey::Setup, &["boxes"]).href();
    view! {
        <Page
            title=Signal::derive(title)
            here=common::journey(Journey::Check).to_owned()
            lead=Signal::derive(lead)
            action=move || {
                view! {
                    <LastAnswer />
                    {move || {
                        if !is_begun.get() {
                            let walk = Walk::Draw;
                            view! { <Begin number=number.get() walk is_first=true /> }.into_any()
                        } else if is_complete.get() {
                            view! { <AfterRound number=number.get() /> }.into_any()
                        } else {
                            view! { <NextStep number=number.get() /> }.into_any()
                        }
                    }}
                }
            }
        >
            <Pointer />
            <Progress text=Signal::derive(move || text::boxes_done(done.get(), all.get())) done=done all=all />
            <Pace number=number />
            <Show when=move || is_complete.get() && number.get() != 0>
                <StoppingLook />
            </Show>
            <Section title=text::boxes().to_owned()>
                <ul class="rows">{rows}</ul>
            </Section>
            <Show when=move || walks_shelf.get() && !is_complete.get()>
                <Panel title=text::switch_to_draw().to_owned()>
                    <p>{text::switch_note()}</p>
                    <Button label=sample::walk_draw().to_owned() tap="check-switch-walk" on_press=switch />
                </Panel>
            </Show>
            <Show when=late>
                <Panel title=text::late_round().to_owned()>
                    <Begin number=0 walk=Walk::Draw is_first=false />
                </Panel>
            </Show>
            <OtherRounds shown=number />
            {move || {
                let n = n_aside.get();
                (n > 0)
                    .then(|| view! {
                        <p>
                            <Link
                                label=text::pile(n)
                                tap="check-aside-pile"
                                kind=Kind::Secondary
                                href=super::pile_route(store.state.get_untracked().survey).href()
                            />
                        </p>
                    })
            }}
            <More />
            <p>
                <Link label=text::found_one().to_owned() tap="check-found-box" href=Signal::derive(listing) />
            </p>
        </Page>
    }
}

fn row(state: &State, drawn: Drawn) -> impl IntoView + use<> {
    let serial = drawn.serial;
    let (mark, status) = match state.box_status(serial) {
        BoxStatus::Untouched => ("todo", text::untouched().to_owned()),
        BoxStatus::Begun => {
            let positions = state.positions(serial);
            let finished = positions.iter().filter(|position| {
                state
                    .item_path(survey::ItemId {
                        serial,
                        position: **position,
                    })
                    .done
            });
            let said = if positions.is_empty() {
                text::begun().to_owned()
            } else {
                text::tapes_left(finished.count(), positions.len())
            };
            ("begun", said)
        }
        BoxStatus::Finished(outcome) => ("done", text::outcome(outcome, state.n_items(serial).unwrap_or(0))),
    };
    let label = state
        .boxes
        .get(&serial)
        .map(|listed| listed.label.clone())
        .unwrap_or_default();
    let place = place_name(state, serial);
    let more = if label.is_empty() {
        place
    } else {
        format!("{place} \u{b7} {label}")
    };
    view! {
        <li>
            <a
                class=format!("row row-link row-of-three row-{mark}")
                data-tap=format!("check-box-{serial}")
                href=route_to(state.survey, Subject::Box(serial), None).href()
            >
                <span class="row-name">{serial.to_string()}</span>
                <span class="row-more">{more}</span>
                <span class="row-status">{status}</span>
            </a>
        </li>
    }
}

/// The way on inside a round.
#[component]
fn NextStep(number: u32) -> impl IntoView {
    let store = use_store();
    let step = Memo::new(move |_| {
        let state = store.state.get();
        let (subject, label) = match state.next_step(number) {
            Step::Box(serial) if state.box_status(serial) == BoxStatus::Untouched => (
                Subject::Box(serial),
                text::go_to(serial, place_name(&state, serial)),
            ),
            Step::Box(serial) => (Subject::Box(serial), text::go_on_with(serial)),
            Step::Item(item) => (Subject::Item(item), text::go_on_with(item.serial)),
            Step::RoundComplete => return (String::new(), text::complete(number)),
        };
        (route_to(state.survey, subject, None).href(), label)
    });
    view! {
        <Link
            label=Signal::derive(move || step.get().1)
            tap="check-next"
            kind=Kind::Primary
            href=Signal::derive(move || step.get().0)
        />
    }
}

/// After a complete round: results, or the next round.
#[component]
fn AfterRound(number: u32) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let results = Route::to(state.survey, Journey::Results, &[]).href();
    let following = state.draw.as_ref().and_then(|draw| {
        let last = u32::try_from(draw.rounds.len()).unwrap_or(u32::MAX);
        (number.saturating_add(1)..=last).find(|next| !state.rounds.contains_key(next))
    });
    let walk = state.rounds.get(&number).copied().unwrap_or(Walk::Draw);
    view! {
        <Link label=text::see_results().to_owned() tap="check-results" kind=Kind::Primary href=results />
        {following.map(|next| view! { <Begin number=next walk is_first=false /> })}
    }
}

#[component]
fn Begin(number: u32, walk: Walk, is_first: bool) -> impl IntoView {
    let store = use_store();
    let kind = if is_first { Kind::Primary } else { Kind::Secondary };
    let begin = move || {
        store.send(Command::BeginRound { number, walk });
        Route::to(store.state.get_untracked().survey, Journey::Check, &[]).go();
    };
    view! {
        <Button label=text::begin_round(number) tap=format!("check-begin-{number}") kind=kind on_press=begin />
    }
}

/// Links to the rounds begun, when there are several.
#[component]
fn OtherRounds(shown: Memo<u32>) -> impl IntoView {
    let store = use_store();
    let links = move || {
        let state = store.state.get();
        let others = state.rounds.keys().filter(|number| **number != shown.get());
        let link = others.map(|number| {
            let href = Route::to(state.survey, Journey::Check, &["round", &number.to_string()]).href();
            view! {
                <li>
                    <Link
                        label=text::round(*number)
                        tap=format!("check-round-{number}")
                        kind=Kind::Quiet
                        href=href
                    />
                </li>
            }
        });
        link.collect_view()
    };
    let several = move || store.state.get().rounds.len() > 1;
    view! {
        <Show when=several>
            <Section title=text::change_round().to_owned()>
                <ul class="inline-list">{links}</ul>
            </Section>
        </Show>
    }
}
