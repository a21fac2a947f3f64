//! What does not agree, in the lines that the desk prints: both values, who, when, and what counts.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "common/differing.rs"]
mod differing;

use survey::differ::Differences;

#[test]
fn every_kind_of_difference_has_its_lines_the_same_on_both_devices() {
    let (ash, robin) = differing::differing();
    let told = Differences::of(&ash.log, &ash.state);
    let lines = handover::differ::lines(&told, &ash.state);
    let others = Differences::of(&robin.log, &robin.state);
    assert_eq!(handover::differ::lines(&others, &robin.state), lines);
    let text = lines.join("\n");
    let counted = |part: &str| text.matches(part).count();
    assert_eq!(
        (told.conflicts.len(), told.settled.len(), told.twins.len()),
        (2, 1, 1)
    );
    for (what, part) in [
        ("a value, who and when", "Ash, 2026-"),
        ("the other", "Robin, 2000-01-01T"),
        ("what the first says", ": none -- counts until one is chosen"),
        ("what the second says", ": suspected"),
        ("the choice", "and Ash chose vinegar"),
        (
            "the restored backup",
            "is there in several versions, as after a restored backup; all are kept:",
        ),
        ("one of its answers", ": half"),
        ("the other of its answers", ": full"),
        ("the draws", "the same boxes, nothing is to be done"),
        (
            "the names",
            "2 devices are called \"Club telephone\": device 01010101 (Ash), device 02020202 (Robin)",
        ),
        ("the clocks", "the clocks cannot all be right"),
        (
            "what was checked twice",
            "checked by two people: 18 answers, 15 of them the same",
        ),
    ] {
        assert!(text.contains(part), "{what}: {part} is not in\n{text}");
    }
    assert_eq!(counted("was answered differently:"), 2);
    assert!(text.lines().all(|line| line.chars().count() < 240), "{text}");
}

#[test]
fn a_survey_in_agreement_has_no_lines() {
    let log = survey::Log::new(survey::SurveyId([1; 16]));
    let state = survey::State::fold(&log);
    assert_eq!(
        handover::differ::lines(&Differences::of(&log, &state), &state),
        [""; 0]
    );
}
