//! What several parts of the day share: reading survey-wide answers, and the undo bar over the store.

use leptos::prelude::*;
use survey::{State, Subject};
use tape::Answer;

use crate::store::use_store;
use crate::texts::common as t;
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

/// What was done last on this screen, and taking it back.
#[component]
pub fn Undo(
    /// What was done; cleared when it is taken back.
    said: RwSignal<Option<String>>,
) -> impl IntoView {
    let store = use_store();
    let undo = move || {
        store.undo_last();
        said.set(None);
    };
    view! { <UndoBar said=said label=t::UNDO tap="undo" on_undo=undo /> }
}
