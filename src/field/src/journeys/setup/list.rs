//! A list that somebody made: pasted or from a file, read whole before any of it is taken in.

use std::collections::BTreeMap;

use handover::boxlist::{BoxList, Problems};
use leptos::prelude::*;
use survey::decide::BoxToList;
use survey::{Command, EntryId, PlaceKey, Refusal, StratumKey};

use super::{Setup, here};
use crate::capability::pick_file::Chosen;
use crate::capability::{document, heavy, task};
use crate::store::{Store, use_store};
use crate::texts::{common, heavy as work, setup as t};
use crate::ui::{Button, FileButton, Kind, Link, Page, Panel, Progress, TextArea, Tone};

/// How much of a chosen file is put into the text field; a list of a hundred thousand rows would freeze it.
const SHOWN_BYTES: usize = 20_000;

/// How far taking a list in is.
#[derive(Debug, Clone, PartialEq)]
enum Taking {
    Nothing,
    Reading,
    Listing {
        done: usize,
        all: usize,
    },
    Wrong(Problems),
    Trouble(String),
    Stopped(Refusal),
    Done {
        boxes: usize,
        places: usize,
        entries: Vec<EntryId>,
    },
    TakenBack,
    /// Some of it is on the list already, by place and label.
    Known {
        n: usize,
        all: BoxList,
        rest: BoxList,
    },
}

/// The screen.
#[component]
pub fn View() -> impl IntoView {
    let (store, setup) = (use_store(), Setup::here());
    let text = RwSignal::new(String::new());
    // A chosen file that is too long to show; the text field then holds its beginning.
    let file = RwSignal::new(None::<Vec<u8>>);
    let taking = RwSignal::new(Taking::Nothing);
    let choose = move |chosen: Chosen| {
        task::spawn(async move {
            match chosen.read(handover::boxlist::MAX_BYTES as u64).await {
                Ok(picked) => {
                    let head = picked
                        .bytes
                        .get(..SHOWN_BYTES.min(picked.bytes.len()))
                        .unwrap_or_default();
                    text.set(String::from_utf8_lossy(head).into_owned());
                    file.set(Some(picked.bytes));
                    taking.set(Taking::Nothing);
                }
                Err(error) => taking.set(Taking::Trouble(t::file_trouble(&error))),
            }
        });
    };
    let busy =
        Memo::new(move |_| taking.with(|taking| matches!(taking, Taking::Reading | Taking::Listing { .. })));
    let take = move || {
        let bytes = file
            .get_untracked()
            .unwrap_or_else(|| text.get_untracked().into_bytes());
        task::spawn(async move { take_in(store, bytes, taking).await });
    };
    let done = Memo::new(move |_| taking.with(|taking| matches!(taking, Taking::Done { .. })));
    let action = move || {
        if done.get() {
            view! { <Link label=common::go_on() tap="setup-go-on" kind=Kind::Primary href=setup.route(&["boxes"]).href() /> }.into_any()
        } else {
            view! { <Button label=t::list_take() tap="setup-list-take" kind=Kind::Primary disabled=busy on_press=take /> }.into_any()
        }
    };
    let is_long = move || file.with(|file| file.as_ref().is_some_and(|bytes| bytes.len() > SHOWN_BYTES));
    view! {
        <Page title=t::list_title() here=here("boxes") lead=t::list_lead() action=action>
            <Said taking />
            <p>{t::list_columns()}</p>
            <pre class="example">{t::list_example()}</pre>
            <FileButton label=t::list_file() tap="setup-list-file" accept=".csv,.tsv,.txt,text/csv,text/plain" on_choose=choose />
            <TextArea
                label=t::list_text()
                hint=Signal::derive(move || is_long().then(|| t::list_long().to_owned()))
                value=text
                tap="setup-list-text"
                rows=8
                on_input=move |typed| {
                    // What is typed counts from now on, not the file.
                    file.set(None);
                    text.set(typed);
                }
            />
        </Page>
    }
}

/// What came of it.
#[component]
fn Said(taking: RwSignal<Taking>) -> impl IntoView {
    let store = use_store();
    let take_back = move |entries: Vec<EntryId>| {
        for entry in entries.into_iter().rev() {
            store.send(Command::Undo(entry));
        }
        taking.set(Taking::TakenBack);
    };
    let said = move || {
        match taking.get() {
        Taking::Nothing => ().into_any(),
        Taking::Reading => view! { <p>{t::list_reading()}</p> }.into_any(),
        Taking::Listing { done, all } => view! { <Progress text=t::list_progress(done, all) done all /> }.into_any(),
        Taking::Wrong(problems) => {
            let line = |problem: &handover::boxlist::Problem| view! { <li>{problem.to_string()}</li> };
            view! {
                <Panel tone=Tone::Caution title=t::list_wrong()>
                    <p>{t::list_problems(problems.named.len(), problems.count)}</p>
                    <ul data-tap="setup-list-problems">{problems.named.iter().map(line).collect_view()}</ul>
                </Panel>
            }
            .into_any()
        }
        Taking::Trouble(why) => view! { <Panel tone=Tone::Caution title=t::list_wrong()><p>{why}</p></Panel> }.into_any(),
        Taking::Stopped(refusal) => view! {
            <Panel tone=Tone::Caution title=t::list_wrong()>
                <p>{t::list_stopped(common::refusal(&refusal))}</p>
            </Panel>
        }
        .into_any(),
        Taking::Done { boxes, places, entries } => view! {
            <Panel title=t::list_done(boxes, places)>
                <Button label=t::list_undo() tap="setup-list-undo" kind=Kind::Quiet on_press=move || take_back(entries.clone()) />
            </Panel>
        }
        .into_any(),
        Taking::TakenBack => view! { <p>{t::list_undone()}</p> }.into_any(),
        Taking::Known { n, all, rest } => {
            let n_all = all.boxes.len();
            let go = move |list: BoxList| task::spawn(async move { list_and_say(store, list, taking).await });
            let some_left = !rest.boxes.is_empty();
            let rest = move || go(rest.clone());
            let all = move || go(all.clone());
            view! {
                <Panel tone=Tone::Caution title=t::list_known(n, n_all)>
                    <p>{t::list_known_text()}</p>
                    <div class="panel-actions">
                        {some_left.then(|| view! { <Button label=t::list_known_rest() tap="setup-list-rest" on_press=rest /> })}
                        <Button label=t::list_known_all() tap="setup-list-again" kind=Kind::Quiet on_press=all />
                    </div>
                </Panel>
            }
            .into_any()
        }
    }
    };
    view! {
        <div role="status" tabindex="-1" data-tap="setup-list-said">
            {said}
        </div>
    }
}

