//! What is really in every box, made box by box from the seed: any box can be made without the others.

use std::collections::{BTreeMap, BTreeSet};

use super::dice::Dice;
use super::scenario::{self, Bunched, Kind, PLACES, Place};

/// An invented collection: all of it follows from these two numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Collection {
    pub(super) seed: u64,
    pub(super) n_boxes: u64,
}

/// What would happen to whoever comes to a box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fate {
    /// It can be opened.
    Opens,
    /// It stands on the list under another number too: this entry holds nothing.
    ListedTwice,
    /// Lent or lost.
    Missing,
    /// Locked away.
    Locked,
    /// Papers and props, as can be seen from outside.
    OutOfScope,
}

/// A box as it is.
#[derive(Debug, Clone)]
pub(super) struct TrueBox {
    /// From 1, in the order of the list.
    pub(super) row: u64,
    /// Index into [`PLACES`].
    pub(super) place: usize,
    pub(super) label: String,
    /// How full it looks from outside, in quarters.
    pub(super) quarters: u8,
    /// What an earlier list says is in it.
    pub(super) listed_items: Option<u32>,
    pub(super) fate: Fate,
    pub(super) mould: bool,
    pub(super) vermin: bool,
    pub(super) old_vermin: bool,
    /// Videos and films in it: counted, never checked.
    pub(super) n_video: u32,
    /// Its sound carriers, in the order they lie.
    pub(super) items: Vec<Item>,
}

/// A sound carrier as it is. Words are the keys of the question list.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub(super) carrier: Kind,
    pub(super) size: Option<&'static str>,
    pub(super) decade: u16,
    /// `acetate`, `polyester` or `pvc`; nothing for wire.
    pub(super) base: Option<&'static str>,
    pub(super) back_coat: bool,
    pub(super) length_class: Option<&'static str>,
    pub(super) speed: Option<&'static str>,
    pub(super) tracks: Option<&'static str>,
    /// What is recorded on it, in seconds: all sides and programmes.
    pub(super) seconds: u64,
    pub(super) acid: bool,
    pub(super) sticky: bool,
    pub(super) growth: bool,
    pub(super) tide_line: bool,
    pub(super) pack_fault: Option<&'static str>,
    pub(super) deformed: Option<&'static str>,
    pub(super) damage: Option<&'static str>,
    pub(super) splices: Option<&'static str>,
    pub(super) end_hangs_free: bool,
    /// Light cannot be tried: metal or closed flanges.
    pub(super) opaque: bool,
    pub(super) squeal_known: Option<bool>,
    pub(super) written: BTreeSet<&'static str>,
}

impl Collection {
    /// The index of the place a box (row from 1) stands in, and its number there, from 1.
    fn place_of(&self, row: u64) -> (usize, u64) {
        let mut before = 0;
        for (place, count) in scenario::apportion(self.n_boxes).into_iter().enumerate() {
            if row <= before + count {
                return (place, row - before);
            }
            before += count;
        }
        (PLACES.len() - 1, row - before)
    }

    /// The one huge box stands in the first place.
    fn huge_row(&self) -> Option<u64> {
        let [first, ..] = scenario::apportion(self.n_boxes);
        (self.n_boxes >= scenario::HUGE_FROM).then(|| Dice::of(self.seed, "huge", [0, 0]).between(1, first))
    }

    /// Makes the box in row `row`, from 1.
    pub(super) fn make(&self, row: u64) -> TrueBox {
        let (at, number) = self.place_of(row);
        let place = &PLACES[at];
        let mut dice = Dice::of(self.seed, "box", [row, 0]);
        let container = dice.pick(place.containers, "box");
        let capacity = dice.pick(place.capacity, 20);
        let fill = dice.between(120, 1050);
        let fate = fate(&mut dice, place);
        let huge = self.huge_row() == Some(row);
        let empty = dice.per_mille(scenario::EMPTY) && !huge;
        let fate = if huge { Fate::Opens } else { fate };
        let n = match fate {
            Fate::ListedTwice | Fate::OutOfScope => 0,
            _ if huge => scenario::HUGE_ITEMS,
            _ if empty => 0,
            _ => u32::try_from((capacity * fill).div_ceil(1000))
                .unwrap_or(0)
                .max(3),
        };
        let n_video = if n > 0 && dice.per_mille(40) {
            u32::try_from(dice.between(1, 4)).unwrap_or(0)
        } else {
            0
        };
        let nature = Nature::of(&mut dice, place);
        let mut made = TrueBox {
            row,
            place: at,
            label: label(&mut dice, container, number, nature.decade),
            quarters: quarters(
                &mut dice,
                if n == 0 && fate != Fate::OutOfScope {
                    0
                } else {
                    fill.min(1000)
                },
            ),
            listed_items: listed(&mut dice, n + n_video),
            fate,
            mould: n > 0 && !huge && dice.per_mille(place.mould),
            vermin: n > 0 && !huge && dice.per_mille(place.vermin),
            old_vermin: dice.per_mille(place.vermin * 2),
            n_video,
            items: Vec::new(),
        };
        for position in 1..=n {
            let mut dice = Dice::of(self.seed, "item", [row, u64::from(position)]);
            made.items.push(nature.item(&mut dice, place));
        }
        made
    }

