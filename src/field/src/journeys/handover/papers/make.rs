//! Making a paper in the worker, and handing it on as the survey file is.

use handover::papers::Paper;
use handover::short_name;
use leptos::prelude::*;

use super::super::{Send, parts_now};
use crate::capability::share::{self, Parcel};
use crate::capability::{clipboard, clock, download, heavy, task};
use crate::journeys::earlier::{Earlier, use_earlier};
use crate::journeys::unable::Stop;
use crate::store::{Store, use_store};
use crate::texts::{handover as files, heavy as work, papers as t};
use crate::ui::{Button, Kind, Panel, Progress, TextArea, Tone};

/// How far a paper is.
#[derive(Clone, PartialEq)]
enum Making {
    Idle,
    Working,
    Saved {
        name: String,
        bytes: usize,
        parcel: Option<Parcel>,
    },
    Paragraph(String),
    Failed(String),
}

/// A button a paper, and what came of the last one.
#[component]
pub(super) fn Make() -> impl IntoView {
    let store = use_store();
    let earlier = use_earlier();
    let making = RwSignal::new(Making::Idle);
    let (far, set_far) = signal((0, 0));
    let is_working = Signal::derive(move || making.with(|making| *making == Making::Working));
    let begin = move |what: Paper| {
        making.set(Making::Working);
        set_far.set((0, 0));
        task::spawn(async move {
            let hear = move |done, all| {
                let _ = set_far.try_set((done, all));
            };
            // A person who has gone elsewhere finds the file among the downloads.
            let _ = making.try_set(make(store, earlier, what, hear).await);
        });
    };
    let button = move |what: Paper| {
        let [label, hint] = t::paper(what);
        let kind = if what == Paper::Report {
            Kind::Primary
        } else {
            Kind::Secondary
        };
        view! {
            <li>
                <Button
                    label
                    tap=format!("papers-make-{}", what.name().split('.').next().unwrap_or_default())
                    kind
                    disabled=is_working
                    on_press=move || begin(what)
                />
                <p class="hint">{hint}</p>
            </li>
        }
    };
    let said = move || match making.get() {
        Making::Idle => ().into_any(),
        Making::Working => view! {
            <p role="status">{t::making()}</p>
            <Show when=move || far.with(|(_, all)| *all > 0)>
                <Progress
                    text=Signal::derive(move || t::working(far.get().0, far.get().1))
                    done=Signal::derive(move || far.get().0)
                    all=Signal::derive(move || far.get().1)
                />
            </Show>
            <Stop />
        }
        .into_any(),
        Making::Saved { name, bytes, parcel } => view! {
            <Panel title=t::made().to_owned() at_once=true>
                <p data-saved=name.clone()>{files::saved(&name, bytes.div_ceil(1_000))}</p>
                {parcel.map(|parcel| view! { <Send parcel /> })}
            </Panel>
        }
        .into_any(),
        Making::Paragraph(text) => view! { <Paragraph text /> }.into_any(),
        Making::Failed(why) => view! {
            <Panel tone=Tone::Caution title=t::could_not().to_owned() at_once=true>
                <p data-tap="papers-failed">{why}</p>
            </Panel>
        }
        .into_any(),
    };
    view! {
        <ul class="plain-list papers">{Paper::ALL.map(button).collect_view()}</ul>
        {said}
    }
}

async fn make(store: Store, earlier: Earlier, what: Paper, hear: impl Fn(usize, usize) + 'static) -> Making {
    let Some(parts) = parts_now() else {
        return Making::Failed(files::could_not_save().to_owned());
    };
    let log = store.log();
    let name = format!(
        "{}-{}-{}",
        short_name(log.survey()),
        clock::iso_day(clock::now_ms()),
        what.name()
    );
    let earlier = untrack(|| earlier.chosen(store)).filter(|_| what == Paper::Report);
    let lines = earlier.map(|visit| visit.lines);
    let bytes = match heavy::paper(log, (what, parts), lines, hear).await {
        Ok(bytes) => bytes,
        Err(fault) => return Making::Failed(work::fault(fault, |error| error)),
    };
    if what == Paper::Paragraph {
        return Making::Paragraph(String::from_utf8_lossy(&bytes).trim_end().to_owned());
    }
    match download::save(&name, what.media_type(), &bytes) {
        Ok(()) => Making::Saved {
            bytes: bytes.len(),
            parcel: share::parcel(&name, what.media_type(), &bytes),
            name,
        },
        Err(why) => Making::Failed(why),
    }
}

/// The paragraph, to be read and copied.
#[component]
fn Paragraph(text: String) -> impl IntoView {
    let said = RwSignal::new("");
    let shown = text.clone();
    let copy = move || {
        let text = text.clone();
        task::spawn(async move {
            let copied = clipboard::copy(&text).await;
            let _ = said.try_set(if copied.is_ok() {
                t::copied()
            } else {
                t::not_copied()
            });
        });
    };
    view! {
        <Panel title=t::made_paragraph().to_owned() at_once=true>
            <TextArea
                label=t::made_paragraph().to_owned()
                value=Signal::derive(move || shown.clone())
                tap="papers-paragraph"
                rows=10
                is_prose=true
                on_input=|_| ()
            />
            <div class="panel-actions">
                <Button label=t::copy() tap="papers-copy" on_press=copy />
            </div>
            <p role="status">{move || said.get()}</p>
        </Panel>
    }
}
