//! What a device says it has is enough for the other to fill the gap, also after a backup was restored.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::{SURVEY, entry, writer};
use proptest::prelude::*;
use survey::Log;
use transfer::Known;
use transfer::message::{Message, MessageError};

/// Logs of three writers: each has some of the first 200 entries, and perhaps other ones after a restored backup.
fn log() -> impl Strategy<Value = Log> {
    let of_one = (
        0_u64..200,
        0_u64..200,
        proptest::option::of(0_u64..200),
        any::<bool>(),
    );
    proptest::collection::vec(of_one, 3).prop_map(|writers| {
        let mut log = Log::new(SURVEY);
        for (number, (from, upto, restored, is_whole)) in (0..).zip(writers) {
            let from = if is_whole { 0 } else { from };
            for n in from..upto {
                let choice = if restored.is_some_and(|at| n >= at) {
                    "again"
                } else {
                    "first"
                };
                log.insert(entry(writer(number), n, n, "wind", choice, (1, 1)))
                    .unwrap();
            }
        }
        log
    })
}

proptest! {
    #[test]
    fn after_one_has_said_what_it_has_it_gets_all_that_it_lacks(one in log(), other in log()) {
        let bytes = Message::Known(Known::of(&one)).to_bytes();
        let Ok(Message::Known(known)) = Message::from_bytes(&bytes) else { panic!("unreadable") };
        let sent = Message::Entries(known.lacking(&other)).to_bytes();
        let mut union = one.clone();
        union.merge(&other).unwrap();
        let mut filled = one;
        // A log without entries is no message: there is nothing to show.
        match Message::from_bytes(&sent) {
            Ok(Message::Entries(sent)) => filled.merge(&sent).unwrap(),
            Err(_) => prop_assert_eq!(known.lacking(&other).entries().len(), 0),
            Ok(Message::Known(_)) => prop_assert!(false),
        }
        prop_assert_eq!(filled.to_lines(), union.to_lines());
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        drop(Message::from_bytes(&bytes));
        for kind in [b'E', b'K'] {
            drop(Message::from_bytes(&[&[kind], &bytes[..]].concat()));
        }
    }
}

#[test]
fn a_bomb_is_refused_and_a_later_kind_told() {
    let mut bomb = vec![b'E'];
    bomb.extend(miniz_oxide::deflate::compress_to_vec(
        &vec![b'\n'; (32 << 20) + 1],
        6,
    ));
    assert!(bomb.len() < 100_000);
    assert_eq!(Message::from_bytes(&bomb), Err(MessageError::TooLarge));
    assert_eq!(Message::from_bytes(b"Z"), Err(MessageError::Newer));
    assert_eq!(Message::from_bytes(b""), Err(MessageError::Damaged));
}
