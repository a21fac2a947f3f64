//! What the first transfers taught of the hours stands in the place of the items' unknowns, and reaches work and money.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(clippy::cast_precision_loss, reason = "some thousand draws")]

use costing::{
    Assumptions, Cause, Class, Collection, Item, LearnedHours, Playing, Range, SampledBox, Settings, Stratum,
    Value, likely, simulate,
};
use sampling::math::{normal_quantile, t_quantile};

/// Every box of `n_boxes` or some of them, two like items in each whose speed and tracks nobody knows.
fn collection(n_boxes: u64, n_sampled: u64, learned: Option<LearnedHours>) -> Collection {
    let item = |n: u64| Item {
        class: 0,
        by_hand: true,
        playing: Some(Playing {
            pass_hours: Range::exactly(1.0 + (n % 3) as f64),
            slower: Range::of(0.5, 1.0, 2.0),
            passes: Range::of(1.0, 1.0, 2.0),
            tracks: Range::of(1.0, 2.0, 4.0),
            group: 0,
        }),
    };
    Collection {
        classes: vec![Class {
            key: "ordinary".to_owned(),
            clean: false,
            repair: false,
            specialist: false,
        }],
        groups: vec!["reels".to_owned()],
        strata: vec![Stratum {
            key: "S1".to_owned(),
            n_boxes,
            sampled: (0..n_sampled)
                .map(|n| SampledBox {
                    n_items: Some(2),
                    judged: false,
                    read: vec![item(n), item(n)],
                })
                .collect(),
        }],
        learned,
    }
}

fn settings() -> Settings {
    Settings {
        draws: 10_000,
        ..Settings::default()
    }
}

fn moments(draws: &[f64]) -> (f64, f64) {
    let n = draws.len() as f64;
    let mean = draws.iter().sum::<f64>() / n;
    let variance = draws.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / n;
    (mean, variance.sqrt())
}

const LEARNED: LearnedHours = LearnedHours {
    hours: 50.0,
    sd: 4.0,
    n: 12,
};

/// A census: nothing is left to the draw of boxes, so the hours are normal about what was learned, widened for few transfers
/// (closed form).
#[test]
fn the_hours_are_those_that_were_learned() {
    let set = Assumptions::default();
    let before = simulate(&collection(10, 10, None), &set, &settings()).unwrap();
    let after = simulate(&collection(10, 10, Some(LEARNED)), &set, &settings()).unwrap();
    let (mean, sd) = moments(after.draws("content_hours"));
    let wider = t_quantile(0.95, 11.0) / normal_quantile(0.95);
    let error = LEARNED.sd * wider / 100.0;
    assert!((mean - 50.0).abs() < 4.0 * error, "{mean}");
    assert!((sd / (LEARNED.sd * wider) - 1.0).abs() < 0.03, "{sd}");
    // The unknown speeds had left far more open.
    assert!(moments(before.draws("content_hours")).1 > 2.0 * sd);
    // A machine runs as long as there is sound to play, and people's time by it follows.
    for (machine, content) in after
        .draws("machine_hours")
        .iter()
        .zip(after.draws("content_hours"))
    {
        assert!((machine - content).abs() < 1e-9 * content);
    }
    let transfer = |outlook: &costing::Outlook| outlook.range("staff.transfer").unwrap();
    let width = |outlook: &costing::Outlook| transfer(outlook).high - transfer(outlook).low;
    assert!(width(&after) < 0.8 * width(&before));
    let driving = after.drivers("content_hours");
    assert_eq!(driving[0].cause, Cause::Transfers, "{driving:?}");
    assert!(driving[0].share > 0.95);
}

/// The draw of boxes still moves them: in proportion to what the look makes expect of the boxes drawn.
#[test]
fn the_draw_of_boxes_and_that_of_transfers_add_up() {
    let exact = LearnedHours { sd: 0.0, ..LEARNED };
    let set = Assumptions::default();
    let spread = |learned| {
        let made = simulate(&collection(60, 12, Some(learned)), &set, &settings()).unwrap();
        moments(made.draws("content_hours"))
    };
    let (boxes, both) = (spread(exact).1, spread(LEARNED).1);
    let wider = t_quantile(0.95, 11.0) / normal_quantile(0.95);
    let transfers = LEARNED.sd * wider;
    assert!(boxes > 1.0, "{boxes}");
    let together = (boxes * boxes + transfers * transfers).sqrt();
    assert!((both / together - 1.0).abs() < 0.03, "{both} and {together}");
}

#[test]
fn the_sums_at_likely_values_and_the_money_follow() {
    let mut set = Assumptions {
        currency: "EUR".to_owned(),
        ..Assumptions::default()
    };
    let price = Value {
        range: Range::exactly(10.0),
        source: "invented".to_owned(),
        date: String::new(),
    };
    set.values.insert("money.machine".to_owned(), price);
    let made = likely(&collection(10, 10, Some(LEARNED)), &set).unwrap();
    assert!((made.sum("content_hours") - 50.0).abs() < 1e-9);
    assert!((made.sum("cost.total") - 500.0).abs() < 1e-6);
    let piles: f64 = made.piles.iter().map(|pile| pile.machine_hours).sum();
    assert!((piles - 50.0).abs() < 1e-9);
}

#[test]
fn what_is_no_number_is_refused() {
    for (hours, sd, n) in [(f64::NAN, 1.0, 3), (-1.0, 1.0, 3), (1.0, -1.0, 3), (1.0, 1.0, 0)] {
        let collection = collection(10, 10, Some(LearnedHours { hours, sd, n }));
        assert!(simulate(&collection, &Assumptions::default(), &settings()).is_err());
    }
}