    /// Every box, one at a time.
    pub(super) fn boxes(&self) -> impl Iterator<Item = TrueBox> {
        (1..=self.n_boxes).map(|row| self.make(row))
    }
}

impl TrueBox {
    /// How many carriers of each kind are in it, videos too.
    pub(super) fn counts(&self) -> BTreeMap<String, u32> {
        let mut counts = BTreeMap::new();
        for item in &self.items {
            *counts.entry(item.carrier.to_owned()).or_insert(0) += 1;
        }
        if self.n_video > 0 {
            counts.insert("video_other".to_owned(), self.n_video);
        }
        counts
    }
}

impl Item {
    /// Its true conditions, by the names of the statistics' columns where these mean the same.
    pub(super) fn conditions(&self, of: &TrueBox) -> [(&'static str, bool); 14] {
        [
            ("base_acetate", self.base == Some("acetate")),
            ("base_polyester", self.base == Some("polyester")),
            ("base_pvc", self.base == Some("pvc")),
            ("base_paper", self.base == Some("paper")),
            ("back_coat", self.back_coat),
            ("acid_decay", self.acid),
            ("mould", of.mould || self.growth),
            ("vermin", of.vermin),
            ("old_water", self.tide_line),
            ("sticky_binder", self.sticky),
            ("pack_fault", self.pack_fault.is_some()),
            ("deformed", self.deformed.is_some()),
            ("damage", self.damage.is_some()),
            (
                "splices_many",
                matches!(self.splices, Some("splices_many" | "splices_failing")),
            ),
        ]
    }
}

fn fate(dice: &mut Dice, place: &Place) -> Fate {
    let fates = [
        (Fate::ListedTwice, scenario::LISTED_TWICE),
        (Fate::Missing, scenario::MISSING),
        (Fate::OutOfScope, scenario::OUT_OF_SCOPE),
        (Fate::Locked, place.locked),
        (
            Fate::Opens,
            1000 - place.locked - scenario::LISTED_TWICE - scenario::MISSING - scenario::OUT_OF_SCOPE,
        ),
    ];
    dice.pick(&fates, Fate::Opens)
}

/// What somebody wrote on a box: no two boxes of a place say the same. Some look like formulas to a spreadsheet.
fn label(dice: &mut Dice, container: &str, number: u64, decade: u16) -> String {
    let words = [
        "club nights",
        "valley news",
        "plays",
        "brass band",
        "school talks",
        "weir song",
        "harvest",
        "mixed",
    ];
    let word = words[usize::try_from(dice.below(8)).unwrap_or(0)];
    let year = u64::from(decade) + dice.below(10);
    match dice.below(20) {
        0..=3 => String::new(),
        4..=8 => format!("{container} {number}: {word}"),
        9..=10 => format!("{number} {word}, \"{year}\""),
        11 => format!("={number}+{word}"),
        12 => format!("-{number} dB {word}"),
        _ => format!("{container} {number}, {word} {year}"),
    }
}

fn quarters(dice: &mut Dice, fill: u64) -> u8 {
    let seen = fill.div_ceil(250).clamp(1, 4);
    let judged = if dice.per_mille(scenario::FULLNESS_OFF) {
        if dice.per_mille(500) {
            seen + 1
        } else {
            seen.saturating_sub(1)
        }
    } else {
        seen
    };
    u8::try_from(judged.clamp(1, 4)).unwrap_or(4)
}

fn listed(dice: &mut Dice, n: u32) -> Option<u32> {
    let is_listed = dice.per_mille(scenario::LISTED_COUNT);
    let wrong = dice.per_mille(scenario::LISTED_WRONG);
    let off = u32::try_from(dice.between(1, 4)).unwrap_or(1);
    let up = dice.per_mille(500);
    is_listed.then(|| match (wrong, up) {
        (false, _) => n,
        (true, true) => n + off,
        (true, false) => n.saturating_sub(off),
    })
}

/// What the items of one box share.
struct Nature {
    main: Kind,
    decade: u16,
    pvc: bool,
    acid: u64,
    sticky: u64,
    pack_fault: u64,
    deformed: u64,
    damage: u64,
    edited: u64,
    written: u64,
    tide_line: u64,
}

impl Nature {
    fn of(dice: &mut Dice, place: &Place) -> Self {
        let mut level = |of: &Bunched| {
            if dice.per_mille(of.boxes) {
                of.inside
            } else {
                of.outside
            }
        };
        let [sticky, pack_fault, deformed, damage, edited, written] = [
            &scenario::STICKY,
            &scenario::PACK_FAULT,
            &scenario::DEFORMED,
            &scenario::DAMAGE,
            &scenario::EDITED,
            &scenario::WRITTEN,
        ]
        .map(&mut level);
        Self {
            main: dice.pick(place.main, "reel_quarter"),
            decade: dice.pick(place.decade, 1960),
            pvc: dice.per_mille(scenario::PVC_BOXES),
            acid: if dice.per_mille(place.acid_boxes) {
                scenario::ACID_INSIDE
            } else {
                scenario::ACID_OUTSIDE
            },
            sticky,
            pack_fault,
            deformed,
            damage,
            edited,
            written,
            tide_line: if dice.per_mille(125) { place.tide_line } else { 0 },
        }
    }

