//! How much the order of the questions saves on the invented collection. That it loses no finding is shown over random
//! answers in the crate `tape`.

use tape::{Answers, Subject};

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
    let (mut put, mut of) = (0, 0);
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
        }
    }
    assert!(of > 10_000, "{of} questions are too few to say anything");
    assert!(put * 100 <= of * 70, "{put} of {of} questions put");
}
