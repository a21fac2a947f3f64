//! A reviewer's view: a dropped file is checked as a stranger would, nothing of it is kept.

use std::sync::Arc;

use handover::{Report, sealed};
use leptos::prelude::*;

use super::super::survey_file::MOST_READ_HERE;
use super::super::unable::Stop;
use super::super::unseal::AskPassphrase;
use crate::capability::pick_file::Chosen;
use crate::capability::{heavy, task};
use crate::texts::{handover as text, heavy as work};
use crate::ui::{FileButton, Panel, Tone};

/// How far it is.
#[derive(Clone)]
enum Checking {
    Idle,
    Working,
    Sealed(Arc<Vec<u8>>),
    Done(Report),
    Failed(String),
}

async fn check(bytes: Vec<u8>) -> Checking {
    match heavy::verify_file(bytes).await {
        Ok(report) => Checking::Done(report),
        Err(fault) => Checking::Failed(work::fault(fault, |never| match never {})),
    }
}

/// The button and the verdict.
#[component]
pub fn CheckFile() -> impl IntoView {
    let checking = RwSignal::new(Checking::Idle);
    let choose = move |chosen: Chosen| {
        task::spawn(async move {
            checking.set(Checking::Working);
            let done = match chosen.read(MOST_READ_HERE).await {
                Ok(file) if sealed::is_sealed(&file.bytes) => Checking::Sealed(Arc::new(file.bytes)),
                Ok(file) => check(file.bytes).await,
                Err(error) => text::pick_error(&error).map_or(Checking::Idle, Checking::Failed),
            };
            // The person may have gone elsewhere meanwhile.
            let _ = checking.try_set(done);
        });
    };
    let on_open = Callback::new(move |bytes: Vec<u8>| {
        task::spawn(async move {
            let _ = checking.try_set(Checking::Working);
            let _ = checking.try_set(check(bytes).await);
        });
    });
    let said = move || match checking.get() {
        Checking::Sealed(sealed) => view! { <AskPassphrase sealed on_open /> }.into_any(),
        Checking::Idle => ().into_any(),
        Checking::Working => view! {
            <p role="status">{text::opening()}</p>
            <Stop />
        }
        .into_any(),
        Checking::Failed(why) => view! {
            <Panel tone=Tone::Caution title=text::fails().to_owned() at_once=true>
                <p>{why}</p>
            </Panel>
        }
        .into_any(),
        Checking::Done(report) => {
            let holds = report.holds();
            let (tone, title) = if holds {
                (Tone::Note, text::holds())
            } else {
                (Tone::Stop, text::fails())
            };
            let line = |check: handover::Check| {
                let said = format!(
                    "{}: {}. {}",
                    text::check(check.name),
                    text::verdict(check.verdict),
                    check.detail
                );
                view! { <li>{said}</li> }
            };
            view! {
                <Panel tone title=title.to_owned() at_once=true>
                    <ul class="bullets" data-holds=holds.to_string()>
                        {report.checks.into_iter().map(line).collect_view()}
                    </ul>
                </Panel>
            }
            .into_any()
        }
    };
    view! {
        <FileButton
            label=text::check_button().to_owned()
            tap="handover-check"
            accept=".zip,.age,application/zip"
            on_choose=choose
        />
        {said}
    }
}
