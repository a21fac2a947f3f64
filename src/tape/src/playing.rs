//! How much is on it: content, transfer and channel hours, each as least, likely and most, with the reasons.

use crate::amounts::{Class, Layout, Reel, Shell, Speed, classes, layouts, reels, shells, speeds};
use crate::answer::{Answer, Answers};
use crate::geometry::{METRES_PER_FOOT, part_of_full};
use crate::rule::is_told;

/// Three values in one unit: the least, the likely and the most that is reasonable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// The least.
    pub low: f64,
    /// The likely value.
    pub likely: f64,
    /// The most.
    pub high: f64,
}

impl Amount {
    /// One value, known.
    pub const fn exactly(value: f64) -> Amount {
        Amount {
            low: value,
            likely: value,
            high: value,
        }
    }

    const fn of([low, likely, high]: [f64; 3]) -> Amount {
        Amount { low, likely, high }
    }

    /// Product, end with end: both at their least, both at their most.
    pub(crate) fn times(self, other: Amount) -> Amount {
        Amount {
            low: self.low * other.low,
            likely: self.likely * other.likely,
            high: self.high * other.high,
        }
    }
}

/// How much is on one item, counted as recorded from end to end. `content` is what a listener sits through, `transfer`
/// the hours a machine runs, `channel_hours` content times channels at once, which drives storage.
#[derive(Clone, Debug, PartialEq)]
pub struct Playing {
    /// Hours a listener sits through.
    pub content: Amount,
    /// Hours a machine runs.
    pub transfer: Amount,
    /// Content hours times channels at once.
    pub channel_hours: Amount,
    /// Hours of one pass: what follows from length and speed alone.
    pub pass_hours: Amount,
    /// Hours of one pass at the likely speed: what the item has for itself, its length.
    pub own_hours: Amount,
    /// The factor by which the speed changes them, 1 the likely: end with end, their product is `pass_hours`.
    pub slower: Amount,
    /// Passes to hear all of it.
    pub passes: Amount,
    /// Tracks in all: passes times channels at once.
    pub tracks: Amount,
    /// The unknowns that other items of the same recordist, machine or batch share: `speed`, `tracks`. What the item
    /// has for itself (its length) is not among them.
    pub shared: Vec<&'static str>,
    /// Why the values are not closer together, and what was assumed.
    pub reasons: Vec<String>,
}

/// How much is on an item with these answers; nothing where the carrier is not known or has no usual length.
pub fn playing(item: &Answers) -> Option<Playing> {
    let carrier = told(item, "carrier")?;
    if matches!(carrier, "reel_quarter" | "reel_half" | "reel_wide") {
        return Some(of_reel(item, carrier));
    }
    of_shell(item, carrier)
}

/// The one known answer to a question.
fn told<'a>(item: &'a Answers, key: &str) -> Option<&'a str> {
    match item.get(key) {
        Some(Answer::One(k)) if is_told(key, item) => Some(k),
        _ => None,
    }
}

/// The parts that the three kinds of hours are made of.
struct Parts {
    own_hours: Amount,
    slower: Amount,
    passes: Amount,
    tracks: Amount,
    shared: Vec<&'static str>,
    reasons: Vec<String>,
}

impl Parts {
    fn playing(mut self) -> Playing {
        self.reasons
            .push("Counted as recorded from end to end.".to_owned());
        // One pass may do for a machine with a head for all tracks; the rest is turned round afterwards.
        let runs = Amount {
            low: 1.0,
            ..self.passes
        };
        let pass_hours = self.own_hours.times(self.slower);
        Playing {
            content: pass_hours.times(self.passes),
            transfer: pass_hours.times(runs),
            channel_hours: pass_hours.times(self.tracks),
            pass_hours,
            own_hours: self.own_hours,
            slower: self.slower,
            passes: self.passes,
            tracks: self.tracks,
            shared: self.shared,
            reasons: self.reasons,
        }
    }
}

