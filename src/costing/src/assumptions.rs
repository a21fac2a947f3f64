//! A planner's assumptions: a set that is kept, shared as a file, and stated in every result.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::catalogue::{Driver, Kind, catalogue};
use crate::range::{Range, RangeError};

/// A set of assumptions, as it is saved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Assumptions {
    /// Which shape the file has; always [`Assumptions::FORMAT`].
    pub format: String,
    /// What the planner calls the set.
    pub name: String,
    /// The currency of all its money, as the planner writes it (`EUR`).
    #[serde(default)]
    pub currency: String,
    /// What is kept of the sound.
    #[serde(default)]
    pub storage: Storage,
    /// Who and what there is to do it with.
    #[serde(default)]
    pub capacity: Capacity,
    /// Values by key of the [`catalogue`]; what is missing has the default there, and money is not counted.
    #[serde(default)]
    pub values: BTreeMap<String, Value>,
    /// The planner's own lines.
    #[serde(default)]
    pub own: Vec<OwnLine>,
}

/// A value with its source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Value {
    /// Low, likely, high.
    #[serde(flatten)]
    pub range: Range,
    /// Where it comes from: a quotation, an own record, a guess.
    #[serde(default)]
    pub source: String,
    /// The day it was true, as the planner writes it.
    #[serde(default)]
    pub date: String,
}

/// A cost that the catalogue does not have.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OwnLine {
    /// What it is.
    pub label: String,
    /// What the value is multiplied by.
    pub driver: Driver,
    /// Low, likely, high; in money, or percent for the drivers that say so.
    #[serde(flatten)]
    pub value: Value,
}

/// What is kept of the sound.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Storage {
    /// Samples a second of the masters.
    pub rate_hz: u32,
    /// Bits a sample of the masters.
    pub bits: u16,
    /// Copies of the masters.
    pub copies: u32,
    /// Kilobits (1,000 bits) a second of access copies; 0 for none.
    pub access_kbit_s: u32,
    /// Copies of the access copies.
    pub access_copies: u32,
    /// What is to be kept free for growth, in percent.
    pub growth_percent: f64,
    /// Years of keeping that are paid for.
    pub years: f64,
}

impl Default for Storage {
    /// 96 kHz and 24 bit (IASA TC-04), three copies (common practice, no source), one of them for access at 192 kbit/s
    /// (common practice, no source), ten years (nobody's number but ours: change it).
    fn default() -> Self {
        Self {
            rate_hz: 96_000,
            bits: 24,
            copies: 3,
            access_kbit_s: 192,
            access_copies: 1,
            growth_percent: 0.0,
            years: 10.0,
        }
    }
}

/// Who and what there is to do it with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Capacity {
    /// Machines that run at once.
    pub machines: f64,
    /// Hours a week that each runs.
    pub machine_hours_week: f64,
    /// People, full-time or parts.
    pub people: f64,
    /// Hours a week that each of them has for this.
    pub people_hours_week: f64,
}

impl Default for Capacity {
    /// One machine, one person, 30 of their hours a week: a start, to be changed.
    fn default() -> Self {
        Self {
            machines: 1.0,
            machine_hours_week: 30.0,
            people: 1.0,
            people_hours_week: 30.0,
        }
    }
}

/// Why a set of assumptions is refused.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum AssumptionsError {
    /// Another shape.
    #[error("this is no set of assumptions that this program reads (format {0:?})")]
    Format(String),
    /// A key that the catalogue does not have.
    #[error("{0:?} is nothing that can be assumed here; put it among the own lines instead")]
    UnknownKey(String),
    /// A value that is no range.
    #[error("{key}: {error}")]
    Range {
        /// The key or label.
        key: String,
        /// What is wrong.
        error: RangeError,
    },
    /// A percentage over 1,000 or a part over 10.
    #[error("{0}: larger than a percentage or part can reasonably be")]
    TooLarge(String),
    /// Money without a currency.
    #[error("there are prices, but no currency: say which, EUR for example")]
    NoCurrency,
    /// Storage or capacity out of reason.
    #[error("{0} is out of reason")]
    OutOfReason(String),
    /// A text longer than 1,000 characters, or more than 200 own lines.
    #[error("{0} is too long")]
    TooLong(String),
}

impl Default for Assumptions {
    fn default() -> Self {
        Self {
            format: Self::FORMAT.to_owned(),
            name: String::new(),
            currency: String::new(),
            storage: Storage::default(),
            capacity: Capacity::default(),
            values: BTreeMap::new(),
            own: Vec::new(),
        }
    }
}

impl Assumptions {
    /// The shape of the file.
    pub const FORMAT: &'static str = "quarterlight-assumptions-1";

    /// The value of a key: the planner's, else the catalogue's default; nothing for a price that nobody gave.
    #[must_use]
    pub fn range(&self, key: &str) -> Option<Range> {
        let own = self.values.get(key).map(|value| value.range);
        own.or_else(|| catalogue().iter().find(|e| e.key == key).and_then(|e| e.default))
    }

    /// Whether there is any money in it.
    #[must_use]
    pub fn has_prices(&self) -> bool {
        let money = |key: &str| catalogue().iter().any(|e| e.key == key && e.kind == Kind::Money);
        !self.own.is_empty() || self.values.keys().any(|key| money(key))
    }

