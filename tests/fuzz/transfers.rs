//! What comes from other devices beside the file: sealed files, frames of codes, pictures of codes, parts and listings.

use std::collections::BTreeSet;

use handover::sealed::{self, Fresh};
use survey::Log;
use transfer::code::{self, Grain};
use transfer::{Known, Message, Reader, Stream, Taken, folder, listing};

use crate::targets::{Kind, Target};

/// Work factors of the passphrase that a test has time for.
const MOST_WORK: u8 = 2;

pub(crate) fn all(log: &[u8]) -> Vec<Target> {
    let log = Log::from_lines(log).unwrap();
    vec![
        sealed_files(),
        messages(&log),
        frames(&log),
        pictures(&log),
        parts(&log),
        listings(&log),
    ]
}

/// Any changed byte of a sealed file is refused: the header has a mac, each chunk a tag.
fn sealed_files() -> Target {
    let fresh = Fresh {
        key: [1; 16],
        salt: [2; 16],
        nonce: [3; 16],
    };
    let inside = vec![7; 500];
    let whole = sealed::seal_with(&inside, "seven words", &fresh, MOST_WORK).unwrap();
    Target {
        name: "sealed file",
        kind: Kind::Container,
        seeds: vec![whole.clone()],
        feed: Box::new(move |bytes| {
            let opened = sealed::unseal(bytes, "seven words", MOST_WORK);
            assert!(opened.is_err() || bytes == whole, "a changed file was opened");
            opened.is_ok()
        }),
        cases: 2_000,
        long: 200_000,
        patience: 1,
    }
}

/// What is understood is written and understood the same.
fn messages(log: &Log) -> Target {
    let seeds = [Message::Entries(log.clone()), Message::Known(Known::of(log))];
    Target {
        name: "message between phones",
        kind: Kind::Container,
        seeds: seeds.iter().map(Message::to_bytes).collect(),
        feed: Box::new(|bytes| {
            let Ok(message) = Message::from_bytes(bytes) else {
                return false;
            };
            assert_eq!(Message::from_bytes(&message.to_bytes()), Ok(message));
            true
        }),
        cases: 300,
        long: 100_000,
        patience: 1,
    }
}

/// A spoilt frame among good ones: the whole is right, or not there yet, or refused.
fn frames(log: &Log) -> Target {
    let stream = Stream::new(Message::Entries(log.clone()).to_bytes(), Grain::Fine.block()).unwrap();
    let whole = Message::Entries(log.clone()).to_bytes();
    let n_blocks = u32::try_from(stream.n_blocks()).unwrap();
    let numbers = [0, n_blocks - 1, n_blocks, u32::MAX];
    Target {
        name: "frame of a code",
        kind: Kind::Container,
        seeds: numbers.iter().map(|number| stream.frame(*number)).collect(),
        feed: Box::new(move |bytes| {
            let mut reader = Reader::default();
            let taken = reader.take(bytes);
            for number in 0..n_blocks {
                if let Taken::Whole(found) = reader.take(&stream.frame(number)) {
                    assert_eq!(found, whole, "a wrong whole was taken");
                }
            }
            matches!(taken, Taken::Part { .. })
        }),
        cases: 500,
        long: 100_000,
        patience: 1,
    }
}

/// A picture of a code, two pixels a square: what is found is a frame, or is none, and nothing breaks.
fn pictures(log: &Log) -> Target {
    const DOTS: usize = 2;
    let stream = Stream::new(Message::Entries(log.clone()).to_bytes(), Grain::Coarse.block()).unwrap();
    let drawn = code::draw(&stream.frame(1)).unwrap();
    let side = drawn.side * DOTS;
    let dot = |at: usize| {
        let (x, y) = (at % side / DOTS, at / side / DOTS);
        if drawn.black[y * drawn.side + x] { 20 } else { 235 }
    };
    Target {
        name: "picture of a code",
        kind: Kind::Container,
        seeds: vec![(0..side * side).map(dot).collect()],
        feed: Box::new(move |bytes| {
            let mut grey = bytes.to_vec();
            grey.resize(side * side, 128);
            let found = code::find(&grey, side, side);
            found
                .iter()
                .any(|frame| matches!(Reader::default().take(frame), Taken::Part { .. }))
        }),
        cases: 400,
        long: 10_000,
        // The library that searches can be kept at it: the app has it done in its worker and stops that after three seconds.
        patience: 10,
    }
}

/// Any changed byte of a part is refused.
fn parts(log: &Log) -> Target {
    let part = folder::to_put(log, &BTreeSet::new()).remove(0);
    let survey = log.survey();
    Target {
        name: "part of a folder",
        kind: Kind::Container,
        seeds: vec![part.bytes.clone()],
        feed: Box::new(move |bytes| {
            let read = folder::read_part(survey, &part.name, bytes);
            assert!(read.is_err() || bytes == part.bytes, "a changed part was taken");
            read.is_ok()
        }),
        cases: 1_000,
        long: 150_000,
        patience: 1,
    }
}

/// Whatever a server says is in its folder: only names that are read as they are written.
fn listings(log: &Log) -> Target {
    let mut text = "<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<D:multistatus xmlns:D=\"DAV:\">".to_owned();
    for part in folder::to_put(log, &BTreeSet::new()) {
        text.push_str(&format!(
            "<D:response><D:href>/t%20x/{}</D:href><D:propstat><D:status>HTTP/1.1 200 OK</D:status></D:propstat></D:response>",
            part.name
        ));
    }
    text.push_str("</D:multistatus>");
    Target {
        name: "listing of a folder",
        kind: Kind::Text,
        seeds: vec![text.into_bytes()],
        feed: Box::new(|bytes| {
            let Ok(listing) = listing::read(bytes) else {
                return false;
            };
            let names = listing.parts.iter().map(ToString::to_string);
            assert!(
                names
                    .into_iter()
                    .all(|name| name.parse::<folder::PartName>().is_ok())
            );
            true
        }),
        cases: 2_000,
        long: 1_300_000,
        patience: 1,
    }
}
