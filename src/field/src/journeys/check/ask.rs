//! One question: how to look, the answers within thumb's reach, why it is asked behind a tap.

use std::collections::{BTreeMap, BTreeSet};

use leptos::prelude::*;
use survey::{Command, Subject};
use tape::{Answer, Answers, CANT_TELL, Kind as Asked, PHOTOGRAPHED, Question};

use super::kept::{Form, KeptAnswers};
use super::keys;
use super::last_answer::LastAnswer;
use super::photos::{Photos, shows_at};
use crate::capability::document::{self, hold};
use crate::capability::preferences::{self, Lengths};
use crate::drawings;
use crate::store::use_store;
use crate::texts::{check as text, numbers, worded};
use crate::ui::{Button, ChoiceOption, Drawing, Kind, Link, NumberPad, NumberStepper, Page, TextField};

/// How many carriers are shown before the others are asked for.
pub(super) const COMMON_CARRIERS: usize = 3;
/// The most of one carrier that is counted in a box.
const MOST_OF_A_KIND: u32 = 5_000;

/// The screen of one question.
#[component]
pub fn Ask(
    /// What it is about.
    subject: Subject,
    question: &'static Question,
    /// The question the answer is kept under, if not its own key: a batch's.
    #[prop(optional)]
    kept_as: Option<String>,
    /// The heading, if not the question itself.
    #[prop(optional)]
    title: Option<String>,
    /// What to do, if not how to look.
    #[prop(optional)]
    lead: Option<String>,
    /// What is known so far about the subject and its box: it decides which choices fit.
    known: Answers,
    /// Where in the day this is.
    here: String,
    /// What to do before looking, above how to look; may be empty.
    first: String,
    /// The address of the question before this one.
    back: String,
    /// What comes after it, if that is known.
    #[prop(optional_no_strip)]
    next: Option<String>,
    /// Shown between the question and its answers.
    children: Children,
    /// After the answer was sent.
    on_answered: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    keys::listen();
    let kept_as = StoredValue::new(kept_as.unwrap_or_else(|| question.key.to_owned()));
    let given = store
        .state
        .get_untracked()
        .answer(subject, &kept_as.get_value())
        .cloned();
    let answer = move |value: Answer| {
        store.send(Command::Answer {
            subject,
            question: kept_as.get_value(),
            value,
        });
        if store.refusal.get_untracked().is_none() {
            on_answered();
        }
    };
    let tap = format!("check-{}", question.key);
    let options = options(question, &known);
    let takes_photos = question.photo && matches!(subject, Subject::Box(_) | Subject::Item(_));
    let (body, done) = match question.kind {
        Asked::One => (one(question, options, given.as_ref(), answer), None),
        Asked::Many => {
            let (body, done) = many(question, options, given.as_ref(), answer);
            (body, Some(done))
        }
        Asked::Counts => {
            let (body, done) = counts(given.as_ref(), &tap, answer);
            (body, Some(done))
        }
        Asked::Number { unit, .. } => (number(question, unit, given.as_ref(), &tap, answer), None),
        Asked::Text => (line(question, given.as_ref(), tap, answer), None),
    };
    view! {
        <Page
            title=title.unwrap_or_else(|| worded(question.short).to_owned())
            here=here
            lead=lead.unwrap_or_else(|| worded(question.how).to_owned())
            next=Signal::stored(next)
            action=move || {
                let back = back.clone();
                view! {
                    <LastAnswer />
                    <div class="dock-row">
                        <Link label=text::back().to_owned() tap="check-back" kind=Kind::Secondary href=back />
                        {done.clone().map(|done| view! { <DoneButton done /> })}
                    </div>
                }
            }
        >
            {(!first.is_empty()).then(|| view! { <p class="first">{first}</p> })}
            {drawings::of_question(question.drawing).map(|strokes| view! { <p class="how"><Drawing strokes /></p> })}
            {children()} {body}
            {takes_photos.then(|| view! { <Photos subject shows=shows_at(question) /> })}
            <details class="why">
                <summary data-tap="check-why">{text::why()}</summary>
                <p>{worded(question.long)}</p>
                <p>{worded(question.why)}</p>
                <p class="hint">{text::keys()}</p>
                <p class="hint">{format!("{}: {}", text::known_from(), question.source)}</p>
            </details>
        </Page>
    }
}

/// The button that accepts several marks or counts.
#[derive(Clone)]
struct Done {
    label: Signal<String>,
    is_ready: Signal<bool>,
    press: Callback<()>,
}

#[component]
fn DoneButton(done: Done) -> impl IntoView {
    let Done {
        label,
        is_ready,
        press,
    } = done;
    let idle = Signal::derive(move || !is_ready.get());
    view! { <Button label=label tap="check-done" kind=Kind::Primary disabled=idle on_press=move || press.run(()) /> }
}

