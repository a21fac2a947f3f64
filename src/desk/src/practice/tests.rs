//! What the invented collection promises, checked on what it makes.

use std::collections::{BTreeMap, BTreeSet};

use tape::{Answer, Answers};

use super::scenario::{self, PLACES};
use super::seen::CANT_TELL;
use super::survey_file;
use super::survey_log::{self, Plan};
use super::truth::{Collection, TrueBox};
use super::walk::is_legal;
use super::write;

fn file_of(collection: Collection, plan: Plan) -> Vec<u8> {
    let mut file = Vec::new();
    survey_file(collection, plan, &mut file).unwrap();
    file
}

const SMALL: Collection = Collection {
    seed: 7,
    n_boxes: 412,
};
/// Enough where every answer of every item is asked for, which takes its time.
const TINY: Collection = Collection { seed: 7, n_boxes: 70 };

fn files(collection: Collection) -> [Vec<u8>; 3] {
    let [mut list, mut truth, mut summary] = [const { Vec::new() }; 3];
    let files = write::Files {
        list: &mut list,
        truth: Some(&mut truth),
        summary: &mut summary,
    };
    write::collection(collection, files).unwrap();
    [list, truth, summary]
}

/// One-way analysis-of-variance estimate of the intra-box correlation of a yes-or-no condition.
fn icc(boxes: &[Vec<bool>]) -> f64 {
    let boxes: Vec<&Vec<bool>> = boxes.iter().filter(|items| !items.is_empty()).collect();
    let count = |items: &[bool]| items.iter().filter(|yes| **yes).count() as f64;
    let k = boxes.len() as f64;
    let n: f64 = boxes.iter().map(|items| items.len() as f64).sum();
    let squares: f64 = boxes
        .iter()
        .map(|items| (items.len() as f64) * (items.len() as f64))
        .sum();
    let mean = boxes.iter().map(|items| count(items)).sum::<f64>() / n;
    let (mut between, mut within) = (0.0, 0.0);
    for items in boxes {
        let m = items.len() as f64;
        let p = count(items) / m;
        between += m * (p - mean) * (p - mean);
        within += m * p * (1.0 - p);
    }
    let n0 = (n - squares / n) / (k - 1.0);
    let (between, within) = (between / (k - 1.0), within / (n - k));
    (between - within) / (between + (n0 - 1.0) * within)
}

fn condition(boxes: &[TrueBox], key: &str) -> Vec<Vec<bool>> {
    let of_item = |of: &TrueBox| {
        of.items
            .iter()
            .map(|item| {
                item.conditions(of)
                    .iter()
                    .any(|(named, holds)| *named == key && *holds)
            })
            .collect()
    };
    boxes.iter().map(of_item).collect()
}

