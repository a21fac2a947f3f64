//! The report and what goes with it, an earlier visit, and what changed since.

use analysis::change::{Change, ChangeError, Changed, Drawn, Unlike, Which};
use analysis::figures::Measure;
use handover::papers::Paper;

use super::generated::papers as words;
pub(crate) use super::generated::papers::*;
use super::numbers::{self, count, percent, turned};
use super::worded;

/// A section of the report by its key, as the report calls it.
pub(crate) fn section_name(key: &str) -> &'static str {
    match key {
        "board" => section_board(),
        "findings" => section_findings(),
        "change" => section_change(),
        "today" => section_today(),
        "recommendations" => section_recommendations(),
        "takes" => section_takes(),
        "assumptions" => section_assumptions(),
        "method" => section_method(),
        "limits" => section_limits(),
        "cautions" => section_cautions(),
        "definitions" => section_definitions(),
        "glossary" => section_glossary(),
        "statistics" => section_statistics(),
        _ => words_at_the_start(),
    }
}

/// What a paper is called, and what it is for.
pub(crate) fn paper(what: Paper) -> [&'static str; 2] {
    match what {
        Paper::Report => [report(), report_hint()],
        Paper::Paragraph => [paragraph(), paragraph_hint()],
        Paper::Workbook => [workbook(), workbook_hint()],
        Paper::Records => [records(), records_hint()],
    }
}

/// Why two visits are not compared, and what to do.
pub(crate) fn refused(error: &ChangeError) -> String {
    match error {
        ChangeError::NoDraw(which) => refused_no_draw(survey(*which)),
        ChangeError::NoFigure(which) => refused_no_figure(survey(*which)),
        ChangeError::Practice => refused_practice().to_owned(),
        ChangeError::Same => refused_same().to_owned(),
        ChangeError::Frame { named, count } => {
            let named: Vec<String> = named.iter().map(unlike).collect();
            refused_frame(named.join(" "), *count)
        }
    }
}

fn survey(which: Which) -> &'static str {
    match which {
        Which::First => refused_earlier(),
        Which::Second => refused_this(),
    }
}

fn unlike(unlike: &Unlike) -> String {
    match unlike {
        Unlike::Stratum(serial) => unlike_stratum(serial),
        Unlike::Label(serial, then, now) => unlike_label(serial, then, now),
        Unlike::Alone(serial, Which::First) => unlike_then(serial),
        Unlike::Alone(serial, Which::Second) => unlike_now(serial),
    }
}

/// What the two visits looked into.
pub(crate) fn visits(change: &Change) -> String {
    let [then, now] = &change.visits;
    let said = match change.drawn {
        Drawn::Again => changed_visits_again,
        Drawn::Apart => changed_visits_apart,
    };
    said(then.sampled, now.sampled, change.common_boxes)
}

/// How many changes would seem to be some by chance alone.
pub(crate) fn by_chance(change: &Change) -> String {
    changed_by_chance(change.with_limits, numbers::decimals(change.by_chance, 0))
}

/// A figure's name, by its id.
pub(crate) fn figure(id: &str) -> String {
    let key = |prefix: &str| id.strip_prefix(prefix)?.strip_suffix(".share");
    let condition = key("condition.").and_then(|key| tape::conditions().iter().find(|c| c.key == key));
    let class = key("action.").and_then(|key| tape::actions().iter().find(|c| c.key == key));
    let carrier = key("carrier.").and_then(tape::carrier);
    match (id, condition, class, carrier) {
        ("items.total", ..) => changed_items().to_owned(),
        ("quantity.content_hours.total", ..) => changed_hours().to_owned(),
        (_, Some(condition), _, _) => worded(condition.label).to_owned(),
        (_, _, Some(class), _) => changed_class(worded(class.label)),
        (_, _, _, Some(carrier)) => worded(carrier.label).to_owned(),
        _ => id.to_owned(),
    }
}

/// Both values.
pub(crate) fn then_now(changed: &Changed) -> String {
    let shown = |value: f64| match changed.measure {
        Measure::Share => percent(value),
        Measure::Count | Measure::Total | Measure::Mean => count(value),
    };
    changed_then_now(shown(changed.first), shown(changed.second))
}

/// The change with its range: `2.1 points more (0.4 to 3.8 points more)`.
pub(crate) fn change(changed: &Changed) -> String {
    let shown = |value: f64| match changed.measure {
        Measure::Share => points(numbers::decimals(value * 100.0, 1)),
        Measure::Count | Measure::Total | Measure::Mean => count(value),
    };
    let Some((low, high)) = changed.low.zip(changed.high) else {
        return changed_no_range(shown(changed.change));
    };
    if low > 0.0 {
        changed_more(shown(changed.change), shown(low), shown(high))
    } else if high < 0.0 {
        changed_fewer(
            shown(turned(changed.change)),
            shown(turned(high)),
            shown(turned(low)),
        )
    } else {
        words::changed_either(shown(turned(low)), shown(high))
    }
}
