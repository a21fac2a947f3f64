//! When to stop: a rule that is fixed before the first box is opened.
//!
//! Whoever looks after every box and stops when the interval looks narrow stops too early too often: a lucky sample has a low
//! share, a low variance and a narrow interval at once. The rule here looks seldom (a batch at a time), not before a minimum of
//! boxes and of boxes with the condition, and never at anything but the width. What that does to the coverage of the default
//! limits is measured by the study (`src/sampling/coverage.md`).

use crate::interval::Limits;

/// A rule for stopping, for boxes that are checked in their random order.
///
/// ```
/// use sampling::plan::stopping::StoppingRule;
/// let rule = StoppingRule { half_width: 0.03, maximum: 60, ..StoppingRule::default() };
/// assert_eq!(rule.looks(), [20, 30, 40, 50, 60]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StoppingRule {
    /// Stop when the limits lie no farther apart than twice this.
    pub half_width: f64,
    /// The first look comes after this many boxes.
    pub minimum: u64,
    /// Every further look after this many more.
    pub batch: u64,
    /// Stop here whatever the limits.
    pub maximum: u64,
    /// Boxes that must have the condition, and that must lack it, before the width is believed.
    pub telling_boxes: u64,
}

impl Default for StoppingRule {
    /// Five points either way; looks from 20 boxes on, every 10, up to 120; five telling boxes.
    fn default() -> Self {
        Self {
            half_width: 0.05,
            minimum: 20,
            batch: 10,
            maximum: 120,
            telling_boxes: 5,
        }
    }
}

/// What the rule says at a look.
///
/// ```
/// use sampling::interval::Limits;
/// use sampling::plan::stopping::{Decision, StoppingRule};
/// let (rule, near) = (StoppingRule::default(), Some(Limits { low: 0.1, high: 0.18 }));
/// assert_eq!(rule.decide(30, near, 6), Decision::Reached);
/// assert_eq!(rule.decide(120, None, 6), Decision::Exhausted);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decision {
    /// Go on, and look again when so many boxes are checked in all.
    Next(u64),
    /// Stop: the limits are as near as they were wanted.
    Reached,
    /// Stop: the maximum is checked, and the limits are what they are.
    Exhausted,
}

impl StoppingRule {
    /// The numbers of boxes at which to look, ascending; a batch of 0 is read as 1.
    ///
    /// ```
    /// use sampling::plan::stopping::StoppingRule;
    /// assert_eq!(StoppingRule { maximum: 45, ..Default::default() }.looks(), [20, 30, 40, 45]);
    /// ```
    #[must_use]
    pub fn looks(&self) -> Vec<u64> {
        let mut looks = Vec::new();
        let mut next = self.minimum;
        while next < self.maximum {
            looks.push(next);
            next = next.saturating_add(self.batch.max(1));
        }
        looks.push(self.maximum);
        looks
    }

    /// What to do after `boxes` boxes, of which the limits are `limits` and the lesser of the numbers with and without the
    /// condition is `telling`. Between two looks the answer is to go on to the next.
    ///
    /// ```
    /// use sampling::interval::Limits;
    /// use sampling::plan::stopping::{Decision, StoppingRule};
    /// let (rule, near) = (StoppingRule::default(), Some(Limits { low: 0.1, high: 0.18 }));
    /// assert_eq!(rule.decide(25, near, 6), Decision::Next(30)); // Between two looks.
    /// assert_eq!(rule.decide(30, near, 4), Decision::Next(40)); // Too few telling boxes to believe the width.
    /// assert_eq!(rule.decide(30, near, 5), Decision::Reached);
    /// ```
    #[must_use]
    pub fn decide(&self, boxes: u64, limits: Option<Limits>, telling: u64) -> Decision {
        if boxes >= self.maximum {
            return match limits {
                Some(limits) if self.near(limits) => Decision::Reached,
                _ => Decision::Exhausted,
            };
        }
        let looks = self.looks();
        let next = looks
            .iter()
            .copied()
            .find(|look| *look > boxes)
            .unwrap_or(self.maximum);
        let is_look = looks.contains(&boxes);
        match limits {
            Some(limits) if is_look && telling >= self.telling_boxes && self.near(limits) => {
                Decision::Reached
            }
            _ => Decision::Next(next),
        }
    }

    fn near(&self, limits: Limits) -> bool {
        limits.high - limits.low <= 2.0 * self.half_width
    }
}

#[cfg(test)]
mod tests {
    use super::{Decision, StoppingRule};
    use crate::interval::Limits;

    #[test]
    fn width_alone_decides_and_only_at_a_look() {
        let rule = StoppingRule::default();
        let narrow = Some(Limits { low: 0.1, high: 0.19 });
        let wide = Some(Limits { low: 0.1, high: 0.21 });
        assert_eq!(rule.decide(7, narrow, 7), Decision::Next(20));
        assert_eq!(rule.decide(20, narrow, 5), Decision::Reached);
        assert_eq!(rule.decide(20, narrow, 4), Decision::Next(30));
        assert_eq!(rule.decide(20, wide, 9), Decision::Next(30));
        assert_eq!(rule.decide(25, narrow, 9), Decision::Next(30));
        assert_eq!(rule.decide(30, None, 9), Decision::Next(40));
        assert_eq!(rule.decide(120, wide, 9), Decision::Exhausted);
        assert_eq!(rule.decide(120, narrow, 0), Decision::Reached);
    }
}
