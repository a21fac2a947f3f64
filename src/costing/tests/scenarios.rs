//! Scenarios side by side: what they have in common cancels, what differs does not.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use costing::{
    Assumptions, Class, Collection, Driver, Item, OwnLine, Playing, Range, SampledBox, Scenario,
    ScenarioError, Settings, Stratum, Value, side_by_side, simulate,
};

fn value(low: f64, likely: f64, high: f64) -> Value {
    Value {
        range: Range::of(low, likely, high),
        source: "invented".to_owned(),
        date: String::new(),
    }
}

/// Six of sixty boxes, of unlike size, with items of two classes.
fn collection() -> Collection {
    let item = |n: u64| Item {
        class: usize::from(n.is_multiple_of(3)),
        by_hand: n.is_multiple_of(2),
        playing: Some(Playing {
            pass_hours: Range::of(0.4, 0.8, 1.1),
            slower: Range::of(0.5, 1.0, 2.0),
            passes: Range::of(1.0, 1.0, 2.0),
            tracks: Range::of(1.0, 2.0, 4.0),
            group: 0,
        }),
    };
    let class = |key: &str, repair: bool| Class {
        key: key.to_owned(),
        clean: false,
        repair,
        specialist: false,
    };
    Collection {
        classes: vec![class("first", true), class("ordinary", false)],
        groups: vec!["reels".to_owned()],
        strata: vec![Stratum {
            key: "S1".to_owned(),
            n_boxes: 60,
            sampled: (3..9)
                .map(|n| SampledBox {
                    n_items: Some(n * 2),
                    judged: false,
                    read: (0..n).map(item).collect(),
                })
                .collect(),
        }],
        learned: None,
    }
}

fn planned() -> Assumptions {
    Assumptions {
        currency: "EUR".to_owned(),
        values: [("money.labour".to_owned(), value(20.0, 25.0, 40.0))].into(),
        ..Assumptions::default()
    }
}

fn settings() -> Settings {
    Settings {
        draws: 2_000,
        ..Settings::default()
    }
}

fn near(a: f64, b: f64) {
    assert!(
        (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0),
        "{a} and {b}"
    );
}

#[test]
fn the_planned_set_has_the_digits_that_it_has_alone() {
    let (collection, planned) = (collection(), planned());
    let alone = simulate(&collection, &planned, &settings()).unwrap();
    let mut more = Scenario::new("with a lump");
    more.own.push(OwnLine {
        label: "hire of a room".to_owned(),
        driver: Driver::Once,
        value: value(100.0, 200.0, 600.0),
    });
    let made = side_by_side(&collection, &planned, &[more], &settings()).unwrap();
    for (id, span) in &made.scenarios[0].quantities {
        assert_eq!(alone.range(id), Some(*span), "{id}");
    }
    // A line that only one of them has disturbs nothing that both have, and is all that the cost differs by.
    let hours = |at: usize| made.scenarios[at].quantities["staff_hours"];
    assert_eq!(hours(0), hours(1));
    let cost = made.differences[0].quantities["cost.total"].span;
    near(cost.mean, made.scenarios[1].quantities["cost.own.1"].mean);
    assert!(cost.low > 100.0 && cost.high < 600.0);
}

#[test]
fn the_same_twice_differs_by_nothing() {
    let made = side_by_side(
        &collection(),
        &planned(),
        &[Scenario::new("no change")],
        &settings(),
    )
    .unwrap();
    for (id, changed) in &made.differences[0].quantities {
        assert!(changed.span.low.abs() + changed.span.high.abs() == 0.0, "{id}");
        assert_eq!(changed.chance_more.to_bits(), 0.0_f64.to_bits(), "{id}");
    }
}

/// Twice the machines and the people: the weeks halve in every draw, so half of them is the difference, range and all.
#[test]
fn a_difference_is_made_draw_by_draw() {
    let mut both = Scenario::new("two of each");
    let mut capacity = planned().capacity;
    capacity.machines *= 2.0;
    capacity.people *= 2.0;
    both.capacity = Some(capacity);
    let made = side_by_side(&collection(), &planned(), &[both], &settings()).unwrap();
    let (weeks, fewer) = (
        made.scenarios[0].quantities["weeks"],
        made.differences[0].quantities["weeks"].span,
    );
    near(fewer.mean, -weeks.mean / 2.0);
    near(fewer.low, -weeks.high / 2.0);
    near(fewer.high, -weeks.low / 2.0);
    // Two scenarios drawn apart would seem to differ by anything between these.
    let apart = made.scenarios[1].quantities["weeks"].high - weeks.low;
    assert!(
        apart > 0.0,
        "the two ranges overlap, and the difference is sure all the same"
    );
    assert!(fewer.high < 0.0);
}

