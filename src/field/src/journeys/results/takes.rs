//! What it takes to save the collection, given what is assumed.

use std::sync::Arc;

use costing::{Assumptions, Outlook};
use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use crate::capability::{heavy, task};
use crate::journeys::answer_text;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, takes as text, worded};
use crate::ui::{Kind, Link, Page, Panel, Section, TextField};

const BUDGET: &str = "budget";

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let store = use_store();
    let (made, set_made) = signal(None::<Result<Arc<(Outlook, Assumptions)>, String>>);
    task::spawn(async move {
        let drawn = heavy::outlook(store.state.get_untracked()).await;
        // The person may have gone elsewhere meanwhile.
        let _ = set_made.try_set(Some(drawn.map(Arc::new).map_err(|error| text::not_made(&error))));
    });
    move || match made.get() {
        None => view! { <p class="opening" role="status">{text::working()}</p> }.into_any(),
        Some(Err(why)) => view! { <Without why /> }.into_any(),
        Some(Ok(drawn)) => view! { <Sheet drawn /> }.into_any(),
    }
}

fn to(at: &[&str]) -> String {
    Route::to(use_store().state.get_untracked().survey, Journey::Results, at).href()
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
fn Sheet(drawn: Arc<(Outlook, Assumptions)>) -> impl IntoView {
    let store = use_store();
    let (outlook, assumptions) = (&drawn.0, &drawn.1);
    let summary = analysis::outlook::summary(outlook, assumptions);
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
    let place = move |stratum: &str| {
        let named = stratum
            .parse()
            .ok()
            .and_then(|key| state.strata.get(&key).cloned());
        named.unwrap_or_else(|| stratum.to_owned())
    };
    let drivers: Vec<String> = summary
        .drivers
        .iter()
        .take(5)
        .map(|driving| text::driver(driving, &place))
        .collect();
    let priced = cost.is_some();
    let budget = priced.then(|| view! { <Budget drawn=drawn.clone() /> });
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
            </Section>
            <Link label=text::to_figures().to_owned() tap="takes-figures" href=to(&[]) />
        </Page>
    }
}

/// What a sum of money does.
#[component]
fn Budget(drawn: Arc<(Outlook, Assumptions)>) -> impl IntoView {
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
    let bought = move || {
        let budget = sum()?;
        let lines = drawn.0.buys(budget).into_iter().filter_map(|bought| {
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