fn of_reel(item: &Answers, carrier: &str) -> Playing {
    let mut reasons = Vec::new();
    let mut shared = Vec::new();
    let length = reel_length(item, carrier, &mut reasons);
    let speed = reel_speed(item, carrier, &mut reasons, &mut shared);
    let (passes, tracks) = reel_tracks(item, carrier, &mut reasons, &mut shared);
    // The shortest time goes with the least tape at the fastest speed.
    let [fast, likely, slow] = speed;
    Parts {
        own_hours: length.times(Amount::exactly(100.0 / likely / 3600.0)),
        slower: Amount::of([likely / fast, 1.0, likely / slow]),
        passes,
        tracks,
        shared,
        reasons,
    }
    .playing()
}

/// The reels that it may be: the one named, or the usual ones of its width.
fn possible_reels(item: &Answers, carrier: &str, reasons: &mut Vec<String>) -> [&'static Reel; 3] {
    let by = |size: &str| reels().iter().find(|r| r.size == size);
    let fallback = &reels()[0];
    if let Some(reel) = told(item, "size").and_then(by) {
        return [reel; 3];
    }
    reasons.push("The size of the reel is not known.".to_owned());
    let sizes = if carrier == "reel_quarter" {
        ["r5", "r7", "r10_5"]
    } else {
        ["r7", "r10_5", "r10_5"]
    };
    sizes.map(|size| by(size).unwrap_or(fallback))
}

/// Metres on the reel.
fn reel_length(item: &Answers, carrier: &str, reasons: &mut Vec<String>) -> Amount {
    let on = possible_reels(item, carrier, reasons);
    let class = told(item, "length_class");
    if class.is_none() {
        reasons.push(
            "The play class is not known: thinner tape is longer, and a full reel looks the same.".to_owned(),
        );
    }
    let metres = |at: usize| {
        let reel = on[at];
        nominal_metres(reel, class.unwrap_or(reel.class[at]))
    };
    let full = Amount::of([metres(0), metres(1), metres(2)]);
    let measured = match item.get("pack_diameter") {
        Some(Answer::Number(mm)) if is_told("pack_diameter", item) && told(item, "size").is_some() => {
            part_of_full(*mm, on[1].full_mm, on[1].hub_mm)
        }
        _ => None,
    };
    let part = match measured {
        Some(part) => {
            reasons.push("The pack was measured; hub and wind leave about 5% open.".to_owned());
            Amount {
                low: part * 0.95,
                likely: part,
                high: part * 1.05,
            }
        }
        None => {
            reasons.push(
                "How full the reel is was not measured: from half to a little over its nominal length."
                    .to_owned(),
            );
            Amount {
                low: 0.5,
                likely: 1.0,
                high: 1.05,
            }
        }
    };
    full.times(part)
}

/// Nominal metres of a class on a reel; by thickness where no box names a length.
fn nominal_metres(reel: &Reel, class: &str) -> f64 {
    let at = classes().iter().position(|c| c.key == class).unwrap_or(0);
    let printed = reel.feet[at] * METRES_PER_FOOT;
    if printed > 0.0 {
        return printed;
    }
    let class: &Class = &classes()[at];
    crate::geometry::length_m(reel.full_mm, reel.hub_mm, class.microns[1]).unwrap_or(0.0)
}

/// Centimetres per second: fastest, likely, slowest.
fn reel_speed(
    item: &Answers,
    carrier: &str,
    reasons: &mut Vec<String>,
    shared: &mut Vec<&'static str>,
) -> [f64; 3] {
    let by = |key: &str| {
        speeds()
            .iter()
            .find(|s| s.key == key)
            .map_or(19.05, Speed::centimetres)
    };
    if let Some(key) = told(item, "speed") {
        return [by(key); 3];
    }
    shared.push("speed");
    reasons.push("The speed is not known: half the speed is twice the hours.".to_owned());
    let on = possible_reels(item, carrier, &mut Vec::new());
    let usual = if carrier == "reel_quarter" {
        on.map(|r| r.speeds)
    } else {
        [["s30", "s15", "s7_5"]; 3]
    };
    [by(usual[0][0]), by(usual[1][1]), by(usual[2][2])]
}

