//! Scenarios that a planner saved in the survey's log, told side by side.
//!
//! Each is one answer about the survey as a whole, to the question [`question`] of its name: it is merged, disagreed about
//! and undone like any answer, and an older program carries it without reading it.

use costing::{Assumptions, MOST_SCENARIOS, Scenario, ScenarioError};
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
    pub unused: Vec<(String, Fault)>,
}

/// Why a saved scenario is not told.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// It is no scenario that this program reads: what is wrong with its JSON.
    #[error("{0}")]
    Json(String),
    /// It is not sound beside the planned set.
    #[error(transparent)]
    Scenario(#[from] ScenarioError),
    /// A class that there is not: the scenario's name, the class, the classes that there are.
    #[error("{0}: there is no class {1:?} of what is to be done; there are {2}")]
    Class(String, String, String),
    /// There are as many already as are told.
    #[error("only {MOST_SCENARIOS} are told side by side")]
    TooMany,
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
                Err(Fault::TooMany)
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
/// What is wrong with it.
pub fn read(json: &str, planned: &Assumptions) -> Result<Scenario, Fault> {
    let scenario: Scenario = serde_json::from_str(json).map_err(|error| Fault::Json(error.to_string()))?;
    scenario.check(planned)?;
    let unknown = |key: &&String| !tape::actions().iter().any(|action| action.key == **key);
    if let Some(key) = scenario.leave_out.iter().find(unknown) {
        let known: Vec<&str> = tape::actions().iter().map(|action| action.key).collect();
        let key: String = key.chars().take(60).collect();
        return Err(Fault::Class(scenario.name, key, known.join(", ")));
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
