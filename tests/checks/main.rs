//! The reference checks as a program: each is made, and every figure that it compares with its source is put down to the last bit.
//!
//! At a desk it prints them. Compiled to Wasm it leaves the same text in its memory, where `tests/reference/figures.mjs` finds it;
//! `cargo xtask same-bits` compares the two. A check that fails ends the program.
//!
//! Not here, but in `cargo test` alone: what needs R, and laws tried on random samples.
#![allow(clippy::float_cmp, reason = "exact agreement is meant where it is asked")]
#![allow(
    clippy::excessive_precision,
    reason = "values are written as their source printed them"
)]
#![allow(clippy::unwrap_used, reason = "a check that cannot be made has failed")]

#[path = "../reference/agreement.rs"]
mod agreement;
#[path = "../reference/blended_worked.rs"]
mod blended_worked;
#[path = "../reference/interval_tables.rs"]
mod interval_tables;
#[path = "../reference/joint_worked.rs"]
mod joint_worked;
#[path = "../reference/missing.rs"]
mod missing;
#[path = "../reference/planning.rs"]
mod planning;
#[path = "../reference/programmes.rs"]
mod programmes;
#[path = "../reference/r_survey_api.rs"]
mod r_survey_api;
mod record;
#[path = "../reference/replicates.rs"]
mod replicates;
#[path = "../reference/special_functions.rs"]
mod special_functions;
#[path = "../reference/systematic_designs.rs"]
mod systematic_designs;
#[path = "../reference/tape_climate.rs"]
mod tape_climate;
#[path = "../reference/tape_geometry.rs"]
mod tape_geometry;
#[path = "../reference/tape_playing.rs"]
mod tape_playing;
#[path = "../reference/tape_storage.rs"]
mod tape_storage;
#[path = "../reference/two_looks.rs"]
mod two_looks;
#[path = "../reference/two_phase.rs"]
mod two_phase;
#[path = "../reference/worked_examples.rs"]
mod worked_examples;

/// A module's name and its checks.
type Module = (&'static str, &'static [fn()]);

/// Every check by its module.
const CHECKS: &[Module] = &[
    (
        "blended_worked",
        &[
            blended_worked::a_two_positive_boxes,
            blended_worked::b_none_seen,
            blended_worked::c_all_seen,
            blended_worked::d_two_stages,
            blended_worked::e_two_strata,
            blended_worked::f_boxes_of_one_item,
            blended_worked::correlation_and_telling_boxes,
            blended_worked::yes_and_no_are_mirrored_and_higher_levels_are_wider,
        ],
    ),
    (
        "interval_tables",
        &[
            interval_tables::binomial_intervals,
            interval_tables::hypergeometric_limits,
            interval_tables::rule_of_three,
            interval_tables::boxes_with_none_seen,
            interval_tables::boxes_of_a_design,
        ],
    ),
    (
        "joint_worked",
        &[
            joint_worked::worked_examples,
            joint_worked::nothing_seen_among_single_items,
            joint_worked::whole_boxes_are_recognised,
            joint_worked::many_boxes_leave_it_to_the_design,
        ],
    ),
    (
        "missing",
        &[
            missing::two_strata_by_hand,
            missing::a_stratum_of_one_telling_box_by_hand,
            missing::a_domain_by_hand,
            missing::a_stop_tells_nothing_of_the_others,
        ],
    ),
    (
        "planning",
        &[
            planning::sample_sizes,
            planning::items_of_a_small_collection,
            planning::viewing_hours,
            planning::minimum_and_cap,
        ],
    ),
    (
        "programmes",
        &[
            programmes::every_draw_of_a_small_programme,
            programmes::what_cannot_be_is_said,
        ],
    ),
    ("r_survey_api", &[r_survey_api::api_samples, r_survey_api::mu284]),
    (
        "replicates",
        &[
            replicates::jackknife_of_r_survey,
            replicates::bootstrap_stands_for_the_first_stage,
        ],
    ),
    (
        "special_functions",
        &[
            special_functions::beta_distribution,
            special_functions::beta_quantiles,
            special_functions::a_quantile_under_the_smallest_number_is_zero,
            special_functions::gamma_and_beta_functions,
            special_functions::normal_distribution,
            special_functions::student_distribution,
        ],
    ),
    (
        "systematic_designs",
        &[
            systematic_designs::wolter_by_hand,
            systematic_designs::every_start,
            systematic_designs::what_happens_to_boxes,
        ],
    ),
    (
        "tape_climate",
        &[tape_climate::dew_points, tape_climate::too_cold_a_store],
    ),
    (
        "tape_geometry",
        &[
            tape_geometry::speeds_and_feet_are_exact,
            tape_geometry::minutes_of_one_pass,
            tape_geometry::length_from_the_pack,
            tape_geometry::nominal_lengths_within_the_stated_per_cent,
            tape_geometry::cassettes,
            tape_geometry::digital_cassette_and_wire,
            tape_geometry::impossible_measures,
        ],
    ),
    (
        "tape_playing",
        &[
            tape_playing::full_track,
            tape_playing::quarter_track_stereo,
            tape_playing::quarter_track_mono,
            tape_playing::large_reel,
            tape_playing::part_full,
            tape_playing::cassettes,
            tape_playing::digital_cassette_and_wire,
            tape_playing::the_unknown_widens_the_range,
        ],
    ),
    (
        "tape_storage",
        &[
            tape_storage::bytes_of_an_hour,
            tape_storage::longest_takes,
            tape_storage::a_collection_in_three_copies,
            tape_storage::people,
        ],
    ),
    (
        "two_looks",
        &[
            two_looks::kappa_and_ac1,
            two_looks::one_answer_only_leaves_kappa_undefined,
            two_looks::errors_respect_boxes,
            two_looks::rogan_gladen,
        ],
    ),
    (
        "two_phase",
        &[
            two_phase::every_sample_of_a_small_population,
            two_phase::simple_random_samples_by_hand,
            two_phase::transfers_put_labels_right,
            two_phase::what_cannot_be_is_said,
        ],
    ),
    (
        "worked_examples",
        &[
            worked_examples::sewing_machines,
            worked_examples::grade_points,
            worked_examples::income_of_blocks,
            worked_examples::five_boxes,
            worked_examples::small_intervals,
            worked_examples::hours_of_five_boxes,
            worked_examples::acetate_on_a_known_size,
            worked_examples::stratified_share,
        ],
    ),
];

fn main() {
    for (module, checks) in CHECKS {
        record::module(module);
        checks.iter().for_each(|check| check());
    }
    record::finish();
}
