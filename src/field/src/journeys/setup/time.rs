//! How long have you got?

use leptos::prelude::*;
use sampling::plan::Collection;
use survey::{Command, State, Subject};
use tape::Answer;

use super::curve::{Curve, LONGEST};
use super::{Setup, here, next};
use crate::journeys::{keeping, said_number};
use crate::store::use_store;
use crate::texts::{common, setup as t};
use crate::ui::{Button, Kind, NumberStepper, Page, Section};

/// Hours of checking that half a day leaves, and a fair guess of the pace: shown until something is answered.
const HOURS: u32 = 3;
const MINUTES: u32 = 10;
/// The confidence level of the forecast, that of every figure shown later.
const LEVEL: f64 = 0.95;

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
    let boxes = move |hours: u32| hours * 60 / minutes.get().max(1);
    let collection = Memo::new(move |_| store.state.with(|state| collection(state)));
    let more = move || {
        let half = (hours.get() / 2).max(1);
        let line = |hours: u32| {
            let said = forecast(&collection.get(), hours, boxes(hours))?;
            Some(view! { <li>{said}</li> })
        };
        let mut all = vec![half, hours.get(), hours.get() * 2];
        all.dedup();
        all.into_iter().filter_map(line).collect_view()
    };
    let action = move || view! { <Button label=common::go_on() tap="setup-go-on" kind=Kind::Primary on_press=go_on /> };
    view! {
        <Page title=t::time_title() here=here("time") lead=t::time_lead() next=next("time") action=action>
            <keeping::Forgetful />
            <NumberStepper
                label=t::hours()
                value=Signal::derive(move || Some(hours.get()))
                least=1
                most=LONGEST
                tap="setup-hours"
                less=t::fewer_hours()
                more=t::more_hours()
                on_change=move |number| answer("hours", number)
            />
            <NumberStepper
                label=t::minutes()
                hint=t::minutes_hint()
                value=Signal::derive(move || Some(minutes.get()))
                least=1
                most=120
                tap="setup-minutes"
                less=t::fewer_minutes()
                more=t::more_minutes()
                on_change=move |number| answer("minutes_per_box", number)
            />
            <p class="says" role="status" data-tap="setup-buys">
                {move || t::buys_boxes(boxes(hours.get()))}
            </p>
            <Section title=t::buys_title()>
                <p>{t::buys_what()}</p>
                <Curve
                    collection
                    hours
                    boxes=Callback::new(boxes)
                    on_change=move |number| answer("hours", number)
                />
                <ul class="lines" data-tap="setup-forecast">
                    {more}
                </ul>
                <p class="small">{move || t::buys_guesses(&collection.get())}</p>
            </Section>
        </Page>
    }
}

/// What is known of the collection by now; the rest is the planner's stated guesses.
fn collection(state: &State) -> Collection {
    let guess = Collection::default();
    let count = |n: usize, instead: u64| {
        if n == 0 {
            instead
        } else {
            u64::try_from(n).unwrap_or(u64::MAX)
        }
    };
    Collection {
        boxes: count(state.boxes.len(), guess.boxes),
        strata: count(state.strata.len(), 1),
        ..guess
    }
}

/// How closely so many boxes show the share of a fault, percentage points to either side; nothing if they are no sample.
pub(super) fn half_width(collection: &Collection, boxes: u32) -> Option<f64> {
    let limits = collection.expected_limits(u64::from(boxes).min(collection.boxes), LEVEL)?;
    Some(50.0 * (limits.high - limits.low))
}

/// What so many hours would buy, in a line; nothing if they buy less than a sample.
pub(super) fn forecast(collection: &Collection, hours: u32, boxes: u32) -> Option<String> {
    let points = half_width(collection, boxes)?;
    let boxes = u64::from(boxes).min(collection.boxes);
    let items = collection.expected_total_error(boxes, collection.items_cv, LEVEL)?;
    Some(t::buys(hours, boxes, points, 100.0 * items))
}
