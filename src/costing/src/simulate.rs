//! Draws the sample, the items' unknowns and the assumptions together, and adds up what follows.

use std::collections::BTreeSet;

use sampling::math::sqrt;
use sampling::random::Stream;

use crate::assumptions::{Assumptions, AssumptionsError};
use crate::bootstrap::{Factors, Resampler, as_float};
use crate::catalogue::{Driver, Kind, catalogue};
use crate::collection::{Collection, CollectionError, Playing, Stratum};
use crate::outlook::{Cause, Outlook};
use crate::range::Range;

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
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
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
    let mut simulation = Simulation::new(collection, assumptions, settings)?;
    simulation.step(settings.draws);
    Ok(simulation.finish())
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
    /// Of each class, whether it is left out.
    left_out: Vec<bool>,
    outlook: Outlook,
}

/// An assumption that is drawn: catalogue's or own.
struct Line {
    id: String,
    /// Key or label.
    name: String,
    kind: Kind,
    driver: Driver,
    range: Range,
    /// Place among the outlook's causes; none where there is no doubt.
    cause: Option<usize>,
}

/// Amounts of one part of the collection.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Amounts {
    pub(crate) items: f64,
    pub(crate) content: f64,
    pub(crate) machine: f64,
    pub(crate) channel: f64,
}

impl Amounts {
    fn add(&mut self, other: Self, times: f64) {
        self.items += other.items * times;
        self.content += other.content * times;
        self.machine += other.machine * times;
        self.channel += other.channel * times;
    }
}

/// Amounts by class, of cassettes and of what is threaded by hand.
pub(crate) type ByClass = Vec<[Amounts; 2]>;

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
        let lines = lines(assumptions, &mut outlook);
        let apart = lines.iter().map(|_| None).collect();
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
            left_out: vec![false; collection.classes.len()],
            outlook,
        })
    }

    /// The same numbers at random as a simulation of the set `base` has, so that the two differ by what was decided alone:
    /// a line that `base` does not have takes its numbers from a stream of its own.
    #[must_use]
    pub fn beside(mut self, base: &Assumptions) -> Self {
        let mut unused = Outlook::new(self.collection, &self.settings);
        let shared: BTreeSet<String> = lines(base, &mut unused).into_iter().map(|line| line.id).collect();
        let apart = |line: &Line| {
            let purpose = || format!("costing: assumption {}", line.name);
            (!shared.contains(&line.id)).then(|| Stream::new(&self.settings.seed, &purpose()))
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
        let mut strata = self.strata(factors, &shared);
        for (class, _) in self.left_out.iter().enumerate().filter(|(_, is_out)| **is_out) {
            strata
                .iter_mut()
                .for_each(|by_class| by_class[class] = Default::default());
        }
        let rates = Rates::new(&self.lines, &values);
        self.add_up(&strata, &rates, &values);
    }

    /// Amounts of each stratum.
    pub(crate) fn strata(&mut self, factors: &Factors, shared: &[Shared]) -> Vec<ByClass> {
        let (mut at_box, mut at_item) = (0, 0);
        let mut made = Vec::with_capacity(self.collection.strata.len());
        let mut unread = Vec::new();
        for (index, stratum) in self.collection.strata.iter().enumerate() {
            let boxes = &factors.boxes[at_box..at_box + stratum.sampled.len()];
            let n_items: usize = stratum.sampled.iter().map(|b| b.read.len()).sum();
            let items = &factors.items[at_item..at_item + n_items];
            (at_box, at_item) = (at_box + boxes.len(), at_item + n_items);
            let part = draw_stratum(
                stratum,
                (boxes, items),
                shared,
                self.collection.classes.len(),
                &mut self.unknowns,
            );
            self.outlook.stratum_was(index, part.likely);
            unread.push(part.unread);
            made.push(part.by_class);
        }
        // A stratum of which no item was read is like the others together.
        let mut all: ByClass = vec![Default::default(); self.collection.classes.len()];
        for by_class in &made {
            add(&mut all, by_class, 1.0);
        }
        let known = sum(&all).items;
        for (by_class, unread) in made.iter_mut().zip(&unread) {
            if *unread > 0.0 && known > 0.0 {
                add(by_class, &all, unread / known);
            }
        }
        made
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
        for (class, amounts) in self.collection.classes.iter().zip(&all) {
            let (hours, money) = rates.class(class, amounts, storage);
            let both = sum_pair(amounts);
            for (all, task) in staff.iter_mut().zip(hours) {
                *all += task;
            }
            cost += money;
            let key = &class.key;
            self.outlook.push(|| format!("class.{key}.items"), both.items);
            self.outlook
                .push(|| format!("class.{key}.content_hours"), both.content);
            self.outlook.push(|| format!("class.{key}.cost"), money);
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
            ("cost.total", cost + fixed),
        ] {
            self.outlook.push(|| id.to_owned(), value);
        }
        for (task, hours) in TASKS.iter().zip(staff) {
            self.outlook.push(|| format!("staff.{task}"), hours);
        }
        self.by_line(&all, staff_hours, gigabytes * storage.years, boxes, values);
        self.outlook.drawn();
    }

    /// What each price comes to; percentages on what stands before them.
    fn by_line(&mut self, all: &ByClass, staff: f64, gigabyte_years: f64, boxes: f64, values: &[f64]) {
        let classes = &self.collection.classes;
        let items = |of: fn(&crate::Class) -> bool| -> f64 {
            let those = classes.iter().zip(all).filter(|(class, _)| of(class));
            those.map(|(_, amounts)| sum_pair(amounts).items).sum()
        };
        let total = sum(all);
        let (mut so_far, mut labour) = (0.0, 0.0);
        for (line, value) in self
            .lines
            .iter()
            .zip(values)
            .filter(|(line, _)| line.kind == Kind::Money)
        {
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
            self.outlook.push(|| format!("cost.{}", line.id), money);
        }
    }
}

