//! How many boxes have a condition, whatever their items: exact limits that rest on the draw alone.

use super::tally::Tallies;
use super::{EstimateError, Options, check};
use crate::column::Column;
use crate::design::Part;
use crate::interval::hypergeometric;
use crate::interval::two_sided_level;

/// Boxes with at least one item that has a condition.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::estimate::boxes_with;
/// let made = boxes_with(&part, &mould, &options)?;
/// assert_eq!((made.frame, made.sampled, made.with, made.undetermined), (40, 4, 2, 0));
/// assert!(made.least >= 2 && made.most <= 38);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BoxCount {
    /// Boxes in the frame.
    pub frame: u64,
    /// Boxes in n.
    pub sampled: u64,
    /// Of those, boxes in which it was seen.
    pub with: u64,
    /// Of those, boxes that may have it in an item that was not read, or not known.
    pub undetermined: u64,
    /// The least number of boxes of the frame that the sample does not speak against.
    pub least: u64,
    /// The greatest.
    pub most: u64,
}

/// How many boxes of the frame have a condition, with exact limits: of each stratum from the hypergeometric distribution at a
/// level that leaves `1 - level` in all (Bonferroni), then added up.
///
/// A box of which every item was read and known has it or not. One in which it was not seen and something was not read counts
/// as without it for the lower limit and as with it for the upper.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let boxes = estimate::boxes_with(&part, &mould, &options)?;
/// assert_eq!((boxes.sampled, boxes.with), (4, 2));
/// assert!(boxes.least >= 2 && boxes.most <= 38);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`EstimateError::Level`].
pub fn boxes_with(part: &Part<'_>, column: &Column, options: &Options) -> Result<BoxCount, EstimateError> {
    check(options)?;
    let strata = part.strata().len() as f64;
    let level = 1.0 - (1.0 - options.level) / strata;
    let determined = Tallies::new(part, column).boxes_with();
    let mut made = BoxCount::default();
    let first = part.box_indices().start;
    for stratum in part.strata() {
        let own = &determined[stratum.boxes.start - first..stratum.boxes.end - first];
        let (mut with, mut undetermined) = (0, 0);
        for (seen, open) in own {
            with += u64::from(*seen);
            undetermined += u64::from(*open);
        }
        let (n, frame) = (stratum.reached as u64, stratum.frame_boxes_count());
        made.frame += frame;
        made.sampled += n;
        made.with += with;
        made.undetermined += undetermined;
        // x <= n <= frame holds in every design, so there are always limits.
        let limits = |x: u64| hypergeometric::limits(x, n, frame, level);
        made.least += limits(with).map_or(with, |l| l.least);
        made.most += limits(with + undetermined).map_or(frame, |l| l.most);
    }
    Ok(made)
}

/// The greatest number of boxes that may have a condition, at a one-sided level.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// let most = estimate::boxes_at_most(&part, &mould, &options)?;
/// assert!(most <= estimate::boxes_with(&part, &mould, &options)?.most);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`boxes_with`].
pub fn boxes_at_most(part: &Part<'_>, column: &Column, options: &Options) -> Result<u64, EstimateError> {
    check(options)?;
    // A one-sided limit of any level is that of a two-sided interval only above one half.
    let level = two_sided_level(options.level).max(f64::MIN_POSITIVE);
    boxes_with(part, column, &Options { level, ..*options }).map(|made| made.most)
}
