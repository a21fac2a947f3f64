//! Setting a survey up: the time, why, what counts, before the visit, places, boxes, closing the list.

mod about;
mod boxes;
mod close;
mod list;
mod marks;
mod place;
mod places;
mod time;
mod watch;

use leptos::prelude::*;
use survey::SurveyId;

use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, setup as t};

/// The screens, in order: the address's first part, and what the one before calls it.
const STEPS: [(&str, &str); 7] = [
    ("time", t::STEP_TIME),
    ("about", t::STEP_ABOUT),
    ("scope", t::STEP_SCOPE),
    ("before", t::STEP_BEFORE),
    ("places", t::STEP_PLACES),
    ("boxes", t::STEP_BOXES),
    ("close", t::STEP_CLOSE),
];

/// The screens of this part of the day.
#[component]
pub fn View(#[prop(into)] at: Signal<Vec<String>>) -> impl IntoView {
    provide_context(Setup(use_store().state.with_untracked(|state| state.survey)));
    move || {
        let at = at.get();
        let parts: Vec<&str> = at.iter().map(String::as_str).collect();
        match parts[..] {
            ["about", ..] => view! { <about::View /> }.into_any(),
            ["watch-list", ..] => view! { <watch::View /> }.into_any(),
            ["scope", ..] => view! { <marks::Scope /> }.into_any(),
            ["before", ..] => view! { <marks::Before /> }.into_any(),
            ["places", ..] => view! { <places::View /> }.into_any(),
            ["boxes", "list", ..] => view! { <list::View /> }.into_any(),
            ["boxes", place, ..] => view! { <place::View key=place.to_owned() /> }.into_any(),
            ["boxes"] => view! { <boxes::View /> }.into_any(),
            ["close", ..] => view! { <close::View /> }.into_any(),
            _ => view! { <time::View /> }.into_any(),
        }
    }
}

/// The survey that is being set up, from context.
#[derive(Clone, Copy)]
struct Setup(SurveyId);

impl Setup {
    fn here() -> Self {
        expect_context()
    }

    /// The address of a screen.
    fn route(self, at: &[&str]) -> Route {
        Route::to(self.0, Journey::Setup, at)
    }

    fn go(self, at: &[&str]) {
        self.route(at).go();
    }
}

/// "Set up, 2 of 7".
fn here(screen: &str) -> String {
    let step = STEPS
        .iter()
        .position(|(name, _)| *name == screen)
        .map_or(1, |index| index + 1);
    common::here(Journey::Setup, step, STEPS.len())
}

/// What comes after a screen.
fn next(screen: &str) -> String {
    let after = STEPS.iter().skip_while(|(name, _)| *name != screen).nth(1);
    common::next(after.map_or(t::STEP_SAMPLE, |(_, what)| what))
}
