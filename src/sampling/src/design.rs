//! What was drawn and what became of it: strata of boxes, boxes of items.
//!
//! Boxes (the clusters, or primary sampling units) are a simple random sample without replacement of the boxes of their
//! stratum, or a systematic one along the shelf ([`Draw`]); the rows of a box are a simple random sample without replacement of its items, often all of them.

use core::ops::Range;
use std::collections::BTreeSet;

/// What became of a sampled box.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Status {
    /// Opened, counted and read. A box that holds nothing is checked, with 0 items.
    #[default]
    Checked,
    /// Nobody got to it: nothing is known of it. It leaves n, which assumes that such boxes are missing at random.
    NotReached,
    /// Stopped, for a hazard say. It stays in n with what is known of it; the rest is never taken as missing at random.
    Stopped,
    /// Holds nothing that the survey is about. It stays in n, with no items.
    OutOfScope,
}

/// How the boxes of a stratum were drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Draw {
    /// A simple random sample without replacement.
    #[default]
    Random,
    /// Every so many boxes along the shelf from a random start ([`crate::systematic::places`]): the boxes of the sample have to be given
    /// in the order of the shelf. Totals and shares are the same; for the variance a rule has to be named.
    Systematic(crate::systematic::Rule),
}

/// One sampled box.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BoxSample {
    /// Its identifier, unique within the stratum.
    pub id: String,
    /// What became of it.
    pub status: Status,
    /// How many items it holds; `None` only where it was not reached or stopped before the count.
    pub items: Option<u64>,
    /// How many rows of item answers it brings (drawn items).
    pub rows: usize,
    /// A known measure of the box, for ratio totals.
    pub size: Option<f64>,
}

/// One stratum: how many boxes it has, and those that were sampled.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StratumSample {
    /// The stratum's key, unique.
    pub key: String,
    /// Boxes in the frame, sampled or not.
    pub frame_boxes: u64,
    /// The sum of all its boxes' sizes, where sizes are known.
    pub frame_size: Option<f64>,
    /// How they were drawn.
    pub draw: Draw,
    /// The sampled boxes; of a systematic draw in the order of the shelf.
    pub sample: Vec<BoxSample>,
}

/// Why a design was refused. Each names the stratum, and the box where there is one.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DesignError {
    /// There is no stratum at all.
    #[error("there is no stratum")]
    NoStrata,
    /// Two strata have the same key.
    #[error("stratum {0:?} is there twice")]
    StratumTwice(String),
    /// A box is there twice.
    #[error("box {id:?} of stratum {stratum:?} is there twice")]
    BoxTwice {
        /// The stratum's key.
        stratum: String,
        /// The box's identifier.
        id: String,
    },
    /// More boxes were sampled than the stratum has.
    #[error("stratum {stratum:?} has {frame} boxes, and {sampled} were sampled")]
    MoreThanFrame {
        /// The stratum's key.
        stratum: String,
        /// Boxes in the frame.
        frame: u64,
        /// Boxes sampled.
        sampled: usize,
    },
    /// No box of the stratum was sampled and reached, so nothing can be said of it.
    #[error("no box of stratum {0:?} was sampled and reached: merge it with another or leave it out")]
    NothingReached(String),
    /// A box that was opened has no count.
    #[error("box {id:?} of stratum {stratum:?} was checked and has no number of items")]
    NoCount {
        /// The stratum's key.
        stratum: String,
        /// The box's identifier.
        id: String,
    },
    /// No box of the stratum has a count, so that a stopped box's cannot be imputed.
    #[error("no box of stratum {0:?} has a number of items")]
    NoCounts(String),
    /// A box has more rows than items.
    #[error("box {id:?} of stratum {stratum:?} has {rows} rows of answers and {items} items")]
    MoreRowsThanItems {
        /// The stratum's key.
        stratum: String,
        /// The box's identifier.
        id: String,
        /// Rows of answers.
        rows: usize,
        /// Items in the box.
        items: u64,
    },
    /// A box that holds nothing to survey, or that nobody reached, brings answers.
    #[error("box {id:?} of stratum {stratum:?} brings answers, though it was {was}")]
    AnswersFromNowhere {
        /// The stratum's key.
        stratum: String,
        /// The box's identifier.
        id: String,
        /// What it was said to be.
        was: &'static str,
    },
}

