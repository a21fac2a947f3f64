//! Check: the round, its boxes, their tapes. One question a screen; where a person is stands in the address, and what
//! comes next follows from the answers alone, so a reload comes back to the same question.

mod alike;
mod answer_text;
mod aside;
mod ask;
mod batch;
mod box_check;
mod cautions;
mod group;
mod hands;
mod inline;
mod item_check;
mod kept;
mod keys;
mod kinds;
mod last_answer;
mod pace;
mod paper;
mod photos;
mod reading;
mod reading_again;
mod round;
mod round_more;
mod sheet;
mod shelf;
mod straight_on;
mod together;
mod typed;
mod typing;

pub use answer_text::answer_text;
pub use group::About;
use leptos::prelude::*;
use survey::{ItemId, Serial, State, Subject, SurveyId};
use tape::Question;

use crate::parts::{Later, Screen};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{check as text, common};
use crate::ui::{Kind, Link, Page};

/// Where in the journey.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Spot {
    /// A round; the current one if no number is given.
    Round(Option<u32>),
    /// A box, perhaps at a certain question or at its [`SHEET`].
    Box(Serial, Option<String>),
    /// An item of a box.
    Item(ItemId, Option<String>),
    /// A question of the batch an item is in.
    Batch(ItemId, String),
    /// The items put aside.
    Pile,
    /// The card of an item put aside.
    Card(ItemId),
    /// The shelves of the current round.
    Map,
    /// What was found and is to be set apart.
    Found,
    /// One looks, one taps.
    Hands,
    /// Sheets to print.
    Sheets,
    /// Sheets to type in: which, or one.
    Typing(Option<Serial>),
    /// What waits to be read, or one of it.
    Read(Option<Subject>),
    /// What waits to be read again by somebody else, or one of it.
    Again(Option<Subject>),
}

/// The name of the screen that lists what was answered, in the place of a question.
const SHEET: &str = "sheet";

impl Spot {
    fn read(at: &[String]) -> Self {
        let parts: Vec<&str> = at.iter().map(String::as_str).collect();
        let question = |index: usize| parts.get(index).map(|part| (*part).to_owned());
        match parts[..] {
            ["round", number] => Self::Round(number.parse().ok()),
            ["box", serial, ..] => serial
                .parse()
                .map_or(Self::Round(None), |serial| Self::Box(serial, question(2))),
            ["item", serial, position, "batch", asked] => {
                item(serial, position).map_or(Self::Round(None), |item| Self::Batch(item, asked.to_owned()))
            }
            ["item", serial, position, ..] => {
                item(serial, position).map_or(Self::Round(None), |item| Self::Item(item, question(3)))
            }
            ["aside", ..] => Self::Pile,
            ["map", ..] => Self::Map,
            ["found", ..] => Self::Found,
            ["paper", ..] => Self::Sheets,
            ["typing", ref rest @ ..] => Self::Typing(rest.first().and_then(|serial| serial.parse().ok())),
            ["hands", ..] => Self::Hands,
            ["read", ref rest @ ..] => Self::Read(subject(rest)),
            ["again", ref rest @ ..] => Self::Again(subject(rest)),
            ["card", serial, position, ..] => item(serial, position).map_or(Self::Pile, Self::Card),
            _ => Self::Round(None),
        }
    }
}

fn item(serial: &str, position: &str) -> Option<ItemId> {
    Some(ItemId {
        serial: serial.parse().ok()?,
        position: position.parse().ok()?,
    })
}

/// A box or an item, from the end of an address.
fn subject(at: &[&str]) -> Option<Subject> {
    match at {
        ["box", serial] => serial.parse().ok().map(Subject::Box),
        ["item", serial, position] => item(serial, position).map(Subject::Item),
        _ => None,
    }
}

