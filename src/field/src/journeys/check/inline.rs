//! A question among others on one screen: its choices, without how to look.

use std::collections::BTreeSet;

use leptos::prelude::*;
use tape::{Answer, Answers, CANT_TELL, Kind, Question};

use crate::texts::{check as text, worded};
use crate::ui::{ChoiceList, ChoiceOption, MultiChoice};

/// One question with choices. Other kinds of question are not asked this way.
#[component]
pub fn Inline(
    question: &'static Question,
    /// What is known: it decides which choices fit.
    known: Answers,
    /// What was answered.
    given: Signal<Option<Answer>>,
    /// Takes an answer; nothing when the last mark of several was taken away.
    on_answer: impl Fn(Option<Answer>) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let mut options: Vec<ChoiceOption> = tape::choices(question, &known)
        .into_iter()
        .map(|choice| ChoiceOption::new(choice.key, worded(choice.label)))
        .collect();
    options.push(ChoiceOption::new(CANT_TELL, text::cant_tell()));
    let tap = format!("read-{}", question.key);
    match question.kind {
        Kind::One => {
            let chosen = Signal::derive(move || {
                given.with(|given| given.as_ref()?.keys().first().map(|key| (*key).to_owned()))
            });
            view! {
                <ChoiceList
                    legend=worded(question.short).to_owned()
                    options=Signal::stored(options)
                    chosen=chosen
                    tap=tap
                    on_choose=move |key: String| on_answer(Some(Answer::One(key)))
                />
            }
            .into_any()
        }
        Kind::Many => {
            let chosen = Signal::derive(move || {
                given.with(|given| {
                    let keys = given.as_ref().map(Answer::keys).unwrap_or_default();
                    keys.into_iter()
                        .filter(|key| *key != tape::PHOTOGRAPHED)
                        .map(str::to_owned)
                        .collect::<BTreeSet<String>>()
                })
            });
            let alone = move |key: &str| {
                key == CANT_TELL
                    || question
                        .choices
                        .iter()
                        .any(|choice| choice.alone && choice.key == key)
            };
            let toggle = move |key: String| {
                let mut keys = chosen.get_untracked();
                if !keys.remove(&key) {
                    if alone(&key) {
                        keys.clear();
                    }
                    keys.retain(|other| !alone(other));
                    keys.insert(key);
                }
                on_answer((!keys.is_empty()).then_some(Answer::Many(keys)));
            };
            view! {
                <MultiChoice
                    legend=worded(question.short).to_owned()
                    options=Signal::stored(options)
                    chosen=chosen
                    tap=tap
                    on_toggle=toggle
                />
            }
            .into_any()
        }
        Kind::Number { .. } | Kind::Text | Kind::Counts => ().into_any(),
    }
}
