//! The kinds met before, one tap each: what a tape is and its size, said together.

use leptos::prelude::*;
use survey::{Command, ItemId, Kind, Serial, State, Subject};
use tape::{Answer, Question};

use super::answer_text::answer_text;
use crate::store::use_store;
use crate::texts::check as text;
use crate::ui::Button;

/// How many are offered.
const OFFERED: usize = 4;

/// At the question what a tape is.
#[component]
pub fn KindsBefore(
    item: ItemId,
    question: &'static Question,
    on_taken: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let subject = Subject::Item(item);
    let is_asked = question.key == "carrier" && state.answer(subject, "carrier").is_none();
    let kinds = if is_asked {
        kinds_before(&state, item)
    } else {
        Vec::new()
    };
    let buttons: Vec<_> = kinds
        .into_iter()
        .map(|(carrier, size)| {
            let answers = [("carrier", Answer::one(&carrier)), ("size", Answer::one(&size))];
            let said = answers.each_ref().map(|(key, answer)| answer_text(key, answer));
            let take = move || {
                let answers = answers.clone().map(|(key, answer)| (key.to_owned(), answer));
                store.send(Command::AnswerAll {
                    subject,
                    answers: answers.to_vec(),
                });
                if store.refusal.get_untracked().is_none() {
                    on_taken();
                }
            };
            view! { <Button label=said.join(", ") tap=format!("check-kind-{carrier}-{size}") on_press=take /> }
        })
        .collect();
    (!buttons.is_empty()).then(|| {
        view! {
            <p class="hint">{text::kinds_before()}</p>
            <div class="kinds">{buttons}</div>
        }
    })
}

/// Carrier and size of the tapes checked so far: of what this box was counted to hold first, then those met in it, then what
/// there was most of. The tape itself is none of them yet.
fn kinds_before(state: &State, item: ItemId) -> Vec<Kind> {
    let here = state.kinds_in(item.serial);
    let mut kinds: Vec<_> = state.kinds().collect();
    kinds.sort_by_key(|(kind, n)| {
        let met = here.get(*kind).copied().unwrap_or(0);
        std::cmp::Reverse((is_counted(state, item.serial, &kind.0), met, *n))
    });
    kinds
        .into_iter()
        .map(|(kind, _)| kind.clone())
        .take(OFFERED)
        .collect()
}

/// Whether the box was counted to hold some of this carrier.
fn is_counted(state: &State, serial: Serial, carrier: &str) -> bool {
    let Some(Answer::Counts(counts)) = state.answer(Subject::Box(serial), "count") else {
        return false;
    };
    counts.get(carrier).is_some_and(|n| *n > 0)
}