fn share(of: &[Vec<bool>]) -> f64 {
    let n: usize = of.iter().map(Vec::len).sum();
    let yes: usize = of.iter().flatten().filter(|yes| **yes).count();
    yes as f64 / n as f64
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_does_not() {
    let plan = Plan {
        rounds: 1,
        round_size: 5,
        items_per_box: 10,
        visit: 1,
        entries: None,
        photos: 0,
    };
    assert_eq!(files(TINY), files(TINY));
    assert!(file_of(TINY, plan) == file_of(TINY, plan));
    let [list, truth, _] = files(Collection { seed: 8, ..TINY });
    assert!(list != files(TINY)[0] && truth != files(TINY)[1]);
}

#[test]
fn every_answer_is_one_that_the_question_offers() {
    let mut told: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    for of in SMALL.boxes() {
        let visit = SMALL.visit(&of, |_| true);
        let none = Answers::new();
        let mut of_box = Answers::new();
        let lists =
            std::iter::once((true, &visit.answers)).chain(visit.items.iter().map(|item| (false, item)));
        for (is_box, answers) in lists {
            let mut so_far = Answers::new();
            for (key, answer) in answers {
                let question = tape::question(key).unwrap();
                let asked = if is_box {
                    tape::box_path(&so_far)
                } else {
                    tape::item_path_in(&of_box, &so_far)
                };
                assert!(
                    asked.asked.iter().any(|asked| asked.key == *key),
                    "{key} is not asked"
                );
                let around = if is_box { &none } else { &of_box };
                assert!(
                    is_legal(question, answer, &so_far, around),
                    "box {}: {key} = {answer:?}",
                    of.row
                );
                let keys = answer.keys().into_iter().map(str::to_owned);
                told.entry(key).or_default().extend(keys);
                so_far.insert((*key).to_owned(), answer.clone());
            }
            let path = if is_box {
                tape::box_path(&so_far)
            } else {
                tape::item_path_in(&of_box, &so_far)
            };
            assert!(
                path.done,
                "box {} is left at {:?}",
                of.row,
                path.next.map(|question| question.key)
            );
            if is_box {
                of_box = so_far;
            }
        }
    }
    // Every question of the list gets real answers, not only can't-tells; a number or a count has no keys.
    for question in tape::questions()
        .iter()
        .filter(|question| !question.optional && !question.choices.is_empty())
    {
        let told = told
            .get(question.key)
            .map_or(0, |keys| keys.iter().filter(|key| *key != CANT_TELL).count());
        assert!(told >= 2, "{} is hardly ever answered", question.key);
    }
}

#[test]
fn conditions_are_bunched_in_boxes_one_is_rare_and_one_absent() {
    let boxes: Vec<TrueBox> = SMALL.boxes().collect();
    for key in [
        "acid_decay",
        "sticky_binder",
        "pack_fault",
        "damage",
        "splices_many",
        "base_pvc",
    ] {
        let icc = icc(&condition(&boxes, key));
        assert!(icc > 0.05, "{key}: {icc}");
    }
    let rare = share(&condition(&boxes, "base_pvc"));
    assert!((0.001..0.012).contains(&rare), "{rare}");
    assert!(share(&condition(&boxes, scenario::ABSENT)) == 0.0);
    assert!(share(&condition(&boxes, "acid_decay")) > 0.03);
}

/// A control: without bunching the estimate is near nought, so the test above can fail.
#[test]
fn a_condition_spread_evenly_has_no_correlation() {
    let mut dice = super::dice::Dice::of(1, "even", [0, 0]);
    let boxes: Vec<Vec<bool>> = (0..400)
        .map(|_| (0..15).map(|_| dice.per_mille(200)).collect())
        .collect();
    assert!(icc(&boxes).abs() < 0.03);
}

#[test]
fn boxes_are_as_uneven_as_real_ones() {
    let boxes: Vec<TrueBox> = SMALL.boxes().collect();
    let sizes: BTreeSet<usize> = boxes.iter().map(|of| of.items.len()).collect();
    assert!(
        sizes.contains(&0) && sizes.contains(&3) && sizes.contains(&173) && sizes.len() > 30,
        "{sizes:?}"
    );
    let huge = boxes.iter().filter(|of| of.items.len() > 70).count();
    assert_eq!(huge, 1);
    let outcomes: BTreeSet<(&str, &str)> = boxes.iter().map(|of| SMALL.ending(of)).collect();
    for ending in [
        ("stopped", "mould"),
        ("not_found", "missing_today"),
        ("not_opened", "locked"),
        ("found_opened", ""),
    ] {
        assert!(outcomes.contains(&ending), "{ending:?}");
    }
    for (index, place) in PLACES.iter().enumerate() {
        let here = boxes.iter().filter(|of| of.place == index);
        let quarters: Vec<(u8, usize)> = here.map(|of| (of.quarters, of.items.len())).collect();
        let mean = |low: u8, high: u8| {
            let of: Vec<usize> = quarters
                .iter()
                .filter(|(q, _)| (low..=high).contains(q))
                .map(|(_, n)| *n)
                .collect();
            of.iter().sum::<usize>() as f64 / of.len().max(1) as f64
        };
        assert!(mean(3, 4) > mean(1, 2), "fuller boxes hold more: {}", place.name);
    }
}

#[test]
fn a_box_does_not_depend_on_the_others() {
    let all: Vec<TrueBox> = SMALL.boxes().collect();
    assert_eq!(format!("{:?}", SMALL.make(200)), format!("{:?}", all[199]));
}

#[test]
fn the_survey_is_complete_and_the_list_gives_its_serials() {
    let plan = Plan {
        rounds: 2,
        round_size: 5,
        items_per_box: 10,
        visit: 1,
        entries: None,
        photos: 0,
    };
    let log = survey_log::survey(SMALL, plan).unwrap();
    let state = survey::State::fold(&log);
    assert!(state.faults.is_empty(), "{:?}", state.faults);
    assert!(state.practice);
    assert_eq!(state.boxes.len(), 412);
    let opened = handover::survey_file::read(&file_of(SMALL, plan)).unwrap();
    assert!(opened.log == log && opened.problems.is_empty());
    for number in 1..=2 {
        assert!(state.round_progress(number).is_complete(), "round {number}");
    }
    for of in SMALL.boxes() {
        let serial = survey::Serial {
            tag: 0,
            number: u32::try_from(of.row).unwrap(),
        };
        let listed = &state.boxes[&serial];
        assert_eq!(
            (&listed.label, listed.quarters, listed.listed_items),
            (&of.label, Some(of.quarters), of.listed_items)
        );
        assert_eq!(state.places[&listed.place].name, PLACES[of.place].name);
    }
}

#[test]
fn the_watch_list_is_invented_and_meets_a_tape() {
    let plan = Plan {
        rounds: 3,
        round_size: 5,
        items_per_box: 10,
        visit: 1,
        entries: None,
        photos: 0,
    };
    let state = survey::State::fold(&survey_log::survey(SMALL, plan).unwrap());
    let watch = handover::watchlist::of(&state);
    assert_eq!(watch.stocks.len(), 3);
    assert!(watch.stocks.iter().all(|stock| stock.source.contains("invented")));
    let items = state.subjects().filter_map(|subject| match subject {
        survey::Subject::Item(item) => Some(item),
        _ => None,
    });
    let watched = items.filter(|item| {
        let of_box = state.answers(survey::Subject::Box(item.serial));
        let found = tape::findings_watching(&of_box, &state.item_answers(*item), &watch);
        let mut evidence = found.iter().flat_map(|finding| &finding.evidence_for);
        evidence.any(|line| line.contains("watch-list"))
    });
    assert!(watched.count() > 0, "the list is never used");
}

#[test]
fn the_list_is_one_that_the_app_imports() {
    let (mut list, mut summary) = (Vec::new(), Vec::new());
    let files = write::Files {
        list: &mut list,
        truth: None,
        summary: &mut summary,
    };
    write::collection(SMALL, files).unwrap();
    let read = handover::boxlist::read(&list).unwrap();
    assert_eq!(read.boxes.len(), 412);
    for (of, listed) in SMALL.boxes().zip(&read.boxes) {
        let place = &PLACES[of.place];
        assert_eq!((listed.place.as_str(), &listed.label), (place.name, &of.label));
        assert_eq!(
            (listed.quarters, listed.items),
            (Some(of.quarters), of.listed_items)
        );
        assert_eq!(listed.group.as_deref(), Some(scenario::GROUPS[place.group]));
    }
    assert!(
        read.boxes.iter().any(|listed| listed.label.starts_with('=')),
        "a label that looks like a formula"
    );
}

/// Every way a visit can end leaves tables that figures can be made of; nobody judges a box to be empty that holds something.
#[test]
fn figures_can_be_made_of_every_survey() {
    let plan = Plan {
        rounds: 12,
        round_size: 5,
        items_per_box: 2,
        visit: 1,
        entries: None,
        photos: 0,
    };
    let state = survey::State::fold(&survey_log::survey(SMALL, plan).unwrap());
    let guesses: Vec<f64> = state
        .subjects()
        .filter_map(|subject| match state.answer(subject, "count_outside_guess") {
            Some(Answer::Number(guess)) => Some(*guess),
            _ => None,
        })
        .collect();
    assert!(
        guesses.iter().any(|guess| *guess < 5.0),
        "a small box is among them"
    );
    assert!(guesses.iter().all(|guess| *guess >= 1.0), "{guesses:?}");
    let figures = analysis::figures::figures(&state);
    assert!(figures.problems.is_empty(), "{:?}", figures.problems);
    assert!(
        figures.headline.contains_key("items.total")
            && figures.headline.contains_key("condition.damage.share")
    );
}

/// What is laid out at once says the same as the tables in a survey file, to the last bit.
#[test]
fn figures_are_those_of_the_tables() {
    use analysis::figures::{Figure, figures, options};
    use analysis::records::{self, Basis};
    use analysis::tables::{self, ShareEstimate, Tables, TotalEstimate, WHOLE_BOX};

    fn is_share(figure: &Figure, share: &ShareEstimate) -> bool {
        (Some(figure.estimate), figure.se, figure.low, figure.high)
            == (share.estimate, share.se, share.low, share.high)
            && (figure.df, figure.deff) == (share.df, share.deff)
    }
    fn is_total(figure: &Figure, total: &TotalEstimate) -> bool {
        (Some(figure.estimate), figure.se, figure.low, figure.high)
            == (total.estimate, total.se, total.low, total.high)
    }
    /// Items with a condition, those it is known of, and boxes with one.
    fn seen(tables: &Tables, name: &str, stratum: Option<&str>) -> [Option<u64>; 3] {
        let at = tables
            .columns
            .iter()
            .position(|column| column.name == name)
            .unwrap();
        let items = tables
            .items
            .iter()
            .filter(|row| row.item_id != WHOLE_BOX && stratum.is_none_or(|stratum| stratum == row.stratum));
        let known: Vec<_> = items
            .filter_map(|row| Some((&row.box_id, row.values[at]?)))
            .collect();
        let with: Vec<_> = known
            .iter()
            .filter(|(_, value)| *value > 0.5)
            .map(|(id, _)| *id)
            .collect();
        let boxes: BTreeSet<_> = with.iter().collect();
        [with.len(), known.len(), boxes.len()].map(|n| Some(n as u64))
    }

    let plan = Plan {
        rounds: 12,
        round_size: 5,
        items_per_box: 12,
        visit: 1,
        entries: None,
        photos: 0,
    };
    let state = survey::State::fold(&survey_log::survey(SMALL, plan).unwrap());
    let made = figures(&state);
    let items = records::items(&state, Basis::Headline);
    assert!(
        items.items.iter().any(|row| row.item_id == WHOLE_BOX),
        "a box was stopped"
    );
    let carriers = records::carriers(&state, Basis::Headline);
    let mut n_compared = 0;
    for (tables, carriers) in [(&items, false), (&carriers, true)] {
        let estimates = tables::estimate(tables, &options()).unwrap();
        for (name, condition) in &estimates.conditions {
            let id = match (
                carriers,
                name.strip_prefix("action_"),
                name.strip_prefix("carrier_"),
            ) {
                (true, _, Some(carrier)) => format!("carrier.{carrier}"),
                (false, Some(class), _) => format!("action.{class}"),
                _ => format!("condition.{name}"),
            };
            let parts = condition.by_stratum.iter();
            let parts = parts.map(|(stratum, part)| (Some(stratum.as_str()), &part.share, &part.count));
            for (stratum, share, count) in parts.chain([(None, &condition.share, &condition.count)]) {
                let id = stratum.map_or(id.clone(), |stratum| format!("{stratum}.{id}"));
                let seen = seen(tables, name, stratum);
                if let Some(figure) = made.headline.get(&format!("{id}.share")) {
                    assert!(is_share(figure, share), "{id}: {figure:?}, {share:?}");
                    assert_eq!([figure.n_seen, figure.n_known, figure.n_boxes], seen, "{id}");
                    n_compared += 1;
                } else {
                    assert_eq!(share.estimate, None, "{id}");
                }
                if let Some(figure) = made.headline.get(&format!("{id}.count")) {
                    assert!(is_total(figure, count), "{id}: {figure:?}, {count:?}");
                    n_compared += 1;
                }
            }
        }
        for (name, quantity) in &estimates.quantities {
            assert!(
                is_total(&made.headline[&format!("quantity.{name}.total")], &quantity.total),
                "{name}"
            );
            assert!(
                is_share(&made.headline[&format!("quantity.{name}.mean")], &quantity.mean),
                "{name}"
            );
        }
        if !carriers {
            assert!(is_total(&made.headline["items.total"], &estimates.items));
        }
    }
    assert!(n_compared > 200, "{n_compared}");
}

/// The memory of a million boxes is that of one: here, that any row of such a list can be made at once.
#[test]
fn a_million_boxes_are_made_row_by_row() {
    let large = Collection {
        seed: 7,
        n_boxes: 1_000_000,
    };
    let last = large.make(1_000_000);
    assert_eq!(last.place, PLACES.len() - 1);
    assert!(large.boxes().skip(10).take(3).all(|of| of.place == 0));
}

#[test]
fn cant_tells_come_as_often_as_stated() {
    let (mut asked, mut untold) = (0u32, 0u32);
    for of in SMALL.boxes().step_by(3) {
        for answers in SMALL.visit(&of, |_| true).items {
            for (_, answer) in answers.iter().filter(|(key, _)| *key == "light") {
                asked += 1;
                untold += u32::from(*answer == Answer::one(CANT_TELL));
            }
        }
    }
    let (rate, _) = scenario::rates("light");
    let expected = f64::from(asked) * f64::from(u32::try_from(rate).unwrap()) / 1000.0;
    // Five standard deviations of a binomial count.
    assert!(
        (f64::from(untold) - expected).abs() < 5.0 * expected.sqrt(),
        "{untold} of {asked}"
    );
}

#[test]
fn a_survey_of_so_many_entries_ends_with_the_round_that_has_them() {
    let plan = |rounds, entries| Plan {
        rounds,
        round_size: 5,
        items_per_box: 10,
        visit: 1,
        entries,
        photos: 0,
    };
    let of = |plan| survey_log::survey(SMALL, plan).unwrap().entries().len();
    let (one, two) = (of(plan(1, None)), of(plan(2, None)));
    assert_eq!(of(plan(u32::MAX, Some(one))), one);
    assert_eq!(of(plan(u32::MAX, Some(one + 1))), two);
    assert_eq!(
        of(plan(1, Some(one + 1))),
        one,
        "no more rounds than were asked for"
    );
}

#[test]
fn photographs_are_pictures_that_the_app_keeps_and_the_file_is_whole() {
    let plan = Plan {
        rounds: 1,
        round_size: 4,
        items_per_box: 2,
        visit: 1,
        entries: None,
        photos: 2,
    };
    let file = file_of(TINY, plan);
    let opened = handover::survey_file::read(&file).unwrap();
    assert_eq!(opened.photos.len(), 2);
    assert!(
        opened
            .photos
            .values()
            .all(|picture| (800_000..1_300_000).contains(&picture.len()))
    );
    assert!(handover::verify(&file).holds());
    let again = handover::survey_file::write_with(&opened.log, &opened.parts, &opened.photos).unwrap();
    assert!(again == file);
}