/// The end of an address for a subject.
fn at_of(first: &str, subject: Subject) -> Vec<String> {
    let mut at = vec![first.to_owned()];
    match subject {
        Subject::Box(serial) => at.extend(["box".to_owned(), serial.to_string()]),
        Subject::Item(item) => {
            at.extend([
                "item".to_owned(),
                item.serial.to_string(),
                item.position.to_string(),
            ]);
        }
        Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => {}
    }
    at
}

/// The address where a subject's photographs are read.
fn read_route(survey: SurveyId, subject: Subject) -> Route {
    Route::Survey {
        survey,
        journey: Journey::Check,
        at: at_of("read", subject),
    }
}

/// The address where they are read again by somebody else.
fn again_route(survey: SurveyId, subject: Subject) -> Route {
    Route::Survey {
        survey,
        journey: Journey::Check,
        at: at_of("again", subject),
    }
}

/// The address of a question of an item's batch.
fn batch_route(survey: SurveyId, item: ItemId, question: &str) -> Route {
    let (serial, position) = (item.serial.to_string(), item.position.to_string());
    Route::to(
        survey,
        Journey::Check,
        &["item", &serial, &position, "batch", question],
    )
}

/// The address of the items put aside.
fn pile_route(survey: SurveyId) -> Route {
    Route::to(survey, Journey::Check, &["aside"])
}

/// The address of an item's card.
fn card_route(survey: SurveyId, item: ItemId) -> Route {
    let (serial, position) = (item.serial.to_string(), item.position.to_string());
    Route::to(survey, Journey::Check, &["card", &serial, &position])
}

/// The address of a subject, at a question if one is named.
fn route_to(survey: SurveyId, subject: Subject, question: Option<&str>) -> Route {
    let mut at: Vec<String> = match subject {
        Subject::Box(serial) => vec!["box".to_owned(), serial.to_string()],
        Subject::Item(item) => vec![
            "item".to_owned(),
            item.serial.to_string(),
            item.position.to_string(),
        ],
        Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => Vec::new(),
    };
    at.extend(question.map(str::to_owned));
    Route::Survey {
        survey,
        journey: Journey::Check,
        at,
    }
}

/// The screens of the journey.
#[component]
pub fn View(
    /// `[]` or `["round", n]`; `["box", serial]`; `["item", serial, position]`; a question's key may follow.
    #[prop(into)]
    at: Signal<Vec<String>>,
) -> impl IntoView {
    let store = use_store();
    let is_drawn = Memo::new(move |_| store.state.get().draw.is_some());
    let spot = Memo::new(move |_| Spot::read(&at.get()));
    let kept = kept::KeptAnswers::begin();
    provide_context(kept);
    kept.make_when_idle();
    move || {
        if !is_drawn.get() {
            return view! { <NotDrawn /> }.into_any();
        }
        match spot.get() {
            Spot::Round(number) => view! { <round::Round number /> }.into_any(),
            Spot::Box(serial, question) => view! { <box_check::BoxCheck serial question /> }.into_any(),
            Spot::Item(item, question) => view! { <item_check::ItemCheck item question /> }.into_any(),
            Spot::Batch(item, question) => {
                match batch_question(&store.state.get_untracked(), item, &question) {
                    Some((name, question)) => {
                        view! { <batch::BatchQuestion item name question /> }.into_any()
                    }
                    None => {
                        view! { <item_check::ItemCheck item question=Some(SHEET.to_owned()) /> }.into_any()
                    }
                }
            }
            Spot::Pile
            | Spot::Card(_)
            | Spot::Map
            | Spot::Found
            | Spot::Sheets
            | Spot::Typing(_)
            | Spot::Hands
            | Spot::Read(_)
            | Spot::Again(_) => view! { <Later screen=Screen::Rarer(at) /> }.into_any(),
        }
    }
}

