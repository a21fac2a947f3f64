//! Figures: a sentence before each, the picture, the small print behind a tap.

use analysis::figures::{Figure, Problem, Sample};

use super::check;

pub const TITLE: &str = "What the sample says";
pub const NOTHING_TITLE: &str = "No figures yet";
pub const NOTHING: &str =
    "Figures rest on complete rounds, or on boxes checked in the order drawn. Check a few boxes first.";
pub const TO_CHECK: &str = "To the check";
pub const TO_HAND_OVER: &str = "To handing over";
pub const NEXT: &str = "carrying the survey away";
pub const WORKING: &str = "Working out the figures\u{2026}";
pub const WHOLE: &str = "The whole collection";
pub const FOR_WHICH: &str = "Figures for";
pub const HOW_MANY: &str = "How many there are";
pub const CARRIERS: &str = "Kinds of carrier";
pub const FILMS: &str = "Base films";
pub const ACTIONS: &str = "What is to be done";
pub const CONDITIONS: &str = "Conditions and signs";
pub const HOURS: &str = "Hours of sound";
pub const MISSING: &str = "What is not known";
pub const SMALL_PRINT: &str = "The small print";
pub const AXIS_SHARE: [&str; 5] = ["0%", "25%", "50%", "75%", "100%"];
pub const CAPTION: &str = "Upright stroke: the estimate. Bar: its 95% interval.";
pub const OTHER_BASIS: &str = "Boxes of the round that is not complete";
pub const COULD_NOT: &str = "What these figures leave out";
pub const COUNTED_NOTE: &str = "Hours follow from size, length class, speed and tracks. Where these are not known the range is wide: see it as a range, not as a number.";
pub const NOT_FOUND: &str = "Not found in the sample";
pub const FIELD_SIGN: &str = "A field sign is evidence, not a diagnosis.";
pub const WEAK: &str = "It rests on few boxes: read the range, not the number.";

/// What the figures rest on.
pub fn rests_on(sample: &Sample) -> String {
    let mut parts = vec![format!(
        "{} of {} boxes were drawn and reached their end",
        sample.n_sampled, sample.n_boxes
    )];
    parts.push(format!(
        "{} opened and counted, {} tapes checked one by one",
        sample.n_checked, sample.n_items_checked
    ));
    if sample.n_stopped > 0 {
        parts.push(format!("{} stopped for a hazard", sample.n_stopped));
    }
    if sample.n_not_reached > 0 {
        parts.push(format!("{} not found or not opened", sample.n_not_reached));
    }
    if sample.n_out_of_scope > 0 {
        parts.push(format!("{} out of scope", sample.n_out_of_scope));
    }
    format!("{}.", parts.join("; "))
}

/// "About 3,100 items; with 95% confidence between 2,400 and 3,900."
pub fn items(figure: &Figure) -> String {
    match (figure.low, figure.high) {
        (Some(low), Some(high)) => {
            format!(
                "About {} items; with 95% confidence between {} and {}.",
                count(figure.estimate),
                count(low),
                count(high)
            )
        }
        _ => format!(
            "About {} items. No range can be given: too few boxes.",
            count(figure.estimate)
        ),
    }
}

/// A share in words, its count behind it.
pub fn share(share: &Figure, number: Option<&Figure>) -> String {
    let seen = match (share.n_seen, share.n_known) {
        (Some(seen), Some(known)) => format!(" ({} seen of {})", whole(seen), whole(known)),
        _ => String::new(),
    };
    let Some((low, high)) = share.low.zip(share.high) else {
        return format!("About {}{seen}; no range can be given.", percent(share.estimate));
    };
    if share.n_seen == Some(0) {
        let most = number
            .and_then(|number| number.high)
            .map(|most| format!(", some {} items", count(most)));
        return format!(
            "{NOT_FOUND}{seen}; at most {}{}.",
            percent(high),
            most.unwrap_or_default()
        );
    }
    let range = number.and_then(|number| number.low.zip(number.high));
    let items = range
        .map(|(low, high)| format!("; {} to {} items", count(low), count(high)))
        .unwrap_or_default();
    format!(
        "About {}, between {} and {}{items}{seen}.",
        percent(share.estimate),
        percent(low),
        percent(high)
    )
}

