//! Every figure of a survey, each with an id that `verify` recomputes.
//!
//! Ids read from the inside out: `items.total`, `condition.acid_odour.share`, `S1.condition.acid_odour.count`,
//! `carrier.cassette.count`, `action.first.share`, `quantity.content_hours.total`. A prefix names the stratum; none is the whole collection.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use survey::State;

use crate::agreement::{self, ReadTwice};
use crate::learned::{self, Learned};
use crate::records::{self, ACTION_PREFIX, Basis, CARRIER_PREFIX};
use crate::tables::{self, Estimates, Options, ShareEstimate, Status, StratumSummary, Tables, TotalEstimate};

/// All figures of a survey.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Figures {
    /// How much was drawn and seen.
    pub sample: Sample,
    /// The figures of the headline basis, by id.
    pub headline: BTreeMap<String, Figure>,
    /// The same on every finished box, where that differs.
    pub every_finished: Option<BTreeMap<String, Figure>>,
    /// How far two readings of the same photographs agree, by question; nothing where nothing was read twice.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub read_twice: BTreeMap<String, ReadTwice>,
    /// What the first transfers showed; nothing where nothing was transferred.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub learned: Option<Learned>,
    /// What the figures leave out, or why some could not be made; empty if nothing.
    pub problems: Vec<Problem>,
}

/// What figures leave out, or why some could not be made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Problem {
    /// No box of a stratum was counted, so nothing is known of it and no figure covers it.
    #[error(
        "the {n_boxes} boxes of stratum {stratum} are outside these figures: none of them was counted yet"
    )]
    StratumLeftOut {
        /// The stratum's key; `late` for boxes found after the draw.
        stratum: String,
        /// Its boxes.
        n_boxes: usize,
    },
    /// The tables do not allow an estimate.
    #[error("{why}")]
    NotMade {
        /// Why, in words for developers.
        why: String,
    },
}

/// How much was drawn and seen.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Sample {
    /// Boxes that could be drawn.
    pub n_boxes: usize,
    /// Boxes the headline rests on.
    pub n_sampled: usize,
    /// Of those, opened, counted and checked.
    pub n_checked: usize,
    /// Of those, stopped for a hazard.
    pub n_stopped: usize,
    /// Of those, not found or not opened.
    pub n_not_reached: usize,
    /// Of those, out of scope or listed twice.
    pub n_out_of_scope: usize,
    /// Items that were checked one by one.
    pub n_items_checked: usize,
    /// Items counted in checked boxes.
    pub n_items_counted: u64,
    /// Boxes finished in rounds begun, those that the headline leaves out included.
    pub n_finished: usize,
    /// Rounds of which every box is finished.
    pub n_rounds_complete: usize,
}

/// What kind of number a figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// A part of all items, 0 to 1.
    Share,
    /// A number of items.
    Count,
    /// A total of a quantity, in its unit.
    Total,
    /// A mean an item, in the quantity's unit.
    Mean,
}

/// One figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// What it measures.
    pub measure: Measure,
    /// The estimate.
    pub estimate: f64,
    /// Its standard error; none where no error exists.
    pub se: Option<f64>,
    /// Lower limit.
    pub low: Option<f64>,
    /// Upper limit.
    pub high: Option<f64>,
    /// Degrees of freedom of its limits: sampled boxes less strata.
    pub df: Option<f64>,
    /// Design effect.
    pub deff: Option<f64>,
    /// The method's name.
    pub method: String,
    /// Items seen with the condition, of those checked and known.
    pub n_seen: Option<u64>,
    /// Items checked for which it is known.
    pub n_known: Option<u64>,
    /// Boxes with at least one such item, those that answer for all they hold not among them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub n_boxes: Option<u64>,
    /// What is to be said beside the limits, by the names of [`sampling::estimate::Caution`].
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// The part of items for which it is not known.
    pub unknown_share: Option<f64>,
    /// The least and the most it could be, all unknowns counted as no and as yes.
    pub bounds: Option<(f64, f64)>,
}

/// The figures of a survey.
#[must_use]
pub fn figures(state: &State) -> Figures {
    let items = records::items(state, Basis::Headline);
    let every = records::items(state, Basis::EveryFinished);
    let mut problems = Vec::new();
    let headline = figures_on(state, Basis::Headline, &items, &mut problems);
    if n_sampled(&items) > 0 {
        problems.extend(records::left_out(state, Basis::Headline).into_iter().map(|left| {
            Problem::StratumLeftOut {
                stratum: left.stratum.to_string(),
                n_boxes: left.n_boxes,
            }
        }));
    }
    let differs = n_sampled(&items) != n_sampled(&every);
    let every_finished = differs.then(|| figures_on(state, Basis::EveryFinished, &every, &mut problems));
    Figures {
        sample: sample(state, &items, &every),
        learned: learned::learned(state, &headline),
        headline,
        every_finished,
        read_twice: agreement::read_twice(state),
        problems,
    }
}

