//! Numbers as people read them. The tables have every digit.

/// A number of things, whole, with thin spaces between thousands.
pub(super) fn count(number: f64) -> String {
    grouped(&format!("{number:.0}"))
}

/// Hours: whole from 10, else to a tenth.
pub(super) fn hours(number: f64) -> String {
    if number.abs() < 10.0 {
        format!("{number:.1} hours")
    } else {
        format!("{} hours", count(number))
    }
}

/// A share as a percentage to a tenth.
pub(super) fn percent(share: f64) -> String {
    format!("{:.1}%", share * 100.0)
}

/// `1 box`, `412 boxes`.
pub(super) fn plural(n: usize, one: &str, many: &str) -> String {
    format!("{} {}", grouped(&n.to_string()), if n == 1 { one } else { many })
}

fn grouped(digits: &str) -> String {
    let plain = digits.strip_prefix('-').unwrap_or(digits);
    // "inf" and "NaN" are not grouped, and four digits are read without help.
    if plain.len() < 5 || !plain.bytes().all(|b| b.is_ascii_digit()) {
        return digits.to_owned();
    }
    let mut out = String::from(if plain.len() == digits.len() { "" } else { "-" });
    for (index, digit) in plain.chars().enumerate() {
        if index > 0 && (plain.len() - index).is_multiple_of(3) {
            out.push('\u{2009}');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_people_read_them() {
        assert_eq!(count(9_999.4), "9999");
        assert_eq!(count(-1_234_567.0), "-1\u{2009}234\u{2009}567");
        assert_eq!(count(f64::INFINITY), "inf");
        assert_eq!(percent(0.1234), "12.3%");
        assert_eq!(hours(9.96), "10.0 hours");
        assert_eq!(hours(12_345.6), "12\u{2009}346 hours");
        assert_eq!(plural(1, "box", "boxes"), "1 box");
    }
}
