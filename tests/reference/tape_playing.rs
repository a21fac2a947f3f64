//! Playing times of single items against the handbook values: passes, content, transfer and channel hours.
#![allow(clippy::unwrap_used, reason = "a missing figure ends the test")]

use tape::{Amount, Answer, Answers, Playing, playing};

fn item(pairs: &[(&str, &str)]) -> Answers {
    pairs
        .iter()
        .map(|(q, a)| ((*q).to_owned(), Answer::one(*a)))
        .collect()
}

fn near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, expected {want} within {tolerance}"
    );
}

/// A 7-inch reel of known class, speed and tracks, measured as full, so that only the 5% of a measurement is open.
fn seven_inch(class: &str, speed: &str, tracks: &str) -> Playing {
    let mut answers = item(&[
        ("carrier", "reel_quarter"),
        ("size", "r7"),
        ("length_class", class),
        ("speed", speed),
        ("tracks", tracks),
    ]);
    answers.insert("pack_diameter".to_owned(), Answer::Number(165.0));
    playing(&answers).unwrap()
}

/// 1200 ft at 7½ in/s, full track: 32 minutes, one pass.
#[cfg_attr(test, test)]
pub(crate) fn full_track() {
    let p = seven_inch("standard", "s7_5", "full");
    near(p.content.likely * 60.0, 32.0, 0.01);
    assert_eq!(p.passes, Amount::exactly(1.0));
    near(p.channel_hours.likely * 60.0, 32.0, 0.01);
    assert!(p.shared.is_empty());
}

/// 1800 ft at 3¾ in/s, quarter-track stereo: 96 minutes a pass, two passes, 192 minutes.
#[cfg_attr(test, test)]
pub(crate) fn quarter_track_stereo() {
    let p = seven_inch("long", "s3_75", "quarter_stereo");
    near(p.pass_hours.likely * 60.0, 96.0, 0.05);
    assert_eq!(p.passes, Amount::exactly(2.0));
    near(p.content.likely * 60.0, 192.0, 0.05);
    near(p.channel_hours.likely * 60.0, 384.0, 0.05);
}

/// 1800 ft at 3¾ in/s, quarter-track mono: four passes, 384 minutes; a head for four tracks needs one run.
#[cfg_attr(test, test)]
pub(crate) fn quarter_track_mono() {
    let p = seven_inch("long", "s3_75", "quarter_mono");
    assert_eq!(p.passes, Amount::exactly(4.0));
    near(p.content.likely, 6.40, 0.001);
    near(p.content.likely * 60.0, 384.0, 0.05);
    near(p.transfer.likely, 6.40, 0.001);
    near(p.transfer.low * 60.0, 96.0 * 0.95, 0.05);
}

/// 2500 ft at 15 in/s: 33.33 minutes.
#[cfg_attr(test, test)]
pub(crate) fn large_reel() {
    let mut answers = item(&[
        ("carrier", "reel_quarter"),
        ("size", "r10_5"),
        ("length_class", "standard"),
        ("speed", "s15"),
        ("tracks", "two_stereo"),
    ]);
    answers.insert("pack_diameter".to_owned(), Answer::Number(250.0));
    let p = playing(&answers).unwrap();
    near(p.content.likely * 60.0, 33.33, 0.01);
    near(p.channel_hours.likely * 60.0, 66.67, 0.01);
}

/// A reel that looks half full holds less than half: 120 mm of 165 mm is 0.4651.
#[cfg_attr(test, test)]
pub(crate) fn part_full() {
    let mut answers = item(&[
        ("carrier", "reel_quarter"),
        ("size", "r7"),
        ("length_class", "standard"),
        ("speed", "s7_5"),
        ("tracks", "full"),
    ]);
    answers.insert("pack_diameter".to_owned(), Answer::Number(120.0));
    near(
        playing(&answers).unwrap().content.likely * 60.0,
        32.0 * 0.4651,
        0.01,
    );
}

/// A C90 holds two sides of 45 minutes; shells of the other lengths likewise.
#[cfg_attr(test, test)]
pub(crate) fn cassettes() {
    for (size, minutes) in [
        ("c46", 46.0),
        ("c60", 60.0),
        ("c90", 90.0),
        ("c120", 120.0),
        ("c180", 180.0),
    ] {
        let p = playing(&item(&[("carrier", "cassette"), ("size", size)])).unwrap();
        near(p.content.likely * 60.0, minutes, 0.01);
        assert_eq!(p.passes, Amount::exactly(2.0));
    }
    let p = playing(&item(&[("carrier", "microcassette"), ("size", "mc60")])).unwrap();
    near(p.content.likely * 60.0, 60.0, 1e-9);
    near(p.content.high * 60.0, 120.0, 1e-9);
}

/// DAT in its two modes: 120 and 240 minutes. Wire: an hour.
#[cfg_attr(test, test)]
pub(crate) fn digital_cassette_and_wire() {
    let dat = playing(&item(&[("carrier", "dat"), ("size", "d120")])).unwrap();
    near(dat.content.likely * 60.0, 120.0, 1e-9);
    near(dat.content.high * 60.0, 240.0, 1e-9);
    let wire = playing(&item(&[("carrier", "wire")])).unwrap();
    near(wire.content.likely * 60.0, 60.0, 1e-9);
}

/// What is not known is in the range, with its reason, and marked as shared with the batch: tracks a factor of four,
/// speeds a factor of four.
#[cfg_attr(test, test)]
pub(crate) fn the_unknown_widens_the_range() {
    let known = seven_inch("standard", "s7_5", "half_mono");
    let open = playing(&item(&[("carrier", "reel_quarter"), ("size", "r7")])).unwrap();
    assert!(open.content.low < known.content.low && known.content.high < open.content.high);
    near(open.passes.high / open.passes.low, 4.0, 0.0);
    assert_eq!(open.shared, ["speed", "tracks"]);
    assert_eq!(open.reasons.len(), 5, "{:?}", open.reasons);
    assert_eq!(playing(&item(&[("carrier", "other_audio")])), None);
    assert_eq!(playing(&item(&[("carrier", "cant_tell")])), None);
    assert_eq!(playing(&Answers::new()), None);
}
