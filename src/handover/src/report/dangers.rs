//! What was met that may harm people, in words: which danger, where, who keeps out and with what protection one goes near.

use std::collections::{BTreeMap, BTreeSet};

use survey::progress::Outcome;
use survey::{ItemId, Serial, Subject};
use tape::{ActionClass, Strength};

use super::facts::{COUNT, Facts};
use super::line::{Line, w};

/// A danger: the finding that shows it, its name, the condition that counts it, what is known of it and what to do.
struct Danger {
    finding: &'static str,
    name: &'static str,
    /// The name where a sign of it counts as met.
    sign: &'static str,
    condition: &'static str,
    /// Behind the number of tapes.
    counted: &'static str,
    /// What counts as met.
    met: &'static str,
    rule: &'static str,
}

/// In short words, for the page for those who decide: the cautions have it in full.
const DANGERS: [Danger; 3] = [
    Danger {
        finding: "mould",
        name: "Mould",
        sign: "mould or a musty smell",
        condition: "condition.mould.count",
        counted: "are mouldy or lie in a mouldy box",
        met: "Mould, or a musty smell that may be mould, was met in ",
        rule: "It can make people ill, and it spreads. Nobody opens these boxes without a fitted mask, gloves and goggles. \
            Stay out with asthma, allergy, lung disease or weak immunity, or when pregnant. Find the damp and stop it.",
    },
    Danger {
        finding: "vermin",
        name: "Animals",
        sign: "animals or droppings",
        condition: "condition.vermin.count",
        counted: "lie with animals or droppings",
        met: "Animals or their droppings were met in ",
        rule: "Droppings can carry disease. Trained people clean first; nobody sweeps there.",
    },
    Danger {
        finding: "wet",
        name: "Water",
        sign: "water",
        condition: "condition.wet_or_fire.count",
        counted: "are wet, or water or fire has harmed them",
        met: "Wet boxes or tapes were met: ",
        rule: "Stay out of wet rooms until the power is off. Call a specialist today.",
    },
];

/// Boxes that were answered for, by what was found in them.
#[derive(Default)]
pub(super) struct Dangers {
    by_finding: BTreeMap<&'static str, BTreeSet<Serial>>,
    by_class: BTreeMap<&'static str, BTreeSet<Serial>>,
    /// Boxes of the sample that were stopped, by the danger; nothing where one was stopped for something else.
    stopped: Option<BTreeMap<&'static str, usize>>,
}

impl Dangers {
    pub(super) fn of(facts: &Facts<'_>) -> Self {
        let state = facts.state;
        let mut made = Self::default();
        let mut boxes: BTreeMap<Serial, Vec<ItemId>> = BTreeMap::new();
        for subject in state.subjects() {
            match subject {
                Subject::Item(item) => boxes.entry(item.serial).or_default().push(item),
                Subject::Box(serial) => {
                    boxes.entry(serial).or_default();
                }
                Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => {}
            }
        }
        for (serial, items) in boxes {
            let about_box = state.answers(Subject::Box(serial));
            let of_items = items.into_iter().map(|item| (state.item_answers(item), true));
            for (answers, is_item) in std::iter::once((tape::Answers::new(), false)).chain(of_items) {
                let findings = tape::findings(&about_box, &answers);
                let class = tape::action(&findings);
                // Of a box by itself only a class that findings call for: what was not asked of it is no class.
                if is_item
                    || findings
                        .iter()
                        .any(|finding| finding.strength >= Strength::Possible)
                {
                    made.by_class.entry(class.key).or_default().insert(serial);
                }
                for danger in &DANGERS {
                    let is_met = |finding: &tape::Finding| {
                        finding.key == danger.finding && finding.strength >= Strength::Possible
                    };
                    if findings.iter().any(is_met) {
                        made.by_finding.entry(danger.finding).or_default().insert(serial);
                    }
                }
            }
        }
        made.stopped = made.stopped_for(facts);
        made
    }

