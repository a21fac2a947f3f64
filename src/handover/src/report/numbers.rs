//! Numbers as people read them, to the figures they can carry. The tables have every digit.

/// A power of ten that numbers are rounded to: 2 is hundreds, -1 is tenths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Unit(i32);

impl Unit {
    /// Whole numbers.
    pub(super) const ONE: Self = Self(0);
    /// Tenths.
    pub(super) const TENTH: Self = Self(-1);

    /// The unit that an estimate and the ends of its range are rounded to: half the range keeps one figure, or two where
    /// it begins below 3.55 (the rule of the Particle Data Group for errors, from memory); never so coarse that one of
    /// the three would lose its first figure; never finer than `least`.
    pub(super) fn of(estimate: f64, low: Option<f64>, high: Option<f64>, least: Self) -> Self {
        let unit = match (low, high) {
            (Some(low), Some(high)) if high > low => {
                let half = (high - low) / 2.0;
                let first = exponent(half);
                if half / ten(first) < 3.55 {
                    first - 1
                } else {
                    first
                }
            }
            // Without a range there is nothing to round by: three figures.
            _ => exponent(estimate.abs()) - 2,
        };
        let ends = [Some(estimate), low, high];
        let coarsest = ends
            .into_iter()
            .flatten()
            .map(f64::abs)
            .filter(|value| *value >= ten(least.0))
            .map(exponent)
            .min();
        Self(coarsest.map_or(unit, |coarsest| unit.min(coarsest)).max(least.0))
    }

    /// The number, rounded, with thin spaces between thousands.
    pub(super) fn shown(self, number: f64) -> String {
        if self.0 < 0 {
            let places = usize::try_from(-self.0).unwrap_or(0);
            let text = format!("{number:.places$}");
            return match text.split_once('.') {
                Some((whole, part)) => format!("{}.{part}", grouped(whole)),
                None => grouped(&text),
            };
        }
        let unit = ten(self.0);
        grouped(&format!("{:.0}", (number / unit).round() * unit))
    }
}

/// The exponent of a number's first figure; 0 for what has none.
fn exponent(number: f64) -> i32 {
    if !number.is_finite() || number <= 0.0 {
        return 0;
    }
    let mut exponent = 0;
    while exponent < 300 && number >= ten(exponent + 1) {
        exponent += 1;
    }
    while exponent > -300 && number < ten(exponent) {
        exponent -= 1;
    }
    exponent
}

/// Ten to a whole power, by multiplying: the same digits everywhere.
fn ten(exponent: i32) -> f64 {
    let power = (0..exponent.abs()).fold(1.0, |power, _| power * 10.0);
    if exponent < 0 { 1.0 / power } else { power }
}

/// A whole number with thin spaces between thousands.
pub(super) fn whole(number: usize) -> String {
    grouped(&number.to_string())
}

/// A number as a planner wrote it: up to four places, no zeros at the end.
pub(super) fn as_given(number: f64) -> String {
    let text = format!("{number:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text.split_once('.') {
        Some((whole, part)) => format!("{}.{part}", grouped(whole)),
        None => grouped(text),
    }
}

/// To three figures: what a statistic of its own (degrees of freedom, a design effect) is shown with.
pub(super) fn three(number: f64) -> String {
    Unit::of(number, None, None, Unit(-3)).shown(number)
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

    fn three_of(estimate: f64, low: f64, high: f64, least: Unit) -> [String; 3] {
        let unit = Unit::of(estimate, Some(low), Some(high), least);
        [estimate, low, high].map(|number| unit.shown(number))
    }

    #[test]
    fn a_range_says_how_many_figures_are_carried() {
        assert_eq!(
            three_of(9_834.2, 9_200.0, 10_470.0, Unit::ONE),
            ["9800", "9200", "10\u{2009}500"]
        );
        assert_eq!(
            three_of(9_834.2, 9_600.0, 10_070.0, Unit::ONE),
            ["9830", "9600", "10\u{2009}070"]
        );
        // The first figure of the smallest is not lost, and nothing is finer than asked.
        assert_eq!(three_of(5.2, 1.4, 300.0, Unit::ONE), ["5", "1", "300"]);
        assert_eq!(three_of(0.4, 0.1, 2.43, Unit::TENTH), ["0.4", "0.1", "2.4"]);
        assert_eq!(three_of(12.3, 9.8, 15.2, Unit::TENTH), ["12.3", "9.8", "15.2"]);
        assert_eq!(three_of(52.0, 31.0, 71.0, Unit::TENTH), ["52", "31", "71"]);
        assert_eq!(three_of(0.0, 0.0, 2.9, Unit::TENTH), ["0.0", "0.0", "2.9"]);
    }

    #[test]
    fn without_a_range_three_figures() {
        assert_eq!(
            Unit::of(12_345.0, None, None, Unit::ONE).shown(12_345.0),
            "12\u{2009}300"
        );
        assert_eq!(three(1.2345), "1.23");
        assert_eq!(three(0.0), "0.00");
        assert_eq!(Unit::ONE.shown(f64::INFINITY), "inf");
    }

    #[test]
    fn as_people_write_them() {
        assert_eq!(whole(1_234_567), "1\u{2009}234\u{2009}567");
        assert_eq!(as_given(7.5), "7.5");
        assert_eq!(as_given(96_000.0), "96\u{2009}000");
        assert_eq!(as_given(0.0), "0");
        assert_eq!(Unit::ONE.shown(-1_234_567.0), "-1\u{2009}234\u{2009}567");
    }
}
