//! What a part of the money does, and what of a class's cost comes before a transfer.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use costing::{
    Assumptions, Class, Collection, Item, LADDER, Range, SampledBox, Settings, Stratum, Value, simulate,
};

fn class(key: &str, clean: bool, specialist: bool) -> Class {
    Class {
        key: key.to_owned(),
        clean,
        repair: false,
        specialist,
    }
}

/// Eight of forty boxes: items of a class that is made safe first, and of one that is not.
fn collection() -> Collection {
    let item = |n: u64| Item {
        class: usize::from(n > 1),
        by_hand: true,
        playing: None,
    };
    Collection {
        classes: vec![class("first", true, true), class("after", false, false)],
        groups: Vec::new(),
        strata: vec![Stratum {
            key: "S1".to_owned(),
            n_boxes: 40,
            sampled: (4..12)
                .map(|n| SampledBox {
                    n_items: Some(n),
                    judged: false,
                    read: (0..n).map(item).collect(),
                })
                .collect(),
        }],
        learned: None,
    }
}

fn priced(prices: &[(&str, f64)]) -> Assumptions {
    let value = |price: f64| Value {
        range: Range::of(price / 2.0, price, price * 3.0),
        source: "invented".to_owned(),
        date: String::new(),
    };
    Assumptions {
        currency: "EUR".to_owned(),
        values: prices
            .iter()
            .map(|(key, price)| ((*key).to_owned(), value(*price)))
            .collect(),
        ..Assumptions::default()
    }
}

const PRICES: [(&str, f64); 5] = [
    ("money.labour", 30.0),
    ("money.cleaning", 20.0),
    ("money.specialist", 50.0),
    ("time.clean", 20.0),
    ("money.tax", 10.0),
];

#[test]
fn more_money_does_not_less_and_what_is_done_and_left_is_all() {
    let outlook = simulate(&collection(), &priced(&PRICES), &Settings::default()).unwrap();
    let ladder = outlook.ladder();
    assert_eq!(ladder.iter().map(|rung| rung.part).collect::<Vec<_>>(), LADDER);
    let items = outlook.range("items").unwrap().mean;
    for rung in &ladder {
        assert!((rung.items.mean + rung.left.mean - items).abs() < 1e-9 * items);
        assert_eq!(rung.bought, outlook.buys(rung.money));
        assert!((rung.money - rung.part * outlook.range("cost.total").unwrap().mean).abs() < 1e-9);
    }
    assert!(ladder.windows(2).all(|two| two[0].items.mean < two[1].items.mean));
    assert!(
        ladder
            .windows(2)
            .all(|two| two[0].chance_of_all <= two[1].chance_of_all)
    );
    // All of the mean is not enough in every draw.
    assert!((0.3..0.8).contains(&ladder[3].chance_of_all));
    // Without a price there is nothing to give a part of.
    let free = simulate(&collection(), &Assumptions::default(), &Settings::default()).unwrap();
    assert!(free.ladder().is_empty());
}

#[test]
fn what_is_spent_before_a_copy_is_cleaning_and_specialists_with_what_comes_on_top() {
    let outlook = simulate(&collection(), &priced(&PRICES), &Settings::default()).unwrap();
    let draws = |id: &str| outlook.draws(id).to_vec();
    let (before, cost) = (draws("class.first.cost_before"), draws("class.first.cost"));
    assert!(before.iter().zip(&cost).all(|(before, cost)| before <= cost));
    assert!(outlook.range("class.first.cost_before").unwrap().low > 0.0);
    assert!(outlook.range("class.after.cost_before").unwrap().high <= 0.0);
    // By hand, at likely values: an item costs 20 + 50, and a third of an hour at 30; tax is on all of it.
    let mut exact = priced(&PRICES);
    for value in exact.values.values_mut() {
        value.range = Range::exactly(value.range.likely);
    }
    let outlook = simulate(&collection(), &exact, &Settings::default()).unwrap();
    let items = outlook.draws("class.first.items");
    for (before, items) in outlook.draws("class.first.cost_before").iter().zip(items) {
        assert!((before - items * (20.0 + 50.0 + 10.0) * 1.1).abs() < 1e-6);
    }
}

#[test]
fn several_quantities_are_added_up_draw_by_draw() {
    let outlook = simulate(&collection(), &priced(&PRICES), &Settings::default()).unwrap();
    let id = |id: &str| vec![id.to_owned()];
    let both = ["class.first.items", "class.after.items"].map(str::to_owned);
    let made = outlook.range_of(&both, &[]).unwrap();
    let items = outlook.range("items").unwrap();
    assert!((made.mean - items.mean).abs() < 1e-9 && (made.high - items.high).abs() < 1e-6);
    let rest = outlook.range_of(&id("items"), &id("class.first.items")).unwrap();
    let after = outlook.range("class.after.items").unwrap();
    assert!((rest.high - after.high).abs() < 1e-6);
    assert_eq!(outlook.range_of(&id("sunshine"), &[]), None);
}