    /// Whether the set is sound: every key known, every range a range, money with its currency.
    ///
    /// # Errors
    /// The first fault, named.
    pub fn check(&self) -> Result<(), AssumptionsError> {
        if self.format != Self::FORMAT {
            return Err(AssumptionsError::Format(self.format.chars().take(60).collect()));
        }
        for text in [&self.name, &self.currency] {
            short(text, text)?;
        }
        for (key, value) in &self.values {
            let Some(entry) = catalogue().iter().find(|e| e.key == key) else {
                return Err(AssumptionsError::UnknownKey(key.chars().take(60).collect()));
            };
            sound(key, value, entry.driver, entry.kind)?;
        }
        if self.own.len() > 200 {
            return Err(AssumptionsError::TooLong("the list of own lines".to_owned()));
        }
        for line in &self.own {
            short(&line.label, &line.label)?;
            sound(&line.label, &line.value, line.driver, Kind::Money)?;
        }
        if self.has_prices() && self.currency.trim().is_empty() {
            return Err(AssumptionsError::NoCurrency);
        }
        self.check_storage()?;
        self.check_capacity()
    }

    fn check_storage(&self) -> Result<(), AssumptionsError> {
        let s = &self.storage;
        let reasonable = [
            ("the sampling rate", (8_000..=768_000).contains(&s.rate_hz)),
            (
                "the number of bits",
                (8..=64).contains(&s.bits) && s.bits.is_multiple_of(8),
            ),
            ("the number of copies", s.copies <= 100 && s.access_copies <= 100),
            ("the rate of access copies", s.access_kbit_s <= 100_000),
            ("the growth", (0.0..=1_000.0).contains(&s.growth_percent)),
            ("the number of years", (0.0..=1_000.0).contains(&s.years)),
        ];
        first_fault(&reasonable)
    }

    fn check_capacity(&self) -> Result<(), AssumptionsError> {
        let c = &self.capacity;
        let some = |n: f64| n > 0.0 && n <= 10_000.0;
        let reasonable = [
            ("the number of machines", some(c.machines)),
            (
                "a machine's hours a week",
                some(c.machine_hours_week) && c.machine_hours_week <= 168.0,
            ),
            ("the number of people", some(c.people)),
            (
                "a person's hours a week",
                some(c.people_hours_week) && c.people_hours_week <= 168.0,
            ),
        ];
        first_fault(&reasonable)
    }
}

fn first_fault(reasonable: &[(&'static str, bool)]) -> Result<(), AssumptionsError> {
    match reasonable.iter().find(|(_, holds)| !holds) {
        Some((what, _)) => Err(AssumptionsError::OutOfReason((*what).to_owned())),
        None => Ok(()),
    }
}

fn short(text: &str, name: &str) -> Result<(), AssumptionsError> {
    if text.chars().count() > 1_000 {
        return Err(AssumptionsError::TooLong(name.chars().take(60).collect()));
    }
    Ok(())
}

fn sound(key: &str, value: &Value, driver: Driver, kind: Kind) -> Result<(), AssumptionsError> {
    let named = || key.chars().take(60).collect::<String>();
    value
        .range
        .check()
        .map_err(|error| AssumptionsError::Range { key: named(), error })?;
    short(&value.source, key)?;
    short(&value.date, key)?;
    let percent = matches!(driver, Driver::PercentOfAll | Driver::PercentOfLabour);
    let most = match kind {
        Kind::Part | Kind::Factor => 10.0,
        Kind::Money if percent => 1_000.0,
        Kind::Minutes => 100_000.0,
        Kind::Money => f64::INFINITY,
    };
    if value.range.high > most {
        return Err(AssumptionsError::TooLarge(named()));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{Assumptions, AssumptionsError, Value};
    use crate::range::Range;

    fn with(key: &str, range: Range) -> Assumptions {
        let value = Value {
            range,
            source: "quotation".to_owned(),
            date: "2031-05-02".to_owned(),
        };
        Assumptions {
            values: [(key.to_owned(), value)].into(),
            ..Assumptions::default()
        }
    }

    #[test]
    fn faults_are_named() {
        let refused = |set: Assumptions| set.check().unwrap_err().to_string();
        assert!(refused(with("money.sunshine", Range::exactly(1.0))).contains("money.sunshine"));
        assert!(refused(with("money.labour", Range::of(3.0, 2.0, 1.0))).contains("money.labour"));
        assert_eq!(
            with("money.labour", Range::exactly(1.0)).check(),
            Err(AssumptionsError::NoCurrency)
        );
        assert!(refused(with("part.checking", Range::exactly(11.0))).contains("part.checking"));
        assert_eq!(with("time.metadata", Range::exactly(11.0)).check(), Ok(()));
        let mut set = Assumptions::default();
        set.capacity.people = f64::NAN;
        assert!(refused(set).contains("people"));
    }

    #[test]
    fn a_saved_set_comes_back() {
        let mut set = with("money.labour", Range::of(10.0, 12.5, 20.0));
        set.currency = "EUR".to_owned();
        let text = serde_json::to_string(&set).unwrap();
        assert_eq!(serde_json::from_str::<Assumptions>(&text).unwrap(), set);
        assert!(serde_json::from_str::<Assumptions>(r#"{"format":"x","name":"","surprise":1}"#).is_err());
    }
}
