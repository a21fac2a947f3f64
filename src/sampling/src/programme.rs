//! Programmes: the surveys of several collections put together.
//!
//! Where *every* collection of the programme was surveyed, each is a stratum (or several): [`joined`] makes one sample of them, and
//! all of [`crate::estimate`] and [`crate::contrast`] works on it. Totals and their variances add up, a share is the ratio of two
//! totals, nothing of one collection varies with another (the covariance is block-diagonal), and degrees of freedom are boxes less
//! strata over all collections.
//!
//! Where some collections were *drawn* from a list, they are the first stage: [`Collections`], a simple random sample without
//! replacement of n of N. With `t_i` a collection's estimated total of the estimator's linearised variable and `v_i` its variance
//! within the collection (both stages of it, [`crate::linear`]),
//!
//! ```text
//! V = N^2 (1 - n / N) s^2(t) / n  +  (N / n) sum_i v_i
//! ```
//!
//! (Särndal, Swensson & Wretman 1992, result 4.4.1; Cochran 1977, section 10.5). Without a list N is not known and taken as without
//! end: `n s^2(t)` for the total of the n, the within part being in it already (the ultimate clusters of Hansen, Hurwitz & Madow
//! 1953); shares and means alone can be had. Degrees of freedom are collections less one: few collections give wide limits, however many
//! boxes were opened. A programme of collections that somebody *chose* is neither: no formula says what the others are like.

use crate::column::{Column, ColumnError};
use crate::design::{Design, DesignError};
use crate::estimate::{self, Estimate, EstimateError, Linear, Options, Share, Sums, t_limits};
use crate::interval::{Kind, Limits, binomial, effective};
use crate::linear::{BoxTotal, variance};
use crate::math::sum;

/// One collection: a name, its sample.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::programme::{Survey, joined};
/// let surveys: [Survey<'_>; 2] = [("north", &design), ("south", &design)];
/// assert_eq!(joined(&surveys, &[])?.0.boxes().len(), 8);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub type Survey<'a> = (&'a str, &'a Design);

