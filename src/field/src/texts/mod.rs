//! Every sentence of the app. The words are in Fluent files, `public/text/<language>/<journey>.ftl`; the build makes a
//! function of each message (`check.ftl`'s `next-box` is `check::next_box()`), and the files here add what needs to
//! know the app's types. Views hold no text literals.

pub(crate) mod alike;
pub(crate) mod check;
pub(crate) mod common;
pub(crate) mod device;
pub(crate) mod handover;
pub(crate) mod hands;
pub(crate) mod home;
mod made;
pub(crate) mod numbers;
pub(crate) mod pace;
pub(crate) mod paper;
pub(crate) mod photos;
pub(crate) mod reading;
pub(crate) mod results;
pub(crate) mod sample;
pub(crate) mod setup;
pub(crate) mod shelf;
pub(crate) mod takes;

use std::sync::atomic::{AtomicUsize, Ordering};

pub use generated::Language;

/// A message that is used nowhere stops the build.
#[deny(dead_code)]
mod generated {
    include!(concat!(env!("OUT_DIR"), "/texts.rs"));
}

/// The language the app speaks, by its place in [`Language::ALL`].
static SPOKEN: AtomicUsize = AtomicUsize::new(0);

/// The language the app speaks.
pub(crate) fn language() -> Language {
    let at = SPOKEN.load(Ordering::Relaxed);
    generated::LANGUAGES
        .get(at)
        .map_or(Language::En, |(language, _)| *language)
}
