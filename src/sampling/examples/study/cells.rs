//! The kinds of collection and sample that the study is made of: one set to choose the default by, another to judge it by.

use sampling::random::Stream;

/// How many items boxes hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sizes {
    /// 12 each.
    Equal,
    /// 1 to 24.
    Uniform,
    /// 1 to 60, half of them under 9.
    Skewed,
}

/// How alike the items of a box are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Likeness {
    /// The correlation of two items of a box.
    Correlation(f64),
    /// All items of a box have the condition or none has.
    AllOrNothing,
    /// Boxes have none, or each of their items has it with this chance.
    SomeBoxes(f64),
}

/// How a box's share goes with its size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum WithSize {
    /// It does not.
    Alike,
    /// In proportion to the items.
    Rises,
    /// In inverse proportion.
    Falls,
}

/// What the surveyor does with the sizes of the boxes, known before the draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BySize {
    /// Nothing: strata, if any, are others.
    No,
    /// Strata by size, as many boxes in each.
    Boxes,
    /// Strata by size, as many items in each, and as many boxes drawn of each.
    Items,
    /// Strata by size, as many items in each; and of the boxes drawn a quarter are the biggest of all, taken for certain.
    Certain,
}

/// Boxes that are stopped because of the condition, and how their estimate treats them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stops {
    /// There are none.
    None,
    /// They stay in n with the one answer that is known.
    Rightly,
    /// They are taken as not reached: the mistake that the study is to show.
    Wrongly,
}

/// What a cell is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Set {
    /// To choose by: within what the default is made for.
    Tuning,
    /// To choose by: beyond it.
    TuningStress,
    /// To judge by: within what the default is made for.
    Judging,
    /// The same by another lot.
    JudgingAgain,
    /// The same by a third lot, of other sizes, shares and degrees of likeness.
    JudgingThird,
    /// To judge by: all-or-nothing boxes.
    AllOrNothing,
    /// To judge by: the share rises with the size of a box.
    Rising,
    /// To judge by: the same, the sample drawn with the sizes in mind.
    RisingMinded,
    /// To judge by: the share falls with the size of a box.
    Falling,
    /// Boxes stopped for the condition, kept in n.
    StoppedRightly,
    /// The same, left out of n: the mistake that the study is to show.
    StoppedWrongly,
    /// The survey stops by a rule, each interval by its own width.
    Rule,
}

impl Set {
    pub(crate) const ALL: [(Self, &'static str); 12] = [
        (Self::Tuning, "to choose by: in range"),
        (
            Self::TuningStress,
            "to choose by: all or nothing, share rising with size",
        ),
        (Self::Judging, "to judge by: in range"),
        (Self::JudgingAgain, "to judge by: in range, a second lot"),
        (Self::JudgingThird, "to judge by: in range, a third lot"),
        (Self::AllOrNothing, "to judge by: all-or-nothing boxes"),
        (Self::Rising, "to judge by: share rises with box size"),
        (
            Self::RisingMinded,
            "to judge by: the same, strata of as many items",
        ),
        (Self::Falling, "to judge by: share falls with box size"),
        (
            Self::StoppedRightly,
            "boxes stopped for the condition, kept in n with it",
        ),
        (Self::StoppedWrongly, "the same, wrongly left out as missing"),
        (Self::Rule, "stopping by the rule, each interval by its own width"),
    ];

    pub(crate) fn title(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(set, _)| *set == self)
            .map_or("", |(_, title)| title)
    }
}

/// One kind of collection with one way to sample it.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    pub(crate) set: Set,
    pub(crate) strata: usize,
    pub(crate) boxes: usize,
    pub(crate) drawn: usize,
    pub(crate) sizes: Sizes,
    pub(crate) likeness: Likeness,
    pub(crate) share: f64,
    /// The most items read of a box; all where there is no such number.
    pub(crate) read: Option<u32>,
    pub(crate) with_size: WithSize,
    pub(crate) by_size: BySize,
    pub(crate) stops: Stops,
    /// Stop when the limits are within this of their middle; `drawn` is the most then.
    pub(crate) half_width: Option<f64>,
}

impl Cell {
    fn plain(set: Set, drawn: usize, share: f64, likeness: Likeness) -> Self {
        Self {
            set,
            strata: 1,
            boxes: 400,
            drawn,
            sizes: Sizes::Skewed,
            likeness,
            share,
            read: None,
            with_size: WithSize::Alike,
            by_size: BySize::No,
            stops: Stops::None,
            half_width: None,
        }
    }

