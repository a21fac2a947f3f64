//! A tape's batch: chosen or begun by a tap, its questions answered once for every tape in it.

use leptos::prelude::*;
use survey::{Command, ItemId, State, Subject, batch};
use tape::{Answer, Answers, Question};

use super::answer_text::answer_text;
use super::ask::Ask;
use super::item_check::here as item_here;
use super::{SHEET, route_to};
use crate::store::{Store, use_store};
use crate::texts::{check as text, worded};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, TextField};

/// How many batches are offered: those used last.
const OFFERED: usize = 6;
/// How many are offered beside a question.
const OFFERED_AT_QUESTION: usize = 3;
/// The key of "in no batch" among the choices.
const NONE: &str = "none";

/// The batch of a tape, on its sheet.
#[component]
pub fn Batch(item: ItemId) -> impl IntoView {
    let store = use_store();
    let current = Memo::new(move |_| store.state.with(|state| state.batch_of(item).map(str::to_owned)));
    let offered = Memo::new(move |_| {
        let state = store.state.get();
        let mut names = batch::recent(&store.log(), &state);
        names.truncate(OFFERED);
        if let Some(current) = current.get().filter(|name| !names.contains(name)) {
            names.push(current);
        }
        names
    });
    let options = Signal::derive(move || {
        let names = offered.get();
        let batches = names
            .iter()
            .enumerate()
            .map(|(index, name)| ChoiceOption::new(index.to_string(), name));
        let none = ChoiceOption::new(NONE, text::no_batch());
        std::iter::once(none).chain(batches).collect::<Vec<_>>()
    });
    let chosen = Signal::derive(move || match current.get() {
        None => Some(NONE.to_owned()),
        Some(current) => {
            let index = offered.with(|names| names.iter().position(|name| *name == current));
            index.map(|index| index.to_string())
        }
    });
    let choose = move |key: String| {
        let name = key
            .parse::<usize>()
            .ok()
            .and_then(|index| offered.with_untracked(|names| names.get(index).cloned()));
        join(store, item, name.unwrap_or_default());
    };
    let typed = RwSignal::new(String::new());
    let begin = move || {
        if let Some(name) = batch::name(&typed.get_untracked()) {
            join(store, item, name);
            typed.set(String::new());
        }
    };
    let nothing_typed = Signal::derive(move || typed.with(|typed| batch::name(typed).is_none()));
    let has_batches = move || offered.with(|names| !names.is_empty());
    view! {
        <details class="more">
            <summary data-tap="check-batch-open">{move || text::batch_is(current.get().as_deref())}</summary>
            <p class="hint">{text::batch_hint()}</p>
            <Show when=has_batches>
                <ChoiceList
                    legend=text::batch_choose().to_owned()
                    options=options
                    chosen=chosen
                    tap="check-batch"
                    on_choose=choose
                />
            </Show>
            <TextField
                label=text::batch_new().to_owned()
                hint=text::batch_new_hint().to_owned()
                value=typed
                tap="check-batch-name"
                on_input=move |name| typed.set(name)
                on_enter=Callback::new(move |()| begin())
            />
            <Button label=text::batch_begin().to_owned() tap="check-batch-begin" disabled=nothing_typed on_press=begin />
            {move || current.get().map(|name| view! { <Shared item name /> })}
        </details>
    }
}

fn join(store: Store, item: ItemId, name: String) {
    // An item that was never in a batch needs no entry to say so.
    if name.is_empty() && store.state.with_untracked(|state| state.batch_of(item).is_none()) {
        return;
    }
    store.send(Command::Answer {
        subject: Subject::Item(item),
        question: batch::QUESTION.to_owned(),
        value: Answer::Text(name),
    });
}

/// What the batch says, question by question, and what of it this tape takes over.
#[component]
fn Shared(item: ItemId, name: String) -> impl IntoView {
    let store = use_store();
    let title = text::batch_says(&name);
    let rows = move || {
        let state = store.state.get();
        let own = state.answers(Subject::Item(item));
        let asked = tape::questions()
            .iter()
            .filter(|question| tape::batch_asks(question, &own));
        let rows = asked.map(|question| {
            let line = Line::of(&state, item, &own, &name, question);
            view! { <SharedLine item name=name.clone() question line /> }
        });
        rows.collect_view()
    };
    view! {
        <p class="finding-side batch-says">{title}</p>
        <ul class="rows">{rows}</ul>
    }
}

/// A batch's answer beside this tape's own.
struct Line {
    said: String,
    /// The tape's own answer, which the batch has not yet.
    to_batch: Option<Answer>,
    /// The batch's answer would stand if the tape's own were taken back.
    own_in_the_way: bool,
}

