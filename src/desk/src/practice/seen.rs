//! What a careful surveyor would answer: what can be seen of the truth, then the can't-tells and slips of the
//! scenario. Each question of each thing has its own stream of chance, so a new question changes no other answer.

use tape::{Answer, Answers};

use super::dice::Dice;
use super::scenario;
use super::truth::{Collection, Fate, Item, TrueBox};

/// The answer of every question that the person could not answer.
pub(super) const CANT_TELL: &str = "cant_tell";

/// What is there to be seen, and what a slip would make of it.
struct Look {
    right: Answer,
    slip: Answer,
}

fn one(key: &str) -> Answer {
    Answer::One(key.to_owned())
}

fn many(keys: &[&str]) -> Answer {
    Answer::Many(keys.iter().map(|key| (*key).to_owned()).collect())
}

/// Either answer is mistaken for the other.
fn either(right: &str, slip: &str) -> Look {
    Look {
        right: one(right),
        slip: one(slip),
    }
}

fn either_of_many(right: &str, slip: &str) -> Look {
    Look {
        right: many(&[right]),
        slip: many(&[slip]),
    }
}

fn sure(right: Answer) -> Look {
    Look {
        slip: right.clone(),
        right,
    }
}

impl Collection {
    /// The answer about a box; nothing where an optional question is left out.
    pub(super) fn box_answer(&self, of: &TrueBox, question: &str, is_many: bool) -> Option<Answer> {
        let mut dice = Dice::of(self.seed, question, [of.row, 0]);
        let look = box_look(&mut dice, of, question);
        settle(&mut dice, question, is_many, look)
    }

    /// The answer about the item at `position` (from 1), after the answers so far.
    pub(super) fn item_answer(
        &self,
        of: &TrueBox,
        position: u32,
        question: &str,
        is_many: bool,
        so_far: &Answers,
    ) -> Option<Answer> {
        let mut dice = Dice::of(self.seed, question, [of.row, u64::from(position)]);
        let index = usize::try_from(position).ok()?.checked_sub(1)?;
        let item = of.items.get(index)?;
        let look = item_look(&mut dice, of, item, question, so_far);
        settle(&mut dice, question, is_many, look)
    }
}

/// How well a question was answered, drawn from the scenario's rates.
fn settle(dice: &mut Dice, question: &str, is_many: bool, look: Option<Look>) -> Option<Answer> {
    let look = look?;
    let (cant_tell, slip) = scenario::rates(question);
    let at = dice.below(1000);
    Some(if at < cant_tell {
        if is_many {
            many(&[CANT_TELL])
        } else {
            one(CANT_TELL)
        }
    } else if at < cant_tell + slip {
        look.slip
    } else {
        look.right
    })
}

/// How a visit to the box ends: outcome and its reason.
fn ending(collection_dice: &mut Dice, of: &TrueBox) -> (&'static str, &'static str) {
    let seen_at_once = collection_dice.per_mille(600);
    match of.fate {
        Fate::ListedTwice => ("not_found", "listed_twice"),
        Fate::Missing => ("not_found", "missing_today"),
        Fate::Locked => ("not_opened", "locked"),
        Fate::OutOfScope => ("not_opened", "not_in_scope"),
        Fate::Opens if of.mould && seen_at_once => ("stopped", "mould"),
        Fate::Opens if of.vermin && seen_at_once => ("stopped", "vermin"),
        Fate::Opens => ("found_opened", ""),
    }
}

impl Collection {
    /// How a visit to the box ends.
    pub(super) fn ending(&self, of: &TrueBox) -> (&'static str, &'static str) {
        ending(&mut Dice::of(self.seed, "ending", [of.row, 0]), of)
    }
}

