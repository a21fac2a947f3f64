//! Draws the sample, the items' unknowns and the assumptions together, and adds up what follows.

use std::collections::BTreeSet;

use sampling::random::Stream;

use crate::amounts::{ByClass, add, kept, masters, sum, sum_of, sum_pair};
use crate::assumptions::{Assumptions, AssumptionsError};
use crate::bootstrap::{Factors, Resampler, as_float};
use crate::catalogue::{Driver, Kind, OUTSIDE};
use crate::collection::{Collection, CollectionError};
use crate::learned::Learning;
use crate::outlook::{Cause, Outlook};
use crate::rates::{Line, Rates, TASKS, lines};
use crate::stratum::{Shared, expected_hours, parts, spreads, together};

/// How many draws are made between two words on how far it is.
const DRAWS_A_STEP: usize = 250;

/// How to simulate.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// The seed, recorded with the result: the same seed gives the same digits.
    pub seed: String,
    /// How many draws; 10,000 put the ends of an interval within some 2% of its width.
    pub draws: usize,
    /// The level of the intervals, 0.9 for example: the sample's part is widened for few boxes at this level.
    pub level: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            seed: "1".to_owned(),
            draws: 10_000,
            level: 0.9,
        }
    }
}

/// Why nothing was simulated.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, thiserror::Error)]
pub enum SimulationError {
    /// The collection is not sound.
    #[error(transparent)]
    Collection(#[from] CollectionError),
    /// The assumptions are not sound.
    #[error(transparent)]
    Assumptions(#[from] AssumptionsError),
    /// A level outside 0.5 to 0.999, or not between 100 and 1,000,000 draws.
    #[error("the level must be between 0.5 and 0.999, the draws between 100 and 1,000,000")]
    Settings,
}

/// What a collection takes, given the assumptions.
///
/// # Errors
/// See [`SimulationError`].
pub fn simulate(
    collection: &Collection,
    assumptions: &Assumptions,
    settings: &Settings,
) -> Result<Outlook, SimulationError> {
    Ok(Simulation::new(collection, assumptions, settings)?.run(&mut |_| {}))
}

/// A simulation that is run in parts, so that a screen can show progress and stop it.
pub struct Simulation<'a> {
    collection: &'a Collection,
    assumptions: &'a Assumptions,
    settings: Settings,
    lines: Vec<Line>,
    resampler: Resampler,
    spreads: Vec<f64>,
    sampling: Stream,
    unknowns: Stream,
    assuming: Stream,
    /// Of lines that the set beside which this one is simulated does not have: a stream each, by the line's place.
    apart: Vec<Option<Stream>>,
    /// Place of the line that judgements from outside are drawn by, where the collection has any.
    judged: Option<usize>,
    /// Of each class, whether it is left out.
    left_out: Vec<bool>,
    /// What the first transfers taught, as it is drawn.
    learned: Option<Learning>,
    outlook: Outlook,
}

/// The numbers at random of a line that does not share the others'.
fn own_stream(settings: &Settings, line: &Line) -> Stream {
    Stream::new(&settings.seed, &format!("costing: assumption {}", line.name))
}

impl<'a> Simulation<'a> {
    /// Prepares a simulation.
    ///
    /// # Errors
    /// See [`SimulationError`].
    pub fn new(
        collection: &'a Collection,
        assumptions: &'a Assumptions,
        settings: &Settings,
    ) -> Result<Self, SimulationError> {
        collection.check()?;
        assumptions.check()?;
        if !(0.5..=0.999).contains(&settings.level) || !(100..=1_000_000).contains(&settings.draws) {
            return Err(SimulationError::Settings);
        }
        let mut outlook = Outlook::new(collection, settings);
        let cause_of_transfers = collection
            .learned
            .filter(|learned| learned.sd > 0.0)
            .map(|_| outlook.cause(Cause::Transfers));
        let lines = lines(collection, assumptions, &mut outlook);
        let judged = lines.iter().position(|line| line.id == OUTSIDE);
        // A stream of its own, so that no other line has other numbers where a box was judged.
        let apart = lines
            .iter()
            .map(|line| (line.id == OUTSIDE).then(|| own_stream(settings, line)))
            .collect();
        let stream = |purpose: &str| Stream::new(&settings.seed, purpose);
        Ok(Self {
            collection,
            assumptions,
            settings: settings.clone(),
            lines,
            resampler: Resampler::new(collection, settings.level),
            spreads: spreads(collection),
            sampling: stream("costing: sample"),
            unknowns: stream("costing: unknowns of items"),
            assuming: stream("costing: assumptions"),
            apart,
            judged,
            left_out: vec![false; collection.classes.len()],
            learned: Learning::new(collection, settings, cause_of_transfers),
            outlook,
        })
    }

