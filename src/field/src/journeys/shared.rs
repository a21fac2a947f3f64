//! What several parts of the day share: reading survey-wide answers, and the undo bar over the store.

use leptos::prelude::*;
use survey::decide::last_undoable;
use survey::state::NAME;
use survey::{Content, State, Subject};
use tape::Answer;

use crate::store::use_store;
use crate::texts::{common as t, setup, worded};
use crate::ui::UndoBar;

/// A survey-wide answer in words; empty if there is none.
#[must_use]
pub fn answer_text(state: &State, question: &str) -> String {
    match state.answer(Subject::Survey, question) {
        Some(Answer::Text(text)) => text.clone(),
        _ => String::new(),
    }
}

/// A survey-wide answer as a whole number.
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to what u32 holds"
)]
pub fn said_number(state: &State, question: &str) -> Option<u32> {
    match state.answer(Subject::Survey, question) {
        Some(Answer::Number(number)) => Some(number.clamp(0.0, f64::from(u32::MAX)) as u32),
        _ => None,
    }
}

/// What this tab did last about the list of boxes, and taking it back.
#[component]
pub fn Undo() -> impl IntoView {
    view! { <UndoOf said_of=said_of /> }
}

/// What this tab did last, in the words of `said_of`, which says nothing of what another screen tells; and taking it back.
/// Read from the log, so what is said is always what the button undoes.
#[component]
pub fn UndoOf(
    /// An entry in words.
    said_of: fn(&Content) -> Option<String>,
) -> impl IntoView {
    let store = use_store();
    let said = Memo::new(move |_| {
        let state = store.state.get();
        let log = store.log();
        let last = last_undoable(&log, &state, store.writer)?;
        said_of(log.entry(last)?.content())
    });
    view! { <UndoBar said label=t::undo() tap="undo" on_undo=move || { store.undo_last(); } /> }
}

/// An entry about the list of boxes in words; nothing for other entries.
fn said_of(content: &Content) -> Option<String> {
    match content {
        Content::Place { name, .. } => Some(setup::place_listed(name)),
        Content::Boxes { boxes, .. } => {
            let (first, last) = (boxes.first()?, boxes.last()?);
            Some(setup::added(
                first.serial.to_string(),
                last.serial.to_string(),
                boxes.len(),
            ))
        }
        Content::Withdraw { serial } => Some(setup::taken_off(serial.to_string())),
        Content::Answer {
            subject: Subject::Place(_) | Subject::Stratum(_),
            question,
            value: Answer::Text(name),
            ..
        } if question == NAME => Some(setup::renamed(name)),
        Content::Answer {
            subject: Subject::Box(serial),
            question,
            value: Answer::One(key),
            ..
        } => {
            let choice = tape::question(question)?
                .choices
                .iter()
                .find(|choice| choice.key == key)?;
            Some(setup::answered(serial, worded(choice.label)))
        }
        _ => None,
    }
}
