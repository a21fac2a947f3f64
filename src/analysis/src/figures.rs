//! Every figure of a survey, each with an id that `verify` recomputes.
//!
//! Ids read from the inside out: `items.total`, `condition.acid_odour.share`, `S1.condition.acid_odour.count`,
//! `carrier.cassette.count`, `action.first.share`, `quantity.content_hours.total`. A prefix names the stratum; none is the whole collection.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use survey::State;

use crate::agreement::{self, ReadTwice};
use crate::learned::{self, Learned};
use crate::records::{self, ACTION_PREFIX, Base, Basis, CARRIER_PREFIX};
use crate::sheet::{self, Named, Sheet};
use crate::tables::{
    self, Estimates, EstimatesError, Options, ShareEstimate, Status, StratumSummary, Tables, TotalEstimate,
};

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
    let base = Base::of(state, Basis::Headline);
    // What is finished beyond the headline: mostly nothing.
    let every = (state.sample(true) != state.sample(false)).then(|| Base::of(state, Basis::EveryFinished));
    let every = every.filter(|every| every.sample.len() != base.sample.len());
    let mut problems = Vec::new();
    let boxes = sheet::named(state, &base);
    let (headline, n_items) = figures_on(state, Basis::Headline, &base, &boxes, &mut problems);
    if !base.sample.is_empty() {
        problems.extend(base.left_out.iter().map(|left| Problem::StratumLeftOut {
            stratum: left.stratum.to_string(),
            n_boxes: left.n_boxes,
        }));
    }
    let every_finished = every.as_ref().map(|every| {
        let boxes = sheet::named(state, every);
        figures_on(state, Basis::EveryFinished, every, &boxes, &mut problems).0
    });
    Figures {
        sample: sample(
            state,
            &base,
            &boxes,
            n_items,
            every.as_ref().unwrap_or(&base).sample.len(),
        ),
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

/// What was seen of a column, in all or in a stratum.
type SeenOf<'a> = dyn Fn(&str, Option<&str>) -> Seen + 'a;

/// Estimates and what was seen beside them.
struct Estimated {
    estimates: Estimates,
    /// Items that were looked at one by one.
    n_items: usize,
    seen: Box<SeenOf<'static>>,
}

/// Estimates from what was laid out at once, or, where that could not be done, from the tables, which say what is wrong.
fn estimated(sheet: Option<Sheet>, tables: impl FnOnce() -> Tables) -> Result<Estimated, EstimatesError> {
    let Some(sheet) = sheet else {
        let tables = tables();
        let looked_at = tables.items.iter().filter(|row| row.item_id != tables::WHOLE_BOX);
        return Ok(Estimated {
            estimates: tables::estimate(&tables, &options())?,
            n_items: looked_at.count(),
            seen: Box::new(move |column, stratum| Seen::of(&tables, column, stratum)),
        });
    };
    // No figure says how many boxes have a condition.
    let estimates = tables::estimate_columns(&sheet.sample, &sheet.columns, &options(), false)?;
    let seen = sheet.seen;
    Ok(Estimated {
        estimates,
        n_items: sheet.n_items,
        seen: Box::new(move |column, stratum| {
            let of = seen.get(column).and_then(|(all, by_stratum)| match stratum {
                Some(stratum) => by_stratum.get(stratum),
                None => Some(all),
            });
            of.copied().unwrap_or_default()
        }),
    })
}

/// The figures, and how many items were looked at one by one.
fn figures_on(
    state: &State,
    basis: Basis,
    base: &Base,
    boxes: &[Named],
    problems: &mut Vec<Problem>,
) -> (BTreeMap<String, Figure>, usize) {
    let mut figures = Made::default();
    let mut n_items = 0;
    if base.sample.is_empty() {
        return (figures.0, n_items);
    }
    match estimated(sheet::items(state, base, boxes), || records::items(state, basis)) {
        Ok(made) => {
            n_items = made.n_items;
            let estimates = &made.estimates;
            let df = Df::of(estimates);
            figures.total("items", Measure::Count, &estimates.items, df.whole);
            for (stratum, total) in &estimates.items_by_stratum {
                figures.total(
                    &format!("{stratum}.items"),
                    Measure::Count,
                    total,
                    df.only(stratum),
                );
            }
            figures.seen(&made.seen, estimates, |name| {
                match name.strip_prefix(ACTION_PREFIX) {
                    Some(class) => format!("action.{class}"),
                    None => format!("condition.{name}"),
                }
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
        Err(error) => {
            n_items = records::items(state, basis)
                .items
                .iter()
                .filter(|row| row.item_id != tables::WHOLE_BOX)
                .count();
            problems.push(Problem::NotMade {
                why: error.to_string(),
            });
        }
    }
    match estimated(sheet::carriers(state, base, boxes), || {
        records::carriers(state, basis)
    }) {
        Ok(made) => figures.seen(&made.seen, &made.estimates, |name| {
            format!("carrier.{}", name.strip_prefix(CARRIER_PREFIX).unwrap_or(name))
        }),
        Err(error) => problems.push(Problem::NotMade {
            why: error.to_string(),
        }),
    }
    (figures.0, n_items)
}

/// Figures as they are made, by id.
#[derive(Debug, Default)]
pub(crate) struct Made(pub(crate) BTreeMap<String, Figure>);

impl Made {
    pub(crate) fn conditions(&mut self, tables: &Tables, estimates: &Estimates, id: impl Fn(&str) -> String) {
        self.seen(
            &|column, stratum| Seen::of(tables, column, stratum),
            estimates,
            id,
        );
    }

    /// `seen` says what was seen of a column, in all or in a stratum.
    fn seen(&mut self, seen: &SeenOf<'_>, estimates: &Estimates, id: impl Fn(&str) -> String) {
        let df = Df::of(estimates);
        for (name, condition) in &estimates.conditions {
            let id = id(name);
            let own = seen(name, None);
            let bounds = condition.bounds.low.zip(condition.bounds.high);
            self.share(&id, &condition.share, own, condition.unknown_share, bounds);
            self.count(&id, &condition.count, df.whole, own);
            for (stratum, part) in &condition.by_stratum {
                let own = seen(name, Some(stratum));
                self.share(&format!("{stratum}.{id}"), &part.share, own, None, None);
                self.count(&format!("{stratum}.{id}"), &part.count, df.only(stratum), own);
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
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Seen {
    n_seen: u64,
    n_known: u64,
    n_boxes: u64,
}

impl Seen {
    fn of(tables: &Tables, column: &str, stratum: Option<&str>) -> Self {
        let Some(index) = tables.columns.iter().position(|known| known.name == column) else {
            return Self::default();
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

    /// Takes up the answers of one box more.
    pub(crate) fn take(&mut self, answers: &[Option<bool>]) {
        let n_seen = answers.iter().filter(|answer| **answer == Some(true)).count() as u64;
        self.n_seen += n_seen;
        self.n_known += answers.iter().flatten().count() as u64;
        self.n_boxes += u64::from(n_seen > 0);
    }

    /// Together with what was seen in other boxes.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            n_seen: self.n_seen + other.n_seen,
            n_known: self.n_known + other.n_known,
            n_boxes: self.n_boxes + other.n_boxes,
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

fn sample(state: &State, base: &Base, boxes: &[Named], n_items: usize, n_finished: usize) -> Sample {
    let with = |status: Status| {
        let sampled = base.sample.iter();
        sampled
            .filter(|(.., outcome)| records::status(*outcome) == status)
            .count()
    };
    Sample {
        n_boxes: base.n_boxes(),
        n_sampled: base.sample.len(),
        n_checked: with(Status::Checked),
        n_stopped: with(Status::Stopped),
        n_not_reached: with(Status::NotReached),
        n_out_of_scope: with(Status::OutOfScope),
        n_items_checked: n_items,
        n_items_counted: boxes.iter().filter_map(Named::n_counted).sum(),
        n_finished,
        n_rounds_complete: state
            .rounds
            .keys()
            .filter(|number| state.round_progress(**number).is_complete())
            .count(),
    }
}
