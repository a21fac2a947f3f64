//! How long have you got?

use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use super::{Setup, here, next};
use crate::journeys::said_number;
use crate::store::use_store;
use crate::texts::{common, setup as t};
use crate::ui::{Button, Kind, NumberStepper, Page};

/// Hours of checking that half a day leaves, and a fair guess of the pace: shown until something is answered.
const HOURS: u32 = 3;
const MINUTES: u32 = 10;

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let hours = Memo::new(move |_| {
        store
            .state
            .with(|state| said_number(state, "hours"))
            .unwrap_or(HOURS)
    });
    let minutes = Memo::new(move |_| {
        store
            .state
            .with(|state| said_number(state, "minutes_per_box"))
            .unwrap_or(MINUTES)
    });
    let answer = move |question: &str, number: u32| {
        let value = Answer::Number(f64::from(number));
        store.send(Command::Answer {
            subject: Subject::Survey,
            question: question.to_owned(),
            value,
        });
    };
    let go_on = move || {
        // What stood there is what was meant, changed or not.
        let number = |number: Memo<u32>| Answer::Number(f64::from(number.get_untracked()));
        let answers = vec![
            ("hours".to_owned(), number(hours)),
            ("minutes_per_box".to_owned(), number(minutes)),
        ];
        store.send(Command::AnswerAll {
            subject: Subject::Survey,
            answers,
        });
        setup.go(&["about"]);
    };
    let boxes = move || hours.get() * 60 / minutes.get().max(1);
    let action =
        move || view! { <Button label=common::GO_ON tap="setup-go-on" kind=Kind::Primary on_press=go_on /> };
    view! {
        <Page title=t::TIME_TITLE here=here("time") lead=t::TIME_LEAD next=next("time") action=action>
            <NumberStepper
                label=t::HOURS
                value=Signal::derive(move || Some(hours.get()))
                least=1
                most=80
                tap="setup-hours"
                less=t::FEWER_HOURS
                more=t::MORE_HOURS
                on_change=move |number| answer("hours", number)
            />
            <NumberStepper
                label=t::MINUTES
                hint=t::MINUTES_HINT
                value=Signal::derive(move || Some(minutes.get()))
                least=1
                most=120
                tap="setup-minutes"
                less=t::FEWER_MINUTES
                more=t::MORE_MINUTES
                on_change=move |number| answer("minutes_per_box", number)
            />
            <p class="says" role="status" data-tap="setup-buys">
                {move || t::buys_boxes(boxes())}
            </p>
        </Page>
    }
}
