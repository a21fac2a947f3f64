//! What the draws say: intervals, chances, what a budget buys, and what drives the spread.

use std::collections::BTreeMap;

use sampling::math::sqrt;

use crate::assumptions::Capacity;
use crate::collection::Collection;
use crate::simulate::Settings;

/// The draws of a simulation, by quantity.
///
/// Ids: `items`, `content_hours`, `machine_hours`, `channel_hours`, `staff_hours`, `staff.<task>`, `weeks`,
/// `weeks_machines`, `weeks_people`, `gigabytes`, `gigabytes_masters`, `gigabyte_years`, `cost.total`, `cost.fixed`,
/// `cost.<price>`, `class.<key>.items|content_hours|machine_hours|staff_hours|cost|cost_before` (what is spent before it is
/// copied), `stratum.<key>.items|content_hours|cost`.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    settings: Settings,
    classes: Vec<String>,
    strata: Vec<Sampled>,
    groups: Vec<String>,
    /// Items transferred, where the hours were put right by what that taught.
    learned: Option<u64>,
    n_draws: usize,
    /// Draws by quantity, in the order in which a draw makes them.
    columns: Vec<Vec<f64>>,
    /// Where each quantity is.
    places: BTreeMap<String, usize>,
    /// The column that comes next in the draw being made.
    next: usize,
    /// Sums over the draws of each class's items in each stratum: class by class, the strata in order.
    class_items: Vec<f64>,
    causes: Vec<(Cause, Vec<f32>)>,
    /// Places among the causes: of strata, and of speed and tracks of groups.
    of_strata: Vec<Option<usize>>,
    of_groups: Vec<[Option<usize>; 2]>,
}

#[derive(Clone, Debug, PartialEq)]
struct Sampled {
    key: String,
    n_boxes: u64,
    n_sampled: u64,
}

/// Mean and interval of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Span {
    /// Mean of the draws.
    pub mean: f64,
    /// Lower end at the outlook's level.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// Upper end.
    pub high: f64,
}

/// Something that is not known and moves a result.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum Cause {
    /// Which boxes of a stratum were drawn.
    Sample(String),
    /// The speed that the items of a group were recorded at.
    Speed(String),
    /// The tracks that the items of a group were recorded on.
    Tracks(String),
    /// An assumption, by its key or label.
    Assumption(String),
    /// Which items were transferred first.
    Transfers,
}

/// How much a cause moves a result.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Driving {
    /// What.
    pub cause: Cause,
    /// The part of the variance that is gone when it is known: the first-order index, 0 to 1.
    pub share: f64,
    /// About how wide the interval would be, as a part of what it is now, if the cause were known; for a sample, if ten more
    /// boxes of the stratum were checked.
    pub width_then: f64,
}

/// What a budget, or a number of weeks, does for a class.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Bought {
    /// The class.
    pub class: String,
    /// Items done.
    pub items: Span,
    /// The part of the class that is done, 0 to 1.
    pub part: Span,
    /// The chance that all of the class is done.
    pub chance_of_all: f64,
    /// Items done by stratum, by key, on average: an item is done in one stratum as soon as in another.
    pub strata: BTreeMap<String, f64>,
}

