//! Files of every format that was ever written open for ever, and say the same.
#![allow(clippy::unwrap_used, reason = "what cannot be read is a failed test")]

#[path = "../support/saved.rs"]
mod saved;

use saved::saved;
use survey::State;

#[test]
fn format_1_opens() {
    let opened = handover::survey_file::read(&saved("formats/survey-1.zip")).unwrap();
    assert_eq!(opened.problems, []);
    assert_eq!(opened.parts.date.to_string(), "2026-11-25");
    let state = State::fold(&opened.log);
    assert_eq!(state.title, "Invented cellar <1>");
    assert_eq!(state.boxes.len(), 34);
    assert_eq!(state.rolls.len(), 2);
    assert_eq!(state.rounds.len(), 5);
    assert!((0..=4).all(|round| state.round_progress(round).is_complete()));
}

/// The draw of a file is the draw for ever: what was sampled may not change under a survey that is going on.
#[test]
fn format_1_still_draws_the_same() {
    let report = handover::verify(&saved("formats/survey-1.zip"));
    for name in ["packing", "checksums", "log", "frame", "draw"] {
        let check = report.checks.iter().find(|check| check.name == name).unwrap();
        assert_eq!(check.verdict, handover::Verdict::Holds, "{check:?}");
    }
}
