//! Two readings of the same photographs: their agreement is a figure of the file and follows from its log.
#![allow(clippy::unwrap_used, reason = "what cannot be made is a failed test")]

mod common;

use analysis::agreement::other_class;
use common::{parts, surveyed};
use survey::differ::{Look, Repeat};
use survey::photo::{Photo, Shows};
use survey::reading::{self, READ, second_key};
use survey::{Command, EntryId, ItemId, Subject, Way, WriterId};
use tape::Answer;

/// Every checked tape gets a photograph, its decade read as the 1970s or 1980s by turns, and read again, every `wrong`th
/// the other way round.
fn read_again(wrong: Option<usize>) -> common::Surveyor {
    let mut it = surveyed();
    let say = |it: &mut common::Surveyor, subject, question: &str, value, way: Option<&str>| {
        let answers = vec![(question.to_owned(), value)];
        it.ask(match way {
            Some(sha256) => Command::AnswerBy {
                subject,
                answers,
                way: Way::Photo(sha256.to_owned()),
            },
            None => Command::AnswerAll { subject, answers },
        });
    };
    let boxes: Vec<_> = it.state.sample(false);
    let items = boxes.iter().flat_map(|(drawn, _)| {
        let positions = it.state.positions(drawn.serial).into_iter();
        positions.map(|position| ItemId {
            serial: drawn.serial,
            position,
        })
    });
    let tapes: Vec<Subject> = items.map(Subject::Item).collect();
    assert!(tapes.len() >= 12, "{} tapes", tapes.len());
    say(
        &mut it,
        Subject::Survey,
        reading::SEED,
        Answer::Text("3 1".to_owned()),
        None,
    );
    say(
        &mut it,
        Subject::Survey,
        reading::PERCENT,
        Answer::Number(100.0),
        None,
    );
    for (index, subject) in tapes.into_iter().enumerate() {
        let sha256 = format!("{index:064x}");
        let photo = Photo {
            sha256: sha256.clone(),
            n_bytes: 9,
            shows: Shows::Label,
        };
        it.ask(Command::AddPhoto { subject, photo });
        let decades = ["d1970", "d1980"];
        let first = decades[index % 2];
        let differs = wrong.is_some_and(|wrong| index % wrong == 0);
        let second = decades[(index + usize::from(differs)) % 2];
        // Put off before, so that the reading is another answer than the one that was there.
        say(
            &mut it,
            subject,
            "date_decade",
            Answer::one(tape::PHOTOGRAPHED),
            None,
        );
        say(&mut it, subject, "date_decade", Answer::one(first), Some(&sha256));
        say(&mut it, subject, READ, Answer::one("yes"), Some(&sha256));
        say(
            &mut it,
            subject,
            &second_key("date_decade"),
            Answer::one(second),
            Some(&sha256),
        );
        say(
            &mut it,
            subject,
            &second_key(READ),
            Answer::one("yes"),
            Some(&sha256),
        );
    }
    it
}

#[test]
fn agreement_is_a_figure_that_follows_from_the_log() {
    let it = read_again(Some(3));
    let figures = analysis::figures::figures(&it.state);
    let decade = &figures.read_twice["date_decade"];
    let n = usize::try_from(decade.n).unwrap();
    assert!((0.4..0.95).contains(&decade.observed), "{decade:?}");
    let kappa = decade.kappa.unwrap();
    assert!(
        kappa < decade.observed && kappa > -1.0,
        "chance is taken off: {decade:?}"
    );
    assert!(decade.observed_se.is_some_and(|se| se > 0.0) && n >= 6);
    // No other figure rests on the second reading.
    let other = analysis::figures::figures(&read_again(None).state);
    assert_eq!(
        other.headline, figures.headline,
        "whatever the second reading says"
    );
    let bytes = handover::survey_file::write(&it.log, &parts()).unwrap();
    assert!(handover::verify(&bytes).holds());
}

#[test]
fn two_readings_that_never_differ_agree_wholly() {
    let it = read_again(None);
    let decade = &analysis::figures::figures(&it.state).read_twice["date_decade"];
    assert!((decade.observed - 1.0).abs() < 1e-12, "{decade:?}");
    assert!(decade.kappa.is_some_and(|kappa| (kappa - 1.0).abs() < 1e-12));
    assert!((decade.ac1 - 1.0).abs() < 1e-12 && decade.observed_se.is_some_and(|se| se < 1e-12));
}

#[test]
fn what_was_not_read_twice_leaves_the_figures_as_they_were() {
    let it = surveyed();
    let figures = analysis::figures::figures(&it.state);
    assert!(figures.read_twice.is_empty());
    let bytes = handover::survey_file::write(&it.log, &parts()).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    assert!(!text.contains("read_twice"), "the file is what it always was");
}

