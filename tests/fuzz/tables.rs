//! What a planner and a transferrer hand in: the results of transfers, sets of assumptions, scenarios.

use analysis::{learned, outlook, scenarios};
use handover::transfers;
use survey::{Log, State};
use tape::Answer;

use crate::targets::{Kind, Target};

pub(crate) fn all(log: &[u8]) -> Vec<Target> {
    let state = State::fold(&Log::from_lines(log).unwrap());
    vec![
        assumptions(&state),
        scenarios_of(&state),
        results_of_transfers(state),
    ]
}

/// What the first transfers found: only items of the survey, only minutes that an item can have.
fn results_of_transfers(state: State) -> Target {
    let items = learned::order(&state, "3 1 4").unwrap();
    let blank = String::from_utf8(transfers::blank(&items)).unwrap();
    let filled = blank.replace(",,", ",47.5,none");
    let semicolons = filled.replace(',', ";");
    Target {
        name: "results of transfers",
        kind: Kind::Text,
        seeds: vec![filled.into_bytes(), semicolons.into_bytes()],
        feed: Box::new(move |bytes| match transfers::read(bytes, &state) {
            Ok(found) => {
                assert!(!found.is_empty());
                for transfer in &found {
                    assert!((0.0..=10_080.0).contains(&transfer.minutes));
                    assert!(items.contains(&transfer.item), "an item that was not looked at");
                    assert!(
                        transfer
                            .answers()
                            .iter()
                            .all(|(question, _)| !question.is_empty())
                    );
                }
                true
            }
            Err(problems) => {
                assert!(problems.count > 0 && problems.named.len() <= transfers::MAX_NAMED);
                false
            }
        }),
        cases: 1_000,
        long: 500_000,
        patience: 1,
    }
}

/// What is taken is written and taken the same.
fn assumptions(state: &State) -> Target {
    let default = outlook::write(&outlook::assumptions(state)).unwrap();
    Target {
        name: "set of assumptions",
        kind: Kind::Text,
        seeds: vec![default.into_bytes()],
        feed: Box::new(|bytes| {
            let Ok(set) = std::str::from_utf8(bytes)
                .map_err(drop)
                .and_then(|json| outlook::read(json).map_err(drop))
            else {
                return false;
            };
            let again = outlook::read(&outlook::write(&set).unwrap());
            assert_eq!(again, Ok(set), "a set is not what it writes");
            true
        }),
        cases: 500,
        long: 250_000,
        patience: 1,
    }
}

/// A scenario beside the planned set; what is taken is kept in the log and taken the same.
fn scenarios_of(state: &State) -> Target {
    let planned = outlook::assumptions(state);
    let class = tape::actions()[0].key;
    let one = format!(
        r#"{{"format":"quarterlight-scenario-1","name":"Ten weeks","leave_out":["{class}"],"currency":"EUR","weeks":10.5}}"#
    );
    Target {
        name: "scenario",
        kind: Kind::Text,
        seeds: vec![one.into_bytes()],
        feed: Box::new(move |bytes| {
            let Ok(json) = std::str::from_utf8(bytes) else {
                return false;
            };
            let Ok(scenario) = scenarios::read(json, &planned) else {
                return false;
            };
            let Ok(Answer::Text(kept)) = scenarios::answer(&scenario) else {
                panic!("a scenario that cannot be kept");
            };
            assert_eq!(
                scenarios::read(&kept, &planned),
                Ok(scenario),
                "a scenario is not what it writes"
            );
            true
        }),
        cases: 500,
        long: 250_000,
        patience: 1,
    }
}
