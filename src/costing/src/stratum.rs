//! One draw of a stratum's amounts: its items by the boxes drawn, and what its groups share.

use sampling::math::sqrt;
use sampling::random::Stream;

use crate::amounts::{Amounts, ByClass, add, sum, sum_of};
use crate::bootstrap::{Factors, as_float};
use crate::collection::{Collection, Playing, Stratum};

/// One draw of every stratum, in order; an item that was judged from outside stands for `judged` of them.
pub(crate) fn parts(
    collection: &Collection,
    factors: &Factors,
    judged: f64,
    shared: &[Shared],
    mut unknowns: Option<&mut Stream>,
) -> Vec<Part> {
    let (mut at_box, mut at_item) = (0, 0);
    let mut parts = Vec::with_capacity(collection.strata.len());
    for stratum in &collection.strata {
        let boxes = &factors.boxes[at_box..at_box + stratum.sampled.len()];
        let n_items: usize = stratum.sampled.iter().map(|b| b.read.len()).sum();
        let items = &factors.items[at_item..at_item + n_items];
        (at_box, at_item) = (at_box + boxes.len(), at_item + n_items);
        parts.push(draw_stratum(
            stratum,
            (boxes, items),
            judged,
            shared,
            collection.classes.len(),
            unknowns.as_deref_mut(),
        ));
    }
    parts
}

/// Their amounts; a stratum of which no item was read is like the others together.
pub(crate) fn together(parts: Vec<Part>, n_classes: usize) -> Vec<ByClass> {
    let unread: Vec<f64> = parts.iter().map(|part| part.unread).collect();
    let mut made: Vec<ByClass> = parts.into_iter().map(|part| part.by_class).collect();
    let mut all: ByClass = vec![Default::default(); n_classes];
    for by_class in &made {
        add(&mut all, by_class, 1.0);
    }
    let known = sum(&all).items;
    for (by_class, unread) in made.iter_mut().zip(&unread) {
        if *unread > 0.0 && known > 0.0 {
            add(by_class, &all, unread / known);
        }
    }
    made
}

/// Hours of sound of a draw of boxes and items, every item at what is expected of it.
pub(crate) fn expected_hours(collection: &Collection, factors: &Factors, judged: f64) -> f64 {
    let still: Vec<Shared> = collection.groups.iter().map(|_| Shared::none()).collect();
    let parts = parts(collection, factors, judged, &still, None);
    sum_of(&together(parts, collection.classes.len())).content
}

pub(crate) struct Part {
    pub(crate) by_class: ByClass,
    /// Items of boxes none of whose items was read, where the stratum has no item read at all.
    pub(crate) unread: f64,
    /// The stratum's hours with the likely value of every item: what the sample alone does.
    pub(crate) likely: f64,
}

/// One draw of a stratum; without `unknowns` every item is as long as is expected of it. Its items weighted by the boxes and items drawn, what is not known taken like the rest of it.
pub(crate) fn draw_stratum(
    stratum: &Stratum,
    (boxes, items): (&[f64], &[f64]),
    judged: f64,
    shared: &[Shared],
    n_classes: usize,
    mut unknowns: Option<&mut Stream>,
) -> Part {
    let weight = as_float(stratum.n_boxes) / as_float(stratum.sampled.len().max(1) as u64);
    let (mut counted, mut counted_items, mut uncounted) = (0.0, 0.0, 0.0);
    for (b, factor) in stratum.sampled.iter().zip(boxes) {
        match b.items(judged) {
            Some(n) => {
                counted += factor;
                counted_items += factor * n;
            }
            None => uncounted += factor,
        }
    }
    let guessed = if counted > 0.0 {
        uncounted * counted_items / counted
    } else {
        0.0
    };
    let all_items = ((counted_items + guessed) * weight).max(0.0);

    let mut known: ByClass = vec![Default::default(); n_classes];
    let mut silent: Vec<[f64; 2]> = vec![[0.0; 2]; n_classes];
    let (mut likely, mut at) = (0.0, 0);
    for b in &stratum.sampled {
        let each = weight * b.items(judged).unwrap_or(0.0) / as_float(b.read.len().max(1) as u64);
        for item in &b.read {
            let w = each * items[at];
            at += 1;
            let cell = &mut known[item.class][usize::from(item.by_hand)];
            let Some(playing) = &item.playing else {
                silent[item.class][usize::from(item.by_hand)] += w;
                continue;
            };
            let (mean, expected) = (playing.pass_hours.mean(), expected(playing));
            cell.items += w;
            cell.add(expected, w * mean);
            likely += w * mean * expected.content;
            // What the group shares does not ask which boxes were drawn, and the item stands for `each` of it.
            let tape = tape_of(playing, shared[playing.group].drawn);
            let by = each * mean * shared[playing.group].spread;
            cell.add(tape, by);
            cell.add(expected, -by);
            if let (Some(unknowns), false) = (unknowns.as_deref_mut(), playing.pass_hours.is_exact()) {
                // The lengths of the `each` items differ each for itself: their sum differs by the root of so many.
                let own = playing.pass_hours.triangular(unknowns.unit()) - mean;
                cell.add(tape, own * sqrt(each));
            }
        }
    }
    give_the_silent_their_share(&mut known, &silent);
    let read = sum(&known).items;
    if read <= 0.0 {
        return Part {
            by_class: vec![Default::default(); n_classes],
            unread: all_items,
            likely,
        };
    }
    let up = all_items / read;
    let mut by_class: ByClass = vec![Default::default(); n_classes];
    add(&mut by_class, &known, up);
    Part {
        by_class,
        unread: 0.0,
        likely: likely * up,
    }
}

