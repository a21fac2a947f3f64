//! One way beside the plan: its name, what is left out, who and what there is, its money and weeks, its own values.

use std::collections::BTreeSet;

use analysis::outlook::assumptions;
use costing::{Capacity, Scenario};
use leptos::prelude::*;
use tape::Answer;

use super::super::{number, to, whole};
use super::{Undo, in_address, keep, named, remove, send};
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{common, scenarios as t, takes, worded};
use crate::ui::{Button, ChoiceOption, Kind, Link, MultiChoice, NumberStepper, Page, Section, TextField};

/// The way of this name as it is now, following the state.
#[derive(Clone, Copy)]
struct Way {
    store: Store,
    scenario: Memo<Scenario>,
    set_wrong: WriteSignal<Option<String>>,
}

impl Way {
    /// Changes it, as one answer; what is not sound is not kept, but given back in words.
    fn try_change(self, change: impl FnOnce(&mut Scenario)) -> Result<(), String> {
        let mut scenario = self.scenario.get_untracked();
        change(&mut scenario);
        keep(self.store, &scenario)
    }

    /// The same; what is not sound is said at the screen's beginning.
    fn change(self, change: impl FnOnce(&mut Scenario)) {
        self.set_wrong.set(self.try_change(change).err());
    }
}

/// The screen; a way that is not there any more leads back.
#[component]
pub(in crate::journeys::results) fn One(
    /// Its name.
    name: String,
) -> impl IntoView {
    let store = use_store();
    let (wrong, set_wrong) = signal(None::<String>);
    let called = name.clone();
    let scenario = Memo::new(move |_| {
        let found = store.state.with(|state| named(state, &called));
        found.unwrap_or_else(|| Scenario::new(&called))
    });
    let way = Way {
        store,
        scenario,
        set_wrong,
    };
    let sought = name.clone();
    // Taken away or renamed, here or by undoing: there is nothing of this name to change any more.
    Effect::new(move |_| {
        if store.state.with(|state| named(state, &sought).is_none()) {
            back(store);
        }
    });
    let removed = name.clone();
    let remove = move || remove(store, &removed);
    let values = to(&["scenarios", &in_address(&name), "assume"]);
    view! {
        <Page
            title=name.clone()
            here=common::journey(Journey::Results).to_owned()
            action=move || {
                view! {
                    <Undo />
                    <Link label=t::back() tap="scenario-back" kind=Kind::Primary href=to(&["scenarios"]) />
                }
            }
        >
            <p class="error" role="alert">
                {move || wrong.get()}
            </p>
            <Name way />
            <LeftOut way />
            <Section title=t::capacity()>
                <Have way />
            </Section>
            <Section title=t::there_is()>
                <Sum
                    way
                    label=t::budget()
                    tap="scenario-budget"
                    wrong=t::budget_wrong()
                    read=|scenario| &mut scenario.budget
                />
                <Sum
                    way
                    label=t::weeks()
                    tap="scenario-weeks"
                    wrong=t::weeks_wrong()
                    read=|scenario| &mut scenario.weeks
                />
            </Section>
            <Section title=t::values()>
                <p>{t::values_text()}</p>
                <Link label=t::to_values() tap="scenario-values" href=values />
            </Section>
            <Button label=t::remove() tap="scenario-remove" kind=Kind::Quiet on_press=remove />
        </Page>
    }
}

fn back(store: Store) {
    Route::to(
        store.state.get_untracked().survey,
        Journey::Results,
        &["scenarios"],
    )
    .replace();
}

/// Another name: the way goes from the old to the new one, in one tap. The screen of the old name is gone with it.
#[component]
fn Name(way: Way) -> impl IntoView {
    let Way {
        store,
        scenario,
        set_wrong,
    } = way;
    let typed = RwSignal::new(scenario.with_untracked(|scenario| scenario.name.clone()));
    let rename = Callback::new(move |text: String| {
        let old = scenario.get_untracked();
        let name = text.trim().to_owned();
        if name == old.name {
            return;
        }
        let question = analysis::scenarios::question(&old.name);
        let new = Scenario { name, ..old };
        let planned = store.state.with_untracked(|state| assumptions(state));
        let is_taken = store
            .state
            .with_untracked(|state| named(state, &new.name).is_some());
        let sound = new.check(&planned);
        let refused = match (is_taken, sound) {
            (true, _) => Some(t::taken().to_owned()),
            (_, Err(error)) => Some(t::fault(&error.into())),
            _ => None,
        };
        let value = match (refused, analysis::scenarios::answer(&new)) {
            (None, Ok(value)) => value,
            (Some(why), _) | (None, Err(why)) => return set_wrong.set(Some(why)),
        };
        send(
            store,
            vec![
                (question, Answer::Text(String::new())),
                (analysis::scenarios::question(&new.name), value),
            ],
        );
    });
    view! {
        <TextField
            label=t::rename()
            value=typed
            tap="scenario-rename"
            on_input=move |text| typed.set(text)
            on_done=rename
        />
    }
}

