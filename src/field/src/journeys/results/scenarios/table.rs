//! The plan and the other ways side by side: a table a quantity, each way with its range and its difference from the plan.

use std::sync::Arc;

use costing::{Changed, DIFFERENCES, SideBySide};
use leptos::prelude::*;

use crate::store::use_store;
use crate::texts::scenarios as t;
use crate::ui::Section;

/// The tables, and what money and weeks are enough for.
#[component]
pub(super) fn Table(told: Arc<SideBySide>) -> impl IntoView {
    let store = use_store();
    let planned = store
        .state
        .with_untracked(|state| analysis::outlook::assumptions(state));
    // A plan without a price has no currency: then it is that of the scenario which has some.
    let currency = store.state.with_untracked(|state| {
        let saved = analysis::scenarios::saved(state, &planned).scenarios;
        let all = std::iter::once(planned.currency.clone()).chain(saved.into_iter().map(|one| one.currency));
        all.into_iter()
            .find(|currency| !currency.trim().is_empty())
            .unwrap_or_default()
    });
    let is_told = |id: &&&str| told.scenarios.iter().any(|one| one.quantities.contains_key(**id));
    let (same, other): (Vec<&str>, Vec<&str>) = DIFFERENCES
        .iter()
        .filter(is_told)
        .copied()
        .partition(|id| is_the_same(&told, id));
    let tables = other
        .into_iter()
        .map(|id| quantity(&told, id, &currency))
        .collect_view();
    let same: Vec<String> = same.into_iter().map(|id| t::quantity(id, &currency)).collect();
    let enough: Vec<String> = told
        .scenarios
        .iter()
        .flat_map(|one| t::enough(one, &currency))
        .collect();
    view! {
        <div class="side-by-side">{tables}</div>
        {(!same.is_empty())
            .then(|| {
                view! {
                    <Section title=t::same_title()>
                        <ul class="plain-list">{same.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
                    </Section>
                }
            })}
        {(!enough.is_empty())
            .then(|| {
                view! {
                    <Section title=t::enough_title()>
                        <ul class="lines">{enough.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
                    </Section>
                }
            })}
    }
}

/// Whether no way differs from the plan in this.
fn is_the_same(told: &SideBySide, id: &str) -> bool {
    let mut beside = told.differences.iter().filter(|pair| pair.from == 0).peekable();
    let is_none = |changed: &Changed| changed.span.low >= 0.0 && changed.span.high <= 0.0;
    beside.peek().is_some() && beside.all(|pair| pair.quantities.get(id).is_some_and(is_none))
}

fn quantity(told: &SideBySide, id: &'static str, currency: &str) -> impl IntoView + use<> {
    let rows = told.scenarios.iter().enumerate().map(|(at, one)| {
        let name = if at == 0 {
            t::planned().to_owned()
        } else {
            one.name.clone()
        };
        let amount = one
            .quantities
            .get(id)
            .map_or_else(|| t::not_told().to_owned(), |span| t::amount(*span));
        let pair = told
            .differences
            .iter()
            .find(|pair| pair.of == at && pair.from == 0);
        let beside = match pair {
            None => t::is_the_plan().to_owned(),
            Some(pair) => pair
                .quantities
                .get(id)
                .map_or_else(|| t::not_told().to_owned(), t::difference),
        };
        view! {
            <tr>
                <th scope="row">{name}</th>
                <td data-figure=format!("scenario.{at}.{id}")>{amount}</td>
                <td data-figure=format!("scenario.{at}.beside.0.{id}")>{beside}</td>
            </tr>
        }
    });
    let rows = rows.collect_view();
    view! {
        <table>
            <caption>{t::quantity(id, currency)}</caption>
            <thead>
                <tr>
                    <th scope="col">{t::column_way()}</th>
                    <th scope="col">{t::column_amount()}</th>
                    <th scope="col">{t::column_beside()}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
}
