//! After a tape that shows nothing: straight on to the next drawn tape of its box, which begins with what was found of
//! the one before and the way back to it.

use handover::watchlist;
use leptos::prelude::*;
use survey::{ItemId, State, Subject};
use tape::Strength;

use super::{SHEET, route_to};
use crate::store::use_store;
use crate::texts::check as text;
use crate::ui::Link;

/// The class of a tape that needs nothing beyond ordinary care.
const ORDINARY: &str = "ordinary";

/// The next drawn tape of the box, if this one is finished and nothing points to trouble: it needs ordinary care,
/// and its sheet has no caution to be read now.
pub fn next_tape(state: &State, item: ItemId) -> Option<ItemId> {
    let next = state.next_item(item.serial)?;
    (next != item && shows_nothing(state, item)).then_some(next)
}

fn shows_nothing(state: &State, item: ItemId) -> bool {
    let answers = state.item_answers(item);
    let found = tape::findings_watching(
        &state.answers(Subject::Box(item.serial)),
        &answers,
        &watchlist::of(state),
    );
    state.item_path(item).done
        && tape::action(&found).key == ORDINARY
        && found
            .iter()
            .all(|finding| finding.strength < Strength::Possible || finding.cautions.is_empty())
        && tape::cautions_for_item(&answers).is_empty()
}

/// At the first question of a tape: the one before it in its box, if it was left without its sheet.
#[component]
pub fn TapeBefore(item: ItemId) -> impl IntoView {
    let state = use_store().state.get_untracked();
    let positions = state.positions(item.serial).into_iter();
    let before = positions
        .filter(|position| *position < item.position)
        .map(|position| ItemId { position, ..item })
        .next_back()
        .filter(|before| shows_nothing(&state, *before));
    before.map(|before| {
        let href = route_to(state.survey, Subject::Item(before), Some(SHEET)).href();
        view! {
            <p class="hint">
                {text::before(before.position)} " " <Link label=text::its_sheet().to_owned() tap="check-before" href=href />
            </p>
        }
    })
}
