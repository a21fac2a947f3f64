//! What was drawn and what became of it: strata of boxes, boxes of items.
//!
//! Boxes (the clusters, or primary sampling units) are a simple random sample without replacement of the boxes of their
//! stratum, or a systematic one along the shelf ([`Draw`]); the rows of a box are a simple random sample without replacement of its items, often all of them.

mod error;
mod laid;
mod part;
mod runs;
mod sample;

pub use error::DesignError;
pub(crate) use laid::Read;
pub use laid::{DesignBox, DesignStratum};
pub use part::Part;
pub(crate) use runs::{ROWS, Runs};
pub use sample::{BoxSample, Draw, Status, StratumSample};

use sample::{check_box, count};
use std::collections::BTreeSet;

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
    /// Where boxes end, for the sweeps that read every answer.
    runs: Runs,
    /// Of each box how many rows it has, for the same.
    rows_of: Vec<u32>,
    /// And how many items.
    items_of: Vec<f64>,
    rows: usize,
}

impl Design {
    /// Checks a sample and lays it out: boxes in the order given, rows in the order of boxes.
    ///
    /// ```
    /// use sampling::design::{BoxSample, Design, DesignError, StratumSample};
    /// let boxes = |ids: [&str; 2]| ids.map(|id| BoxSample { id: id.into(), items: Some(1), rows: 1, ..Default::default() }).to_vec();
    /// let shelf = |ids| StratumSample { key: "shelf".into(), frame_boxes: 9, sample: boxes(ids), ..Default::default() };
    /// assert_eq!(Design::new(vec![shelf(["B1", "B2"])])?.rows(), 2);
    /// assert!(matches!(Design::new(vec![shelf(["B1", "B1"])]), Err(DesignError::BoxTwice { .. })));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
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
            runs: Runs::default(),
            rows_of: Vec::new(),
            items_of: Vec::new(),
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
        let mut counts: Vec<f64> = Vec::with_capacity(sample.len());
        counts.extend(sample.iter().filter_map(|b| count(b).map(|items| items as f64)));
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
        let mut read = Some(Read::default());
        self.boxes.reserve(sample.len());
        self.runs.reserve(sample.len());
        self.rows_of.reserve(sample.len());
        self.items_of.reserve(sample.len());
        for sampled in sample {
            let counted = count(&sampled).map(|items| items as f64);
            let in_n = sampled.status != Status::NotReached;
            let end = self.rows + sampled.rows;
            let items = if in_n { counted.unwrap_or(mean_items) } else { 0.0 };
            let known = !in_n || counted.is_some();
            read = read
                .filter(|_| known)
                .and_then(|read| read.and(items, sampled.rows as f64));
            self.boxes.push(DesignBox {
                stratum: index,
                items,
                imputed: in_n && counted.is_none(),
                rows: self.rows..end,
                id: sampled.id,
                status: sampled.status,
                size: sampled.size,
            });
            self.runs.push(end);
            self.rows_of.push(u32::try_from(sampled.rows).unwrap_or(u32::MAX));
            self.items_of.push(items);
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
            read,
        });
        Ok(())
    }

    /// Several samples as one, the strata of each under its name: `name/key`. Every collection of a programme was surveyed, and nothing
    /// of one tells of another, so that totals and their variances add up ([`crate::programme`]).
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::{design::Design, estimate};
    /// let both = Design::joined(&[("north", &design), ("south", &design)])?;
    /// assert_eq!(both.strata()[1].key, "south/shelf");
    /// assert_eq!(estimate::items(&both.whole(), &options)?.estimate, 160.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`DesignError::NoStrata`] for none, [`DesignError::StratumTwice`] for two of one name.
    pub fn joined(samples: &[(&str, &Self)]) -> Result<Self, DesignError> {
        let mut made = Self {
            strata: Vec::new(),
            boxes: Vec::new(),
            runs: Runs::default(),
            rows_of: Vec::new(),
            items_of: Vec::new(),
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
            made.rows_of.extend(&sample.rows_of);
            made.items_of.extend(&sample.items_of);
            made.rows += sample.rows;
        }
        made.boxes
            .iter()
            .for_each(|sampled| made.runs.push(sampled.rows.end));
        if made.strata.is_empty() {
            return Err(DesignError::NoStrata);
        }
        Ok(made)
    }

    /// The strata, in the order given.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.strata().iter().map(|s| s.key.as_str()).collect::<Vec<_>>(), ["shelf"]);
    /// ```
    #[must_use]
    pub fn strata(&self) -> &[DesignStratum] {
        &self.strata
    }

    /// All sampled boxes, stratum after stratum, those not reached among them.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.boxes().iter().map(|b| b.items).sum::<f64>(), 8.0);
    /// ```
    #[must_use]
    pub fn boxes(&self) -> &[DesignBox] {
        &self.boxes
    }

    /// Where boxes end.
    pub(crate) fn runs(&self) -> &Runs {
        &self.runs
    }

    /// Of each box how many rows it has.
    pub(crate) fn rows_of(&self) -> &[u32] {
        &self.rows_of
    }

    /// Of each box how many items it has; not of one that is taken as stopped, for whose stratum nobody asks.
    pub(crate) fn items_of(&self) -> &[f64] {
        &self.items_of
    }

    /// How many rows of answers every column has.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.rows(), 8); // Four boxes of two items each.
    /// ```
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Boxes in n less strata, as usual for a stratified cluster sample.
    ///
    /// Where that is 0 because every box there is was taken, the items are the sampling units: their number less one,
    /// summed over boxes.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.degrees_of_freedom(), 3.0); // Four boxes, one stratum.
    /// ```
    #[must_use]
    pub fn degrees_of_freedom(&self) -> f64 {
        self.whole().degrees_of_freedom()
    }

    /// The same sample as if every box that was not reached had been stopped before its count: in n, its count imputed,
    /// nothing else known. This is the ground for bounds.
    ///
    /// ```
    /// use sampling::design::{BoxSample, Design, Status, StratumSample};
    /// let opened = BoxSample { id: "B1".into(), items: Some(4), rows: 4, ..Default::default() };
    /// let locked = BoxSample { id: "B2".into(), status: Status::NotReached, ..Default::default() };
    /// let sample = vec![opened, locked];
    /// let design = Design::new(vec![StratumSample { frame_boxes: 10, sample, ..Default::default() }])?;
    /// let made = design.with_unreached();
    /// assert_eq!((design.strata()[0].reached, made.strata()[0].reached), (1, 2));
    /// assert_eq!(made.boxes()[1].items, 4.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn with_unreached(&self) -> Self {
        let mut made = self.clone();
        for sampled in made.boxes.iter_mut().filter(|b| b.status == Status::NotReached) {
            sampled.status = Status::Stopped;
            sampled.items = self.strata[sampled.stratum].mean_items;
            sampled.imputed = true;
        }
        for stratum in &mut made.strata {
            stratum.read = stratum.read.filter(|_| stratum.not_reached == 0);
            stratum.reached += core::mem::take(&mut stratum.not_reached);
        }
        made
    }

    /// The same sample, one stratum of it.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let options = sampling::estimate::Options::default();
    /// use sampling::{design::Design, estimate};
    /// let both = Design::joined(&[("north", &design), ("south", &design)])?;
    /// assert_eq!(both.only(1).box_indices(), 4..8);
    /// assert_eq!(estimate::items(&both.only(1), &options)?.estimate, 80.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn only(&self, stratum: usize) -> Part<'_> {
        Part {
            design: self,
            strata: stratum..stratum + 1,
        }
    }

    /// The whole sample, as a part.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.whole().box_indices(), 0..4);
    /// ```
    #[must_use]
    pub fn whole(&self) -> Part<'_> {
        Part {
            design: self,
            strata: 0..self.strata.len(),
        }
    }
}
