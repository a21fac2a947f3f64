//! Scenarios that a planner saved in the survey's log, told side by side.
//!
//! Each is one answer about the survey as a whole, to the question [`question`] of its name: it is merged, disagreed about
//! and undone like any answer, and an older program carries it without reading it.

use costing::{Assumptions, Collection, MOST_SCENARIOS, Scenario, Settings, SideBySide, side_by_side};
use survey::{State, Subject};
use tape::Answer;

/// What the question of a scenario begins with; its name follows.
const PREFIX: &str = "scenario: ";

/// The question, about the survey, whose answer is the scenario of this name as JSON; an empty text takes it away.
#[must_use]
pub fn question(name: &str) -> String {
    format!("{PREFIX}{}", name.trim())
}

/// The name of the scenario that a question is about; nothing for another question.
#[must_use]
pub fn name_of(question: &str) -> Option<&str> {
    question.strip_prefix(PREFIX)
}

/// A survey's scenarios, by name, and why some of them cannot be used.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Saved {
    /// Those that can be simulated beside the assumptions, at most [`MOST_SCENARIOS`].
    pub scenarios: Vec<Scenario>,
    /// Names of the others, and what is wrong with each.
    pub unused: Vec<(String, String)>,
}

/// The scenarios in the log.
#[must_use]
pub fn saved(state: &State, planned: &Assumptions) -> Saved {
    let mut saved = Saved::default();
    for (question, answer) in state.answers(Subject::Survey) {
        let (Some(name), Answer::Text(json)) = (question.strip_prefix(PREFIX), answer) else {
            continue;
        };
        if json.is_empty() {
            continue;
        }
        let read = read(&json, planned).and_then(|scenario| {
            if saved.scenarios.len() == MOST_SCENARIOS {
                Err(format!("only {MOST_SCENARIOS} are told side by side"))
            } else {
                Ok(scenario)
            }
        });
        match read {
            Ok(scenario) => saved.scenarios.push(Scenario {
                name: name.to_owned(),
                ..scenario
            }),
            Err(why) => saved.unused.push((name.to_owned(), why)),
        }
    }
    saved
}

/// Reads a scenario from JSON and checks it beside the planned set.
///
/// # Errors
/// A sentence that says what is wrong with it.
pub fn read(json: &str, planned: &Assumptions) -> Result<Scenario, String> {
    let scenario: Scenario = serde_json::from_str(json).map_err(|error| error.to_string())?;
    scenario.check(planned).map_err(|error| error.to_string())?;
    let unknown = |key: &&String| !tape::actions().iter().any(|action| action.key == **key);
    if let Some(key) = scenario.leave_out.iter().find(unknown) {
        let known: Vec<&str> = tape::actions().iter().map(|action| action.key).collect();
        let key: String = key.chars().take(60).collect();
        return Err(format!(
            "{}: there is no class {key:?} of what is to be done; there are {}",
            scenario.name,
            known.join(", ")
        ));
    }
    Ok(scenario)
}

/// The answer that keeps a scenario in the log.
///
/// # Errors
/// A number in it that JSON cannot hold; scenarios that pass their check have none.
pub fn answer(scenario: &Scenario) -> Result<Answer, String> {
    let text = serde_json::to_string(scenario).map_err(|error| error.to_string())?;
    Ok(Answer::Text(text))
}

/// The planned set and the saved scenarios side by side; nothing where none was saved, or nothing can be planned yet.
#[must_use]
pub fn beside(
    collection: &Collection,
    planned: &Assumptions,
    saved: &Saved,
    settings: &Settings,
) -> Option<SideBySide> {
    if saved.scenarios.is_empty() {
        return None;
    }
    side_by_side(collection, planned, &saved.scenarios, settings).ok()
}
