//! A survey opened from a snapshot, with the entries that came since, is the fold of its whole log; a snapshot that is not
//! what it says is not taken.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod writing;

use proptest::prelude::*;
use proptest::sample::Index;
use survey::snapshot::{self, Folded};
use survey::{Entry, EntryId, Inserted, Log, SurveyId};

use writing::{SURVEY, of_three};

fn folded(entries: &[Entry]) -> Folded {
    let mut log = Log::new(SURVEY);
    for entry in entries {
        log.insert(entry.clone()).unwrap();
    }
    Folded::of(log)
}

fn snapshot(folded: &Folded) -> Vec<u8> {
    snapshot::take(&folded.log, &folded.state).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn with_what_came_since_it_is_the_fold_of_the_whole_log(
        entries in of_three(|_, _| ()),
        at in any::<Index>(),
        at_once in 1usize..9,
    ) {
        let (before, since) = entries.split_at(at.index(entries.len() + 1));
        let first = folded(before);
        let mut opened = Folded::from_snapshot(SURVEY, &snapshot(&first)).unwrap();
        prop_assert_eq!(&opened, &first);
        prop_assert_eq!(opened.log.to_lines(), first.log.to_lines());
        for chunk in since.chunks(at_once) {
            opened.add(chunk.iter().cloned()).unwrap();
        }
        let whole = folded(&entries);
        prop_assert_eq!(&opened, &whole);
        for serial in whole.state.boxes.keys() {
            prop_assert_eq!(opened.state.box_status(*serial), whole.state.box_status(*serial));
        }
        for (opened, whole) in opened.log.entries().zip(whole.log.entries()) {
            prop_assert_eq!(opened.content(), whole.content());
            prop_assert_eq!((opened.survey, opened.id, opened.at_ms), (whole.survey, whole.id, whole.at_ms));
        }
        // Byte for byte: state, where the boxes stand, entries.
        prop_assert!(snapshot(&opened) == snapshot(&whole));
    }

    #[test]
    fn a_spoilt_one_is_not_taken(
        entries in of_three(|_, _| ()),
        at in any::<Index>(),
        by in 1u8..,
        end in any::<Index>(),
    ) {
        let bytes = snapshot(&folded(&entries));
        let mut spoilt = bytes.clone();
        spoilt[at.index(bytes.len())] ^= by;
        prop_assert!(Folded::from_snapshot(SURVEY, &spoilt).is_none());
        prop_assert!(Folded::from_snapshot(SURVEY, &bytes[..end.index(bytes.len())]).is_none());
        prop_assert!(Folded::from_snapshot(SurveyId([9; 16]), &bytes).is_none());
        let longer = [bytes.as_slice(), &[0]].concat();
        prop_assert!(Folded::from_snapshot(SURVEY, &longer).is_none());
        prop_assert!(Folded::from_snapshot(SURVEY, &bytes).is_some());
    }

    #[test]
    fn a_twin_is_folded_anew(entries in of_three(|_, _| ()), which in any::<Index>(), later in 1u64..999) {
        let mut opened = Folded::from_snapshot(SURVEY, &snapshot(&folded(&entries))).unwrap();
        let entry = which.get(&entries);
        let twin = Entry::write(SURVEY, entry.id, entry.at_ms + later, entry.content().clone());
        opened.add([twin.clone()]).unwrap();
        let mut log = folded(&entries).log;
        prop_assert_eq!(log.insert(twin), Ok(Inserted::Twin));
        prop_assert_eq!(&opened, &Folded::of(log));
        prop_assert_eq!(snapshot::take(&opened.log, &opened.state), None, "it has no snapshot");
        let mut merged = folded(&entries[..1]);
        merged.merge(&opened.log).unwrap();
        prop_assert_eq!(&merged, &opened);
    }
}

#[test]
fn other_code_s_snapshot_is_not_taken() {
    let folded = Folded::of(Log::new(SURVEY));
    let mut bytes = snapshot(&folded);
    // Behind the sum stands the length of what names the code, then its first character: another version of the shape.
    assert_eq!(bytes[5], b'1');
    bytes[5] = b'2';
    let sum = crc32fast::hash(&bytes[4..]);
    bytes[..4].copy_from_slice(&sum.to_le_bytes());
    assert!(Folded::from_snapshot(SURVEY, &bytes).is_none());
}

#[test]
fn what_it_covers_is_told_by_writer() {
    let mut log = Log::new(SURVEY);
    let entry = |writer: u8, n| {
        let id = EntryId {
            writer: survey::WriterId([writer; 16]),
            n,
        };
        Entry::write(SURVEY, id, 1, survey::Content::Undo { of: id })
    };
    for (writer, n) in [(2, 0), (2, 1), (1, 4)] {
        log.insert(entry(writer, n)).unwrap();
    }
    let (next, n_entries) = snapshot::covers(&log);
    assert_eq!(next.into_values().collect::<Vec<_>>(), [5, 2]);
    assert_eq!(n_entries, 3);
    assert!(!snapshot::is_due(249, 0) && snapshot::is_due(250, 0));
    assert!(!snapshot::is_due(50_000, 49_001) && snapshot::is_due(50_000, 49_000));
}
