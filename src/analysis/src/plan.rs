//! A survey's outlook and its scenarios, drawn once for everybody who shows them: screens, the report, the workbook.

use costing::{
    Assumptions, Collection, Outlook, ScenarioError, Settings, SideBySide, Simulation, SimulationError,
    beside_outlook,
};
use survey::State;

use crate::outlook::{Summary, assumptions, collection, summary};
use crate::scenarios::{Saved, saved};

/// How a survey's outlook is drawn wherever it is shown: its id is the seed, so that no screen and no paper has other digits.
#[must_use]
pub fn settings(state: &State) -> Settings {
    Settings {
        seed: state.survey.to_string(),
        ..Settings::default()
    }
}

/// The outlook of a survey, and what its saved scenarios differ by.
#[derive(Debug, Clone)]
pub struct Plan {
    /// What is simulated.
    pub collection: Collection,
    /// The planned set.
    pub assumptions: Assumptions,
    /// The draws, or why there are none.
    pub outlook: Result<Outlook, SimulationError>,
    /// The scenarios in the log.
    pub saved: Saved,
    /// The planned set and the scenarios side by side, once it was drawn; nothing where none was saved.
    side_by_side: Option<SideBySide>,
    settings: Settings,
}

impl Plan {
    /// Draws the outlook, and nothing where a plan from before rests on the same. `told` hears how many of all draws are made.
    #[must_use]
    pub fn of(state: &State, before: Option<Self>, told: &mut dyn FnMut(usize, usize)) -> Self {
        let (collection, assumptions, settings) = (collection(state), assumptions(state), settings(state));
        let saved = saved(state, &assumptions);
        let is_same = |before: &Self| {
            before.collection == collection
                && before.assumptions == assumptions
                && before.settings == settings
        };
        if let Some(before) = before.filter(is_same) {
            let side_by_side = before.side_by_side.filter(|_| before.saved == saved);
            return Self {
                saved,
                side_by_side,
                ..before
            };
        }
        let simulation = Simulation::new(&collection, &assumptions, &settings);
        let outlook = simulation.map(|simulation| simulation.run(&mut |done| told(done, settings.draws)));
        Self {
            collection,
            assumptions,
            outlook,
            saved,
            side_by_side: None,
            settings,
        }
    }

    /// The same with its scenarios drawn beside it.
    #[must_use]
    pub fn whole(state: &State, before: Option<Self>, told: &mut dyn FnMut(usize, usize)) -> Self {
        let n_scenarios = saved(state, &assumptions(state)).scenarios.len();
        let all = settings(state).draws * (1 + n_scenarios);
        let mut plan = Self::of(state, before, &mut |done, _| told(done, all));
        plan.draw_beside(&mut |done, of| told(all.saturating_sub(of) + done, all));
        plan
    }

    /// Draws the scenarios, unless they are drawn already.
    fn draw_beside(&mut self, told: &mut dyn FnMut(usize, usize)) {
        if self.side_by_side.is_some() || self.saved.scenarios.is_empty() {
            return;
        }
        let Ok(alone) = &self.outlook else { return };
        let made: Result<SideBySide, ScenarioError> = beside_outlook(
            alone,
            &self.collection,
            &self.assumptions,
            &self.saved.scenarios,
            told,
        );
        // Cannot fail: what is among the saved ones was checked when it was read.
        self.side_by_side = made.ok();
    }

    /// The outlook summed up.
    ///
    /// # Errors
    /// Why there is none.
    pub fn summary(&self) -> Result<Summary, SimulationError> {
        let outlook = self.outlook.as_ref().map_err(Clone::clone)?;
        Ok(summary(outlook, &self.assumptions))
    }

    /// The planned set and the saved scenarios side by side; nothing where none was saved, nothing can be planned yet, or
    /// they were not drawn ([`Plan::whole`]).
    #[must_use]
    pub fn side_by_side(&self) -> Option<&SideBySide> {
        self.side_by_side.as_ref()
    }
}
