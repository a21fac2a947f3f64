//! A report, each number of it computed again from the file that was just checked.

use std::sync::Arc;

use handover::report::check::{ReportCheck, ReportError};
use leptos::prelude::*;

use super::super::survey_file::ChooseSurveyFile;
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
    /// The report compares with an earlier visit, whose file was not given.
    NeedsEarlier(Arc<Vec<u8>>),
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
    let check = {
        let lines = Arc::clone(&lines);
        move |report: Arc<Vec<u8>>, earlier: Option<Vec<u8>>| {
            let lines = Arc::clone(&lines);
            async move {
                match heavy::review_report(&report, &lines, earlier).await {
                    Ok(found) => Checking::Done(found),
                    Err(heavy::Fault::Said(ReportError::NeedsEarlier(_))) => Checking::NeedsEarlier(report),
                    Err(fault) => Checking::Failed(work::fault(fault, |error| t::report_error(&error))),
                }
            }
        }
    };
    // The person may have gone elsewhere meanwhile.
    let now = move |how: Checking| drop(checking.try_set(how));
    let choose = {
        let check = check.clone();
        move |chosen: Chosen| {
            let check = check.clone();
            task::spawn(async move {
                now(Checking::Working);
                now(match chosen.read(MOST_BYTES).await {
                    Ok(file) => check(Arc::new(file.bytes), None).await,
                    Err(error) => file_text::pick_error(&error).map_or(Checking::Idle, Checking::Failed),
                });
            });
        }
    };
    let with_earlier = move |report: &Arc<Vec<u8>>| {
        let (check, report) = (check.clone(), Arc::clone(report));
        let on_file = Callback::new(move |(_, bytes): (String, Vec<u8>)| {
            let (check, report) = (check.clone(), Arc::clone(&report));
            task::spawn(async move {
                now(Checking::Working);
                now(match heavy::read_lines(bytes).await {
                    Ok(earlier) => check(report, Some(earlier)).await,
                    Err(fault) => Checking::Failed(work::fault(fault, |error| file_text::file_error(&error))),
                });
            });
        });
        view! {
            <Panel title=t::report_compares() at_once=true>
                <p>{t::report_needs_earlier()}</p>
                <ChooseSurveyFile label=t::report_earlier() tap="review-earlier" on_file />
            </Panel>
        }
        .into_any()
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
                Checking::NeedsEarlier(report) => with_earlier(&report),
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