    /// Everything about it in a line: its name in tables, and what its random numbers start from.
    pub(crate) fn name(&self) -> String {
        let likeness = match self.likeness {
            Likeness::Correlation(r) => format!("r {r}"),
            Likeness::AllOrNothing => "all or nothing".to_owned(),
            Likeness::SomeBoxes(0.4) => "some boxes".to_owned(),
            Likeness::SomeBoxes(inside) => format!("{inside} of some boxes"),
        };
        let mut name = format!(
            "{} of {} boxes, {:?}, p {}, {likeness}",
            self.drawn, self.boxes, self.sizes, self.share
        );
        let mut also = |is: bool, words: String| {
            if is {
                name.push_str(", ");
                name.push_str(&words);
            }
        };
        also(self.strata > 1, format!("{} strata", self.strata));
        match self.by_size {
            BySize::No => {}
            BySize::Boxes => also(true, "by size".to_owned()),
            BySize::Items => also(true, "by size, items alike".to_owned()),
            BySize::Certain => also(true, "biggest for certain".to_owned()),
        }
        also(self.with_size == WithSize::Rises, "rising".to_owned());
        also(self.with_size == WithSize::Falls, "falling".to_owned());
        also(self.read.is_some(), format!("{} read", self.read.unwrap_or(0)));
        also(
            self.stops != Stops::None,
            format!("stops {:?}", self.stops).to_lowercase(),
        );
        if let Some(half_width) = self.half_width {
            name.push_str(&format!(", until within {half_width}"));
        }
        name
    }

    /// The least coverage that is asked for, in per cent.
    pub(crate) fn goal(&self) -> f64 {
        if self.set == Set::Tuning && self.drawn >= 10 {
            93.0
        } else {
            92.0
        }
    }
}

/// All cells: 60 to choose by, the others to judge by.
pub(crate) fn all() -> Vec<Cell> {
    let mut cells = Vec::new();
    for n in [5, 10, 20, 60] {
        for p in [0.002, 0.01, 0.05, 0.3] {
            for r in [0.02, 0.1, 0.3] {
                cells.push(Cell::plain(Set::Tuning, n, p, Likeness::Correlation(r)));
            }
        }
    }
    for n in [10, 20, 60] {
        for p in [0.02, 0.1, 0.3] {
            cells.push(Cell::plain(Set::TuningStress, n, p, Likeness::AllOrNothing));
        }
        let rising = Cell::plain(Set::TuningStress, n, 0.2, Likeness::Correlation(0.1));
        cells.push(Cell {
            with_size: WithSize::Rises,
            ..rising
        });
    }
    judging(&mut cells, Set::Judging, "judging set");
    judging(&mut cells, Set::JudgingAgain, "second judging set");
    judging_third(&mut cells);
    stress(&mut cells);
    stopped(&mut cells);
    by_rule(&mut cells);
    cells
}

/// A hundred combinations of everything, each level as often as the others, matched by lot.
fn judging(cells: &mut Vec<Cell>, set: Set, lot: &str) {
    const CELLS: usize = 100;
    let mut stream = Stream::new(lot, "combinations");
    let strata = dealt(&[1, 1, 2, 3, 4, 6], CELLS, &mut stream);
    let boxes = dealt(&[30, 60, 200, 400, 1000, 4000], CELLS, &mut stream);
    let drawn = dealt(&[4, 6, 8, 12, 20, 40, 80, 120], CELLS, &mut stream);
    let sizes = dealt(&[Sizes::Equal, Sizes::Uniform, Sizes::Skewed], CELLS, &mut stream);
    let likeness = [
        Likeness::Correlation(0.0),
        Likeness::Correlation(0.05),
        Likeness::Correlation(0.1),
        Likeness::Correlation(0.2),
        Likeness::Correlation(0.3),
        Likeness::SomeBoxes(0.4),
    ];
    let likeness = dealt(&likeness, CELLS, &mut stream);
    let share = dealt(
        &[0.0, 0.002, 0.002, 0.01, 0.01, 0.05, 0.05, 0.3, 0.3, 0.5, 0.95],
        CELLS,
        &mut stream,
    );
    let read = dealt(&[None, None, Some(4), Some(8)], CELLS, &mut stream);
    for i in 0..CELLS {
        // Two boxes of every stratum at least, and no more than three boxes in four.
        let least = 2 * strata[i];
        let drawn = drawn[i].clamp(least, (3 * boxes[i] / 4).max(least));
        // Boxes of which two items in five are affected cannot give more than that.
        let likeness = match likeness[i] {
            Likeness::SomeBoxes(_) if share[i] > 0.25 => Likeness::Correlation(0.3),
            other => other,
        };
        cells.push(Cell {
            strata: strata[i],
            boxes: boxes[i],
            sizes: sizes[i],
            read: read[i],
            ..Cell::plain(set, drawn, share[i], likeness)
        });
    }
}