    /// The same numbers at random as a simulation of the set `base` has, so that the two differ by what was decided alone:
    /// a line that `base` does not have takes its numbers from a stream of its own.
    #[must_use]
    pub fn beside(mut self, base: &Assumptions) -> Self {
        let mut unused = Outlook::new(self.collection, &self.settings);
        let shared: BTreeSet<String> = lines(self.collection, base, &mut unused)
            .into_iter()
            .map(|line| line.id)
            .collect();
        let apart = |line: &Line| {
            let is_apart = line.id == OUTSIDE || !shared.contains(&line.id);
            is_apart.then(|| own_stream(&self.settings, line))
        };
        self.apart = self.lines.iter().map(apart).collect();
        self
    }

    /// Leaves classes out, by key: nothing is done with their items, and they cost nothing.
    #[must_use]
    pub fn without(mut self, classes: &BTreeSet<String>) -> Self {
        let is_out = |class: &crate::Class| classes.contains(&class.key);
        self.left_out = self.collection.classes.iter().map(is_out).collect();
        self
    }

    /// Draws left.
    #[must_use]
    pub fn left(&self) -> usize {
        self.settings.draws.saturating_sub(self.outlook.n_draws())
    }

    /// Makes at most `draws` more draws.
    pub fn step(&mut self, draws: usize) {
        let mut factors = Factors::default();
        for _ in 0..draws.min(self.left()) {
            self.draw(&mut factors);
        }
    }

    /// Makes all draws that are left; `told` hears now and then how many are made.
    #[must_use]
    pub fn run(mut self, told: &mut dyn FnMut(usize)) -> Outlook {
        while self.left() > 0 {
            told(self.outlook.n_draws());
            self.step(DRAWS_A_STEP);
        }
        self.finish()
    }

    /// The result of the draws made.
    #[must_use]
    pub fn finish(self) -> Outlook {
        self.outlook
    }

    fn draw(&mut self, factors: &mut Factors) {
        self.resampler.draw(&mut self.sampling, factors);
        let shared: Vec<Shared> = self
            .spreads
            .iter()
            .map(|spread| Shared {
                drawn: [self.unknowns.unit(), self.unknowns.unit()],
                spread: *spread,
            })
            .collect();
        let values: Vec<f64> = self
            .lines
            .iter()
            .zip(&mut self.apart)
            .map(|(line, apart)| {
                let u = apart.as_mut().unwrap_or(&mut self.assuming).unit();
                line.range.triangular(u)
            })
            .collect();
        for (line, value) in self.lines.iter().zip(&values) {
            if let Some(cause) = line.cause {
                self.outlook.cause_was(cause, *value);
            }
        }
        for (group, drawn) in shared.iter().enumerate() {
            self.outlook.group_was(group, drawn.drawn);
        }
        let judged = self.judged.map_or(1.0, |at| values[at]);
        let mut strata = self.strata(factors, judged, &shared);
        if let Some(mut learned) = self.learned.take() {
            let expected = expected_hours(self.collection, factors, judged);
            let deviation = learned.draw();
            if let Some(cause) = learned.cause {
                self.outlook.cause_was(cause, deviation);
            }
            learned.put_right(&mut strata, expected, deviation);
            self.learned = Some(learned);
        }
        for (class, _) in self.left_out.iter().enumerate().filter(|(_, is_out)| **is_out) {
            strata
                .iter_mut()
                .for_each(|by_class| by_class[class] = Default::default());
        }
        let rates = Rates::new(&self.lines, &values);
        self.add_up(&strata, &rates, &values);
    }

    /// What an item that was judged from outside likely stands for.
    pub(crate) fn judged_at_likely(&self) -> f64 {
        self.judged.map_or(1.0, |at| self.lines[at].range.likely)
    }