/// Classes of tapes with which nothing is done.
#[component]
fn LeftOut(way: Way) -> impl IntoView {
    let lines: Vec<ChoiceOption> = tape::actions()
        .iter()
        .map(|class| ChoiceOption::new(class.key, worded(class.label)))
        .collect();
    let chosen = move || -> BTreeSet<String> { way.scenario.with(|scenario| scenario.leave_out.clone()) };
    let toggle = move |key: String| {
        way.change(|scenario| {
            if !scenario.leave_out.remove(&key) {
                scenario.leave_out.insert(key);
            }
        });
    };
    view! {
        <MultiChoice
            legend=t::left_out().to_owned()
            options=lines
            chosen=Signal::derive(chosen)
            tap="scenario-without"
            on_toggle=toggle
        />
        <p class="hint">{t::left_out_hint()}</p>
    }
}

/// Machines and people.
#[component]
fn Have(way: Way) -> impl IntoView {
    let in_force = Memo::new(move |_| {
        let planned = way.store.state.with(|state| assumptions(state));
        way.scenario
            .with(|scenario| scenario.capacity)
            .unwrap_or(planned.capacity)
    });
    let is_own = Memo::new(move |_| way.scenario.with(|scenario| scenario.capacity.is_some()));
    let stepper = move |label: &'static str,
                        tap: &'static str,
                        most: u32,
                        read: fn(&Capacity) -> f64,
                        write: fn(&mut Capacity) -> &mut f64| {
        let set = move |n: u32| {
            way.change(|scenario| {
                let capacity = scenario.capacity.get_or_insert(in_force.get_untracked());
                *write(capacity) = f64::from(n);
            });
        };
        view! {
            <NumberStepper
                label=label
                value=Signal::derive(move || in_force.with(|capacity| whole(read(capacity))))
                least=1
                most=most
                tap=tap
                less=takes::less(label)
                more=takes::more(label)
                on_change=set
            />
        }
    };
    let as_planned = move || way.change(|scenario| scenario.capacity = None);
    view! {
        {stepper(takes::machines(), "scenario-machines", 100, |c| c.machines, |c| &mut c.machines)}
        {stepper(takes::machine_hours(), "scenario-machine-hours", 168, |c| c.machine_hours_week, |c| &mut c.machine_hours_week)}
        {stepper(takes::people(), "scenario-people", 100, |c| c.people, |c| &mut c.people)}
        {stepper(takes::people_hours(), "scenario-people-hours", 80, |c| c.people_hours_week, |c| &mut c.people_hours_week)}
        <Show when=move || is_own.get()>
            <Button label=t::capacity_as_planned() tap="scenario-capacity-planned" kind=Kind::Quiet on_press=as_planned />
        </Show>
    }
}

/// Money or weeks; empty where none is said.
#[component]
fn Sum(
    way: Way,
    label: &'static str,
    tap: &'static str,
    wrong: &'static str,
    read: fn(&mut Scenario) -> &mut Option<f64>,
) -> impl IntoView {
    let in_force = Memo::new(move |_| {
        let sum = *read(&mut way.scenario.get());
        sum.map(takes::plain).unwrap_or_default()
    });
    let typed = RwSignal::new(in_force.get_untracked());
    // What is undone takes the place of what stands there.
    Effect::new(move |_| typed.set(in_force.get()));
    let (refused, set_refused) = signal(None::<String>);
    let is_wrong = move || {
        let wrong_now = typed.with(|text| !text.trim().is_empty() && number(text).is_none());
        wrong_now.then(|| wrong.to_owned()).or_else(|| refused.get())
    };
    let take = Callback::new(move |text: String| {
        let sum = number(&text);
        if text.trim().is_empty() || sum.is_some() {
            set_refused.set(way.try_change(|scenario| *read(scenario) = sum).err());
        }
    });
    view! {
        <TextField
            label
            hint=t::empty_hint()
            error=Signal::derive(is_wrong)
            value=typed
            tap
            on_input=move |text| typed.set(text)
            on_done=take
        />
    }
}
