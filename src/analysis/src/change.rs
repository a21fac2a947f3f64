//! What changed between two visits to one collection: every figure that both have, with the interval of its change.
//!
//! The two surveys must be of one frame: the same boxes under the same serials, labels and strata. Where the second follows the
//! first's draw (the same seed), boxes that both reached make the estimates vary together ([`sampling::overlap`]); drawn with
//! another seed they are independent.

mod frame;

use std::collections::{BTreeMap, BTreeSet};

use sampling::column::Column;
use sampling::contrast::{Linearised, mean_of, total_of};
use sampling::design::Part;
use sampling::interval::Limits;
use sampling::overlap::{Together, change_limits, covariance};
use serde::{Deserialize, Serialize};
use survey::State;

use crate::figures::{Figure, Figures, Measure, figures, options};
use crate::records::{self, ACTION_PREFIX, Basis, CARRIER_PREFIX};
use crate::tables::{Kind, Sample, Tables};
use frame::comparable;

pub use frame::{ChangeError, Unlike, Which};

/// How the second visit's sample came to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Drawn {
    /// By the first visit's draw: the boxes that both reached were meant to be the same.
    Again,
    /// With a seed of its own.
    Apart,
}

/// One of the two visits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Visit {
    /// The survey's title.
    pub title: String,
    /// Boxes its figures rest on.
    pub sampled: usize,
    /// Of those, boxes that were stopped for a hazard or could not be counted.
    #[serde(default)]
    pub stopped: usize,
    /// Items that were looked at one by one.
    #[serde(default)]
    pub items: usize,
    /// The seed of its draw.
    pub seed: String,
}

/// One figure's change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Changed {
    /// What it measures.
    pub measure: Measure,
    /// The first visit's estimate.
    pub first: f64,
    /// The second's.
    pub second: f64,
    /// `second - first`.
    pub change: f64,
    /// Its standard error.
    pub se: Option<f64>,
    /// Lower limit.
    pub low: Option<f64>,
    /// Upper limit.
    pub high: Option<f64>,
    /// The correlation of the two estimates; 0 where they were drawn apart.
    pub correlation: f64,
    /// How it was made.
    pub method: String,
}

impl Changed {
    /// Whether the limits leave one direction alone.
    #[must_use]
    pub fn is_sure(&self) -> bool {
        self.low.is_some_and(|low| low > 0.0) || self.high.is_some_and(|high| high < 0.0)
    }
}

/// What changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// The two visits.
    pub visits: [Visit; 2],
    /// How the second's sample came to be.
    pub drawn: Drawn,
    /// Boxes that both reached.
    pub common_boxes: usize,
    /// Level of all limits.
    pub confidence: f64,
    /// The figures by id.
    pub figures: BTreeMap<String, Changed>,
    /// Whether the second is a later state of the same survey: a box that was not looked at again counts as it was.
    pub same_survey: bool,
    /// How many of the changes that are told for people ([`Change::told`]) have limits.
    pub with_limits: usize,
    /// How many of them would seem to have changed by chance alone, if nothing had.
    pub by_chance: f64,
    /// The same in words.
    pub notes: Vec<String>,
}

impl Change {
    /// One line a figure, for people: shares of which something was seen, with items and hours in all. Those that the draw of
    /// boxes does not explain (`true`) or may explain (`false`).
    pub fn told(&self, is_sure: bool) -> impl Iterator<Item = (&String, &Changed)> {
        let all = self.figures.iter();
        all.filter(move |(id, changed)| is_told(id, changed) && changed.is_sure() == is_sure)
    }
}

/// Whether a change is told for people: of a share and its number of items the share alone, for they change together.
fn is_told(id: &str, changed: &Changed) -> bool {
    let is_kind = matches!(id, "items.total" | "quantity.content_hours.total") || id.ends_with(".share");
    is_kind && (changed.first > 0.0 || changed.second > 0.0)
}

/// The change from `first` to `second`.
///
/// # Errors
/// A [`ChangeError`].
pub fn change(first: &State, second: &State) -> Result<Change, ChangeError> {
    comparable(first, second)?;
    let both = [first, second];
    let [then, now] = both.map(figures);
    for (name, made) in [(Which::First, &then), (Which::Second, &now)] {
        if made.headline.is_empty() {
            return Err(ChangeError::NoFigure(name));
        }
    }
    let seeds = both.map(|state| {
        state
            .draw
            .as_ref()
            .map(|draw| draw.seed.clone())
            .unwrap_or_default()
    });
    let drawn = if seeds[0] == seeds[1] {
        Drawn::Again
    } else {
        Drawn::Apart
    };
    let reached = both.map(|state| -> BTreeSet<String> {
        let rows = records::items(state, Basis::Headline).boxes.into_iter();
        rows.filter(|row| row.sampled && row.status != crate::tables::Status::NotReached)
            .map(|row| row.box_id)
            .collect()
    });
    let mut made = BTreeMap::new();
    for of in [records::items, records::carriers] {
        compare(both, [&then, &now], of, drawn, &mut made);
    }
    let visit = |at: usize, figures: &Figures| Visit {
        title: both[at].title.clone(),
        sampled: figures.sample.n_sampled,
        stopped: figures.sample.n_stopped,
        items: figures.sample.n_items_checked,
        seed: seeds[at].clone(),
    };
    Ok(Change {
        visits: [visit(0, &then), visit(1, &now)],
        drawn,
        common_boxes: reached[0].intersection(&reached[1]).count(),
        confidence: options().level,
        same_survey: both[0].survey == both[1].survey,
        with_limits: with_limits(&made),
        by_chance: by_chance(&made),
        notes: notes(both, &made),
        figures: made,
    })
}

