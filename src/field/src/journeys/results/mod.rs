//! Results: figures a layman reads, a sentence before each, the small print behind a tap.

mod assume;
mod changed;
mod drawing;
mod figures;
mod scenarios;
mod takes;
mod whose;

use std::sync::Arc;

use analysis::figures::Figures;
use leptos::prelude::*;

use self::figures::FigureSheet;
use self::whose::Whose;
use super::unable::Unable;
use crate::capability::heavy::{self, Fault};
use crate::capability::task;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, results as text};
use crate::ui::{Kind, Link, Page};

/// A number as a person types it, with a comma or a point.
fn number(typed: &str) -> Option<f64> {
    let typed = typed.trim().replace(',', ".");
    typed.parse().ok().filter(|number: &f64| number.is_finite())
}

/// The journey's screens: the figures, what it takes, what that is assumed from.
#[component]
pub fn View(
    /// The rest of the address.
    #[prop(into)]
    at: Signal<Vec<String>>,
) -> impl IntoView {
    move || {
        let at = at.get();
        let parts: Vec<&str> = at.iter().map(String::as_str).collect();
        match parts[..] {
            ["changed"] => view! { <changed::View /> }.into_any(),
            ["scenarios", name, ..] => match scenarios::of_address(name) {
                Some(name) => way(name, &parts[2..]),
                None => view! { <scenarios::View /> }.into_any(),
            },
            ["scenarios"] => view! { <scenarios::View /> }.into_any(),
            ["takes"] => view! { <takes::View /> }.into_any(),
            ["assume"] => view! { <assume::List whose=Whose::Plan /> }.into_any(),
            ["assume", "keeping"] => view! { <assume::Keeping /> }.into_any(),
            ["assume", key] => value(key, Whose::Plan),
            _ => view! { <FiguresOrNone /> }.into_any(),
        }
    }
}

/// The screens of one way beside the plan.
fn way(name: String, rest: &[&str]) -> AnyView {
    match rest {
        ["assume"] => view! { <assume::List whose=Whose::Way(name) /> }.into_any(),
        ["assume", key] => value(key, Whose::Way(name)),
        _ => view! { <scenarios::One name /> }.into_any(),
    }
}

/// One value that can be assumed; the list where there is none of this key.
fn value(key: &str, whose: Whose) -> AnyView {
    match costing::catalogue().iter().find(|entry| entry.key == key) {
        Some(entry) => view! { <assume::One entry whose /> }.into_any(),
        None => view! { <assume::List whose /> }.into_any(),
    }
}

/// The address of a screen of this part of the day.
fn to(at: &[&str]) -> String {
    Route::to(use_store().state.get_untracked().survey, Journey::Results, at).href()
}

/// A number that was stepped or typed, as a stepper shows it.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounded, and between 0 and 10,000"
)]
fn whole(number: f64) -> Option<u32> {
    (0.0..=10_000.0)
        .contains(&number)
        .then_some(number.round() as u32)
}

#[component]
fn FiguresOrNone() -> impl IntoView {
    let store = use_store();
    let (figures, set_figures) = signal(None::<Result<Arc<Figures>, Fault>>);
    let make = move || {
        set_figures.set(None);
        task::spawn(async move {
            let made = heavy::figures(store.log()).await;
            // The person may have gone elsewhere meanwhile.
            let _ = set_figures.try_set(Some(made.map(Arc::new)));
        });
    };
    make();
    let on_again = Callback::new(move |()| make());
    let survey = store.state.get_untracked().survey;
    move || match figures.get() {
        None => view! { <p class="opening" role="status">{text::working()}</p> }.into_any(),
        Some(Err(fault)) => view! { <Unable fault on_again /> }.into_any(),
        Some(Ok(figures)) if figures.headline.is_empty() => {
            let check = Route::to(survey, Journey::Check, &[]).href();
            let problems = figures.problems.clone();
            view! {
                <Page
                    title=text::nothing_title().to_owned()
                    here=common::journey(Journey::Results).to_owned()
                    lead=text::nothing().to_owned()
                    action=move || {
                        view! {
                            <Link
                                label=text::to_check().to_owned()
                                tap="results-to-check"
                                kind=Kind::Primary
                                href=check.clone()
                            />
                        }
                    }
                >
                    {problems.into_iter().map(|problem| view! { <p class="hint">{problem.to_string()}</p> }).collect_view()}
                </Page>
            }
                .into_any()
        }
        Some(Ok(figures)) => view! { <FigureSheet figures /> }.into_any(),
    }
}
