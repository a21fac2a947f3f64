//! Drawing the sample.

use survey::entry::SeedSource;

use super::generated::sample as words;
pub(crate) use super::generated::sample::*;

pub(crate) fn source(source: SeedSource) -> (&'static str, &'static str) {
    match source {
        SeedSource::Dice => (source_dice(), source_dice_hint()),
        SeedSource::Witness => (source_witness(), source_witness_hint()),
        SeedSource::Device => (source_device(), source_device_hint()),
    }
}

pub(crate) fn items(n: u32) -> (String, String) {
    (words::items(n), items_hint(n))
}

pub(crate) fn roll(number: usize, seed: &str, source: &str, in_force: bool) -> String {
    if in_force {
        roll_in_force(number, seed, source)
    } else {
        roll_replaced(number, seed, source)
    }
}
