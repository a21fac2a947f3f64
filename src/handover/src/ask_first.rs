//! The ask-first card as a page: one item that was put aside, to send to a colleague or a professional, or to print.
//!
//! One file that needs nothing else and runs nothing. What was typed is text and stays text.

use survey::{ItemId, State, Subject};
use tape::{Answer, Card, Finding};

use crate::day::Day;
use crate::report::page::Page;
use crate::{APP, watchlist};

/// The question of an item that keeps what is asked, in the surveyor's words; a text.
pub const QUESTION: &str = "ask";
/// The question of an item that puts it aside: `yes` or `no`.
pub const ASIDE: &str = "aside";

/// The items put aside, by box and position.
#[must_use]
pub fn pile(state: &State) -> Vec<ItemId> {
    let items = state.answered_beside(ASIDE).filter_map(|subject| match subject {
        Subject::Item(item) => Some(item),
        _ => None,
    });
    items
        .filter(|item| {
            state
                .answer(Subject::Item(*item), ASIDE)
                .is_some_and(|answer| answer.has("yes"))
        })
        .collect()
}

/// What is put on an item's card.
#[must_use]
pub fn card(state: &State, item: ItemId) -> Card {
    tape::card(
        &state.answers(Subject::Box(item.serial)),
        &state.item_answers(item),
        &watchlist::of(state),
        &text(state, item, QUESTION),
    )
}

/// The card as a page of HTML, dated.
#[must_use]
pub fn html(state: &State, item: ItemId, date: Day) -> String {
    let card = card(state, item);
    let mut page = Page::begun(&format!("Tape {} of box {}", item.position, item.serial));
    if state.practice {
        page.note("Practice: this collection is invented.");
    }
    page.element("h2", "The question");
    let question = if card.question.is_empty() {
        "What is this, and what may be done with it?"
    } else {
        &card.question
    };
    page.element("p", question);
    place(&mut page, state, item, date);
    page.element("h2", "What not to do");
    if card.cautions.is_empty() {
        page.element("p", "Nothing seen so far calls for a caution of its own.");
    }
    for caution in &card.cautions {
        page.note(&format!("{}: {}", caution.title, caution.text));
    }
    seen(&mut page, state, item, &card);
    page.element("h2", "What it points to");
    if card.findings.is_empty() {
        page.element("p", "Nothing points to trouble. That is not proof of soundness.");
    }
    for finding in &card.findings {
        points(&mut page, finding);
    }
    page.element("h2", "About this page");
    page.element(
        "p",
        "What was seen was seen without playing, unwinding or treating the tape. What it points to is general \
         knowledge weighed by a program, not a professional's judgement. Photographs are not in this page: send them \
         beside it.",
    );
    page.element("p", &format!("Written on {date} by {APP}."));
    page.ended()
}

/// Where it is to be found again.
fn place(page: &mut Page, state: &State, item: ItemId, date: Day) {
    let listed = state.boxes.get(&item.serial);
    let place = listed.and_then(|listed| state.places.get(&listed.place));
    let lines = [
        ("Survey", state.title.clone()),
        ("Place", place.map(|place| place.name.clone()).unwrap_or_default()),
        ("Box", item.serial.to_string()),
        (
            "Written on the box",
            listed.map(|listed| listed.label.clone()).unwrap_or_default(),
        ),
        (
            "Number in the box",
            format!("{} from the left, then front to back", item.position),
        ),
        ("Asked on", date.to_string()),
    ];
    let rows: Vec<Vec<String>> = lines
        .into_iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(name, text)| vec![name.to_owned(), text])
        .collect();
    page.texts("Where it is", &rows);
}

fn seen(page: &mut Page, state: &State, item: ItemId, card: &Card) {
    let shared = |asked: &str| {
        let mut questions = tape::questions().iter();
        questions.any(|question| question.short == asked && state.is_shared(item, question.key))
    };
    let batch = state.batch_of(item).unwrap_or_default();
    let mut rows: Vec<Vec<String>> = card
        .seen
        .iter()
        .map(|(asked, said)| {
            let said = if shared(asked) {
                format!("{said} (shared by batch {batch})")
            } else {
                said.clone()
            };
            vec![(*asked).to_owned(), said]
        })
        .collect();
    let note = text(state, item, "note");
    if !note.is_empty() {
        rows.push(vec!["A note".to_owned(), note]);
    }
    page.texts("What was seen", &rows);
}

fn points(page: &mut Page, finding: &Finding) {
    page.element("h3", &format!("{}: {}", finding.title, finding.strength.word()));
    page.element("p", finding.meaning);
    page.list("Points to it", &finding.evidence_for);
    page.list("Speaks against it", &finding.against);
    page.list("Does not fit together", &finding.contradictions);
    page.list("Not looked at, or could not be told", &finding.not_looked);
    page.element("p", &format!("Known from: {}", finding.source));
}

