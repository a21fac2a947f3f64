//! Tape geometry and time against the handbook values the project works with. The nominal lengths and times are those of
//! period catalogues and of tables of standard speeds; the rest is arithmetic from exact definitions, done apart from
//! this code.
#![allow(clippy::unwrap_used, reason = "a missing figure ends the test")]

use tape::geometry::{METRES_PER_FOOT, length_m, minutes, pack_mm, part_of_full};

fn near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, expected {want} within {tolerance}"
    );
}

fn speed(key: &str) -> f64 {
    tape::speeds()
        .iter()
        .find(|s| s.key == key)
        .unwrap()
        .centimetres()
}

fn feet_minutes(feet: f64, key: &str) -> f64 {
    minutes(feet * METRES_PER_FOOT, speed(key)).unwrap()
}

/// An inch is 2.54 cm and a foot 0.3048 m, both exactly.
#[cfg_attr(test, test)]
pub(crate) fn speeds_and_feet_are_exact() {
    near(speed("s7_5"), 19.05, 1e-9);
    near(speed("s1_875"), 4.7625, 1e-12);
    assert_eq!(format!("{:.2}", speed("s1_875")), "4.76");
    for (key, exact) in [
        ("s30", 76.2),
        ("s15", 38.1),
        ("s3_75", 9.525),
        ("s15_16", 2.381_25),
        ("s15_32", 1.190_625),
    ] {
        near(speed(key), exact, 1e-12);
    }
    near(1200.0 * METRES_PER_FOOT, 365.76, 1e-9);
}

/// Minutes of one pass: the printed table of lengths against speeds, every cell.
#[cfg_attr(test, test)]
pub(crate) fn minutes_of_one_pass() {
    let keys = ["s30", "s15", "s7_5", "s3_75", "s1_875", "s15_16"];
    let table: [(f64, [f64; 6]); 12] = [
        (150.0, [1.0, 2.0, 4.0, 8.0, 16.0, 32.0]),
        (225.0, [1.5, 3.0, 6.0, 12.0, 24.0, 48.0]),
        (300.0, [2.0, 4.0, 8.0, 16.0, 32.0, 64.0]),
        (450.0, [3.0, 6.0, 12.0, 24.0, 48.0, 96.0]),
        (600.0, [4.0, 8.0, 16.0, 32.0, 64.0, 128.0]),
        (900.0, [6.0, 12.0, 24.0, 48.0, 96.0, 192.0]),
        (1200.0, [8.0, 16.0, 32.0, 64.0, 128.0, 256.0]),
        (1800.0, [12.0, 24.0, 48.0, 96.0, 192.0, 384.0]),
        (2400.0, [16.0, 32.0, 64.0, 128.0, 256.0, 512.0]),
        (2500.0, [16.67, 33.33, 66.67, 133.33, 266.67, 533.33]),
        (3600.0, [24.0, 48.0, 96.0, 192.0, 384.0, 768.0]),
        (4800.0, [32.0, 64.0, 128.0, 256.0, 512.0, 1024.0]),
    ];
    for (feet, row) in table {
        for (key, want) in keys.iter().zip(row) {
            near(feet_minutes(feet, key), want, 0.005);
        }
    }
}

/// Wound area over thickness.
#[cfg_attr(test, test)]
pub(crate) fn length_from_the_pack() {
    near(length_m(165.0, 57.0, 52.0).unwrap(), 362.1, 0.1);
    near(length_m(165.0, 57.0, 35.0).unwrap(), 538.0, 0.1);
    near(length_m(250.0, 114.3, 50.0).unwrap(), 776.5, 0.1);
    near(
        length_m(165.0, 57.0, 52.0).unwrap() / METRES_PER_FOOT,
        1188.0,
        0.5,
    );
    near(part_of_full(120.0, 165.0, 57.0).unwrap(), 0.4651, 0.0001);
    for (mm, part) in [(80.0, 0.131), (100.0, 0.282), (120.0, 0.465), (140.0, 0.682)] {
        near(part_of_full(mm, 165.0, 57.0).unwrap(), part, 0.0005);
    }
}

