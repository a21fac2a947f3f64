//! The invented collection: a valley's radio club and its players' society kept everything in an old mill. Nothing
//! here is real. Rates are in thousandths, and are the whole of what shapes the collection.

/// What the practice survey is called.
pub(super) const TITLE: &str = "Practice: the mill at Ossel Weir";
/// The invented person who surveys it.
pub(super) const SURVEYOR: &str = "Practice surveyor";

/// The club's watch-list, invented like the rest: name, behaviours, note, source.
pub(super) const WATCH_LIST: &str = "name,behaviours,note,source
Weir Shop grey,sticky_binder;back_coat_loss,three reels clung at the last open day,club notebook (invented)
\"blue tin, lot unknown\",acid_decay,sour when opened,a member's memory (invented)
chalk-marked leader,splices,joins come apart,the practice bench (invented)
";

/// Places that are alike enough to be one stratum.
pub(super) const GROUPS: [&str; 3] = ["Mill cellar", "Loft over the wheel", "Meeting room"];

/// A place of the mill, and what stands there.
pub(super) struct Place {
    pub(super) name: &'static str,
    /// Index into [`GROUPS`].
    pub(super) group: usize,
    /// Its share of the boxes.
    pub(super) share: u64,
    /// What its boxes are called, for labels.
    pub(super) containers: &'static [(&'static str, u64)],
    /// How many carriers a box there could hold.
    pub(super) capacity: &'static [(u64, u64)],
    /// What is mostly in a box there.
    pub(super) main: &'static [(Kind, u64)],
    /// The decade most of a box comes from.
    pub(super) decade: &'static [(u16, u64)],
    /// Boxes stopped for mould, or found mouldy when opened.
    pub(super) mould: u64,
    /// Boxes with signs of animals.
    pub(super) vermin: u64,
    /// Boxes behind a lock.
    pub(super) locked: u64,
    /// How many acetate tapes smell of vinegar, in a box where the decay has caught on.
    pub(super) acid_boxes: u64,
    /// Items with an old water mark, in one box of eight.
    pub(super) tide_line: u64,
}

/// A kind of carrier: the key the question list knows it by.
pub(super) type Kind = &'static str;