impl Outlook {
    pub(crate) fn new(collection: &Collection, settings: &Settings) -> Self {
        let mut outlook = Self {
            settings: settings.clone(),
            classes: collection.classes.iter().map(|class| class.key.clone()).collect(),
            strata: collection
                .strata
                .iter()
                .map(|s| Sampled {
                    key: s.key.clone(),
                    n_boxes: s.n_boxes,
                    n_sampled: s.sampled.len() as u64,
                })
                .collect(),
            groups: collection.groups.clone(),
            learned: collection.learned.map(|learned| learned.n),
            n_draws: 0,
            columns: Vec::new(),
            places: BTreeMap::new(),
            next: 0,
            class_items: vec![0.0; collection.classes.len() * collection.strata.len()],
            causes: Vec::new(),
            of_strata: Vec::new(),
            of_groups: Vec::new(),
        };
        for stratum in &collection.strata {
            let whole = stratum.sampled.len() as u64 >= stratum.n_boxes
                && stratum
                    .sampled
                    .iter()
                    .all(|b| b.n_items == Some(b.read.len() as u64));
            let cause = (!whole).then(|| outlook.cause(Cause::Sample(stratum.key.clone())));
            outlook.of_strata.push(cause);
        }
        for (group, name) in collection.groups.iter().enumerate() {
            let mut playing = collection
                .items()
                .filter_map(|item| item.playing)
                .filter(|p| p.group == group);
            let (mut speed, mut tracks) = (false, false);
            playing.by_ref().for_each(|p| {
                speed |= !p.slower.is_exact();
                tracks |= !(p.passes.is_exact() && p.tracks.is_exact());
            });
            let speed = speed.then(|| outlook.cause(Cause::Speed(name.clone())));
            let tracks = tracks.then(|| outlook.cause(Cause::Tracks(name.clone())));
            outlook.of_groups.push([speed, tracks]);
        }
        outlook
    }

    pub(crate) fn cause(&mut self, cause: Cause) -> usize {
        self.causes.push((cause, Vec::new()));
        self.causes.len() - 1
    }

