//! Whether a stated 90% is 90%: simulated surveys of made-up collections whose true hours and costs are known.
//!
//! The truth of a collection is drawn as the outlook says it may be: each item's length from its range, each group's speed
//! and tracks from theirs, the prices from theirs. Then boxes are drawn, the outlook is made from them alone, and its
//! interval holds the truth or not. Seeds are fixed, so the counts are the same on every machine.
#![allow(
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    reason = "a test fails by panicking; its indices are small"
)]

use costing::{
    Assumptions, Class, Collection, Item, Playing, Range, SampledBox, Settings, Stratum, Value, simulate,
};
use sampling::random::Stream;

const SURVEYS: usize = 600;
const LEVEL: f64 = 0.9;

/// A made-up collection: what a surveyor sees, and what is true.
struct World {
    strata: Vec<Vec<Vec<(Item, f64)>>>,
    groups: usize,
}

struct Kind {
    strata: usize,
    boxes: u64,
    sampled: usize,
    /// Items read of a box at most.
    read: usize,
    groups: usize,
}

fn range(key: &str) -> Range {
    match key {
        "money.labour" => Range::of(25.0, 30.0, 45.0),
        "money.machine" => Range::of(2.0, 4.0, 10.0),
        "money.storage" => Range::of(0.01, 0.02, 0.05),
        _ => Range::of(0.0, 10.0, 25.0),
    }
}

const PRICES: [&str; 4] = [
    "money.labour",
    "money.machine",
    "money.storage",
    "money.contingency",
];

fn assumptions() -> Assumptions {
    let value = |key: &str| Value {
        range: range(key),
        source: "invented".to_owned(),
        date: String::new(),
    };
    Assumptions {
        currency: "EUR".to_owned(),
        values: PRICES.iter().map(|key| ((*key).to_owned(), value(key))).collect(),
        ..Assumptions::default()
    }
}

fn world(kind: &Kind, stream: &mut Stream) -> World {
    let shared: Vec<[f64; 2]> = (0..kind.groups).map(|_| [stream.unit(), stream.unit()]).collect();
    let strata = (0..kind.strata)
        .map(|s| {
            // Strata differ in what their boxes hold and in how long it is.
            let most = 6 + 9 * s as u64;
            (0..kind.boxes)
                .map(|_| {
                    let group = stream.below(kind.groups as u64) as usize;
                    let n = 1 + stream.below(most);
                    let long = 0.5 + stream.unit();
                    (0..n).map(|_| item(group, long, &shared, stream)).collect()
                })
                .collect()
        })
        .collect();
    World {
        strata,
        groups: kind.groups,
    }
}

/// An item, and its true hours.
fn item(group: usize, long: f64, shared: &[[f64; 2]], stream: &mut Stream) -> (Item, f64) {
    let by_hand = stream.unit() < 0.7;
    let unknown = by_hand && stream.unit() < 0.5;
    let passes = if unknown {
        Range::of(1.0, 2.0, 4.0)
    } else {
        Range::exactly(2.0)
    };
    let playing = Playing {
        pass_hours: Range::of(0.5, 1.0, 1.1).scaled(long),
        slower: if unknown {
            Range::of(0.5, 1.0, 2.0)
        } else {
            Range::exactly(1.0)
        },
        passes,
        // One channel a pass.
        tracks: passes,
        group,
    };
    let hours = playing.pass_hours.triangular(stream.unit())
        * playing.slower.three_point(shared[group][0])
        * playing.passes.three_point(shared[group][1]);
    let item = Item {
        class: 0,
        by_hand,
        playing: Some(playing),
    };
    (item, hours)
}

