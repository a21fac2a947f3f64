//! Other ways to do it, beside what is planned: the table, and one way after another to be changed. Each is an answer about
//! the survey, so it is undone, merged and carried along like any other.

mod one;
mod table;

use std::fmt::Write as _;
use std::sync::Arc;

use analysis::outlook::assumptions;
use analysis::scenarios::{self, Fault as Unsound, Saved};
use costing::{MOST_SCENARIOS, Scenario, SideBySide, SimulationError};
use leptos::prelude::*;
use survey::{Command, Content, State, Subject};
use tape::Answer;

pub(super) use self::one::One;
use self::table::Table;
use super::drawing::{Drawing, drawn, hear};
use super::to;
use crate::capability::heavy;
use crate::journeys::UndoOf;
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{common, scenarios as t, takes};
use crate::ui::{Button, Kind, Link, Page, Section, TextField};

/// A name as a part of an address: its bytes, as names may hold whatever an address takes for its own.
pub(super) fn in_address(name: &str) -> String {
    name.bytes().fold(String::new(), |mut hex, byte| {
        // Writing to a string cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// The name that a part of an address stands for; nothing where it stands for none.
pub(super) fn of_address(hex: &str) -> Option<String> {
    let digits: Vec<u32> = hex
        .chars()
        .map(|digit| digit.to_digit(16))
        .collect::<Option<_>>()?;
    let bytes = digits.chunks(2).map(|pair| match pair {
        [high, low] => u8::try_from(high * 16 + low).ok(),
        _ => None,
    });
    String::from_utf8(bytes.collect::<Option<_>>()?).ok()
}

/// Keeps a scenario as the survey's answer; one that is not sound is given back in words.
pub(super) fn keep(store: Store, scenario: &Scenario) -> Result<(), String> {
    let planned = store.state.with_untracked(|state| assumptions(state));
    scenario
        .check(&planned)
        .map_err(|error| t::fault(&Unsound::Scenario(error)))?;
    let value = scenarios::answer(scenario)?;
    send(store, vec![(scenarios::question(&scenario.name), value)]);
    Ok(())
}

/// Answers of one tap, kept or lost together.
fn send(store: Store, answers: Vec<(String, Answer)>) {
    store.send(Command::AnswerAll {
        subject: Subject::Survey,
        answers,
    });
}

/// Takes away the scenario of this name.
fn remove(store: Store, name: &str) {
    let question = scenarios::question(name);
    send(store, vec![(question, Answer::Text(String::new()))]);
}

/// The scenario of this name.
pub(super) fn named(state: &State, name: &str) -> Option<Scenario> {
    let Some(Answer::Text(json)) = state.answer(Subject::Survey, &scenarios::question(name)) else {
        return None;
    };
    let scenario: Scenario = serde_json::from_str(json).ok()?;
    Some(Scenario {
        name: name.to_owned(),
        ..scenario
    })
}

fn saved(state: &State) -> Saved {
    scenarios::saved(state, &assumptions(state))
}

/// Taking back the last change of a scenario.
#[component]
pub(super) fn Undo() -> impl IntoView {
    let said_of = |content: &Content| match content {
        Content::Answer {
            question,
            value: Answer::Text(json),
            instead,
            ..
        } => {
            let name = scenarios::name_of(question)?;
            Some(match (json.is_empty(), instead.is_empty()) {
                (true, _) => t::said_removed(name),
                (false, true) => t::said_added(name),
                (false, false) => t::said_kept(name),
            })
        }
        _ => None,
    };
    view! { <UndoOf said_of /> }
}

/// The screen.
#[component]
pub(super) fn View() -> impl IntoView {
    let store = use_store();
    // The table is drawn anew when what it rests on changes: the scenarios and the planned set.
    let rests_on = Memo::new(move |_| store.state.with(|state| (assumptions(state), saved(state))));
    let is_empty = Memo::new(move |_| rests_on.with(|(_, saved)| saved.scenarios.is_empty()));
    view! {
        <Page
            title=t::title().to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=t::lead().to_owned()
            action=move || {
                view! {
                    <Undo />
                    <Link label=t::back_to_takes() tap="scenarios-takes" kind=Kind::Secondary href=to(&["takes"]) />
                }
            }
        >
            <Show when=move || is_empty.get()>
                <p data-tap="scenarios-none">{t::none()}</p>
            </Show>
            {move || {
                rests_on.track();
                (!is_empty.get_untracked()).then(|| view! { <Drawn /> })
            }}
            <Ways />
        </Page>
    }
}

/// Draws the table.
#[component]
fn Drawn() -> impl IntoView {
    let store = use_store();
    drawn(
        move |far| async move {
            let told = heavy::scenarios(store.log(), hear(far)).await;
            told.map(|told| told.map(Arc::new))
        },
        |far| view! { <Drawing far /> },
        |told: Option<Arc<SideBySide>>| {
            told.map_or_else(|| ().into_any(), |told| view! { <Table told /> }.into_any())
        },
        |error: SimulationError| {
            view! { <p data-tap="scenarios-not-made">{takes::not_made(&error)}</p> }.into_any()
        },
    )
}

/// The scenarios as lines, those that are not told with the reason, and a new one.
#[component]
fn Ways() -> impl IntoView {
    let store = use_store();
    let typed = RwSignal::new(String::new());
    let (wrong, set_wrong) = signal(None::<String>);
    let names = Memo::new(move |_| {
        store.state.with(|state| {
            let saved = saved(state);
            saved
                .scenarios
                .into_iter()
                .map(|scenario| scenario.name)
                .collect::<Vec<_>>()
        })
    });
    let unused = move || {
        let lines = store.state.with(|state| saved(state).unused);
        let line = |(name, fault): (String, Unsound)| {
            let address = in_address(&name);
            let href = to(&["scenarios", &address]);
            let can_open = store.state.with_untracked(|state| named(state, &name).is_some());
            let tap = format!("scenario-{address}");
            let open = can_open.then(|| view! { <Link label=t::open(&name) tap href /> });
            view! {
                <li>
                    <p>{t::unused(&name, t::fault(&fault))}</p>
                    {open}
                    <Button
                        label=t::remove()
                        tap=format!("scenario-remove-{address}")
                        kind=Kind::Quiet
                        on_press=move || remove(store, &name)
                    />
                </li>
            }
        };
        lines.into_iter().map(line).collect_view()
    };
    let add = move || {
        let name = typed.get_untracked().trim().to_owned();
        let is_taken = store.state.with_untracked(|state| named(state, &name).is_some());
        let kept = if is_taken {
            Err(t::taken().to_owned())
        } else {
            keep(store, &Scenario::new(&name))
        };
        match kept {
            Ok(()) => {
                let survey = store.state.get_untracked().survey;
                Route::to(survey, Journey::Results, &["scenarios", &in_address(&name)]).go();
            }
            Err(why) => set_wrong.set(Some(why)),
        }
    };
    let new = move || {
        if names.with(Vec::len) >= MOST_SCENARIOS {
            return view! { <p class="hint">{t::full(MOST_SCENARIOS)}</p> }.into_any();
        }
        view! {
            <TextField
                label=t::new_name()
                hint=t::new_name_hint()
                error=Signal::derive(move || wrong.get())
                value=typed
                tap="scenario-name"
                on_input=move |text| typed.set(text)
                on_enter=Callback::new(move |()| add())
            />
            <Button label=t::add().to_owned() tap="scenario-add" kind=Kind::Primary on_press=add />
        }
        .into_any()
    };
    let lines = move || {
        let line = |name: String| {
            let href = to(&["scenarios", &in_address(&name)]);
            view! {
                <li>
                    <Link label=t::change(&name) tap=format!("scenario-{}", in_address(&name)) href=href />
                </li>
            }
        };
        names.get().into_iter().map(line).collect_view()
    };
    view! {
        <Section title=t::yours()>
            <ul class="plain-list">{lines} {unused}</ul>
            {new}
        </Section>
    }
}

#[cfg(test)]
mod tests {
    use super::{in_address, of_address};

    #[test]
    fn a_name_survives_the_address() {
        for name in ["Zwei Geräte", "a/b #1", "", "日本"] {
            assert_eq!(of_address(&in_address(name)).as_deref(), Some(name));
        }
        for wrong in ["zz", "a", "ff", "assume"] {
            assert_eq!(of_address(wrong), None, "{wrong}");
        }
    }
}