    fn item(&self, dice: &mut Dice, place: &Place) -> Item {
        let stray = dice.per_mille(scenario::STRAYS) && self.main != "wire";
        let mut carrier = if stray {
            dice.pick(place.main, self.main)
        } else {
            self.main
        };
        if carrier == "wire" && self.main != "wire" {
            carrier = self.main;
        }
        let is_reel = matches!(carrier, "reel_quarter" | "reel_half");
        let shifted = match dice.below(10) {
            0 => self.decade.saturating_sub(10),
            1 => self.decade + 10,
            _ => self.decade,
        };
        let decade = era(carrier, shifted);
        let base = match carrier {
            "wire" => None,
            _ if !is_reel => Some("polyester"),
            _ if self.pvc && decade <= 1970 && dice.per_mille(850) => Some("pvc"),
            _ => Some(film(dice, decade)),
        };
        let back_coat = is_reel && base == Some("polyester") && decade >= 1970 && dice.per_mille(650);
        let size = size(dice, carrier);
        let length_class = (carrier == "reel_quarter").then(|| play_class(dice, base, decade));
        let speed = speed(dice, carrier, decade);
        let tracks = tracks(dice, carrier, decade);
        let damage = dice.per_mille(self.damage).then(|| damage(dice, carrier, base));
        let edited = is_reel && dice.per_mille(self.edited);
        Item {
            carrier,
            size,
            decade,
            base,
            back_coat,
            length_class,
            speed,
            tracks,
            seconds: seconds(dice, carrier, size, length_class, speed, tracks),
            acid: base == Some("acetate") && dice.per_mille(self.acid),
            sticky: back_coat && decade <= 1980 && dice.per_mille(self.sticky),
            growth: dice.per_mille(if place.mould >= 80 { 4 } else { 1 }),
            tide_line: dice.per_mille(self.tide_line),
            pack_fault: (is_reel && dice.per_mille(self.pack_fault))
                .then(|| dice.pick(&PACK_FAULTS, "steps")),
            deformed: (is_reel && dice.per_mille(deformable(self.deformed, base)))
                .then(|| deformation(dice, base)),
            damage: damage.flatten(),
            splices: edited.then(|| dice.pick(&SPLICES, "splices_some")),
            end_hangs_free: is_reel && dice.per_mille(380),
            opaque: is_reel && (carrier == "reel_half" || dice.per_mille(45)),
            squeal_known: (carrier != "wire" && carrier != "dat" && dice.per_mille(60))
                .then(|| dice.per_mille(300)),
            written: written(dice, carrier, self.written),
        }
    }
}

const PACK_FAULTS: [(&str, u64); 7] = [
    ("steps", 40),
    ("popped", 22),
    ("loose", 15),
    ("spoking", 8),
    ("windowing", 6),
    ("cinching", 5),
    ("flange_pack", 4),
];

const SPLICES: [(&str, u64); 3] = [
    ("splices_some", 50),
    ("splices_many", 32),
    ("splices_failing", 18),
];

/// The decades a kind of carrier existed in.
fn era(carrier: Kind, decade: u16) -> u16 {
    match carrier {
        "wire" => decade.clamp(1940, 1950),
        "cassette" | "cartridge_broadcast" | "cartridge_8track" => decade.clamp(1960, 1990),
        "microcassette" => decade.clamp(1970, 1990),
        "dat" => 1990,
        _ => decade.clamp(1940, 1990),
    }
}

/// The film of a reel, by decade: invented shares that follow the years each film was in use.
fn film(dice: &mut Dice, decade: u16) -> &'static str {
    let shares: &[(&str, u64)] = match decade {
        ..1950 => &[("acetate", 1000)],
        1950 => &[("acetate", 880), ("polyester", 120)],
        1960 => &[("acetate", 520), ("polyester", 480)],
        1970 => &[("acetate", 40), ("polyester", 960)],
        _ => &[("polyester", 1000)],
    };
    dice.pick(shares, "polyester")
}