fn box_look(dice: &mut Dice, of: &TrueBox, question: &str) -> Option<Look> {
    Some(match question {
        "mould" => match (of.mould, dice.per_mille(170)) {
            (true, true) => either("suspected", "none"),
            (true, false) => either("seen", "none"),
            (false, _) => either("none", "suspected"),
        },
        "vermin" => match (of.vermin, of.old_vermin) {
            (true, _) => either("signs", "none"),
            (false, true) => either("old_signs", "none"),
            (false, false) => either("none", "old_signs"),
        },
        "odour_box" => {
            let n_acid = of.items.iter().filter(|item| item.acid).count();
            let n_sticky = of.items.iter().filter(|item| item.sticky).count();
            if n_acid * 8 > of.items.len() {
                either("vinegar", "none")
            } else if n_sticky * 3 > of.items.len() {
                either("waxy", "none")
            } else if scenario::PLACES[of.place].group == 0 && dice.per_mille(180) {
                either("musty", "none")
            } else {
                either("none", "musty")
            }
        }
        "count" => sure(Answer::Counts(of.counts())),
        "fullness" => sure(one(match of.quarters {
            1 => "quarter",
            2 => "half",
            3 => "three_quarters",
            _ => "full",
        })),
        "count_outside_guess" => {
            let n = u64::try_from(of.items.len()).unwrap_or(0);
            let guess = n * dice.between(70, 135) / 100;
            // To fives, as people judge; what holds something is never judged to be empty.
            let round = (guess / 5 * 5).max(guess.min(5)).max(n.min(1));
            sure(Answer::Number(f64::from(u32::try_from(round).unwrap_or(0))))
        }
        _ => return None,
    })
}

fn item_look(dice: &mut Dice, of: &TrueBox, item: &Item, question: &str, so_far: &Answers) -> Option<Look> {
    Some(match question {
        "hazard" => match (item.growth, item.tide_line) {
            (true, _) => either_of_many("growth", "none"),
            (false, true) => either_of_many("tide_line", "none"),
            (false, false) => either_of_many("none", "tide_line"),
        },
        "carrier" => {
            let other = match item.carrier {
                "reel_quarter" => "reel_half",
                "reel_half" => "reel_quarter",
                "cassette" => "minicassette",
                "microcassette" => "minicassette",
                "cartridge_8track" => "cartridge_broadcast",
                "cartridge_broadcast" => "cartridge_8track",
                same => same,
            };
            either(item.carrier, other)
        }
        "size" => size(item, so_far),
        "light" => match (item.opaque, item.base) {
            (true, _) => either("could_not", "dark"),
            (false, Some("acetate")) if dice.per_mille(30) => either("bands", "dark"),
            (false, Some("acetate")) => either("glows", "dark"),
            (false, _) => either("dark", "glows"),
        },
        "back" => match (item.back_coat, item.base) {
            _ if dice.per_mille(110) => either("leader", "glossy"),
            (true, _) => either("matt_black", "glossy"),
            (false, Some("pvc")) if dice.per_mille(800) => either("matt_print", "glossy"),
            (false, _) => either("glossy", "matt_black"),
        },
        "shape" => match item.deformed {
            Some(shape) => either_of_many(shape, "flat"),
            None => either_of_many("flat", "edge_ripple"),
        },
        "wind" => match item.pack_fault {
            Some(fault) => either_of_many(fault, "even"),
            None => either_of_many("even", "steps"),
        },
        "free_end" => match (item.end_hangs_free, item.sticky && dice.per_mille(700)) {
            (false, _) => either("no_free_end", "leaves"),
            (true, true) => either("clings", "leaves"),
            (true, false) => either("leaves", "no_free_end"),
        },
        "residue" => {
            let found = match (item.sticky, item.acid) {
                (true, _) => dice.pick(&[("brown", 35), ("black", 30), ("none", 35)], "none"),
                (false, true) => dice.pick(&[("white", 40), ("none", 960)], "none"),
                (false, false) => dice.pick(
                    &[("brown", 4), ("flakes", 2), ("grease", 4), ("none", 990)],
                    "none",
                ),
            };
            either_of_many(found, if found == "none" { "brown" } else { "none" })
        }
        "odour_tape" => odour(dice, of, item),
        "damage" => damage(item),
        "squeal" => sure(one(match item.squeal_known {
            None => "nobody_knows",
            Some(noticed) if item.sticky && noticed => "yes",
            Some(_) if item.sticky => "nobody_knows",
            Some(_) => "no",
        })),
        "label" => {
            let all: Vec<&str> = item.written.iter().copied().collect();
            match all[..] {
                [] => sure(many(&["nothing"])),
                [_] => Look {
                    right: many(&all),
                    slip: many(&["nothing"]),
                },
                [.., _] => Look {
                    right: many(&all),
                    slip: many(&all[1..]),
                },
            }
        }
        "speed" => sure(one(item.speed?)),
        "tracks" => {
            let other = match item.tracks? {
                "quarter_mono" => "half_mono",
                "half_mono" => "quarter_mono",
                "quarter_stereo" => "two_stereo",
                "two_stereo" => "quarter_stereo",
                "cassette_mono" => "cassette_stereo",
                "cassette_stereo" => "cassette_mono",
                same => same,
            };
            either(item.tracks?, other)
        }
        "length_class" => sure(one(item.length_class?)),
        "label_base" => {
            let film = item.base?;
            let reused = dice.per_mille(150);
            sure(one(match (reused, film) {
                (true, "acetate") => "polyester",
                (true, _) => "acetate",
                (false, film) => film,
            }))
        }
        // Invented names: one club, one shop, no real make.
        "machine" => sure(Answer::Text(format!("club machine {}", 1 + of.row % 3))),
        "stock" => sure(Answer::Text(
            if item.back_coat {
                "Weir Shop grey"
            } else {
                "Weir Shop brown"
            }
            .to_owned(),
        )),
        "stock_where" => either("on_box", "on_reel"),
        "date_decade" => {
            let late = (item.decade + 10).min(2000);
            either(&decade_key(item.decade), &decade_key(late))
        }
        _ => return None,
    })
}

