//! Scenarios side by side, for `quarterlight outlook`.

use std::fmt::Write as _;
use std::path::PathBuf;

use analysis::scenarios::{self, Saved};
use costing::{
    Assumptions, Capacity, Collection, DIFFERENCES, MOST_SCENARIOS, Outlook, Scenario, SideBySide,
    beside_outlook,
};
use survey::State;

use crate::files;
use crate::outlook::{QUANTITIES, rounded};

/// The scenarios of the log, and those of files, which take the place of saved ones of the same name.
pub(crate) fn saved(state: &State, planned: &Assumptions, paths: &[PathBuf]) -> Result<Saved, String> {
    let mut saved = scenarios::saved(state, planned);
    for path in paths {
        let bytes = files::bytes(path)?;
        let scenario = scenarios::read(&String::from_utf8_lossy(&bytes), planned)
            .map_err(|error| format!("{}: {error}", path.display()))?;
        saved.scenarios.retain(|known| known.name != scenario.name);
        saved.scenarios.push(scenario);
    }
    if saved.scenarios.len() > MOST_SCENARIOS {
        return Err(format!(
            "{} scenarios are too many: at most {MOST_SCENARIOS} are told side by side",
            saved.scenarios.len()
        ));
    }
    Ok(saved)
}

/// The planned set and the scenarios; nothing where there are none.
pub(crate) fn told(
    alone: &Outlook,
    collection: &Collection,
    planned: &Assumptions,
    saved: &Saved,
) -> Result<Option<SideBySide>, String> {
    if saved.scenarios.is_empty() {
        return Ok(None);
    }
    beside_outlook(alone, collection, planned, &saved.scenarios, &mut |_, _| {})
        .map(Some)
        .map_err(|error| error.to_string())
}

/// A scenario to fill in, with the words for what it may hold beside it.
pub(crate) fn blank() -> Result<String, String> {
    let mut scenario = Scenario::new("Two machines");
    scenario.capacity = Some(Capacity {
        machines: 2.0,
        ..Capacity::default()
    });
    let classes: Vec<&str> = tape::actions().iter().map(|action| action.key).collect();
    eprintln!("What may be put in beside its name, each only if it differs from what is planned:");
    eprintln!(
        "  \"leave_out\": classes nothing is done with, of {}",
        classes.join(", ")
    );
    eprintln!(
        "  \"values\", \"own\", \"storage\", \"capacity\", \"currency\": as in a set of assumptions (--blank)"
    );
    eprintln!("  \"budget\": the money there is; \"weeks\": the weeks there are");
    serde_json::to_string_pretty(&scenario)
        .map(|text| text + "\n")
        .map_err(|error| error.to_string())
}

/// Sentences, then a line a quantity.
pub(crate) fn words(made: Option<&SideBySide>, currency: &str) -> String {
    let Some(made) = made else { return String::new() };
    let mut text = "Side by side, with the same numbers at random, given these assumptions:\n".to_owned();
    let name = |at: usize| made.scenarios.get(at).map_or("", |told| told.name.as_str());
    for (at, told) in made.scenarios.iter().enumerate() {
        let _ = writeln!(text, "  {}", name(at));
        for id in DIFFERENCES {
            if let Some(span) = told.quantities.get(id) {
                let [mean, low, high] = [span.mean, span.low, span.high].map(rounded);
                let _ = writeln!(text, "    {}: {mean} ({low} to {high})", label(id, currency));
            }
        }
        if let (Some(budget), Some(chance)) = (told.budget, told.chance) {
            let _ = writeln!(
                text,
                "    {currency} {budget} pays for all of it with a chance of {:.0}%",
                chance * 100.0
            );
        }
        if let (Some(weeks), Some(chance)) = (told.weeks, told.chance_in_weeks) {
            let _ = writeln!(
                text,
                "    {weeks} weeks are enough for all of it with a chance of {:.0}%",
                chance * 100.0
            );
        }
    }
    for pair in &made.differences {
        let _ = writeln!(text, "  {} beside {}", name(pair.of), name(pair.from));
        for id in DIFFERENCES {
            if let Some(changed) = pair.quantities.get(id) {
                let span = changed.span;
                let said = if span.low >= 0.0 && span.high <= 0.0 {
                    "no difference".to_owned()
                } else if span.high <= 0.0 {
                    let [mean, low, high] = [-span.mean, -span.high, -span.low].map(rounded);
                    format!("{mean} less ({low} to {high} less)")
                } else if span.low >= 0.0 {
                    let [mean, low, high] = [span.mean, span.low, span.high].map(rounded);
                    format!("{mean} more ({low} to {high} more)")
                } else {
                    let [mean, low, high] = [span.mean, span.low, span.high].map(rounded);
                    format!("{mean} ({low} to {high}): it may be more or less")
                };
                let _ = writeln!(text, "    {}: {said}", label(id, currency));
            }
        }
    }
    text
}

fn label(id: &str, currency: &str) -> String {
    match id {
        "cost.total" => format!("Cost, {currency}"),
        "budget.items" => "Items done for the budget".to_owned(),
        "in_weeks.items" => "Items done in the weeks".to_owned(),
        _ => QUANTITIES
            .iter()
            .find(|(known, _)| *known == id)
            .map_or_else(|| id.to_owned(), |(_, label)| (*label).to_owned()),
    }
}