/// The places, in the order the boxes are listed.
pub(super) const PLACES: [Place; 7] = [
    Place {
        name: "Cellar, long rack",
        group: 0,
        share: 268,
        containers: &[("apple crate", 3), ("card box", 6), ("tea chest", 1)],
        capacity: &[(12, 2), (24, 4), (40, 3), (60, 1)],
        main: &[("reel_quarter", 900), ("cassette", 80), ("reel_half", 20)],
        decade: &[(1950, 250), (1960, 400), (1970, 300), (1980, 50)],
        mould: 80,
        vermin: 15,
        locked: 0,
        acid_boxes: 220,
        tide_line: 250,
    },
    Place {
        name: "Cellar, arch by the sluice",
        group: 0,
        share: 124,
        containers: &[("tin trunk", 1), ("card box", 5), ("sack", 1)],
        capacity: &[(10, 3), (20, 4), (36, 2)],
        main: &[("reel_quarter", 830), ("cassette", 170)],
        decade: &[(1950, 100), (1960, 300), (1970, 450), (1980, 150)],
        mould: 160,
        vermin: 30,
        locked: 0,
        acid_boxes: 200,
        tide_line: 500,
    },
    Place {
        name: "Cellar, coal bay",
        group: 0,
        share: 63,
        containers: &[("heap", 1), ("bucket", 1), ("card box", 3)],
        capacity: &[(8, 2), (18, 3), (50, 1)],
        main: &[("reel_quarter", 600), ("cassette", 350), ("cartridge_8track", 50)],
        decade: &[(1960, 200), (1970, 500), (1980, 300)],
        mould: 110,
        vermin: 45,
        locked: 0,
        acid_boxes: 150,
        tide_line: 300,
    },
    Place {
        name: "Loft, gable shelf",
        group: 1,
        share: 214,
        containers: &[("card box", 6), ("drawer", 2)],
        capacity: &[(12, 3), (20, 4), (30, 3)],
        main: &[("reel_quarter", 960), ("wire", 12), ("reel_half", 28)],
        decade: &[(1940, 40), (1950, 560), (1960, 350), (1970, 50)],
        mould: 15,
        vermin: 25,
        locked: 0,
        acid_boxes: 420,
        tide_line: 30,
    },
    Place {
        name: "Loft, costume trunks",
        group: 1,
        share: 83,
        containers: &[("trunk", 3), ("hat box", 2)],
        capacity: &[(16, 3), (44, 2), (60, 1)],
        main: &[("reel_quarter", 880), ("cassette", 90), ("wire", 30)],
        decade: &[(1950, 420), (1960, 380), (1970, 200)],
        mould: 20,
        vermin: 60,
        locked: 0,
        acid_boxes: 380,
        tide_line: 20,
    },
    Place {
        name: "Meeting room, cupboards",
        group: 2,
        share: 184,
        containers: &[("shoe box", 4), ("card box", 4), ("case", 1)],
        capacity: &[(15, 2), (30, 4), (60, 2)],
        main: &[
            ("cassette", 690),
            ("reel_quarter", 240),
            ("microcassette", 40),
            ("dat", 30),
        ],
        decade: &[(1970, 300), (1980, 450), (1990, 250)],
        mould: 5,
        vermin: 5,
        locked: 0,
        acid_boxes: 60,
        tide_line: 10,
    },
    Place {
        name: "Meeting room, recordist's cabinet",
        group: 2,
        share: 64,
        containers: &[("case", 2), ("drawer", 3)],
        capacity: &[(10, 3), (20, 3), (40, 1)],
        main: &[
            ("cassette", 380),
            ("reel_quarter", 330),
            ("dat", 170),
            ("reel_half", 80),
            ("cartridge_broadcast", 40),
        ],
        decade: &[(1970, 250), (1980, 400), (1990, 350)],
        mould: 0,
        vermin: 0,
        locked: 90,
        acid_boxes: 40,
        tide_line: 0,
    },
];

/// In thousandths of all boxes: listed twice, missing, holding nothing in scope, opened and empty.
pub(super) const LISTED_TWICE: u64 = 7;
pub(super) const MISSING: u64 = 12;
pub(super) const OUT_OF_SCOPE: u64 = 8;
pub(super) const EMPTY: u64 = 25;
/// How many carriers the one huge box holds, in a collection of at least [`HUGE_FROM`] boxes.
pub(super) const HUGE_ITEMS: u32 = 173;
pub(super) const HUGE_FROM: u64 = 60;
/// Boxes of one rare make of PVC film: these boxes hold most of it, so it is rare (near 0.5% of items) and bunched.
pub(super) const PVC_BOXES: u64 = 12;
/// Of an item that is not of its box's main kind.
pub(super) const STRAYS: u64 = 120;
/// Boxes whose earlier list says how many carriers are in it, and of those the ones where it says it wrongly.
pub(super) const LISTED_COUNT: u64 = 350;
pub(super) const LISTED_WRONG: u64 = 150;
/// Boxes whose fullness is judged a quarter too high or too low from outside.
pub(super) const FULLNESS_OFF: u64 = 120;

/// Never in this collection, whatever the seed: nothing is paper tape, nothing was in a fire.
pub(super) const ABSENT: &str = "base_paper";

/// How one box differs from another: with `boxes` thousandths the condition has caught on and holds for `inside`
/// thousandths of its items, otherwise for `outside`.
pub(super) struct Bunched {
    pub(super) boxes: u64,
    pub(super) inside: u64,
    pub(super) outside: u64,
}