fn size(dice: &mut Dice, carrier: Kind) -> Option<&'static str> {
    Some(match carrier {
        "reel_quarter" => {
            let sizes = [
                ("r7", 560),
                ("r5", 270),
                ("r10_5", 80),
                ("r3", 45),
                ("r5_75", 25),
                ("r8_25", 12),
                ("r4", 8),
            ];
            dice.pick(&sizes, "r7")
        }
        "reel_half" => dice.pick(&[("r10_5", 700), ("r7", 300)], "r10_5"),
        "cassette" => dice.pick(
            &[("c60", 480), ("c90", 390), ("c120", 60), ("c46", 40), ("c30", 30)],
            "c60",
        ),
        "microcassette" => dice.pick(&[("mc60", 800), ("mc30", 150), ("mc90", 50)], "mc60"),
        "dat" => dice.pick(&[("d60", 300), ("d90", 250), ("d120", 450)], "d120"),
        _ => return None,
    })
}

fn play_class(dice: &mut Dice, base: Option<&str>, decade: u16) -> &'static str {
    if base == Some("acetate") || decade < 1960 {
        dice.pick(&[("standard", 700), ("long", 300)], "standard")
    } else {
        dice.pick(
            &[("standard", 300), ("long", 480), ("double", 190), ("triple", 30)],
            "long",
        )
    }
}

fn speed(dice: &mut Dice, carrier: Kind, decade: u16) -> Option<&'static str> {
    match carrier {
        "reel_quarter" if decade < 1960 => {
            Some(dice.pick(&[("s7_5", 650), ("s15", 120), ("s3_75", 230)], "s7_5"))
        }
        "reel_quarter" => Some(dice.pick(
            &[("s7_5", 450), ("s3_75", 400), ("s1_875", 90), ("s15", 60)],
            "s7_5",
        )),
        "reel_half" => Some(dice.pick(&[("s15", 800), ("s7_5", 200)], "s15")),
        "microcassette" => Some(dice.pick(&[("s15_16", 850), ("s15_32", 150)], "s15_16")),
        "cartridge_broadcast" => Some("s7_5"),
        _ => None,
    }
}

fn tracks(dice: &mut Dice, carrier: Kind, decade: u16) -> Option<&'static str> {
    match carrier {
        "reel_quarter" if decade < 1960 => Some(dice.pick(&[("full", 450), ("half_mono", 550)], "full")),
        "reel_quarter" => {
            let kinds = [
                ("half_mono", 420),
                ("two_stereo", 230),
                ("quarter_stereo", 200),
                ("quarter_mono", 110),
                ("full", 40),
            ];
            Some(dice.pick(&kinds, "half_mono"))
        }
        "reel_half" => Some("four_one_way"),
        "cassette" => Some(dice.pick(
            &[("cassette_mono", 450), ("cassette_stereo", 550)],
            "cassette_stereo",
        )),
        "microcassette" => Some("cassette_mono"),
        _ => None,
    }
}

