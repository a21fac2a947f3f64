//! What it takes: hours, storage, people, money, and what they are assumed from.

use costing::{
    AssumptionsError, Bought, Cause, Driving, Entry, Kind, Range, RangeError, SimulationError, Span, Value,
};

use super::results::count as number;

pub const TO_TAKES: &str = "What it takes to save them";
pub const TITLE: &str = "What it takes";
pub const LEAD: &str = "Given what is assumed below. The range holds the sample's chance, what nobody knows of the tapes, and the doubt in each assumption.";
pub const NEXT: &str = "carrying the survey away";
pub const WORKING: &str = "Drawing ten thousand ways it could be\u{2026}";
pub const AMOUNTS: &str = "How much there is to do";
pub const MONEY: &str = "What it costs";
pub const NO_PRICES: &str =
    "No price was given, so nothing is said about money. Prices are yours: add the ones you have.";
pub const DRIVERS: &str = "What would narrow it most";
pub const BUDGET: &str = "A sum to spend";
pub const BUDGET_HINT: &str =
    "What it does, the most pressing tapes first. Leave it empty if there is none yet.";
pub const BUDGET_WRONG: &str = "A number, please, such as 25000.";
pub const TO_ASSUME: &str = "Change what is assumed";
pub const TO_FIGURES: &str = "Back to the figures";
pub const NOTHING: &str = "Check a few tapes first: hours and money rest on them.";

pub const ASSUME_TITLE: &str = "What is assumed";
pub const ASSUME_LEAD: &str = "Tap a line to change it. What is not set is not counted.";
pub const TIMES: &str = "People's time";
pub const PRICES: &str = "Prices";
pub const KEEPING: &str = "Keeping, machines and people";
pub const BACK: &str = "Back to what it takes";
pub const BACK_TO_LIST: &str = "Back to what is assumed";

pub const LOW: &str = "At least";
pub const LIKELY: &str = "Likely";
pub const HIGH: &str = "At most";
pub const SOURCE: &str = "Where it comes from";
pub const SOURCE_HINT: &str = "A quotation, your own records, a guess";
pub const DATE: &str = "True on which day";
pub const KEEP: &str = "Keep it";
pub const CLEAR: &str = "Take it out";
pub const CURRENCY: &str = "Currency";
pub const CURRENCY_HINT: &str = "EUR, for example";
pub const CURRENCY_FIRST: &str = "Say the currency first: every price is in it.";
pub const NOT_A_NUMBER: &str = "Three numbers, please: at least, likely, at most.";

pub const QUALITY: &str = "Sound is kept at";
pub const QUALITIES: [(&str, &str); 3] = [
    ("48000/24", "48 kHz, 24 bit"),
    ("96000/24", "96 kHz, 24 bit"),
    ("192000/24", "192 kHz, 24 bit"),
];
pub const COPIES: &str = "Copies kept";
pub const YEARS: &str = "Years of keeping to pay for";
pub const ACCESS: &str = "Small copies for listening";
pub const MACHINES: &str = "Machines that run at once";
pub const MACHINE_HOURS: &str = "Hours a week each runs";
pub const PEOPLE: &str = "People";
pub const PEOPLE_HOURS: &str = "Hours a week each has for it";

/// A stepper's buttons.
pub fn less(what: &str) -> String {
    format!("{what}: one less")
}

/// A stepper's buttons.
pub fn more(what: &str) -> String {
    format!("{what}: one more")
}

/// The quantities shown, by id.
pub const QUANTITIES: [(&str, &str); 8] = [
    ("items", "Tapes"),
    ("content_hours", "Hours of sound"),
    ("machine_hours", "Hours machines run"),
    ("staff_hours", "Hours people work"),
    ("weeks", "Weeks, whichever takes longer of machines and people"),
    (
        "gigabytes_masters",
        "Storage for one copy, in GB (1,000,000,000 bytes)",
    ),
    ("gigabytes", "Storage for all copies, in GB"),
    ("gigabyte_years", "GB kept, times years"),
];

/// "Hours of sound: about 14,800, between 7,600 and 24,900."
pub fn quantity(name: &str, span: &Span) -> String {
    format!(
        "{name}: about {}, between {} and {}.",
        number(span.mean),
        number(span.low),
        number(span.high)
    )
}