async fn take_in(store: Store, bytes: Vec<u8>, taking: RwSignal<Taking>) {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return taking.set(Taking::Trouble(t::list_empty().to_owned()));
    }
    taking.set(Taking::Reading);
    match heavy::read_box_list(bytes).await {
        Err(fault) => taking.set(match fault.apart() {
            Ok(problems) => Taking::Wrong(problems),
            Err(fault) => Taking::Trouble(work::fault(fault, |never| match never {})),
        }),
        Ok(all) => {
            let rest = store.state.with_untracked(|state| all.without_listed(state));
            let n = all.boxes.len() - rest.boxes.len();
            if n == 0 {
                return list_and_say(store, all, taking).await;
            }
            taking.set(Taking::Known { n, all, rest });
        }
    }
    // What came of it stands above the list, perhaps out of sight.
    document::focus("[data-tap=setup-list-said]");
}

async fn list_and_say(store: Store, list: BoxList, taking: RwSignal<Taking>) {
    match list_all(store, list, taking).await {
        Ok(done) => taking.set(done),
        Err(refusal) => taking.set(Taking::Stopped(refusal)),
    }
    // What came of it stands above the list, perhaps out of sight.
    document::focus("[data-tap=setup-list-said]");
}

/// Names the places first (little to fold anew), then lists the boxes a place at a time, painting in between.
async fn list_all(store: Store, list: BoxList, taking: RwSignal<Taking>) -> Result<Taking, Refusal> {
    let (all, mut done, mut entries) = (list.boxes.len(), 0, Vec::new());
    let mut by_place: BTreeMap<String, (Option<String>, Vec<BoxToList>)> = BTreeMap::new();
    let mut order = Vec::new();
    for listed in list.boxes {
        let (_, boxes) = by_place.entry(listed.place.clone()).or_insert_with(|| {
            order.push(listed.place);
            (listed.group, Vec::new())
        });
        boxes.push(BoxToList {
            label: listed.label,
            quarters: listed.quarters,
            listed_items: listed.items,
        });
    }
    let mut places = Vec::new();
    for name in &order {
        let group = by_place.get(name).and_then(|(group, _)| group.as_deref());
        places.push(place_named(store, name, group, &mut entries)?);
    }
    let count = order.len();
    for (name, place) in order.iter().zip(places) {
        let boxes = by_place.remove(name).map(|(_, boxes)| boxes).unwrap_or_default();
        taking.set(Taking::Listing { done, all });
        task::after_paint().await;
        done += boxes.len();
        entries.extend(store.try_send(Command::AddBoxes { place, boxes })?);
    }
    Ok(Taking::Done {
        boxes: all,
        places: count,
        entries,
    })
}

/// The place of this name in this group, made if it is not there.
fn place_named(
    store: Store,
    name: &str,
    group: Option<&str>,
    entries: &mut Vec<EntryId>,
) -> Result<PlaceKey, Refusal> {
    let stratum = match group {
        Some(group) => Some(stratum_named(store, group, entries)?),
        None => None,
    };
    let find = || {
        store.state.with_untracked(|state| {
            let fits = |key: StratumKey| stratum.is_none_or(|wanted| wanted == key);
            state
                .places
                .iter()
                .find(|(_, place)| place.name == name && fits(place.stratum))
                .map(|(key, _)| *key)
        })
    };
    if let Some(known) = find() {
        return Ok(known);
    }
    let first = store
        .state
        .with_untracked(|state| state.strata.keys().next().copied());
    let stratum = match (stratum, first) {
        (Some(stratum), _) | (None, Some(stratum)) => stratum,
        (None, None) => stratum_named(store, crate::texts::home::stratum_all(), entries)?,
    };
    entries.extend(store.try_send(Command::AddPlace {
        stratum,
        name: name.to_owned(),
    })?);
    find().ok_or(Refusal::Empty("the name"))
}

/// The group of this name, made if it is not there.
fn stratum_named(store: Store, name: &str, entries: &mut Vec<EntryId>) -> Result<StratumKey, Refusal> {
    let find = || {
        store.state.with_untracked(|state| {
            state
                .strata
                .iter()
                .find(|(_, known)| *known == name)
                .map(|(key, _)| *key)
        })
    };
    if let Some(known) = find() {
        return Ok(known);
    }
    entries.extend(store.try_send(Command::AddStratum {
        name: name.to_owned(),
    })?);
    find().ok_or(Refusal::Empty("the name"))
}