fn options(question: &'static Question, known: &Answers) -> Vec<ChoiceOption> {
    let mut options: Vec<ChoiceOption> = tape::choices(question, known)
        .into_iter()
        .map(|choice| {
            ChoiceOption::new(choice.key, worded(choice.label))
                .hint(worded(choice.help))
                .drawn(drawings::of_choice(question.key, choice.key))
        })
        .collect();
    // Beside drawn choices these have a sign too, so that all words stand in one line.
    let is_drawn = options.iter().any(|option| option.drawing.is_some());
    let sign = |key| drawings::of_answer(key).filter(|_| is_drawn);
    options.push(
        ChoiceOption::new(CANT_TELL, text::cant_tell())
            .hint(text::cant_tell_hint())
            .drawn(sign(CANT_TELL)),
    );
    if question.photo {
        let photographed =
            ChoiceOption::new(PHOTOGRAPHED, text::photographed()).hint(text::photographed_hint());
        options.push(photographed.drawn(sign(PHOTOGRAPHED)));
    }
    options
}

fn one(
    question: &'static Question,
    options: Vec<ChoiceOption>,
    given: Option<&Answer>,
    answer: impl Fn(Answer) + Copy + Send + Sync + 'static,
) -> AnyView {
    let chosen = given.and_then(|given| given.keys().first().map(|key| (*key).to_owned()));
    let chosen = chosen.into_iter().collect();
    // What cannot be opened has no "can't tell": the question is what happened, not what was seen.
    let options: Vec<ChoiceOption> = match question.key {
        "outcome" | "outcome_reason" => options
            .into_iter()
            .filter(|option| option.key != CANT_TELL)
            .collect(),
        _ => options,
    };
    let kept: KeptAnswers = expect_context();
    let (lines, _) = kept.lines(Form::One, question, options, chosen);
    kept.on_press(Callback::new(move |(_, key)| answer(Answer::One(key))));
    view! { <div use:hold=lines></div> }.into_any()
}

fn many(
    question: &'static Question,
    options: Vec<ChoiceOption>,
    given: Option<&Answer>,
    answer: impl Fn(Answer) + Copy + Send + Sync + 'static,
) -> (AnyView, Done) {
    let start: BTreeSet<String> = given
        .map(|given| given.keys().into_iter().map(str::to_owned).collect())
        .unwrap_or_default();
    // "None" and "can't tell" go with nothing else: one tap answers.
    let alone = move |key: &str| {
        matches!(key, CANT_TELL | PHOTOGRAPHED)
            || question
                .choices
                .iter()
                .any(|choice| choice.alone && choice.key == key)
    };
    let kept: KeptAnswers = expect_context();
    let (lines, chosen) = kept.lines(Form::Many, question, options, start);
    kept.on_press(Callback::new(move |(_, key): (_, String)| {
        if alone(&key) {
            answer(Answer::many([key]));
            return;
        }
        chosen.update(|chosen| {
            chosen.retain(|other| !alone(other));
            if !chosen.remove(&key) {
                chosen.insert(key);
            }
        });
    }));
    let body = view! { <div use:hold=lines></div> };
    let done = Done {
        label: Signal::derive(move || match chosen.with(BTreeSet::len) {
            0 => text::selected(0_usize),
            n => format!("{}: {}", text::done(), text::selected(n)),
        }),
        is_ready: Signal::derive(move || chosen.with(|chosen| !chosen.is_empty())),
        press: Callback::new(move |()| answer(Answer::Many(chosen.get_untracked()))),
    };
    (body.into_any(), done)
}

