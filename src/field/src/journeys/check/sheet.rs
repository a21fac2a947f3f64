//! What was answered, what it points to, what follows: the end of a box and of a tape.

use handover::watchlist;
use leptos::prelude::*;
use survey::photo::Shows;
use survey::progress::{BoxStatus, Step};
use survey::{Command, ItemId, Serial, State, Subject};
use tape::{Answer, Finding, Question, Strength, WatchList};

use super::alike::RestOfBox;
use super::answer_text::answer_text;
use super::batch::Batch;
use super::box_check::{here as box_here, place_name};
use super::cautions::Cautions;
use super::item_check::here as item_here;
use super::last_answer::LastAnswer;
use super::photos::Photos;
use super::{card_route, route_to};
use crate::capability::document;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check as text, photos, told, worded};
use crate::ui::{ChoiceOption, Kind, Link, MultiChoice, Page, Panel, Section, TextField};

/// The end of a box.
#[component]
pub fn BoxSheet(serial: Serial) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let subject = Subject::Box(serial);
    let title = move || match store.state.get().box_status(serial) {
        BoxStatus::Finished(outcome) => {
            text::outcome(outcome, store.state.get().n_items(serial).unwrap_or(0))
        }
        BoxStatus::Untouched => text::untouched().to_owned(),
        BoxStatus::Begun => text::box_title(serial),
    };
    let here = move || box_here(&store.state.get(), serial);
    let cautions = move || {
        let all = tape::cautions_for_box(&store.state.get().answers(subject));
        let fresh = all.iter().map(|caution| caution.key).collect();
        view! { <Cautions all=all fresh=fresh /> }
    };
    let items = move || {
        let state = store.state.get();
        let watch = watchlist::of(&state);
        let rows = state
            .positions(serial)
            .into_iter()
            .map(|position| item_row(&state, &watch, ItemId { serial, position }));
        rows.collect_view()
    };
    let has_items = move || !store.state.get().positions(serial).is_empty();
    view! {
        <Page
            title=Signal::derive(title)
            here=Signal::derive(here)
            action=move || {
                view! {
                    <LastAnswer />
                    <Onward after=subject />
                }
            }
        >
            {cautions}
            <Show when=has_items>
                <ul class="rows">{items}</ul>
            </Show>
            <Section title=photos::title().to_owned()>
                <Photos subject shows=Shows::Other />
            </Section>
            <RestOfBox serial />
            <Answered subject asked=Signal::derive(move || Asked(store.state.get().box_path(serial).asked)) />
            <Note subject />
        </Page>
    }
}

fn item_row(state: &State, watch: &WatchList, item: ItemId) -> impl IntoView + use<> {
    let done = state.item_path(item).done;
    let action = done
        .then(|| tape::action(&findings(state, watch, item)).label)
        .map(worded);
    let name = match state.answer(Subject::Item(item), "carrier") {
        Some(answer) => answer_text("carrier", answer),
        None => String::new(),
    };
    let mark = if done { "done" } else { "todo" };
    view! {
        <li>
            <a
                class=format!("row row-link row-{mark}")
                data-tap=format!("check-item-{}", item.position)
                href=route_to(state.survey, Subject::Item(item), None).href()
            >
                <span class="row-name">{item.position}</span>
                <span class="row-more">{name}</span>
                <span class="row-status">{action.unwrap_or(text::untouched())}</span>
            </a>
        </li>
    }
}

fn findings(state: &State, watch: &WatchList, item: ItemId) -> Vec<Finding> {
    tape::findings_watching(
        &state.answers(Subject::Box(item.serial)),
        &state.item_answers(item),
        watch,
    )
}

