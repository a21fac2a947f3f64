//! What was answered last, and taking it back.

use leptos::prelude::*;
use survey::{Content, Subject, batch, reading};
use tape::Answer;

use super::answer_text::answer_text;
use super::route_to;
use crate::store::use_store;
use crate::texts::{self, check as text, photos};
use crate::ui::UndoBar;

/// Stands for a photograph where a question would stand.
const PHOTO: &str = "photo";

/// The bar at the foot of a check screen.
#[component]
pub fn LastAnswer(
    /// Whether undoing stays on this screen; otherwise it goes back to the question.
    #[prop(optional)]
    stay: bool,
) -> impl IntoView {
    let store = use_store();
    let last = Memo::new(move |_| {
        let state = store.state.get();
        let log = store.log();
        let id = survey::decide::last_undoable(&log, &state, store.writer)?;
        match log.entry(id)?.content() {
            Content::Answer {
                subject: subject @ (Subject::Box(_) | Subject::Item(_)),
                question,
                value,
                ..
            } => Some((*subject, question.clone(), value.clone())),
            Content::Answer {
                subject: Subject::Survey,
                question,
                value,
                ..
            } if batch::read_key(question).is_some() => {
                Some((Subject::Survey, question.clone(), value.clone()))
            }
            Content::Photo { subject, photo } => {
                let said = photos::shows(photo.shows).to_owned();
                Some((*subject, PHOTO.to_owned(), Answer::Text(said)))
            }
            _ => None,
        }
    });
    let said = move || {
        last.get()
            .map(|(_, question, value)| match batch::read_key(&question) {
                Some((name, asked)) => {
                    let short = tape::question(asked).map_or(asked, |known| texts::worded(known.short));
                    let short = text::batch_title(name, text::batch_question(asked, short));
                    text::said(&short, answer_text(asked, &value))
                }
                None => {
                    let asked = reading::first_key(&question);
                    let short = tape::question(asked)
                        .map_or_else(|| text::own_question(asked), |known| texts::worded(known.short));
                    match answer_text(asked, &value).as_str() {
                        "" => text::said(short, text::nothing()),
                        said => text::said(short, said),
                    }
                }
            })
    };
    let undo = move || {
        let Some((subject, question, _)) = last.get_untracked() else {
            return;
        };
        let n_undone = store.undo_last();
        if stay || subject == Subject::Survey || question == PHOTO {
            return;
        }
        // Several at once were a quick look: back to where it was offered, the first of them that is open again.
        let known = n_undone == 1 && tape::question(&question).is_some();
        route_to(
            store.state.get_untracked().survey,
            subject,
            known.then_some(question.as_str()),
        )
        .replace();
    };
    view! { <UndoBar said=Signal::derive(said) label=text::undo().to_owned() tap="check-undo" on_undo=undo /> }
}