    fn stopped_for(&self, facts: &Facts<'_>) -> Option<BTreeMap<&'static str, usize>> {
        let mut stopped = BTreeMap::new();
        let sample = facts.state.sample(false);
        for (drawn, _) in sample.iter().filter(|(_, outcome)| *outcome == Outcome::Stopped) {
            let danger = DANGERS.iter().find(|danger| {
                self.by_finding
                    .get(danger.finding)
                    .is_some_and(|met| met.contains(&drawn.serial))
            });
            *stopped.entry(danger?.finding).or_insert(0) += 1;
        }
        (stopped.values().sum::<usize>() == facts.figures.sample.n_stopped).then_some(stopped)
    }

    /// ` stopped for a hazard (mould 5, animals 1)`, behind the number of boxes.
    pub(super) fn reasons(&self) -> Line {
        let Some(stopped) = self.stopped.as_ref().filter(|stopped| !stopped.is_empty()) else {
            return w(" stopped for a hazard");
        };
        let mut line = w(" stopped for a hazard (");
        let told = DANGERS
            .iter()
            .filter_map(|danger| Some((danger, stopped.get(danger.finding)?)));
        for (at, (danger, n)) in told.enumerate() {
            line = line
                .w(if at == 0 { "" } else { ", " })
                .w(&danger.name.to_lowercase())
                .w("\u{a0}")
                .n(format!("board.stopped.{}", danger.finding), *n);
        }
        line.w(")")
    }

    /// In how many boxes a class was met, of the box itself or of an item in it.
    pub(super) fn boxes_of(&self, class: &ActionClass) -> usize {
        self.by_class.get(class.key).map_or(0, BTreeSet::len)
    }

    /// A line for each danger that was met: how much, where, what to do.
    pub(super) fn lines(&self, facts: &Facts<'_>) -> Vec<Line> {
        let met = DANGERS
            .iter()
            .filter_map(|danger| Some((danger, self.by_finding.get(danger.finding)?)));
        met.map(|(danger, boxes)| {
            let mut line = w(danger.name).w(": ");
            let is_counted = facts
                .figure(danger.condition)
                .is_some_and(|figure| figure.estimate > 0.0);
            if let (true, Some(count)) = (is_counted, facts.estimate(danger.condition, COUNT)) {
                line = line
                    .w("about ")
                    .add(count)
                    .w(" tapes ")
                    .w(danger.counted)
                    .w(". ")
                    .w(danger.met);
            } else {
                line = line.w(&danger.met.to_lowercase());
            }
            line.of(
                format!("board.{}.boxes", danger.finding),
                boxes.len(),
                "box",
                "boxes",
            )
            .add(places(facts, boxes))
            .w(". ")
            .w(danger.rule)
        })
        .collect()
    }

    /// The same in a few words for a text that stands alone: `mould or a musty smell in 9 boxes, all in Mill cellar`.
    pub(super) fn in_short(&self, facts: &Facts<'_>) -> Vec<Line> {
        let met = DANGERS
            .iter()
            .filter_map(|danger| Some((danger, self.by_finding.get(danger.finding)?)));
        met.map(|(danger, boxes)| {
            w(danger.sign)
                .w(" in ")
                .of(
                    format!("board.{}.boxes", danger.finding),
                    boxes.len(),
                    "box",
                    "boxes",
                )
                .add(places(facts, boxes))
        })
        .collect()
    }
}

/// `, all in Mill cellar`: the groups that boxes are of, where places may be shown and there is more than one.
fn places(facts: &Facts<'_>, boxes: &BTreeSet<Serial>) -> Line {
    let keys: BTreeSet<String> = boxes
        .iter()
        .filter_map(|serial| Some(facts.stratum_of(*serial)?.to_string()))
        .collect();
    if !facts.is_open() || keys.is_empty() || facts.state.strata.len() < 2 {
        return Line::default();
    }
    let mut line = w(if keys.len() == 1 && boxes.len() > 1 {
        ", all in "
    } else {
        ", in "
    });
    for (at, key) in keys.iter().enumerate() {
        line = line
            .w(if at == 0 { "“" } else { ", “" })
            .said(facts.stratum_name(key))
            .w("”");
    }
    line
}