fn text(state: &State, item: ItemId, question: &str) -> String {
    match state.answer(Subject::Item(item), question) {
        Some(Answer::Text(text)) => text.trim().to_owned(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;
    use survey::decide::BoxToList;
    use survey::{Author, Command, DeviceId, Log, Serial, SurveyId, WriterId, batch, decide};
    use tape::WatchList;

    use super::*;

    const ITEM: ItemId = ItemId {
        serial: Serial { tag: 0, number: 1 },
        position: 3,
    };

    /// One box with one item; every text that a person can type is `typed`.
    fn state(typed: &str) -> State {
        let author = Author {
            writer: WriterId([1; 16]),
            device: DeviceId([1; 16]),
            device_name: typed.to_owned(),
            person: typed.to_owned(),
            app: String::new(),
            looked: String::new(),
            now_ms: 1,
        };
        let mut log = Log::new(SurveyId([7; 16]));
        let mut state = State::fold(&log);
        let mut tell = |of: &mut dyn FnMut(&State) -> Command| {
            let command = of(&state);
            for entry in decide(&log, &state, &author, command).unwrap() {
                log.insert(entry).unwrap();
            }
            state = State::fold(&log);
        };
        let named = format!("a {typed}");
        tell(&mut |_| Command::Begin {
            title: named.clone(),
            practice: false,
        });
        tell(&mut |_| Command::AddStratum { name: named.clone() });
        tell(&mut |state| Command::AddPlace {
            stratum: *state.strata.keys().next().unwrap(),
            name: named.clone(),
        });
        tell(&mut |state| Command::AddBoxes {
            place: *state.places.keys().next().unwrap(),
            boxes: vec![BoxToList {
                label: typed.to_owned(),
                ..BoxToList::default()
            }],
        });
        let stock = tape::Stock {
            name: named.clone(),
            behaviours: vec!["sticky_binder".to_owned()],
            note: typed.to_owned(),
            source: typed.to_owned(),
        };
        let watch = watchlist::answer(&WatchList { stocks: vec![stock] });
        let about = |subject, question: &str, value| Command::Answer {
            subject,
            question: question.to_owned(),
            value,
        };
        tell(&mut |_| about(Subject::Survey, watchlist::QUESTION, watch.clone()));
        tell(&mut |_| {
            about(
                Subject::Survey,
                &batch::key(&named, "machine"),
                Answer::Text(typed.to_owned()),
            )
        });
        for (question, value) in [
            ("carrier", Answer::one("reel_quarter")),
            ("light", Answer::one("glows")),
            ("free_end", Answer::one("clings")),
            ("label", Answer::many(["stock", "machine", typed])),
            ("stock", Answer::Text(named.clone())),
            ("stock_where", Answer::one("on_reel")),
            ("damage", Answer::many([typed])),
            (batch::QUESTION, Answer::Text(named.clone())),
            (QUESTION, Answer::Text(typed.to_owned())),
            ("note", Answer::Text(typed.to_owned())),
            (ASIDE, Answer::one("yes")),
        ] {
            tell(&mut |_| about(Subject::Item(ITEM), question, value.clone()));
        }
        state
    }

    fn page(typed: &str) -> String {
        html(&state(typed), ITEM, Day::from_ms(1_780_300_800_000).unwrap())
    }

    /// The tags of a page, without what stands in them.
    fn tags(page: &str) -> BTreeSet<String> {
        let after_head = page.split("</style>").nth(1).unwrap();
        after_head
            .split('<')
            .skip(1)
            .map(|part| part.split(['>', ' ', '\n']).next().unwrap_or_default().to_owned())
            .collect()
    }

    #[test]
    fn says_what_was_asked_seen_and_found() {
        let page = page("Weir Shop grey");
        for part in [
            "<h1>Tape 3 of box 0001-",
            "<p>Weir Shop grey</p>",
            "It glows",
            "On your watch-list: a Weir Shop grey (written on it; Weir Shop grey).",
            "Weir Shop grey (shared by batch a Weir Shop grey)",
            "No heat",
            "2026-06-01",
        ] {
            assert!(page.contains(part), "{part:?} is missing in\n{page}");
        }
        assert_eq!(pile(&state("x")), [ITEM]);
    }

    #[test]
    fn the_page_loads_nothing_and_runs_nothing() {
        let page = page("x");
        assert!(page.contains("default-src 'none'"));
        for part in [
            "<script",
            "<img",
            "<link",
            "<iframe",
            "http:",
            "https:",
            "javascript:",
            " on",
            "src=",
            "href=",
        ] {
            let body = page.split("</style>").nth(1).unwrap();
            assert!(
                !body
                    .split('<')
                    .skip(1)
                    .any(|tag| tag.split('>').next().unwrap_or_default().contains(part)),
                "{part}"
            );
        }
        assert!(!page.contains("<script"));
    }

    #[test]
    fn hostile_texts_stay_texts() {
        let plain = tags(&page("plain"));
        for typed in [
            "<script>alert(1)</script>",
            "\"><img src=x onerror=alert(1)>",
            "</title></style><iframe src=//x>",
            "<!--",
            "]]><svg/onload=alert(1)>",
            "&lt;b&gt;",
            "</body></html>",
            "\u{202e}<b>\u{0}",
        ] {
            let page = state_page_of_kept(typed);
            assert_eq!(tags(&page), plain, "{typed}");
        }
        assert!(page("&lt;b&gt;").contains("&amp;lt;b&amp;gt;"));
    }

    /// Names with control characters are refused where they are typed; elsewhere they are texts.
    fn state_page_of_kept(typed: &str) -> String {
        page(&typed.replace(char::is_control, " "))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_text_becomes_a_tag(typed in "[<>&\"'/a-z! =-]{0,24}") {
            prop_assert_eq!(tags(&page(&typed)), tags(&page("plain")));
        }
    }
}
