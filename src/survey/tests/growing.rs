//! A state that takes up entries as they come is the fold of the whole log, whatever comes and in whatever order.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod writing;

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use survey::pace::minutes_a_box;
use survey::{EntryId, Kind, Log, Serial, State, Subject};

use writing::{SURVEY, act, drawn, of_three};

fn is_the_fold(state: &State, log: &Log) {
    let folded = State::fold(log);
    assert_eq!(*state, folded);
    // Entries of which nothing was read before give the same state as those that were written here.
    if let Ok(unread) = Log::from_lines(&log.to_lines()) {
        assert_eq!(State::fold(&unread), folded);
    }
    what_is_kept_beside_is_what_a_walk_finds(state);
    assert!(minutes_a_box(state).eq(minutes_a_box(&folded)));
    for serial in folded.boxes.keys() {
        assert_eq!(state.box_status(*serial), folded.box_status(*serial));
    }
    for number in folded.rounds.keys() {
        assert_eq!(state.round_progress(*number), folded.round_progress(*number));
    }
}

/// Kinds, remarks and what differs, counted by a walk over all answers.
fn what_is_kept_beside_is_what_a_walk_finds(state: &State) {
    let (mut kinds, mut noted, mut differing) = (BTreeMap::<Kind, usize>::new(), Vec::new(), 0);
    for subject in state.subjects() {
        let answers = state.answers(subject);
        let told = |key: &str| Some((*answers.get(key)?.keys().first()?).to_owned());
        if let (Subject::Item(_), Some(carrier), Some(size)) = (subject, told("carrier"), told("size"))
            && !["cant_tell", "photographed", "not_said"]
                .iter()
                .any(|none| [&carrier, &size].iter().any(|key| key == none))
        {
            *kinds.entry((carrier, size)).or_default() += 1;
        }
        if answers.contains_key("note") {
            noted.push(subject);
        }
        for question in answers.keys() {
            let heads = state.heads(subject, question);
            differing += usize::from(heads.iter().any(|head| head.value != heads[0].value));
        }
    }
    assert!(state.kinds().eq(kinds.iter().map(|(kind, n)| (kind, *n))));
    assert!(state.answered_beside("note").eq(noted));
    assert_eq!(state.disagreements().count(), differing);
    let mut by_box = BTreeMap::<Kind, usize>::new();
    // Of all that is answered about: an item may arrive before the entry that lists its box.
    let boxes: BTreeSet<Serial> = state
        .subjects()
        .filter_map(|subject| match subject {
            Subject::Item(item) => Some(item.serial),
            _ => None,
        })
        .collect();
    for (kind, n) in boxes.iter().flat_map(|serial| state.kinds_in(*serial)) {
        *by_box.entry(kind).or_default() += n;
    }
    assert_eq!(by_box, kinds);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn as_it_is_written(acts in proptest::collection::vec((any::<u8>(), 0usize..60), 1..50)) {
        let mut device = drawn(is_the_fold);
        for (what, which) in acts {
            act(&mut device, what, which);
        }
    }

    #[test]
    fn as_it_comes_from_others(entries in of_three(is_the_fold), at_once in 1usize..4) {
        let (mut log, mut state) = (Log::new(SURVEY), State::empty(SURVEY));
        for chunk in entries.chunks(at_once) {
            let ids: Vec<EntryId> = chunk.iter().map(|entry| entry.id).collect();
            for entry in chunk {
                log.insert(entry.clone()).unwrap();
            }
            state.take_up(&log, &ids);
            is_the_fold(&state, &log);
        }
    }
}

#[test]
fn a_survey_without_an_entry_is_the_fold_of_none() {
    assert_eq!(State::empty(SURVEY), State::fold(&Log::new(SURVEY)));
}
