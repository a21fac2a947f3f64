//! The same mean of many columns, of the whole and of every stratum: what each box has of each column is laid out once, four columns
//! side by side, and every figure is one sweep over it. To the last bit as [`mean`], which does one at a time.

use super::filled::{Filled, Told};
use super::known::{self, Yes};
use super::missing::{missing_answers_of, missing_boxes};
use super::share::{Ratio, finished_mean};
use super::tally::Affine;
use super::{EstimateError, Options, Share, check, limits_of, mean};
use crate::column::{Column, Counts};
use crate::design::{Design, DesignBox, DesignStratum, Part, Status};
use crate::interval::tail;
use crate::math::t_quantile;
use crate::systematic::Rule;

/// Columns side by side.
const LANES: usize = 4;

/// A number of each of them.
type Lane = [f64; LANES];

fn lane(of: impl Fn(usize) -> f64) -> Lane {
    core::array::from_fn(of)
}

/// Columns of one design, their means to be made together.
///
/// ```
/// use sampling::column::Column;
/// use sampling::design::{BoxSample, Design, StratumSample};
/// use sampling::estimate::{Many, Options, mean};
/// let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
/// let design = Design::new(vec![StratumSample { frame_boxes: 9, sample, ..Default::default() }])?;
/// let answers = [true, false, true, true, false, true, true, true];
/// let mould = Column::of_answers(&design, answers.map(Some).to_vec())?;
/// let odour = Column::of_answers(&design, answers.map(|yes| Some(!yes)).to_vec())?;
/// let many = Many::new(&design, &[&mould, &odour]);
/// let options = Options::default();
/// assert_eq!(many.means(&design.whole(), &options)[1], mean(&design.whole(), &odour, &options));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Many<'a> {
    design: &'a Design,
    columns: Vec<&'a Column>,
    /// Of each column and stratum, where the column is known in full, item by item.
    yes: Vec<Vec<Option<Yes>>>,
    /// Conditions of which some stratum is not so.
    blocks: Vec<Block<'a>>,
}

/// Four conditions of the columns; one may be there twice to fill the last block.
#[derive(Clone, Debug)]
struct Block<'a> {
    /// Their places among the columns.
    places: Vec<usize>,
    counts: [&'a Counts; LANES],
    strata: Vec<Sums>,
}

/// What one box has of them; see [`super::tally`].
#[derive(Clone, Copy, Debug)]
struct Seen {
    known: Lane,
    answers: f64,
    mean: Lane,
    squares: Lane,
}

impl Seen {
    /// Answers to column `i` that are unknown without a stop.
    fn unknown(&self, sampled: &DesignBox, i: usize) -> f64 {
        match sampled.status {
            Status::Stopped => 0.0,
            _ => self.answers - self.known[i],
        }
    }
}

/// What a stratum has of them, before its weight.
#[derive(Clone, Debug, Default)]
struct Sums {
    values: Lane,
    known: Lane,
    /// Items known, or unknown without a stop.
    judged: Lane,
    items: Lane,
    /// Boxes that tell; see [`super::filled`].
    boxes: [usize; LANES],
    withheld: [bool; LANES],
}

impl<'a> Many<'a> {
    /// Takes columns of the design. Conditions answered item by item are made side by side, others one at a time.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::estimate::Many;
    /// let many = Many::new(&design, &[&mould, &hours]);
    /// let means = many.means(&part, &options).into_iter().map(|mean| Ok(mean?.estimate));
    /// assert_eq!(means.collect::<Result<Vec<f64>, sampling::estimate::EstimateError>>()?, [0.375, 1.5]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn new(design: &'a Design, columns: &[&'a Column]) -> Self {
        // Some designs need a rule that only the slow way has.
        let plain = |s: &DesignStratum| !s.lonely() && s.rule() == Rule::AsRandom;
        let sound = |b: &DesignBox| !b.imputed && (b.rows.len() != 1 || b.items <= 1.0);
        let ready = design.strata().iter().all(plain) && design.boxes().iter().all(sound);
        let yes: Vec<Vec<Option<Yes>>> = columns
            .iter()
            .map(|column| Yes::of(design, design.strata(), column))
            .collect();
        let counted = |(at, column): (usize, &&'a Column)| {
            let fit = ready && column.fits(design) && yes[at].iter().any(Option::is_none);
            Some((at, column.counts().filter(|_| fit)?))
        };
        let conditions: Vec<(usize, &'a Counts)> = columns.iter().enumerate().filter_map(counted).collect();
        let blocks = conditions.chunks(LANES).map(|own| Block::new(design, own));
        Self {
            blocks: blocks.collect(),
            design,
            columns: columns.to_vec(),
            yes,
        }
    }