fn decade_key(decade: u16) -> String {
    format!("d{decade}")
}

/// The size, in the words of the carrier it was taken for.
fn size(item: &Item, so_far: &Answers) -> Look {
    let taken_for = match so_far.get("carrier") {
        Some(Answer::One(key)) => key.as_str(),
        _ => "",
    };
    let Some(size) = item
        .size
        .filter(|_| taken_for == item.carrier || taken_for == CANT_TELL)
    else {
        return sure(one(CANT_TELL));
    };
    let neighbour = match size {
        "r3" => "r4",
        "r4" => "r3",
        "r5" => "r5_75",
        "r5_75" => "r5",
        "r8_25" => "r7",
        "r10_5" => "r12",
        "c30" => "c46",
        "c60" => "c90",
        "c90" => "c60",
        "c120" => "c90",
        "mc60" => "mc30",
        "d120" => "d90",
        same => same,
    };
    either(size, neighbour)
}

/// A tape's own smell; a decaying neighbour's vinegar is sometimes taken for it.
fn odour(dice: &mut Dice, of: &TrueBox, item: &Item) -> Look {
    let in_sour_box = of.items.iter().any(|other| other.acid);
    if item.acid {
        if dice.per_mille(880) {
            either("vinegar", "none")
        } else {
            either("none", "vinegar")
        }
    } else if in_sour_box && dice.per_mille(50) {
        either("vinegar", "none")
    } else if item.sticky && dice.per_mille(300) {
        either("waxy", "none")
    } else if item.tide_line && dice.per_mille(300) {
        either("musty", "none")
    } else {
        either("none", "musty")
    }
}

fn damage(item: &Item) -> Look {
    match (item.damage, item.splices) {
        (None, None) => either_of_many("none", "splices_some"),
        (Some(damage), None) => either_of_many(damage, "none"),
        (None, Some(splices)) => either_of_many(splices, "none"),
        (Some(damage), Some(splices)) => Look {
            right: many(&[damage, splices]),
            slip: many(&[splices]),
        },
    }
}
