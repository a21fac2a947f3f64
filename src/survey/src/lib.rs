//! The records of one survey, and the rules that turn them into its state.
//!
//! A survey is an append-only log of [`Entry`]s. An entry never changes: a correction or an undo is another entry
//! that names the one it answers, so what counts follows references and never a clock. Merging two logs is the
//! union of their entries; [`State`] is a fold over a log, the same for the same entries in any order.
//!
//! Reading order: [`id`], [`entry`], [`log`], [`state`], [`decide`], then [`frame`] (what was drawn from, and the
//! draw), [`batch`] (answers that several items share), [`origin`] (how an answer came to be), [`photo`] and
//! [`reading`] (photographs, and reading them), [`pace`] and
//! [`stopping`] (when a round may be over, and when the work is), [`progress`] (what is
//! done and what comes next) and [`differ`] (what does not agree once several devices' entries have met). [`snapshot`] is a folded survey in one piece, [`store`] the door to whatever keeps the bytes;
//! [`format`](mod@format) holds the stored shapes by version.
//!
//! Not here: estimates (the analysis crate), files that leave the device (handover), screens, clocks, randomness.
#![deny(missing_docs)]

mod about;
pub mod at_once;
pub mod batch;
pub mod decide;
pub mod differ;
pub mod entry;
mod fold;
pub mod format;
pub mod frame;
mod given;
mod grow;
pub mod id;
mod index;
mod kept;
mod listing;
pub mod log;
pub mod origin;
pub mod pace;
pub mod photo;
pub mod progress;
pub mod reading;
mod row;
pub mod serial;
pub mod shelf;
pub mod snapshot;
pub mod state;
pub mod stopping;
pub mod store;

pub use decide::{Author, Command, Refusal, decide};
pub use entry::{Content, Entry, EntryError};
pub use id::{DeviceId, EntryId, ItemId, Key, PlaceKey, StratumKey, Subject, SurveyId, WriterId};
pub use index::Kind;
pub use log::{Inserted, Log};
pub use origin::{Origin, Way};
pub use serial::Serial;
pub use state::{Fault, State};
