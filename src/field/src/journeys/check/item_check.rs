//! A tape: its questions, then what they point to.

use leptos::prelude::*;
use survey::{ItemId, State, Subject};
use tape::Question;

use super::alike::SameAsLast;
use super::ask::Ask;
use super::batch::FromBatch;
use super::box_check::{fresh, question_before};
use super::cautions::Cautions;
use super::quick_look::QuickLook;
use super::sheet::ItemSheet;
use super::{SHEET, route_to};
use crate::store::use_store;
use crate::texts::check as text;

/// The screens of one tape.
#[component]
pub fn ItemCheck(item: ItemId, question: Option<String>) -> impl IntoView {
    let store = use_store();
    let asked_for = question.clone();
    // The key of the question shown; none for the sheet.
    let shows = Memo::new(move |_| shows(&store.state.get(), item, asked_for.as_deref()));
    let at_question = question.is_some();
    move || match shows.get().and_then(tape::question) {
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
    let fresh = fresh(&all, &about_item, before, tape::cautions_for_item);
    let first = if before.is_none() {
        text::take_out(item.position)
    } else {
        String::new()
    };
    let on_answered = move || {
        if at_question {
            route_to(store.state.get_untracked().survey, subject, None).replace();
        }
    };
    view! {
        <Ask
            subject=subject
            question=question
            known=known
            here=here(&state, item)
            first=first
            back=back.href()
            on_answered=on_answered
        >
            <Cautions all=all fresh=fresh />
            <SameAsLast item=item question=question on_taken=on_answered />
            <QuickLook item=item question=question on_taken=on_answered />
            <FromBatch item=item question=question on_taken=on_answered />
        </Ask>
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
