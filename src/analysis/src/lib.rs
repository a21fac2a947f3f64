//! Where records meet statistics: every figure that anyone shows comes from here.
//!
//! [`records`] turns a survey's state into the two tables of [`tables`]; [`figures`] turns those into figures with ids.
//! [`agreement`] says how far two readings of the same photographs agree.
//! [`stopping`] says what the rule chosen beforehand makes of them.
//! [`pool`] puts the surveys of several collections together.
//! Screens, reports and the desk take their numbers from [`figures::figures`], so they cannot disagree.
//! [`change`] compares two visits to one collection.
//! [`learned`] puts estimates right by what the first transfers showed.
//! [`scenarios`] tells what a planner considers side by side.
//! [`plan`] draws both once for all who show them.
//! [`outside`] says how much rests on boxes that were judged from outside.
//! [`outlook`] hands the same records to the costing crate: hours, storage, people's time and money with their ranges.
//!
//! Not here: the estimators themselves (the sampling crate), words for people, files.
#![deny(missing_docs)]

pub mod agreement;
pub mod change;
pub mod figures;
pub mod learned;
pub mod outlook;
pub mod outside;
pub mod plan;
pub mod pool;
pub mod records;
pub mod scenarios;
mod sheet;
pub mod stopping;
pub mod tables;
pub mod takes;
