//! A run of strata of a design.

use super::{Design, DesignStratum};
use core::ops::Range;

/// A run of strata of a design: all of them, or one.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// use sampling::design::Part;
/// let same = Part { design: &design, strata: 0..1 };
/// assert_eq!(same.box_indices(), part.box_indices());
/// ```
#[derive(Clone, Debug)]
pub struct Part<'a> {
    /// The design it is part of.
    pub design: &'a Design,
    /// Which strata.
    pub strata: Range<usize>,
}

impl<'a> Part<'a> {
    /// The strata of this part.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let part = design.whole();
    /// assert_eq!(part.strata()[0].key, "shelf");
    /// ```
    #[must_use]
    pub fn strata(&self) -> &'a [DesignStratum] {
        &self.design.strata[self.strata.clone()]
    }

    /// The indices of this part's sampled boxes, those not reached among them.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// # let part = design.whole();
    /// assert!(part.box_indices().all(|b| design.boxes()[b].stratum == 0));
    /// ```
    #[must_use]
    pub fn box_indices(&self) -> Range<usize> {
        let strata = self.strata();
        match (strata.first(), strata.last()) {
            (Some(first), Some(last)) => first.boxes.start..last.boxes.end,
            _ => 0..0,
        }
    }

    /// As [`Design::degrees_of_freedom`], of this part.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
    /// use sampling::design::Design;
    /// let both = Design::joined(&[("north", &design), ("south", &design)])?;
    /// assert_eq!((both.only(0).degrees_of_freedom(), both.whole().degrees_of_freedom()), (3.0, 6.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
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
