//! Sets of choices side by side: what is done, with how many machines and people, at which rates, for how much money.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::assumptions::{Assumptions, AssumptionsError, Capacity, OwnLine, Storage, Value};
use crate::bootstrap::as_float;
use crate::collection::Collection;
use crate::outlook::{Bought, Outlook, Span, span};
use crate::simulate::{Settings, Simulation, SimulationError, simulate};

/// A named set of choices: what differs from the assumptions that the survey is planned with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Which shape the file has; always [`Scenario::FORMAT`].
    pub format: String,
    /// What the planner calls it: 1 to 80 characters on one line.
    pub name: String,
    /// Classes of items with which nothing is done, by key.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub leave_out: BTreeSet<String>,
    /// The currency, where the planned set has no price yet.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub currency: String,
    /// Values that stand in the place of the planned ones.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub values: BTreeMap<String, Value>,
    /// Lines that come to the planned ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub own: Vec<OwnLine>,
    /// What is kept, if otherwise than planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub storage: Option<Storage>,
    /// Who and what there is, if otherwise than planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<Capacity>,
    /// The money there is, in the set's currency.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub budget: Option<f64>,
    /// The weeks there are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weeks: Option<f64>,
}

/// Why scenarios are refused; each names the scenario.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ScenarioError {
    /// Another shape.
    #[error("this is no scenario that this program reads (format {0:?})")]
    Format(String),
    /// No name, or one that does not fit on a line of a table.
    #[error("a scenario needs a name of 1 to 80 characters on one line")]
    Name,
    /// A class that there is not.
    #[error("{0}: there is no class {1:?} of what is to be done")]
    Class(String, String),
    /// A budget that is no sum of money.
    #[error("{0}: the budget must be a number from 0 to a million million")]
    Budget(String),
    /// Weeks that are no number of weeks.
    #[error("{0}: the weeks must be a number from 0 to 10,000")]
    Weeks(String),
    /// A budget where nothing has a price.
    #[error("{0}: there is a budget, but no price: give prices first")]
    NoPrice(String),
    /// Another currency than the planned set's.
    #[error("{0}: its currency is not that of the planned set, so its costs cannot be set beside them")]
    Currency(String),
    /// Its values are not sound.
    #[error("{0}: {1}")]
    Assumptions(String, AssumptionsError),
    /// Nothing could be simulated.
    #[error(transparent)]
    Simulation(#[from] SimulationError),
}

/// The most scenarios that are told beside the planned set.
pub const MOST_SCENARIOS: usize = 5;

/// The name under which the survey's own assumptions stand.
pub const PLANNED: &str = "As planned";

/// The quantities whose differences are told. `budget.items` is what is done for the budget, `in_weeks.items` what is done in
/// the weeks, where two have such.
pub const DIFFERENCES: [&str; 9] = [
    "items",
    "content_hours",
    "machine_hours",
    "staff_hours",
    "weeks",
    "gigabytes",
    "cost.total",
    "budget.items",
    "in_weeks.items",
];

/// Scenarios told side by side, all given their assumptions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SideBySide {
    /// The seed of the draws.
    pub seed: String,
    /// How many draws; the n-th draw of each scenario has the same numbers at random.
    pub draws: usize,
    /// The level of the ranges.
    pub level: f64,
    /// The planned set first.
    pub scenarios: Vec<Told>,
    /// Every pair.
    pub differences: Vec<Apart>,
}

/// One scenario's result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// Its name.
    pub name: String,
    /// Classes left out.
    pub leave_out: BTreeSet<String>,
    /// Whether it has prices.
    pub priced: bool,
    /// Every quantity by its id; costs only where a price was given.
    pub quantities: BTreeMap<String, Span>,
    /// The budget, if it has one.
    pub budget: Option<f64>,
    /// The chance that the budget pays for all of it.
    pub chance: Option<f64>,
    /// What the budget buys of each class that is not left out.
    pub bought: Vec<Bought>,
    /// The weeks, if it has some.
    pub weeks: Option<f64>,
    /// The chance that they are enough for all of it.
    pub chance_in_weeks: Option<f64>,
    /// What is done in them of each class that is not left out.
    pub done: Vec<Bought>,
}

