//! The draw record, `draw.json`: all it takes to draw again with a few lines of any language.

use std::collections::BTreeMap;

use serde::Serialize;
use survey::State;
use survey::entry::{SeedSource, Walk};
use survey::frame::{Draw, DrawStratum, PURPOSE_BOXES, PURPOSE_ITEMS};
use survey::state::Roll;

/// What `draw.json` holds. Written from a state, never read back: a reader makes it anew and compares.
#[derive(Debug, Serialize)]
struct Record {
    rules: Rules,
    frame: Option<FrameRecord>,
    rolls: Vec<RollRecord>,
    draw: Option<DrawRecord>,
}

/// How ranks, digest and rounds are made, in words beside the names hashed.
#[derive(Debug, Serialize)]
struct Rules {
    rank: &'static str,
    rank_rule: &'static str,
    purpose_boxes: &'static str,
    purpose_items: &'static str,
    item_id: &'static str,
    frame_digest: &'static str,
    rounds: &'static str,
    late: &'static str,
}

const RULES: Rules = Rules {
    rank: "SHA-256 of rank_rule, seed, purpose, stratum and id in UTF-8 with a line feed between them; the lowest ranks are drawn first",
    rank_rule: sampling::rank::RANK_RULE,
    purpose_boxes: PURPOSE_BOXES,
    purpose_items: PURPOSE_ITEMS,
    item_id: "the box's serial, a slash, the item's position from 1; the items_per_box lowest ranks of a box are drawn",
    frame_digest: "SHA-256 of 'quarterlight-frame-1' and, for each box in order of serial (tag, then number), stratum, tab and serial; each line ended by a line feed",
    rounds: "two boxes of every stratum, in the order of their numbers (one, of a stratum of one); then always the stratum with the greatest (boxes drawn + 1) * its boxes / all boxes - its boxes drawn, ties to the name that sorts first as text; a round ends when it has round_size boxes or more",
    late: "boxes found after the draw are a stratum of their own, ranked the same way; an eighth of them, but at least two, are to be checked",
};

#[derive(Debug, Serialize)]
struct FrameRecord {
    entry: String,
    n_boxes: usize,
    digest: String,
}

#[derive(Debug, Serialize)]
struct RollRecord {
    entry: String,
    seed: String,
    source: &'static str,
    /// The device's clock when it was rolled, milliseconds since 1970 UTC.
    at_ms: u64,
    undone: bool,
    in_force: bool,
}

#[derive(Debug, Serialize)]
struct DrawRecord {
    roll: String,
    seed: String,
    round_size: u32,
    items_per_box: Option<u32>,
    rounds_begun: BTreeMap<u32, &'static str>,
    /// Every box of the frame, by round and then in the order drawn.
    boxes: Vec<BoxRecord>,
    /// Boxes found after the draw, by rank.
    late: Vec<BoxRecord>,
    n_late_wanted: usize,
    /// For each counted box, what was drawn of it.
    items: Vec<ItemsRecord>,
}

#[derive(Debug, Serialize)]
struct BoxRecord {
    stratum: String,
    serial: String,
    rank: String,
    /// From 1; 0 for boxes found after the draw.
    round: usize,
}

#[derive(Debug, Serialize)]
struct ItemsRecord {
    stratum: String,
    serial: String,
    n_items: u32,
    drawn: Vec<u32>,
}

/// The bytes of `draw.json`.
pub(crate) fn draw_json(state: &State) -> Vec<u8> {
    let record = Record {
        rules: RULES,
        frame: state.frame.as_ref().map(|frame| FrameRecord {
            entry: frame.entry.to_string(),
            n_boxes: frame.boxes.len(),
            digest: frame.digest.clone(),
        }),
        rolls: state.rolls.iter().map(|roll| roll_record(state, roll)).collect(),
        draw: state.draw.as_ref().map(|draw| draw_record(state, draw)),
    };
    crate::json(&record)
}

fn roll_record(state: &State, roll: &Roll) -> RollRecord {
    RollRecord {
        entry: roll.entry.to_string(),
        seed: roll.seed.clone(),
        source: source(roll.source),
        at_ms: roll.at_ms,
        undone: state.is_undone(roll.entry),
        in_force: roll.in_force,
    }
}

/// The word for where a seed came from.
pub(crate) fn source(source: SeedSource) -> &'static str {
    match source {
        SeedSource::Dice => "dice",
        SeedSource::Witness => "witness",
        SeedSource::Device => "device",
    }
}

fn draw_record(state: &State, draw: &Draw) -> DrawRecord {
    let record = |stratum: DrawStratum, serial: survey::Serial, round| {
        let (stratum, serial) = (stratum.to_string(), serial.to_string());
        // Never refused: a draw exists only with a seed that was accepted, and neither name has control characters.
        let rank = sampling::rank::rank(&draw.seed, PURPOSE_BOXES, &stratum, &serial)
            .map(|rank| rank.to_string())
            .unwrap_or_default();
        BoxRecord {
            stratum,
            serial,
            rank,
            round,
        }
    };
    let rounds = draw.rounds.iter().zip(1..);
    let boxes = rounds.flat_map(|(round, number)| {
        round
            .iter()
            .map(move |drawn| record(drawn.stratum, drawn.serial, number))
    });
    let late = draw
        .late
        .iter()
        .map(|serial| record(DrawStratum::Late, *serial, 0));
    let walk = |walk: Walk| match walk {
        Walk::Shelf => "shelf",
        Walk::Draw => "draw",
    };
    DrawRecord {
        roll: draw.roll.to_string(),
        seed: draw.seed.clone(),
        round_size: draw.round_size,
        items_per_box: draw.items_per_box,
        rounds_begun: state
            .rounds
            .iter()
            .map(|(number, how)| (*number, walk(*how)))
            .collect(),
        boxes: boxes.collect(),
        late: late.collect(),
        n_late_wanted: draw.n_late_wanted(),
        items: items(state, draw),
    }
}

fn items(state: &State, draw: &Draw) -> Vec<ItemsRecord> {
    let counted = state.boxes.keys().filter_map(|serial| {
        let n_items = state.n_items(*serial)?;
        Some(ItemsRecord {
            stratum: draw.stratum_of(*serial)?.to_string(),
            serial: serial.to_string(),
            n_items,
            drawn: draw.positions(*serial, n_items),
        })
    });
    counted.collect()
}
