//! Box serials: short numbers to pencil on a slip, with a check digit.

use std::fmt;
use std::str::FromStr;

use crate::id::IdError;
use serde::{Deserialize, Serialize};

/// A box's serial, written `0007-2`, or `83-0007-3` when a later device gave it. Immutable: the draw hashes it.
///
/// The last digit checks the others by ISO/IEC 7064 MOD 11,10 (the scheme's published recursion, from memory):
/// it finds every single wrong digit and nearly every swap of neighbours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Serial {
    /// 0 for the founding device, 10 to 99 for another.
    pub tag: u8,
    /// The device's running number, from 1.
    pub number: u32,
}

impl Serial {
    /// The greatest running number a device gives out.
    pub const MAX_NUMBER: u32 = 9_999_999;

    /// The check digit, 0 to 9.
    #[must_use]
    pub fn check_digit(self) -> u8 {
        let (digits, from) = self.digits();
        check_digit(digits[from..].iter().map(|digit| u32::from(*digit)))
    }

    /// How many digits its running number is written in: at least four.
    fn width(self) -> usize {
        let width = self.number.max(1).ilog10().max(3) + 1;
        usize::try_from(width).unwrap_or(DIGITS)
    }

    /// The digits of tag and number, and from where on they count: a device's tag of two stands before the number's.
    fn digits(self) -> ([u8; DIGITS], usize) {
        let mut digits = [0; DIGITS];
        let mut left = self.number;
        for digit in digits.iter_mut().rev().take(self.width()) {
            *digit = (left % 10).to_le_bytes()[0];
            left /= 10;
        }
        let mut from = DIGITS - self.width();
        if self.tag != 0 {
            from -= 2;
            // A tag of three digits has two of them in its first place; no device gives one out.
            (digits[from], digits[from + 1]) = (self.tag / 10, self.tag % 10);
        }
        (digits, from)
    }
}

/// Ten of the greatest number there could be, and two of a tag.
const DIGITS: usize = 12;

impl fmt::Display for Serial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.tag > 99 {
            return write!(f, "{:02}-{:04}-{}", self.tag, self.number, self.check_digit());
        }
        let (digits, from) = self.digits();
        let mut text = [b'-'; DIGITS + 3];
        let mut end = 0;
        for (at, digit) in digits[from..].iter().enumerate() {
            if at == 2 && self.tag != 0 {
                end += 1;
            }
            text[end] = b'0' + digit;
            end += 1;
        }
        text[end + 1] = b'0' + check_digit(digits[from..].iter().map(|digit| u32::from(*digit)));
        // Digits and dashes are a text.
        f.write_str(std::str::from_utf8(&text[..end + 2]).unwrap_or_default())
    }
}

impl FromStr for Serial {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let wrong = || IdError::new("a box serial with its check digit, such as 0001-3", text);
        let (first, rest) = text.split_once('-').ok_or_else(wrong)?;
        let (tag, number, check) = match rest.split_once('-') {
            None => ("0", first, rest),
            Some((number, check)) if first.len() == 2 && first.as_bytes()[0] != b'0' => {
                (first, number, check)
            }
            Some(_) => return Err(wrong()),
        };
        let digits_only = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        if !(digits_only(tag) && digits_only(number) && digits_only(check)) {
            return Err(wrong());
        }
        let serial = Self {
            tag: tag.parse().map_err(|_| wrong())?,
            number: number.parse().map_err(|_| wrong())?,
        };
        if serial.number == 0 || serial.number > Self::MAX_NUMBER {
            return Err(wrong());
        }
        // One spelling a serial: the text must be what we would write.
        let tagged = if serial.tag == 0 { "" } else { tag };
        let digits = tagged.bytes().chain(number.bytes());
        let sum = check_digit(digits.map(|digit| u32::from(digit - b'0')));
        if number.len() != serial.width() || check.as_bytes() != [b'0' + sum] {
            return Err(wrong());
        }
        Ok(serial)
    }
}

/// ISO/IEC 7064 MOD 11,10 over decimal digits.
fn check_digit(digits: impl Iterator<Item = u32>) -> u8 {
    let last = |product: usize, digit: u32| NEXT[product][digit as usize];
    let product = digits.fold(10, |product, digit| usize::from(last(product, digit)));
    // The product is 1 to 10.
    ((11 - product) % 10).to_le_bytes()[0]
}

/// What a digit makes of a product, worked out once: a million boxes' serials have eight million digits.
const NEXT: [[u8; 10]; 11] = {
    let mut next = [[0; 10]; 11];
    let mut product = 0;
    while product < 11 {
        let mut digit = 0;
        while digit < 10 {
            let sum = (product + digit) % 10;
            let made = (if sum == 0 { 10 } else { sum }) * 2 % 11;
            next[product][digit] = made.to_le_bytes()[0];
            digit += 1;
        }
        product += 1;
    }
    next
};

#[cfg(test)]
mod tests {
    use super::*;

    /// 0794 with check digit 5 is the worked example of ISO/IEC 7064 MOD 11,10 (from memory).
    #[test]
    fn the_standards_example() {
        assert_eq!(check_digit([0, 7, 9, 4].into_iter()), 5);
        assert_eq!(Serial { tag: 0, number: 794 }.to_string(), "0794-5");
    }

    #[test]
    fn any_one_wrong_digit_is_found() {
        for number in [1, 9, 37, 412, 9_999, 10_000, 1_000_000] {
            for tag in [0, 10, 99] {
                let text = Serial { tag, number }.to_string();
                assert_eq!(text.parse(), Ok(Serial { tag, number }));
                for (at, old) in text.char_indices().filter(|(_, c)| c.is_ascii_digit()) {
                    for new in ('0'..='9').filter(|new| *new != old) {
                        let mut other = text.clone();
                        other.replace_range(at..=at, &new.to_string());
                        assert!(other.parse::<Serial>().is_err(), "{other} passed for {text}");
                    }
                }
            }
        }
    }

    #[test]
    fn other_spellings_are_refused() {
        for text in [
            "1-1",
            "00001-3",
            "0001",
            "0001-",
            "+001-1",
            "00-0001-3",
            "0000-1",
            "",
            "-",
            "é-1",
        ] {
            assert!(text.parse::<Serial>().is_err(), "{text}");
        }
    }
}
