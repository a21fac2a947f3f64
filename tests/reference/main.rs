//! Reference checks, one module a source.
#![allow(clippy::float_cmp, reason = "exact agreement is meant where it is asked")]

mod agreement;
mod r_survey_api;
mod special_functions;
mod tape_geometry;
mod tape_playing;
