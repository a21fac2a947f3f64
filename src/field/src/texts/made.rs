//! What the functions made from the Fluent files are made of.

pub(in crate::texts) use std::fmt::Display;

pub(super) use super::generated::Language;
pub(super) use super::language;
use super::numbers;

/// Something counted.
pub(crate) trait Number {
    /// It, as a number that can be counted up to 2^53.
    fn number(&self) -> f64;
}

macro_rules! counted {
    ($($kind:ty),*) => {$(
        impl Number for $kind {
            #[allow(clippy::cast_precision_loss, clippy::cast_lossless, reason = "a number that people read")]
            fn number(&self) -> f64 {
                *self as f64
            }
        }
    )*};
}
counted!(u8, u32, u64, usize, f64);

/// The text of the language the app speaks.
pub(super) fn pick(texts: &[&'static str]) -> &'static str {
    texts.get(language() as usize).copied().unwrap_or_default()
}

/// Puts what was given into a sentence.
pub(super) fn put(said: &mut String, given: &dyn Display) {
    use std::fmt::Write as _;
    // Writing to a string cannot fail.
    let _ = write!(said, "{given}");
}

/// A number as the language writes it.
pub(super) fn shown(number: f64) -> String {
    numbers::plain(number)
}

/// Whether a number is in a plural category of the language, after the rules of Unicode CLDR.
pub(super) fn is_plural(number: f64, category: &str) -> bool {
    match language() {
        // CLDR's rule for both: `i = 1 and v = 0`, which is the number 1 written without a decimal.
        Language::En | Language::De => category == "one" && is_exactly(number, 1.0),
    }
}

/// Whether a number is exactly that one.
#[allow(clippy::float_cmp, reason = "whole numbers are compared, and they are exact")]
pub(super) fn is_exactly(number: f64, wanted: f64) -> bool {
    number == wanted
}
