//! The shelves of the current round, and what was found that must not wait.

use handover::watchlist;
use leptos::prelude::*;
use survey::progress::BoxStatus;
use survey::{ItemId, Subject};

use super::answer_text::answer_text;
use super::box_check::place_name;
use super::route_to;
use crate::capability::document;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check, common, shelf as text, worded};
use crate::ui::{Button, Kind, Link, Page, Section};

/// Action classes that are told before anybody goes home.
const SET_APART: [&str; 3] = ["keep_away", "call_now", "leave_still"];

#[component]
fn ToRound() -> impl IntoView {
    let store = use_store();
    let href = move || Route::to(store.state.get().survey, Journey::Check, &[]).href();
    view! {
        <Link
            label=check::to_round().to_owned()
            tap="check-to-round"
            kind=Kind::Primary
            href=Signal::derive(href)
        />
    }
}

/// The shelves.
#[component]
pub fn ShelfMap() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let shelves = move || {
        let state = store.state.get();
        let number = state.current_round().unwrap_or(1);
        let shelves = state.shelves(number).into_iter().map(|shelf| {
            let place = state.places.get(&shelf.place).map_or("", |place| place.name.as_str());
            let n_drawn = shelf.boxes.iter().filter(|on_shelf| on_shelf.drawn.is_some()).count();
            let title = text::shelf(place, n_drawn, shelf.boxes.len());
            let strip = shelf.boxes.iter().map(|on_shelf| {
                let class = match on_shelf.drawn {
                    None => "cell",
                    Some(BoxStatus::Finished(_)) => "cell drawn done",
                    Some(_) => "cell drawn",
                };
                view! { <span class=class></span> }
            });
            let strip = strip.collect_view();
            let lines = shelf.boxes.iter().filter_map(|on_shelf| {
                let status = match on_shelf.drawn? {
                    BoxStatus::Finished(_) => text::done(),
                    BoxStatus::Begun => text::begun(),
                    BoxStatus::Untouched => text::to_do(),
                };
                let href = route_to(state.survey, Subject::Box(on_shelf.serial), None).href();
                Some(view! {
                    <li>
                        <a class="row row-link" data-tap=format!("map-box-{}", on_shelf.serial) href=href>
                            <span class="row-more">{text::on_shelf(on_shelf.serial, on_shelf.nth, status)}</span>
                        </a>
                    </li>
                })
            });
            let lines = lines.collect_view();
            view! {
                <Section title=title>
                    <div class="shelf-strip" aria-hidden="true">{strip}</div>
                    <ul class="rows">{lines}</ul>
                </Section>
            }
        });
        shelves.collect_view()
    };
    view! {
        <Page
            title=text::map().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::map_lead().to_owned()
            action=|| view! { <ToRound /> }
        >
            {shelves}
            <p class="hint">{text::list_order()}</p>
        </Page>
    }
}

/// Something to set apart: where the address leads, what it is, where it stands, why.
#[derive(Clone, PartialEq)]
struct Found {
    subject: Subject,
    name: String,
    place: String,
    why: String,
}

/// What was found, boxes first.
fn found(state: &survey::State) -> Vec<Found> {
    let watch = watchlist::of(state);
    let mut all = Vec::new();
    for subject in state.subjects() {
        let (serial, name, why) = match subject {
            Subject::Box(serial) => {
                let answers = state.answers(subject);
                let hazards = [
                    ("mould", ["seen", "suspected"].as_slice()),
                    ("vermin", ["signs"].as_slice()),
                ];
                let seen = hazards.iter().find_map(|(key, bad)| {
                    let answer = answers.get(*key).filter(|answer| answer.has_any(bad))?;
                    let short = tape::question(key).map_or(*key, |question| worded(question.short));
                    Some(check::said(short, answer_text(key, answer)))
                });
                let stopped = || {
                    let outcome = answers.get("outcome").filter(|answer| answer.has("stopped"))?;
                    let reason = answers.get("outcome_reason");
                    Some(reason.map_or_else(
                        || answer_text("outcome", outcome),
                        |reason| answer_text("outcome_reason", reason),
                    ))
                };
                (serial, check::box_title(serial), seen.or_else(stopped))
            }
            Subject::Item(item) => {
                let findings = tape::findings_watching(
                    &state.answers(Subject::Box(item.serial)),
                    &state.item_answers(item),
                    &watch,
                );
                let action = tape::action(&findings);
                let why = SET_APART.contains(&action.key).then(|| {
                    let first = findings
                        .iter()
                        .find(|finding| finding.strength >= tape::Strength::Possible);
                    let title = first.map_or("", |finding| worded(finding.title));
                    check::strength(worded(action.label), title)
                });
                (item.serial, check::item_title(ItemId { ..item }), why)
            }
            Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => continue,
        };
        if let Some(why) = why {
            let place = place_name(state, serial);
            all.push(Found {
                subject,
                name,
                place,
                why,
            });
        }
    }
    all
}

/// How many there are.
pub fn n_found(state: &survey::State) -> usize {
    found(state).len()
}

/// The list.
#[component]
pub fn FoundToday() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let all = Memo::new(move |_| store.state.with(|state| found(state)));
    let rows = move || {
        let survey = store.state.with_untracked(|state| state.survey);
        let rows = all.get().into_iter().map(|found| {
            let tap = format!("found-{}", found.subject.to_string().replace([' ', '/'], "-"));
            let href = route_to(survey, found.subject, Some(super::SHEET)).href();
            view! {
                <li>
                    <a class="row row-link" data-tap=tap href=href>
                        <span class="row-name">{found.name}</span>
                        <span class="row-more">{check::found_at(&found.place, &found.why)}</span>
                    </a>
                </li>
            }
        });
        rows.collect_view()
    };
    view! {
        <Page
            title=text::found_title().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::found_lead().to_owned()
            action=|| view! { <ToRound /> }
        >
            <Show when=move || all.with(Vec::is_empty)>
                <p>{text::found_none()}</p>
            </Show>
            <ul class="rows">{rows}</ul>
            <p class="hint">{text::found_note()}</p>
            <Button label=text::print().to_owned() tap="found-print" kind=Kind::Quiet on_press=document::print />
        </Page>
    }
}
