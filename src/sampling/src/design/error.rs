//! Why a design is refused.

/// Why a design was refused. Each names the stratum, and the box where there is one.
///
/// ```
/// use sampling::design::{BoxSample, Design, DesignError, StratumSample};
/// let sample = vec![BoxSample { id: "B1".into(), items: Some(2), rows: 3, ..Default::default() }];
/// let why = Design::new(vec![StratumSample { key: "A".into(), frame_boxes: 9, sample, ..Default::default() }]).unwrap_err();
/// assert!(matches!(why, DesignError::MoreRowsThanItems { rows: 3, items: 2, .. }));
/// assert_eq!(why.to_string(), r#"box "B1" of stratum "A" has 3 rows of answers and 2 items"#);
/// ```
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