/// The screens that no box needs: a part of their own, fetched later.
#[component]
pub fn Rarer(
    /// As [`View`] has it.
    at: Signal<Vec<String>>,
) -> impl IntoView {
    let spot = Memo::new(move |_| Spot::read(&at.get()));
    move || match spot.get() {
        Spot::Pile => view! { <aside::Pile /> }.into_any(),
        Spot::Card(item) => view! { <aside::CardScreen item /> }.into_any(),
        Spot::Map => view! { <shelf::ShelfMap /> }.into_any(),
        Spot::Found => view! { <shelf::FoundToday /> }.into_any(),
        Spot::Sheets => view! { <paper::Sheets /> }.into_any(),
        Spot::Typing(None) => view! { <typing::WhichSheet /> }.into_any(),
        Spot::Typing(Some(serial)) => view! { <typing::Typing serial /> }.into_any(),
        Spot::Hands => view! { <hands::Hands /> }.into_any(),
        Spot::Read(None) => view! { <reading::ToRead /> }.into_any(),
        Spot::Read(Some(subject)) => view! { <reading::Read subject /> }.into_any(),
        Spot::Again(None) => view! { <reading_again::ToReadAgain /> }.into_any(),
        Spot::Again(Some(subject)) => view! { <reading_again::ReadAgain subject /> }.into_any(),
        // The first part shows these; the address has moved on to one before this screen has gone.
        Spot::Round(_) | Spot::Box(..) | Spot::Item(..) | Spot::Batch(..) => ().into_any(),
    }
}

/// The batch an item is in and the question that is asked of it, if there are such.
fn batch_question(state: &State, item: ItemId, key: &str) -> Option<(String, &'static Question)> {
    let own = state.answers(Subject::Item(item));
    let question = tape::question(key).filter(|question| tape::batch_asks(question, &own))?;
    Some((state.batch_of(item)?.to_owned(), question))
}

#[component]
fn NotDrawn() -> impl IntoView {
    let store = use_store();
    let sample = move || Route::to(store.state.get().survey, Journey::Sample, &[]).href();
    view! {
        <Page
            title=text::not_drawn_title().to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::not_drawn().to_owned()
            action=move || {
                view! {
                    <Link
                        label=text::to_sample().to_owned()
                        tap="check-to-sample"
                        kind=Kind::Primary
                        href=Signal::derive(sample)
                    />
                }
            }
        >
            ""
        </Page>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_survives_being_written_and_read() {
        let survey = SurveyId([1; 16]);
        let serial = Serial { tag: 0, number: 7 };
        let item = ItemId { serial, position: 3 };
        let at = |subject, question| match route_to(survey, subject, question) {
            Route::Survey { at, .. } => Spot::read(&at),
            Route::Home | Route::Device | Route::Camera | Route::Review => Spot::Round(None),
        };
        assert_eq!(at(Subject::Box(serial), None), Spot::Box(serial, None));
        assert_eq!(
            at(Subject::Box(serial), Some("mould")),
            Spot::Box(serial, Some("mould".to_owned()))
        );
        assert_eq!(
            at(Subject::Item(item), Some(SHEET)),
            Spot::Item(item, Some(SHEET.to_owned()))
        );
        let read = |route: Route| match route {
            Route::Survey { at, .. } => Spot::read(&at),
            Route::Home | Route::Device | Route::Camera | Route::Review => Spot::Round(None),
        };
        assert_eq!(
            read(batch_route(survey, item, "speed")),
            Spot::Batch(item, "speed".to_owned())
        );
        assert_eq!(read(card_route(survey, item)), Spot::Card(item));
        assert_eq!(read(pile_route(survey)), Spot::Pile);
        for subject in [Subject::Item(item), Subject::Box(serial)] {
            assert_eq!(read(read_route(survey, subject)), Spot::Read(Some(subject)));
            assert_eq!(read(again_route(survey, subject)), Spot::Again(Some(subject)));
        }
        assert_eq!(
            Spot::read(&["box".to_owned(), "nonsense".to_owned()]),
            Spot::Round(None)
        );
    }
}