/// The tasks that people's hours are told apart by.
pub(crate) const TASKS: [&str; 6] = ["setup", "repair", "clean", "transfer", "checking", "metadata"];

/// The lines of a set: percentages of everything come last, whatever the order they were given in.
fn lines(assumptions: &Assumptions, outlook: &mut Outlook) -> Vec<Line> {
    let of_catalogue = catalogue().iter().filter_map(|entry| {
        let range = assumptions.range(entry.key)?;
        let id = entry.key.strip_prefix("money.").unwrap_or(entry.key).to_owned();
        Some((id, entry.key.to_owned(), entry.kind, entry.driver, range))
    });
    let own = assumptions.own.iter().enumerate().map(|(n, line)| {
        let id = format!("own.{}", n + 1);
        (id, line.label.clone(), Kind::Money, line.driver, line.value.range)
    });
    let mut all: Vec<_> = of_catalogue.chain(own).collect();
    let last = |driver: Driver| match driver {
        Driver::PercentOfAll => 2,
        Driver::PercentOfLabour => 1,
        _ => 0,
    };
    all.sort_by_key(|(_, _, _, driver, _)| last(*driver));
    all.into_iter()
        .map(|(id, name, kind, driver, range)| {
            let cause = (!range.is_exact()).then(|| outlook.cause(Cause::Assumption(name.clone())));
            Line {
                id,
                name,
                kind,
                driver,
                range,
                cause,
            }
        })
        .collect()
}

/// One draw's assumptions, added up by what they are multiplied by.
struct Rates {
    minutes: [f64; 5],
    attention: [f64; 2],
    checking: f64,
    per: [f64; 12],
    labour_by: f64,
    all_by: f64,
}

impl Rates {
    fn new(lines: &[Line], values: &[f64]) -> Self {
        let of = |id: &str| {
            let found = lines.iter().zip(values).find(|(line, _)| line.id == id);
            found.map_or(0.0, |(_, value)| *value)
        };
        let mut rates = Self {
            minutes: [
                of("time.setup_cassette"),
                of("time.setup_reel"),
                of("time.metadata"),
                of("time.repair"),
                of("time.clean"),
            ],
            attention: [of("part.attention_cassette"), of("part.attention_reel")],
            checking: of("part.checking"),
            per: [0.0; 12],
            labour_by: 1.0,
            all_by: 1.0,
        };
        for (line, value) in lines
            .iter()
            .zip(values)
            .filter(|(line, _)| line.kind == Kind::Money)
        {
            match line.driver {
                Driver::PercentOfLabour => rates.labour_by += value / 100.0,
                Driver::PercentOfAll => rates.all_by *= 1.0 + value / 100.0,
                driver => rates.per[driver as usize] += value,
            }
        }
        rates
    }

    fn price(&self, driver: Driver) -> f64 {
        self.per[driver as usize]
    }

    /// What does not depend on how much of the collection is done.
    fn fixed(&self, boxes: f64) -> f64 {
        (self.price(Driver::Once) + self.price(Driver::Boxes) * boxes) * self.all_by
    }

