//! Storage and labour against the handbook values: arithmetic from bytes = rate × bits / 8 × channels × seconds, done
//! apart from this code; people's hours after IASA TC-04 §5.4.16.

use tape::Amount;
use tape::storage::{GIBIBYTE, GIGABYTE, Pcm, person_hours};

fn pcm(rate_hz: u32, bits: u16, channels: u16) -> Pcm {
    Pcm {
        rate_hz,
        bits,
        channels,
    }
}

fn near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, expected {want} within {tolerance}"
    );
}

/// Bytes of an hour, every cell of the table, mono and stereo.
#[cfg_attr(test, test)]
pub(crate) fn bytes_of_an_hour() {
    let table = [
        (44_100, 16, 317_520_000, 635_040_000),
        (48_000, 16, 345_600_000, 691_200_000),
        (48_000, 24, 518_400_000, 1_036_800_000),
        (96_000, 24, 1_036_800_000, 2_073_600_000),
        (192_000, 24, 2_073_600_000, 4_147_200_000),
    ];
    for (rate, bits, mono, stereo) in table {
        assert_eq!(pcm(rate, bits, 1).bytes_per_second() * 3600, mono);
        assert_eq!(pcm(rate, bits, 2).bytes_per_second() * 3600, stereo);
    }
    let hour = pcm(96_000, 24, 2).bytes(Amount::exactly(1.0)).likely;
    near(hour / GIGABYTE, 2.0736, 1e-4);
    near(hour / GIBIBYTE, 1.9312, 1e-4);
}

/// The longest takes under 2³² - 1 bytes; a pass of 192 minutes does not fit.
#[cfg_attr(test, test)]
pub(crate) fn longest_takes() {
    near(pcm(96_000, 24, 2).longest_take_minutes().unwrap(), 124.276, 0.001);
    near(pcm(48_000, 24, 2).longest_take_minutes().unwrap(), 248.6, 0.06);
    near(pcm(96_000, 24, 1).longest_take_minutes().unwrap(), 248.6, 0.06);
    assert_eq!(pcm(0, 24, 1).longest_take_minutes(), None);
}

/// 250 hours at 96/24 stereo in three copies.
#[cfg_attr(test, test)]
pub(crate) fn a_collection_in_three_copies() {
    let one = pcm(96_000, 24, 2).bytes(Amount::exactly(250.0)).likely;
    near(one * 3.0 / GIGABYTE, 1555.2, 0.1);
}

/// 100 content hours at twice and three times.
#[cfg_attr(test, test)]
pub(crate) fn people() {
    let hours = person_hours(Amount::exactly(100.0));
    assert_eq!((hours.low, hours.likely, hours.high), (200.0, 300.0, 300.0));
}
