//! What it takes: hours, storage, people, money, and what they are assumed from.

use costing::{
    AssumptionsError, Bought, Cause, Driving, Entry, Kind, Range, RangeError, SimulationError, Span, Value,
};

use analysis::outlook::InNoBatch;
use survey::State;
use survey::frame::DrawStratum;

use super::generated::takes as words;
pub(crate) use super::generated::takes::*;
use super::numbers::{self, count as number};
use super::{assume, check, worded};

pub(crate) fn qualities() -> [(&'static str, String); 3] {
    [("48000/24", 48, 24), ("96000/24", 96, 24), ("192000/24", 192, 24)]
        .map(|(key, kilohertz, bits)| (key, words::qualities(kilohertz, bits)))
}

/// The quantities shown, by id.
pub(crate) fn quantities() -> [(&'static str, &'static str); 8] {
    [
        ("items", quantity_items()),
        ("content_hours", quantity_content_hours()),
        ("machine_hours", quantity_machine_hours()),
        ("staff_hours", quantity_staff_hours()),
        ("weeks", quantity_weeks()),
        ("gigabytes_masters", quantity_gigabytes_masters()),
        ("gigabytes", quantity_gigabytes()),
        ("gigabyte_years", quantity_gigabyte_years()),
    ]
}

/// "Hours of sound: about 14,800, between 7,600 and 24,900."
pub(crate) fn quantity(name: &str, span: &Span) -> String {
    words::quantity(name, number(span.mean), number(span.low), number(span.high))
}

/// "EUR 120,000, between …".
pub(crate) fn cost(currency: &str, span: &Span) -> String {
    if span.mean <= 0.0 {
        return cost_nothing().to_owned();
    }
    words::cost(currency, number(span.mean), number(span.low), number(span.high))
}

/// What the costs leave out.
pub(crate) fn not_priced(what: &[String]) -> String {
    let labels: Vec<String> = what.iter().map(|label| assume::of_label(label)).collect();
    words::not_priced(labels.join("; "))
}

/// What a budget does for a class.
pub(crate) fn bought(label: &str, bought: &Bought) -> String {
    if bought.items.high < 0.5 {
        return bought_none(label);
    }
    words::bought(
        label,
        number(bought.items.mean),
        number(bought.items.low),
        number(bought.items.high),
        whole_percent(bought.chance_of_all),
    )
}

/// What a cause is, and what knowing it would do.
pub(crate) fn driver(driving: &Driving, state: &State) -> String {
    let narrower = whole_percent(1.0 - driving.width_then);
    match &driving.cause {
        Cause::Sample(stratum) => {
            let named = stratum.parse().ok().and_then(|key| state.strata.get(&key));
            driver_sample(named.unwrap_or(stratum), narrower)
        }
        Cause::Speed(group) => driver_speed(self::group(group, state), narrower),
        Cause::Tracks(group) => driver_tracks(self::group(group, state), narrower),
        Cause::Transfers => driver_transfers(narrower),
        Cause::Assumption(key) => {
            let name = costing::catalogue()
                .iter()
                .find(|entry| entry.key == key)
                .map_or(key.as_str(), |entry| assume::label(entry));
            driver_assumption(name, narrower)
        }
    }
}

/// A batch by its own name, and what is in none by its kind and the group of its boxes.
fn group(name: &str, state: &State) -> String {
    let Some(items) = InNoBatch::of(state, name) else {
        return name.to_owned();
    };
    let place = match items.stratum {
        DrawStratum::Listed(key) => state.strata.get(&key).map_or("", String::as_str),
        DrawStratum::Late => check::late_round(),
    };
    let kind = items
        .carrier
        .map_or_else(kind_unknown, |carrier| worded(carrier.label));
    in_no_batch(kind, place)
}

/// Why there is no outlook.
pub(crate) fn not_made(error: &SimulationError) -> String {
    match error {
        SimulationError::Collection(_) => nothing().to_owned(),
        SimulationError::Assumptions(error) => refused(error),
        SimulationError::Settings => error.to_string(),
    }
}

/// What is wrong with an assumption.
pub(crate) fn refused(error: &AssumptionsError) -> String {
    let said = match error {
        AssumptionsError::NoCurrency => currency_first(),
        AssumptionsError::Range { error, .. } => match error {
            RangeError::OutOfOrder => refused_out_of_order(),
            RangeError::Negative => refused_negative(),
            RangeError::NotANumber => not_a_number(),
            RangeError::TooLarge => refused_too_large(),
        },
        other => return format!("{other}."),
    };
    said.to_owned()
}

/// A line of the list: what it is, and its value.
pub(crate) fn line(entry: &Entry, range: Option<Range>, currency: &str) -> String {
    match range {
        Some(range) => format!("{}: {}", assume::label(entry), value(entry, range, currency)),
        None => line_not_set(assume::label(entry)),
    }
}

fn value(entry: &Entry, range: Range, currency: &str) -> String {
    let [low, likely, high] = [range.low, range.likely, range.high].map(numbers::plain);
    let unit = unit(entry, currency);
    if range.is_exact() {
        format!("{likely} {unit}")
    } else {
        words::value(likely, low, high, unit)
    }
}

/// The unit of an entry's value.
pub(crate) fn unit(entry: &Entry, currency: &str) -> String {
    use costing::Driver::{PercentOfAll, PercentOfLabour};
    match (entry.kind, entry.driver) {
        (Kind::Minutes, _) => unit_minutes().to_owned(),
        (Kind::Part, _) => unit_part().to_owned(),
        (Kind::Factor, _) => unit_factor().to_owned(),
        (Kind::Money, PercentOfAll | PercentOfLabour) => "%".to_owned(),
        (Kind::Money, _) => currency.to_owned(),
    }
}

/// Where the value in force comes from.
pub(crate) fn in_force(entry: &Entry, own: Option<&Value>) -> String {
    match own {
        Some(value) if !value.source.is_empty() => in_force_own(&value.source),
        Some(_) => in_force_no_source().to_owned(),
        None if entry.default.is_some() => in_force_default(assume::source(entry)),
        None => in_force_not_set().to_owned(),
    }
}

/// A number as it was typed.
pub(crate) fn plain(number: f64) -> String {
    number.to_string()
}

/// A part of one in whole percent.
fn whole_percent(part: f64) -> String {
    super::common::percent(numbers::decimals(part * 100.0, 0))
}

#[cfg(test)]
mod tests {
    /// The sentences name the levels; here is where they would be found to be wrong.
    #[test]
    fn the_levels_are_those_that_the_sentences_name() {
        let tenths = |level: f64| (level * 1000.0).round();
        assert_eq!(
            tenths(costing::Settings::default().level).to_bits(),
            900.0_f64.to_bits()
        );
        assert_eq!(
            tenths(analysis::figures::options().level).to_bits(),
            950.0_f64.to_bits()
        );
    }
}