/// A sampled box inside a [`Design`].
#[derive(Clone, Debug, PartialEq)]
pub struct DesignBox {
    /// Its identifier.
    pub id: String,
    /// Index of its stratum.
    pub stratum: usize,
    /// What became of it.
    pub status: Status,
    /// Items in it: counted, imputed (see [`DesignBox::imputed`]), or 0 where it is out of scope or was not reached.
    pub items: f64,
    /// Whether `items` is the mean count of the stratum's counted boxes, for want of its own.
    pub imputed: bool,
    /// Its rows, as indices into every column.
    pub rows: Range<usize>,
    /// Its known measure.
    pub size: Option<f64>,
}

impl DesignBox {
    /// Whether it is in n.
    #[must_use]
    pub fn reached(&self) -> bool {
        self.status != Status::NotReached
    }

    /// Whether what is not known of it was withheld by a stop.
    pub(crate) fn withheld(&self) -> bool {
        self.status == Status::Stopped
    }
}

/// A stratum inside a [`Design`].
#[derive(Clone, Debug, PartialEq)]
pub struct DesignStratum {
    /// Its key.
    pub key: String,
    /// Boxes in the frame, `N_h`.
    pub frame_boxes: f64,
    /// Boxes in n, `n_h`: sampled and reached.
    pub reached: usize,
    /// Boxes sampled and not reached.
    pub not_reached: usize,
    /// Its sampled boxes, as indices into [`Design::boxes`].
    pub boxes: Range<usize>,
    /// Boxes with a count of their own.
    pub counted: usize,
    /// Mean count of those.
    pub mean_items: f64,
    /// Variance of those (divisor one less; 0 for a single one).
    pub items_variance: f64,
    /// The sum of all its boxes' sizes, where known.
    pub frame_size: Option<f64>,
    /// How its boxes were drawn.
    pub draw: Draw,
}

impl DesignStratum {
    /// `N_h` as the whole number it is.
    #[must_use]
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "made from a whole number in Design::new"
    )]
    pub fn frame_boxes_count(&self) -> u64 {
        self.frame_boxes as u64
    }

    /// The weight of a box, `N_h / n_h`.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.frame_boxes / self.reached_f64()
    }

    /// `n_h` as a float.
    #[must_use]
    pub fn reached_f64(&self) -> f64 {
        self.reached as f64
    }

    /// The first-stage sampling fraction, `n_h / N_h`.
    #[must_use]
    pub fn fraction(&self) -> f64 {
        self.reached_f64() / self.frame_boxes
    }

    /// Whether every box of it is in n.
    #[must_use]
    pub fn census(&self) -> bool {
        self.fraction() >= 1.0
    }

    /// The rule for its first-stage variance.
    #[must_use]
    pub fn rule(&self) -> crate::systematic::Rule {
        match self.draw {
            Draw::Random => crate::systematic::Rule::AsRandom,
            Draw::Systematic(rule) => rule,
        }
    }

    /// Whether it has a single box in n, and others that are not.
    #[must_use]
    pub fn lonely(&self) -> bool {
        self.reached == 1 && !self.census()
    }
}

/// A checked two-stage stratified sample.
///
/// ```
/// use sampling::design::{BoxSample, Design, Status, StratumSample};
/// let counted = |id: &str, items| BoxSample { id: id.into(), items: Some(items), rows: items as usize, ..Default::default() };
/// let shelf = StratumSample {
///     key: "Shelf".into(),
///     frame_boxes: 40,
///     sample: vec![counted("B1", 12), counted("B2", 0), counted("B3", 7)],
///     ..Default::default()
/// };
/// let design = Design::new(vec![shelf]).unwrap();
/// assert_eq!(design.degrees_of_freedom(), 2.0);
/// assert_eq!(design.rows(), 19);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    strata: Vec<DesignStratum>,
    boxes: Vec<DesignBox>,
    /// Of each box where its rows end, side by side for the loops that read every answer.
    ends: Vec<usize>,
    rows: usize,
}

impl Design {
    /// Checks a sample and lays it out: boxes in the order given, rows in the order of boxes.
    ///
    /// # Errors
    /// A [`DesignError`] that names the first thing that cannot be.
    pub fn new(strata: Vec<StratumSample>) -> Result<Self, DesignError> {
        if strata.is_empty() {
            return Err(DesignError::NoStrata);
        }
        let mut keys = BTreeSet::new();
        let mut design = Self {
            strata: Vec::with_capacity(strata.len()),
            boxes: Vec::new(),
            ends: Vec::new(),
            rows: 0,
        };
        for stratum in strata {
            if !keys.insert(stratum.key.clone()) {
                return Err(DesignError::StratumTwice(stratum.key));
            }
            design.add(stratum)?;
        }
        Ok(design)
    }

