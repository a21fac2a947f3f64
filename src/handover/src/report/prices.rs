//! Whether the dates of prices can be right, and how old the oldest is, beside the date of the report.

use costing::{Kind, catalogue};

use super::facts::Facts;
use super::line::{Line, said, w};

/// A date as planners write it: a year, perhaps with a month and a day.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Date {
    year: u32,
    month: Option<u32>,
    day: Option<u32>,
}

impl Date {
    fn read(text: &str) -> Option<Self> {
        let mut parts = text.trim().split('-');
        let number = |part: &str, digits: usize| {
            let is_number = part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
            is_number.then(|| part.parse::<u32>().ok()).flatten()
        };
        let year = number(parts.next()?, 4)?;
        let month = match parts.next() {
            Some(part) => Some(number(part, 2).filter(|month| (1..=12).contains(month))?),
            None => None,
        };
        let day = match parts.next() {
            Some(part) => Some(number(part, 2).filter(|day| (1..=31).contains(day))?),
            None => None,
        };
        parts.next().is_none().then_some(Self { year, month, day })
    }

    /// Whether it lies after a whole date, as far as it says.
    fn is_after(self, report: Self) -> bool {
        let month = self.month.or(report.month);
        let day = self.day.or(report.day);
        (self.year, month, day) > (report.year, report.month, report.day)
    }

    /// Whole months from it to a whole date; of a year or a month alone, from its end.
    fn months_before(self, report: Self) -> u32 {
        let months = |date: Self| date.year * 12 + date.month.unwrap_or(12);
        let unfinished = u32::from(self.day.unwrap_or(31) > report.day.unwrap_or(31));
        months(report).saturating_sub(months(self) + unfinished)
    }
}

/// What the dates of a plan's prices are like.
struct Dates {
    n_prices: usize,
    n_after: usize,
    n_unread: usize,
    /// The oldest that does not lie after the report, as it was written, and its age in months.
    oldest: Option<(String, u32)>,
}

fn dates(facts: &Facts<'_>) -> Option<Dates> {
    let report = Date::read(&facts.parts.date.to_string())?;
    let set = &facts.plan.assumptions;
    let of_catalogue = catalogue()
        .iter()
        .filter(|entry| entry.kind == Kind::Money)
        .filter_map(|entry| set.values.get(entry.key));
    let own = set.own.iter().map(|own| &own.value);
    let all: Vec<&str> = of_catalogue.chain(own).map(|value| value.date.trim()).collect();
    let read: Vec<(Date, &str)> = all
        .iter()
        .filter_map(|text| Some((Date::read(text)?, *text)))
        .collect();
    let oldest = read
        .iter()
        .filter(|(date, _)| !date.is_after(report))
        .max_by_key(|(date, _)| date.months_before(report));
    (!all.is_empty()).then(|| Dates {
        n_prices: all.len(),
        n_after: read.iter().filter(|(date, _)| date.is_after(report)).count(),
        n_unread: all.len() - read.len(),
        oldest: oldest.map(|(date, text)| ((*text).to_owned(), date.months_before(report))),
    })
}

/// A sentence for each thing that the dates say; none without prices.
pub(super) fn lines(facts: &Facts<'_>) -> Vec<Line> {
    let Some(dates) = dates(facts) else {
        return Vec::new();
    };
    let mut lines: Vec<Line> = wrong(&dates, facts).into_iter().collect();
    if let Some((oldest, months)) = &dates.oldest {
        let months = usize::try_from(*months).unwrap_or(usize::MAX);
        lines.push(
            w("The oldest price is of ")
                .said(oldest.clone())
                .w(", ")
                .of("prices.oldest_months", months, "month", "months")
                .w(" before this report."),
        );
    }
    if dates.n_unread > 0 {
        lines.push(
            Line::default()
                .of("prices.undated", dates.n_unread, "price has", "prices have")
                .w(" no date that can be read: ask when each was true."),
        );
    }
    lines
}

/// The most important of them, for the page for those who decide.
pub(super) fn flag(facts: &Facts<'_>) -> Option<Line> {
    let mut lines = lines(facts);
    (!lines.is_empty()).then(|| lines.remove(0))
}

fn wrong(dates: &Dates, facts: &Facts<'_>) -> Option<Line> {
    if dates.n_after == 0 {
        return None;
    }
    let n = |id: &str, n: usize| Line::default().n(id, n);
    Some(
        n("prices.after", dates.n_after)
            .w(" of ")
            .add(n("prices.n", dates.n_prices))
            .w(if dates.n_prices == 1 {
                " price dates lies after the date of this report ("
            } else {
                " price dates lie after the date of this report ("
            })
            .add(said(facts.parts.date.to_string()))
            .w("): put them right first."),
    )
}

#[cfg(test)]
mod tests {
    use super::Date;

    fn date(text: &str) -> Date {
        Date::read(text).unwrap()
    }

    #[test]
    fn dates_are_read_as_far_as_they_go() {
        let report = date("2026-11-29");
        for (text, is_after, months) in [
            ("2026-11-29", false, 0),
            ("2026-11-30", true, 0),
            ("2026-10-29", false, 1),
            ("2026-10-30", false, 0),
            ("2026", false, 0),
            ("2027", true, 0),
            ("2026-12", true, 0),
            ("2026-11", false, 0),
            ("2025-03-02", false, 20),
            ("2024", false, 22),
        ] {
            assert_eq!(date(text).is_after(report), is_after, "{text}");
            assert_eq!(date(text).months_before(report), months, "{text}");
        }
        for text in ["", "May 2025", "2025-5", "2025-13", "2025-01-01-01", "25"] {
            assert!(Date::read(text).is_none(), "{text}");
        }
    }
}
