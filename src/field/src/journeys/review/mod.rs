//! The reviewer's view, at an address of its own: a survey file is checked step by step, and a report against it.

mod against;

use std::sync::Arc;

use analysis::figures::Figure;
use handover::{Check, Verdict};
use labour::Reviewed;
use leptos::prelude::*;

use self::against::AgainstReport;
use super::survey_file::ChooseSurveyFile;
use super::unable::Stop;
use crate::capability::{heavy, task};
use crate::route::Route;
use crate::texts::review as t;
use crate::texts::{handover as file_text, heavy as work};
use crate::ui::{Link, Page, Panel, Section, Tone};

/// How far it is.
#[derive(Clone)]
enum Checking {
    Idle,
    Working,
    /// With the lines of the file's log, if it can be read.
    Done(Reviewed, Option<Arc<Vec<u8>>>),
    Failed(String),
}

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let checking = RwSignal::new(Checking::Idle);
    let check = move |(_, bytes): (String, Vec<u8>)| {
        task::spawn(async move {
            // The person may have gone elsewhere meanwhile.
            let _ = checking.try_set(Checking::Working);
            let _ = checking.try_set(match heavy::review_file(bytes).await {
                Ok((reviewed, lines)) => Checking::Done(reviewed, lines.map(Arc::new)),
                Err(fault) => Checking::Failed(work::fault(fault, |never| match never {})),
            });
        });
    };
    let home = || view! { <Link label=t::done() tap="review-done" href=Route::Home.href() /> };
    view! {
        <Page title=t::title() lead=t::lead() action=home>
            <Section title=t::file_title()>
                <ChooseSurveyFile label=t::file_button() tap="review-file" on_file=Callback::new(check) />
                <p class="hint">{t::file_hint()}</p>
                {move || match checking.get() {
                    Checking::Working => view! {
                        <p role="status">{t::working()}</p>
                        <Stop />
                    }
                    .into_any(),
                    Checking::Failed(why) => view! {
                        <Panel tone=Tone::Caution title=t::some_fails() at_once=true>
                            <p>{why}</p>
                        </Panel>
                    }
                    .into_any(),
                    Checking::Done(reviewed, _) => conclusion(reviewed),
                    Checking::Idle => ().into_any(),
                }}
            </Section>
            {move || match checking.get() {
                Checking::Done(reviewed, lines) => steps(reviewed, lines),
                _ => ().into_any(),
            }}
        </Page>
    }
}

fn conclusion(reviewed: Reviewed) -> AnyView {
    let holds = reviewed.report.holds();
    let (tone, title) = if holds {
        (Tone::Note, t::all_holds())
    } else {
        (Tone::Stop, t::some_fails())
    };
    view! {
        <Panel tone title=title at_once=true>
            <p data-holds=holds.to_string()>{t::caught()}</p>
            <p>{t::sha()}" "<code class="digest">{reviewed.sha256}</code></p>
        </Panel>
    }
    .into_any()
}

fn steps(reviewed: Reviewed, lines: Option<Arc<Vec<u8>>>) -> AnyView {
    let step = |check: Check| {
        let name = check.name;
        let title = format!(
            "{}: {}",
            file_text::check(name),
            file_text::verdict(check.verdict)
        );
        let said = view! {
            <p>{t::explain(name)}</p>
            <p class="hint">{check.detail}</p>
        };
        // Only what does not hold is to stop the eye.
        let body = match check.verdict {
            Verdict::Fails => view! { <Panel tone=Tone::Stop title>{said}</Panel> }.into_any(),
            Verdict::Holds => view! { <p class="review-said holds">{title}</p> {said} }.into_any(),
            Verdict::NotMade => view! { <p class="review-said">{title}</p> {said} }.into_any(),
        };
        view! { <li data-check=name>{body}</li> }
    };
    let against = lines.map(|lines| view! { <AgainstReport lines /> });
    let figures = (!reviewed.figures.is_empty()).then(|| figures(reviewed.figures));
    view! {
        <Section title=t::steps()>
            <ol class="review-steps">{reviewed.report.checks.into_iter().map(step).collect_view()}</ol>
        </Section>
        {against}
        {figures}
    }
    .into_any()
}

fn figures(all: Vec<(String, Figure)>) -> impl IntoView {
    let shown = |number: f64| format!("{number:.4}");
    let row = move |(id, figure): (String, Figure)| {
        let limits = match figure.low.zip(figure.high) {
            Some((low, high)) => t::limits(shown(low), shown(high)),
            None => t::no_limits().to_owned(),
        };
        view! {
            <tr data-figure=id.clone()>
                <th scope="row">{id.clone()}</th>
                <td>{shown(figure.estimate)}</td>
                <td>{limits}</td>
            </tr>
        }
    };
    view! {
        <Section title=t::figures_title()>
            <p>{t::figures_lead()}</p>
            <details data-tap="review-figures">
                <summary>{t::figures_show()}</summary>
                <div class="review-figures">
                    <table>
                        <thead>
                            <tr>
                                <th scope="col">{t::figure_column()}</th>
                                <th scope="col">{t::estimate_column()}</th>
                                <th scope="col">{t::limits_column()}</th>
                            </tr>
                        </thead>
                        <tbody>{all.into_iter().map(row).collect_view()}</tbody>
                    </table>
                </div>
            </details>
        </Section>
    }
}
