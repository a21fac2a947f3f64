//! The writer's own words: at the report's beginning, and at the end of each section.

use handover::report::{MAX_OWN_TEXT, MAX_SECTION_TEXT, OPTIONAL, Options, SECTIONS};
use leptos::prelude::*;

use super::{Undo, change, options, to};
use crate::capability::navigation;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, papers as t};
use crate::ui::{Button, Kind, Link, Page, TextArea};

/// Where the text at the beginning is written.
const START: &str = "start";

/// Keys of the places for own words; the data have none, since nobody reads them there.
fn places() -> impl Iterator<Item = &'static str> {
    let sections = SECTIONS.iter().map(|(key, _)| *key).filter(|key| *key != "annex");
    std::iter::once(START).chain(sections)
}

fn text<'a>(options: &'a Options, key: &str) -> &'a str {
    if key == START {
        &options.own_text
    } else {
        options.own.get(key).map_or("", String::as_str)
    }
}

fn set(options: &mut Options, key: &str, text: String) {
    if key == START {
        options.own_text = text;
    } else if text.trim().is_empty() {
        options.own.remove(key);
    } else {
        options.own.insert(key.to_owned(), text);
    }
}

/// A line a place, with what stands there.
#[component]
pub(super) fn WordsOfSections() -> impl IntoView {
    let store = use_store();
    let line = move |key: &'static str| {
        let label = move || {
            let options = options(store);
            match text(&options, key).trim().chars().count() {
                0 => t::words_none(t::section_name(key)),
                characters => t::words_written(t::section_name(key), characters),
            }
        };
        view! {
            <li>
                <Link
                    label=Signal::derive(label)
                    tap=format!("papers-words-{key}")
                    href=to(store, &["papers", key])
                />
            </li>
        }
    };
    view! { <ul class="plain-list">{places().map(line).collect_view()}</ul> }
}

/// The screen of one place.
#[component]
pub(in crate::journeys::handover) fn Words(
    /// Its key; another than there is leads to the beginning.
    key: String,
) -> impl IntoView {
    let store = use_store();
    let key = places().find(|known| *known == key).unwrap_or(START);
    let most = if key == START {
        MAX_OWN_TEXT
    } else {
        MAX_SECTION_TEXT
    };
    let typed = RwSignal::new(
        store
            .state
            .with_untracked(|state| text(&Options::of(state), key).to_owned()),
    );
    let over = move || typed.with(|text| text.trim().chars().count().saturating_sub(most));
    let is_gone = move || {
        let is_optional = OPTIONAL.iter().any(|(optional, _)| *optional == key);
        is_optional && !options(store).has(key)
    };
    let survey = store.state.get_untracked().survey;
    let keep = move || {
        if over() == 0 {
            change(store, |options| {
                set(options, key, typed.get_untracked().trim().to_owned());
            });
            Route::to(survey, Journey::HandOver, &["papers"]).replace();
        }
    };
    view! {
        <Page
            title=t::words_title(t::section_name(key))
            here=common::journey(Journey::HandOver).to_owned()
            lead=t::words_lead().to_owned()
            action=move || {
                view! {
                    <Button label=common::go_back() tap="papers-words-back" kind=Kind::Secondary on_press=navigation::back />
                    <Button label=t::keep() tap="papers-words-keep" kind=Kind::Primary on_press=keep />
                }
            }
        >
            {move || is_gone().then(|| view! { <p class="hint">{t::words_gone()}</p> })}
            <TextArea
                label=t::words_text().to_owned()
                hint=t::words_hint()
                value=typed
                tap="papers-words"
                rows=12
                is_prose=true
                on_input=move |text| typed.set(text)
            />
            <p class="error" role="alert">
                {move || (over() > 0).then(|| t::words_too_long(over()))}
            </p>
            <Undo />
        </Page>
    }
}