/// What an hour of a pass at the likely speed holds, in a draw of what its group shares.
fn tape_of(playing: &Playing, [speed, tracks]: [f64; 2]) -> Amounts {
    of_pass(
        playing.slower.three_point(speed),
        playing.passes.three_point(tracks),
        playing.tracks.three_point(tracks),
    )
}

/// The mean of the same over all draws.
fn expected(playing: &Playing) -> Amounts {
    of_pass(
        playing.slower.three_point_mean(),
        playing.passes.three_point_mean(),
        playing.tracks.three_point_mean(),
    )
}

fn of_pass(hours: f64, passes: f64, tracks: f64) -> Amounts {
    Amounts {
        items: 0.0,
        content: hours * passes,
        machine: hours * passes,
        channel: hours * tracks,
    }
}

/// What the items of a group share, in one draw.
pub(crate) struct Shared {
    pub(crate) drawn: [f64; 2],
    /// How much of its deviation counts, see [`spreads`].
    pub(crate) spread: f64,
}

impl Shared {
    /// Nothing drawn: every item at what is expected of it.
    pub(crate) fn none() -> Self {
        Self {
            drawn: [0.5; 2],
            spread: 0.0,
        }
    }
}

/// For each group, the root of the part of `W²` that is left when what the sample makes of its weight `W` is taken off: the
/// square of an estimated weight is too large on average by its variance. A group that is in every box keeps all; one that
/// is in a single box of `n` out of `N` stands for `N / n` such groups, whose unknowns are not the same, and keeps
/// `sqrt(n / N)`.
pub(crate) fn spreads(collection: &Collection) -> Vec<f64> {
    let of_box = |b: &crate::SampledBox, group: usize| {
        let each = as_float(b.n_items.unwrap_or(0)) / as_float(b.read.len().max(1) as u64);
        let own = b
            .read
            .iter()
            .filter_map(|item| item.playing)
            .filter(|p| p.group == group);
        each * own
            .map(|p| p.pass_hours.mean() * expected(&p).content)
            .sum::<f64>()
    };
    let spread = |group: usize| {
        let (mut weight, mut variance, mut least) = (0.0, 0.0, 1.0_f64);
        for stratum in &collection.strata {
            let (all, n) = (as_float(stratum.n_boxes), as_float(stratum.sampled.len() as u64));
            let hours: Vec<f64> = stratum.sampled.iter().map(|b| of_box(b, group)).collect();
            let total: f64 = hours.iter().sum();
            if n < 1.0 || total <= 0.0 {
                continue;
            }
            let f = n / all;
            least = least.min(f);
            weight += total / f;
            let squares: f64 = hours.iter().map(|x| x * x).sum();
            // With one box its own square stands in: the most that the formula can say.
            let between = if n > 1.0 {
                (squares - total * total / n) / (n - 1.0)
            } else {
                squares
            };
            variance += all * all * (1.0 - f) * between / n;
        }
        if weight <= 0.0 {
            return 1.0;
        }
        sqrt((1.0 - variance / (weight * weight)).max(least))
    };
    (0..collection.groups.len()).map(spread).collect()
}

/// Items whose playing time nobody can say get that of the others of their kind in the stratum, whatever their class (a
/// class may rest on a single item, and a draw may give that no weight); else of all of the stratum.
fn give_the_silent_their_share(known: &mut ByClass, silent: &[[f64; 2]]) {
    let total = sum(known);
    let mut of_kind = [Amounts::default(); 2];
    for pair in known.iter() {
        for (all, cell) in of_kind.iter_mut().zip(pair) {
            all.add(*cell, 1.0);
        }
    }
    for (pair, waiting) in known.iter_mut().zip(silent) {
        for ((cell, waiting), kind) in pair.iter_mut().zip(waiting).zip(of_kind) {
            if *waiting == 0.0 {
                continue;
            }
            let like = if kind.items > 0.0 { kind } else { total };
            if like.items > 0.0 {
                cell.add(like, waiting / like.items);
            } else {
                cell.items += waiting;
            }
        }
    }
}