#[test]
fn what_is_left_out_is_not_done_and_costs_nothing() {
    let mut less = Scenario::new("ordinary ones later");
    less.leave_out.insert("ordinary".to_owned());
    less.budget = Some(4_000.0);
    let made = side_by_side(&collection(), &planned(), &[less], &settings()).unwrap();
    let (all, less) = (&made.scenarios[0].quantities, &made.scenarios[1].quantities);
    near(less["items"].mean, all["class.first.items"].mean);
    near(
        less["cost.total"].mean - less["cost.fixed"].mean,
        all["class.first.cost"].mean,
    );
    assert_eq!(less["class.ordinary.items"].high.to_bits(), 0.0_f64.to_bits());
    assert_eq!(made.scenarios[1].bought.len(), 1);
    assert!(less["budget.items"].mean <= less["items"].mean);
    let items = made.differences[0].quantities["items"].span;
    near(items.mean, -all["class.ordinary.items"].mean);
}

/// With everything certain, weeks are enough for so many items as machines and people can do in them, and all classes are
/// taken in turn; where items lie is told in proportion.
#[test]
fn weeks_buy_as_far_as_machines_and_people_go() {
    let mut collection = collection();
    for stratum in &mut collection.strata {
        stratum.n_boxes = stratum.sampled.len() as u64;
        for item in stratum.sampled.iter_mut().flat_map(|b| &mut b.read) {
            item.playing = item.playing.map(|playing| Playing {
                pass_hours: Range::exactly(1.0),
                slower: Range::exactly(1.0),
                passes: Range::exactly(1.0),
                tracks: Range::exactly(1.0),
                ..playing
            });
        }
        stratum
            .sampled
            .iter_mut()
            .for_each(|b| b.n_items = Some(b.read.len() as u64));
    }
    let mut set = planned();
    for entry in costing::catalogue() {
        if let Some(range) = set.range(entry.key) {
            set.values.insert(
                entry.key.to_owned(),
                value(range.likely, range.likely, range.likely),
            );
        }
    }
    let outlook = simulate(&collection, &set, &settings()).unwrap();
    let of = |id: &str| outlook.range(id).unwrap().mean;
    let (machine, staff) = (of("class.first.machine_hours"), of("class.first.staff_hours"));
    near(machine + of("class.ordinary.machine_hours"), of("machine_hours"));
    near(staff + of("class.ordinary.staff_hours"), of("staff_hours"));
    let capacity = set.capacity;
    let first = (machine / (capacity.machines * capacity.machine_hours_week))
        .max(staff / (capacity.people * capacity.people_hours_week));
    // Half the time of the first class does half of it and none of the next; all of it all.
    let half = outlook.done_in(first / 2.0, &capacity);
    near(half[0].part.mean, 0.5);
    near(half[0].strata["S1"], half[0].items.mean);
    assert!(half[1].items.high < 0.5 * of("class.ordinary.items"));
    let all = outlook.done_in(of("weeks") + 1e-9, &capacity);
    near(all[0].chance_of_all + all[1].chance_of_all, 2.0);
    let mut scenario = Scenario::new("a short time");
    scenario.weeks = Some(first / 2.0);
    let made = side_by_side(&collection, &set, &[scenario.clone()], &settings()).unwrap();
    near(
        made.scenarios[1].quantities["in_weeks.items"].mean,
        half[0].items.mean + half[1].items.mean,
    );
    assert_eq!(made.scenarios[1].chance_in_weeks, Some(0.0));
    scenario.weeks = Some(-1.0);
    assert!(scenario.check(&set).unwrap_err().to_string().contains("weeks"));
}

