//! A report, each number of it computed again from the file that was just checked.

use std::sync::Arc;

use handover::report::check::ReportCheck;
use leptos::prelude::*;

use super::super::unable::Stop;
use crate::capability::pick_file::Chosen;
use crate::capability::{heavy, task};
use crate::texts::review as t;
use crate::texts::{handover as file_text, heavy as work};
use crate::ui::{FileButton, Panel, Section, Tone};

/// More than any report of ours, its pictures included.
const MOST_BYTES: u64 = 16 << 20;

#[derive(Clone)]
enum Checking {
    Idle,
    Working,
    Done(ReportCheck),
    Failed(String),
}

/// The button and what came of it.
#[component]
pub fn AgainstReport(
    /// The lines of the log that the numbers are to follow from.
    lines: Arc<Vec<u8>>,
) -> impl IntoView {
    let checking = RwSignal::new(Checking::Idle);
    let choose = move |chosen: Chosen| {
        let lines = Arc::clone(&lines);
        task::spawn(async move {
            let _ = checking.try_set(Checking::Working);
            let done = match chosen.read(MOST_BYTES).await {
                Ok(file) => match heavy::review_report(file.bytes, &lines).await {
                    Ok(found) => Checking::Done(found),
                    Err(fault) => Checking::Failed(work::fault(fault, |error| error.to_string())),
                },
                Err(error) => file_text::pick_error(&error).map_or(Checking::Idle, Checking::Failed),
            };
            // The person may have gone elsewhere meanwhile.
            let _ = checking.try_set(done);
        });
    };
    view! {
        <Section title=t::report_title()>
            <p>{t::report_lead()}</p>
            <FileButton
                label=t::report_button().to_owned()
                tap="review-report"
                accept=".html,text/html"
                on_choose=choose
            />
            {move || match checking.get() {
                Checking::Idle => ().into_any(),
                Checking::Working => view! {
                    <p role="status">{t::working()}</p>
                    <Stop />
                }
                .into_any(),
                Checking::Failed(why) => view! {
                    <Panel tone=Tone::Caution title=t::report_unreadable() at_once=true>
                        <p>{why}</p>
                    </Panel>
                }
                .into_any(),
                Checking::Done(found) => said(found),
            }}
        </Section>
    }
}

fn said(found: ReportCheck) -> AnyView {
    let holds = found.holds();
    let (tone, title) = if holds {
        (Tone::Note, t::report_holds())
    } else {
        (Tone::Stop, t::report_fails())
    };
    let wrong = found.wrong.into_iter().map(|wrong| {
        let line = t::report_wrong(&wrong.id, &wrong.said, &wrong.recomputed);
        view! { <li data-wrong=wrong.id>{line}</li> }
    });
    view! {
        <Panel tone title=title at_once=true>
            <p data-report-holds=holds.to_string()>{t::report_count(found.n_figures)}</p>
            <ul class="bullets">{wrong.collect_view()}</ul>
            {found.line.map(|line| view! { <p>{t::report_line(line)}</p> })}
            {found.other_version.map(|version| view! { <p>{t::report_version(&version)}</p> })}
        </Panel>
    }
    .into_any()
}