/// A hundred combinations of other levels: half of the boxes affected among them.
fn judging_third(cells: &mut Vec<Cell>) {
    const CELLS: usize = 100;
    let mut stream = Stream::new("third judging set", "combinations");
    let strata = dealt(&[1, 1, 2, 5], CELLS, &mut stream);
    let boxes = dealt(&[50, 120, 300, 800, 2500], CELLS, &mut stream);
    let drawn = dealt(&[5, 7, 10, 16, 30, 50, 100], CELLS, &mut stream);
    let sizes = dealt(&[Sizes::Equal, Sizes::Uniform, Sizes::Skewed], CELLS, &mut stream);
    // None stands for half of the boxes affected.
    let correlation = dealt(
        &[Some(0.0), Some(0.02), Some(0.15), Some(0.25), Some(0.3), None],
        CELLS,
        &mut stream,
    );
    let share = dealt(
        &[0.004, 0.015, 0.03, 0.08, 0.15, 0.22, 0.4, 0.65, 0.9],
        CELLS,
        &mut stream,
    );
    let read = dealt(&[None, None, Some(5), Some(10)], CELLS, &mut stream);
    for i in 0..CELLS {
        let drawn = drawn[i].clamp(2 * strata[i], 3 * boxes[i] / 4);
        let likeness = match correlation[i] {
            None if share[i] < 0.23 => Likeness::SomeBoxes(2.0 * share[i]),
            r => Likeness::Correlation(r.unwrap_or(0.3)),
        };
        cells.push(Cell {
            strata: strata[i],
            boxes: boxes[i],
            sizes: sizes[i],
            read: read[i],
            ..Cell::plain(Set::JudgingThird, drawn, share[i], likeness)
        });
    }
}

fn stress(cells: &mut Vec<Cell>) {
    for n in [8, 15, 40, 100] {
        for (p, sizes) in [(0.03, Sizes::Uniform), (0.15, Sizes::Equal), (0.4, Sizes::Skewed)] {
            cells.push(Cell {
                sizes,
                strata: if n == 40 { 3 } else { 1 },
                ..Cell::plain(Set::AllOrNothing, n, p, Likeness::AllOrNothing)
            });
        }
    }
    for (n, p) in [(10, 0.05), (15, 0.3), (40, 0.1), (40, 0.3), (100, 0.2)] {
        let rising = Cell {
            with_size: WithSize::Rises,
            ..Cell::plain(Set::Rising, n, p, Likeness::Correlation(0.1))
        };
        // The remedy beside the fault: the same, its boxes in two strata by size.
        cells.push(Cell {
            strata: 2,
            by_size: BySize::Boxes,
            ..rising.clone()
        });
        // As many items in each stratum; and with the biggest boxes for certain beside.
        cells.push(Cell {
            set: Set::RisingMinded,
            strata: 2,
            by_size: BySize::Items,
            ..rising.clone()
        });
        cells.push(Cell {
            set: Set::RisingMinded,
            strata: 3,
            by_size: BySize::Certain,
            ..rising.clone()
        });
        cells.push(Cell {
            set: Set::Falling,
            with_size: WithSize::Falls,
            ..rising.clone()
        });
        cells.push(rising);
    }
}

/// As in the field: 12% of boxes are affected, all of their items, and four in five of those are stopped at the lid.
fn stopped(cells: &mut Vec<Cell>) {
    for n in [20, 60, 120] {
        for (set, stops) in [
            (Set::StoppedRightly, Stops::Rightly),
            (Set::StoppedWrongly, Stops::Wrongly),
        ] {
            cells.push(Cell {
                stops,
                ..Cell::plain(set, n, 0.12, Likeness::AllOrNothing)
            });
        }
    }
}

fn by_rule(cells: &mut Vec<Cell>) {
    for (p, half_width) in [(0.05, 0.03), (0.05, 0.05), (0.3, 0.05), (0.3, 0.1)] {
        for r in [0.02, 0.1, 0.3] {
            cells.push(Cell {
                half_width: Some(half_width),
                ..Cell::plain(Set::Rule, 120, p, Likeness::Correlation(r))
            });
        }
    }
}

/// The levels dealt out evenly, in random order.
fn dealt<T: Copy>(levels: &[T], n: usize, stream: &mut Stream) -> Vec<T> {
    let mut hand: Vec<T> = levels.iter().cycle().take(n).copied().collect();
    for i in (1..hand.len()).rev() {
        let j = usize::try_from(stream.below(i as u64 + 1)).unwrap_or(0);
        hand.swap(i, j);
    }
    hand
}