fn with_limits(made: &BTreeMap<String, Changed>) -> usize {
    made.iter()
        .filter(|(id, changed)| is_told(id, changed) && changed.low.is_some())
        .count()
}

fn by_chance(made: &BTreeMap<String, Changed>) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "some hundred figures")]
    let all = with_limits(made) as f64;
    all * (1.0 - options().level)
}

fn notes(both: [&State; 2], made: &BTreeMap<String, Changed>) -> Vec<String> {
    let mut notes = Vec::new();
    if both[0].survey == both[1].survey {
        notes.push(
            "The second file is a later state of the same survey: a box that was not looked at again counts as it was."
                .to_owned(),
        );
    }
    let (with_limits, by_chance) = (with_limits(made), by_chance(made));
    notes.push(format!(
        "{with_limits} of these changes have limits; if nothing had changed, about {by_chance:.1} of them would seem to have, by \
         chance alone. Trust those that were looked for beforehand."
    ));
    notes
}

/// Adds the changes of one kind of table.
fn compare(
    both: [&State; 2],
    figures: [&Figures; 2],
    of: fn(&State, Basis) -> Tables,
    drawn: Drawn,
    made: &mut BTreeMap<String, Changed>,
) {
    let tables = both.map(|state| of(state, Basis::Headline));
    let [Ok(then), Ok(now)] = tables.each_ref().map(Tables::sample) else {
        return;
    };
    let parts = [then.design.whole(), now.design.whole()];
    let together = |statistics: [Option<Linearised>; 2]| correlation(&parts, &statistics, drawn);
    let mut add = |id: String, correlation: f64| {
        let [Some(then), Some(now)] = figures.map(|figures| figures.headline.get(&id)) else {
            return;
        };
        made.insert(id, changed(then, now, correlation, drawn));
    };
    if tables[0]
        .columns
        .first()
        .is_some_and(|c| !c.name.starts_with(CARRIER_PREFIX))
    {
        let ones = [&then, &now].map(ones);
        let items = [0, 1].map(|at| Some(total_of(&parts[at], &ones[at])));
        add("items.total".to_owned(), together(items));
    }
    for (at, column) in tables[0].columns.iter().enumerate() {
        let Some(place) = tables[1].columns.iter().position(|c| c.name == column.name) else {
            continue;
        };
        let columns = [&then.columns[at], &now.columns[place]];
        let means = [0, 1].map(|n| mean_of(&parts[n], columns[n], None).ok());
        let (name, kinds) = match column.kind {
            Kind::Condition => (figure_name(&column.name), ["share", "count"]),
            Kind::Quantity => (format!("quantity.{}", column.name), ["mean", "total"]),
        };
        let totals = [0, 1].map(|n| means[n].as_ref().map(|mean| total(&parts[n], mean)));
        for (kind, statistics) in kinds.into_iter().zip([means, totals]) {
            add(format!("{name}.{kind}"), together(statistics));
        }
    }
}

fn figure_name(column: &str) -> String {
    if let Some(class) = column.strip_prefix(ACTION_PREFIX) {
        format!("action.{class}")
    } else if let Some(carrier) = column.strip_prefix(CARRIER_PREFIX) {
        format!("carrier.{carrier}")
    } else {
        format!("condition.{column}")
    }
}

/// 1 for every item.
fn ones(sample: &Sample) -> Column {
    let any = &sample.columns[0];
    any.combined(&sample.design, any, |_, _| Some(1.0))
}

/// The mean times the number of items: what a total is where some answers are not known.
fn total(part: &Part<'_>, mean: &Linearised) -> Linearised {
    let one = mean
        .variable
        .combined(part.design, &mean.variable, |_, _| Some(1.0));
    let items = total_of(part, &one).estimate;
    Linearised {
        estimate: mean.estimate * items,
        variable: mean.variable.combined(part.design, &mean.variable, |z, _| {
            Some(mean.estimate + items * z.unwrap_or(0.0))
        }),
    }
}

fn correlation(parts: &[Part<'_>; 2], statistics: &[Option<Linearised>; 2], drawn: Drawn) -> f64 {
    let (Drawn::Again, [Some(then), Some(now)]) = (drawn, statistics) else {
        return 0.0;
    };
    let Together { covariance, .. } = covariance((&parts[0], then), (&parts[1], now));
    let variance = |at: usize, of: &Linearised| of.variance(&parts[at], &options()).unwrap_or(0.0);
    let product = variance(0, then) * variance(1, now);
    if product > 0.0 {
        (covariance / sampling::math::sqrt(product)).clamp(-1.0, 1.0)
    } else {
        0.0
    }
}

fn changed(then: &Figure, now: &Figure, correlation: f64, drawn: Drawn) -> Changed {
    let limits = |figure: &Figure| {
        let (low, high) = figure.low.zip(figure.high)?;
        Some((figure.estimate, Limits { low, high }))
    };
    let made = limits(then)
        .zip(limits(now))
        .map(|(then, now)| change_limits(then, now, correlation));
    let se = then.se.zip(now.se).map(|(a, b)| {
        let variance = a * a + b * b - 2.0 * correlation * a * b;
        sampling::math::sqrt(variance.max(0.0))
    });
    let how = match drawn {
        Drawn::Again => "two visits by one draw, covariance of their common boxes",
        Drawn::Apart => "two visits drawn apart",
    };
    Changed {
        measure: now.measure,
        first: then.estimate,
        second: now.estimate,
        change: now.estimate - then.estimate,
        se,
        low: made.map(|limits| limits.low),
        high: made.map(|limits| limits.high),
        correlation,
        method: if made.is_some() {
            format!("{how}; limits from each visit's own")
        } else {
            format!("{how}; no limits: one of the two has none")
        },
    }
}
