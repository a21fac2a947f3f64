//! What was put aside to ask about: the pile, and one tape's card to send or to print.

use handover::{Day, ask_first};
use leptos::prelude::*;
use survey::{Command, ItemId, State, Subject};
use tape::{Answer, Card};

use super::answer_text::answer_text;
use super::box_check::place_name;
use super::cautions::Cautions;
use super::item_check::here as item_here;
use super::sheet::OneFinding;
use super::{SHEET, card_route, pile_route, route_to};
use crate::capability::{clock, document, download};
use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{check as text, common};
use crate::ui::{Button, Kind, Link, Page, Panel, Section, TextField, Tone};

/// The pile.
#[component]
pub fn Pile() -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let pile = Memo::new(move |_| store.state.with(|state| ask_first::pile(state)));
    let round = move || Route::to(store.state.get().survey, Journey::Check, &[]).href();
    let rows = move || {
        let state = store.state.get();
        let rows = pile.get().into_iter().map(|item| row(&state, item));
        rows.collect_view()
    };
    let is_empty = move || pile.with(Vec::is_empty);
    view! {
        <Page
            title=text::aside().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::pile_lead().to_owned()
            action=move || {
                view! {
                    <Link
                        label=text::to_round().to_owned()
                        tap="check-to-round"
                        kind=Kind::Primary
                        href=Signal::derive(round)
                    />
                }
            }
        >
            <Show when=is_empty>
                <p>{text::pile_empty()}</p>
            </Show>
            <ul class="rows">{rows}</ul>
        </Page>
    }
}

fn row(state: &State, item: ItemId) -> impl IntoView + use<> {
    let carrier = state
        .answer(Subject::Item(item), "carrier")
        .map(|answer| answer_text("carrier", answer))
        .unwrap_or_default();
    view! {
        <li>
            <a
                class="row row-link"
                data-tap=format!("check-aside-{}-{}", item.serial, item.position)
                href=card_route(state.survey, item).href()
            >
                <span class="row-name">{format!("{}/{}", item.serial, item.position)}</span>
                <span class="row-more">{text::found_at(&place_name(state, item.serial), &carrier)}</span>
                <span class="row-status">{text::to_card()}</span>
            </a>
        </li>
    }
}

/// One tape's card.
#[component]
pub fn CardScreen(item: ItemId) -> impl IntoView {
    let store = use_store();
    document::focus_heading_after_paint();
    let subject = Subject::Item(item);
    let asked = RwSignal::new(
        match store.state.get_untracked().answer(subject, ask_first::QUESTION) {
            Some(Answer::Text(asked)) => asked.clone(),
            _ => String::new(),
        },
    );
    let keep = move || {
        let typed = asked.get_untracked().trim().to_owned();
        let said = store
            .state
            .with_untracked(|state| state.answer(subject, ask_first::QUESTION).is_some());
        if said || !typed.is_empty() {
            store.send(Command::Answer {
                subject,
                question: ask_first::QUESTION.to_owned(),
                value: Answer::Text(typed),
            });
        }
    };
    let trouble = RwSignal::new(None::<Result<String, String>>);
    let save = move || {
        keep();
        trouble.set(Some(save_page(store, item)));
    };
    let print = move || {
        keep();
        document::print();
    };
    let card = Memo::new(move |_| store.state.with(|state| ask_first::card(state, item)));
    let back = move || route_to(store.state.get().survey, subject, Some(SHEET)).href();
    let pile = move || pile_route(store.state.get().survey).href();
    let said = move || {
        trouble.get().map(|came| match came {
            Ok(name) => {
                let shown = name.clone();
                view! {
                    <Panel title=text::card_saved().to_owned() at_once=true>
                        <p data-saved=name>{shown}</p>
                    </Panel>
                }
                .into_any()
            }
            Err(why) => view! {
                <Panel tone=Tone::Caution title=text::card_not_saved().to_owned() at_once=true>
                    <p>{why}</p>
                </Panel>
            }
            .into_any(),
        })
    };
    view! {
        <Page
            title=text::card_title(item)
            here=Signal::derive(move || item_here(&store.state.get(), item))
            lead=text::card_lead().to_owned()
            action=move || {
                view! {
                    <div class="dock-row">
                        <Button
                            label=text::card_print().to_owned()
                            tap="check-card-print"
                            kind=Kind::Secondary
                            on_press=print
                        />
                        <Button label=text::card_save().to_owned() tap="check-card-save" kind=Kind::Primary on_press=save />
                    </div>
                }
            }
        >
            {said}
            <TextField
                label=text::card_question().to_owned()
                hint=text::card_question_hint().to_owned()
                value=asked
                tap="check-card-question"
                on_input=move |typed| asked.set(typed)
                on_done=Callback::new(move |_: String| keep())
            />
            {move || view! { <OnIt card=card.get() place=place_line(&store.state.get(), item) /> }}
            <p class="hint">{text::card_photos()}</p>
            <p class="links">
                <Link label=text::back_to_tape().to_owned() tap="check-card-tape" kind=Kind::Quiet href=Signal::derive(back) />
                <Link label=text::aside().to_owned() tap="check-card-pile" kind=Kind::Quiet href=Signal::derive(pile) />
            </p>
        </Page>
    }
}

/// What the page will say.
#[component]
fn OnIt(card: Card, place: String) -> impl IntoView {
    let fresh = card.cautions.iter().map(|caution| caution.key).collect();
    let seen = card.seen.into_iter().map(|(asked, said)| {
        view! {
            <li class="row">
                <span class="row-more">{asked}</span>
                <span class="row-status">{said}</span>
            </li>
        }
    });
    let findings: Vec<_> = card
        .findings
        .into_iter()
        .map(|finding| view! { <OneFinding finding /> })
        .collect();
    let nothing = findings.is_empty();
    view! {
        <p>{place}</p>
        <Cautions all=card.cautions fresh=fresh />
        <Section title=text::card_seen().to_owned()>
            <ul class="rows">{seen.collect_view()}</ul>
        </Section>
        <Section title=text::findings().to_owned()>
            {findings} {nothing.then(|| view! { <p>{text::nothing_points()}</p> })}
        </Section>
    }
}

fn place_line(state: &State, item: ItemId) -> String {
    let label = state
        .boxes
        .get(&item.serial)
        .map(|listed| listed.label.clone())
        .unwrap_or_default();
    text::found_at(&place_name(state, item.serial), &label)
}

fn save_page(store: Store, item: ItemId) -> Result<String, String> {
    let state = store.state.get_untracked();
    let date = Day::from_ms(clock::now_ms()).ok_or(text::card_not_saved())?;
    let page = ask_first::html(&state, item, date);
    let name = format!("ask-first-{}-{}.html", item.serial, item.position);
    download::save(&name, "text/html", page.as_bytes())?;
    Ok(name)
}
