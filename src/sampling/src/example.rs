//! A small sample to try things on: the examples of this crate speak of it.

use crate::column::Column;
use crate::design::{BoxSample, Design, StratumSample};

/// Four of the 40 boxes of a shelf, each read whole: two items a box.
///
/// | box | mould | hours |
/// |---|---|---|
/// | 0 | yes, no | 1, 2 |
/// | 1 | no, no | 1, 1 |
/// | 2 | yes, yes | 3, 2 |
/// | 3 | no, no | 1, 1 |
///
/// ```
/// use sampling::estimate::{Options, share};
/// use sampling::example::{Shelf, shelf};
/// let Shelf { design, mould, .. } = shelf();
/// assert_eq!(share(&design.whole(), &mould, &Options::default())?.estimate, 3.0 / 8.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Shelf {
    /// One stratum, `shelf`; the boxes are `0` to `3`.
    pub design: Design,
    /// Whether an item has mould: 1 or 0.
    pub mould: Column,
    /// How long it plays, in hours.
    pub hours: Column,
}

/// The shelf.
///
/// ```
/// let shelf = sampling::example::shelf();
/// assert_eq!(shelf.design.rows(), 8);
/// assert!(shelf.mould.complete(&shelf.design.whole()));
/// ```
///
/// # Panics
/// Never: these numbers make a design.
#[must_use]
pub fn shelf() -> Shelf {
    let sample = (0..4)
        .map(|i| BoxSample {
            id: i.to_string(),
            items: Some(2),
            rows: 2,
            ..BoxSample::default()
        })
        .collect();
    let stratum = StratumSample {
        key: "shelf".to_owned(),
        frame_boxes: 40,
        sample,
        ..StratumSample::default()
    };
    // Fixed numbers, each four boxes of two rows: the example above runs them.
    let design = Design::new(vec![stratum]).expect("four boxes of 40");
    let column = |rows: [f64; 8]| Column::of_rows(&design, rows.map(Some).to_vec()).expect("eight rows");
    let mould = column([1.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0]);
    let hours = column([1.0, 2.0, 1.0, 1.0, 3.0, 2.0, 1.0, 1.0]);
    Shelf { design, mould, hours }
}