    #[allow(
        clippy::cast_possible_truncation,
        reason = "a cause's value only orders the draws"
    )]
    pub(crate) fn cause_was(&mut self, cause: usize, value: f64) {
        self.causes[cause].1.push(value as f32);
    }

    pub(crate) fn stratum_was(&mut self, stratum: usize, value: f64) {
        if let Some(cause) = self.of_strata[stratum] {
            self.cause_was(cause, value);
        }
    }

    pub(crate) fn group_was(&mut self, group: usize, drawn: [f64; 2]) {
        for (cause, value) in self.of_groups[group].into_iter().zip(drawn) {
            if let Some(cause) = cause {
                self.cause_was(cause, value);
            }
        }
    }

    /// Adds a value of the draw being made; never under 0, which widened factors could give. Every draw makes the same
    /// quantities in the same order, so the id is asked for once.
    pub(crate) fn push(&mut self, id: impl FnOnce() -> String, value: f64) {
        if self.n_draws == 0 {
            self.places.insert(id(), self.columns.len());
            self.columns.push(Vec::with_capacity(self.settings.draws));
        }
        self.columns[self.next].push(value.max(0.0));
        self.next += 1;
    }

    /// Adds the items of a class in a stratum of the draw being made.
    pub(crate) fn class_in_stratum(&mut self, class: usize, stratum: usize, items: f64) {
        self.class_items[class * self.strata.len() + stratum] += items.max(0.0);
    }

    /// Ends a draw.
    pub(crate) fn drawn(&mut self) {
        self.n_draws += 1;
        self.next = 0;
    }

    /// How many draws were made.
    #[must_use]
    pub fn n_draws(&self) -> usize {
        self.n_draws
    }

    /// How it was simulated.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Ids of all quantities, in order.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.places.keys().map(String::as_str)
    }

    /// The draws of a quantity; empty for an id that there is not.
    #[must_use]
    pub fn draws(&self, id: &str) -> &[f64] {
        self.places
            .get(id)
            .map_or(&[], |place| self.columns[*place].as_slice())
    }

    /// Mean and interval of a quantity at the outlook's level; nothing for an id that there is not.
    #[must_use]
    pub fn range(&self, id: &str) -> Option<Span> {
        span(self.draws(id), self.settings.level)
    }

    /// The chance, given the assumptions, that a quantity is no more than `amount`.
    #[must_use]
    pub fn chance_within(&self, id: &str, amount: f64) -> Option<f64> {
        let draws = self.draws(id);
        let within = draws.iter().filter(|value| **value <= amount).count();
        (!draws.is_empty()).then(|| ratio(within, draws.len()))
    }

    /// What a budget buys, class by class in the order of the collection's classes: what costs once comes first, then the
    /// most pressing class as far as the money goes, an item of a class costing what its mean item costs.
    #[must_use]
    pub fn buys(&self, budget: f64) -> Vec<Bought> {
        self.spent(budget).0
    }

    /// The same, and the items done in each draw.
    pub(crate) fn spent(&self, budget: f64) -> (Vec<Bought>, Vec<f64>) {
        let fixed = self.draws("cost.fixed");
        let left = fixed.iter().map(|fixed| (budget - fixed).max(0.0)).collect();
        self.in_turn(&[("cost", left)])
    }

    /// What a number of weeks is enough for, class by class in the same order: as far as both the machines' hours and the
    /// people's go.
    #[must_use]
    pub fn done_in(&self, weeks: f64, capacity: &Capacity) -> Vec<Bought> {
        self.worked(weeks, capacity).0
    }

    /// The same, and the items done in each draw.
    pub(crate) fn worked(&self, weeks: f64, capacity: &Capacity) -> (Vec<Bought>, Vec<f64>) {
        let machines = weeks * capacity.machines * capacity.machine_hours_week;
        let people = weeks * capacity.people * capacity.people_hours_week;
        self.in_turn(&[
            ("machine_hours", vec![machines; self.n_draws]),
            ("staff_hours", vec![people; self.n_draws]),
        ])
    }

    /// Takes class after class as far as all that is there in a draw goes: each a quantity of the classes, and how much of
    /// it there is.
    fn in_turn(&self, there: &[(&str, Vec<f64>)]) -> (Vec<Bought>, Vec<f64>) {
        let mut left: Vec<Vec<f64>> = there.iter().map(|(_, amounts)| amounts.clone()).collect();
        let mut bought = Vec::new();
        let mut together = vec![0.0; self.n_draws];
        for (at, class) in self.classes.iter().enumerate() {
            let takes: Vec<&[f64]> = there
                .iter()
                .map(|(what, _)| self.draws(&format!("class.{class}.{what}")))
                .collect();
            let items = self.draws(&format!("class.{class}.items"));
            let mut parts = Vec::with_capacity(self.n_draws);
            let mut done = Vec::with_capacity(self.n_draws);
            for (draw, items) in items.iter().enumerate() {
                let part = takes
                    .iter()
                    .zip(&left)
                    .map(|(takes, left)| part_done(*items, takes[draw], left[draw]))
                    .fold(1.0, f64::min);
                for (takes, left) in takes.iter().zip(&mut left) {
                    left[draw] -= (part * takes[draw]).min(left[draw]);
                }
                parts.push(part);
                done.push(part * items);
            }
            together
                .iter_mut()
                .zip(&done)
                .for_each(|(all, done)| *all += done);
            let all = parts.iter().filter(|part| **part >= 1.0).count();
            let level = self.settings.level;
            if let (Some(items), Some(part)) = (span(&done, level), span(&parts, level)) {
                bought.push(Bought {
                    class: class.clone(),
                    strata: self.by_stratum(at, items.mean),
                    items,
                    part,
                    chance_of_all: ratio(all, parts.len()),
                });
            }
        }
        (bought, together)
    }

    /// A number of items of a class, laid on the strata as the class lies in them.
    fn by_stratum(&self, class: usize, items: f64) -> BTreeMap<String, f64> {
        let n = self.strata.len();
        let sums = &self.class_items[class * n..(class + 1) * n];
        let all = sampling::math::sum(sums.iter().copied());
        self.strata
            .iter()
            .zip(sums)
            .filter(|(_, sum)| all > 0.0 && **sum > 0.0)
            .map(|(stratum, sum)| (stratum.key.clone(), items * sum / all))
            .collect()
    }

    /// What moves a quantity, the strongest first: first-order indices, the variance between the means of twenty equal
    /// parts of the draws, ordered by the cause's value, over the variance of all (Saltelli et al. 2008, Global
    /// Sensitivity Analysis, from memory), less what twenty parts of noise alone would show.
    #[must_use]
    pub fn drivers(&self, id: &str) -> Vec<Driving> {
        let draws = self.draws(id);
        let mut found: Vec<Driving> = self
            .causes
            .iter()
            .filter_map(|(cause, values)| {
                let share = first_order(values, draws)?;
                let removed = match cause {
                    Cause::Sample(key) => share * self.gain_of_ten_boxes(key),
                    _ => share,
                };
                Some(Driving {
                    cause: cause.clone(),
                    share,
                    width_then: sqrt((1.0 - removed).max(0.0)),
                })
            })
            .filter(|driving| driving.share > 0.0)
            .collect();
        found.sort_by(|a, b| a.width_then.total_cmp(&b.width_then).then(a.cause.cmp(&b.cause)));
        found
    }

    /// The part of a stratum's sampling variance that ten more boxes take away.
    fn gain_of_ten_boxes(&self, key: &str) -> f64 {
        let Some(s) = self.strata.iter().find(|s| s.key == key) else {
            return 0.0;
        };
        let float = crate::bootstrap::as_float;
        let (all, n) = (float(s.n_boxes), float(s.n_sampled));
        let now = 1.0 / n - 1.0 / all;
        let then = 1.0 / (n + 10.0).min(all) - 1.0 / all;
        if now > 0.0 { 1.0 - then / now } else { 0.0 }
    }

    /// How many items were transferred, where the hours were put right by what that taught.
    #[must_use]
    pub fn learned(&self) -> Option<u64> {
        self.learned
    }

    /// Names of the groups that share their unknowns.
    #[must_use]
    pub fn groups(&self) -> &[String] {
        &self.groups
    }
}

