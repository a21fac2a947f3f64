//! The figures behind playing times, as read from `knowledge/amounts.toml`. Triples are least, usual, most.

use crate::knowledge::{CLASSES, LAYOUTS, REELS, SHELLS, SPEEDS};

/// A tape speed.
#[derive(Debug)]
pub struct Speed {
    /// The answer's key.
    pub key: &'static str,
    /// Inches per second, exact.
    pub inches: f64,
    /// Where it is known from.
    pub source: &'static str,
}

impl Speed {
    /// Centimetres per second, exact: an inch is 2.54 cm.
    pub fn centimetres(&self) -> f64 {
        self.inches * 2.54
    }
}

/// A length class of reel tape.
#[derive(Debug)]
pub struct Class {
    /// The answer's key.
    pub key: &'static str,
    /// Thickness of the whole tape in µm: least, usual, most.
    pub microns: [f64; 3],
    /// Where it is known from.
    pub source: &'static str,
}

/// A size of reel.
#[derive(Debug)]
pub struct Reel {
    /// The answer's key.
    pub size: &'static str,
    /// Diameter of a full pack, mm.
    pub full_mm: f64,
    /// Diameter of its usual hub, mm.
    pub hub_mm: f64,
    /// Nominal feet by class, in the order of [`classes`]; nought where the class is not met.
    pub feet: [f64; 5],
    /// The class when none is written: least, usual, most tape.
    pub class: [&'static str; 3],
    /// The speed when none is written: fastest, usual, slowest.
    pub speeds: [&'static str; 3],
    /// Passes to hear all of it when no tracks are written: fewest, usual, most.
    pub passes: [f64; 3],
    /// Where it is known from.
    pub source: &'static str,
}

/// A track layout.
#[derive(Debug)]
pub struct Layout {
    /// The answer's key.
    pub key: &'static str,
    /// Passes to hear all of it.
    pub passes: f64,
    /// Channels that run at once.
    pub channels: f64,
    /// Where it is known from.
    pub source: &'static str,
}

/// A shell or spool whose time is known without geometry.
#[derive(Debug)]
pub struct Shell {
    /// The carrier's key.
    pub carrier: &'static str,
    /// The answer to `size`, or nothing for "not written".
    pub size: &'static str,
    /// Minutes of one pass: least, usual, most.
    pub minutes: [f64; 3],
    /// Passes to hear all of it.
    pub passes: f64,
    /// Channels that run at once: fewest, usual, most.
    pub channels: [f64; 3],
    /// Where it is known from.
    pub source: &'static str,
}

/// Every speed, fastest first.
pub fn speeds() -> &'static [Speed] {
    SPEEDS
}

/// Every length class, thickest first.
pub fn classes() -> &'static [Class] {
    CLASSES
}

/// Every size of reel, smallest first.
pub fn reels() -> &'static [Reel] {
    REELS
}

/// Every track layout.
pub fn layouts() -> &'static [Layout] {
    LAYOUTS
}

/// Every shell and spool.
pub fn shells() -> &'static [Shell] {
    SHELLS
}