    /// Amounts of each stratum.
    pub(crate) fn strata(&mut self, factors: &Factors, judged: f64, shared: &[Shared]) -> Vec<ByClass> {
        let parts = parts(self.collection, factors, judged, shared, Some(&mut self.unknowns));
        for (index, part) in parts.iter().enumerate() {
            self.outlook.stratum_was(index, part.likely);
        }
        together(parts, self.collection.classes.len())
    }

    /// Puts amounts right that nothing was drawn for.
    pub(crate) fn put_right_at_likely(&self, strata: &mut [ByClass]) {
        if let Some(learned) = &self.learned {
            let as_they_are = sum_of(strata).content;
            learned.put_right(strata, as_they_are, 0.0);
        }
    }

    /// Adds up with every assumption at its likely value.
    pub(crate) fn at_likely(&mut self, strata: &[ByClass]) {
        let values: Vec<f64> = self.lines.iter().map(|line| line.range.likely).collect();
        let rates = Rates::new(&self.lines, &values);
        self.add_up(strata, &rates, &values);
    }

    fn add_up(&mut self, strata: &[ByClass], rates: &Rates, values: &[f64]) {
        let boxes = self.collection.strata.iter().map(|s| as_float(s.n_boxes)).sum();
        let storage = &self.assumptions.storage;
        let mut all: ByClass = vec![Default::default(); self.collection.classes.len()];
        strata.iter().for_each(|by_class| add(&mut all, by_class, 1.0));
        let fixed = rates.fixed(boxes);
        let (mut staff, mut cost) = ([0.0; TASKS.len()], 0.0);
        let mut of_classes: Vec<[f64; OF_CLASS.len()]> = Vec::with_capacity(all.len());
        for (class, amounts) in self.collection.classes.iter().zip(&all) {
            let (hours, money) = rates.class(class, amounts, storage);
            let both = sum_pair(amounts);
            for (all, task) in staff.iter_mut().zip(hours) {
                *all += task;
            }
            cost += money;
            let staff_hours = hours.iter().sum();
            let before = rates.before(class, amounts);
            of_classes.push([both.items, both.content, both.machine, staff_hours, money, before]);
        }
        for at in 0..OF_CLASS.len() {
            if of_classes.iter().all(|of_class| of_class[at] >= 0.0) {
                continue;
            }
            let mut values: Vec<f64> = of_classes.iter().map(|of_class| of_class[at]).collect();
            let whole = values.iter().sum();
            held_above_nothing(&mut values, whole);
            of_classes
                .iter_mut()
                .zip(values)
                .for_each(|(of_class, held)| of_class[at] = held);
        }
        // A part stays a part, however the two were held above nothing.
        for [.., money, before] in &mut of_classes {
            *before = before.min(*money);
        }
        // What is paid whatever is found is paid in a draw that finds less than nothing, too.
        let whole = cost.max(0.0) + fixed;
        for (class, values) in self.collection.classes.iter().zip(&of_classes) {
            for (what, value) in OF_CLASS.iter().zip(values) {
                self.outlook
                    .push(|| format!("class.{}.{what}", class.key), *value);
            }
        }
        for (index, by_class) in strata.iter().enumerate() {
            for (class, amounts) in by_class.iter().enumerate() {
                self.outlook
                    .class_in_stratum(class, index, sum_pair(amounts).items);
            }
        }
        for (stratum, by_class) in self.collection.strata.iter().zip(strata) {
            let money: f64 = self
                .collection
                .classes
                .iter()
                .zip(by_class)
                .map(|(class, amounts)| rates.class(class, amounts, storage).1)
                .sum();
            let total = sum(by_class);
            let key = &stratum.key;
            self.outlook.push(|| format!("stratum.{key}.items"), total.items);
            self.outlook
                .push(|| format!("stratum.{key}.content_hours"), total.content);
            self.outlook.push(|| format!("stratum.{key}.cost"), money);
        }
        let total = sum(&all);
        let gigabytes = kept(&total, storage);
        let staff_hours: f64 = staff.iter().sum();
        let capacity = &self.assumptions.capacity;
        let weeks_machines = total.machine / (capacity.machines * capacity.machine_hours_week);
        let weeks_people = staff_hours / (capacity.people * capacity.people_hours_week);
        for (id, value) in [
            ("items", total.items),
            ("content_hours", total.content),
            ("machine_hours", total.machine),
            ("channel_hours", total.channel),
            ("staff_hours", staff_hours),
            ("weeks_machines", weeks_machines),
            ("weeks_people", weeks_people),
            ("weeks", weeks_machines.max(weeks_people)),
            ("gigabytes_masters", masters(&total, storage)),
            ("gigabytes", gigabytes),
            ("gigabyte_years", gigabytes * storage.years),
            ("cost.fixed", fixed),
            ("cost.total", whole),
        ] {
            self.outlook.push(|| id.to_owned(), value);
        }
        for (task, hours) in TASKS.iter().zip(staff) {
            self.outlook.push(|| format!("staff.{task}"), hours);
        }
        self.by_line(&all, staff_hours, gigabytes * storage.years, boxes, values, whole);
        self.outlook.drawn();
    }

