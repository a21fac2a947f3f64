//! The rest of what does not agree: draws beside each other, faults, names, clocks; and how often two people agreed.

use analysis::agreement;
use leptos::prelude::*;
use survey::differ::Differences;
use survey::{Command, EntryId};

use super::differ::{Told, answer};
use crate::capability::{clock, document};
use crate::store::use_store;
use crate::texts::differ as t;
use crate::ui::{Button, Kind, Section};

/// The sections, each only where it has something to say.
#[component]
pub(super) fn Also(told: Told) -> impl IntoView {
    view! {
        <Draws told />
        {move || told.with(|told| lines(t::faults(), None, faults(told)))}
        {move || told.with(twice)}
        {move || told.with(|told| lines(t::names(), Some(t::names_text()), names(told)))}
        {move || told.with(|told| lines(t::clocks(), Some(t::clocks_text()), clocks(told)))}
    }
}

/// Draws that stand beside each other.
#[component]
fn Draws(told: Told) -> impl IntoView {
    let store = use_store();
    // What was put aside on this screen, to be taken back.
    let aside = RwSignal::new(None::<EntryId>);
    let put_aside = move |roll: EntryId| {
        match store.try_send(Command::Undo(roll)) {
            Ok(written) => aside.set(written.last().copied()),
            Err(refusal) => store.refuse(refusal),
        }
        document::focus_after_paint("[data-tap=differ-draw-undo]");
    };
    let take_back = move || {
        if let Some(undo) = aside.get_untracked() {
            store.send(Command::Undo(undo));
        }
        aside.set(None);
        document::focus_after_paint("#main-heading");
    };
    let shown = move || {
        let told = told.get();
        if told.draws.is_empty() {
            return ().into_any();
        }
        let all_same = told.draws.iter().all(|draw| draw.same_boxes);
        let text = if all_same {
            t::draws_same()
        } else {
            t::draws_differ()
        };
        let each = told.draws.iter().map(|draw| {
            let roll = draw.roll;
            let seed = t::draw_line(&draw.seed, draw.n_boxes);
            let about = t::who_when(t::who(&draw.who), clock::day_and_time(draw.at_ms));
            view! {
                <li class=if draw.in_force { "differ-value counts" } else { "differ-value" }>
                    <div class="differ-said">
                        <p><strong>{seed}</strong></p>
                        <p class="small">{about}</p>
                        {draw.in_force.then(|| view! { <p class="small differ-counts">{t::counts()}</p> })}
                    </div>
                    {(!all_same)
                        .then(|| view! {
                            <Button
                                label=t::put_aside()
                                tap=format!("differ-aside-{roll}")
                                kind=Kind::Secondary
                                on_press=move || put_aside(roll)
                            />
                        })}
                </li>
            }
        });
        let each = each.collect_view();
        view! {
            <Section title=t::draws()>
                <p>{text}</p>
                <ul class="differ-values">{each}</ul>
            </Section>
        }
        .into_any()
    };
    let was_put = move || {
        aside.get().map(|_| {
            view! {
                <p role="status">
                    {t::draw_aside()} " "
                    <Button label=t::undo() tap="differ-draw-undo" kind=Kind::Quiet on_press=take_back />
                </p>
            }
        })
    };
    view! {
        {shown}
        {was_put}
    }
}

fn faults(told: &Differences) -> Vec<String> {
    let mut lines: Vec<String> = told.faults.iter().filter_map(t::fault).collect();
    // Many of one kind are one line.
    lines.dedup();
    lines.extend(told.walks.iter().map(t::walks));
    lines
}

fn names(told: &Differences) -> Vec<String> {
    let line = |named: &survey::differ::SameName| {
        let people: Vec<&str> = named.devices.values().flatten().map(String::as_str).collect();
        if people.is_empty() {
            t::name_line(&named.name, named.devices.len())
        } else {
            t::name_line_held(&named.name, named.devices.len(), people.join(", "))
        }
    };
    told.names.iter().map(line).collect()
}

fn clocks(told: &Differences) -> Vec<String> {
    let Some(clocks) = &told.clocks else {
        return Vec::new();
    };
    let line = |device: &survey::differ::DeviceClock| {
        t::clock_line(
            t::who(&device.name),
            clock::day_and_time(device.first_ms),
            clock::day_and_time(device.last_ms),
        )
    };
    let mut lines: Vec<String> = clocks.devices.iter().map(line).collect();
    if clocks.n_backwards > 0 {
        lines.push(t::clocks_backwards(clocks.n_backwards));
    }
    lines
}

/// How often two people who checked the same thing agreed, and every pair.
fn twice(told: &std::sync::Arc<Differences>) -> AnyView {
    if told.repeats.is_empty() {
        return ().into_any();
    }
    let n_same = told.repeats.iter().filter(|repeat| repeat.is_same()).count();
    let by_question = agreement::checked_twice(&told.repeats)
        .into_iter()
        .map(|checked| {
            view! { <li>{t::twice_line(t::question(&checked.question), checked.n_same, checked.n)}</li> }
        });
    let by_question = by_question.collect_view();
    let store = use_store();
    let pairs = told.repeats.iter().map(|repeat| {
        let said =
            |look: &survey::differ::Look| t::said_by(t::who(&look.who), answer(repeat.question, &look.value));
        let about = store
            .state
            .with_untracked(|state| t::subject(repeat.subject, state));
        view! {
            <li>
                <p class="differ-about">{about}</p>
                <p>{t::pair_line(t::question(repeat.question), said(&repeat.first), said(&repeat.second))}</p>
            </li>
        }
    });
    let pairs = pairs.collect_view();
    let text = t::twice_text(told.repeats.len(), n_same);
    view! {
        <Section title=t::twice()>
            <p>{text}</p>
            <ul class="lines">{by_question}</ul>
            <details class="more">
                <summary data-tap="differ-pairs">{t::twice_all()}</summary>
                <ul class="lines">{pairs}</ul>
            </details>
        </Section>
    }
    .into_any()
}

fn lines(title: &'static str, text: Option<&'static str>, lines: Vec<String>) -> AnyView {
    if lines.is_empty() {
        return ().into_any();
    }
    view! {
        <Section title=title>
            {text.map(|text| view! { <p class="hint">{text}</p> })}
            <ul class="lines">{lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
        </Section>
    }
    .into_any()
}
