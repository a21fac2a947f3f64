//! Boxes and strata as a design has laid them out.

use super::{Draw, Status};
use crate::systematic::Rule;
use core::ops::Range;

/// A sampled box inside a [`Design`](super::Design).
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// let second = &design.boxes()[1];
/// assert_eq!((second.id.as_str(), second.items, second.rows.clone()), ("1", 2.0, 2..4));
/// ```
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
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert!(design.boxes().iter().all(|b| b.reached()));
    /// ```
    #[must_use]
    pub fn reached(&self) -> bool {
        self.status != Status::NotReached
    }

    /// Whether what is not known of it was withheld by a stop.
    pub(crate) fn withheld(&self) -> bool {
        self.status == Status::Stopped
    }
}

/// A stratum inside a [`Design`](super::Design).
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// let shelf = &design.strata()[0];
/// assert_eq!((shelf.frame_boxes, shelf.reached, shelf.boxes.clone()), (40.0, 4, 0..4));
/// assert_eq!((shelf.mean_items, shelf.items_variance), (2.0, 0.0));
/// ```
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
    /// Its sampled boxes, as indices into [`Design::boxes`](super::Design::boxes).
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
    /// Only where every box in n was counted and two of its items were read, or all.
    pub(crate) read: Option<Read>,
}

/// What the boxes of a stratum hold, each counted and read as far as a variance needs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Read {
    /// Their items.
    pub(crate) items: f64,
    /// The squares of each one's items, added up.
    pub(crate) squares: f64,
    /// Their rows.
    pub(crate) rows: f64,
    /// Whether some items of some box were not read.
    pub(crate) in_part: bool,
}

impl Read {
    /// With another box.
    pub(super) fn and(self, items: f64, rows: f64) -> Option<Self> {
        let in_part = rows < items;
        (!in_part || rows >= 2.0).then_some(Self {
            items: self.items + items,
            squares: self.squares + items * items,
            rows: self.rows + rows,
            in_part: self.in_part || in_part,
        })
    }
}

impl DesignStratum {
    /// `N_h` as the whole number it is.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.strata()[0].frame_boxes_count(), 40);
    /// ```
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
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.strata()[0].weight(), 10.0); // 40 / 4
    /// ```
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.frame_boxes / self.reached_f64()
    }

    /// `n_h` as a float.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.strata()[0].reached_f64(), 4.0);
    /// ```
    #[must_use]
    pub fn reached_f64(&self) -> f64 {
        self.reached as f64
    }

    /// The first-stage sampling fraction, `n_h / N_h`.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// assert_eq!(design.strata()[0].fraction(), 0.1); // 4 / 40
    /// ```
    #[must_use]
    pub fn fraction(&self) -> f64 {
        self.reached_f64() / self.frame_boxes
    }

    /// Whether every box of it is in n.
    ///
    /// ```
    /// use sampling::design::{BoxSample, Design, StratumSample};
    /// let of = |frame_boxes| {
    ///     let sample = vec![BoxSample { items: Some(1), rows: 1, ..Default::default() }];
    ///     Design::new(vec![StratumSample { frame_boxes, sample, ..Default::default() }])
    /// };
    /// assert!(of(1)?.strata()[0].census() && !of(2)?.strata()[0].census());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn census(&self) -> bool {
        self.fraction() >= 1.0
    }

    /// The rule for its first-stage variance.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// use sampling::systematic::Rule;
    /// assert_eq!(design.strata()[0].rule(), Rule::AsRandom);
    /// ```
    #[must_use]
    pub fn rule(&self) -> Rule {
        match self.draw {
            Draw::Random => Rule::AsRandom,
            Draw::Systematic(rule) => rule,
        }
    }

    /// Whether it has a single box in n, and others that are not.
    ///
    /// ```
    /// use sampling::design::{BoxSample, Design, StratumSample};
    /// let of = |frame_boxes| {
    ///     let sample = vec![BoxSample { items: Some(1), rows: 1, ..Default::default() }];
    ///     Design::new(vec![StratumSample { frame_boxes, sample, ..Default::default() }])
    /// };
    /// // A single box says nothing of how boxes differ, unless there is no other.
    /// assert!(of(2)?.strata()[0].lonely() && !of(1)?.strata()[0].lonely());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn lonely(&self) -> bool {
        self.reached == 1 && !self.census()
    }
}
