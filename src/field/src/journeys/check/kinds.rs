//! The kinds met before, one tap each: what a tape is and its size, said together.

use leptos::prelude::*;
use survey::{Command, ItemId, Kind, State, Subject};
use tape::{Answer, Question};

use super::answer_text::answer_text;
use crate::store::use_store;
use crate::texts::check as text;
use crate::ui::Button;

/// How many are offered.
const OFFERED: usize = 3;

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

/// Carrier and size of the tapes checked so far: those of the same box first, then what there was most of. The tape itself is
/// none of them yet.
fn kinds_before(state: &State, item: ItemId) -> Vec<Kind> {
    let here = state.kinds_in(item.serial);
    let mut kinds: Vec<_> = state.kinds().collect();
    kinds.sort_by_key(|(kind, n)| std::cmp::Reverse((here.get(*kind).copied().unwrap_or(0), *n)));
    kinds
        .into_iter()
        .map(|(kind, _)| kind.clone())
        .take(OFFERED)
        .collect()
}