    /// What each price comes to; percentages on what stands before them. Together they are `whole`.
    fn by_line(
        &mut self,
        all: &ByClass,
        staff: f64,
        gigabyte_years: f64,
        boxes: f64,
        values: &[f64],
        whole: f64,
    ) {
        let classes = &self.collection.classes;
        let items = |of: fn(&crate::Class) -> bool| -> f64 {
            let those = classes.iter().zip(all).filter(|(class, _)| of(class));
            those.map(|(_, amounts)| sum_pair(amounts).items).sum()
        };
        let total = sum(all);
        let (mut so_far, mut labour) = (0.0, 0.0);
        let mut of_lines = Vec::with_capacity(self.lines.len());
        let prices = self.lines.iter().zip(values);
        for (line, value) in prices.filter(|(line, _)| line.kind == Kind::Money) {
            let amount = match line.driver {
                Driver::Items => total.items,
                Driver::ItemsToClean => items(|c| c.clean),
                Driver::ItemsToRepair => items(|c| c.repair),
                Driver::ItemsForSpecialist => items(|c| c.specialist),
                Driver::Boxes => boxes,
                Driver::ContentHours => total.content,
                Driver::MachineHours => total.machine,
                Driver::StaffHours => staff,
                Driver::GigabyteYears => gigabyte_years,
                Driver::Once => 1.0,
                Driver::PercentOfLabour => labour / 100.0,
                Driver::PercentOfAll => so_far / 100.0,
            };
            let money = value * amount;
            so_far += money;
            if line.driver == Driver::StaffHours {
                labour += money;
            }
            of_lines.push(money);
        }
        held_above_nothing(&mut of_lines, whole);
        let prices = self.lines.iter().filter(|line| line.kind == Kind::Money);
        for (line, money) in prices.zip(of_lines) {
            self.outlook.push(|| format!("cost.{}", line.id), money);
        }
    }
}

/// What is told of each class, in the order in which a draw makes it.
const OF_CLASS: [&str; 6] = [
    "items",
    "content_hours",
    "machine_hours",
    "staff_hours",
    "cost",
    "cost_before",
];

/// Holds the parts of a draw above 0, so that they add up to the `whole` all the same.
///
/// A draw of few boxes may give a part a weight under 0: of `n` boxes one that was not drawn has the factor
/// `1 - t/z sqrt(1 - f)`. Held above 0 each by itself, parts `x` would add up to `sum(x) + sum(max(-x, 0))`, more than the
/// whole. So those above 0 give way in proportion: `max(x, 0) whole / sum(max(x, 0))` adds up to the whole, lies between 0
/// and `max(x, 0)` where the whole is `sum(x)`, and is `x` where none is under 0. Where the whole is not above 0, every part
/// is 0 as it is.
fn held_above_nothing(parts: &mut [f64], whole: f64) {
    if parts.iter().all(|part| *part >= 0.0) {
        return;
    }
    let above: f64 = parts.iter().map(|part| part.max(0.0)).sum();
    let share = if whole > 0.0 && above > 0.0 {
        whole / above
    } else {
        0.0
    };
    parts.iter_mut().for_each(|part| *part = part.max(0.0) * share);
}
