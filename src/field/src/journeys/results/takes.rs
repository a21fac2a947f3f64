//! What it takes to save the collection, given what is assumed.

use std::sync::Arc;

use costing::{Bought, SimulationError};
use labour::Drawn;
use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use super::drawing::{Drawing, drawn, hear};
use super::to;
use crate::capability::{heavy, task};
use crate::journeys::answer_text;
use crate::route::Journey;
use crate::store::use_store;
use crate::texts::{common, scenarios, takes as text, worded};
use crate::ui::{Kind, Link, Page, Panel, Section, TextField};

const BUDGET: &str = "budget";

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let store = use_store();
    drawn(
        move |far| async move { heavy::outlook(store.log(), hear(far)).await.map(Arc::new) },
        |far| view! { <Drawing far /> },
        |drawn: Arc<Drawn>| view! { <Sheet drawn /> }.into_any(),
        |error: SimulationError| view! { <Without why=text::not_made(&error) /> }.into_any(),
    )
}

#[component]
fn Without(why: String) -> impl IntoView {
    view! {
        <Page
            title=text::title().to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=why
            action=move || {
                view! { <Link label=text::to_assume().to_owned() tap="takes-assume" kind=Kind::Primary href=to(&["assume"]) /> }
            }
        >
            <Link label=text::to_figures().to_owned() tap="takes-figures" href=to(&[]) />
        </Page>
    }
}

#[component]
fn Sheet(drawn: Arc<Drawn>) -> impl IntoView {
    let store = use_store();
    let Drawn { summary, assumptions } = &*drawn;
    let quantities = text::quantities()
        .iter()
        .filter_map(|(id, name)| Some((*id, text::quantity(name, summary.quantities.get(*id)?))))
        .map(|(id, said)| view! { <li data-figure=format!("outlook.{id}")>{said}</li> })
        .collect_view();
    let learned = summary
        .learned
        .map(|n| view! { <p class="hint">{text::learned(n)}</p> });
    let cost = summary.quantities.get("cost.total").map(|span| {
        let said = text::cost(&assumptions.currency, span);
        let missing = (!summary.not_priced.is_empty()).then(|| text::not_priced(&summary.not_priced));
        view! {
            <p class="figure-said" data-figure="outlook.cost.total">
                {said}
            </p>
            <p class="hint">{missing}</p>
        }
    });
    let unpriced = cost.is_none().then(|| view! { <p>{text::no_prices()}</p> });
    let state = store.state.get_untracked();
    let drivers: Vec<String> = summary
        .drivers
        .iter()
        .take(5)
        .map(|driving| text::driver(driving, &state))
        .collect();
    let priced = cost.is_some();
    let budget = priced.then(|| view! { <Budget /> });
    view! {
        <Page
            title=text::title().to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=text::lead().to_owned()
            next=common::next(text::next())
            action=move || {
                view! { <Link label=text::to_assume().to_owned() tap="takes-assume" kind=Kind::Primary href=to(&["assume"]) /> }
            }
        >
            <Section title=text::amounts().to_owned()>
                <ul class="plain-list">{quantities}</ul>
                {learned}
            </Section>
            <Section title=text::money().to_owned()>{cost} {unpriced} {budget}</Section>
            <Section title=text::drivers().to_owned()>
                <ol class="plain-list">{drivers.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ol>
                <p class="hint">{text::driver_repeat()}</p>
            </Section>
            <p class="inline-list">
                <Link label=scenarios::link() tap="takes-scenarios" href=to(&["scenarios"]) />
                <Link label=text::to_figures().to_owned() tap="takes-figures" href=to(&[]) />
            </p>
        </Page>
    }
}

/// What a sum of money does.
#[component]
fn Budget() -> impl IntoView {
    let store = use_store();
    let typed = RwSignal::new(store.state.with_untracked(|state| answer_text(state, BUDGET)));
    let sum = move || super::number(&typed.get());
    let keep = Callback::new(move |text: String| {
        store.send(Command::Answer {
            subject: Subject::Survey,
            question: BUDGET.to_owned(),
            value: Answer::Text(text.trim().to_owned()),
        });
    });
    let error = Signal::derive(move || {
        let wrong = !typed.with(|text| text.trim().is_empty()) && sum().is_none();
        wrong.then(|| text::budget_wrong().to_owned())
    });
    let (bought, set_bought) = signal(None::<Vec<Bought>>);
    Effect::new(move || match sum() {
        None => set_bought.set(None),
        Some(budget) => task::spawn(async move {
            let made = heavy::buys(store.log(), budget).await;
            // What was typed meanwhile has asked anew.
            let now = typed.try_with_untracked(|typed| super::number(typed));
            if now.flatten() == Some(budget) {
                let _ = set_bought.try_set(made.ok());
            }
        }),
    });
    let bought = move || {
        let lines = bought.get()?.into_iter().filter_map(|bought| {
            let class = tape::actions().iter().find(|class| class.key == bought.class)?;
            Some(view! { <li>{text::bought(worded(class.label), &bought)}</li> })
        });
        let lines = lines.collect_view();
        Some(view! {
            <Panel title=text::budget().to_owned()>
                <ul class="plain-list">{lines}</ul>
            </Panel>
        })
    };
    view! {
        <TextField
            label=text::budget()
            hint=text::budget_hint()
            error=error
            value=typed
            tap="takes-budget"
            on_input=move |text| typed.set(text)
            on_done=keep
        />
        {bought}
    }
}