/// The options every figure of a survey is made with.
#[must_use]
pub fn options() -> Options {
    Options::default()
}

fn figures_on(
    state: &State,
    basis: Basis,
    items: &Tables,
    problems: &mut Vec<Problem>,
) -> BTreeMap<String, Figure> {
    let mut figures = Made::default();
    if n_sampled(items) == 0 {
        return figures.0;
    }
    match tables::estimate(items, &options()) {
        Ok(estimates) => {
            let df = Df::of(&estimates);
            figures.total("items", Measure::Count, &estimates.items, df.whole);
            for (stratum, total) in &estimates.items_by_stratum {
                figures.total(
                    &format!("{stratum}.items"),
                    Measure::Count,
                    total,
                    df.only(stratum),
                );
            }
            figures.conditions(items, &estimates, |name| match name.strip_prefix(ACTION_PREFIX) {
                Some(class) => format!("action.{class}"),
                None => format!("condition.{name}"),
            });
            for (name, quantity) in &estimates.quantities {
                let id = format!("quantity.{name}");
                figures.quantity(&id, &quantity.total, df.whole, quantity.unknown_share);
                figures.mean(&id, &quantity.mean, quantity.unknown_share);
                for (stratum, part) in &quantity.by_stratum {
                    figures.total(
                        &format!("{stratum}.{id}"),
                        Measure::Total,
                        &part.total,
                        df.only(stratum),
                    );
                }
            }
        }
        Err(error) => problems.push(Problem::NotMade {
            why: error.to_string(),
        }),
    }
    let counted = records::carriers(state, basis);
    match tables::estimate(&counted, &options()) {
        Ok(estimates) => figures.conditions(&counted, &estimates, |name| {
            format!("carrier.{}", name.strip_prefix(CARRIER_PREFIX).unwrap_or(name))
        }),
        Err(error) => problems.push(Problem::NotMade {
            why: error.to_string(),
        }),
    }
    figures.0
}

/// Figures as they are made, by id.
#[derive(Debug, Default)]
pub(crate) struct Made(pub(crate) BTreeMap<String, Figure>);

impl Made {
    pub(crate) fn conditions(&mut self, tables: &Tables, estimates: &Estimates, id: impl Fn(&str) -> String) {
        let df = Df::of(estimates);
        for (name, condition) in &estimates.conditions {
            let id = id(name);
            let seen = Seen::of(tables, name, None);
            let bounds = condition.bounds.low.zip(condition.bounds.high);
            self.share(&id, &condition.share, seen, condition.unknown_share, bounds);
            self.count(&id, &condition.count, df.whole, seen);
            for (stratum, part) in &condition.by_stratum {
                let seen = Seen::of(tables, name, Some(stratum));
                self.share(&format!("{stratum}.{id}"), &part.share, seen, None, None);
                self.count(&format!("{stratum}.{id}"), &part.count, df.only(stratum), seen);
            }
        }
    }

    fn total(&mut self, id: &str, measure: Measure, total: &TotalEstimate, df: f64) {
        if let Some(figure) = from_total(measure, total, df) {
            self.0.insert(format!("{id}.total"), figure);
        }
    }

    fn quantity(&mut self, id: &str, total: &TotalEstimate, df: f64, unknown_share: Option<f64>) {
        if let Some(figure) = from_total(Measure::Total, total, df) {
            self.0.insert(
                format!("{id}.total"),
                Figure {
                    unknown_share,
                    ..figure
                },
            );
        }
    }

    fn count(&mut self, id: &str, total: &TotalEstimate, df: f64, seen: Seen) {
        if let Some(figure) = from_total(Measure::Count, total, df) {
            self.0.insert(format!("{id}.count"), seen.beside(figure));
        }
    }

    fn share(
        &mut self,
        id: &str,
        share: &ShareEstimate,
        seen: Seen,
        unknown_share: Option<f64>,
        bounds: Option<(f64, f64)>,
    ) {
        if let Some(figure) = from_share(Measure::Share, share) {
            self.0.insert(
                format!("{id}.share"),
                seen.beside(Figure {
                    unknown_share,
                    bounds,
                    ..figure
                }),
            );
        }
    }

