//! What was met in the boxes that calls for something at once, and where.

use std::collections::BTreeMap;

use survey::progress::{BoxStatus, Outcome};
use survey::{ItemId, Serial, State, Subject};
use tape::{ActionClass, Answer, Strength};

/// One box with what is to be done about it or its items, most pressing first.
#[derive(Debug)]
pub(super) struct Met {
    pub(super) serial: Serial,
    /// The class of the box's most pressing item, or of the box itself.
    pub(super) class: &'static ActionClass,
    /// Titles of the findings that call for it.
    pub(super) findings: Vec<&'static str>,
    /// Items of that class that were looked at; 0 where the box answers for all of it.
    pub(super) n_items: usize,
}

/// Classes whose items are kept apart or left alone today, by key.
const APART: [&str; 3] = ["keep_away", "call_now", "leave_still"];
/// A finding that is kept apart whatever its class.
const ACID: &str = "acid_decay";

/// Every box that was answered for, in which something must be kept apart: the most pressing class of each.
pub(super) fn met(state: &State) -> Vec<Met> {
    let mut items: BTreeMap<Serial, Vec<ItemId>> = BTreeMap::new();
    let mut boxes: Vec<Serial> = Vec::new();
    for subject in state.subjects() {
        match subject {
            Subject::Item(item) => items.entry(item.serial).or_default().push(item),
            Subject::Box(serial) => boxes.push(serial),
            Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => {}
        }
    }
    boxes.extend(items.keys());
    boxes.sort();
    boxes.dedup();
    let mut all: Vec<Met> = boxes
        .into_iter()
        .filter_map(|serial| of_box(state, serial, items.get(&serial).map_or(&[], Vec::as_slice)))
        .collect();
    let rank = |met: &Met| {
        tape::actions()
            .iter()
            .position(|class| class.key == met.class.key)
    };
    all.sort_by_key(|met| (rank(met), met.serial));
    all
}

fn of_box(state: &State, serial: Serial, items: &[ItemId]) -> Option<Met> {
    let about_box = state.answers(Subject::Box(serial));
    let mut found: BTreeMap<usize, Met> = BTreeMap::new();
    let mut look = |answers: &tape::Answers, is_item: bool| {
        let findings = tape::findings(&about_box, answers);
        let class = tape::action(&findings);
        // Those that call for the class by themselves; what else was seen of the tape is in the tables.
        let signs: Vec<&'static str> = findings
            .iter()
            .filter(|finding| finding.strength >= Strength::Possible)
            .filter(|finding| finding.key == ACID || tape::action(&[(*finding).clone()]).key == class.key)
            .map(|finding| finding.title)
            .collect();
        let acid = findings
            .iter()
            .any(|finding| finding.key == ACID && finding.strength >= Strength::Possible);
        if !(APART.contains(&class.key) || acid) {
            return;
        }
        let rank = tape::actions().iter().position(|other| other.key == class.key);
        let met = found.entry(rank.unwrap_or(0)).or_insert(Met {
            serial,
            class,
            findings: Vec::new(),
            n_items: 0,
        });
        met.n_items += usize::from(is_item);
        for sign in signs {
            if !met.findings.contains(&sign) {
                met.findings.push(sign);
            }
        }
    };
    look(&tape::Answers::new(), false);
    for item in items {
        look(&state.item_answers(*item), true);
    }
    found.into_values().next()
}

/// Drawn boxes that were not opened or were stopped, with the reason as it is worded, each with how many.
pub(super) fn reasons(state: &State) -> BTreeMap<(Outcome, &'static str), usize> {
    let mut reasons = BTreeMap::new();
    for serial in state.boxes.keys() {
        let BoxStatus::Finished(outcome) = state.box_status(*serial) else {
            continue;
        };
        if outcome == Outcome::Checked {
            continue;
        }
        let answer = |question: &str| match state.answer(Subject::Box(*serial), question) {
            Some(Answer::One(key)) => key.as_str(),
            _ => "",
        };
        let key = answer("outcome_reason");
        let label = tape::question("outcome_reason")
            .and_then(|question| question.choices.iter().find(|choice| choice.key == key))
            .map(|choice| choice.label);
        let label = label.unwrap_or(match (answer("mould"), answer("vermin")) {
            ("seen" | "suspected", _) => "Mould, seen or suspected when opened",
            (_, "signs") => "Signs of animals when opened",
            _ if outcome == Outcome::Uncounted => "Could not be counted",
            _ => "No reason given",
        });
        *reasons.entry((outcome, label)).or_insert(0) += 1;
    }
    reasons
}
