//! What was drawn, and beginning the first round.

use leptos::prelude::*;
use survey::Command;
use survey::entry::Walk;

use super::stopping::Stopping;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, sample as text};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Link, Page, Section};

/// The screen.
#[component]
pub fn DrawnSample() -> impl IntoView {
    let store = use_store();
    let (walk, set_walk) = signal(Walk::Draw);
    let begun = Memo::new(move |_| !store.state.get().rounds.is_empty());
    let check = move || Route::to(store.state.get().survey, Journey::Check, &[]);
    let begin = move || {
        store.send(Command::BeginRound {
            number: 1,
            walk: walk.get_untracked(),
        });
        check().go();
    };
    let lead = move || {
        let state = store.state.get();
        let rounds = state.draw.as_ref().map_or(0, |draw| draw.rounds.len());
        text::drawn_lead(state.frame.as_ref().map_or(0, |frame| frame.boxes.len()), rounds)
    };
    let first_round = move || {
        let state = store.state.get();
        let boxes = state
            .draw
            .as_ref()
            .and_then(|draw| draw.rounds.first().cloned())
            .unwrap_or_default();
        let line = boxes.into_iter().map(|drawn| {
            let place = state
                .boxes
                .get(&drawn.serial)
                .and_then(|listed| state.places.get(&listed.place));
            let place = place.map(|place| place.name.clone()).unwrap_or_default();
            view! {
                <li class="row">
                    <span class="row-name">{drawn.serial.to_string()}</span>
                    <span class="row-more">{place}</span>
                </li>
            }
        });
        line.collect_view()
    };
    let record = move || {
        let state = store.state.get();
        let rolls = state.rolls.iter().enumerate().map(|(index, roll)| {
            let (source, _) = text::source(roll.source);
            view! { <li>{text::roll(index + 1, &roll.seed, &source.to_lowercase(), roll.in_force)}</li> }
        });
        let digest = state
            .frame
            .as_ref()
            .map(|frame| view! { <li class="code">{text::digest(&frame.digest)}</li> });
        view! { <ul class="plain-list">{rolls.collect_view()} {digest}</ul> }
    };
    let again = move || Route::to(store.state.get().survey, Journey::Sample, &["again"]).href();
    let walks = vec![
        ChoiceOption::new("draw", text::walk_draw()).hint(text::walk_draw_hint()),
        ChoiceOption::new("shelf", text::walk_shelf()).hint(text::walk_shelf_hint()),
    ];
    let chosen = move || {
        Some(
            if walk.get() == Walk::Shelf {
                "shelf"
            } else {
                "draw"
            }
            .to_owned(),
        )
    };
    view! {
        <Page
            title=text::drawn_title().to_owned()
            here=common::journey(Journey::Sample).to_owned()
            lead=Signal::derive(lead)
            next=common::next(text::next_check())
            action=move || {
                if begun.get() {
                    let href = Signal::derive(move || check().href());
                    view! { <Link label=text::go_on().to_owned() tap="sample-go-on" kind=Kind::Primary href /> }.into_any()
                } else {
                    view! {
                        <Button label=text::begin().to_owned() tap="sample-begin" kind=Kind::Primary on_press=begin />
                    }
                        .into_any()
                }
            }
        >
            <Show when=move || !begun.get()>
                <ChoiceList
                    legend=text::walk().to_owned()
                    options=walks.clone()
                    chosen=Signal::derive(chosen)
                    tap="sample-walk"
                    on_choose=move |key: String| set_walk.set(if key == "shelf" { Walk::Shelf } else { Walk::Draw })
                />
            </Show>
            <Stopping />
            <Section title=text::first_round().to_owned()>
                <ul class="rows">{first_round}</ul>
            </Section>
            <Section title=text::record().to_owned()>
                {record} <p class="hint">{text::again_note()}</p>
                <Link label=text::again().to_owned() tap="sample-again" kind=Kind::Quiet href=Signal::derive(again) />
            </Section>
        </Page>
    }
}