/// Passes, and tracks in all.
fn reel_tracks(
    item: &Answers,
    carrier: &str,
    reasons: &mut Vec<String>,
    shared: &mut Vec<&'static str>,
) -> (Amount, Amount) {
    if let Some(layout) = told(item, "tracks").and_then(layout) {
        return (
            Amount::exactly(layout.passes),
            Amount::exactly(layout.passes * layout.channels),
        );
    }
    shared.push("tracks");
    if carrier != "reel_quarter" {
        reasons.push("The number of channels is not known; wide tape is mostly recorded one way.".to_owned());
        let tracks = if carrier == "reel_half" {
            [2.0, 4.0, 8.0]
        } else {
            [4.0, 16.0, 24.0]
        };
        return (Amount::exactly(1.0), Amount::of(tracks));
    }
    let on = possible_reels(item, carrier, &mut Vec::new());
    let passes = Amount {
        low: on[0].passes[0],
        likely: on[1].passes[1],
        high: on[2].passes[2].max(on[0].passes[2]),
    };
    reasons.push(format!(
        "The tracks are not known and cannot be seen: a factor of {} between fewest and most passes.",
        passes.high / passes.low
    ));
    // Tracks in all: one at least; one each pass, or two at once, as likely; four at most on quarter-inch tape.
    (
        passes,
        Amount {
            low: 1.0,
            likely: 2.0,
            high: 4.0,
        },
    )
}

fn layout(key: &str) -> Option<&'static Layout> {
    layouts().iter().find(|l| l.key == key)
}

fn of_shell(item: &Answers, carrier: &str) -> Option<Playing> {
    let mut reasons = Vec::new();
    let mut shared = Vec::new();
    let size = told(item, "size");
    let of = |size: &str| shells().iter().find(|s| s.carrier == carrier && s.size == size);
    let shell: &Shell = match size.and_then(of) {
        Some(shell) => shell,
        None => {
            let shell = of("")?;
            reasons.push("The length is not written: the usual ones of its kind.".to_owned());
            shell
        }
    };
    let mut minutes = Amount::of(shell.minutes);
    match (carrier, told(item, "speed")) {
        ("microcassette", Some("s15_32")) => minutes = Amount::exactly(shell.minutes[1] * 2.0),
        ("microcassette", Some("s15_16")) => minutes = Amount::exactly(shell.minutes[1]),
        ("microcassette", _) => {
            shared.push("speed");
            reasons.push("The speed is not known: the slow one doubles the time.".to_owned());
        }
        ("dat", _) if minutes.high > minutes.likely => {
            shared.push("speed");
            reasons.push("Long-play mode would double the time.".to_owned());
        }
        _ => {}
    }
    let layout = told(item, "tracks").and_then(layout);
    let passes = Amount::exactly(layout.map_or(shell.passes, |l| l.passes));
    let channels = layout.map_or(Amount::of(shell.channels), |l| Amount::exactly(l.channels));
    if channels.low < channels.high {
        shared.push("tracks");
        reasons.push("Mono or stereo is not known: it changes the storage, not the hours.".to_owned());
    }
    let hours = minutes.times(Amount::exactly(1.0 / 60.0));
    // Where the speed is not known, the range of a shell's minutes is the speed's.
    let (own_hours, slower) = if shared.contains(&"speed") && hours.likely > 0.0 {
        (
            Amount::exactly(hours.likely),
            hours.times(Amount::exactly(1.0 / hours.likely)),
        )
    } else {
        (hours, Amount::exactly(1.0))
    };
    Some(
        Parts {
            own_hours,
            slower,
            passes,
            tracks: passes.times(channels),
            shared,
            reasons,
        }
        .playing(),
    )
}