/// Three totals of hours: the least, the likely and the most the tapes may hold.
pub fn hours(low: Option<&Figure>, likely: &Figure, high: Option<&Figure>) -> String {
    let limits = |figure: &Figure| figure.low.zip(figure.high);
    let mut said = format!("About {} hours", count(likely.estimate));
    if let Some((from, to)) = limits(likely) {
        said += &format!("; sampling alone leaves {} to {}", count(from), count(to));
    }
    let ends = low
        .and_then(|low| low.low.or(Some(low.estimate)))
        .zip(high.and_then(|high| high.high.or(Some(high.estimate))));
    if let Some((from, to)) = ends {
        said += &format!(
            "; with every unknown speed, length and track at its least or its most, {} to {}",
            count(from),
            count(to)
        );
    }
    said += ".";
    if let Some(unknown) = likely.unknown_share.filter(|share| *share >= 0.005) {
        said += &format!(
            " For about {} of the items nothing is known of their length; those in boxes stopped for a hazard are left out of these hours.",
            percent(unknown)
        );
    }
    said
}

/// What the figures leave out, or why one could not be made.
pub fn problem(problem: &Problem, stratum: Option<&str>) -> String {
    match problem {
        Problem::StratumLeftOut { n_boxes, .. } => {
            let name = stratum.map_or_else(
                || check::LATE_ROUND.to_owned(),
                |name| format!("Group \u{201c}{name}\u{201d}"),
            );
            format!(
                "{name}, {n_boxes} boxes: none of its boxes was counted yet, so no figure below covers it. Check at least two of them."
            )
        }
        Problem::NotMade { why } => format!("Some figures could not be made: {why}."),
    }
}

pub fn unknown(label: &str, figure: &Figure) -> Option<String> {
    let unknown = figure.unknown_share.filter(|share| *share > 0.0005)?;
    let (low, high) = figure.bounds?;
    Some(format!(
        "{label}: not known for about {}. Whatever the truth, the share seen lies between {} and {}.",
        percent(unknown),
        percent(low),
        percent(high)
    ))
}

pub fn small_print(label: &str, figure: &Figure) -> String {
    let mut parts = vec![format!("{label}: {}", figure.method)];
    if let Some(se) = figure.se {
        parts.push(format!("standard error {}", signif(se)));
    }
    if let Some(df) = figure.df {
        parts.push(format!("{} degrees of freedom", signif(df)));
    }
    if let Some(deff) = figure.deff {
        parts.push(format!("design effect {}", signif(deff)));
    }
    parts.join("; ")
}

pub fn every_finished(figure: &Figure) -> String {
    format!(
        "With the finished boxes of a half-done shelf walk too: {} They were not reached in a random order, so the main figures leave them out.",
        items(figure)
    )
}

/// A part of one as a percentage that carries no more digits than it has.
pub fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if percent > 0.0 && percent < 9.95 {
        format!("{percent:.1}%")
    } else {
        format!("{percent:.0}%")
    }
}

/// A number of items or hours, rounded to three digits, thousands apart.
pub fn count(number: f64) -> String {
    let mut step = 1.0;
    while number >= 1_000.0 * step {
        step *= 10.0;
    }
    let rounded = (number / step).round() * step;
    if number > 0.0 && number < 10.0 && (number - number.round()).abs() > 0.05 {
        return format!("{number:.1}");
    }
    thousands(&format!("{rounded:.0}"))
}

fn whole(number: u64) -> String {
    thousands(&number.to_string())
}

fn thousands(digits: &str) -> String {
    let mut said = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) && !said.ends_with('-') {
            said.push(',');
        }
        said.push(digit);
    }
    said
}

/// Three significant digits, for the small print.
fn signif(number: f64) -> String {
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
    format!("{number:.digits$}")
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
        let said: Vec<String> = [123.4, 12.34, 0.01234].map(signif).into();
        assert_eq!(said, ["123", "12.3", "0.0123"]);
    }
}