/// The end of a tape: what it probably is and why, what not to do, what to do next.
#[component]
pub fn ItemSheet(item: ItemId) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let subject = Subject::Item(item);
    let found = Memo::new(move |_| {
        let state = store.state.get();
        findings(&state, &watchlist::of(&state), item)
    });
    let found = move || found.get();
    let here = move || item_here(&store.state.get(), item);
    let action = move || tape::action(&found());
    let what_follows = move || {
        let action = action();
        view! {
            <Panel title=worded(action.label).to_owned()>
                <p>{worded(action.handling)}</p>
                <p>{worded(action.plan)}</p>
                <p>{worded(action.people)}</p>
            </Panel>
        }
    };
    let cautions = move || {
        let state = store.state.get();
        let mut all = tape::cautions_for_item(&state.item_answers(item));
        for caution in found()
            .into_iter()
            .filter(|f| f.strength >= Strength::Possible)
            .flat_map(|f| f.cautions)
        {
            if all.iter().all(|known| known.key != caution.key) {
                all.push(caution);
            }
        }
        let fresh = all.iter().map(|caution| caution.key).collect();
        view! { <Cautions all=all fresh=fresh /> }
    };
    let pointing = move || {
        let found: Vec<Finding> = found()
            .into_iter()
            .filter(|f| f.strength >= Strength::Possible)
            .collect();
        if found.is_empty() {
            return view! { <p>{text::nothing_points()}</p> }.into_any();
        }
        found
            .into_iter()
            .map(|finding| view! { <OneFinding finding /> })
            .collect_view()
            .into_any()
    };
    let open_ends = move || {
        let found = found().into_iter().filter(|f| f.strength == Strength::CannotTell);
        let lines: Vec<_> = found.map(|finding| view! { <OneFinding finding /> }).collect();
        (!lines.is_empty()).then(|| {
            view! {
                <details class="more">
                    <summary data-tap="check-cannot-say">{text::cannot_say()}</summary>
                    {lines}
                </details>
            }
        })
    };
    let playing = move || {
        tape::playing(&store.state.get().item_answers(item)).map(|playing| {
            view! {
                <Section title=text::playing().to_owned()>
                    <p>{text::hours(playing.content.low, playing.content.likely, playing.content.high)}</p>
                    <ul class="plain-list hint">
                        {playing.reasons.into_iter().map(|reason| view! { <li>{reason}</li> }).collect_view()}
                    </ul>
                </Section>
            }
        })
    };
    let aside = move || {
        let is_aside = store
            .state
            .get()
            .answer(subject, "aside")
            .is_some_and(|answer| answer.has("yes"));
        is_aside
            .then(|| "yes".to_owned())
            .into_iter()
            .collect::<std::collections::BTreeSet<String>>()
    };
    let toggle_aside = move |_: String| {
        let value = Answer::one(if aside().is_empty() { "yes" } else { "no" });
        store.send(Command::Answer {
            subject,
            question: "aside".to_owned(),
            value,
        });
    };
    view! {
        <Page
            title=text::item_title(item)
            here=Signal::derive(here)
            action=move || {
                view! {
                    <LastAnswer />
                    <Onward after=subject />
                }
            }
        >
            {what_follows} {cautions}
            <Section title=text::findings().to_owned()>{pointing} {open_ends}</Section>
            {playing}
            <MultiChoice
                legend=text::ask_first().to_owned()
                hide_legend=true
                options=vec![ChoiceOption::new("yes", text::ask_first()).hint(text::ask_first_hint())]
                chosen=Signal::derive(aside)
                tap="check-aside"
                on_toggle=toggle_aside
            />
            <Show when=move || !aside().is_empty()>
                <Link
                    label=text::to_card_long().to_owned()
                    tap="check-card"
                    kind=Kind::Secondary
                    href=Signal::derive(move || card_route(store.state.get().survey, item).href())
                />
            </Show>
            <Section title=photos::title().to_owned()>
                <Photos subject shows=Shows::Other />
            </Section>
            <Batch item />
            <Answered subject asked=Signal::derive(move || Asked(store.state.get().item_path(item).asked)) />
            <Note subject />
        </Page>
    }
}

/// A finding with its evidence.
#[component]
pub fn OneFinding(finding: Finding) -> impl IntoView {
    let tone_class = format!("finding finding-{}", finding.strength.word().replace(' ', "-"));
    let list = |title: &'static str, lines: Vec<String>| {
        (!lines.is_empty()).then(|| {
            view! {
                <p class="finding-side">{title}</p>
                <ul class="plain-list">{lines.into_iter().map(|line| view! { <li>{told(&line)}</li> }).collect_view()}</ul>
            }
        })
    };
    let next = finding.next.iter().map(|step| worded(step).to_owned()).collect();
    view! {
        <details class=tone_class>
            <summary data-tap=format!("check-finding-{}", finding.key)>{text::strength(worded(finding.title), worded(finding.strength.word()))}</summary>
            <p>{worded(finding.meaning)}</p>
            {list(text::speaks_for(), finding.evidence_for)} {list(text::speaks_against(), finding.against)}
            {list(text::not_looked(), finding.not_looked)} {list(text::does_not_fit(), finding.contradictions)}
            {list(text::next_step(), next)} <p class="hint">{format!("{}: {}", text::known_from(), finding.source)}</p>
        </details>
    }
}

