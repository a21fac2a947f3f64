//! A stream gives the same bytes, or not yet: whatever was lost, came twice, or in any order.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::{Dice, a_day};
use proptest::prelude::*;
use transfer::code::Grain;
use transfer::stream::{MOST_BYTES, OVERHEAD};
use transfer::{Known, Message, Reader, Stream, Taken};

/// So many frames more than there are blocks are not enough once in 2^40 times.
const SURELY: usize = 40;

fn bytes() -> impl Strategy<Value = Vec<u8>> {
    proptest::collection::vec(any::<u8>(), 1..3_000)
}

proptest! {
    #[test]
    fn any_loss_order_and_doubling_gives_the_same_bytes_or_not_yet(
        bytes in bytes(),
        block in 16_usize..400,
        start in prop_oneof![Just(0_u32), 0..2_000_u32, Just(u32::MAX - 2_000)],
        seed: u64,
        lost in 0_usize..90,
    ) {
        let stream = Stream::new(bytes.clone(), block).unwrap();
        let (mut reader, mut dice) = (Reader::default(), Dice(seed));
        // What is on the way: in any order, some of it twice.
        let mut waiting: Vec<u32> = Vec::new();
        let (mut arrived, mut shown) = (std::collections::BTreeSet::new(), start);
        let mut last_have = 0;
        loop {
            if waiting.len() < 8 {
                if dice.below(100) >= lost {
                    waiting.push(shown);
                }
                shown += 1;
                continue;
            }
            let number = waiting.swap_remove(dice.below(8));
            if dice.below(4) == 0 {
                waiting.push(number);
            }
            arrived.insert(number);
            match reader.take(&stream.frame(number)) {
                Taken::Whole(found) => {
                    prop_assert_eq!(found, bytes);
                    prop_assert!(arrived.len() >= stream.n_blocks(), "fewer frames than there are blocks");
                    break;
                }
                Taken::Part { id, have, want } => {
                    prop_assert_eq!(id, stream.id());
                    prop_assert_eq!(want, stream.n_blocks());
                    prop_assert!(have >= last_have && have < want);
                    prop_assert!(have <= arrived.len());
                    last_have = have;
                }
                other => prop_assert!(false, "{other:?}"),
            }
            prop_assert!(arrived.len() < stream.n_blocks() + SURELY, "enough frames are not enough");
        }
    }

    #[test]
    fn a_spoilt_frame_is_none(bytes in bytes(), block in 16_usize..400, number: u32, at: prop::sample::Index, by in 1..=255_u8) {
        let mut frame = Stream::new(bytes, block).unwrap().frame(number);
        let at = at.index(frame.len());
        frame[at] ^= by;
        prop_assert_eq!(Reader::default().take(&frame), Taken::NoFrame);
    }

    #[test]
    fn a_cut_frame_is_none(bytes in bytes(), block in 16_usize..400, number: u32, at: prop::sample::Index) {
        let frame = Stream::new(bytes, block).unwrap().frame(number);
        prop_assert_eq!(Reader::default().take(&frame[..at.index(frame.len())]), Taken::NoFrame);
    }

    #[test]
    fn streams_mixed_are_told_apart(one in bytes(), other in bytes(), block in 16_usize..400, seed: u64) {
        prop_assume!(one != other);
        let streams = [Stream::new(one.clone(), block).unwrap(), Stream::new(other.clone(), block).unwrap()];
        let (mut reader, mut dice) = (Reader::default(), Dice(seed));
        let mut found = [None, None];
        for number in 0..u32::try_from(2 * (streams[0].n_blocks() + streams[1].n_blocks()) + 4 * SURELY).unwrap() {
            let which = dice.below(2);
            if found[which].is_some() {
                continue;
            }
            match reader.take(&streams[which].frame(number)) {
                Taken::Whole(bytes) => found[which] = Some(bytes),
                Taken::Part { id, .. } => prop_assert_eq!(id, streams[which].id()),
                other => prop_assert!(false, "{other:?}"),
            }
        }
        prop_assert_eq!(found, [Some(one), Some(other)]);
    }

    #[test]
    fn a_stream_under_anothers_name_is_refused(bytes in bytes(), block in 16_usize..400, at: prop::sample::Index, by in 1..=255_u8) {
        let stream = Stream::new(bytes.clone(), block).unwrap();
        let mut forged = bytes.clone();
        let at = at.index(forged.len());
        forged[at] ^= by;
        let forged = Stream::new(forged, block).unwrap();
        let mut reader = Reader::default();
        let mut last = Taken::NoFrame;
        for number in 0..u32::try_from(stream.n_blocks()).unwrap() {
            last = reader.take(&renamed(&forged.frame(number), &stream.frame(0)));
        }
        prop_assert_eq!(&last, &Taken::Wrong);
        // It is forgotten, and the true one comes through.
        for number in 0..u32::try_from(stream.n_blocks()).unwrap() {
            last = reader.take(&stream.frame(number));
        }
        prop_assert_eq!(last, Taken::Whole(bytes));
    }

    #[test]
    fn bytes_that_are_no_frame_do_no_harm(frame in proptest::collection::vec(any::<u8>(), 0..200)) {
        prop_assert_eq!(Reader::default().take(&frame), Taken::NoFrame);
    }
}