/// Why the surveys cannot be put together.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// use sampling::programme::{Collections, Drawn, ProgrammeError};
/// let one = Collections::new(vec![("north", &design)], Drawn::Of(9));
/// assert_eq!(one.unwrap_err(), ProgrammeError::OneCollection);
/// ```
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ProgrammeError {
    /// Their samples make no design: none at all, or two of one name.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// The columns are not those of the surveys.
    #[error(transparent)]
    Column(#[from] ColumnError),
    /// There is not one column for each survey, in their order.
    #[error("{columns} columns for {surveys} surveys")]
    Columns {
        /// Columns given.
        columns: usize,
        /// Surveys.
        surveys: usize,
    },
    /// More collections were surveyed than the list has.
    #[error("{surveyed} collections were surveyed, and the list has {listed}")]
    MoreThanListed {
        /// Surveys given.
        surveyed: usize,
        /// Collections on the list.
        listed: u64,
    },
    /// A single collection was drawn of several, so that nothing is known of how they differ.
    #[error("one collection was surveyed of several: nothing tells how collections differ; survey another")]
    OneCollection,
    /// A total is asked for, and nobody knows how many collections there are.
    #[error("a total needs the number of collections that the surveyed ones were drawn from")]
    NoList,
    /// A collection's own figures cannot be made.
    #[error("{survey}: {error}")]
    Survey {
        /// The collection's name.
        survey: String,
        /// Why.
        error: EstimateError,
    },
    /// The level is wrong, or nothing is known in any collection.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}

/// All collections of a programme as one sample, and its columns: of each, one column a survey in their order.
///
/// ```
/// use sampling::column::Column;
/// use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::estimate::{self, Options};
/// use sampling::programme::joined;
/// let survey = |frame_boxes, yes: [f64; 4]| {
///     let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(1), rows: 1, ..Default::default() }).collect();
///     let design = Design::new(vec![StratumSample { key: "shelf".into(), frame_boxes, sample, ..Default::default() }]).unwrap();
///     let column = Column::of_rows(&design, yes.map(Some).to_vec()).unwrap();
///     (design, column)
/// };
/// let (north, south) = (survey(40, [1.0, 0.0, 1.0, 1.0]), survey(20, [0.0, 0.0, 1.0, 0.0]));
/// let (programme, columns) =
///     joined(&[("north", &north.0), ("south", &south.0)], &[vec![&north.1, &south.1]])?;
/// let count = estimate::count(&programme.whole(), &columns[0], &Options::default())?;
/// assert_eq!((count.estimate, count.df), (30.0 + 5.0, 6.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`ProgrammeError::Design`], [`ProgrammeError::Columns`], [`ProgrammeError::Column`].
pub fn joined(
    surveys: &[Survey<'_>],
    columns: &[Vec<&Column>],
) -> Result<(Design, Vec<Column>), ProgrammeError> {
    let design = Design::joined(surveys)?;
    let mut made = Vec::with_capacity(columns.len());
    for of_surveys in columns {
        check(surveys, of_surveys)?;
        made.push(Column::joined(&design, of_surveys)?);
    }
    Ok((design, made))
}

fn check(surveys: &[Survey<'_>], columns: &[&Column]) -> Result<(), ProgrammeError> {
    let fits = surveys
        .iter()
        .zip(columns)
        .all(|((_, design), column)| column.fits(design));
    if surveys.len() == columns.len() && fits {
        return Ok(());
    }
    Err(ProgrammeError::Columns {
        columns: columns.len(),
        surveys: surveys.len(),
    })
}

/// What the surveyed collections were drawn from.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let options = sampling::estimate::Options::default();
/// use sampling::programme::{Collections, Drawn};
/// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
/// assert!(drawn(Drawn::Of(9))?.total(&[&hours, &hours], &options).is_ok());
/// // Without a list there is a mean and no total.
/// assert!(drawn(Drawn::Unlisted)?.mean(&[&hours, &hours], &options).is_ok());
/// assert!(drawn(Drawn::Unlisted)?.total(&[&hours, &hours], &options).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    /// A list of so many collections, each with the same chance.
    Of(u64),
    /// Nobody knows how many, far more than were surveyed.
    Unlisted,
}

/// A simple random sample of collections, each surveyed by a sample of its own.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let options = sampling::estimate::Options::default();
/// use sampling::programme::{Collections, Drawn};
/// // The same shelf, found in two of nine collections.
/// let made = Collections::new(vec![("north", &design), ("south", &design)], Drawn::Of(9))?;
/// assert_eq!(made.items(&options)?.estimate.estimate, 9.0 * 80.0);
/// let share = made.share(&[&mould, &mould], &options)?;
/// assert_eq!((share.estimate.estimate, share.estimate.df), (0.375, 1.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Collections<'a> {
    surveys: Vec<Survey<'a>>,
    drawn: Drawn,
}

/// An estimate over collections and the parts of its variance.
///
/// ```
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let options = sampling::estimate::Options::default();
/// use sampling::programme::{Collections, Drawn};
/// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
/// let made = drawn(Drawn::Of(9))?.total(&[&hours, &hours], &options)?;
/// // Two collections that are alike: their own errors are all there is.
/// assert!(made.between == 0.0 && made.within > 0.0);
/// assert!((made.estimate.se - (made.between + made.within).sqrt()).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Pooled {
    /// The estimate, in the unit of the column (items, for their number).
    pub estimate: Estimate,
    /// Between collections; what the surveys add to it by their own errors is in here too.
    pub between: f64,
    /// Within collections, raised; 0 without a list.
    pub within: f64,
}

impl<'a> Collections<'a> {
    /// Collections by name with their samples.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// use sampling::programme::{Collections, Drawn, ProgrammeError};
    /// let surveys = vec![("north", &design), ("south", &design)];
    /// assert!(Collections::new(surveys.clone(), Drawn::Of(2)).is_ok());
    /// let why = Collections::new(surveys, Drawn::Of(1)).unwrap_err();
    /// assert_eq!(why, ProgrammeError::MoreThanListed { surveyed: 2, listed: 1 });
    /// ```
    ///
    /// # Errors
    /// [`ProgrammeError::Design`] for none or two of one name, [`ProgrammeError::MoreThanListed`],
    /// [`ProgrammeError::OneCollection`].
    pub fn new(surveys: Vec<Survey<'a>>, drawn: Drawn) -> Result<Self, ProgrammeError> {
        Design::joined(&surveys)?;
        let surveyed = surveys.len();
        match drawn {
            Drawn::Of(listed) if surveyed as u64 > listed => {
                Err(ProgrammeError::MoreThanListed { surveyed, listed })
            }
            Drawn::Of(1) => Ok(Self { surveys, drawn }),
            _ if surveyed == 1 => Err(ProgrammeError::OneCollection),
            _ => Ok(Self { surveys, drawn }),
        }
    }

    fn n(&self) -> f64 {
        self.surveys.len() as f64
    }

    /// Whether every collection of the list was surveyed, so that they are strata.
    fn census(&self) -> bool {
        self.drawn == Drawn::Of(self.surveys.len() as u64)
    }

    /// `N / n`; 1 without a list.
    fn weight(&self) -> f64 {
        match self.drawn {
            Drawn::Of(listed) => listed as f64 / self.n(),
            Drawn::Unlisted => 1.0,
        }
    }

    /// The number of items in all collections of the list; t limits, not under what was seen.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::programme::{Collections, Drawn};
    /// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
    /// assert_eq!(drawn(Drawn::Of(9))?.items(&options)?.estimate.estimate, 720.0); // 9 collections of 80.
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ProgrammeError::NoList`], [`ProgrammeError::Survey`], [`ProgrammeError::Estimate`].
    pub fn items(&self, options: &Options) -> Result<Pooled, ProgrammeError> {
        estimate::check(options)?;
        if self.census() {
            let design = Design::joined(&self.surveys)?;
            return Ok(of_strata(estimate::items(&design.whole(), options)?));
        }
        self.total_of("number of items", options, |at, options| {
            estimate::linear_items(&self.surveys[at].1.whole(), options)
        })
    }

    /// The total of a quantity, or the count of a condition, over all collections of the list; one column a survey. Unknown answers are
    /// treated within each collection as [`estimate::total`] does. t limits, not under what was seen where no value is negative.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::programme::{Collections, Drawn};
    /// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
    /// let made = drawn(Drawn::Of(9))?.total(&[&hours, &hours], &options)?.estimate;
    /// assert_eq!((made.estimate, made.df), (1080.0, 1.0)); // 9 collections of 120 hours.
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`Collections::items`]; [`ProgrammeError::Columns`].
    pub fn total(&self, columns: &[&Column], options: &Options) -> Result<Pooled, ProgrammeError> {
        check(&self.surveys, columns)?;
        estimate::check(options)?;
        if self.census() {
            let (design, made) = self.joined(columns)?;
            return Ok(of_strata(estimate::total(&design.whole(), &made, options)?));
        }
        let mut made = self.total_of("total", options, |at, options| {
            estimate::linear_total(&self.surveys[at].1.whole(), columns[at], options)
        })?;
        made.estimate.method += &self.missing(columns);
        Ok(made)
    }

    /// What a method's name has to say of missing answers.
    fn missing(&self, columns: &[&Column]) -> String {
        let designs = self.surveys.iter().map(|(_, design)| *design);
        estimate::missing_in_all(designs.zip(columns.iter().copied()))
    }

    /// How many items have a condition, over all collections of the list; one column a survey. Limits from those of the share and of the
    /// number of items, as [`estimate::count`] has them: never under what was seen, and some where nothing was.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::programme::{Collections, Drawn};
    /// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
    /// let made = drawn(Drawn::Of(9))?.count(&[&mould, &mould], &options)?.estimate;
    /// assert_eq!(made.estimate, 270.0);
    /// assert!(made.limits.is_some_and(|l| l.low >= 6.0), "six were seen");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`Collections::total`].
    pub fn count(&self, columns: &[&Column], options: &Options) -> Result<Pooled, ProgrammeError> {
        if self.census() {
            let (design, made) = self.joined(columns)?;
            return Ok(of_strata(estimate::count(&design.whole(), &made, options)?));
        }
        let mut made = self.total(columns, options)?;
        let (share, items) = (
            self.share(columns, options)?.estimate,
            self.items(options)?.estimate,
        );
        let of = &mut made.estimate;
        if let (Some(of_share), Some(of_items)) = (share.limits, items.limits) {
            let p = share.estimate;
            let scale = if p > 0.0 { of.estimate / p } else { items.estimate };
            let limits = estimate::product(p, of_share, items.estimate, of_items, scale);
            let seen = sum(self.sums(columns).iter().map(|sums| sums.seen));
            of.limits = Some(Limits {
                low: limits.low.max(seen).min(of.estimate),
                high: limits.high.max(of.estimate),
            });
        }
        of.method = format!(
            "count over drawn collections, expansion, limits from the share's and the items'{}",
            self.missing(columns)
        );
        Ok(made)
    }

    fn total_of(
        &self,
        what: &str,
        options: &Options,
        of: impl Fn(usize, &Options) -> Result<Linear, EstimateError>,
    ) -> Result<Pooled, ProgrammeError> {
        if self.drawn == Drawn::Unlisted {
            return Err(ProgrammeError::NoList);
        }
        let mut seen = Some(0.0);
        let mut totals = Vec::with_capacity(self.surveys.len());
        let mut parts = Vec::with_capacity(self.surveys.len());
        for at in 0..self.surveys.len() {
            let made = of(at, options).map_err(|error| self.of_survey(at, error))?;
            seen = seen.zip(made.seen).map(|(all, own)| all + own);
            totals.push(made.estimate);
            parts.push(made.totals);
        }
        let (between, within) = self.variance(&totals, &parts, options)?;
        let (estimate, df) = (self.weight() * sum(totals), self.n() - 1.0);
        let se = (between + within).sqrt();
        let method = format!("{what} over drawn collections, expansion, t limits");
        let limits = t_limits(estimate, se, df, options.level).map(|l| Limits {
            low: seen.map_or(l.low, |seen| l.low.max(seen.min(estimate))),
            ..l
        });
        let estimate = Estimate {
            estimate,
            se,
            df,
            limits,
            method,
        };
        Ok(Pooled {
            estimate,
            between,
            within,
        })
    }

    /// The mean of a quantity over the items of all collections, unknown answers treated within each as [`estimate::total`] does; t limits.
    /// One column a survey.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::programme::{Collections, Drawn};
    /// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
    /// assert_eq!(drawn(Drawn::Unlisted)?.mean(&[&hours, &hours], &options)?.estimate.estimate, 1.5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ProgrammeError`]; [`EstimateError::NothingKnown`] where no collection knows anything of it.
    pub fn mean(&self, columns: &[&Column], options: &Options) -> Result<Pooled, ProgrammeError> {
        check(&self.surveys, columns)?;
        if self.census() {
            let (design, made) = self.joined(columns)?;
            return Ok(of_share(estimate::mean(&design.whole(), &made, options)?));
        }
        let mut made = self.ratio(columns, options)?;
        let of = &mut made.estimate;
        of.limits = t_limits(of.estimate, of.se, of.df, options.level);
        of.method = format!(
            "mean over drawn collections, linearised, t limits{}",
            self.missing(columns)
        );
        Ok(made)
    }

    /// The share of a condition over the items of all collections, unknown answers likewise; one column a survey.
    ///
    /// Its limits are those of [`Options::interval`] on the effective size, Korn and Graubard's for the default ones, which rest on boxes.
    /// Where collections do not differ in it (none or all items have it, say) each counts as one independent item (Clopper-Pearson).
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::programme::{Collections, Drawn};
    /// let drawn = |of| Collections::new(vec![("north", &design), ("south", &design)], of);
    /// let made = drawn(Drawn::Unlisted)?.share(&[&mould, &mould], &options)?.estimate;
    /// let limits = made.limits.ok_or("no degree of freedom")?;
    /// assert!(made.estimate == 0.375 && limits.low > 0.0 && limits.high < 1.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`Collections::mean`].
    pub fn share(&self, columns: &[&Column], options: &Options) -> Result<Pooled, ProgrammeError> {
        check(&self.surveys, columns)?;
        if self.census() {
            let (design, made) = self.joined(columns)?;
            return Ok(of_share(estimate::share(&design.whole(), &made, options)?));
        }
        let mut made = self.ratio(columns, options)?;
        let of = &mut made.estimate;
        let (p, v, df, level) = (of.estimate, of.se * of.se, of.df, options.level);
        let rows = self.surveys.iter().map(|(_, design)| design.rows() as f64);
        let rows = sum(rows).max(self.n());
        let (name, limits) = match options.interval {
            _ if !(p > 0.0 && p < 1.0) || v <= 1e-15 * p * (1.0 - p) => (
                "Clopper-Pearson limits on collections",
                binomial::clopper_pearson(p * self.n(), self.n(), level),
            ),
            Kind::Logit => ("logit limits, t", effective::logit(p, v, df, level)),
            Kind::Wilson => (
                "Wilson limits on the effective size, t",
                effective::wilson(p, v, df, level),
            ),
            Kind::Default | Kind::Blended | Kind::Beta => (
                "Korn-Graubard limits",
                effective::korn_graubard(p, v, df, rows, level),
            ),
        };
        of.limits = Some(Limits {
            low: limits.low.min(p),
            high: limits.high.max(p),
        });
        of.method = format!(
            "share over drawn collections, linearised, {name}{}",
            self.missing(columns)
        );
        Ok(made)
    }

    fn joined(&self, columns: &[&Column]) -> Result<(Design, Column), ProgrammeError> {
        check(&self.surveys, columns)?;
        let design = Design::joined(&self.surveys)?;
        let column = Column::joined(&design, columns)?;
        Ok((design, column))
    }

    fn sums(&self, columns: &[&Column]) -> Vec<Sums> {
        let surveys = self.surveys.iter().zip(columns);
        surveys
            .map(|((_, design), column)| estimate::sums(&design.whole(), column))
            .collect()
    }

    /// A ratio of totals to items, unknown answers taken as in the total, without limits.
    fn ratio(&self, columns: &[&Column], options: &Options) -> Result<Pooled, ProgrammeError> {
        estimate::check(options)?;
        let sums = self.sums(columns);
        let known = sum(sums.iter().map(|sums| sums.judged));
        if known <= 0.0 {
            return Err(EstimateError::NothingKnown.into());
        }
        let r = sum(sums.iter().map(|sums| sums.values)) / known;
        let off: Vec<f64> = sums.iter().map(|sums| sums.values - r * sums.judged).collect();
        let part = |(at, (_, design)): (usize, &Survey<'_>)| estimate::about(&design.whole(), columns[at], r);
        let parts: Vec<Vec<BoxTotal>> = self.surveys.iter().enumerate().map(part).collect();
        let (between, within) = self.variance(&off, &parts, options)?;
        let below = self.weight() * known * (self.weight() * known);
        let (between, within) = (between / below, within / below);
        let estimate = Estimate {
            estimate: r,
            se: (between + within).sqrt(),
            df: self.n() - 1.0,
            limits: None,
            method: String::new(),
        };
        Ok(Pooled {
            estimate,
            between,
            within,
        })
    }

    /// Both parts of the variance of an expansion total over collections.
    fn variance(
        &self,
        totals: &[f64],
        parts: &[Vec<BoxTotal>],
        options: &Options,
    ) -> Result<(f64, f64), ProgrammeError> {
        let (n, weight) = (self.n(), self.weight());
        let mean = sum(totals.iter().copied()) / n;
        let squares = sum(totals.iter().map(|t| (t - mean) * (t - mean)));
        let left = match self.drawn {
            Drawn::Of(listed) => 1.0 - n / listed as f64,
            Drawn::Unlisted => 1.0,
        };
        let between = weight * weight * left * n / (n - 1.0) * squares;
        if self.drawn == Drawn::Unlisted {
            return Ok((between, 0.0));
        }
        let mut within = 0.0;
        for (at, ((_, design), part)) in self.surveys.iter().zip(parts).enumerate() {
            let own = variance(&design.whole(), part, options.lonely);
            within += own
                .map_err(|error| self.of_survey(at, error.into()))?
                .total()
                .max(0.0);
        }
        Ok((between, weight * within))
    }

    fn of_survey(&self, at: usize, error: EstimateError) -> ProgrammeError {
        ProgrammeError::Survey {
            survey: self.surveys[at].0.to_owned(),
            error,
        }
    }
}

fn of_strata(estimate: Estimate) -> Pooled {
    let within = estimate.se * estimate.se;
    Pooled {
        estimate,
        between: 0.0,
        within,
    }
}

fn of_share(share: Share) -> Pooled {
    let Share {
        estimate,
        se,
        df,
        limits,
        method,
        ..
    } = share;
    of_strata(Estimate {
        estimate,
        se,
        df,
        limits,
        method,
    })
}