/// Questions, compared by their keys.
#[derive(Clone)]
struct Asked(Vec<&'static Question>);

/// Every question with its answer, and the way to change it; optional ones can be answered here.
#[component]
fn Answered(subject: Subject, asked: Signal<Asked>) -> impl IntoView {
    let store = use_store();
    let is_open = move |question: &Question| {
        question.optional
            && store
                .state
                .with(|state| answer(state, subject, question.key).is_none())
    };
    let to_add = move || {
        let state = store.state.get();
        let Asked(asked) = asked.get();
        let links = asked
            .into_iter()
            .filter(|question| is_open(question))
            .map(|question| {
                let href = route_to(state.survey, subject, Some(question.key)).href();
                view! {
                    <li>
                        <a class="row row-link" data-tap=format!("check-add-{}", question.key) href=href>
                            <span class="row-more">{worded(question.short)}</span>
                        </a>
                    </li>
                }
            });
        let links: Vec<_> = links.collect();
        (!links.is_empty()).then(|| {
            view! {
                <Section title=text::may_add().to_owned()>
                    <ul class="rows">{links}</ul>
                </Section>
            }
        })
    };
    let rows =
        move || {
            let state = store.state.get();
            let Asked(asked) = asked.get();
            let row = asked.into_iter().filter(|question| !is_open(question)).map(|question| {
            let answer = answer(&state, subject, question.key);
            view! {
                <li>
                    <a
                        class="row row-link"
                        data-tap=format!("check-change-{}", question.key)
                        href=route_to(state.survey, subject, Some(question.key)).href()
                    >
                        <span class="row-more">{worded(question.short)}</span>
                        <span class="row-status">{answer.unwrap_or_else(|| "\u{2013}".to_owned())}</span>
                    </a>
                </li>
            }
        });
            row.collect_view()
        };
    view! {
        {to_add}
        <details class="more">
            <summary data-tap="check-answers">{text::answers()}</summary>
            <ul class="rows">{rows}</ul>
        </details>
    }
}

/// An answer in words, with the batch it comes from if it is not the tape's own.
fn answer(state: &State, subject: Subject, question: &str) -> Option<String> {
    if let Some(own) = state.answer(subject, question) {
        return Some(answer_text(question, own));
    }
    let Subject::Item(item) = subject else { return None };
    let shared = state.item_answers(item).remove(question)?;
    let name = state.batch_of(item)?;
    Some(text::shared_by(answer_text(question, &shared), name))
}

#[component]
fn Note(subject: Subject) -> impl IntoView {
    let store = use_store();
    let start = match store.state.get_untracked().answer(subject, "note") {
        Some(Answer::Text(note)) => note.clone(),
        _ => String::new(),
    };
    let (note, set_note) = signal(start);
    let keep = Callback::new(move |note: String| {
        store.send(Command::Answer {
            subject,
            question: "note".to_owned(),
            value: Answer::Text(note),
        });
    });
    view! {
        <TextField
            label=text::note().to_owned()
            hint=text::note_hint().to_owned()
            value=note
            tap="check-note"
            on_input=move |text| set_note.set(text)
            on_done=keep
        />
    }
}

/// The one thing to do after a box or a tape: the next tape, the box's end, the next box, the round's end.
#[component]
fn Onward(after: Subject) -> impl IntoView {
    let store = use_store();
    let onward = Memo::new(move |_| {
        let state = store.state.get();
        let survey = state.survey;
        let serial = match after {
            Subject::Item(item) => item.serial,
            Subject::Box(serial) => serial,
            Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => {
                return (String::new(), String::new());
            }
        };
        if let Some(next) = state.next_item(serial) {
            let label = format!("{}: {}", text::next_tape(), next.position);
            return (route_to(survey, Subject::Item(next), None).href(), label);
        }
        if matches!(after, Subject::Item(_)) {
            return (
                route_to(survey, Subject::Box(serial), Some(super::SHEET)).href(),
                text::box_ends().to_owned(),
            );
        }
        if !state.box_path(serial).done {
            return (
                route_to(survey, Subject::Box(serial), None).href(),
                text::go_on_with(serial),
            );
        }
        let round = Route::to(survey, Journey::Check, &[]).href();
        let Some(number) = state.current_round() else {
            return (round, text::to_round().to_owned());
        };
        match state.next_step(number) {
            Step::Box(next) if next != serial => {
                let label = text::go_to(next, place_name(&state, next));
                (route_to(survey, Subject::Box(next), None).href(), label)
            }
            Step::Item(next) => (
                route_to(survey, Subject::Item(next), None).href(),
                text::go_on_with(next.serial),
            ),
            Step::Box(_) | Step::RoundComplete => (round, text::finish_round().to_owned()),
        }
    });
    view! {
        <Link
            label=Signal::derive(move || onward.get().1)
            tap="check-onward"
            kind=Kind::Primary
            href=Signal::derive(move || onward.get().0)
        />
    }
}