    fn mean(&mut self, id: &str, mean: &ShareEstimate, unknown_share: Option<f64>) {
        if let Some(figure) = from_share(Measure::Mean, mean) {
            self.0.insert(
                format!("{id}.mean"),
                Figure {
                    unknown_share,
                    ..figure
                },
            );
        }
    }
}

/// Degrees of freedom of the whole sample and of each stratum.
struct Df<'a> {
    whole: f64,
    strata: BTreeMap<&'a str, f64>,
}

impl<'a> Df<'a> {
    fn of(estimates: &'a Estimates) -> Self {
        #[allow(clippy::cast_precision_loss, reason = "a number of boxes")]
        let own = |s: &StratumSummary| s.sampled.saturating_sub(s.not_reached).saturating_sub(1) as f64;
        let strata = &estimates.design.strata;
        Self {
            whole: estimates.design.df,
            strata: strata.iter().map(|s| (s.stratum.as_str(), own(s))).collect(),
        }
    }

    fn only(&self, stratum: &str) -> f64 {
        self.strata.get(stratum).copied().unwrap_or(0.0)
    }
}

fn from_total(measure: Measure, total: &TotalEstimate, df: f64) -> Option<Figure> {
    Some(Figure {
        measure,
        estimate: total.estimate?,
        se: total.se,
        low: total.low,
        high: total.high,
        // A total without an error has no degrees of freedom either.
        df: total.se.map(|_| df),
        deff: None,
        method: total.method.clone(),
        n_seen: None,
        n_known: None,
        n_boxes: None,
        cautions: Vec::new(),
        unknown_share: None,
        bounds: None,
    })
}

fn from_share(measure: Measure, share: &ShareEstimate) -> Option<Figure> {
    Some(Figure {
        measure,
        estimate: share.estimate?,
        se: share.se,
        low: share.low,
        high: share.high,
        df: share.df,
        deff: share.deff,
        method: share.method.clone(),
        n_seen: None,
        n_known: None,
        n_boxes: None,
        cautions: share.cautions.clone(),
        unknown_share: None,
        bounds: None,
    })
}

/// Items with a condition among those it is known for, as they lie in the tables: no weights.
#[derive(Debug, Clone, Copy)]
struct Seen {
    n_seen: u64,
    n_known: u64,
    n_boxes: u64,
}

impl Seen {
    fn of(tables: &Tables, column: &str, stratum: Option<&str>) -> Self {
        let Some(index) = tables.columns.iter().position(|known| known.name == column) else {
            return Self {
                n_seen: 0,
                n_known: 0,
                n_boxes: 0,
            };
        };
        let rows = tables.items.iter().filter(|row| row.item_id != tables::WHOLE_BOX);
        let here = rows.filter(|row| stratum.is_none_or(|stratum| row.stratum == stratum));
        let known: Vec<(&str, f64)> = here
            .filter_map(|row| Some((row.box_id.as_str(), row.values.get(index).copied().flatten()?)))
            .collect();
        let with = || known.iter().filter(|(_, value)| *value > 0.5);
        let boxes: BTreeSet<&str> = with().map(|(serial, _)| *serial).collect();
        Self {
            n_seen: with().count() as u64,
            n_known: known.len() as u64,
            n_boxes: boxes.len() as u64,
        }
    }

    fn beside(self, figure: Figure) -> Figure {
        Figure {
            n_seen: Some(self.n_seen),
            n_known: Some(self.n_known),
            n_boxes: Some(self.n_boxes),
            ..figure
        }
    }
}

fn sample(state: &State, items: &Tables, every: &Tables) -> Sample {
    let with = |status: Status| {
        items
            .boxes
            .iter()
            .filter(|row| row.sampled && row.status == status)
            .count()
    };
    let checked = items
        .boxes
        .iter()
        .filter(|row| row.sampled && row.status == Status::Checked);
    Sample {
        n_boxes: items.boxes.len(),
        n_sampled: n_sampled(items),
        n_checked: with(Status::Checked),
        n_stopped: with(Status::Stopped),
        n_not_reached: with(Status::NotReached),
        n_out_of_scope: with(Status::OutOfScope),
        n_items_checked: items
            .items
            .iter()
            .filter(|row| row.item_id != tables::WHOLE_BOX)
            .count(),
        n_items_counted: checked.filter_map(|row| row.items_in_box).sum(),
        n_finished: n_sampled(every),
        n_rounds_complete: state
            .rounds
            .keys()
            .filter(|number| state.round_progress(**number).is_complete())
            .count(),
    }
}

fn n_sampled(tables: &Tables) -> usize {
    tables.boxes.iter().filter(|row| row.sampled).count()
}
