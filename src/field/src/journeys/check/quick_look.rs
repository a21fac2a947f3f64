//! The quick look: one tap for the many tapes that have nothing, after a look at all of it.

use leptos::prelude::*;
use survey::{Command, ItemId, Subject, Way};
use tape::{Answer, Question};

use super::route_to;
use crate::store::use_store;
use crate::texts::check as text;
use crate::ui::Button;

/// At the first of several open questions that have an answer meaning "nothing of this": all of them in one tap. What is
/// there is answered first, by itself.
#[component]
pub fn QuickLook(
    item: ItemId,
    question: &'static Question,
    on_taken: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let subject = Subject::Item(item);
    let known = state.item_answers(item);
    let open = tape::quick_look(&state.answers(Subject::Box(item.serial)), &known);
    // A hazard is looked for by itself, before the tape is known and taken in hand.
    let is_known = known.contains_key("carrier");
    let is_first = open.first().is_some_and(|(first, _)| first.key == question.key);
    let take = {
        let answers: Vec<(String, Answer)> = open
            .iter()
            .map(|(question, nothing)| (question.key.to_owned(), Answer::many([nothing.key])))
            .collect();
        move || {
            store.send(Command::AnswerBy {
                subject,
                answers: answers.clone(),
                way: Way::QuickLook,
            });
            if store.refusal.get_untracked().is_none() {
                on_taken();
            }
        }
    };
    let lines: Vec<_> = open
        .iter()
        .map(|(question, nothing)| view! { <li>{text::said(question.short, nothing.label)}</li> })
        .collect();
    let others: Vec<_> = open
        .iter()
        .skip(1)
        .map(|(question, _)| {
            view! {
                <li>
                    <a
                        class="row row-link"
                        data-tap=format!("check-quick-{}", question.key)
                        href=route_to(state.survey, subject, Some(question.key)).href()
                    >
                        <span class="row-more">{question.short}</span>
                    </a>
                </li>
            }
        })
        .collect();
    (is_known && is_first && open.len() > 1).then(|| {
        view! {
            <div class="offers">
                <p class="hint">{text::QUICK_LEAD}</p>
                <ul class="plain-list">{lines}</ul>
                <Button label=text::quick_look(open.len()) tap="check-quick-look" on_press=take />
                <details class="more">
                    <summary data-tap="check-quick-other">{text::QUICK_OTHER}</summary>
                    <ul class="rows">{others}</ul>
                </details>
            </div>
        }
    })
}