/// The box-to-box part of each condition. The intra-box correlation of such a two-level mixture is
/// b(1-b)(i-o)^2 / (p(1-p)) with p = b i + (1-b) o: 0.1 to 0.3 for these.
pub(super) const STICKY: Bunched = Bunched {
    boxes: 250,
    inside: 650,
    outside: 120,
};
pub(super) const ACID_INSIDE: u64 = 620;
pub(super) const ACID_OUTSIDE: u64 = 60;
pub(super) const PACK_FAULT: Bunched = Bunched {
    boxes: 300,
    inside: 520,
    outside: 110,
};
pub(super) const DEFORMED: Bunched = Bunched {
    boxes: 250,
    inside: 450,
    outside: 90,
};
pub(super) const DAMAGE: Bunched = Bunched {
    boxes: 250,
    inside: 420,
    outside: 80,
};
pub(super) const EDITED: Bunched = Bunched {
    boxes: 180,
    inside: 550,
    outside: 60,
};
pub(super) const WRITTEN: Bunched = Bunched {
    boxes: 600,
    inside: 960,
    outside: 620,
};

/// How often a careful surveyor cannot tell, and how often one slips, in thousandths: question, can't tell, slip.
/// A question that is not named is answered as it is.
pub(super) const RATES: [(&str, u64, u64); 17] = [
    ("mould", 6, 3),
    ("vermin", 6, 3),
    ("odour_box", 60, 40),
    ("hazard", 4, 2),
    ("carrier", 3, 4),
    ("size", 10, 20),
    ("light", 50, 25),
    ("back", 40, 25),
    ("shape", 30, 25),
    ("wind", 25, 40),
    ("free_end", 20, 15),
    ("residue", 25, 30),
    ("odour_tape", 50, 60),
    ("damage", 20, 40),
    ("label", 4, 10),
    ("tracks", 15, 20),
    ("date_decade", 20, 20),
];

/// Can't-tells and slips of a question, in thousandths.
pub(super) fn rates(question: &str) -> (u64, u64) {
    let known = RATES.iter().find(|(named, ..)| *named == question);
    known.map_or((0, 0), |(_, cant_tell, slip)| (*cant_tell, *slip))
}

/// How many of `n_boxes` boxes stand in each place: in proportion to the shares, the largest remainders first.
pub(super) fn apportion(n_boxes: u64) -> [u64; PLACES.len()] {
    let whole: u64 = PLACES.iter().map(|place| place.share).sum();
    let exact = |place: &Place| u128::from(n_boxes) * u128::from(place.share);
    let mut counts = PLACES
        .each_ref()
        .map(|place| u64::try_from(exact(place) / u128::from(whole)).unwrap_or(0));
    let mut by_remainder: Vec<usize> = (0..PLACES.len()).collect();
    by_remainder.sort_by_key(|at| (std::cmp::Reverse(exact(&PLACES[*at]) % u128::from(whole)), *at));
    let left = n_boxes - counts.iter().sum::<u64>();
    for at in by_remainder
        .into_iter()
        .cycle()
        .take(usize::try_from(left).unwrap_or(0))
    {
        counts[at] += 1;
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_box_stands_somewhere() {
        for n in [0, 1, 2, 6, 7, 8, 412, 1_000_000] {
            assert_eq!(apportion(n).iter().sum::<u64>(), n);
        }
        let [first, .., last] = apportion(412);
        assert!(first > 100 && last > 20, "{first} {last}");
    }

    /// The mixture's correlation, in thousandths, by the formula above.
    #[test]
    fn conditions_are_bunched_as_said() {
        for Bunched {
            boxes,
            inside,
            outside,
        } in [STICKY, PACK_FAULT, DEFORMED, DAMAGE, EDITED]
        {
            let mean = (boxes * inside + (1000 - boxes) * outside) / 1000;
            let between = boxes * (1000 - boxes) * (inside - outside) * (inside - outside) / 1_000_000;
            let icc = between * 1000 / (mean * (1000 - mean));
            assert!((100..=350).contains(&icc), "{icc}");
        }
    }
}