/// One full-pack diameter per reel size lands near every nominal length, by the per cent worked out beforehand.
#[cfg_attr(test, test)]
pub(crate) fn nominal_lengths_within_the_stated_per_cent() {
    let microns = |class: &str| tape::classes().iter().find(|c| c.key == class).unwrap().microns[1];
    let nominal = |size: &str, class: &str| {
        let at = tape::classes().iter().position(|c| c.key == class).unwrap();
        tape::reels().iter().find(|r| r.size == size).unwrap().feet[at] * METRES_PER_FOOT
    };
    // size, class, metres by geometry, per cent from nominal; nominal metres as catalogues print them.
    let table = [
        ("r3", "standard", 47.3, 3.4),
        ("r3", "long", 70.3, 2.4),
        ("r3", "double", 94.6, 3.4),
        ("r3", "triple", 136.6, -0.4),
        ("r5", "standard", 186.9, 2.2),
        ("r5", "long", 277.7, 1.2),
        ("r5", "double", 373.8, 2.2),
        ("r5", "triple", 540.0, -1.6),
        ("r7", "standard", 362.1, -1.0),
        ("r7", "long", 538.0, -1.9),
        ("r7", "double", 724.3, -1.0),
        ("r7", "triple", 1046.2, -4.7),
        ("r10_5", "standard", 746.7, -2.0),
        ("r10_5", "long", 1109.3, 1.1),
    ];
    for (size, class, metres, per_cent) in table {
        let reel = tape::reels().iter().find(|r| r.size == size).unwrap();
        let got = length_m(reel.full_mm, reel.hub_mm, microns(class)).unwrap();
        near(got, metres, 0.051);
        near((got / nominal(size, class) - 1.0) * 100.0, per_cent, 0.06);
    }
}

/// Compact cassettes, at exactly 1⅞ in/s: what the minutes on the shell mean in metres, and the pack they make on a hub
/// of 22 mm, which must fit a shell of about 52 mm.
#[cfg_attr(test, test)]
pub(crate) fn cassettes() {
    let metres = |minutes_a_side: f64| minutes_a_side * 60.0 * speed("s1_875") / 100.0;
    for (minutes_a_side, want) in [
        (23.0, 65.7),
        (30.0, 85.7),
        (45.0, 128.59),
        (60.0, 171.45),
        (90.0, 257.2),
    ] {
        near(metres(minutes_a_side), want, 0.051);
    }
    for (minutes_a_side, microns, want) in [(30.0, 16.0, 47.2), (45.0, 12.0, 49.5), (60.0, 9.0, 49.5)] {
        near(
            pack_mm(metres(minutes_a_side), 22.0, microns).unwrap(),
            want,
            0.051,
        );
    }
    near(30.0 * 60.0 * 2.4 / 100.0, 43.2, 1e-9);
}

/// DAT runs at 8.15 mm/s, wire at 24 in/s.
#[cfg_attr(test, test)]
pub(crate) fn digital_cassette_and_wire() {
    near(minutes(60.0, 0.815).unwrap(), 122.70, 0.01);
    near(
        minutes(7200.0 * METRES_PER_FOOT, 24.0 * 2.54).unwrap(),
        60.0,
        0.01,
    );
    // The domestic loop cartridge: 80 minutes in four programmes are a loop of 20 minutes, 114.3 m.
    near(20.0 * 60.0 * speed("s3_75") / 100.0, 114.3, 0.05);
}

/// Measures that cannot be give nothing, never a number.
#[cfg_attr(test, test)]
pub(crate) fn impossible_measures() {
    assert_eq!(length_m(50.0, 57.0, 52.0), None);
    assert_eq!(length_m(165.0, 57.0, 0.0), None);
    assert_eq!(length_m(f64::NAN, 57.0, 52.0), None);
    assert_eq!(length_m(165.0, 0.0, 52.0), None);
    assert_eq!(part_of_full(120.0, 57.0, 57.0), None);
    assert_eq!(part_of_full(f64::INFINITY, 165.0, 57.0), None);
    assert_eq!(minutes(100.0, 0.0), None);
    assert_eq!(pack_mm(-1.0, 57.0, 52.0), None);
    near(part_of_full(400.0, 165.0, 57.0).unwrap(), 1.0, 0.0);
    near(part_of_full(10.0, 165.0, 57.0).unwrap(), 0.0, 0.0);
}
