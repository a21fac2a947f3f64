//! What saving a sampled collection takes: hours, storage, people's time, weeks and money, each with the range that the
//! sample, the items' own unknowns and the planner's assumptions leave together.
//!
//! Three kinds of not knowing are drawn at once, thousands of times, from a recorded seed ([`simulate()`]):
//!
//! - **the sample**: other boxes might have been drawn. A rescaling bootstrap of boxes, and of items inside boxes, carries
//!   all covariances between strata and quantities because one set of weights serves every quantity;
//! - **the items**: a reel whose speed and tracks nobody knows may hold one hour or eight. What the items of one recordist
//!   or batch share is drawn once for all of them, for independent ranges would cancel falsely;
//!   Once a part of the items was transferred, what that taught of the hours stands in the place of such unknowns;
//! - **the assumptions**: minutes of setting up, prices, percentages, as low, likely and high ([`Assumptions`]).
//!
//! A result is therefore a statement *given these assumptions*: an interval ([`Outlook::range`]), the chance that a sum
//! suffices ([`Outlook::chance_within`]), what a budget or a part of the cost buys ([`Outlook::buys`], [`Outlook::ladder`]) and
//! which of the unknowns drives the spread ([`Outlook::drivers`]).
//!
//! Several sets of choices are told side by side with the same numbers at random, so that the range of a difference is that of
//! the difference ([`side_by_side`]).
//!
//! The crate knows items, classes and numbers; it does not know what a tape is.

mod amounts;
mod assumptions;
mod bootstrap;
mod catalogue;
mod collection;
mod ladder;
mod learned;
mod likely;
mod outlook;
mod range;
mod rates;
mod scenario;
mod simulate;
mod stratum;

pub use assumptions::{Assumptions, AssumptionsError, Capacity, OwnLine, Storage, Value};
pub use catalogue::{Driver, Entry, Kind, catalogue};
pub use collection::{Class, Collection, CollectionError, Item, LearnedHours, Playing, SampledBox, Stratum};
pub use ladder::{LADDER, Rung};
pub use likely::{Likely, Pile, likely};
pub use outlook::{Bought, Cause, Driving, Outlook, Span};
pub use range::{Range, RangeError};
pub use scenario::{
    Apart, Changed, DIFFERENCES, MOST_SCENARIOS, PLANNED, Scenario, ScenarioError, SideBySide, Told,
    beside_outlook, side_by_side,
};
pub use simulate::{Settings, Simulation, SimulationError, simulate};