    /// [`mean`] of each column over a part of the design, in the columns' order.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, mould, hours } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::estimate::{Many, mean};
    /// let many = Many::new(&design, &[&mould, &hours]);
    /// for part in [design.whole(), design.only(0)] {
    ///     assert_eq!(many.means(&part, &options)[0], mean(&part, &mould, &options));
    /// }
    /// ```
    ///
    /// # Errors
    /// Of each column its own [`EstimateError`].
    #[must_use]
    pub fn means(&self, part: &Part<'_>, options: &Options) -> Vec<Result<Share, EstimateError>> {
        let mut made: Vec<Option<Share>> = vec![None; self.columns.len()];
        let df = part.degrees_of_freedom();
        let sound = check(options).is_ok();
        let quantile = if df > 0.0 && sound {
            t_quantile(1.0 - tail(options.level), df)
        } else {
            0.0
        };
        let limits = |estimate, se| limits_of(estimate, se, df, || quantile);
        let words = missing_boxes(part);
        for (made, own) in made.iter_mut().zip(&self.yes).filter(|_| sound) {
            let ratio = known::ratio(part, &own[part.strata.clone()]);
            *made = ratio.map(|ratio| finished_mean(&ratio, df, limits, &words));
        }
        let mut totals = Vec::new();
        for block in self.blocks.iter().filter(|_| sound) {
            let figures = block.figures(self.design, part, &mut totals);
            for ((ratio, missing), place) in figures.into_iter().zip(&block.places) {
                if ratio.known > 0.0 && made[*place].is_none() {
                    made[*place] = Some(finished_mean(&ratio, df, limits, &[&*missing, &words].concat()));
                }
            }
        }
        // What is left, or known of nothing, goes the slow way, which says why it cannot.
        let columns = made.into_iter().zip(&self.columns);
        columns
            .map(|(made, column)| made.map_or_else(|| mean(part, column, options), Ok))
            .collect()
    }
}