pub(crate) fn span(draws: &[f64], level: f64) -> Option<Span> {
    if draws.is_empty() {
        return None;
    }
    let mut sorted = draws.to_vec();
    sorted.sort_by(f64::total_cmp);
    let tail = (1.0 - level) / 2.0;
    Some(Span {
        mean: sampling::math::sum(draws.iter().copied()) / crate::bootstrap::as_float(draws.len() as u64),
        low: quantile(&sorted, tail),
        median: quantile(&sorted, 0.5),
        high: quantile(&sorted, 1.0 - tail),
    })
}

/// Linear between the order statistics, as most programs do it (Hyndman and Fan 1996, type 7).
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and the last index"
)]
fn quantile(sorted: &[f64], at: f64) -> f64 {
    let place = at * crate::bootstrap::as_float(sorted.len() as u64 - 1);
    let below = place.floor();
    let index = below as usize;
    let above = sorted.get(index + 1).or(sorted.last()).copied().unwrap_or(0.0);
    sorted[index] + (place - below) * (above - sorted[index])
}

/// The part of a class that is done, by what it takes and what is left; with nothing left nothing is done, and of nothing
/// all is.
fn part_done(items: f64, takes: f64, left: f64) -> f64 {
    if items <= 0.0 {
        1.0
    } else if left <= 0.0 {
        0.0
    } else if takes <= left {
        1.0
    } else {
        left / takes
    }
}

fn ratio(part: usize, whole: usize) -> f64 {
    crate::bootstrap::as_float(part as u64) / crate::bootstrap::as_float(whole.max(1) as u64)
}

const PARTS: usize = 20;

fn first_order(cause: &[f32], result: &[f64]) -> Option<f64> {
    let n = result.len();
    if n != cause.len() || n < PARTS * 5 {
        return None;
    }
    let float = |n: usize| crate::bootstrap::as_float(n as u64);
    let mean = result.iter().sum::<f64>() / float(n);
    let variance = result.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / float(n);
    if variance <= 0.0 {
        return None;
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| cause[*a].total_cmp(&cause[*b]).then(a.cmp(b)));
    let between: f64 = order
        .chunks(n.div_ceil(PARTS))
        .map(|part| {
            let m = part.iter().map(|i| result[*i]).sum::<f64>() / float(part.len());
            (m - mean) * (m - mean) * float(part.len()) / float(n)
        })
        .sum();
    // Parts of pure noise have means that differ too: (parts - 1) / n of the variance within.
    let noise = float(PARTS - 1) / float(n);
    let share = (between / variance - noise) / (1.0 - noise);
    Some(share.clamp(0.0, 1.0)).filter(|share| *share > 3.0 * noise)
}
