//! What it takes to save the collection, given what is assumed.

use std::sync::Arc;

use costing::{Bought, SimulationError};
use labour::Drawn;
use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use super::super::unable::{Stop, Unable};
use super::to;
use crate::capability::heavy::{self, Fault};
use crate::capability::task;
use crate::journeys::answer_text;
use crate::route::Journey;
use crate::store::use_store;
use crate::texts::{common, heavy as work, scenarios, takes as text, worded};
use crate::ui::{Kind, Link, Page, Panel, Progress, Section, TextField};

const BUDGET: &str = "budget";

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let store = use_store();
    let (made, set_made) = signal(None::<Result<Arc<Drawn>, Fault<SimulationError>>>);
    let (far, set_far) = signal((0, 0));
    let draw = move || {
        set_made.set(None);
        task::spawn(async move {
            // The person may have gone elsewhere meanwhile.
            let hear = move |done, all| {
                let _ = set_far.try_set((done, all));
            };
            let drawn = heavy::outlook(store.log(), hear).await;
            let _ = set_made.try_set(Some(drawn.map(Arc::new)));
        });
    };
    draw();
    // Nobody waits for it any more: the next question is not to wait behind it.
    on_cleanup(move || {
        if made.try_with_untracked(Option::is_none) == Some(true) {
            heavy::stop();
        }
    });
    let on_again = Callback::new(move |()| draw());
    move || match made.get() {
        None => view! { <Drawing far /> }.into_any(),
        Some(Err(fault)) => match fault.apart() {
            Ok(error) => view! { <Without why=text::not_made(&error) /> }.into_any(),
            Err(fault) => view! { <Unable fault on_again /> }.into_any(),
        },
        Some(Ok(drawn)) => view! { <Sheet drawn /> }.into_any(),
    }
}

/// How far the draws are.
#[component]
pub(super) fn Drawing(far: ReadSignal<(usize, usize)>) -> impl IntoView {
    let said = Signal::derive(move || {
        let (done, all) = far.get();
        work::drawn(done, all)
    });
    view! {
        <p class="opening" role="status">
            {text::working()}
        </p>
        <Progress
            text=said
            done=Signal::derive(move || far.get().0)
            all=Signal::derive(move || far.get().1)
        />
        <Stop />
    }
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
            </Section>
            <Link label=scenarios::link() tap="takes-scenarios" href=to(&["scenarios"]) />
            <Link label=text::to_figures().to_owned() tap="takes-figures" href=to(&[]) />
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