    fn add(&mut self, stratum: StratumSample) -> Result<(), DesignError> {
        let StratumSample {
            key,
            frame_boxes,
            frame_size,
            draw,
            sample,
        } = stratum;
        if sample.len() as u64 > frame_boxes {
            return Err(DesignError::MoreThanFrame {
                stratum: key,
                frame: frame_boxes,
                sampled: sample.len(),
            });
        }
        let reached = sample.iter().filter(|b| b.status != Status::NotReached).count();
        if reached == 0 {
            return Err(DesignError::NothingReached(key));
        }
        // Identifiers that rise are no two alike: no set is needed to know.
        let rising = sample
            .windows(2)
            .all(|pair| (pair[0].id.len(), &pair[0].id) < (pair[1].id.len(), &pair[1].id));
        let mut ids = BTreeSet::new();
        for sampled in &sample {
            if !rising && !ids.insert(sampled.id.as_str()) {
                return Err(DesignError::BoxTwice {
                    stratum: key,
                    id: sampled.id.clone(),
                });
            }
            check_box(&key, sampled)?;
        }
        let counts: Vec<f64> = sample
            .iter()
            .filter_map(|b| count(b).map(|items| items as f64))
            .collect();
        let mean_items = counts.iter().sum::<f64>() / counts.len() as f64;
        let squares: f64 = counts.iter().map(|c| (c - mean_items) * (c - mean_items)).sum();
        let items_variance = if counts.len() > 1 {
            squares / (counts.len() - 1) as f64
        } else {
            0.0
        };
        if counts.is_empty() {
            return Err(DesignError::NoCounts(key));
        }
        let first = self.boxes.len();
        let index = self.strata.len();
        let not_reached = sample.len() - reached;
        for sampled in sample {
            let counted = count(&sampled).map(|items| items as f64);
            let in_n = sampled.status != Status::NotReached;
            let end = self.rows + sampled.rows;
            self.boxes.push(DesignBox {
                stratum: index,
                items: if in_n { counted.unwrap_or(mean_items) } else { 0.0 },
                imputed: in_n && counted.is_none(),
                rows: self.rows..end,
                id: sampled.id,
                status: sampled.status,
                size: sampled.size,
            });
            self.ends.push(end);
            self.rows = end;
        }
        self.strata.push(DesignStratum {
            key,
            frame_boxes: frame_boxes as f64,
            reached,
            not_reached,
            boxes: first..self.boxes.len(),
            counted: counts.len(),
            mean_items,
            items_variance,
            frame_size,
            draw,
        });
        Ok(())
    }

    /// Several samples as one, the strata of each under its name: `name/key`. Every collection of a programme was surveyed, and nothing
    /// of one tells of another, so that totals and their variances add up ([`crate::programme`]).
    ///
    /// # Errors
    /// [`DesignError::NoStrata`] for none, [`DesignError::StratumTwice`] for two of one name.
    pub fn joined(samples: &[(&str, &Self)]) -> Result<Self, DesignError> {
        let mut made = Self {
            strata: Vec::new(),
            boxes: Vec::new(),
            ends: Vec::new(),
            rows: 0,
        };
        let mut keys = BTreeSet::new();
        for (name, sample) in samples {
            let (strata, boxes) = (made.strata.len(), made.boxes.len());
            for stratum in &sample.strata {
                let key = format!("{name}/{}", stratum.key);
                if !keys.insert(key.clone()) {
                    return Err(DesignError::StratumTwice(key));
                }
                made.strata.push(DesignStratum {
                    key,
                    boxes: stratum.boxes.start + boxes..stratum.boxes.end + boxes,
                    ..stratum.clone()
                });
            }
            made.boxes.extend(sample.boxes.iter().map(|sampled| DesignBox {
                stratum: sampled.stratum + strata,
                rows: sampled.rows.start + made.rows..sampled.rows.end + made.rows,
                ..sampled.clone()
            }));
            made.ends.extend(sample.ends.iter().map(|end| end + made.rows));
            made.rows += sample.rows;
        }
        if made.strata.is_empty() {
            return Err(DesignError::NoStrata);
        }
        Ok(made)
    }

