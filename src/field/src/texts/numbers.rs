//! How numbers are written: the one place that knows the signs of each language.

use super::{Language, language};

/// What stands between thousands, and before decimals.
fn signs() -> (char, char) {
    match language() {
        Language::En => (',', '.'),
        Language::De => ('.', ','),
    }
}

/// What stands before decimals.
pub(crate) fn decimal_sign() -> char {
    signs().1
}

/// A number with as many decimals as it has.
pub(crate) fn plain(number: f64) -> String {
    // Whole ones are the most, and writing any other takes a large function that the first screen does not need.
    #[allow(clippy::cast_possible_truncation, reason = "whole and below 2^53")]
    let text = match number.trunc().to_bits() == number.to_bits() && number.abs() < 9e15 {
        true => (number as i64).to_string(),
        false => number.to_string(),
    };
    signed(&text, signs())
}

/// A number with so many decimals.
pub(crate) fn decimals(number: f64, digits: usize) -> String {
    signed(&format!("{number:.digits$}"), signs())
}

/// A part of one as a percentage that carries no more digits than it has.
pub(crate) fn percent(share: f64) -> String {
    let percent = share * 100.0;
    let digits = usize::from(percent > 0.0 && percent < 9.95);
    super::common::percent(decimals(percent, digits))
}

/// A number of items or hours, rounded to three digits, thousands apart.
pub(crate) fn count(number: f64) -> String {
    let mut step = 1.0;
    while number >= 1_000.0 * step {
        step *= 10.0;
    }
    if number > 0.0 && number < 10.0 && (number - number.round()).abs() > 0.05 {
        return decimals(number, 1);
    }
    decimals((number / step).round() * step, 0)
}

/// The other way round, without the sign that a plain minus would give nothing.
pub(crate) fn turned(number: f64) -> f64 {
    0.0 - number
}

/// Three significant digits, for the small print.
pub(crate) fn signif(number: f64) -> String {
    if number == 0.0 {
        return "0".to_owned();
    }
    let mut digits = 2usize;
    let mut size = number.abs();
    while size >= 10.0 && digits > 0 {
        size /= 10.0;
        digits -= 1;
    }
    while size < 1.0 && digits < 8 {
        size *= 10.0;
        digits += 1;
    }
    decimals(number, digits)
}

/// What Rust writes, with other signs for thousands and decimals.
fn signed(number: &str, (thousands, decimal): (char, char)) -> String {
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    let mut said = String::new();
    for (index, digit) in whole.chars().enumerate() {
        let left = whole.len() - index;
        if index > 0 && left.is_multiple_of(3) && !said.ends_with('-') {
            said.push(thousands);
        }
        said.push(digit);
    }
    if !part.is_empty() {
        said.push(decimal);
        said.push_str(part);
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_carry_no_more_digits_than_they_have() {
        let said: Vec<String> = [0.0, 3.4, 12.0, 999.6, 1_234.0, 12_345.0, 1_234_567.0]
            .map(count)
            .into();
        assert_eq!(said, ["0", "3.4", "12", "1,000", "1,230", "12,300", "1,230,000"]);
        let said: Vec<String> = [0.0, 0.004, 0.0994, 0.31, 1.0].map(percent).into();
        assert_eq!(said, ["0%", "0.4%", "9.9%", "31%", "100%"]);
        let said: Vec<String> = [0.0, -0.0, 5.0, 1_234.0, -7.0, 2.5].map(plain).into();
        assert_eq!(said, ["0", "0", "5", "1,234", "-7", "2.5"]);
        let said: Vec<String> = [123.4, 12.34, 0.01234].map(signif).into();
        assert_eq!(said, ["123", "12.3", "0.0123"]);
    }

    #[test]
    fn each_language_has_its_signs() {
        assert_eq!(signed("-1234567.89", (',', '.')), "-1,234,567.89");
        assert_eq!(signed("-1234567.89", ('.', ',')), "-1.234.567,89");
        assert_eq!(signed("-123", ('.', ',')), "-123");
    }
}