/// A class that lies in one box of three has a weight under 0 in the draws without that box; the classes, and the prices, add
/// up to the whole in every draw all the same, and none is under 0.
#[test]
fn classes_and_lines_add_up_to_the_whole_in_every_draw() {
    let mut few = collection();
    let stratum = &mut few.strata[0];
    stratum.sampled.truncate(3);
    for (at, sampled) in stratum.sampled.iter_mut().enumerate() {
        sampled
            .read
            .iter_mut()
            .for_each(|item| item.class = usize::from(at > 0));
    }
    let held = parts_add_up(&few);
    assert!(held.classes > 1_000, "no class was ever held: {held:?}");
}

/// Where all there is lies in one box of two, half of the draws find less than nothing; what is paid once is paid in them.
#[test]
fn a_draw_that_finds_less_than_nothing_costs_what_is_paid_once() {
    let mut fewer = collection();
    fewer.strata.truncate(1);
    fewer.strata[0].sampled.truncate(2);
    let empty = &mut fewer.strata[0].sampled[1];
    empty.read.clear();
    empty.n_items = Some(0);
    let held = parts_add_up(&fewer);
    assert!(held.wholes > 500, "no draw found less than nothing: {held:?}");
}

/// How many draws had a class at nothing, and how many had nothing at all but what is paid once.
#[derive(Debug, Default)]
struct Held {
    classes: usize,
    wholes: usize,
}

fn parts_add_up(collection: &Collection) -> Held {
    let mut set = planned();
    for key in [
        "money.inspection",
        "money.transport",
        "money.packing",
        "money.repair",
    ] {
        set.values.insert(key.to_owned(), value(1.0, 2.0, 4.0));
    }
    let outlook = simulate(collection, &set, &settings()).unwrap();
    let fixed = outlook.draws("cost.fixed");
    let mut held = Held::default();
    for (what, whole) in [
        ("items", "items"),
        ("content_hours", "content_hours"),
        ("machine_hours", "machine_hours"),
        ("staff_hours", "staff_hours"),
        ("cost", "cost.total"),
    ] {
        let classes = ["first", "ordinary"].map(|key| outlook.draws(&format!("class.{key}.{what}")));
        for (draw, whole) in outlook.draws(whole).iter().enumerate() {
            let fixed = if what == "cost" { fixed[draw] } else { 0.0 };
            near(classes[0][draw] + classes[1][draw] + fixed, *whole);
            held.classes += usize::from(classes[0][draw] <= 0.0 && *whole > 0.0);
            held.wholes += usize::from(what == "cost" && *whole > 0.0 && *whole <= fixed);
        }
    }
    let money = |id: &&str| id.starts_with("cost.") && !["cost.fixed", "cost.total"].contains(id);
    let ids: Vec<&str> = outlook.ids().filter(money).collect();
    assert!(ids.len() >= 5, "{ids:?}");
    for (draw, whole) in outlook.draws("cost.total").iter().enumerate() {
        near(ids.iter().map(|id| outlook.draws(id)[draw]).sum(), *whole);
    }
    held
}

#[test]
fn faults_are_named_with_the_scenario() {
    let refused = |scenario: Scenario| {
        side_by_side(&collection(), &planned(), &[scenario], &settings())
            .unwrap_err()
            .to_string()
    };
    let mut of = Scenario::new("Plan B");
    of.leave_out.insert("sunny".to_owned());
    assert!(refused(of).contains("Plan B: there is no class \"sunny\""));
    let mut of = Scenario::new("Plan B");
    of.currency = "USD".to_owned();
    assert!(refused(of).contains("Plan B"));
    let mut of = Scenario::new("Plan B");
    of.budget = Some(f64::NAN);
    assert!(refused(of).contains("budget"));
    let mut of = Scenario::new("Plan B");
    of.values
        .insert("money.sunshine".to_owned(), value(1.0, 1.0, 1.0));
    assert!(refused(of).contains("money.sunshine"));
    assert_eq!(Scenario::new("a\nb").check(&planned()), Err(ScenarioError::Name));
    let text = serde_json::to_string(&Scenario::new("Plan B")).unwrap();
    assert_eq!(text, r#"{"format":"quarterlight-scenario-1","name":"Plan B"}"#);
    assert!(serde_json::from_str::<Scenario>(r#"{"format":"x","name":"a","surprise":1}"#).is_err());
}
