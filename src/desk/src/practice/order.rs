//! How much the order of the questions saves on the invented collection. That it loses no finding is shown over random
//! answers in the crate `tape`.

use tape::{Answer, Answers, Choice, Question, Subject};

use super::seen::CANT_TELL;
use super::truth::Collection;

/// Of all the questions there are about an item, at most 70 in 100 have to be put, answered or left out.
#[test]
fn the_order_needs_at_most_seventy_of_a_hundred_questions() {
    let collection = Collection {
        seed: 7,
        n_boxes: 412,
    };
    let all = tape::questions()
        .iter()
        .filter(|question| question.subject == Subject::Item)
        .count();
    let (mut put, mut of, mut taps, mut must) = (0, 0, 0, 0);
    for a_box in collection.boxes() {
        let visit = collection.visit(&a_box, |position| position <= 10);
        let of_box: Answers = visit
            .answers
            .iter()
            .map(|(key, answer)| ((*key).to_owned(), answer.clone()))
            .collect();
        for given in visit.items.iter().filter(|given| !given.is_empty()) {
            let item: Answers = given
                .iter()
                .map(|(key, answer)| ((*key).to_owned(), answer.clone()))
                .collect();
            put += tape::item_path_in(&of_box, &item).asked.len();
            of += all;
            let (looks, alone) = with_quick_looks(&of_box, &item);
            taps += looks;
            must += alone;
        }
    }
    assert!(of > 10_000, "{of} questions are too few to say anything");
    assert!(put * 100 <= of * 70, "{put} of {of} questions put");
    // Quick looks, taken wherever they are offered and true, save more.
    let with_looks = put - must + taps;
    assert!(
        taps < must && with_looks * 100 <= of * 60,
        "{with_looks} of {of} with quick looks"
    );
}

/// How many answers a surveyor gives who takes a quick look wherever it is offered and true, and how many questions
/// that answers.
fn with_quick_looks(of_box: &Answers, truth: &Answers) -> (usize, usize) {
    let mut given = Answers::new();
    let (mut taps, mut answered) = (0, 0);
    loop {
        let path = tape::item_path_in(of_box, &given);
        let Some(next) = path.next.filter(|_| !path.done) else {
            return (taps, answered);
        };
        let look = tape::quick_look(of_box, &given);
        // A hazard is looked for by itself, before the carrier is known.
        let offered = given.contains_key("carrier")
            && look.len() > 1
            && look.first().is_some_and(|(first, _)| first.key == next.key);
        let is_true = |(question, nothing): &(&Question, &Choice)| {
            truth.get(question.key) == Some(&Answer::many([nothing.key]))
        };
        taps += 1;
        if offered && look.iter().all(is_true) {
            answered += look.len();
            for (question, nothing) in look {
                given.insert(question.key.to_owned(), Answer::many([nothing.key]));
            }
        } else {
            answered += 1;
            let answer = truth.get(next.key).cloned();
            given.insert(
                next.key.to_owned(),
                answer.unwrap_or_else(|| Answer::one(CANT_TELL)),
            );
        }
    }
}
