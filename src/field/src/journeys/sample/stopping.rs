//! The rule for stopping: chosen before the first box, and afterwards only shown.

use leptos::prelude::*;
use sampling::plan::stopping::StoppingRule;
use survey::{Command, State, Subject, stopping};
use tape::Answer;

use crate::store::use_store;
use crate::texts::{self, pace as text, worded};
use crate::ui::{ChoiceList, ChoiceOption, Section};

/// What most collections are asked about first.
const USUAL_CONDITION: &str = "acid_odour";

/// The choice, or what was chosen.
#[component]
pub fn Stopping() -> impl IntoView {
    let store = use_store();
    let is_open = Memo::new(move |_| store.state.with(|state| state.may_choose_rule()));
    move || {
        if is_open.get() {
            view! { <Choose /> }.into_any()
        } else {
            view! { <Agreed /> }.into_any()
        }
    }
}

#[component]
fn Choose() -> impl IntoView {
    let store = use_store();
    let chosen = Signal::derive(move || store.state.with(|state| chosen_rule(state)));
    let condition = Signal::derive(move || store.state.with(|state| chosen_condition(state)));
    let has_rule = Memo::new(move |_| store.state.with(|state| state.stopping_rule().is_some()));
    let choose = move |key: String| {
        let rule = store.state.with_untracked(|state| match key.parse::<u32>() {
            Ok(points) => stopping::to_answer(&usual(state, points)),
            Err(_) => Answer::one(stopping::NONE),
        });
        let condition = condition
            .get_untracked()
            .unwrap_or_else(|| USUAL_CONDITION.to_owned());
        store.send(Command::AnswerAll {
            subject: Subject::Survey,
            answers: vec![
                (stopping::RULE.to_owned(), rule),
                (stopping::CONDITION.to_owned(), Answer::One(condition)),
            ],
        });
    };
    let choose_condition = move |key: String| {
        store.send(Command::Answer {
            subject: Subject::Survey,
            question: stopping::CONDITION.to_owned(),
            value: Answer::One(key),
        });
    };
    let options = move || {
        let looks = |points| {
            store.state.with(|state| {
                let rule = usual(state, points);
                text::looks(rule.minimum, rule.batch, rule.maximum)
            })
        };
        vec![
            ChoiceOption::new(stopping::NONE, text::by_time()).hint(text::by_time_hint()),
            ChoiceOption::new("10", text::by_ten()).hint(looks(10)),
            ChoiceOption::new("5", text::by_five()).hint(looks(5)),
        ]
    };
    let conditions: Vec<ChoiceOption> = tape::conditions()
        .iter()
        .map(|condition| ChoiceOption::new(condition.key, worded(condition.label)))
        .collect();
    let conditions = StoredValue::new(conditions);
    view! {
        <Section title=text::rule().to_owned()>
            <p class="hint">{text::rule_lead()}</p>
            <ChoiceList
                legend=text::rule().to_owned()
                hide_legend=true
                options=Signal::derive(options)
                chosen=chosen
                tap="sample-stop"
                on_choose=choose
            />
            <Show when=move || has_rule.get()>
                <ChoiceList
                    legend=text::which().to_owned()
                    options=Signal::derive(move || conditions.get_value())
                    chosen=condition
                    tap="sample-stop-at"
                    on_choose=choose_condition
                />
            </Show>
        </Section>
    }
}

#[component]
fn Agreed() -> impl IntoView {
    let store = use_store();
    let said = move || {
        store.state.with(|state| match state.stopping_rule() {
            Some((rule, condition)) => {
                let points = if rule.half_width > 0.075 {
                    text::by_ten()
                } else {
                    text::by_five()
                };
                let looks = text::looks(rule.minimum, rule.batch, rule.maximum);
                format!(
                    "{points}: {}. {looks} {}",
                    condition_label(condition),
                    text::fixed()
                )
            }
            None => text::not_chosen().to_owned(),
        })
    };
    view! {
        <Section title=text::agreed().to_owned()>
            <p>{said}</p>
        </Section>
    }
}

/// A condition's name.
pub fn condition_label(key: &str) -> String {
    let known = tape::conditions().iter().find(|condition| condition.key == key);
    known
        .map_or(key, |condition| texts::worded(condition.label))
        .to_owned()
}

fn usual(state: &State, points: u32) -> StoppingRule {
    let round_size = state.draw.as_ref().map_or(1, |draw| draw.round_size);
    let n_boxes = state.frame.as_ref().map_or(0, |frame| frame.boxes.len());
    stopping::usual(points, round_size, u32::try_from(n_boxes).unwrap_or(u32::MAX))
}

/// The key of the chosen line.
fn chosen_rule(state: &State) -> Option<String> {
    match state.answer(Subject::Survey, stopping::RULE)? {
        Answer::One(key) => Some(key.clone()),
        _ => {
            let (rule, _) = state.stopping_rule()?;
            Some(format!("{:.0}", rule.half_width * 100.0))
        }
    }
}

fn chosen_condition(state: &State) -> Option<String> {
    match state.answer(Subject::Survey, stopping::CONDITION)? {
        Answer::One(key) => Some(key.clone()),
        _ => None,
    }
}
