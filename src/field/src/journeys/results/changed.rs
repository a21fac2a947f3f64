//! What changed since an earlier visit: each figure's change with its range, the sure ones first.

use std::sync::Arc;

use analysis::change::{Change, ChangeError, Changed};
use leptos::prelude::*;

use super::super::unable::Stop;
use super::drawing::drawn;
use crate::capability::heavy;
use crate::journeys::earlier::{ChooseEarlier, Visit, use_earlier};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, papers as t, takes};
use crate::ui::{Kind, Link, Page, Panel, Section, Tone};

/// The screen.
#[component]
pub(super) fn View() -> impl IntoView {
    let store = use_store();
    let earlier = use_earlier();
    let survey = store.state.get_untracked().survey;
    let visit = Memo::new(move |_| earlier.chosen(store));
    view! {
        <Page
            title=t::changed_title().to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=t::changed_lead().to_owned()
            action=move || {
                view! {
                    <Link
                        label=takes::to_figures().to_owned()
                        tap="changed-figures"
                        kind=Kind::Secondary
                        href=Route::to(survey, Journey::Results, &[]).href()
                    />
                    <Link
                        label=t::title()
                        tap="changed-papers"
                        kind=Kind::Primary
                        href=Route::to(survey, Journey::HandOver, &["papers"]).href()
                    />
                }
            }
        >
            <ChooseEarlier />
            {move || visit.get().map(|visit| view! { <Compared visit /> })}
        </Page>
    }
}

#[component]
fn Compared(visit: Visit) -> impl IntoView {
    let store = use_store();
    drawn(
        move |_| {
            let lines = Arc::clone(&visit.lines);
            async move { heavy::changed(store.log(), lines).await.map(Arc::new) }
        },
        |_| {
            view! {
                <p role="status">{t::earlier_reading()}</p>
                <Stop />
            }
        },
        |change: Arc<Change>| view! { <Sheet change /> }.into_any(),
        |error: ChangeError| {
            view! {
                <Panel tone=Tone::Stop title=t::earlier_refused().to_owned() at_once=true>
                    <p data-tap="changed-refused">{t::refused(&error)}</p>
                </Panel>
            }
            .into_any()
        },
    )
}

#[component]
fn Sheet(change: Arc<Change>) -> impl IntoView {
    let line = |(id, changed): (&String, &Changed)| {
        view! {
            <li data-change=id.clone()>
                <p class="change-of">{t::figure(id)}</p>
                <p>{t::change(changed)}</p>
                <p class="small">{t::then_now(changed)}</p>
            </li>
        }
    };
    let sure = change.told(true).map(line).collect_view();
    let unsure = change.told(false).map(line).collect_view();
    let none = change.told(true).next().is_none();
    let has_unsure = change.told(false).next().is_some();
    view! {
        <p role="status">{t::visits(&change)}</p>
        {change.same_survey.then(|| view! { <p class="hint">{t::changed_same_survey()}</p> })}
        <Section title=t::changed_sure()>
            {none.then(|| view! { <p>{t::changed_none()}</p> })}
            <ul class="lines">{sure}</ul>
        </Section>
        {has_unsure
            .then(|| {
                view! {
                    <Section title=t::changed_unsure()>
                        <p class="hint">{t::changed_unsure_text()}</p>
                        <ul class="lines">{unsure}</ul>
                    </Section>
                }
            })}
        <Section title=t::changed_by_chance_title()>
            <p>{t::by_chance(&change)}</p>
        </Section>
    }
}