/// True hours, and true cost by drawn prices and times: the same arithmetic, written out again.
fn truth(world: &World, stream: &mut Stream) -> (f64, f64) {
    let set = assumptions();
    let mut draw = |key: &str| set.range(key).unwrap().triangular(stream.unit());
    let (labour, machine, storage) = (draw("money.labour"), draw("money.machine"), draw("money.storage"));
    let (contingency, metadata, checking) = (
        draw("money.contingency"),
        draw("time.metadata"),
        draw("part.checking"),
    );
    let setup = [draw("time.setup_cassette"), draw("time.setup_reel")];
    let attention = [draw("part.attention_cassette"), draw("part.attention_reel")];
    let (mut hours, mut staff, mut gigabytes) = (0.0, 0.0, 0.0);
    for (item, h) in world.strata.iter().flatten().flatten() {
        let hand = usize::from(item.by_hand);
        hours += h;
        staff += (setup[hand] + metadata) / 60.0 + h * (attention[hand] + checking);
        gigabytes += h * 96_000.0 * 3.0 * 3600.0 / 1e9 * 3.0 + h * 192_000.0 / 8.0 * 3600.0 / 1e9;
    }
    let cost = staff * labour + hours * machine + gigabytes * 10.0 * storage;
    (hours, cost * (1.0 + contingency / 100.0))
}

fn survey(world: &World, kind: &Kind, stream: &mut Stream) -> Collection {
    let mut pick = |n: usize, k: usize| {
        let mut all: Vec<usize> = (0..n).collect();
        (0..k.min(n))
            .map(|_| all.swap_remove(stream.below(all.len() as u64) as usize))
            .collect::<Vec<_>>()
    };
    let strata = world.strata.iter().enumerate().map(|(s, boxes)| {
        let sampled = pick(boxes.len(), kind.sampled)
            .into_iter()
            .map(|b| SampledBox {
                n_items: Some(boxes[b].len() as u64),
                judged: false,
                read: pick(boxes[b].len(), kind.read)
                    .into_iter()
                    .map(|i| boxes[b][i].0)
                    .collect(),
            })
            .collect();
        Stratum {
            key: format!("S{s}"),
            n_boxes: boxes.len() as u64,
            sampled,
        }
    });
    Collection {
        classes: vec![Class {
            key: "ordinary".to_owned(),
            clean: false,
            repair: false,
            specialist: false,
        }],
        strata: strata.collect(),
        groups: (0..world.groups).map(|g| format!("group {g}")).collect(),
        learned: None,
    }
}

/// The part of surveys whose interval holds the truth: hours, cost.
fn coverage(kind: &Kind) -> [f64; 2] {
    let mut held = [0.0; 2];
    for number in 0..SURVEYS {
        let mut stream = Stream::new(&number.to_string(), "worlds to be costed");
        let world = world(kind, &mut stream);
        let (hours, cost) = truth(&world, &mut stream);
        let settings = Settings {
            seed: number.to_string(),
            draws: 400,
            level: LEVEL,
        };
        let outlook = simulate(&survey(&world, kind, &mut stream), &assumptions(), &settings).unwrap();
        for ((held, id), truth) in held
            .iter_mut()
            .zip(["content_hours", "cost.total"])
            .zip([hours, cost])
        {
            let span = outlook.range(id).unwrap();
            *held += f64::from(u8::from(span.low <= truth && truth <= span.high));
        }
    }
    held.map(|held| held / SURVEYS as f64)
}

#[test]
fn ninety_per_cent_is_ninety_per_cent() {
    let kinds = [
        Kind {
            strata: 2,
            boxes: 200,
            sampled: 12,
            read: 8,
            groups: 12,
        },
        Kind {
            strata: 3,
            boxes: 100,
            sampled: 8,
            read: 100,
            groups: 25,
        },
        Kind {
            strata: 1,
            boxes: 60,
            sampled: 30,
            read: 5,
            groups: 40,
        },
    ];
    let found: Vec<[f64; 2]> = kinds.iter().map(coverage).collect();
    println!("{found:?}");
    for [hours, cost] in &found {
        assert!(
            (0.88..=0.92).contains(hours) && (0.88..=0.92).contains(cost),
            "{found:?}"
        );
    }
}