impl Line {
    fn of(state: &State, item: ItemId, own: &Answers, name: &str, question: &'static Question) -> Self {
        let of_batch = state.batch_answer(name, question.key);
        let fits = of_batch.is_some_and(|answer| tape::batch_fits(question, answer, own));
        let own = own.get(question.key);
        let in_words = |answer: &Answer| answer_text(question.key, answer);
        let batch_said = of_batch.map_or_else(|| text::batch_open().to_owned(), &in_words);
        let said = match own {
            Some(own) if of_batch == Some(own) => batch_said,
            Some(own) => text::batch_and_own(&batch_said, in_words(own)),
            None if of_batch.is_some() && !fits && !state.is_shared(item, question.key) => {
                text::batch_does_not_fit(&batch_said)
            }
            None => batch_said,
        };
        Self {
            said,
            to_batch: own
                .filter(|own| of_batch.is_none() && !own.has(tape::CANT_TELL) && !own.has(tape::PHOTOGRAPHED))
                .cloned(),
            own_in_the_way: fits && own.is_some() && of_batch != own,
        }
    }
}

#[component]
fn SharedLine(item: ItemId, name: String, question: &'static Question, line: Line) -> impl IntoView {
    let store = use_store();
    let survey = store.state.with_untracked(|state| state.survey);
    let href = super::batch_route(survey, item, question.key).href();
    let key = batch::key(&name, question.key);
    let said = line.to_batch.as_ref().map(|own| answer_text(question.key, own));
    let give = move |own: Answer| {
        store.send(Command::Answer {
            subject: Subject::Survey,
            question: key.clone(),
            value: own,
        });
    };
    let give_button = line.to_batch.zip(said).map(|(own, said)| {
        view! {
            <Button
                label=text::batch_as_here(&said)
                tap=format!("check-batch-give-{}", question.key)
                kind=Kind::Quiet
                on_press=move || give(own.clone())
            />
        }
    });
    let take_button = line.own_in_the_way.then(|| {
        view! {
            <Button
                label=text::batch_instead().to_owned()
                tap=format!("check-batch-instead-{}", question.key)
                kind=Kind::Quiet
                on_press=move || take_back_own(store, item, question.key)
            />
        }
    });
    view! {
        <li>
            <a class="row row-link" data-tap=format!("check-batch-answer-{}", question.key) href=href>
                <span class="row-more">{text::batch_question(question.key, worded(question.short))}</span>
                <span class="row-status">{line.said}</span>
            </a>
            {give_button}
            {take_button}
        </li>
    }
}

/// Undoes what this device answered about the tape itself; a colleague's look is not ours to take back.
fn take_back_own(store: Store, item: ItemId, question: &str) {
    // Undoing an answer brings back the one it replaced, so the last is reached after as many undos as there are looks.
    for _ in 0..100 {
        let ours = store.state.with_untracked(|state| {
            let heads = state.heads(Subject::Item(item), question).iter();
            let mut ours = heads.map(|head| head.entry).filter(|entry| {
                state
                    .writers
                    .get(&entry.writer)
                    .is_some_and(|writer| writer.device == store.device)
            });
            ours.next()
        });
        match ours {
            Some(entry) => store.send(Command::Undo(entry)),
            None => break,
        }
    }
}

/// A batch's question, asked from one of its tapes.
#[component]
pub fn BatchQuestion(item: ItemId, name: String, question: &'static Question) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    // Every choice that fits this carrier is offered, whatever its label says.
    let mut known = state.answers(Subject::Box(item.serial));
    known.extend(state.answers(Subject::Item(item)));
    let sheet = move || {
        let survey = store.state.with_untracked(|state| state.survey);
        route_to(survey, Subject::Item(item), Some(SHEET))
    };
    let title = text::batch_title(&name, text::batch_question(question.key, worded(question.short)));
    view! {
        <Ask
            subject=Subject::Survey
            question=question
            kept_as=batch::key(&name, question.key)
            title=title
            lead=text::batch_for_all().to_owned()
            known=known
            here=item_here(&state, item)
            first=String::new()
            back=sheet().href()
            on_answered=move || sheet().replace()
        >
            ""
        </Ask>
    }
}

/// At a question that a batch can answer: the batches that do, one tap each.
#[component]
pub fn FromBatch(
    item: ItemId,
    question: &'static Question,
    on_taken: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    let state = store.state.get_untracked();
    let own = state.answers(Subject::Item(item));
    let names = if question.batch && !own.contains_key(question.key) {
        batch::recent(&store.log(), &state)
    } else {
        Vec::new()
    };
    let offers = names.into_iter().filter_map(|name| {
        let answer = state.batch_answer(&name, question.key)?;
        tape::batch_fits(question, answer, &own).then(|| (answer_text(question.key, answer), name))
    });
    let offers: Vec<_> = offers
        .take(OFFERED_AT_QUESTION)
        .enumerate()
        .map(|(index, (said, name))| {
            let label = text::as_in_batch(&name, &said);
            let take = move || {
                join(store, item, name.clone());
                on_taken();
            };
            view! { <Button label=label tap=format!("check-batch-take-{index}") on_press=take /> }
        })
        .collect();
    (!offers.is_empty()).then(|| {
        view! {
            <div class="offers">
                {offers}
                <p class="hint">{text::batch_takes_all()}</p>
            </div>
        }
    })
}
