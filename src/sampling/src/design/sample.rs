//! What a design is made of: what was drawn, and what became of it.

use super::DesignError;
use crate::systematic::Rule;

/// What became of a sampled box.
///
/// ```
/// use sampling::design::{BoxSample, Design, Status, StratumSample};
/// let with = |id: &str, status, items| BoxSample { id: id.into(), status, items, ..Default::default() };
/// let sample = vec![
///     BoxSample { rows: 3, ..with("opened", Status::Checked, Some(3)) },
///     with("locked away", Status::NotReached, None),
///     with("mouldy", Status::Stopped, None),
/// ];
/// let design = Design::new(vec![StratumSample { frame_boxes: 30, sample, ..Default::default() }])?;
/// // Two are in n, and the one that was not counted is given the mean of those that were.
/// assert_eq!(design.strata()[0].weight(), 15.0);
/// assert_eq!((design.boxes()[2].items, design.boxes()[2].imputed), (3.0, true));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
///
/// ```
/// use sampling::design::{BoxSample, Design, Draw, StratumSample};
/// use sampling::systematic::Rule;
/// let sample = (0..4).map(|i| BoxSample { id: i.to_string(), items: Some(2), rows: 2, ..Default::default() }).collect();
/// let draw = Draw::Systematic(Rule::Differences);
/// let design = Design::new(vec![StratumSample { frame_boxes: 40, draw, sample, ..Default::default() }])?;
/// assert_eq!(design.strata()[0].rule(), Rule::Differences);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Draw {
    /// A simple random sample without replacement.
    #[default]
    Random,
    /// Every so many boxes along the shelf from a random start ([`crate::systematic::places`]): the boxes of the sample have to be given
    /// in the order of the shelf. Totals and shares are the same; for the variance a rule has to be named.
    Systematic(Rule),
}

/// One sampled box.
///
/// ```
/// use sampling::design::{BoxSample, Status};
/// // Six of its 20 items are to be looked at.
/// let drawn = BoxSample { id: "B0007".into(), items: Some(20), rows: 6, ..Default::default() };
/// assert_eq!(drawn.status, Status::Checked);
/// ```
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
///
/// ```
/// use sampling::design::{BoxSample, Design, StratumSample};
/// let sample = vec![BoxSample { id: "B1".into(), items: Some(0), ..Default::default() }];
/// let shelf = StratumSample { key: "shelf".into(), frame_boxes: 1, sample, ..Default::default() };
/// // The only box there is was drawn, and it is empty.
/// assert!(Design::new(vec![shelf])?.strata()[0].census());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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

/// A box's own count: none of a box that was not reached, 0 of one that is out of scope.
pub(super) fn count(sampled: &BoxSample) -> Option<u64> {
    match sampled.status {
        Status::NotReached => None,
        Status::OutOfScope => Some(0),
        Status::Checked | Status::Stopped => sampled.items,
    }
}

pub(super) fn check_box(stratum: &str, sampled: &BoxSample) -> Result<(), DesignError> {
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
