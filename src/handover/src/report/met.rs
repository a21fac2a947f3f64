//! What was met in the boxes that calls for something at once, and where.

use std::collections::{BTreeMap, BTreeSet};

use survey::progress::{BoxStatus, Outcome};
use survey::{ItemId, Serial, State, Subject};
use tape::{ActionClass, Answer, Finding, Strength};

/// One box with one class of what must be kept apart in it.
#[derive(Debug)]
pub(super) struct Met {
    pub(super) serial: Serial,
    /// The class of these items, or of the box itself.
    pub(super) class: &'static ActionClass,
    /// What was seen that calls for it, as far as it goes.
    pub(super) seen: Vec<String>,
    /// Items of that class that were looked at; 0 where the box answers for all of it.
    pub(super) n_items: usize,
    /// Whether somebody judged from outside that the box holds nothing.
    pub(super) is_empty: bool,
}

/// Classes whose items are kept apart or left alone today, by key.
const APART: [&str; 3] = ["keep_away", "call_now", "leave_still"];
/// The first of them: people are not to handle it.
const KEEP_AWAY: &str = APART[0];
/// A finding that is kept apart whatever its class.
const ACID: &str = "acid_decay";

/// Every box that was answered for, with each class in it that must be kept apart, the most pressing class first.
pub(super) fn met(state: &State) -> Vec<Met> {
    let mut all: Vec<Met> = looked_into(state)
        .into_iter()
        .flat_map(|(serial, items)| of_box(state, serial, &items))
        .collect();
    all.sort_by_key(|met| (rank(met.class), met.serial));
    all
}

/// In how many boxes each class was met, by its key: on an item that was looked at, or by the box's own answers.
pub(super) fn boxes_met(state: &State) -> BTreeMap<&'static str, usize> {
    let mut met = BTreeMap::new();
    for (serial, items) in looked_into(state) {
        let about_box = state.answers(Subject::Box(serial));
        let class = |item: &tape::Answers| tape::action(&tape::findings(&about_box, item)).key;
        let mut here: BTreeSet<&'static str> = items
            .iter()
            .map(|item| class(&state.item_answers(*item)))
            .collect();
        // The answers about a box that was opened mostly say no more than that its items are to be looked at.
        let own = class(&tape::Answers::new());
        if own != tape::LOOK_AGAIN {
            here.insert(own);
        }
        for key in here {
            *met.entry(key).or_insert(0) += 1;
        }
    }
    met
}

/// Items of boxes the figures rest on that are in the first class for a smell alone, which nobody has seen growth or
/// droppings of: in all and by stratum, under the id of the class's figure without its measure.
pub(super) fn by_smell(state: &State) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    for (drawn, outcome) in state.sample(false) {
        if outcome != Outcome::Checked {
            continue;
        }
        let about_box = state.answers(Subject::Box(drawn.serial));
        for position in state.positions(drawn.serial) {
            let item = ItemId {
                serial: drawn.serial,
                position,
            };
            let findings = tape::findings(&about_box, &state.item_answers(item));
            let calling: Vec<_> = calling(&findings, KEEP_AWAY).collect();
            if !calling.is_empty() && calling.iter().all(|finding| finding.by_smell) {
                for id in [
                    format!("action.{KEEP_AWAY}"),
                    format!("{}.action.{KEEP_AWAY}", drawn.stratum),
                ] {
                    *found.entry(id).or_insert(0) += 1;
                }
            }
        }
    }
    found
}

/// The findings that call for a class by themselves.
fn calling<'a>(findings: &'a [Finding], class: &'a str) -> impl Iterator<Item = &'a Finding> {
    findings
        .iter()
        .filter(|finding| finding.strength >= Strength::Possible)
        .filter(move |finding| tape::action(&[(*finding).clone()]).key == class)
}

fn rank(class: &ActionClass) -> Option<usize> {
    tape::actions().iter().position(|other| other.key == class.key)
}

/// Every box that was answered for, with the items of it that were.
fn looked_into(state: &State) -> BTreeMap<Serial, Vec<ItemId>> {
    let mut items: BTreeMap<Serial, Vec<ItemId>> = BTreeMap::new();
    for subject in state.subjects() {
        match subject {
            Subject::Item(item) => items.entry(item.serial).or_default().push(item),
            Subject::Box(serial) => drop(items.entry(serial).or_default()),
            Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => {}
        }
    }
    items
}

fn of_box(state: &State, serial: Serial, items: &[ItemId]) -> Vec<Met> {
    let about_box = state.answers(Subject::Box(serial));
    let is_empty = matches!(about_box.get("count_outside_guess"), Some(Answer::Number(n)) if *n <= 0.0);
    let mut found: BTreeMap<Option<usize>, Met> = BTreeMap::new();
    let mut look = |answers: &tape::Answers, is_item: bool| {
        let findings = tape::findings(&about_box, answers);
        let class = tape::action(&findings);
        // Those that call for the class by themselves; what else was seen of the tape is in the tables.
        let acid = findings
            .iter()
            .find(|finding| finding.key == ACID && finding.strength >= Strength::Possible);
        if !(APART.contains(&class.key) || acid.is_some()) {
            return;
        }
        let called = calling(&findings, class.key).filter(|finding| finding.key != ACID);
        let signs = acid.into_iter().chain(called).map(Finding::seen);
        let met = found.entry(rank(class)).or_insert(Met {
            serial,
            class,
            seen: Vec::new(),
            n_items: 0,
            is_empty: is_empty && items.is_empty(),
        });
        met.n_items += usize::from(is_item);
        for sign in signs {
            if !met.seen.contains(&sign) {
                met.seen.push(sign);
            }
        }
    };
    look(&tape::Answers::new(), false);
    for item in items {
        look(&state.item_answers(*item), true);
    }
    // What is sure stands before what is possible.
    let sure_first = |mut met: Met| {
        met.seen.sort_by_key(|seen| seen.starts_with("Possible"));
        met
    };
    found.into_values().map(sure_first).collect()
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
