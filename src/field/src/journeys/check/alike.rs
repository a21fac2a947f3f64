//! Shortcuts for tapes that are like one another: what they take over is shown first, and a look stands behind each.

use leptos::prelude::*;
use survey::origin::item_before;
use survey::progress::BoxStatus;
use survey::{Command, ItemId, Serial, Subject, Way};
use tape::Answer;

use super::answer_text::answer_text;
use super::group::LABEL;
use crate::store::use_store;
use crate::texts::{alike as text, check, worded};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind};

/// The remark on the tapes of a box that were not drawn.
pub const REST: &str = "rest_alike";

/// At the first question that the last tape can answer for this one: one tap shows what it would say, a second says that
/// this tape was looked at and is the same.
#[component]
pub fn SameAsLast(
    item: ItemId,
    /// The questions of this screen.
    questions: Vec<&'static str>,
    on_taken: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let subject = Subject::Item(item);
    let before = item_before(&store.log(), &state, store.writer, item);
    let same = before.map_or_else(Vec::new, |before| {
        tape::same_as(
            &state.answers(Subject::Box(item.serial)),
            &state.item_answers(item),
            &state.answers(Subject::Item(before)),
        )
    });
    let is_first = same
        .first()
        .is_some_and(|(first, _)| questions.contains(&first.key));
    // What a label tells is short: it is shown at once, and one tap says the same.
    let is_label = questions.contains(&LABEL);
    let is_open = RwSignal::new(is_label);
    let answers: Vec<(String, Answer)> = same
        .iter()
        .map(|(question, answer)| (question.key.to_owned(), answer.clone()))
        .collect();
    let lines: Vec<(String, String)> = same
        .iter()
        .map(|(question, answer)| {
            (
                worded(question.short).to_owned(),
                answer_text(question.key, answer),
            )
        })
        .collect();
    let shown = StoredValue::new((answers, lines));
    before.filter(|_| is_first).map(|before| {
        let confirm = move || {
            store.send(Command::AnswerBy {
                subject,
                answers: shown.with_value(|(answers, _)| answers.clone()),
                way: Way::SameAs(before),
            });
            if store.refusal.get_untracked().is_none() {
                on_taken();
            }
        };
        let list = move || {
            let lines = shown.with_value(|(_, lines)| lines.clone());
            let n = lines.len();
            let lines = lines
                .into_iter()
                .map(|(question, answer)| view! { <li>{check::said(&question, &answer)}</li> });
            view! {
                <p>{text::same_lead()}</p>
                <p class="finding-side">{text::same_as(before)}</p>
                <ul class="plain-list">{lines.collect_view()}</ul>
                {(!is_label).then(|| view! { <p class="hint">{text::same_rest()}</p> })}
                <Button label=text::same_confirm(n) tap="check-same-confirm" on_press=confirm />
                <Button
                    label=text::not_same().to_owned()
                    tap="check-same-not"
                    kind=Kind::Quiet
                    on_press=move || is_open.set(false)
                />
            }
        };
        view! {
            <div class="offers" aria-live="polite">
                <Show
                    when=move || is_open.get()
                    fallback=move || {
                        view! {
                            <Button
                                label=text::same().to_owned()
                                tap="check-same"
                                on_press=move || is_open.set(true)
                            />
                        }
                    }
                >
                    {list}
                </Show>
            </div>
        }
    })
}

/// On a box's sheet: what may be said of the tapes that were not drawn, and why it cannot stand in for those that were.
#[component]
pub fn RestOfBox(serial: Serial) -> impl IntoView {
    let store = use_store();
    let subject = Subject::Box(serial);
    // The tapes not drawn, and whether every drawn one has been looked at.
    let rest = Memo::new(move |_| {
        let state = store.state.get();
        let n_drawn = u32::try_from(state.positions(serial).len()).unwrap_or(u32::MAX);
        let n_rest = state.n_items(serial).unwrap_or(0).saturating_sub(n_drawn);
        let is_looked_at = matches!(state.box_status(serial), BoxStatus::Finished(_));
        (n_drawn, n_rest, is_looked_at)
    });
    let chosen = Signal::derive(move || {
        store.state.with(|state| {
            state
                .answer(subject, REST)
                .and_then(|said| said.keys().first().map(|key| (*key).to_owned()))
        })
    });
    let choose = move |key: String| {
        store.send(Command::Answer {
            subject,
            question: REST.to_owned(),
            value: Answer::One(key),
        });
    };
    let options = || {
        ["alike", "differ", "not_looked"]
            .map(|key| ChoiceOption::new(key, text::rest(key).unwrap_or_default()))
            .to_vec()
    };
    move || match rest.get() {
        (2.., _, false) => view! { <p class="hint">{text::rest_drawn()}</p> }.into_any(),
        (1.., 1.., true) => view! {
            <ChoiceList
                legend=text::rest_title().to_owned()
                options=Signal::stored(options())
                chosen=chosen
                tap="check-rest"
                on_choose=choose
            />
            <p class="hint">{text::rest_hint()}</p>
        }
        .into_any(),
        _ => ().into_any(),
    }
}