/// "EUR 120,000, between …".
pub fn cost(currency: &str, span: &Span) -> String {
    format!(
        "About {currency} {}; between {} and {}, given these assumptions.",
        number(span.mean),
        number(span.low),
        number(span.high)
    )
}

/// What the costs leave out.
pub fn not_priced(what: &[String]) -> String {
    format!("Not in it, for no price was given: {}.", what.join("; "))
}

/// What a budget does for a class.
pub fn bought(label: &str, bought: &Bought) -> String {
    if bought.items.high < 0.5 {
        return format!("{label}: none.");
    }
    format!(
        "{label}: about {} tapes, between {} and {}; all of them with a chance of {}%.",
        number(bought.items.mean),
        number(bought.items.low),
        number(bought.items.high),
        percent(bought.chance_of_all)
    )
}

/// What a cause is, and what knowing it would do.
pub fn driver(driving: &Driving, place: impl Fn(&str) -> String) -> String {
    let narrower = percent(1.0 - driving.width_then);
    match &driving.cause {
        Cause::Sample(stratum) => format!(
            "Ten more boxes of {}: the range some {narrower}% narrower.",
            place(stratum)
        ),
        Cause::Speed(group) => {
            format!("Ask what speed was used for: {group}. The range some {narrower}% narrower.")
        }
        Cause::Tracks(group) => {
            format!("Ask how many tracks were used for: {group}. The range some {narrower}% narrower.")
        }
        Cause::Assumption(key) => {
            let name = costing::catalogue()
                .iter()
                .find(|entry| entry.key == key)
                .map_or(key.as_str(), |entry| entry.label);
            format!("A better figure for \u{201c}{name}\u{201d}: the range some {narrower}% narrower.")
        }
    }
}

/// Why there is no outlook.
pub fn not_made(error: &SimulationError) -> String {
    match error {
        SimulationError::Collection(_) => NOTHING.to_owned(),
        SimulationError::Assumptions(error) => refused(error),
        SimulationError::Settings => error.to_string(),
    }
}

/// What is wrong with an assumption.
pub fn refused(error: &AssumptionsError) -> String {
    match error {
        AssumptionsError::NoCurrency => CURRENCY_FIRST.to_owned(),
        AssumptionsError::Range { error, .. } => match error {
            RangeError::OutOfOrder => {
                "At least must not be more than likely, nor likely more than at most.".to_owned()
            }
            RangeError::Negative => "None of the three may be under 0.".to_owned(),
            RangeError::NotANumber => NOT_A_NUMBER.to_owned(),
            RangeError::TooLarge => "That is over a billion: check the unit.".to_owned(),
        },
        other => format!("{other}."),
    }
}

/// A line of the list: what it is, and its value.
pub fn line(entry: &Entry, range: Option<Range>, currency: &str) -> String {
    match range {
        Some(range) => format!("{}: {}", entry.label, value(entry, range, currency)),
        None => format!("{}: not set", entry.label),
    }
}

fn value(entry: &Entry, range: Range, currency: &str) -> String {
    let [low, likely, high] = [range.low, range.likely, range.high].map(plain);
    let unit = unit(entry, currency);
    if range.is_exact() {
        format!("{likely} {unit}")
    } else {
        format!("{likely} ({low} to {high}) {unit}")
    }
}

/// The unit of an entry's value.
pub fn unit(entry: &Entry, currency: &str) -> String {
    use costing::Driver::{PercentOfAll, PercentOfLabour};
    match (entry.kind, entry.driver) {
        (Kind::Minutes, _) => "minutes".to_owned(),
        (Kind::Part, _) => "of each hour".to_owned(),
        (Kind::Money, PercentOfAll | PercentOfLabour) => "%".to_owned(),
        (Kind::Money, _) => currency.to_owned(),
    }
}

/// Where the value in force comes from.
pub fn in_force(entry: &Entry, own: Option<&Value>) -> String {
    match own {
        Some(value) if !value.source.is_empty() => format!("Set here. Source: {}.", value.source),
        Some(_) => "Set here, without a source.".to_owned(),
        None if entry.default.is_some() => format!("As it stands: {}.", entry.source),
        None => "Not set: nothing of it is counted.".to_owned(),
    }
}

/// A number as it was typed.
pub fn plain(number: f64) -> String {
    number.to_string()
}

fn percent(part: f64) -> String {
    format!("{:.0}", part * 100.0)
}
