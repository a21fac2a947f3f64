//! Every sentence of the app. The words are in Fluent files, `public/text/<language>/<journey>.ftl`; the build makes a
//! function of each message (`check.ftl`'s `next-box` is `check::next_box()`), and the files here add what needs to
//! know the app's types. Views hold no text literals.

pub(crate) mod alike;
pub(crate) mod assume;
pub(crate) mod beside;
pub(crate) mod check;
pub(crate) mod common;
pub(crate) mod device;
pub(crate) mod differ;
pub(crate) mod folder;
pub(crate) mod handover;
pub(crate) mod hands;
pub(crate) mod heavy;
pub(crate) mod home;
pub(crate) mod locking;
mod made;
pub(crate) mod numbers;
pub(crate) mod pace;
pub(crate) mod paper;
pub(crate) mod papers;
pub(crate) mod photos;
pub(crate) mod reading;
pub(crate) mod results;
pub(crate) mod review;
pub(crate) mod sample;
pub(crate) mod scenarios;
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
    Language::all().nth(at).unwrap_or(Language::En)
}

/// Speaks another language from now on. What is on the screen stays as it is: the shell makes it anew.
pub(crate) fn speak(language: Language) {
    SPOKEN.store(language as usize, Ordering::Relaxed);
}

/// A text that the knowledge of tape has for ever, in the language the app speaks.
pub(crate) fn worded(english: &'static str) -> &'static str {
    tape::told_static(language().of_tape(), english)
}

/// A line that the knowledge of tape has put together, in the language the app speaks.
pub(crate) fn told(english: &str) -> String {
    tape::told(language().of_tape(), english)
}

impl Language {
    fn of_tape(self) -> tape::Language {
        match self {
            Self::En => tape::Language::English,
            Self::De => tape::Language::German,
        }
    }

    /// Every language the app has, the one it is written in first.
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        generated::LANGUAGES.iter().map(|(language, _)| *language)
    }

    /// Its tag after BCP 47, for the page and for what is remembered.
    pub(crate) fn code(self) -> &'static str {
        generated::LANGUAGES
            .get(self as usize)
            .map_or("en", |(_, code)| code)
    }

    /// The language of a tag, or of its first part: `de-AT` is German.
    pub(crate) fn of(tag: &str) -> Option<Self> {
        let main = tag.split(['-', '_']).next().unwrap_or_default();
        let called = |wanted: &str| Self::all().find(|language| language.code().eq_ignore_ascii_case(wanted));
        called(tag).or_else(|| called(main))
    }

    /// What it calls itself.
    pub(crate) fn own_name(self) -> &'static str {
        match self {
            Self::En => "English",
            Self::De => "Deutsch",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_waits_for_its_translation() {
        assert_eq!(generated::UNTRANSLATED, [""; 0]);
    }

    #[test]
    fn a_language_is_known_by_its_tag() {
        assert_eq!(Language::of("de-AT"), Some(Language::De));
        assert_eq!(Language::of("EN"), Some(Language::En));
        assert_eq!(Language::of("fr-CH"), None);
        assert_eq!(Language::De.code(), "de");
    }
}