/// What is recorded: length over speed, times the passes, times how much of it was used; in whole seconds.
fn seconds(
    dice: &mut Dice,
    carrier: Kind,
    size: Option<&str>,
    class: Option<&str>,
    speed: Option<&str>,
    tracks: Option<&str>,
) -> u64 {
    let used = if dice.per_mille(300) {
        dice.between(250, 990)
    } else {
        1000
    };
    // Feet of a full standard-play reel, the nominal lengths of the trade.
    let standard_feet = match size {
        Some("r3") => 150,
        Some("r4") => 300,
        Some("r5") => 600,
        Some("r5_75") => 850,
        Some("r7") => 1200,
        Some("r8_25") => 1650,
        _ => 2500,
    };
    let tenths = match class {
        Some("long") => 15,
        Some("double") => 20,
        Some("triple") => 30,
        _ => 10,
    };
    // Inches a second, in 32nds.
    let speed_32nds = match speed {
        Some("s15") => 480,
        Some("s3_75") => 120,
        Some("s1_875") => 60,
        _ => 240,
    };
    let one_pass = match (carrier, size) {
        ("reel_quarter" | "reel_half", _) => standard_feet * tenths * 12 * 32 / (10 * speed_32nds),
        ("cassette", Some("c30")) => 15 * 60,
        ("cassette", Some("c46")) => 23 * 60,
        ("cassette", Some("c90")) => 45 * 60,
        ("cassette", Some("c120")) => 60 * 60,
        ("microcassette", Some("mc30")) => 15 * 60 * slow(speed),
        ("microcassette", Some("mc90")) => 45 * 60 * slow(speed),
        ("microcassette", _) => 30 * 60 * slow(speed),
        ("dat", Some("d60")) => 60 * 60,
        ("dat", Some("d90")) => 90 * 60,
        ("dat", _) => 120 * 60,
        ("wire", _) => 60 * 60,
        ("cartridge_8track", _) => 80 * 60,
        ("cartridge_broadcast", _) => 3 * 60 + 30,
        _ => 30 * 60,
    };
    let passes = match tracks {
        Some("half_mono" | "quarter_stereo" | "cassette_mono" | "cassette_stereo") => 2,
        Some("quarter_mono") => 4,
        _ => 1,
    };
    one_pass * passes * used / 1000
}

/// A microcassette at half speed lasts twice as long.
fn slow(speed: Option<&str>) -> u64 {
    if speed == Some("s15_32") { 2 } else { 1 }
}

/// Acetate is what mostly goes out of shape.
fn deformable(rate: u64, base: Option<&str>) -> u64 {
    if base == Some("acetate") { rate } else { rate / 5 }
}

fn deformation(dice: &mut Dice, base: Option<&str>) -> &'static str {
    if base == Some("acetate") {
        dice.pick(
            &[
                ("cupped", 40),
                ("edge_ripple", 30),
                ("curl", 20),
                ("shrunken", 10),
            ],
            "cupped",
        )
    } else {
        dice.pick(
            &[("edge_ripple", 60), ("stretched", 30), ("curl", 10)],
            "edge_ripple",
        )
    }
}

fn damage(dice: &mut Dice, carrier: Kind, base: Option<&str>) -> Option<&'static str> {
    match carrier {
        "reel_quarter" | "reel_half" => {
            let snapped = if base == Some("acetate") {
                "snapped_square"
            } else {
                "snapped_stretched"
            };
            Some(dice.pick(
                &[
                    ("edge", 40),
                    ("flange_bent", 25),
                    ("crease", 15),
                    (snapped, 14),
                    ("torn", 6),
                ],
                "edge",
            ))
        }
        "wire" => Some("corroded_wire"),
        "dat" => Some(dice.pick(&[("shell", 70), ("loop_out", 30)], "shell")),
        "cartridge_8track" | "cartridge_broadcast" => Some("pads"),
        _ => Some(dice.pick(&[("shell", 45), ("pads", 45), ("loop_out", 10)], "shell")),
    }
}

fn written(dice: &mut Dice, carrier: Kind, rate: u64) -> BTreeSet<&'static str> {
    let mut written = BTreeSet::new();
    let is_reel = matches!(carrier, "reel_quarter" | "reel_half");
    let says_speed = !matches!(carrier, "dat" | "cassette" | "cartridge_8track" | "wire");
    let says_tracks = says_speed || carrier == "cassette";
    let mut on = |what: &'static str, possible: bool, share: u64| {
        if dice.per_mille(rate * share / 1000) && possible {
            written.insert(what);
        }
    };
    on("title", true, 960);
    on("date", true, 550);
    on("speed", says_speed, 420);
    on("tracks", says_tracks && carrier != "cartridge_broadcast", 330);
    on("length", is_reel && carrier == "reel_quarter", 300);
    on("base", is_reel, 120);
    on("stock", is_reel, 150);
    on("machine", true, 60);
    written
}
