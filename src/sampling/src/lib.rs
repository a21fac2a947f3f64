//! Statistics of finite populations that come in boxes: designs, draws, estimators and intervals.
//!
//! # The subject in a page
//!
//! A *frame* lists every box, each in one *stratum* (a room, a shelf run). Some boxes are drawn at random without
//! replacement in each stratum, and in each drawn box all items, or a random part of them, are looked at. Boxes are
//! *clusters*: items of a box resemble each other, so a hundred items of five boxes tell less than a hundred items of a
//! hundred boxes. How much less is the *design effect*; what is left is the *effective* number of items.
//!
//! An *expansion* total weights what was seen by how much of the frame it stands for: `N_h / n_h` boxes, and `M / m` items of
//! a box. A share is a *ratio* of two such totals, since how many items there are is itself only estimated. Its variance is
//! *linearised*: that of the total of `y - p` over the items. Both stages have a *finite population correction*, so that a
//! stratum taken whole adds nothing and a census has no error. Degrees of freedom are boxes less strata.
//!
//! 1. [`rank`] gives every box and item its place in a public random order; [`rounds`] cuts the boxes into rounds that can
//!    each be the last. [`plan`] says what a number of hours buys.
//! 2. [`design::Design`] holds what was drawn and what became of it, [`column::Column`] the answers to one question.
//! 3. [`estimate`] makes totals, means, shares and counts, of the whole or of a stratum, with limits from [`interval`].
//!    [`poststratified`], [`contrast`], [`quantile`], [`agreement`] and [`misclassification`] build on the same variances ([`linear`]);
//!    [`replicate`] checks them another way; [`unequal`] is for samples drawn in proportion to size, [`overlap`] for two visits, [`systematic`] for those
//!    drawn along the shelf; [`twophase`] puts a cheap
//!    look at many items right by a true reading of some; [`programme`] puts several collections together.
//!
//! What is not known is of three kinds. An *unknown* answer is taken as missing at random within its stratum, aloud: the
//! method's name says so, and where a stratum tells too little to stand for itself.
//! A box that was *not reached* leaves n, which assumes the same. A box that was *stopped* stays in n with what is known of it,
//! and nothing is ever assumed about the rest. [`estimate::bounds`] shows how far all three could move a share.
//!
//! ```
//! use sampling::column::Column;
//! use sampling::design::{BoxSample, Design, StratumSample};
//! use sampling::estimate::{self, Options};
//!
//! // Five of 400 boxes, read whole; two of them hold items with the condition.
//! let boxes = [(12, 0), (7, 2), (15, 0), (9, 0), (20, 5)];
//! let sample = boxes.iter().enumerate().map(|(i, (items, _))| BoxSample {
//!     id: format!("B{i}"),
//!     items: Some(*items),
//!     rows: *items as usize,
//!     ..BoxSample::default()
//! });
//! let cellar = StratumSample { key: "cellar".into(), frame_boxes: 400, sample: sample.collect(), ..Default::default() };
//! let design = Design::new(vec![cellar])?;
//! let answers = boxes.iter().flat_map(|(items, yes)| (0..*items).map(move |j| Some(f64::from(u8::from(j < *yes)))));
//! let mould = Column::of_rows(&design, answers.collect())?;
//!
//! let share = estimate::share(&design.whole(), &mould, &Options::default())?;
//! let limits = share.limits.ok_or("no degree of freedom")?;
//! assert_eq!(format!("{:.3} ({:.3} to {:.3})", share.estimate, limits.low, limits.high), "0.111 (0.022 to 0.329)");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The crate knows no files, no clock and no randomness but the seeds it is given, and its figures are the same to the last
//! bit wherever it runs ([`math`]).
#![deny(missing_docs)]

pub mod agreement;
pub mod column;
pub mod contrast;
pub mod design;
pub mod estimate;
pub mod example;
pub mod interval;
pub mod linear;
pub mod math;
pub mod misclassification;
pub mod overlap;
pub mod plan;
pub mod poststratified;
pub mod programme;
pub mod quantile;
pub mod random;
pub mod rank;
pub mod replicate;
pub mod rounds;
pub mod systematic;
pub mod twophase;
pub mod unequal;
