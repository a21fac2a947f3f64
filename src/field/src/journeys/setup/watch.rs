//! The watch-list: the user's own table of tapes known to behave in a certain way, taken in and carried away as CSV.

use std::collections::BTreeMap;

use handover::watchlist::{self, Problems};
use leptos::prelude::*;
use survey::{Command, EntryId, Subject};
use tape::{Answers, Stock};

use super::Setup;
use crate::capability::pick_file::Chosen;
use crate::capability::{document, download, task};
use crate::route::Journey;
use crate::store::{Store, use_store};
use crate::texts::{common, setup as t, worded};
use crate::ui::{Button, FileButton, Kind, Link, Page, Panel, Section, TextArea, Tone};

/// The most bytes of a file that are read: more could not be kept.
const MAX_BYTES: u64 = 1 << 20;
/// How many entries are shown.
const SHOWN: usize = 200;

/// What came of taking a table in.
#[derive(Debug, Clone, PartialEq)]
enum Said {
    Nothing,
    Wrong(Problems),
    Trouble(String),
    Done(usize, Vec<EntryId>),
    TakenBack,
}

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let list = Memo::new(move |_| store.state.with(|state| watchlist::of(state)));
    let text = RwSignal::new(String::new());
    let said = RwSignal::new(Said::Nothing);
    let choose = move |chosen: Chosen| {
        task::spawn(async move {
            match chosen.read(MAX_BYTES).await {
                Ok(picked) => said.set(take_in(store, &picked.bytes)),
                Err(error) => said.set(Said::Trouble(t::file_trouble(&error))),
            }
            document::focus("[data-tap=setup-watch-said]");
        });
    };
    let take = move || {
        said.set(take_in(store, text.get_untracked().as_bytes()));
        document::focus("[data-tap=setup-watch-said]");
    };
    let save = move || {
        let table = watchlist::write(&list.get_untracked());
        if let Err(why) = download::save(t::watch_file_name(), "text/csv", &table) {
            said.set(Said::Trouble(why));
        }
    };
    let nothing_typed = Signal::derive(move || text.with(|text| text.trim().is_empty()));
    let back = setup.route(&["scope"]).href();
    let action = move || {
        let back = back.clone();
        view! {
            <div class="dock-row">
                <Link label=common::go_back() tap="setup-watch-back" kind=Kind::Secondary href=back />
                <Button label=t::list_take() tap="setup-watch-take" kind=Kind::Primary disabled=nothing_typed on_press=take />
            </div>
        }
    };
    view! {
        <Page title=t::watch_title() here=common::journey(Journey::Setup) lead=t::watch_lead() action=action>
            <Outcome said />
            <Entries list=Signal::derive(move || Listed(list.get().stocks)) />
            <FileButton label=t::list_file() tap="setup-watch-file" accept=".csv,.tsv,.txt,text/csv,text/plain" on_choose=choose />
            <Button
                label=Signal::derive(move || t::watch_save(list.with(|list| list.stocks.len())))
                tap="setup-watch-save"
                on_press=save
            />
            <Section title=t::watch_make()>
                <p>{t::watch_columns()}</p>
                <pre class="example">{t::watch_example()}</pre>
                <TextArea label=t::watch_text() hint=t::watch_replaces() value=text tap="setup-watch-text" on_input=move |typed| text.set(typed) />
                <Behaviours />
            </Section>
        </Page>
    }
}

fn take_in(store: Store, table: &[u8]) -> Said {
    let list = match watchlist::read(table) {
        Ok(list) => list,
        Err(problems) => return Said::Wrong(problems),
    };
    let command = Command::Answer {
        subject: Subject::Survey,
        question: watchlist::QUESTION.to_owned(),
        value: watchlist::answer(&list),
    };
    match store.try_send(command) {
        Ok(entries) => Said::Done(list.stocks.len(), entries),
        Err(refusal) => Said::Trouble(common::refusal(&refusal)),
    }
}

