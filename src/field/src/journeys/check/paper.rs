//! Sheets for a day without a phone: a page a box, with its serial, which tapes to take, and the questions to tick.

use leptos::prelude::*;
use survey::{Serial, State};
use tape::{Kind, Question};

use super::box_check::place_name;
use super::typed::turns;
use crate::capability::document;
use crate::route::Journey;
use crate::store::use_store;
use crate::texts::{check, common, paper as text, worded};
use crate::ui::{Button, Kind as Look, Page};

/// The largest box for which a sheet says which tapes to take: more are rare, and are counted at a desk.
const MOST_TAPES: u32 = 60;
/// How many blocks for tapes a sheet has where every tape of a box is checked.
const BLOCKS: u32 = 4;

/// The sheets of the current round.
#[component]
pub fn Sheets() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let state = store.state.get_untracked();
    let number = state.current_round().unwrap_or(1);
    let sheets = state
        .walk(number)
        .into_iter()
        .map(|drawn| sheet(&state, number, drawn.serial));
    let sheets: Vec<_> = sheets.collect();
    view! {
        <Page
            title=text::sheets().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::sheets_lead().to_owned()
            action=|| {
                view! {
                    <Button
                        label=text::print().to_owned()
                        tap="paper-print"
                        kind=Look::Primary
                        on_press=document::print
                    />
                }
            }
        >
            <div class="paper">{sheets}</div>
        </Page>
    }
}

fn sheet(state: &State, round: u32, serial: Serial) -> impl IntoView + use<> {
    let label = state
        .boxes
        .get(&serial)
        .map(|listed| listed.label.clone())
        .unwrap_or_default();
    let place = check::found_at(&place_name(state, serial), &label);
    let draw = state.draw.clone();
    let positions = move |n| {
        draw.as_ref()
            .map_or_else(Vec::new, |draw| draw.positions(serial, n))
    };
    let turns = turns(positions, MOST_TAPES);
    let first = turns
        .first()
        .map_or(MOST_TAPES, |(from, _)| from.saturating_sub(1));
    let which: Vec<String> = std::iter::once(text::all_up_to(first))
        .filter(|_| first > 0)
        .chain(
            turns
                .iter()
                .map(|(from, positions)| text::positions(*from, positions)),
        )
        .collect();
    let n_blocks = state
        .draw
        .as_ref()
        .and_then(|draw| draw.items_per_box)
        .unwrap_or(BLOCKS);
    let asked = |about: tape::Subject| {
        let questions = tape::questions().iter();
        questions.filter(move |question| question.subject == about && !question.optional)
    };
    let of_box: Vec<_> = asked(tape::Subject::Box).map(ticks).collect();
    let blocks: Vec<_> = (1..=n_blocks)
        .map(|nth| {
            let of_item: Vec<_> = asked(tape::Subject::Item).map(ticks).collect();
            view! {
                <section class="paper-tape">
                    <h3>{text::tape(nth)} <span class="paper-line">{text::number_of_tape()}</span></h3>
                    {(nth == 1).then(|| view! { <p class="hint">{text::put_down()}</p> })}
                    {of_item}
                </section>
            }
        })
        .collect();
    view! {
        <article class="paper-sheet" data-serial=serial.to_string()>
            <h2>{check::box_here(check::round(round), serial, &place)}</h2>
            <p>
                <span class="paper-line">{text::looked_by()}</span>
                <span class="paper-line">{text::day()}</span>
            </p>
            <p class="hint">{text::stop_line()}</p>
            {of_box}
            <p class="paper-which">
                <strong>{text::positions_title()}</strong>
                {format!(": {}.", which.join("; "))}
            </p>
            {blocks}
            <p class="paper-notes">{text::notes()}</p>
        </article>
    }
}

/// A question with its numbered boxes to tick.
fn ticks(question: &'static Question) -> impl IntoView + use<> {
    let numbered: Vec<String> = match question.kind {
        Kind::Counts => tape::carriers()
            .iter()
            .enumerate()
            .map(|(index, carrier)| {
                format!(
                    "{} {} \u{2026}\u{2026} {}",
                    index + 1,
                    worded(carrier.label),
                    text::how_many()
                )
            })
            .collect(),
        _ => question
            .choices
            .iter()
            .enumerate()
            .map(|(index, choice)| format!("{} {}", index + 1, worded(choice.label)))
            .collect(),
    };
    // What is measured on paper is typed in as it stands in the survey.
    let unit = match question.kind {
        Kind::Number { unit, .. } => format!(" ({})", worded(unit)),
        _ => String::new(),
    };
    let cant_tell = format!("0 {}", check::cant_tell());
    let boxes = numbered
        .into_iter()
        .chain([cant_tell])
        .map(|line| view! { <span class="tick">{line}</span> });
    view! {
        <p class="paper-question">
            <strong>{worded(question.short)}{unit}</strong>
            {boxes.collect_view()}
        </p>
    }
}
