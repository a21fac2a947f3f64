//! Setting a survey up: the time, why, what counts, before the visit, places, boxes, closing the list.

mod about;
mod boxes;
mod close;
mod curve;
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
fn steps() -> [(&'static str, &'static str); 7] {
    [
        ("time", t::step_time()),
        ("about", t::step_about()),
        ("scope", t::step_scope()),
        ("before", t::step_before()),
        ("places", t::step_places()),
        ("boxes", t::step_boxes()),
        ("close", t::step_close()),
    ]
}

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
    let steps = steps();
    let step = steps
        .iter()
        .position(|(name, _)| *name == screen)
        .map_or(1, |index| index + 1);
    common::here(Journey::Setup, step, steps.len())
}

/// What comes after a screen.
fn next(screen: &str) -> String {
    let steps = steps();
    let after = steps.iter().skip_while(|(name, _)| *name != screen).nth(1);
    common::next(after.map_or(t::step_sample(), |(_, what)| what))
}
