//! Scenarios side by side: quantities, differences with their ranges, why one is not told.

use analysis::scenarios::Fault;
use costing::{Changed, MOST_SCENARIOS, ScenarioError, Span, Told};

use super::generated::scenarios as words;
pub(crate) use super::generated::scenarios::*;
use super::numbers::{self, count, turned};
use super::takes;

/// A quantity that is told side by side, by its id.
pub(crate) fn quantity(id: &str, currency: &str) -> String {
    match id {
        "cost.total" => quantity_cost(currency),
        "budget.items" => quantity_budget_items().to_owned(),
        "in_weeks.items" => quantity_in_weeks_items().to_owned(),
        _ => takes::quantities()
            .into_iter()
            .find(|(known, _)| *known == id)
            .map_or(id, |(_, name)| name)
            .to_owned(),
    }
}

/// A quantity with its range.
pub(crate) fn amount(span: Span) -> String {
    words::amount(count(span.mean), count(span.low), count(span.high))
}

/// A difference with its range; more or less where the range leaves one direction alone.
pub(crate) fn difference(changed: &Changed) -> String {
    let Span { mean, low, high, .. } = changed.span;
    if low >= 0.0 && high <= 0.0 {
        no_difference().to_owned()
    } else if low >= 0.0 {
        more(count(mean), count(low), count(high))
    } else if high <= 0.0 {
        less(count(turned(mean)), count(turned(high)), count(turned(low)))
    } else if mean < 0.0 {
        either(average_less(count(turned(mean))), count(turned(low)), count(high))
    } else {
        either(average_more(count(mean)), count(turned(low)), count(high))
    }
}

/// What a scenario's money and weeks are enough for.
pub(crate) fn enough(told: &Told, currency: &str) -> Vec<String> {
    let items = |id: &str| told.quantities.get(id).map(|span| count(span.mean));
    let chance = |chance: f64| super::common::percent(numbers::decimals(chance * 100.0, 0));
    let mut lines = Vec::new();
    if let (Some(budget), Some(all), Some(items)) = (told.budget, told.chance, items("budget.items")) {
        let budget = format!("{currency} {}", numbers::plain(budget));
        lines.push(enough_budget(&told.name, budget, chance(all), items));
    }
    if let (Some(weeks), Some(all), Some(items)) = (told.weeks, told.chance_in_weeks, items("in_weeks.items"))
    {
        lines.push(enough_weeks(
            &told.name,
            numbers::plain(weeks),
            chance(all),
            items,
        ));
    }
    lines
}

/// Why a scenario is refused or not told.
pub(crate) fn fault(fault: &Fault) -> String {
    let error = match fault {
        Fault::Json(why) => return fault_unread(why),
        Fault::Class(..) => return fault_class().to_owned(),
        Fault::TooMany => return fault_too_many(MOST_SCENARIOS),
        Fault::Scenario(error) => error,
    };
    match error {
        ScenarioError::Name => name_wrong().to_owned(),
        ScenarioError::Class(..) => fault_class().to_owned(),
        ScenarioError::Budget(_) => budget_wrong().to_owned(),
        ScenarioError::Weeks(_) => weeks_wrong().to_owned(),
        ScenarioError::NoPrice(_) => fault_no_price().to_owned(),
        ScenarioError::Currency(_) => fault_currency().to_owned(),
        ScenarioError::Assumptions(_, error) => takes::refused(error),
        ScenarioError::Format(_) | ScenarioError::Simulation(_) => fault_unread(error),
    }
}
