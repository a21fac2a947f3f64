//! A tape: its questions, then what they point to.

use leptos::prelude::*;
use survey::{ItemId, State, Subject};
use tape::Question;

use super::alike::SameAsLast;
use super::ask::Ask;
use super::batch::FromBatch;
use super::box_check::{fresh, next_after, question_before};
use super::cautions::Cautions;
use super::group::Group;
use super::kept::KeptAnswers;
use super::kinds::KindsBefore;
use super::sheet::ItemSheet;
use super::straight_on::{TapeBefore, next_tape};
use super::together::Together;
use super::{SHEET, route_to};
use crate::store::use_store;
use crate::texts::check as text;

/// The screens of one tape.
#[component]
pub fn ItemCheck(item: ItemId, question: Option<String>) -> impl IntoView {
    let store = use_store();
    let asked_for = question.clone();
    let at_question = question.is_some();
    // The question shown, none for the sheet, and those of the same look: a shortcut may answer some of them.
    let shows = Memo::new(move |_| {
        let state = store.state.get();
        let question = tape::question(shows(&state, item, asked_for.as_deref())?)?;
        let group = group(&state, item, question, at_question);
        Some((question.key, group.as_ref().map(Group::keys)))
    });
    // A tape that joins a batch knows more at once: the screen is made anew.
    let batch = Memo::new(move |_| store.state.with(|state| state.batch_of(item).map(str::to_owned)));
    // What is marked outlives the screen where a shortcut answers a part of it.
    expect_context::<KeptAnswers>().clear();
    let shown = move || tape::question(shows.get()?.0);
    move || match batch.with(|_| shown()) {
        Some(question) => view! { <ItemQuestion item question at_question /> }.into_any(),
        None => view! { <ItemSheet item /> }.into_any(),
    }
}

fn shows(state: &State, item: ItemId, asked_for: Option<&str>) -> Option<&'static str> {
    if asked_for == Some(SHEET) || !state.positions(item.serial).contains(&item.position) {
        return None;
    }
    let path = state.item_path(item);
    let wanted = asked_for
        .and_then(|key| path.asked.iter().find(|question| question.key == key))
        .copied();
    wanted
        .or(path.next.filter(|_| !path.done))
        .map(|question| question.key)
}

/// What is asked together with a question; one that is gone to by itself is asked by itself.
fn group(state: &State, item: ItemId, question: &Question, at_question: bool) -> Option<Group> {
    Group::at(state, item, question).filter(|_| !at_question)
}

#[component]
fn ItemQuestion(item: ItemId, question: &'static Question, at_question: bool) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let subject = Subject::Item(item);
    let about_item = state.item_answers(item);
    let mut known = state.answers(Subject::Box(item.serial));
    known.extend(about_item.clone());
    let asked = state.item_path(item).asked;
    let before = question_before(&asked, question);
    let back = match before {
        Some(before) => route_to(state.survey, subject, Some(before.key)),
        None => route_to(state.survey, Subject::Box(item.serial), Some(SHEET)),
    };
    let all = tape::cautions_for_item(&about_item);
    let fresh = fresh(
        &all,
        &about_item,
        &answered_before(&asked, question),
        tape::cautions_for_item,
    );
    let is_first = before.is_none();
    let first = if is_first {
        text::take_out(item.position)
    } else {
        String::new()
    };
    let on_answered = move || {
        let state = store.state.get_untracked();
        if at_question {
            route_to(state.survey, subject, None).replace();
        } else if let Some(next) = next_tape(&state, item) {
            route_to(state.survey, Subject::Item(next), None).go();
        }
    };
    let back = back.href();
    let here = here(&state, item);
    let group = group(&state, item, question, at_question);
    let after = group.as_ref().map_or(question, Group::last);
    let next = Some(next_after(&asked, after, &known).unwrap_or_else(|| text::then_sheet().to_owned()));
    match group {
        Some(group) => {
            let shared = group.shared_by_batch();
            let questions = group.keys();
            view! {
                <Together subject group here back next on_answered>
                    <Cautions all=all fresh=fresh />
                    <SameAsLast item=item questions on_taken=on_answered />
                    {shared.map(|question| view! { <FromBatch item=item question=question on_taken=on_answered /> })}
                </Together>
            }
            .into_any()
        }
        None => view! {
            <Ask subject question known here first back next on_answered>
                {is_first.then(|| view! { <TapeBefore item /> })}
                <Cautions all=all fresh=fresh />
                <SameAsLast item=item questions=vec![question.key] on_taken=on_answered />
                <KindsBefore item=item question=question on_taken=on_answered />
                <FromBatch item=item question=question on_taken=on_answered />
            </Ask>
        }
        .into_any(),
    }
}

/// What was answered last before a question: the one before it, or all of those that one look answers together.
fn answered_before(asked: &[&'static Question], question: &Question) -> Vec<&'static Question> {
    let Some(before) = question_before(asked, question) else {
        return Vec::new();
    };
    let in_one_look = |other: &Question| {
        !matches!(other.key, "hazard" | "label") && other.choices.iter().any(|choice| choice.alone)
    };
    if in_one_look(before) {
        asked.iter().copied().filter(|other| in_one_look(other)).collect()
    } else {
        vec![before]
    }
}

/// The box, and which of its drawn tapes this is.
pub fn here(state: &State, item: ItemId) -> String {
    let positions = state.positions(item.serial);
    let nth = positions
        .iter()
        .position(|position| *position == item.position)
        .map_or(1, |index| index + 1);
    text::item_here(item, nth, positions.len())
}