/// How one scenario differs from another.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Apart {
    /// Place of the one among the scenarios.
    pub of: usize,
    /// Place of the one it is compared with.
    pub from: usize,
    /// The differences, `of - from`, by the quantity's id.
    pub quantities: BTreeMap<String, Changed>,
}

/// A difference.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Changed {
    /// Mean and range of the differences, draw by draw.
    #[serde(flatten)]
    pub span: Span,
    /// The part of the draws in which it is more than 0.
    pub chance_more: f64,
}

impl Scenario {
    /// The shape of the file.
    pub const FORMAT: &'static str = "quarterlight-scenario-1";

    /// A scenario that changes nothing yet.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self {
            format: Self::FORMAT.to_owned(),
            name: name.to_owned(),
            leave_out: BTreeSet::new(),
            currency: String::new(),
            values: BTreeMap::new(),
            own: Vec::new(),
            storage: None,
            capacity: None,
            budget: None,
            weeks: None,
        }
    }

    /// The set that it is simulated with: the planned one, with what it changes.
    #[must_use]
    pub fn applied(&self, planned: &Assumptions) -> Assumptions {
        let mut set = planned.clone();
        set.name.clone_from(&self.name);
        if set.currency.trim().is_empty() {
            set.currency.clone_from(&self.currency);
        }
        set.values.extend(self.values.clone());
        set.own.extend(self.own.iter().cloned());
        set.storage = self.storage.unwrap_or(set.storage);
        set.capacity = self.capacity.unwrap_or(set.capacity);
        set
    }

    /// Whether it is sound beside a planned set.
    ///
    /// # Errors
    /// The first fault, with the scenario's name.
    pub fn check(&self, planned: &Assumptions) -> Result<(), ScenarioError> {
        if self.format != Self::FORMAT {
            return Err(ScenarioError::Format(self.format.chars().take(60).collect()));
        }
        let length = self.name.chars().count();
        if self.name.trim().is_empty() || length > 80 || self.name.chars().any(char::is_control) {
            return Err(ScenarioError::Name);
        }
        let name = || self.name.clone();
        let both = [&self.currency, &planned.currency].map(|currency| !currency.trim().is_empty());
        if both == [true; 2] && self.currency.trim() != planned.currency.trim() {
            return Err(ScenarioError::Currency(name()));
        }
        let set = self.applied(planned);
        set.check()
            .map_err(|error| ScenarioError::Assumptions(name(), error))?;
        if self.weeks.is_some_and(|weeks| !(0.0..=10_000.0).contains(&weeks)) {
            return Err(ScenarioError::Weeks(name()));
        }
        match self.budget {
            Some(budget) if !(0.0..=1e12).contains(&budget) => Err(ScenarioError::Budget(name())),
            Some(_) if !set.has_prices() => Err(ScenarioError::NoPrice(name())),
            _ => Ok(()),
        }
    }
}

/// What one simulation left: its result, and the draws that differences are made of.
struct Simulated {
    told: Told,
    draws: BTreeMap<&'static str, Vec<f64>>,
}

/// The planned set and scenarios side by side, at most [`MOST_SCENARIOS`] of them; those after are left out.
///
/// All are drawn with the same numbers at random: the same boxes, the same unknowns of items, the same place within the
/// range of each assumption (common random numbers, paired draws). What they have in common therefore cancels in a
/// difference, and its range is that of what was decided otherwise.
///
/// # Errors
/// See [`ScenarioError`].
pub fn side_by_side(
    collection: &Collection,
    planned: &Assumptions,
    scenarios: &[Scenario],
    settings: &Settings,
) -> Result<SideBySide, ScenarioError> {
    let alone = simulate(collection, planned, settings)?;
    beside_outlook(&alone, collection, planned, scenarios, &mut |_, _| {})
}

