//! Figures: a sentence before each, the picture, the small print behind a tap.

use analysis::agreement::ReadTwice;
use analysis::figures::{Figure, Problem, Sample};

use super::generated::results as words;
pub(crate) use super::generated::results::*;
use super::numbers::{self, count, percent, signif};
use super::{check, worded};

pub(crate) fn axis_share() -> [String; 5] {
    [0.0, 0.25, 0.5, 0.75, 1.0].map(numbers::percent)
}

/// What the figures rest on.
pub(crate) fn rests_on(sample: &Sample) -> String {
    let mut parts = vec![
        rests_on_boxes(sample.n_sampled, sample.n_boxes),
        rests_on_tapes(sample.n_checked, sample.n_items_checked),
    ];
    if sample.n_stopped > 0 {
        parts.push(rests_on_stopped(sample.n_stopped));
    }
    if sample.n_not_reached > 0 {
        parts.push(rests_on_not_reached(sample.n_not_reached));
    }
    if sample.n_out_of_scope > 0 {
        parts.push(rests_on_out_of_scope(sample.n_out_of_scope));
    }
    format!("{}.", parts.join("; "))
}

/// "About 3,100 items; with 95% confidence between 2,400 and 3,900."
pub(crate) fn items(figure: &Figure) -> String {
    match (figure.low, figure.high) {
        (Some(low), Some(high)) => words::items(count(figure.estimate), count(low), count(high)),
        _ => items_no_range(count(figure.estimate)),
    }
}

/// A share in words, its count behind it.
pub(crate) fn share(share: &Figure, number: Option<&Figure>) -> String {
    let seen = match (share.n_seen, share.n_known) {
        (Some(seen), Some(known)) => share_seen(seen, known),
        _ => String::new(),
    };
    let Some((low, high)) = share.low.zip(share.high) else {
        return share_no_range(percent(share.estimate), seen);
    };
    if share.n_seen == Some(0) {
        let most = number.and_then(|number| number.high);
        let most = most.map(|most| share_some(count(most))).unwrap_or_default();
        return share_not_found(seen, percent(high), most);
    }
    let range = number.and_then(|number| number.low.zip(number.high));
    let items = range
        .map(|(low, high)| share_items(count(low), count(high)))
        .unwrap_or_default();
    words::share(percent(share.estimate), percent(low), percent(high), items, seen)
}

/// Three totals of hours: the least, the likely and the most the tapes may hold.
pub(crate) fn hours(low: Option<&Figure>, likely: &Figure, high: Option<&Figure>) -> String {
    let limits = |figure: &Figure| figure.low.zip(figure.high);
    let mut said = words::hours(count(likely.estimate));
    if let Some((from, to)) = limits(likely) {
        said += &hours_sampling(count(from), count(to));
    }
    let ends = low
        .and_then(|low| low.low.or(Some(low.estimate)))
        .zip(high.and_then(|high| high.high.or(Some(high.estimate))));
    if let Some((from, to)) = ends {
        said += &hours_unknowns(count(from), count(to));
    }
    said += ".";
    if let Some(unknown) = likely.unknown_share.filter(|share| *share >= 0.005) {
        said += " ";
        said += &hours_unknown_length(percent(unknown));
    }
    said
}

/// What the figures leave out, or why one could not be made.
pub(crate) fn problem(problem: &Problem, stratum: Option<&str>) -> String {
    match problem {
        Problem::StratumLeftOut { n_boxes, .. } => match stratum {
            Some(name) => problem_group_left_out(name, *n_boxes),
            None => problem_late_left_out(*n_boxes),
        },
        Problem::NotMade { why } => problem_not_made(why),
    }
}

pub(crate) fn unknown(label: &str, figure: &Figure) -> Option<String> {
    let unknown = figure.unknown_share.filter(|share| *share > 0.0005)?;
    let (low, high) = figure.bounds?;
    Some(words::unknown(
        label,
        percent(unknown),
        percent(low),
        percent(high),
    ))
}

pub(crate) fn small_print(label: &str, figure: &Figure) -> String {
    let mut parts = vec![format!("{label}: {}", figure.method)];
    parts.extend(figure.se.map(|se| small_print_se(signif(se))));
    parts.extend(figure.df.map(|df| small_print_df(signif(df))));
    parts.extend(figure.deff.map(|deff| small_print_deff(signif(deff))));
    parts.join("; ")
}

pub(crate) fn every_finished(figure: &Figure) -> String {
    words::every_finished(items(figure))
}

/// What was read twice: the question, with its choice where several can be marked (`label.date`).
pub(crate) fn read_twice(key: &str, made: &ReadTwice) -> String {
    words::read_twice(about(key), percent(made.observed), made.n)
}

pub(crate) fn read_twice_small(key: &str, made: &ReadTwice) -> String {
    let error = made.observed_se.map(|se| small_print_se(percent(se)));
    let kappa = made.kappa.map(|kappa| words::kappa(signif(kappa)));
    let parts = [error, kappa, Some(words::ac1(signif(made.ac1)))];
    let said: Vec<String> = parts.into_iter().flatten().collect();
    format!("{}: {}", about(key), said.join("; "))
}

fn about(key: &str) -> String {
    let (name, choice) = key.split_once('.').unwrap_or((key, ""));
    let Some(question) = tape::question(name) else {
        return key.to_owned();
    };
    let short = worded(question.short);
    let mut choices = question.choices.iter();
    match choices.find(|known| known.key == choice) {
        Some(choice) => check::said(short.to_owned(), worded(choice.label)),
        None => short.to_owned(),
    }
}
