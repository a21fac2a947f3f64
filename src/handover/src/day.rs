//! Dates from the clock that is handed in; there is no other clock here.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// A day of the calendar in UTC, written `2026-11-25`; years 1970 to 9999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

impl Day {
    /// The day of a clock reading, milliseconds since 1970 UTC; `None` past the year 9999.
    #[must_use]
    pub fn from_ms(ms: u64) -> Option<Self> {
        let mut days = ms / 86_400_000;
        let mut year = 1970;
        // A loop of at most 8,030 years, and nothing in it to get wrong.
        while days >= days_in_year(year) {
            days -= days_in_year(year);
            year += 1;
            if year > 9999 {
                return None;
            }
        }
        let mut month = 1;
        while days >= u64::from(days_in_month(year, month)) {
            days -= u64::from(days_in_month(year, month));
            month += 1;
        }
        let day = u8::try_from(days + 1).ok()?;
        Some(Self { year, month, day })
    }
}

/// A clock reading as ISO 8601, `2026-11-25T07:48:03Z`; `None` past the year 9999.
#[must_use]
pub fn instant(ms: u64) -> Option<String> {
    let day = Day::from_ms(ms)?;
    let seconds = ms / 1000 % 86_400;
    let (hour, minute, second) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    Some(format!("{day}T{hour:02}:{minute:02}:{second:02}Z"))
}

fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

fn days_in_year(year: u16) -> u64 {
    if is_leap(year) { 366 } else { 365 }
}

fn days_in_month(year: u16, month: u8) -> u8 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl TryFrom<String> for Day {
    type Error = NoDay;

    fn try_from(text: String) -> Result<Self, NoDay> {
        text.parse()
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_string()
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// What is no day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no day such as 2026-11-25")]
pub struct NoDay;

impl FromStr for Day {
    type Err = NoDay;

    fn from_str(text: &str) -> Result<Self, NoDay> {
        let parts: Vec<&str> = text.split('-').collect();
        let [year, month, day] = parts[..] else {
            return Err(NoDay);
        };
        let day = Self {
            year: year.parse().map_err(|_| NoDay)?,
            month: month.parse().map_err(|_| NoDay)?,
            day: day.parse().map_err(|_| NoDay)?,
        };
        let real = (1970..=9999).contains(&day.year)
            && (1..=12).contains(&day.month)
            && (1..=days_in_month(day.year, day.month)).contains(&day.day);
        // One spelling a day.
        if real && day.to_string() == text {
            Ok(day)
        } else {
            Err(NoDay)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Checked against `date -u -d @SECONDS`.
    #[test]
    fn known_instants() {
        for (seconds, text) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (1_795_592_883, "2026-11-25T07:48:03Z"),
            (4_107_542_399, "2100-02-28T23:59:59Z"),
            (4_107_542_400, "2100-03-01T00:00:00Z"),
            (253_402_300_799, "9999-12-31T23:59:59Z"),
        ] {
            assert_eq!(instant(seconds * 1000).as_deref(), Some(text));
            let day = Day::from_ms(seconds * 1000).unwrap();
            assert_eq!(text[..10].parse(), Ok(day));
        }
        assert_eq!(instant(253_402_300_800_000), None);
        assert_eq!(Day::from_ms(u64::MAX), None);
    }

    #[test]
    fn no_days() {
        for text in [
            "",
            "2026-13-01",
            "2026-02-29",
            "2026-2-01",
            "26-02-01",
            "2026-02-01 ",
            "+2026-02-01",
        ] {
            assert_eq!(text.parse::<Day>(), Err(NoDay), "{text}");
        }
    }
}
