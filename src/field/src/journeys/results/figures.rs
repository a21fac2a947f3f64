//! The figures of a survey, for the whole collection or one stratum.

use std::collections::BTreeMap;
use std::sync::Arc;

use analysis::figures::{Figure, Figures, Problem};
use leptos::prelude::*;
use tape::carriers;

use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check, common, papers, results as text, takes, worded};
use crate::ui::{ChoiceList, ChoiceOption, IntervalPlot, Kind, Link, Page, Panel, PlotRow, Section};

/// Conditions that are base films: they are shown by themselves.
const FILM_PREFIX: &str = "base_";

/// A condition or carrier with a share and a count.
#[derive(Clone, PartialEq)]
struct Line {
    label: String,
    share: Figure,
    count: Option<Figure>,
}

/// The screen.
#[component]
pub fn FigureSheet(figures: Arc<Figures>) -> impl IntoView {
    let store = use_store();
    let (stratum, set_stratum) = signal(String::new());
    let figures = StoredValue::new(figures);
    let find = move |id: &str| {
        let prefix = stratum.get();
        let id = if prefix.is_empty() {
            id.to_owned()
        } else {
            format!("{prefix}.{id}")
        };
        figures.with_value(|figures| figures.headline.get(&id).cloned())
    };
    let line = move |id: &str, label: &str| {
        let share = find(&format!("{id}.share"))?;
        Some(Line {
            label: label.to_owned(),
            share,
            count: find(&format!("{id}.count")),
        })
    };
    let carrier_lines = Signal::derive(move || {
        let kinds = carriers()
            .iter()
            .filter_map(|kind| line(&format!("carrier.{}", kind.key), worded(kind.label)));
        // Fourteen kinds, most of them absent: only what was seen has a line.
        kinds
            .filter(|line| line.share.n_seen != Some(0))
            .collect::<Vec<Line>>()
    });
    let conditions = move |films: bool| {
        let wanted = tape::conditions()
            .iter()
            .filter(move |condition| condition.key.starts_with(FILM_PREFIX) == films);
        wanted
            .filter_map(|c| line(&format!("condition.{}", c.key), worded(c.label)))
            .collect::<Vec<Line>>()
    };
    let actions = Signal::derive(move || {
        let classes = tape::actions().iter();
        classes
            .filter_map(|class| line(&format!("action.{}", class.key), worded(class.label)))
            .collect::<Vec<Line>>()
    });
    let films = Signal::derive(move || conditions(true));
    let signs = Signal::derive(move || conditions(false));
    let hours = move || {
        let likely = find("quantity.content_hours.total")?;
        let (low, high) = (
            find("quantity.content_hours_low.total"),
            find("quantity.content_hours_high.total"),
        );
        Some(text::hours(low.as_ref(), &likely, high.as_ref()))
    };
    let total = move || find("items.total").map(|figure| text::items(&figure));
    let other_basis = move || {
        let figure = figures.with_value(|f| {
            f.every_finished
                .as_ref()
                .and_then(|all| all.get("items.total").cloned())
        });
        figure.filter(|_| stratum.with(String::is_empty)).map(|figure| {
            view! {
                <Panel title=text::other_basis().to_owned()>
                    <p>{text::every_finished(&figure)}</p>
                </Panel>
            }
        })
    };
    let missing = move || {
        let lines = conditions(true).into_iter().chain(conditions(false));
        let said: Vec<_> = lines
            .filter_map(|line| text::unknown(&line.label, &line.share))
            .collect();
        (!said.is_empty()).then(|| {
            view! {
                <Section title=text::missing().to_owned()>
                    <ul class="plain-list">{said.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
                </Section>
            }
        })
    };
    let small_print = move || {
        let prefix = stratum.get();
        let labels = labels();
        let lines = figures.with_value(|figures| {
            let here = figures.headline.iter().filter_map(|(id, figure)| {
                let id = if prefix.is_empty() {
                    id.as_str()
                } else {
                    id.strip_prefix(&format!("{prefix}."))?
                };
                let label = labels.get(id.rsplit_once('.').map_or(id, |(stem, _)| stem))?;
                let what = id.rsplit_once('.').map_or("", |(_, what)| what);
                Some(text::small_print(&format!("{label}, {what}"), figure))
            });
            here.collect::<Vec<_>>()
        });
        lines
            .into_iter()
            .map(|line| view! { <li>{line}</li> })
            .collect_view()
    };
    let state = store.state.get_untracked();
    let survey = state.survey;
    let mut choices = vec![ChoiceOption::new("", text::whole_title())];
    choices.extend(
        state
            .strata
            .iter()
            .map(|(key, name)| ChoiceOption::new(key.to_string(), name.clone())),
    );
    if state.late_boxes().next().is_some() {
        choices.push(ChoiceOption::new("late", check::late_round()));
    }
    let several = choices.len() > 2;
    let chosen = Signal::derive(move || Some(stratum.get()));
    let rests_on = figures.with_value(|figures| text::rests_on(&figures.sample));
    let twice = figures.with_value(|figures| {
        let said =
            |(key, made): (&String, &_)| (text::read_twice(key, made), text::read_twice_small(key, made));
        figures.read_twice.iter().map(said).collect::<Vec<_>>()
    });
    let problems: Vec<String> = figures.with_value(|figures| {
        let word = |problem: &Problem| {
            let stratum = match problem {
                Problem::StratumLeftOut { stratum, .. } => stratum.parse().ok(),
                Problem::NotMade { .. } => None,
            };
            text::problem(
                problem,
                stratum.and_then(|key| state.strata.get(&key)).map(String::as_str),
            )
        };
        figures.problems.iter().map(word).collect()
    });
    view! {
        <Page
            title=text::title().to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=rests_on
            next=common::next(text::next())
            action=move || {
                let href = Route::to(survey, Journey::HandOver, &[]).href();
                view! {
                    <Link label=text::to_hand_over().to_owned() tap="results-to-handover" kind=Kind::Primary href=href />
                }
            }
        >
            {problems
                .into_iter()
                .map(|problem| {
                    view! {
                        <Panel title=text::could_not().to_owned()>
                            <p>{problem}</p>
                        </Panel>
                    }
                })
                .collect_view()}
            {several
                .then(|| {
                    view! {
                        <ChoiceList
                            legend=text::for_which().to_owned()
                            options=choices
                            chosen=chosen
                            tap="results-stratum"
                            on_choose=move |key: String| set_stratum.set(key)
                        />
                    }
                })}
            <Show when=move || stratum.with(String::is_empty)>
                <Section title=text::how_many().to_owned()>
                    <p class="figure-said" data-figure="items.total">
                        {total}
                    </p>
                </Section>
            </Show>
            {other_basis} <Shares title=text::carriers() lines=carrier_lines /> <Shares title=text::films() lines=films />
            <Section title=text::hours_title().to_owned()>
                <p class="figure-said">{hours}</p>
                <p class="hint">{text::counted_note()}</p>
            </Section> <Shares title=text::actions() lines=actions /> <Shares title=text::conditions() lines=signs /> <p class="hint">{text::field_sign()}</p> {missing} <Twice twice />
            <Link
                label=takes::to_takes().to_owned()
                tap="results-takes"
                href=Route::to(survey, Journey::Results, &["takes"]).href()
            />
            <Link
                label=papers::changed_title()
                tap="results-changed"
                href=Route::to(survey, Journey::Results, &["changed"]).href()
            />
            <details class="more">
                <summary data-tap="results-small-print">{text::small_print_title()}</summary>
                <ul class="plain-list small">{small_print}</ul>
            </details>
        </Page>
    }
}

/// Shares as sentences with their picture.
#[component]
fn Shares(title: &'static str, lines: Signal<Vec<Line>>) -> impl IntoView {
    let rows = move || {
        let row = |line: Line| PlotRow {
            said: text::share(&line.share, line.count.as_ref()),
            label: line.label,
            low: line.share.low.unwrap_or(line.share.estimate),
            estimate: line.share.estimate,
            high: line.share.high.unwrap_or(line.share.estimate),
        };
        lines.get().into_iter().map(row).collect::<Vec<_>>()
    };
    view! {
        <Show when=move || lines.with(|lines| !lines.is_empty())>
            <Section title=title.to_owned()>
                <IntervalPlot
                    caption=text::caption().to_owned()
                    rows=Signal::derive(rows)
                    most=1.0
                    ticks=text::axis_share().to_vec()
                />
            </Section>
        </Show>
    }
}

/// How well two readings of the same photographs agree, and the way to what was checked twice.
#[component]
fn Twice(
    /// A sentence a question, and its small print.
    twice: Vec<(String, String)>,
) -> impl IntoView {
    if twice.is_empty() {
        return ().into_any();
    }
    let (said, small): (Vec<String>, Vec<String>) = twice.into_iter().unzip();
    let lines = |all: Vec<String>| {
        all.into_iter()
            .map(|line| view! { <li>{line}</li> })
            .collect_view()
    };
    let survey = use_store().state.get_untracked().survey;
    view! {
        <Section title=text::twice().to_owned()>
            <p>{text::twice_lead()}</p>
            <ul class="plain-list" data-tap="results-twice">{lines(said)}</ul>
            <details class="more">
                <summary data-tap="results-twice-more">{text::small_print_title()}</summary>
                <p class="small">{text::twice_small()}</p>
                <ul class="plain-list small">{lines(small)}</ul>
            </details>
            <Link
                label=text::checked_twice().to_owned()
                tap="results-differ"
                href=Route::to(survey, Journey::HandOver, &["differ"]).href()
            />
        </Section>
    }
    .into_any()
}

/// What the stem of a figure's id means.
fn labels() -> BTreeMap<String, String> {
    let kinds = carriers()
        .iter()
        .map(|kind| (format!("carrier.{}", kind.key), worded(kind.label).to_owned()));
    let conditions = tape::conditions()
        .iter()
        .map(|c| (format!("condition.{}", c.key), worded(c.label).to_owned()));
    let actions = tape::actions()
        .iter()
        .map(|class| (format!("action.{}", class.key), worded(class.label).to_owned()));
    let others = [
        ("items", text::how_many()),
        ("quantity.content_hours", text::hours_title()),
    ];
    let others = others
        .into_iter()
        .map(|(key, label)| (key.to_owned(), label.to_owned()));
    kinds.chain(conditions).chain(actions).chain(others).collect()
}