    /// People's hours by task, and money, of a class's amounts.
    fn class(
        &self,
        class: &crate::Class,
        amounts: &[Amounts; 2],
        storage: &crate::Storage,
    ) -> ([f64; TASKS.len()], f64) {
        let [setup_cassette, setup_reel, metadata, repair, clean] = self.minutes;
        let all = sum_pair(amounts);
        let flag = |holds: bool| f64::from(u8::from(holds));
        let hours = [
            (amounts[0].items * setup_cassette + amounts[1].items * setup_reel) / 60.0,
            flag(class.repair) * all.items * repair / 60.0,
            flag(class.clean) * all.items * clean / 60.0,
            amounts[0].machine * self.attention[0] + amounts[1].machine * self.attention[1],
            all.machine * self.checking,
            all.items * metadata / 60.0,
        ];
        let staff: f64 = hours.iter().sum();
        let money = self.price(Driver::Items) * all.items
            + flag(class.clean) * self.price(Driver::ItemsToClean) * all.items
            + flag(class.repair) * self.price(Driver::ItemsToRepair) * all.items
            + flag(class.specialist) * self.price(Driver::ItemsForSpecialist) * all.items
            + self.price(Driver::ContentHours) * all.content
            + self.price(Driver::MachineHours) * all.machine
            + self.price(Driver::StaffHours) * self.labour_by * staff
            + self.price(Driver::GigabyteYears) * kept(&all, storage) * storage.years;
        (hours, money * self.all_by)
    }
}

/// Gigabytes (10⁹ bytes) of one copy of the masters: rate × bits / 8 × channel-hours.
fn masters(amounts: &Amounts, storage: &crate::Storage) -> f64 {
    f64::from(storage.rate_hz) * f64::from(storage.bits) / 8.0 * 3600.0 * amounts.channel / 1e9
}

/// Gigabytes of all copies, with what is kept free for growth.
fn kept(amounts: &Amounts, storage: &crate::Storage) -> f64 {
    let access = f64::from(storage.access_kbit_s) * 1000.0 / 8.0 * 3600.0 * amounts.content / 1e9;
    (masters(amounts, storage) * f64::from(storage.copies) + access * f64::from(storage.access_copies))
        * (1.0 + storage.growth_percent / 100.0)
}

fn sum(by_class: &ByClass) -> Amounts {
    let mut total = Amounts::default();
    by_class.iter().for_each(|pair| total.add(sum_pair(pair), 1.0));
    total
}

fn sum_pair(pair: &[Amounts; 2]) -> Amounts {
    let mut total = pair[0];
    total.add(pair[1], 1.0);
    total
}

fn add(to: &mut ByClass, what: &ByClass, times: f64) {
    for (to, what) in to.iter_mut().zip(what) {
        to[0].add(what[0], times);
        to[1].add(what[1], times);
    }
}

struct Part {
    by_class: ByClass,
    /// Items of boxes none of whose items was read, where the stratum has no item read at all.
    unread: f64,
    /// The stratum's hours with the likely value of every item: what the sample alone does.
    likely: f64,
}

/// One draw of a stratum: its items weighted by the boxes and items drawn, what is not known taken like the rest of it.
fn draw_stratum(
    stratum: &Stratum,
    (boxes, items): (&[f64], &[f64]),
    shared: &[Shared],
    n_classes: usize,
    unknowns: &mut Stream,
) -> Part {
    let weight = as_float(stratum.n_boxes) / as_float(stratum.sampled.len().max(1) as u64);
    let (mut counted, mut counted_items, mut uncounted) = (0.0, 0.0, 0.0);
    for (b, factor) in stratum.sampled.iter().zip(boxes) {
        match b.n_items {
            Some(n) => {
                counted += factor;
                counted_items += factor * as_float(n);
            }
            None => uncounted += factor,
        }
    }
    let guessed = if counted > 0.0 {
        uncounted * counted_items / counted
    } else {
        0.0
    };
    let all_items = ((counted_items + guessed) * weight).max(0.0);

    let mut known: ByClass = vec![Default::default(); n_classes];
    let mut silent: Vec<[f64; 2]> = vec![[0.0; 2]; n_classes];
    let (mut likely, mut at) = (0.0, 0);
    for b in &stratum.sampled {
        let each = weight * as_float(b.n_items.unwrap_or(0)) / as_float(b.read.len().max(1) as u64);
        for item in &b.read {
            let w = each * items[at];
            at += 1;
            let cell = &mut known[item.class][usize::from(item.by_hand)];
            let Some(playing) = &item.playing else {
                silent[item.class][usize::from(item.by_hand)] += w;
                continue;
            };
            let (mean, expected) = (playing.pass_hours.mean(), expected(playing));
            cell.items += w;
            cell.add(expected, w * mean);
            likely += w * mean * expected.content;
            // What the group shares does not ask which boxes were drawn, and the item stands for `each` of it.
            let tape = tape_of(playing, shared[playing.group].drawn);
            let by = each * mean * shared[playing.group].spread;
            cell.add(tape, by);
            cell.add(expected, -by);
            if !playing.pass_hours.is_exact() {
                // The lengths of the `each` items differ each for itself: their sum differs by the root of so many.
                let own = playing.pass_hours.triangular(unknowns.unit()) - mean;
                cell.add(tape, own * sqrt(each));
            }
        }
    }
    give_the_silent_their_share(&mut known, &silent);
    let read = sum(&known).items;
    if read <= 0.0 {
        return Part {
            by_class: vec![Default::default(); n_classes],
            unread: all_items,
            likely,
        };
    }
    let up = all_items / read;
    let mut by_class: ByClass = vec![Default::default(); n_classes];
    add(&mut by_class, &known, up);
    Part {
        by_class,
        unread: 0.0,
        likely: likely * up,
    }
}

