//! The surveys of several collections put together: every collection surveyed, or some drawn from a list.

use std::collections::BTreeMap;

use sampling::column::Column;
use sampling::programme::{Collections, Drawn, Pooled, ProgrammeError};
use serde::Serialize;
use survey::State;

use crate::records::{self, Basis, CARRIER_PREFIX};
use crate::tables::{Kind, Options, Sample, TableError, Tables, TotalEstimate, total_out};

/// A collection: the name it goes by here (its file's, say) and its survey.
pub type Named<'a> = (&'a str, &'a State);

/// Why surveys cannot be put together; each names the survey.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PoolError {
    /// Two files are of one survey.
    #[error("{0} and {1} are of one survey: put them together first (quarterlight merge)")]
    OneSurvey(String, String),
    /// An invented collection among real ones.
    #[error("{0} is an invented collection to practise on, and others are not: leave it out")]
    Practice(String),
    /// No box was counted.
    #[error("{0}: no box of it was counted yet, so nothing can be said of its collection")]
    NothingCounted(String),
    /// Its records make no sound tables.
    #[error("{0}: {1}")]
    Table(String, TableError),
    /// They make no programme.
    #[error(transparent)]
    Programme(#[from] ProgrammeError),
}

/// One collection of the pool.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Collection {
    /// Its name here.
    pub name: String,
    /// Its survey's title.
    pub title: String,
    /// Boxes that could be drawn.
    pub boxes: usize,
    /// Of those, boxes its figures rest on.
    pub sampled: usize,
    /// What its figures leave out, in words; empty if nothing.
    pub left_out: Vec<String>,
}

/// A condition's (or a carrier's) share and count.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShareAndCount {
    /// The share of items.
    pub share: TotalEstimate,
    /// The number of items.
    pub count: TotalEstimate,
}

/// A quantity's total and mean.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TotalAndMean {
    /// Over all items.
    pub total: TotalEstimate,
    /// An item.
    pub mean: TotalEstimate,
}

/// What the surveys say together. A figure that cannot be made has no estimate, and its method says why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pool {
    /// How the collections stand for the programme, in words.
    pub design: String,
    /// Level of all limits.
    pub confidence: f64,
    /// The collections, in the order given.
    pub collections: Vec<Collection>,
    /// The number of items.
    pub items: TotalEstimate,
    /// The conditions, by key.
    pub conditions: BTreeMap<String, ShareAndCount>,
    /// The carriers, by key.
    pub carriers: BTreeMap<String, ShareAndCount>,
    /// The quantities, by name.
    pub quantities: BTreeMap<String, TotalAndMean>,
}