    /// The strata, in the order given.
    #[must_use]
    pub fn strata(&self) -> &[DesignStratum] {
        &self.strata
    }

    /// All sampled boxes, stratum after stratum, those not reached among them.
    #[must_use]
    pub fn boxes(&self) -> &[DesignBox] {
        &self.boxes
    }

    /// Of each box where its rows end.
    pub(crate) fn ends(&self) -> &[usize] {
        &self.ends
    }

    /// How many rows of answers every column has.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Boxes in n less strata, as usual for a stratified cluster sample.
    ///
    /// Where that is 0 because every box there is was taken, the items are the sampling units: their number less one,
    /// summed over boxes.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> f64 {
        self.whole().degrees_of_freedom()
    }

    /// The same sample as if every box that was not reached had been stopped before its count: in n, its count imputed,
    /// nothing else known. This is the ground for bounds.
    #[must_use]
    pub fn with_unreached(&self) -> Self {
        let mut made = self.clone();
        for sampled in made.boxes.iter_mut().filter(|b| b.status == Status::NotReached) {
            sampled.status = Status::Stopped;
            sampled.items = self.strata[sampled.stratum].mean_items;
            sampled.imputed = true;
        }
        for stratum in &mut made.strata {
            stratum.reached += core::mem::take(&mut stratum.not_reached);
        }
        made
    }

    /// The same sample, one stratum of it.
    #[must_use]
    pub fn only(&self, stratum: usize) -> Part<'_> {
        Part {
            design: self,
            strata: stratum..stratum + 1,
        }
    }

    /// The whole sample, as a part.
    #[must_use]
    pub fn whole(&self) -> Part<'_> {
        Part {
            design: self,
            strata: 0..self.strata.len(),
        }
    }
}

/// A run of strata of a design: all of them, or one.
#[derive(Clone, Debug)]
pub struct Part<'a> {
    /// The design it is part of.
    pub design: &'a Design,
    /// Which strata.
    pub strata: Range<usize>,
}

impl<'a> Part<'a> {
    /// The strata of this part.
    #[must_use]
    pub fn strata(&self) -> &'a [DesignStratum] {
        &self.design.strata[self.strata.clone()]
    }

    /// The indices of this part's sampled boxes, those not reached among them.
    #[must_use]
    pub fn box_indices(&self) -> Range<usize> {
        let strata = self.strata();
        match (strata.first(), strata.last()) {
            (Some(first), Some(last)) => first.boxes.start..last.boxes.end,
            _ => 0..0,
        }
    }

    /// As [`Design::degrees_of_freedom`], of this part.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> f64 {
        let strata = self.strata();
        let between = strata.iter().map(|s| s.reached).sum::<usize>() - strata.len();
        if between == 0 && strata.iter().all(DesignStratum::census) {
            let boxes = &self.design.boxes[self.box_indices()];
            return boxes
                .iter()
                .map(|b| b.rows.len().saturating_sub(1))
                .sum::<usize>() as f64;
        }
        between as f64
    }
}

/// A box's own count: none of a box that was not reached, 0 of one that is out of scope.
fn count(sampled: &BoxSample) -> Option<u64> {
    match sampled.status {
        Status::NotReached => None,
        Status::OutOfScope => Some(0),
        Status::Checked | Status::Stopped => sampled.items,
    }
}

fn check_box(stratum: &str, sampled: &BoxSample) -> Result<(), DesignError> {
    // Names are copied only where they are needed to say what is wrong.
    let names = || (stratum.to_owned(), sampled.id.clone());
    let was = match sampled.status {
        Status::NotReached => "not reached",
        Status::OutOfScope => "out of scope",
        Status::Checked | Status::Stopped => "",
    };
    if !was.is_empty() && sampled.rows > 0 {
        let (stratum, id) = names();
        return Err(DesignError::AnswersFromNowhere { stratum, id, was });
    }
    match sampled.items {
        None if sampled.status == Status::Checked || sampled.rows > 0 => {
            let (stratum, id) = names();
            Err(DesignError::NoCount { stratum, id })
        }
        Some(items) if sampled.rows as u64 > items => {
            let (stratum, id) = names();
            Err(DesignError::MoreRowsThanItems {
                stratum,
                id,
                rows: sampled.rows,
                items,
            })
        }
        _ => Ok(()),
    }
}