#[component]
fn Outcome(said: RwSignal<Said>) -> impl IntoView {
    let store = use_store();
    let take_back = move |entries: &[EntryId]| {
        for entry in entries.iter().rev() {
            // The first entry of a tab introduces it, and stays.
            let _ = store.try_send(Command::Undo(*entry));
        }
        said.set(Said::TakenBack);
    };
    let shown = move || match said.get() {
        Said::Nothing => ().into_any(),
        Said::Wrong(problems) => {
            let line = |problem: &watchlist::Problem| view! { <li>{problem.to_string()}</li> };
            view! {
                <Panel tone=Tone::Caution title=t::list_wrong()>
                    <p>{t::watch_problems(problems.named.len(), problems.count)}</p>
                    <ul data-tap="setup-watch-problems">{problems.named.iter().map(line).collect_view()}</ul>
                </Panel>
            }
            .into_any()
        }
        Said::Trouble(why) => {
            view! { <Panel tone=Tone::Caution title=t::list_wrong()><p>{why}</p></Panel> }.into_any()
        }
        Said::Done(n, entries) => {
            let can_undo = !entries.is_empty();
            view! {
                <Panel title=t::watch_done(n)>
                    {can_undo
                        .then(|| view! {
                            <Button label=t::list_undo() tap="setup-watch-undo" kind=Kind::Quiet on_press=move || take_back(&entries) />
                        })}
                </Panel>
            }
            .into_any()
        }
        Said::TakenBack => view! { <p>{t::watch_undone()}</p> }.into_any(),
    };
    view! {
        <div role="status" tabindex="-1" data-tap="setup-watch-said">
            {shown}
        </div>
    }
}

/// The list's entries.
#[derive(Clone, PartialEq)]
struct Listed(Vec<Stock>);

#[component]
fn Entries(list: Signal<Listed>) -> impl IntoView {
    let titles = titles();
    let shown = move || {
        let Listed(stocks) = list.get();
        if stocks.is_empty() {
            return view! {
                <Panel title=t::watch_none()>
                    <p>{t::watch_none_text()}</p>
                </Panel>
            }
            .into_any();
        }
        let hidden = stocks.len().saturating_sub(SHOWN);
        let rows = stocks.into_iter().take(SHOWN).map(|stock| {
            let known_for: Vec<&str> = stock
                .behaviours
                .iter()
                .map(|key| titles.get(key.as_str()).copied().unwrap_or(key))
                .collect();
            let known_for = known_for.join("; ");
            let about: Vec<String> = [stock.note, t::watch_source(&stock.source)]
                .into_iter()
                .filter(|line| !line.is_empty())
                .collect();
            view! {
                <li class="watch-entry">
                    <p><strong>{stock.name}</strong></p>
                    <p>{known_for}</p>
                    {about.into_iter().map(|line| view! { <p class="hint">{line}</p> }).collect_view()}
                </li>
            }
        });
        view! {
            <ul class="plain-list" data-tap="setup-watch-list">{rows.collect_view()}</ul>
            {(hidden > 0).then(|| view! { <p class="hint">{t::watch_hidden(hidden)}</p> })}
        }
        .into_any()
    };
    view! { <Section title=t::watch_entries_title()>{shown}</Section> }
}

/// What may stand in the column of behaviours.
#[component]
fn Behaviours() -> impl IntoView {
    let lines = titles().into_iter().map(|(key, title)| {
        view! {
            <li>
                <code class="code">{key}</code>
                " "
                {title}
            </li>
        }
    });
    view! {
        <details class="more">
            <summary data-tap="setup-watch-keys">{t::watch_keys()}</summary>
            <ul class="plain-list">{lines.collect_view()}</ul>
        </details>
    }
}

/// Every finding by key: before anything is answered, all of them are possible.
fn titles() -> BTreeMap<&'static str, &'static str> {
    let all = tape::findings(&Answers::new(), &Answers::new());
    all.into_iter()
        .map(|finding| (finding.key, worded(finding.title)))
        .collect()
}
