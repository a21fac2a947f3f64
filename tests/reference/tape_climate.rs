//! Dew points by Magnus' formula (17.62, 243.12 °C), worked out apart from this code, and the coldest store for tape after
//! IASA TC-05 §3.3.

use tape::climate::{celsius, dew_point_celsius, is_too_cold};

fn near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, expected {want} within {tolerance}"
    );
}

#[cfg_attr(test, test)]
pub(crate) fn dew_points() {
    near(dew_point_celsius(20.0, 50.0).unwrap(), 9.26, 0.01);
    for (air, humidity, want) in [(20.0, 70.0, 14.4), (25.0, 60.0, 16.7), (10.0, 50.0, 0.0)] {
        near(dew_point_celsius(air, humidity).unwrap(), want, 0.05);
    }
    near(dew_point_celsius(15.0, 100.0).unwrap(), 15.0, 1e-9);
    for (air, humidity) in [
        (20.0, 0.0),
        (20.0, 101.0),
        (f64::NAN, 50.0),
        (200.0, 50.0),
        (20.0, f64::NAN),
    ] {
        assert_eq!(dew_point_celsius(air, humidity), None);
    }
}

#[cfg_attr(test, test)]
pub(crate) fn too_cold_a_store() {
    near(celsius(46.0), 7.78, 0.01);
    assert!(is_too_cold(celsius(46.0)) && !is_too_cold(8.0));
}