/// The same beside an outlook that was drawn already of this collection and the planned set alone, which has the same
/// digits. `told` hears how many of all further draws are made.
///
/// # Errors
/// See [`ScenarioError`].
pub fn beside_outlook(
    alone: &Outlook,
    collection: &Collection,
    planned: &Assumptions,
    scenarios: &[Scenario],
    told: &mut dyn FnMut(usize, usize),
) -> Result<SideBySide, ScenarioError> {
    let scenarios = scenarios.get(..MOST_SCENARIOS).unwrap_or(scenarios);
    let settings = alone.settings();
    let mut all = vec![summed(alone, planned, &Scenario::new(PLANNED))];
    for (at, scenario) in scenarios.iter().enumerate() {
        scenario.check(planned)?;
        let unknown = scenario
            .leave_out
            .iter()
            .find(|key| !collection.classes.iter().any(|class| class.key == **key));
        if let Some(key) = unknown {
            let key = key.chars().take(60).collect();
            return Err(ScenarioError::Class(scenario.name.clone(), key));
        }
        let set = scenario.applied(planned);
        let simulation = Simulation::new(collection, &set, settings)?;
        let simulation = simulation.beside(planned).without(&scenario.leave_out);
        let draws = settings.draws;
        let outlook = simulation.run(&mut |done| told(at * draws + done, scenarios.len() * draws));
        all.push(summed(&outlook, &set, scenario));
    }
    let mut differences = Vec::new();
    for of in 1..all.len() {
        for from in 0..of {
            differences.push(Apart {
                of,
                from,
                quantities: apart(&all[of], &all[from], settings.level),
            });
        }
    }
    Ok(SideBySide {
        seed: settings.seed.clone(),
        draws: settings.draws,
        level: settings.level,
        scenarios: all.into_iter().map(|simulated| simulated.told).collect(),
        differences,
    })
}

/// Sums up the outlook of a scenario, whose whole set is `set`.
fn summed(outlook: &Outlook, set: &Assumptions, scenario: &Scenario) -> Simulated {
    let level = outlook.settings().level;
    let priced = set.has_prices();
    let mut draws: BTreeMap<&'static str, Vec<f64>> = DIFFERENCES
        .into_iter()
        .filter(|id| priced || !id.contains("cost"))
        .map(|id| (id, outlook.draws(id).to_vec()))
        .filter(|(_, draws)| !draws.is_empty())
        .collect();
    let mut quantities: BTreeMap<String, Span> = outlook
        .ids()
        .filter(|id| priced || !id.contains("cost"))
        .filter_map(|id| Some((id.to_owned(), outlook.range(id)?)))
        .collect();
    let is_in = |bought: &Bought| !scenario.leave_out.contains(&bought.class);
    let (mut bought, mut done) = (Vec::new(), Vec::new());
    if let Some(weeks) = scenario.weeks {
        let (of_classes, together) = outlook.worked(weeks, &set.capacity);
        done.extend(of_classes.into_iter().filter(is_in));
        quantities.extend(span(&together, level).map(|span| ("in_weeks.items".to_owned(), span)));
        draws.insert("in_weeks.items", together);
    }
    if let Some(budget) = scenario.budget {
        let (of_classes, together) = outlook.spent(budget);
        bought.extend(of_classes.into_iter().filter(is_in));
        quantities.extend(span(&together, level).map(|span| ("budget.items".to_owned(), span)));
        draws.insert("budget.items", together);
    }
    Simulated {
        told: Told {
            name: scenario.name.clone(),
            leave_out: scenario.leave_out.clone(),
            priced,
            quantities,
            budget: scenario.budget,
            chance: scenario
                .budget
                .and_then(|budget| outlook.chance_within("cost.total", budget)),
            bought,
            weeks: scenario.weeks,
            chance_in_weeks: scenario
                .weeks
                .and_then(|weeks| outlook.chance_within("weeks", weeks)),
            done,
        },
        draws,
    }
}

fn apart(of: &Simulated, from: &Simulated, level: f64) -> BTreeMap<String, Changed> {
    let mut made = BTreeMap::new();
    for (id, draws) in &of.draws {
        let Some(others) = from.draws.get(id) else {
            continue;
        };
        let differences: Vec<f64> = draws.iter().zip(others).map(|(a, b)| a - b).collect();
        let more = differences.iter().filter(|difference| **difference > 0.0).count();
        if let Some(span) = span(&differences, level) {
            let chance_more = as_float(more as u64) / as_float(differences.len() as u64);
            made.insert((*id).to_owned(), Changed { span, chance_more });
        }
    }
    made
}
