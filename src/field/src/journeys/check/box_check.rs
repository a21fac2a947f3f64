//! A box: its questions, then its first tape, then its sheet.

use leptos::prelude::*;
use survey::progress::BoxStatus;
use survey::{Serial, State, Subject};
use tape::{Answers, Question};

use super::ask::Ask;
use super::cautions::Cautions;
use super::group::Group;
use super::item_check::ItemCheck;
use super::kept::KeptAnswers;
use super::sheet::BoxSheet;
use super::together::Together;
use super::{SHEET, route_to};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check as text, worded};
use crate::ui::{Kind, Link, Page, Panel, Tone};

/// What the screen shows.
#[derive(Clone, PartialEq)]
enum Shows {
    NotDrawn,
    Question(&'static str),
    Item(survey::ItemId),
    Sheet,
}

/// The screens of one box.
#[component]
pub fn BoxCheck(serial: Serial, question: Option<String>) -> impl IntoView {
    let store = use_store();
    let asked_for = question.clone();
    let shows = Memo::new(move |_| shows(&store.state.get(), serial, asked_for.as_deref()));
    let at_question = question.is_some();
    move || match shows.get() {
        Shows::NotDrawn => view! { <NotInRound /> }.into_any(),
        Shows::Question(key) => match tape::question(key) {
            Some(question) => view! { <BoxQuestion serial question at_question /> }.into_any(),
            None => view! { <BoxSheet serial /> }.into_any(),
        },
        Shows::Item(item) => {
            let to_item = route_to(store.state.get_untracked().survey, Subject::Item(item), None);
            to_item.replace();
            if to_item.is_here() {
                // The router was told, and shows the tape before anything is painted.
                ().into_any()
            } else {
                // A browser that is asked too often does not move: never an empty screen.
                view! { <ItemCheck item question=None /> }.into_any()
            }
        }
        Shows::Sheet => view! { <BoxSheet serial /> }.into_any(),
    }
}

fn shows(state: &State, serial: Serial, asked_for: Option<&str>) -> Shows {
    if state
        .draw
        .as_ref()
        .and_then(|draw| draw.stratum_of(serial))
        .is_none()
    {
        return Shows::NotDrawn;
    }
    let path = state.box_path(serial);
    if asked_for == Some(SHEET) {
        return Shows::Sheet;
    }
    if let Some(question) = asked_for.and_then(|key| path.asked.iter().find(|question| question.key == key)) {
        return Shows::Question(question.key);
    }
    if let Some(next) = path.next.filter(|_| !path.done) {
        return Shows::Question(next.key);
    }
    match state.box_status(serial) {
        BoxStatus::Begun => state.next_item(serial).map_or(Shows::Sheet, Shows::Item),
        BoxStatus::Untouched | BoxStatus::Finished(_) => Shows::Sheet,
    }
}

#[component]
fn BoxQuestion(serial: Serial, question: &'static Question, at_question: bool) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let subject = Subject::Box(serial);
    let known = state.answers(subject);
    let asked = state.box_path(serial).asked;
    let before = question_before(&asked, question);
    let back = match before {
        Some(before) => route_to(state.survey, subject, Some(before.key)),
        None => Route::to(state.survey, Journey::Check, &[]),
    };
    let all = tape::cautions_for_box(&known);
    let last: Vec<_> = before.into_iter().collect();
    let fresh = fresh(&all, &known, &last, tape::cautions_for_box);
    let first_question = before.is_none();
    // In full at the first box of the day, one line afterwards.
    let is_first_box = !state
        .subjects()
        .any(|subject| state.answer(subject, "outcome").is_some());
    let on_answered = move || {
        if at_question {
            route_to(store.state.get_untracked().survey, subject, None).replace();
        }
    };
    let (back, here) = (back.href(), here(&state, serial));
    let group = Group::at_box(&state, serial, question).filter(|_| !at_question);
    let after = group.as_ref().map_or(question, Group::last);
    let next = Some(next_after(&asked, after, &known).unwrap_or_else(|| text::then_box().to_owned()));
    expect_context::<KeptAnswers>().clear();
    match group {
        Some(group) => view! {
            <Together subject group here back next on_answered>
                <Cautions all=all fresh=fresh />
            </Together>
        }
        .into_any(),
        None => view! {
            <Ask subject question known here first=String::new() back next on_answered>
                {first_question.then(|| view! { <BeforeOpening in_full=is_first_box /> })}
                <Cautions all=all fresh=fresh />
            </Ask>
        }
        .into_any(),
    }
}

/// What to mind before any box is opened.
#[component]
fn BeforeOpening(in_full: bool) -> impl IntoView {
    let lines = || {
        let heavy = tape::caution("heavy_box").map(|caution| view! { <p>{worded(caution.text)}</p> });
        view! {
            {heavy}
            <p>{text::mind_mould()}</p>
            <p class="hint">{text::general()}</p>
        }
    };
    if in_full {
        view! { <Panel tone=Tone::Caution title=text::mind().to_owned()>{lines()}</Panel> }.into_any()
    } else {
        view! {
            <details class="caution-again">
                <summary>{text::mind()}</summary>
                {lines()}
            </details>
        }
        .into_any()
    }
}

#[component]
fn NotInRound() -> impl IntoView {
    let store = use_store();
    let round = move || Route::to(store.state.get().survey, Journey::Check, &[]).href();
    view! {
        <Page
            title=text::not_in_round().to_owned()
            lead=text::not_in_round_why().to_owned()
            action=move || {
                view! {
                    <Link
                        label=text::to_round().to_owned()
                        tap="check-to-round"
                        kind=Kind::Primary
                        href=Signal::derive(round)
                    />
                }
            }
        >
            ""
        </Page>
    }
}

/// The round, the box and its place in a line.
pub fn here(state: &State, serial: Serial) -> String {
    let draw = state.draw.as_ref();
    let number = state.rounds.keys().find(|number| {
        draw.is_some_and(|draw| draw.round(**number).iter().any(|drawn| drawn.serial == serial))
    });
    text::box_here(
        number.map_or(String::new(), |number| text::round(*number)),
        serial,
        place_name(state, serial),
    )
}

/// The name of the place a box stands at.
pub fn place_name(state: &State, serial: Serial) -> String {
    let place = state
        .boxes
        .get(&serial)
        .and_then(|listed| state.places.get(&listed.place));
    place.map(|place| place.name.clone()).unwrap_or_default()
}

/// The question asked before this one.
pub fn question_before(asked: &[&'static Question], question: &Question) -> Option<&'static Question> {
    let index = asked.iter().position(|other| other.key == question.key)?;
    index.checked_sub(1).map(|before| asked[before])
}

/// What comes after a question as things stand: the next one that is open, in words.
pub fn next_after(asked: &[&'static Question], question: &Question, known: &Answers) -> Option<String> {
    let index = asked.iter().position(|other| other.key == question.key)?;
    let mut rest = asked.iter().skip(index + 1);
    let open = |other: &&&'static Question| !other.optional && !known.contains_key(other.key);
    rest.find(open).map(|next| text::then(worded(next.short)))
}

/// The cautions that the last answers called for: those that were not there without them.
pub fn fresh(
    all: &[&'static tape::Caution],
    known: &Answers,
    last: &[&'static Question],
    cautions: impl Fn(&Answers) -> Vec<&'static tape::Caution>,
) -> Vec<&'static str> {
    if last.is_empty() {
        return Vec::new();
    }
    let mut without = known.clone();
    without.retain(|key, _| last.iter().all(|question| question.key != key));
    let before: Vec<&str> = cautions(&without)
        .into_iter()
        .map(|caution| caution.key)
        .collect();
    all.iter()
        .map(|caution| caution.key)
        .filter(|key| !before.contains(key))
        .collect()
}
