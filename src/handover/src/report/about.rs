//! Who asked, why, what counts, who answers for it: the head of a report.

use survey::{Content, Subject};
use tape::Answer;

use super::facts::{Facts, days};
use super::line::{Line, said, w};
use super::page::Page;

/// The kinds of recording that a survey may count, as they are asked for when it is set up.
const SCOPE: [(&str, &str); 5] = [
    ("originals", "originals"),
    ("copies", "copies"),
    ("blanks", "blank tapes"),
    ("commercial", "commercial releases"),
    ("transferred", "tapes already transferred"),
];

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let options = &facts.options;
    let typed = |question: &str| match facts.text(question) {
        Some(text) if facts.is_open() => said(text),
        Some(_) => w("left out of this version"),
        None => w("not stated"),
    };
    let own = |text: &str| {
        if text.trim().is_empty() {
            w("not stated")
        } else {
            said(text.trim())
        }
    };
    let mut rows = vec![
        vec![w("Asked for by"), typed("for_whom")],
        vec![w("To decide"), typed("purpose")],
        vec![w("What counts"), scope(facts)],
        vec![w("Checked"), checked(facts)],
        vec![w("Answers for this report"), own(&options.author)],
        vec![w("Qualified by"), own(&options.qualifications)],
        vec![w("Version"), own(&options.version)],
        vec![
            w("Written"),
            said(facts.parts.date.to_string())
                .w(" by ")
                .said(facts.parts.app.clone()),
        ],
    ];
    if facts.is_open() {
        if let Some(name) = &facts.parts.organization {
            rows.insert(0, vec![w("Institution"), said(name.clone())]);
        }
        if let Some(name) = &facts.parts.contact {
            rows.push(vec![w("Whom to ask"), said(name.clone())]);
        }
        rows.push(vec![w("Survey"), said(facts.state.survey.to_string())]);
    }
    page.grid(
        "About this report",
        &[Line::default(), w("What was said")],
        &[],
        &rows,
    );
    own_words(page, ("h2", Some("own")), &options.own_text);
}

/// A text of the writer's own, under a heading that says so; nothing where there is none.
pub(super) fn own_words(page: &mut Page, (heading, id): (&str, Option<&str>), text: &str) {
    if text.trim().is_empty() {
        return;
    }
    let heading = id.map_or_else(|| heading.to_owned(), |id| format!("{heading} id=\"{id}\""));
    page.within(&heading, &w("From the writer"));
    page.within(
        "p class=\"small\"",
        &w("This part was written by hand. Its words and numbers do not come from the survey."),
    );
    for part in text.trim().split("\n\n") {
        page.within("p class=\"own\"", &said(part));
    }
}

fn scope(facts: &Facts<'_>) -> Line {
    let Some(Answer::Many(keys)) = facts.state.answer(Subject::Survey, "scope") else {
        return w(
            "not stated; every sound carrier in the boxes was counted, and video and other media tallied apart",
        );
    };
    let list = |is_in: bool| {
        let names = SCOPE.iter().filter(|(key, _)| keys.contains(*key) == is_in);
        names.map(|(_, name)| *name).collect::<Vec<_>>().join(", ")
    };
    let (inside, outside) = (list(true), list(false));
    let none = |text: String| {
        if text.is_empty() {
            "nothing".to_owned()
        } else {
            text
        }
    };
    w("In: ")
        .w(&none(inside))
        .w(". Out: ")
        .w(&none(outside))
        .w(". Video and other media are tallied, not checked.")
}

/// First and last day on which boxes or items were answered for, and by whom.
fn checked(facts: &Facts<'_>) -> Line {
    let mut people: Vec<&str> = Vec::new();
    for entry in facts.log.entries() {
        if let Content::Answer {
            subject: Subject::Box(_) | Subject::Item(_),
            ..
        } = entry.content()
            && let Some(person) = facts.person(entry.id)
            && !people.contains(&person)
        {
            people.push(person);
        }
    }
    let Some((first, last)) = days(facts.log) else {
        return w("nothing yet");
    };
    let mut line = said(first.to_string());
    if last > first {
        line = line.w(" to ").said(last.to_string());
    }
    line = line.w(" by the devices' clocks");
    if people.is_empty() {
        line
    } else {
        line.w("; by ").said(people.join(", "))
    }
}