impl<'a> Block<'a> {
    fn new(design: &Design, own: &[(usize, &'a Counts)]) -> Self {
        let mut made = Self {
            places: own.iter().map(|(place, _)| *place).collect(),
            counts: core::array::from_fn(|i| own[i.min(own.len() - 1)].1),
            strata: Vec::with_capacity(design.strata().len()),
        };
        for stratum in design.strata() {
            let (mut values, mut known, mut judged) =
                (Totals::default(), Totals::default(), Totals::default());
            let mut sums = Sums::default();
            for b in stratum.boxes.clone() {
                let sampled = &design.boxes()[b];
                if sampled.items <= 0.0 {
                    continue;
                }
                let Seen {
                    known: own,
                    answers,
                    mean,
                    ..
                } = made.seen(sampled, b);
                values.add(lane(|i| sampled.items * (own[i] * mean[i] / answers)));
                known.add(lane(|i| sampled.items * (own[i] / answers)));
                sums.items = lane(|i| sums.items[i] + own[i]);
                let stopped = sampled.status == Status::Stopped;
                judged.add(lane(|i| {
                    sampled.items * (if stopped { own[i] } else { answers } / answers)
                }));
                for (i, own) in own.iter().enumerate() {
                    sums.boxes[i] += usize::from(!stopped && *own > 0.0);
                    sums.withheld[i] |= stopped && *own < answers;
                }
            }
            (sums.values, sums.known, sums.judged) = (values.value(), known.value(), judged.value());
            made.strata.push(sums);
        }
        made
    }

    fn seen(&self, sampled: &DesignBox, b: usize) -> Seen {
        let rows = sampled.rows.len();
        let counts: [(f64, f64); LANES] = core::array::from_fn(|i| self.counts[i].of_box(b, rows));
        let (yes, known) = (counts.map(|c| c.0), counts.map(|c| c.1));
        // Nothing known has a mean of 0 and no squares.
        let below = known.map(|known| known.max(1.0));
        Seen {
            answers: rows.max(1) as f64,
            mean: lane(|i| yes[i] / below[i]),
            squares: lane(|i| yes[i] * (known[i] - yes[i]) / below[i]),
            known,
        }
    }

    /// Of each column its ratio and what is to be said of missing answers; `totals` is room to work in.
    fn figures(&self, design: &Design, part: &Part<'_>, totals: &mut Vec<Lane>) -> [(Ratio, String); LANES] {
        let own = &self.strata[part.strata.clone()];
        let expanded = |of: &dyn Fn(&Sums) -> Lane| {
            let mut made = Totals::default();
            for (stratum, sums) in part.strata().iter().zip(own) {
                let (weight, sums) = (stratum.weight(), of(sums));
                made.add(lane(|i| weight * sums[i]));
            }
            made.value()
        };
        let (values, known) = (expanded(&|s| s.values), expanded(&|s| s.known));
        let filled: [Filled; LANES] = core::array::from_fn(|i| {
            let told = part.strata().iter().zip(own).map(|(stratum, sums)| Told {
                values: stratum.weight() * sums.values[i],
                known: stratum.weight() * sums.known[i],
                judged: stratum.weight() * sums.judged[i],
                boxes: sums.boxes[i],
            });
            Filled::new(&told.collect::<Vec<_>>(), values[i], known[i])
        });
        let all = lane(|i| filled[i].known);
        let r = lane(|i| filled[i].values / all[i]);
        let (mut first, mut within, mut spread) = (Totals::default(), Totals::default(), Totals::default());
        for (h, stratum) in part.strata().iter().enumerate() {
            let (weight, n) = (stratum.weight(), stratum.reached_f64());
            let z: [Affine; LANES] = core::array::from_fn(|i| filled[i].about(h, r[i]));
            let rise = lane(|i| filled[i].rise(h));
            totals.clear();
            let mut mean = Totals::default();
            for b in stratum.boxes.clone() {
                let sampled = &design.boxes()[b];
                if sampled.items <= 0.0 {
                    if sampled.reached() {
                        totals.push(Lane::default());
                    }
                    continue;
                }
                let seen = &self.seen(sampled, b);
                let off = lane(|i| seen.mean[i] - r[i]);
                let of_known = lane(|i| z[i].slope * seen.mean[i] + z[i].constant);
                let unknown = lane(|i| seen.unknown(sampled, i));
                let of_box =
                    lane(|i| (seen.known[i] * of_known[i] + unknown[i] * z[i].unknown) / seen.answers);
                let total = lane(|i| sampled.items * of_box[i]);
                mean.add(total);
                totals.push(total);
                let rows = sampled.rows.len() as f64;
                let each = weight * (sampled.items / rows.max(1.0));
                spread.add(lane(|i| {
                    each * rise[i] * (seen.squares[i] + seen.known[i] * off[i] * off[i])
                }));
                if rows > 0.0 && rows < sampled.items {
                    within.add(second_stage(sampled, seen, weight, &z, &of_known, &of_box));
                }
            }
            if stratum.census() {
                continue;
            }
            let mean = mean.value().map(|sum| sum / n);
            let mut squares = Totals::default();
            for total in totals.iter() {
                squares.add(lane(|i| (total[i] - mean[i]) * (total[i] - mean[i])));
            }
            let (squares, left) = (squares.value(), 1.0 - stratum.fraction());
            first.add(lane(|i| weight * weight * left * squares[i] * n / (n - 1.0)));
        }
        let (first, within, spread) = (first.value(), within.value(), spread.value());
        core::array::from_fn(|i| {
            let ratio = Ratio {
                r: r[i],
                v: (first[i] + within[i]).max(0.0) / (all[i] * all[i]),
                spread: spread[i] / all[i],
                known: known[i],
                n: own.iter().map(|sums| sums.items[i]).sum(),
            };
            let any = |of: &dyn Fn(&Sums) -> bool| own.iter().any(of);
            (
                ratio,
                missing_answers_of(filled[i].taken, any(&|s| s.withheld[i])),
            )
        })
    }
}

/// What the items of a box that was read in part add; see [`crate::linear`].
fn second_stage(
    sampled: &DesignBox,
    seen: &Seen,
    weight: f64,
    z: &[Affine; LANES],
    of_known: &Lane,
    mean: &Lane,
) -> Lane {
    let (items, rows) = (sampled.items, sampled.rows.len() as f64);
    let raise = weight * items * (items - rows);
    lane(|i| {
        let m = mean[i];
        let unknown = seen.unknown(sampled, i);
        let withheld = seen.answers - seen.known[i] - unknown;
        let off = |value: f64| (value - m) * (value - m);
        let between = seen.known[i] * off(of_known[i]) + unknown * off(z[i].unknown) + withheld * m * m;
        let squares = z[i].slope * z[i].slope * seen.squares[i] + between;
        raise * (squares / (rows - 1.0)) / rows
    })
}

/// Running compensated totals side by side; see [`crate::math::Total`].
#[derive(Clone, Copy, Debug, Default)]
struct Totals {
    high: Lane,
    low: Lane,
}

impl Totals {
    fn add(&mut self, term: Lane) {
        let (high, low) = (self.high, self.low);
        let next = lane(|i| high[i] + term[i]);
        let of_term = lane(|i| next[i] - high[i]);
        self.low = lane(|i| low[i] + ((high[i] - (next[i] - of_term[i])) + (term[i] - of_term[i])));
        self.high = next;
    }

    fn value(&self) -> Lane {
        lane(|i| self.high[i] + self.low[i])
    }
}