fn counts(
    given: Option<&Answer>,
    tap: &str,
    answer: impl Fn(Answer) + Copy + Send + Sync + 'static,
) -> (AnyView, Done) {
    let start = match given {
        Some(Answer::Counts(counts)) => counts.clone(),
        _ => BTreeMap::new(),
    };
    // The rarer kinds are made when they are asked for: they are most of the screen.
    let others_open = tape::carriers()
        .iter()
        .skip(COMMON_CARRIERS)
        .any(|carrier| start.get(carrier.key).is_some_and(|n| *n > 0));
    let (counts, set_counts) = signal(start);
    let tap = tap.to_owned();
    let name = tap.clone();
    let stepper = move |carrier: &'static tape::Carrier| {
        let value =
            Signal::derive(move || Some(counts.with(|counts| counts.get(carrier.key).copied().unwrap_or(0))));
        view! {
            <NumberStepper
                label=worded(carrier.label).to_owned()
                drawing=drawings::of_choice("carrier", carrier.key)
                hint=worded(carrier.told).to_owned()
                value=value
                most=MOST_OF_A_KIND
                tap=format!("{tap}-{}", carrier.key)
                less=format!("{}: {}", text::one_less(), worded(carrier.label))
                more=format!("{}: {}", text::one_more(), worded(carrier.label))
                on_change=move |n| {
                    set_counts
                        .update(|counts| {
                            counts.insert(carrier.key.to_owned(), n);
                        });
                }
            />
        }
    };
    let common = tape::carriers()
        .iter()
        .take(COMMON_CARRIERS)
        .map(&stepper)
        .collect_view();
    let (are_made, make) = signal(others_open);
    let others = move || {
        let others = || {
            tape::carriers()
                .iter()
                .skip(COMMON_CARRIERS)
                .map(&stepper)
                .collect_view()
        };
        are_made.get().then(others)
    };
    let total = Signal::derive(move || {
        counts.with(|counts| counts.values().fold(0u32, |sum, n| sum.saturating_add(*n)))
    });
    let body = view! {
        {common}
        <details class="more" open=others_open on:toggle=move |_| make.set(true)>
            <summary data-tap="check-count-others" on:click=move |_| make.set(true)>{text::more_kinds()}</summary>
            {others}
        </details>
        <Button
            label=text::cant_count().to_owned()
            tap=format!("{name}-{CANT_TELL}")
            kind=Kind::Secondary
            on_press=move || answer(Answer::one(CANT_TELL))
        />
    };
    let label = move || match total.get() {
        0 => text::empty_box().to_owned(),
        n => format!("{}: {}", text::done(), text::counted(n)),
    };
    let done = Done {
        label: Signal::derive(label),
        is_ready: Signal::derive(|| true),
        press: Callback::new(move |()| {
            let mut counts = counts.get_untracked();
            counts.retain(|_, n| *n > 0);
            answer(Answer::Counts(counts));
        }),
    };
    (body.into_any(), done)
}

/// Millimetres in an inch, by its definition.
const MM_PER_INCH: f64 = 25.4;

fn number(
    question: &'static Question,
    unit: &'static str,
    given: Option<&Answer>,
    tap: &str,
    answer: impl Fn(Answer) + Copy + Send + Sync + 'static,
) -> AnyView {
    let (least, most) = match question.kind {
        Asked::Number { min, max, .. } => (min, max),
        _ => (0.0, 0.0),
    };
    let (error, set_error) = signal(None::<String>);
    // What is written down is in the question's own unit, whatever the ruler is marked in.
    let in_inches = unit == "mm" && preferences::lengths() == Lengths::Inches;
    let accept = move |n: f64| {
        let value = if in_inches { (n * MM_PER_INCH).round() } else { n };
        if (least..=most).contains(&value) {
            answer(Answer::Number(value));
        } else if in_inches {
            let (least, most) = ((least / MM_PER_INCH).ceil(), (most / MM_PER_INCH).floor());
            set_error.set(Some(text::out_of_range(least, most, text::inches())));
        } else {
            set_error.set(Some(text::out_of_range(least, most, worded(unit))));
        }
    };
    let start = match given {
        Some(Answer::Number(number)) if in_inches => Some((number / MM_PER_INCH * 100.0).round() / 100.0),
        Some(Answer::Number(number)) => Some(*number),
        _ => None,
    };
    let cant_tell = move || answer(Answer::one(CANT_TELL));
    view! {
        <NumberPad
            label=worded(question.short).to_owned()
            unit=if in_inches { text::inches() } else { worded(unit) }.to_owned()
            start=start
            digits=4
            decimals=in_inches.then(|| (numbers::decimal_sign(), text::decimal_point()))
            tap=tap.to_owned()
            erase=text::erase()
            done=text::done()
            on_done=accept
        />
        <p class="error" role="alert">{move || error.get()}</p>
        <Button
            label=text::cant_tell().to_owned()
            tap=format!("{tap}-{CANT_TELL}")
            kind=Kind::Secondary
            on_press=cant_tell
        />
    }
    .into_any()
}

fn line(
    question: &'static Question,
    given: Option<&Answer>,
    tap: String,
    answer: impl Fn(Answer) + Copy + Send + Sync + 'static,
) -> AnyView {
    let start = match given {
        Some(Answer::Text(text)) => text.clone(),
        _ => String::new(),
    };
    let (typed, set_typed) = signal(start);
    let done = Callback::new(move |text: String| answer(Answer::Text(text)));
    view! {
        <TextField
            label=worded(question.short).to_owned()
            value=typed
            tap=tap
            on_input=move |text| set_typed.set(text)
            on_done=done
        />
    }
    .into_any()
}
