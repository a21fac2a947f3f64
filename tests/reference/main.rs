//! Reference checks, one module a source.
#![allow(clippy::float_cmp, reason = "exact agreement is meant where it is asked")]
#![allow(
    clippy::excessive_precision,
    reason = "values are written as their source printed them"
)]
#![allow(clippy::unwrap_used, reason = "a check that cannot be made has failed")]

mod agreement;
/// The program of checks writes down what was compared; here it is only compared.
mod record {
    pub(crate) fn compared(_what: &str, _ours: f64) {}
}

mod blended_worked;
mod interval_tables;
mod joint_laws;
mod joint_worked;
mod missing;
mod planning;
mod programmes;
mod programmes_further;
mod properties;
mod r_survey_api;
mod r_survey_further;
mod r_survey_live;
mod replicates;
mod special_functions;
mod systematic_designs;
mod systematic_laws;
mod tape_climate;
mod tape_geometry;
mod tape_playing;
mod tape_storage;
mod two_looks;
mod two_phase;
mod two_phase_further;
mod two_visits;
mod worked_examples;