/// Estimates over collections, on each survey's headline boxes: every collection of the programme was surveyed (`of` is none), or
/// these are a random sample of a list of so many.
///
/// # Errors
/// A [`PoolError`].
pub fn pool(surveys: &[Named<'_>], of: Option<u64>, options: &Options) -> Result<Pool, PoolError> {
    check(surveys)?;
    let drawn = Drawn::Of(of.unwrap_or(surveys.len() as u64));
    let items = Read::new(surveys, records::items)?;
    let carriers = Read::new(surveys, records::carriers)?;
    let programme = items.programme(drawn)?;
    let mut made = Pool {
        design: match of {
            Some(listed) if listed > surveys.len() as u64 => {
                format!("{} collections, a random sample of {listed}", surveys.len())
            }
            _ => format!("{} collections, all that there are", surveys.len()),
        },
        confidence: options.level,
        collections: surveys
            .iter()
            .zip(&items.tables)
            .map(|(s, t)| collection(*s, t))
            .collect(),
        items: out(programme.items(options)),
        conditions: BTreeMap::new(),
        carriers: BTreeMap::new(),
        quantities: BTreeMap::new(),
    };
    for (at, column) in items.tables[0].columns.iter().enumerate() {
        let answers = items.column(at);
        if column.kind == Kind::Condition {
            let figures = share_and_count(&programme, &answers, options);
            made.conditions.insert(column.name.clone(), figures);
        } else {
            let figures = TotalAndMean {
                total: out(programme.total(&answers, options)),
                mean: out(programme.mean(&answers, options)),
            };
            made.quantities.insert(column.name.clone(), figures);
        }
    }
    let programme = carriers.programme(drawn)?;
    for (at, column) in carriers.tables[0].columns.iter().enumerate() {
        let name = column.name.strip_prefix(CARRIER_PREFIX).unwrap_or(&column.name);
        let figures = share_and_count(&programme, &carriers.column(at), options);
        made.carriers.insert(name.to_owned(), figures);
    }
    Ok(made)
}

fn check(surveys: &[Named<'_>]) -> Result<(), PoolError> {
    for (i, (name, state)) in surveys.iter().enumerate() {
        if let Some((other, _)) = surveys[..i]
            .iter()
            .find(|(_, other)| other.survey == state.survey)
        {
            return Err(PoolError::OneSurvey((*other).to_owned(), (*name).to_owned()));
        }
    }
    let practice = surveys.iter().filter(|(_, state)| state.practice);
    match practice.clone().next() {
        Some((name, _)) if practice.count() < surveys.len() => Err(PoolError::Practice((*name).to_owned())),
        _ => Ok(()),
    }
}

/// Every survey's tables of one kind, and the samples they hold.
struct Read<'a> {
    names: Vec<&'a str>,
    tables: Vec<Tables>,
    samples: Vec<Sample>,
}

impl<'a> Read<'a> {
    fn new(surveys: &[Named<'a>], of: impl Fn(&State, Basis) -> Tables) -> Result<Self, PoolError> {
        let mut made = Self {
            names: Vec::new(),
            tables: Vec::new(),
            samples: Vec::new(),
        };
        for (name, state) in surveys {
            let tables = of(state, Basis::Headline);
            if !tables.boxes.iter().any(|row| row.sampled) {
                return Err(PoolError::NothingCounted((*name).to_owned()));
            }
            let sample = tables.sample();
            made.samples
                .push(sample.map_err(|error| PoolError::Table((*name).to_owned(), error))?);
            made.names.push(name);
            made.tables.push(tables);
        }
        Ok(made)
    }

    fn programme(&self, drawn: Drawn) -> Result<Collections<'_>, ProgrammeError> {
        let named = self.names.iter().zip(&self.samples);
        Collections::new(
            named.map(|(name, sample)| (*name, &sample.design)).collect(),
            drawn,
        )
    }

    /// One column of every survey: all have the same ones, since they come from one list.
    fn column(&self, at: usize) -> Vec<&Column> {
        self.samples.iter().map(|sample| &sample.columns[at]).collect()
    }
}

fn collection((name, state): Named<'_>, tables: &Tables) -> Collection {
    let left_out = records::left_out(state, Basis::Headline);
    Collection {
        name: name.to_owned(),
        title: state.title.clone(),
        boxes: tables.boxes.len(),
        sampled: tables.boxes.iter().filter(|row| row.sampled).count(),
        left_out: left_out
            .iter()
            .map(|left| {
                format!(
                    "the {} boxes of stratum {}: none of them was counted yet",
                    left.n_boxes, left.stratum
                )
            })
            .collect(),
    }
}

fn share_and_count(programme: &Collections<'_>, answers: &[&Column], options: &Options) -> ShareAndCount {
    ShareAndCount {
        share: out(programme.share(answers, options)),
        count: out(programme.count(answers, options)),
    }
}

fn out(made: Result<Pooled, ProgrammeError>) -> TotalEstimate {
    match made {
        Ok(made) => total_out(made.estimate),
        Err(error) => TotalEstimate {
            method: format!("none: {error}"),
            ..TotalEstimate::default()
        },
    }
}