/// A frame with the other one's id, and a sum that fits.
fn renamed(frame: &[u8], like: &[u8]) -> Vec<u8> {
    let mut frame = frame[..frame.len() - 4].to_vec();
    frame[4..20].copy_from_slice(&like[4..20]);
    let sum = crc32fast::hash(&frame);
    frame.extend_from_slice(&sum.to_be_bytes());
    frame
}

#[test]
fn a_frame_of_a_later_version_is_told() {
    let mut frame = Stream::new(vec![1, 2, 3], 16).unwrap().frame(0);
    frame.truncate(frame.len() - 4);
    frame[3] = 2;
    let sum = crc32fast::hash(&frame);
    frame.extend_from_slice(&sum.to_be_bytes());
    assert_eq!(Reader::default().take(&frame), Taken::Newer);
}

#[test]
fn what_is_too_long_for_a_camera_is_said_and_a_forged_length_takes_no_memory() {
    assert!(Stream::new(vec![0; MOST_BYTES + 1], 800).is_err());
    assert!(Stream::new(Vec::new(), 800).is_err());
    let mut frame = Stream::new(vec![1; 32], 16).unwrap().frame(0);
    frame.truncate(frame.len() - 4);
    frame[20..24].copy_from_slice(&u32::MAX.to_be_bytes());
    let sum = crc32fast::hash(&frame);
    frame.extend_from_slice(&sum.to_be_bytes());
    assert_eq!(Reader::default().take(&frame), Taken::NoFrame);
}

/// Six codes a second, so that no square goes to black and back more than three times a second (WCAG 2.3.1).
const SHOWN_A_SECOND: f64 = 6.0;

/// A day of one helper, 1,500 entries in three sittings: how long it takes at six codes a second with some lost.
#[test]
fn a_day_of_a_helper_passes_in_less_than_a_minute() {
    let log = a_day(1_500, 3, 1);
    let raw = log.to_lines().len();
    let bytes = Message::Entries(log.clone()).to_bytes();
    println!("1,500 entries: {raw} bytes as lines, {} packed", bytes.len());
    for (grain, worst) in [(Grain::Coarse, 35.0), (Grain::Middle, 25.0), (Grain::Fine, 15.0)] {
        let stream = Stream::new(bytes.clone(), grain.block()).unwrap();
        for lost in [20, 50] {
            let (mut slowest, mut sum) = (0, 0);
            for seed in 0..50 {
                let (mut reader, mut dice) = (Reader::default(), Dice(seed));
                // The reader begins anywhere.
                let start = u32::try_from(dice.below(1_000)).unwrap();
                let shown = (start..).find(|number| {
                    dice.below(100) >= lost && matches!(reader.take(&stream.frame(*number)), Taken::Whole(_))
                });
                let shown = shown.unwrap() - start + 1;
                slowest = slowest.max(shown);
                sum += shown;
            }
            let seconds = |shown: f64| shown / SHOWN_A_SECOND;
            let (mean, slowest) = (seconds(f64::from(sum) / 50.0), seconds(f64::from(slowest)));
            println!(
                "{grain:?}: {} blocks, {lost}% lost: {mean:.1} s, the slowest of 50 {slowest:.1} s",
                stream.n_blocks()
            );
            assert!(
                slowest < if lost == 20 { worst } else { 60.0 },
                "{grain:?}, {lost}%: {slowest} s"
            );
        }
        assert_eq!(stream.frame(0).len(), grain.block() + OVERHEAD);
    }
    assert_eq!(Message::from_bytes(&bytes), Ok(Message::Entries(log)));
}

#[test]
fn whoever_has_part_of_it_is_shown_the_rest() {
    let log = a_day(1_500, 3, 1);
    let mut half = survey::Log::new(common::SURVEY);
    for entry in log.entries().filter(|entry| entry.id.n < 300) {
        half.insert(entry.clone()).unwrap();
    }
    let asked = Message::Known(Known::of(&half)).to_bytes();
    let Ok(Message::Known(known)) = Message::from_bytes(&asked) else {
        panic!("what it has cannot be read");
    };
    assert_eq!(known.n_entries(), 900);
    let rest = known.lacking(&log);
    // Up to 63 entries of each of three writers are sent again.
    assert!(rest.entries().len() >= 600 && rest.entries().len() <= 600 + 3 * 63);
    half.merge(&rest).unwrap();
    assert_eq!(half, log);
    assert!(asked.len() < 200, "{} bytes", asked.len());
}
