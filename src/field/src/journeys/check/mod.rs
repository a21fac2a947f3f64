//! Check: the round, its boxes, their tapes. One question a screen; where a person is stands in the address, and what
//! comes next follows from the answers alone, so a reload comes back to the same question.

mod answer_text;
mod ask;
mod box_check;
mod cautions;
mod item_check;
mod last_answer;
mod round;
mod sheet;

pub use answer_text::answer_text;
use leptos::prelude::*;
use survey::{ItemId, Serial, Subject, SurveyId};

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
            ["item", serial, position, ..] => match (serial.parse(), position.parse()) {
                (Ok(serial), Ok(position)) => Self::Item(ItemId { serial, position }, question(3)),
                _ => Self::Round(None),
            },
            _ => Self::Round(None),
        }
    }
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
    move || {
        if !is_drawn.get() {
            return view! { <NotDrawn /> }.into_any();
        }
        match spot.get() {
            Spot::Round(number) => view! { <round::Round number /> }.into_any(),
            Spot::Box(serial, question) => view! { <box_check::BoxCheck serial question /> }.into_any(),
            Spot::Item(item, question) => view! { <item_check::ItemCheck item question /> }.into_any(),
        }
    }
}

#[component]
fn NotDrawn() -> impl IntoView {
    let store = use_store();
    let sample = move || Route::to(store.state.get().survey, Journey::Sample, &[]).href();
    view! {
        <Page
            title=text::NOT_DRAWN_TITLE.to_owned()
            here=common::journey(Journey::Check).to_owned()
            lead=text::NOT_DRAWN.to_owned()
            action=move || {
                view! {
                    <Link
                        label=text::TO_SAMPLE.to_owned()
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
            Route::Home | Route::Device => Spot::Round(None),
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
        assert_eq!(
            Spot::read(&["box".to_owned(), "nonsense".to_owned()]),
            Spot::Round(None)
        );
    }
}