#[test]
fn the_report_says_what_was_photographed_and_how_two_readings_agree() {
    let it = read_again(Some(3));
    let figures = analysis::figures::figures(&it.state);
    let html = handover::report::html(&it.log, &parts(), &handover::report::Options::default());
    let shown = |id: &str| {
        let (_, rest) = html.split_once(&format!("<span data-figure=\"{id}\">")).unwrap();
        rest.split('<').next().unwrap().to_owned()
    };
    assert_eq!(shown("photos"), it.state.photos.len().to_string());
    assert_eq!(shown("photos.label"), shown("photos"));
    assert_eq!(
        shown("read_twice.date_decade.n"),
        figures.read_twice["date_decade"].n.to_string()
    );
    assert_eq!(shown("read_twice.chosen"), shown("read_twice.done"));
    assert!(html.contains("Two readings of the same photographs"));
    assert!(
        html.contains("read_twice.date_decade.kappa") && html.contains("two readers can be wrong together")
    );
    assert!(handover::report::check::check(&html, &it.log).unwrap().holds());
    // Where nothing was read twice, nothing of it is said but that it was not.
    let plain = handover::report::html(&surveyed().log, &parts(), &handover::report::Options::default());
    assert!(plain.contains("no photograph read a second time") && !plain.contains("read_twice."));
}

/// What is to be done by the other of two answers: of one item where its own differs, of all of a box where the box's does.
#[test]
fn the_other_answer_says_what_reading_decides() {
    let it = surveyed();
    assert_eq!(other_class(&it.state, &[]), None);
    let look = |value: Answer| Look {
        entry: EntryId {
            writer: WriterId([9; 16]),
            n: 0,
        },
        at_ms: 0,
        device: None,
        who: String::new(),
        value,
    };
    let twice = |subject, question, second: &Answer| Repeat {
        subject,
        question,
        first: look(it.state.answer(subject, question).unwrap().clone()),
        second: look(second.clone()),
    };
    let is_clean = |item: ItemId| {
        let about_box = it.state.answers(Subject::Box(item.serial));
        let findings = tape::findings(&about_box, &it.state.item_answers(item));
        tape::action(&findings).key != "keep_away"
    };
    let items = |serial| {
        let positions = it.state.positions(serial).into_iter();
        positions.map(move |position| ItemId { serial, position })
    };
    let boxes: Vec<_> = it
        .state
        .sample(false)
        .into_iter()
        .map(|(drawn, _)| drawn.serial)
        .collect();
    let serial = *boxes
        .iter()
        .find(|serial| items(**serial).filter(|item| is_clean(*item)).count() > 1)
        .unwrap();
    let clean: Vec<ItemId> = items(serial).filter(|item| is_clean(*item)).collect();
    let growth = Answer::Many(["growth".to_owned()].into());
    let one = twice(Subject::Item(clean[0]), "hazard", &growth);
    let made = other_class(&it.state, std::slice::from_ref(&one)).unwrap();
    assert_eq!(
        (made.n, made.changed, &made.by_question[..]),
        (1, 1, &[("hazard", 1)][..])
    );
    // The same answer twice changes nothing.
    let same = it.state.answer(Subject::Item(clean[0]), "hazard").unwrap();
    let made = other_class(&it.state, &[twice(Subject::Item(clean[0]), "hazard", same)]).unwrap();
    assert_eq!((made.n, made.changed, made.by_question.len()), (1, 0, 0));
    let of_box = twice(Subject::Box(serial), "mould", &Answer::one("seen"));
    let made = other_class(&it.state, &[one, of_box]).unwrap();
    assert_eq!((made.n, made.changed), (items(serial).count(), clean.len()));
    assert_eq!(made.by_question, [("mould", clean.len()), ("hazard", 1)]);
}

#[test]
fn the_report_has_a_repeat_check_below_its_ranking_and_no_number_of_ours() {
    let never = handover::report::html(&surveyed().log, &parts(), &handover::report::Options::default());
    assert!(never.contains("so what a repeat check would show is not known"));
    assert!(never.contains("Errors of reading are in no range"));
    let it = read_again(Some(3));
    let html = handover::report::html(&it.log, &parts(), &handover::report::Options::default());
    let made = other_class(&it.state, &[]).unwrap();
    assert!(html.contains(&format!("<span data-figure=\"repeat.class.n\">{}</span>", made.n)));
    assert!(html.contains(&format!(
        "<span data-figure=\"repeat.class.changed\">{}</span>",
        made.changed
    )));
    assert!(handover::report::check::check(&html, &it.log).unwrap().holds());
}
