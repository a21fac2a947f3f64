//! Typing in sheets from paper: numbers and Enter, nothing else. What is typed says so in the log.

use leptos::prelude::*;
use survey::progress::BoxStatus;
use survey::{Command, Serial, State, Subject, Way};
use tape::{Answers, Kind, Question};

use super::last_answer::LastAnswer;
use super::typed::{self, Wrong};
use crate::capability::{clock, document, preferences};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check, common, paper as text, worded};
use crate::ui::{Button, Kind as Look, Link, Page, Panel, TextField};

/// Which sheet, and whose.
#[component]
pub fn WhichSheet() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let survey = store.state.with_untracked(|state| state.survey);
    let serial = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let (filler, day) = (
        RwSignal::new(preferences::sheet_filler()),
        RwSignal::new(sheet_day()),
    );
    let day_trouble = move || (!is_day(&day.get())).then(|| text::bad_day().to_owned());
    let open = move || {
        let Ok(serial) = serial.with_untracked(|typed| typed.trim().parse::<Serial>()) else {
            return trouble.set(Some(text::bad_serial().to_owned()));
        };
        if !is_day(&day.get_untracked()) {
            return;
        }
        if !store.state.with_untracked(|state| is_begun(state, serial)) {
            return trouble.set(Some(text::not_drawn(serial)));
        }
        preferences::set_sheet(filler.get_untracked().trim(), day.get_untracked().trim());
        Route::to(survey, Journey::Check, &["typing", &serial.to_string()]).go();
    };
    view! {
        <Page
            title=text::type_in().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::type_lead().to_owned()
            action=move || {
                view! { <Button label=text::open().to_owned() tap="typing-open" kind=Look::Primary on_press=open /> }
            }
        >
            <TextField
                label=text::filled_by().to_owned()
                value=filler
                tap="typing-filler"
                on_input=move |name| filler.set(name)
            />
            <TextField
                label=text::sheet_day().to_owned()
                hint=text::sheet_day_hint().to_owned()
                error=Signal::derive(day_trouble)
                value=day
                tap="typing-day"
                on_input=move |typed| day.set(typed)
            />
            <TextField
                label=text::serial().to_owned()
                hint=text::serial_hint().to_owned()
                error=trouble
                value=serial
                tap="typing-serial"
                on_input=move |typed| {
                    trouble.set(None);
                    serial.set(typed);
                }
                on_enter=Callback::new(move |()| open())
            />
        </Page>
    }
}

/// A box of a round that was begun: sheets are printed of those.
fn is_begun(state: &State, serial: Serial) -> bool {
    let mut begun = state.rounds.keys().flat_map(|number| state.walk(*number));
    begun.any(|drawn| drawn.serial == serial)
}

fn sheet_day() -> String {
    match preferences::sheet_day().as_str() {
        "" => clock::iso_day(clock::now_ms()),
        day => day.to_owned(),
    }
}

/// Whether it is a day as it is kept, or empty.
fn is_day(typed: &str) -> bool {
    let typed = typed.trim();
    typed.is_empty() || typed.parse::<handover::Day>().is_ok()
}

/// What is asked next of a box: its own questions, then those of its drawn tapes.
fn next(state: &State, serial: Serial) -> Option<(Subject, &'static Question)> {
    let path = state.box_path(serial);
    if let Some(question) = path.next.filter(|_| !path.done) {
        return Some((Subject::Box(serial), question));
    }
    if !matches!(state.box_status(serial), BoxStatus::Begun) {
        return None;
    }
    let item = state.next_item(serial)?;
    let path = state.item_path(item);
    Some((Subject::Item(item), path.next.filter(|_| !path.done)?))
}

fn known(state: &State, subject: Subject) -> Answers {
    match subject {
        Subject::Item(item) => {
            let mut known = state.answers(Subject::Box(item.serial));
            known.extend(state.item_answers(item));
            known
        }
        _ => state.answers(subject),
    }
}

/// One box, question after question.
#[component]
pub fn Typing(serial: Serial) -> impl IntoView {
    let store = use_store();
    let survey = store.state.with_untracked(|state| state.survey);
    let asked = Memo::new(move |_| {
        let next = store.state.with(|state| next(state, serial));
        next.map(|(subject, question)| (subject, question.key))
    });
    let sheets = Route::to(survey, Journey::Check, &["typing"]).href();
    move || match asked
        .get()
        .and_then(|(subject, key)| Some((subject, tape::question(key)?)))
    {
        Some((subject, question)) => view! { <TypeAnswer subject question serial /> }.into_any(),
        None => {
            let sheets = sheets.clone();
            document::focus_heading_after_paint();
            view! {
                <Page
                    title=check::box_title(serial)
                    here=text::type_in().to_owned()
                    action=move || {
                        let sheets = sheets.clone();
                        view! {
                            <LastAnswer stay=true />
                            <Link label=text::next_sheet().to_owned() tap="typing-next" kind=Look::Primary href=sheets />
                        }
                    }
                >
                    <Panel title=text::box_done().to_owned()>""</Panel>
                </Page>
            }
            .into_any()
        }
    }
}

#[component]
fn TypeAnswer(subject: Subject, question: &'static Question, serial: Serial) -> impl IntoView {
    let store = use_store();
    document::focus_after_paint("[data-tap=typing-answer]");
    let typed = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let take = move || {
        let known = store.state.with_untracked(|state| known(state, subject));
        match typed::read(question, &known, &typed.get_untracked()) {
            Ok(answer) => store.send_looked(
                Command::AnswerBy {
                    subject,
                    answers: vec![(question.key.to_owned(), answer)],
                    way: Way::Paper(preferences::sheet_day()),
                },
                preferences::sheet_filler(),
            ),
            Err(wrong) => trouble.set(Some(said(wrong).to_owned())),
        }
    };
    let hint = match question.kind {
        Kind::One | Kind::Many => text::answer(),
        Kind::Number { .. } => text::answer_number(),
        Kind::Counts => text::answer_counts(),
        Kind::Text => text::answer_text(),
    };
    let lines: Vec<String> = match question.kind {
        Kind::Counts => tape::carriers()
            .iter()
            .map(|carrier| worded(carrier.label).to_owned())
            .collect(),
        _ => question
            .choices
            .iter()
            .map(|choice| worded(choice.label).to_owned())
            .collect(),
    };
    let lines = lines.into_iter().map(|line| view! { <li>{line}</li> });
    let here = match subject {
        Subject::Item(item) => check::item_title(item),
        _ => check::box_title(serial),
    };
    view! {
        <Page
            title=worded(question.short).to_owned()
            here=here
            action=move || {
                view! {
                    <LastAnswer stay=true />
                    <Button label=text::take().to_owned() tap="typing-take" kind=Look::Primary on_press=take />
                }
            }
        >
            <TextField
                label=hint.to_owned()
                error=trouble
                value=typed
                tap="typing-answer"
                on_input=move |text| {
                    trouble.set(None);
                    typed.set(text);
                }
                on_enter=Callback::new(move |()| take())
            />
            <ol class="typing-choices">{lines.collect_view()}</ol>
        </Page>
    }
}

fn said(wrong: Wrong) -> &'static str {
    match wrong {
        Wrong::NoNumber => text::no_number(),
        Wrong::NotOffered => text::not_offered(),
        Wrong::OneOnly => text::one_only(),
        Wrong::Alone => text::alone(),
        Wrong::NotUnderstood => text::not_understood(),
    }
}