/// What an hour of a pass at the likely speed holds, in a draw of what its group shares.
fn tape_of(playing: &Playing, [speed, tracks]: [f64; 2]) -> Amounts {
    of_pass(
        playing.slower.three_point(speed),
        playing.passes.three_point(tracks),
        playing.tracks.three_point(tracks),
    )
}

/// The mean of the same over all draws.
fn expected(playing: &Playing) -> Amounts {
    of_pass(
        playing.slower.three_point_mean(),
        playing.passes.three_point_mean(),
        playing.tracks.three_point_mean(),
    )
}

fn of_pass(hours: f64, passes: f64, tracks: f64) -> Amounts {
    Amounts {
        items: 0.0,
        content: hours * passes,
        machine: hours * passes,
        channel: hours * tracks,
    }
}

/// What the items of a group share, in one draw.
pub(crate) struct Shared {
    drawn: [f64; 2],
    /// How much of its deviation counts, see [`spreads`].
    spread: f64,
}

impl Shared {
    /// Nothing drawn: every item at what is expected of it.
    pub(crate) fn none() -> Self {
        Self {
            drawn: [0.5; 2],
            spread: 0.0,
        }
    }
}

/// For each group, the root of the part of `W²` that is left when what the sample makes of its weight `W` is taken off: the
/// square of an estimated weight is too large on average by its variance. A group that is in every box keeps all; one that
/// is in a single box of `n` out of `N` stands for `N / n` such groups, whose unknowns are not the same, and keeps
/// `sqrt(n / N)`.
fn spreads(collection: &Collection) -> Vec<f64> {
    let of_box = |b: &crate::SampledBox, group: usize| {
        let each = as_float(b.n_items.unwrap_or(0)) / as_float(b.read.len().max(1) as u64);
        let own = b
            .read
            .iter()
            .filter_map(|item| item.playing)
            .filter(|p| p.group == group);
        each * own
            .map(|p| p.pass_hours.mean() * expected(&p).content)
            .sum::<f64>()
    };
    let spread = |group: usize| {
        let (mut weight, mut variance, mut least) = (0.0, 0.0, 1.0_f64);
        for stratum in &collection.strata {
            let (all, n) = (as_float(stratum.n_boxes), as_float(stratum.sampled.len() as u64));
            let hours: Vec<f64> = stratum.sampled.iter().map(|b| of_box(b, group)).collect();
            let total: f64 = hours.iter().sum();
            if n < 1.0 || total <= 0.0 {
                continue;
            }
            let f = n / all;
            least = least.min(f);
            weight += total / f;
            let squares: f64 = hours.iter().map(|x| x * x).sum();
            // With one box its own square stands in: the most that the formula can say.
            let between = if n > 1.0 {
                (squares - total * total / n) / (n - 1.0)
            } else {
                squares
            };
            variance += all * all * (1.0 - f) * between / n;
        }
        if weight <= 0.0 {
            return 1.0;
        }
        sqrt((1.0 - variance / (weight * weight)).max(least))
    };
    (0..collection.groups.len()).map(spread).collect()
}

/// Items whose playing time nobody can say get that of the others of their kind in the stratum, whatever their class (a
/// class may rest on a single item, and a draw may give that no weight); else of all of the stratum.
fn give_the_silent_their_share(known: &mut ByClass, silent: &[[f64; 2]]) {
    let total = sum(known);
    let mut of_kind = [Amounts::default(); 2];
    for pair in known.iter() {
        for (all, cell) in of_kind.iter_mut().zip(pair) {
            all.add(*cell, 1.0);
        }
    }
    for (pair, waiting) in known.iter_mut().zip(silent) {
        for ((cell, waiting), kind) in pair.iter_mut().zip(waiting).zip(of_kind) {
            if *waiting == 0.0 {
                continue;
            }
            let like = if kind.items > 0.0 { kind } else { total };
            if like.items > 0.0 {
                cell.add(like, waiting / like.items);
            } else {
                cell.items += waiting;
            }
        }
    }
}
